"""A result is null exactly where its gradient leaves the row space of the readings' equations.

The row space is found here by another way than in the package: the singular values of the plain
derivatives, no uncertainty in them, at a straight car. What each result is, in terms of the four
toes, is written down anew.
"""

from __future__ import annotations

import numpy as np
import pytest
import scipy.linalg
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.effort import examples
from tests.properties.drawn import job_from, thinned
from tests.simulate import SimulatedCar
from toebox.job.model import Instrument, Job
from toebox.solve import PassSolution, solve_pass
from toebox.solve.plan import nominal

L, R, LR, RR = "toe.left_front", "toe.right_front", "toe.left_rear", "toe.right_rear"
RESULTS = {
    **{name: {name: 1.0} for name in (L, R, LR, RR)},
    "total_toe.front": {L: 1.0, R: 1.0},
    "total_toe.rear": {LR: 1.0, RR: 1.0},
    "thrust_angle": {LR: 0.5, RR: -0.5},
    "toe_to_thrust.left_front": {L: 1.0, LR: -0.5, RR: 0.5},
    "toe_to_thrust.right_front": {R: 1.0, LR: 0.5, RR: -0.5},
    "steering_wheel": {L: -0.5, R: 0.5, LR: 0.5, RR: -0.5},
    "setback": {"wheelbase.left": 1.0, "wheelbase.right": -1.0},
    "box.yaw": {"shift.front": 1.0, "shift.rear": -1.0},
    "box.taper": {"taper": 1.0},
}
# An assumption is no result: where nothing else tells of the box, it is not told.
ASSUMED = {"box.yaw": "assumed.box_square_within", "box.taper": "assumed.strings_parallel_within"}


pytestmark = pytest.mark.no_cover


def null_space(solved: PassSolution, without: str = "") -> np.ndarray:
    """Return what the readings leave open, a column for each way, the unknowns near size one."""
    network = solved.network
    start = np.array([network.start.get(name, 0.0) for name in network.unknowns])
    if not len(network.observations):
        return np.eye(len(start))
    _, table = network.model(start)
    table = table[[one.label != without for one in network.observations]]
    size = np.abs(table).max(axis=0)
    size[size == 0.0] = 1.0
    table = table / size
    rows = np.abs(table).max(axis=1)[:, None]
    open_ways = scipy.linalg.null_space(table / rows, rcond=1e-9)
    return open_ways / size[:, None]


def open_by(name: str, solved: PassSolution, ways: np.ndarray) -> float:
    """Return how far a result can move without any reading telling; infinite where unknown."""
    unknowns = solved.network.unknowns
    if not all(part in unknowns for part in RESULTS[name]):
        return np.inf
    moved = sum(factor * ways[unknowns[part]] for part, factor in RESULTS[name].items())
    return float(np.abs(moved).max(initial=0.0))


# So wide that every random car and box meets what is assumed of it [m] or [rad].
WIDE = {
    "strings_parallel_within": 0.04,
    "box_square_within": 0.08,
    "floor_level_within": 0.04,
    "gauge_zero_within": 0.01,
}


@settings(max_examples=examples(60))
@given(seed=st.integers(0, 2**32), keep=st.floats(0.2, 0.9))
def test_null_exactly_where_the_readings_leave_it_open(seed: int, keep: float) -> None:
    job = job_from(seed)
    rng = np.random.default_rng(seed)
    readings = nominal(job, thinned(job.passes[0], rng, keep))
    solved = solve_pass(job, readings)
    ways = {without: null_space(solved, without) for without in ("", *ASSUMED.values())}
    for name in RESULTS:
        if name == "steering_wheel" and not job.car.steering_ratio:
            continue
        is_open = open_by(name, solved, ways[ASSUMED.get(name, "")]) > 1e-6
        assert is_open is (name not in solved.results), name
        assert (name in solved.not_measured) is is_open, name


def of_any_quality(job: Job, rng: np.random.Generator) -> Job:
    """Return the job with instruments from a millionth as uncertain to just as uncertain."""
    changes = {}
    for name in ("string_rule", "tape", "inclinometer", "turn_plates", "road_test"):
        instrument, factor = getattr(job.instruments, name), 10.0 ** rng.uniform(-6.0, 0.0)
        changes[name] = Instrument(
            instrument.resolution * factor, instrument.repeatability * factor
        )
    return job._replace(instruments=job.instruments._replace(**changes))


@settings(max_examples=examples(40))
@given(seed=st.integers(0, 2**32))
def test_how_good_the_instruments_are_does_not_matter(seed: int) -> None:
    """Whether a sweep tells the inclination does depend on them: it is left out here."""
    what = ("string", "hub", "bars", "tape", "road_test", "wheelbases", "camber", "camber_turned")
    job = job_from(seed, noise=False, what=what)
    rng = np.random.default_rng(seed)
    readings = thinned(job.passes[0], rng)
    one, two = solve_pass(job, readings), solve_pass(of_any_quality(job, rng), readings)
    assert set(one.results) == set(two.results)


@settings(max_examples=examples(40))
@given(seed=st.integers(0, 2**32), keep=st.floats(0.3, 1.0))
def test_exact_readings_give_the_truth_wherever_they_give_anything(seed: int, keep: float) -> None:
    """Within the interval, which covers what had to be assumed; never an absurd value."""
    job = job_from(seed, noise=False)
    job = job._replace(instruments=job.instruments._replace(**WIDE))
    rng = np.random.default_rng(seed)
    truth = SimulatedCar.random(np.random.default_rng(seed)).truth()
    solved = solve_pass(job, thinned(job.passes[0], rng, keep))
    assert not solved.doubtful
    for name, result in solved.results.items():
        if name in truth:
            assert abs(result.value - truth[name]) < 4.0 * result.u + 1e-5, name


def test_one_edge_a_wheel_and_two_tapes_give_total_toe_alone() -> None:
    """The four toes then follow only by the second order of their cosines: not at all."""
    job = job_from(1, noise=False)
    whole = job.passes[0]
    string = {
        wheel: strings._replace(**{end: ()})
        for (wheel, strings), end in zip(
            whole.string.items(), ("rear", "front", "front", "rear"), strict=True
        )
    }
    solved = solve_pass(job, whole._replace(string=string, steering_wheel_off=()))
    assert {name for name in solved.results if name in RESULTS} == {
        "total_toe.front", "total_toe.rear", "setback", *ASSUMED,
    }  # fmt: skip
    assert solved["total_toe.front"].u == pytest.approx(0.0017, rel=0.2)
