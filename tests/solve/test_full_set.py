"""Slips of 1/4 in planted in every redundant reading of samples/full-set.toml, in 500 jobs each.

Sizes of the car and the box, instruments and what was read are the sample's; toe, camber, run-out
and how the car stands are drawn anew for each job. Once as the sample is, every reading taken once;
and once with everything taken again, the car rolled on by half a turn of its wheels: valve up and
down. 100 jobs each by default, 500 when the tests are thorough.

Redundant is what the others check: a redundancy number of 0.1 or more
(`toebox.reliability.HARDLY_CHECKED`). The widths of the bars are not, and cannot be made so: what
they measure, the angle between the strings, shows elsewhere only where strings and tapes measure
the same toe, over a wheel instead of over the whole box. See the last two tests.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from statistics import NormalDist

import numpy as np
import pytest

from tests.effort import examples
from tests.simulate import INCH, Noise, SimulatedCar
from tests.solve.simulated import RNG_KEY, STRING_BOX, hubs_and_tapes_twice, pass_of
from tests.solve.test_slips import BARS, HUBS, QUARTER, RIMS, TAPES, with_slip
from toebox.job import load
from toebox.job.model import Instrument, Job, Pass
from toebox.reliability import HARDLY_CHECKED, doubtful, standardised_residuals
from toebox.solve import solve_pass
from toebox.solve.network import Network, network_of
from toebox.solve.slips import Check, checks

SAMPLE = load(Path(__file__).parents[2] / "samples" / "full-set.toml")
# As stated in its head [degrees].
TRUE = {
    "toe.left_front": 0.26,
    "toe.right_front": 0.05,
    "toe.left_rear": 0.10,
    "toe.right_rear": 0.14,
    "thrust_angle": -0.02,
    "steering_wheel": -1.9,
    "box.yaw": -0.08,
    "box.taper": 0.03,
}
pytestmark = pytest.mark.no_cover
JOBS, CLEAN = examples(usual=100, thorough=500), examples(usual=250, thorough=500)
REDUNDANT = RIMS + HUBS + TAPES


def a_car(rng: np.random.Generator) -> SimulatedCar:
    """Return a random car of the sample's sizes, in a box of the sample's length."""
    known, spacing = SAMPLE.car, SAMPLE.passes[0].bar_spacing
    assert known.wheelbase is not None
    assert known.steering_ratio is not None
    assert spacing is not None
    ends = (spacing - known.wheelbase) / 2.0
    return replace(
        SimulatedCar.random(rng),
        wheelbase=known.wheelbase,
        rim_diameter=known.rim_diameter["front"],
        tyre_diameter=known.tyre_diameter["front"],
        steering_ratio=known.steering_ratio,
        front_bar=ends,
        rear_bar=ends,
    )


def noise(rng: np.random.Generator) -> Noise:
    """Return noise as the sample states its instruments."""

    def both(instrument: Instrument) -> tuple[float, float]:
        return instrument.resolution, instrument.repeatability

    used = SAMPLE.instruments
    return Noise(
        rng,
        rule=both(used.string_rule),
        tape=both(used.tape),
        road_test=both(used.road_test),
        runout=used.rim_runout,
    )


def once_and_again(first: Pass, second: Pass) -> Pass:
    """Return readings whose rims were read twice, with the rest of a second round added."""
    return hubs_and_tapes_twice(first, second)._replace(
        front_bar_width=first.front_bar_width + second.front_bar_width,
        rear_bar_width=first.rear_bar_width + second.rear_bar_width,
    )


def readings(rng: np.random.Generator, positions: int) -> Pass:
    """Return what is read at a random car, in one position of its wheels or in two."""
    car = a_car(rng)
    rounds = [pass_of(car.readings(noise(rng), positions, STRING_BOX)) for _ in range(positions)]
    return rounds[0] if positions == 1 else once_and_again(*rounds)


@functools.cache
def networks(positions: int) -> tuple[Network, ...]:
    """Return the networks of clean noisy jobs."""
    rng = np.random.default_rng(RNG_KEY)
    return tuple(network_of(SAMPLE, readings(rng, positions)) for _ in range(max(CLEAN, JOBS)))


def shares(
    positions: int, label: str, beside: Callable[[str], bool] = lambda other: False
) -> tuple[float, float]:
    """Return how often the first group holds the slip, and how often that alone (`beside` may)."""
    named = alone = 0
    for number, network in enumerate(networks(positions)[:JOBS]):
        estimate, _ = with_slip(network, label, QUARTER * (-1) ** number)
        first = next((d.readings for d in doubtful(estimate)), ())
        labels = [network.observations[i].label for i in first]
        named += label in labels
        alone += label in labels and all(o == label or beside(o) for o in labels)
    return named / JOBS, alone / JOBS


def checked(job: Job = SAMPLE) -> dict[str, Check]:
    """Return how well each reading of a job is checked."""
    return {c.reading: c for c in checks(solve_pass(job, job.passes[0]))}


def test_which_readings_are_redundant() -> None:
    """Every length but the widths of the bars; those a single further reading would check."""
    found = checked()
    hardly = [reading for reading, check in found.items() if check.redundancy < HARDLY_CHECKED]
    assert hardly == BARS
    assert set(found) == {*RIMS, *HUBS, *TAPES, *BARS, "steering_wheel_off"}
    for reading in REDUNDANT:
        assert found[reading].smallest_slip < QUARTER
    for reading in BARS:
        assert found[reading].smallest_slip > QUARTER
        assert found[reading].if_repeated < QUARTER


def test_the_slip_in_the_sample_is_named_and_the_rest_is_as_its_head_says() -> None:
    as_written = solve_pass(SAMPLE, SAMPLE.passes[0])
    (doubt,) = as_written.doubtful
    assert doubt.reading == "string.left_front.rear"
    assert doubt.slip == pytest.approx(QUARTER, abs=INCH / 32)
    string = dict(SAMPLE.passes[0].string)
    wheel = string["left_front"]
    string["left_front"] = wheel._replace(rear=(wheel.rear[0] - QUARTER,))
    right = solve_pass(SAMPLE, SAMPLE.passes[0]._replace(string=string))
    assert right.doubtful == ()
    for name, degrees in TRUE.items():
        result = right[name]
        assert abs(result.value - math.radians(degrees)) < 2.0 * result.u
    assert abs(as_written["steering_wheel"].value - math.radians(-1.9)) > math.radians(5.0)


@pytest.mark.parametrize("positions", [1, 2])
def test_clean_jobs_are_left_alone(positions: int) -> None:
    alarms = sum(bool(doubtful(network.fit())) for network in networks(positions)[:CLEAN])
    assert alarms < 0.02 * CLEAN


@pytest.mark.parametrize("label", REDUNDANT)
def test_a_slip_is_in_the_group_that_is_named_first(label: str) -> None:
    named, _ = shares(1, label)
    assert named >= 0.95


@pytest.mark.parametrize("label", [f"{label}[{n}]" for label in REDUNDANT for n in (1, 2)])
def test_with_the_valve_up_and_down_the_reading_itself_is_named(label: str) -> None:
    _, alone = shares(2, label)
    assert alone >= 0.95


@pytest.mark.parametrize("label", [f"{label}[{n}]" for label in BARS for n in (1, 2)])
def test_a_width_taken_again_is_checked_by_itself(label: str) -> None:
    """As the report says; which of two values is the slip, a third must tell."""
    _, alone = shares(2, label, beside=lambda other: width_of(other) == width_of(label))
    assert alone >= 0.95


def width_of(label: str) -> str:
    """Return the name of a reading without the number of the repeat."""
    return label.partition("[")[0]


def best_power(redundancy: float, u: float) -> float:
    """Return how often the most powerful test finds a slip of 1/4 in, with 2 % false alarms.

    J. Neyman and E. S. Pearson's lemma: that test, of those that hold for every car, knows which
    reading it is, how large the slip and which way, and that there is no other. It looks at the
    standardised residual alone: normal, of variance 1, about ``slip sqrt(redundancy) / u``.
    """
    shown = QUARTER * math.sqrt(redundancy) / u
    return NormalDist().cdf(shown - NormalDist().inv_cdf(0.98))


@pytest.mark.parametrize("label", BARS)
def test_no_test_would_find_a_slip_in_a_width_taken_once(label: str) -> None:
    """0.25 in x sqrt(0.008) / 0.018 in = 1.20; 2.05 is the limit for 2 %: found 1 time in 5."""
    power = best_power(checked()[label].redundancy, SAMPLE.instruments.tape.u)
    assert power == pytest.approx(0.2, abs=0.01)
    found = 0
    for network in networks(1)[:JOBS]:
        estimate, index = with_slip(network, label, QUARTER)
        found += standardised_residuals(estimate)[index] > NormalDist().inv_cdf(0.98)
    scatter = math.sqrt(power * (1.0 - power) / JOBS)
    assert found / JOBS == pytest.approx(power, abs=3.0 * scatter)


@pytest.mark.parametrize("label", BARS)
def test_nor_would_it_with_perfect_strings(label: str) -> None:
    """Nothing is left but the tape: ``a**2 / (2 a**2 + s**2)`` across a tyre and along the box.

    Strings without error leave the angle between them to both tapes (u**2 / a**2) and the bars
    (2 u**2 / s**2). For 0.1 the box would have to be shorter than three tyres.
    """
    instruments = SAMPLE.instruments._replace(string_rule=Instrument(0.0, 0.0), rim_runout=0.0)
    redundancy = checked(SAMPLE._replace(instruments=instruments))[label].redundancy
    across, spacing = SAMPLE.car.tyre_diameter["front"], SAMPLE.passes[0].bar_spacing
    assert spacing is not None
    assert redundancy == pytest.approx(across**2 / (2.0 * across**2 + spacing**2), rel=1e-3)
    assert redundancy < HARDLY_CHECKED
    assert best_power(redundancy, SAMPLE.instruments.tape.u) < 0.5
