"""Thread that stays engaged: told, warned of, never turned out of."""

from __future__ import annotations

import math

import pytest

from tests.correct.adjusted import ARM, THREAD
from tests.simulate import Perfect, SimulatedCar
from tests.solve.simulated import job_of
from toebox.correct import correct
from toebox.correct.engagement import LEAST_SHARE, allowed, ends, imbalance, tells_length, turned
from toebox.correct.results import PassCorrection
from toebox.job.model import SIDES, Goal, Job, TieRod, Turned
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.solve import solve
from toebox.units import read_thread

TOO_FAR = SimulatedCar(
    toe={"left_front": -0.02, "right_front": -0.02, "left_rear": 0.0, "right_rear": 0.0}
)
GOALS = {
    "total_toe.front": Goal(math.radians(0.1), math.radians(0.1)),
    "steering_wheel": Goal(0.0, math.radians(2.0)),
}


def job(left: float, right: float, **changes: object) -> Job:
    """Return a job of a car with much toe-out, whose rods must get longer by 2.7 mm each."""
    rod = TieRod(True, ARM, outer_thread=THREAD)
    rods = {
        side: rod._replace(outer_engaged=engaged, **changes)
        for side, engaged in zip(SIDES, (left, right), strict=True)
    }
    return job_of(TOO_FAR, goals=GOALS, tie_rods=rods)


def told(job: Job) -> PassCorrection:
    return correct(solve(job))[-1]


def report(job: Job) -> str:
    solution = solve(job)
    return " ".join(render_text(make_view(solution, correct(solution)), 100).split())


def test_enough_thread_is_no_limit_and_no_warning() -> None:
    found = told(job(0.030, 0.030))
    for rod in found.rods:
        (end,) = rod.ends
        assert rod.turns == pytest.approx(11 / 6)
        assert end.before - end.after == pytest.approx(11 / 6 * 0.0015)
        assert not end.short
        assert not rod.limited
    assert found.imbalance == pytest.approx(0.0, abs=1e-12)
    assert "less than one diameter" not in report(job(0.030, 0.030))


def test_less_than_one_diameter_is_warned_of() -> None:
    """One nominal diameter at the least: common practice, no published source."""
    found = told(job(0.0165, 0.030))
    assert [rod.ends[0].short for rod in found.rods] == [True, False]
    assert not any(rod.limited for rod in found.rods)
    assert found.rods[0].turns == pytest.approx(11 / 6)
    text = report(job(0.0165, 0.030))
    assert "left tie rod has 21/32 in (16.5 mm) of thread engaged now and would have" in text
    assert "■ less than one diameter" in text


@pytest.mark.parametrize("engaged", [0.0085, 0.0075, 0.0071, 0.0070, 0.005, 0.001, 0.0])
def test_no_turn_runs_out_of_thread(engaged: float) -> None:
    found = told(job(engaged, 0.030))
    left, right = found.rods
    least = min(LEAST_SHARE * 0.014, engaged)
    assert left.limited
    assert left.turns is not None
    assert left.turns >= 0.0
    assert left.ends[0].after >= least - 1e-9
    # The next flat would have gone below.
    assert engaged - (left.turns + 1 / 6) * 0.0015 < least
    assert not right.limited
    text = report(job(engaged, 0.030))
    assert "only as far as its thread allows" in text
    if engaged < 0.007:
        assert "not safe to drive" in text


def test_the_other_rod_makes_up_for_a_limit_as_far_as_both_goals_want() -> None:
    """Solved anew: of all turns of the right rod none leaves the two goals better together."""
    limited = job(0.0085, 0.030)
    found = told(limited)
    left, right = found.rods
    assert left.turns == pytest.approx(1.0)
    assert right.turns is not None
    assert right.turns != pytest.approx(11 / 6)
    per_turn = THREAD.pitch / ARM
    ratio = limited.car.steering_ratio
    assert ratio is not None

    def cost(turns: float) -> float:
        a = left.ideal - math.asin(left.turns * per_turn)  # type: ignore[operator]
        b = right.ideal - math.asin(turns * per_turn)
        return ((a + b) / 0.1) ** 2 + (ratio * (a - b) / 2.0 / 2.0) ** 2

    best = min((n / 6 for n in range(-30, 60)), key=cost)
    assert right.turns == pytest.approx(best)
    solved = solve(limited).passes[-1]
    assert left.wanted_toe == pytest.approx(solved["toe.left_front"].value + per_turn, abs=1e-6)


@pytest.mark.parametrize("what", [("string", "bars", "tape"), ("tape", "road_test")])
def test_readings_to_stop_at_are_those_that_a_limit_allows(what: tuple[str, ...]) -> None:
    limited = job(0.0085, 0.030)
    readings = job_of(TOO_FAR, what=what).passes
    limited = limited._replace(passes=readings)
    found = told(limited)
    assert [rod.limited for rod in found.rods] == [True, False]
    per_turn = THREAD.pitch / ARM
    after = TOO_FAR
    for rod in found.rods:
        after = after.adjusted(**{f"{rod.side}_front": math.asin((rod.turns or 0.0) * per_turn)})
        tape = after.tape_readings(Perfect(), "front")
        read = tape["rear_edge"][0] - tape["front_edge"][0]
        assert rod.stop_at_tape == pytest.approx(read, abs=5e-5)


def test_turns_of_earlier_passes_count() -> None:
    first = job(0.030, 0.030)
    after = first.passes[0]._replace(turned={"left": Turned(2.0), "right": Turned(-1.0)})
    found = told(first._replace(passes=(*first.passes, after)))
    assert [rod.ends[0].before for rod in found.rods] == pytest.approx([0.027, 0.0315])


def test_an_uneven_pair_is_reported() -> None:
    found = told(job(0.030, 0.024))
    assert found.imbalance == pytest.approx(0.006)
    text = report(job(0.030, 0.024))
    assert "The right tie rod has 15/64 in (6.0 mm) less thread engaged" in text
    assert "The gear is likely off centre" in text


def test_of_equal_roundings_the_one_that_evens_the_threads_is_taken() -> None:
    """Without a road test or strings the odd flat may go to either side."""
    tape = job(0.030, 0.030).passes[0]._replace(string={}, steering_wheel_off=())
    first = job(0.030, 0.030)
    goals = {"total_toe.front": Goal(math.radians(0.179), math.radians(0.2))}
    turns = []
    for left, right in ((0.0300, 0.0315), (0.0315, 0.0300)):
        rods = {
            side: first.tie_rods[side]._replace(outer_engaged=engaged)
            for side, engaged in zip(SIDES, (left, right), strict=True)
        }
        found = told(first._replace(passes=(tape,), goals=goals, tie_rods=rods))
        turns.append([rod.turns or 0.0 for rod in found.rods])
    one, other = turns
    assert one == other[::-1]
    assert one[0] < one[1]


def test_both_ends_of_a_sleeve_and_of_an_adapter() -> None:
    sleeve = TieRod(
        True,
        ARM,
        outer_thread=THREAD,
        inner_thread=read_thread("M14x1.5-LH"),
        outer_engaged=0.02,
        inner_engaged=0.01,
    )
    assert [e.after for e in ends(sleeve, 2.0)] == pytest.approx([0.017, 0.007])
    assert allowed(sleeve) == pytest.approx((-math.inf, 2.0))
    adapter = sleeve._replace(inner_thread=read_thread("M16x2"), inner_engaged=0.012)
    # Lengthening by turns outwards at the inner end draws the outer end in, or the other way.
    assert sum(e.before - e.after for e in ends(adapter, 2.0)) == pytest.approx(2 * 0.0005)
    low, high = allowed(adapter)
    assert low < 0.0 < high < math.inf
    for turns in (low, high):
        assert min(e.after - e.least for e in ends(adapter, turns)) == pytest.approx(0, abs=1e-12)
    assert turned(sleeve, 30.0).outer_engaged == 0.0
    assert ends(TieRod(outer_engaged=0.02)) == ()
    assert imbalance(ends(sleeve), ()) is None


@pytest.mark.parametrize(
    ("outer", "inner", "known", "told"),
    [
        ("M14x1.5", "M16x2", False, False),
        ("M14x1.5", "M16x2", True, True),
        ("M14x1.5", "M14x1.5-LH", False, True),
        ("M14x1.5-LH", "M16x2", False, True),
        ("M14x1.5", None, False, True),
    ],
)
def test_thread_at_one_end_of_an_adapter_tells_no_length(
    outer: str, inner: str | None, known: bool, told: bool
) -> None:
    """Turned with equal hands it leaves the one end as it enters the other."""
    rod = TieRod(
        True,
        0.13,
        outer_thread=read_thread(outer),
        inner_thread=read_thread(inner) if inner else None,
        outer_engaged=0.02,
        inner_engaged=0.02 if known else None,
    )
    assert tells_length(rod) == told
