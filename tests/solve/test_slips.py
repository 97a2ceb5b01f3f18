"""A planted slip is named, alone where the readings allow it; clean jobs raise no alarm.

The set-up is that of samples/string-box.toml, with its instruments, on cars made of rigid bodies.
Each slip is planted in 100 jobs, in 500 when the tests are thorough.
"""

from __future__ import annotations

import functools
import math

import numpy as np
import pytest

from tests.effort import examples
from tests.simulate import INCH, SimulatedCar
from tests.solve.simulated import (
    RNG_KEY,
    STRING_BOX,
    cars,
    hubs_and_tapes_twice,
    job_of,
    pass_of,
)
from toebox.estimate import Estimate
from toebox.job.model import WHEELS, Pass
from toebox.reliability import doubtful, smallest_detectable
from toebox.solve import solve_pass
from toebox.solve.network import Network, network_of
from toebox.solve.slips import LARGEST_ERRORS, TURNED, checks, doubts

pytestmark = pytest.mark.no_cover
CLEAN, JOBS = examples(usual=200, thorough=500), examples(usual=100, thorough=500)
QUARTER = INCH / 4
NO_ROAD_TEST = ("string", "hub", "bars", "tape")
RIMS = [f"string.{wheel}.{end}" for wheel in WHEELS for end in ("front", "rear")]
HUBS = [f"string.{wheel}.hub" for wheel in WHEELS]
TAPES = [f"tape.{axle}.{end}_edge" for axle in ("front", "rear") for end in ("front", "rear")]
BARS = ["string.front_bar_width", "string.rear_bar_width"]


def repeated_twice(car: SimulatedCar, rng: np.random.Generator) -> Pass:
    """Return everything read with the valve up and with the valve down: hubs and tapes too."""
    one, two = (job_of(car, rng, 2).passes[0] for _ in range(2))
    return hubs_and_tapes_twice(one, two)


@functools.cache
def networks(what: tuple[str, ...], way: str) -> tuple[Network, ...]:
    """Return the networks of clean noisy jobs: read once, rims twice, or everything twice."""
    rng = np.random.default_rng(RNG_KEY)
    found = []
    for car in cars(max(CLEAN, JOBS)):
        job = job_of(car, rng, 1 if way == "once" else 2, what)
        readings = repeated_twice(car, rng) if way == "all twice" else job.passes[0]
        found.append(network_of(job, readings))
    return tuple(found)


def with_slip(network: Network, label: str, slip: float) -> tuple[Estimate, int]:
    """Return the fit with a slip in one reading, and the reading's index."""
    index = next(i for i, o in enumerate(network.observations) if o.label == label)
    true = network.observations[index]
    network.observations[index] = true._replace(value=true.value + slip)
    try:
        return network.fit(), index
    finally:
        network.observations[index] = true


def shares(what: tuple[str, ...], way: str, label: str) -> tuple[float, float]:
    """Return how often the first group holds the slip, and how often it holds nothing else."""
    named = alone = 0
    for number, network in enumerate(networks(what, way)[:JOBS]):
        estimate, index = with_slip(network, label, QUARTER * (-1) ** number)
        first = next((d.readings for d in doubtful(estimate)), ())
        named += index in first
        alone += first == (index,)
    return named / JOBS, alone / JOBS


@pytest.mark.parametrize("what", [STRING_BOX, NO_ROAD_TEST], ids=["road test", "no road test"])
@pytest.mark.parametrize("way", ["once", "rims twice", "all twice"])
def test_clean_jobs_are_left_alone(what: tuple[str, ...], way: str) -> None:
    alarms = sum(bool(doubtful(network.fit())) for network in networks(what, way)[:CLEAN])
    assert alarms < 0.02 * CLEAN


@pytest.mark.parametrize("label", RIMS + HUBS)
@pytest.mark.parametrize("what", [STRING_BOX, NO_ROAD_TEST], ids=["road test", "no road test"])
def test_a_slip_is_in_the_first_group(what: tuple[str, ...], label: str) -> None:
    named, _ = shares(what, "once", label)
    assert named >= 0.95


@pytest.mark.parametrize("label", [f"{r}[{n}]" for r in RIMS for n in (1, 2)] + TAPES + HUBS)
def test_with_the_valve_up_and_down_tapes_are_checked_too(label: str) -> None:
    named, alone = shares(STRING_BOX, "rims twice", label)
    assert named >= 0.95
    if label.startswith(tuple(RIMS)):
        assert alone >= 0.95


@pytest.mark.parametrize("label", [f"{r}[{n}]" for r in RIMS + HUBS + TAPES for n in (1, 2)])
def test_what_was_repeated_is_named_alone(label: str) -> None:
    _, alone = shares(STRING_BOX, "all twice", label)
    assert alone >= 0.95


@pytest.mark.parametrize("label", TAPES + BARS)
def test_what_rests_on_one_position_of_the_rims_is_not_promised(label: str) -> None:
    """Run-out of 1/32 in hides 1/4 in on the tape; the widths of the bars have no check at all."""
    solved = solve_pass(job := job_of(cars(1)[0]), job.passes[0])
    check = next(c for c in checks(solved) if c.reading == label)
    assert check.smallest_slip > QUARTER
    assert check.if_repeated < QUARTER
    named, _ = shares(STRING_BOX, "once", label)
    assert named < 0.95


@pytest.mark.parametrize("way", ["once", "rims twice", "all twice"])
def test_the_smallest_slip_is_noticed_19_times_in_20(way: str) -> None:
    found = networks(STRING_BOX, way)[:CLEAN]
    labels = [o.label for o in found[0].observations if not o.assumed]
    for label in labels[:: len(labels) // 4]:
        noticed = 0
        for network in found:
            clean = network.fit()
            index = [o.label for o in network.observations].index(label)
            estimate, _ = with_slip(network, label, float(smallest_detectable(clean)[index]))
            noticed += bool(doubtful(estimate))
        assert noticed / CLEAN >= 0.93, label  # 95 % less twice the deviation of 500 draws


@pytest.mark.parametrize("label", RIMS + HUBS)
def test_one_extra_reading_settles_a_pair(label: str) -> None:
    """Take the reading that is asked for, exactly as noisy: the slip then stands alone."""
    rng = np.random.default_rng(RNG_KEY)
    settled = pairs = 0
    for car, network in zip(cars(100), networks(NO_ROAD_TEST, "once"), strict=False):
        estimate, index = with_slip(network, label, QUARTER)
        named = doubts(network, estimate)
        group = [d for d in named if d.group == 1]
        if len(group) != 2:
            continue
        pairs += 1
        (extra,) = group[0].settled_by
        assert extra in [d.reading for d in group]
        exact = network_of(job_of(car), pass_of(car.readings(None, 1, NO_ROAD_TEST)))
        true = next(o for o in exact.observations if o.label == extra)
        taken = true._replace(value=true.value + rng.normal(0.0, true.u))
        more = Network(network.unknowns, [*network.observations, taken])
        estimate, _ = with_slip(more, label, QUARTER)
        settled += doubtful(estimate)[0].readings == (index,)
    assert pairs >= 90
    assert settled >= 0.95 * pairs


def test_where_run_out_may_explain_it_turning_the_wheel_is_asked_for() -> None:
    network = networks(NO_ROAD_TEST, "once")[0]
    estimate, _ = with_slip(network, "tape.front.front_edge", 2 * QUARTER)
    named = doubts(network, estimate)
    assert any(d.reading.startswith("assumed.rim_runout") for d in named)
    assert any(label.endswith(TURNED) for label in named[0].settled_by)


def largest_error(label: str) -> float:
    return next((e for start, e in LARGEST_ERRORS.items() if label.startswith(start)), math.inf)


def test_only_what_cannot_be_is_left_out_of_a_group() -> None:
    """The groups are those of the fit, less what would have to be off by more than anything is.

    A slip of 1/4 to 4 in: however large, the reading with the slip stays where the fit named it.
    """
    rng = np.random.default_rng(RNG_KEY)
    fewer = named_before = 0
    for number in range(examples(usual=300, thorough=2000)):
        what = [("string", "tape"), ("string", "road_test"), NO_ROAD_TEST, STRING_BOX][number % 4]
        network = network_of(job := job_of(cars(300)[number % 300], rng, 1, what), job.passes[0])
        labels = [o.label for o in network.observations if not o.assumed]
        label = labels[rng.integers(len(labels))]
        size = math.radians(120.0) if label == "steering_wheel_off" else 4.0 * INCH
        estimate, index = with_slip(network, label, size / 4.0 ** rng.uniform(0.0, 2.0))
        groups = doubtful(estimate)
        named = doubts(network, estimate)
        assert {d.group for d in named} == set(range(1, len(groups) + 1))
        for group, found in enumerate(groups, start=1):
            all_of_it = zip(found.readings, found.sizes, strict=True)
            words = [(network.observations[i].label, size) for i, size in all_of_it]
            able = [name for name, size in words if abs(size) <= largest_error(name)]
            kept = [d.reading for d in named if d.group == group]
            assert kept == (able or [name for name, _ in words])
            fewer += len(kept) < len(words)
            if index in found.readings:
                named_before += 1
                assert label in kept
    assert fewer > 20
    assert named_before > 200


def test_a_group_of_what_cannot_be_is_named_all_the_same() -> None:
    """All read twice, and strings that seem to open by 4 degrees: something is wrong even so."""
    job = job_of(cars(1)[0], None, 2, ("string", "tape"))
    readings = job.passes[0]
    tapes = {
        axle: t._replace(front_edge=(t.front_edge[0] + 0.09,) * 2, rear_edge=t.rear_edge * 2)
        for axle, t in readings.tape.items()
    }
    network = network_of(job, readings._replace(tape=tapes))
    named = doubts(network, network.fit())
    first = [d.reading for d in named if d.group == 1]
    assert first == ["assumed.strings_parallel_within"]
    assert abs(named[0].slip) > largest_error(named[0].reading)


def test_a_tape_alone_is_checked_by_nothing() -> None:
    solved = solve_pass(job := job_of(cars(1)[0], what=("tape",)), job.passes[0])
    found = checks(solved)
    assert [c.reading for c in found] == TAPES
    assert all(math.isinf(c.smallest_slip) for c in found)
    # sqrt(2) (3.29 + 1.645) u
    u = job.instruments.tape.u
    assert [c.if_repeated for c in found] == pytest.approx([math.sqrt(2.0) * 4.935 * u] * 4)
