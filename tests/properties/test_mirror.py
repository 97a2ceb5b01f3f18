"""A car seen in a mirror: left and right change places, and nothing else changes."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.effort import examples
from tests.properties.drawn import job_from, mirrored, other, thinned
from toebox.correct import correct
from toebox.correct.remains import done
from toebox.correct.results import PassCorrection, RodCorrection
from toebox.job import load
from toebox.job.model import Job
from toebox.solve import Solution, solve_pass

pytestmark = pytest.mark.no_cover
SAMPLES = sorted((Path(__file__).resolve().parents[2] / "samples").glob("*.toml"))
# What points to one side, or is the left wheel's minus the right one's, changes its sign.
CHANGES_SIGN = ("thrust_angle", "steering_wheel", "box.yaw", "setback", "cross_")
CLOSE = 1e-10  # of the sums that come in another order [rad] or [m]


def solution(job: Job) -> Solution:
    return Solution(job, tuple(solve_pass(job, readings) for readings in job.passes))


def assert_mirrored(job: Job) -> None:
    one, two = solution(job), solution(mirrored(job))
    for here, there in zip(one.passes, two.passes, strict=True):
        assert {other(name) for name in here.results} == set(there.results)
        assert {other(name) for name in here.not_measured} == set(there.not_measured)
        for name, result in here.results.items():
            seen = there[other(name)]
            sign = -1.0 if name.startswith(CHANGES_SIGN) else 1.0
            assert seen.value == pytest.approx(sign * result.value, abs=CLOSE), name
            assert seen.u == pytest.approx(result.u, rel=1e-6), name
        assert_same_slips(here, there)
    for left, right in zip(correct(one), correct(two), strict=True):
        assert_same_turns(left, right)


def assert_same_slips(here, there) -> None:
    """The same readings are doubted, on the other side."""
    found, seen = ({d.reading: d for d in p.doubtful if d.group == 1} for p in (here, there))
    assert {other(name) for name in found} == set(seen)
    for name, doubt in found.items():
        size = abs(doubt.standardised_residual)
        assert abs(seen[other(name)].standardised_residual) == pytest.approx(size, rel=1e-6)


def assert_same_turns(here: PassCorrection, there: PassCorrection) -> None:
    """The same turns the same way at the other tie rod, seen along it from the middle."""
    rods = {rod.side: rod for rod in there.rods}
    assert {other(rod.side) for rod in here.rods} == set(rods)
    for rod in here.rods:
        seen = rods[other(rod.side)]
        assert seen.toe_change == pytest.approx(rod.toe_change, abs=CLOSE)
        assert seen.justified is rod.justified
        before = stood(rod, here.by_turns)
        assert stood(seen, there.by_turns) == pytest.approx(before, abs=CLOSE)
        if not (alike(here) and here.by_turns):  # else each stops where its own turns bring it
            assert seen.stop_at_string == pytest.approx(rod.stop_at_string, abs=CLOSE)
        if not alike(here):
            assert seen.turns == pytest.approx(rod.turns, abs=1e-9)
            assert (seen.clockwise, seen.direction) == (rod.clockwise, rod.direction)
    turns = [sorted(rod.turns or 0.0 for rod in found.rods) for found in (here, there)]
    assert turns[1] == pytest.approx(turns[0], abs=1e-9)


def stood(rod: RodCorrection, by_turns: bool) -> float | None:
    """Toe of a front wheel, as clamped, before its rod is turned."""
    if rod.wanted_toe is None:
        return None
    return rod.wanted_toe - (done(rod) if by_turns else rod.toe_change)


def alike(found: PassCorrection) -> bool:
    """Tell whether both rods want the same: an odd number of steps is then shared out anyhow."""
    changes = [rod.ideal for rod in found.rods]
    return len(changes) == 2 and abs(changes[0] - changes[1]) < CLOSE


@settings(max_examples=examples(40))
@given(st.integers(0, 2**32), st.booleans())
@example(17457, False)  # one step for two rods that want the same: whichever gets it
def test_a_random_car(seed: int, all_read: bool) -> None:
    job = job_from(seed)
    if not all_read:
        rng = np.random.default_rng(seed)
        job = job._replace(passes=(thinned(job.passes[0], rng),))
    assert_mirrored(job)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_with_its_tie_rods_and_all_passes(path: Path) -> None:
    assert_mirrored(load(path))
