"""Turns of both rods: what is told, what is withheld, and where the threads end."""

from __future__ import annotations

import math

import pytest

from toebox.correct.effects import Effect
from toebox.correct.results import RodCorrection
from toebox.correct.turning import Scales, with_turns
from toebox.job import loads
from toebox.job.model import TieRod
from toebox.units import read_thread

PER_TURN = 0.01
KNOWN = Effect(PER_TURN, 0.001)
DOUBTFUL = KNOWN._replace(doubtful=True)
SCALES = Scales(16.0, (math.radians(0.05), math.radians(2.0)))
ROD = TieRod(outer_thread=read_thread("M14x1.5"), outer_engaged=0.030)


def pair(left: float, right: float, justified: bool = True) -> tuple[RodCorrection, ...]:
    """Return changes of toe that take so many turns."""
    changes = {"left": left, "right": right}
    return tuple(
        RodCorrection(side, math.asin(n * PER_TURN), 1e-4, justified, math.asin(n * PER_TURN))
        for side, n in changes.items()
    )


def told(rods, left=KNOWN, right=KNOWN, rod=ROD):
    effects = {s: e for s, e in (("left", left), ("right", right)) if e is not None}
    return with_turns({"left": rod, "right": rod}, rods, effects, SCALES)


def test_the_scales_are_those_of_the_job() -> None:
    usual = math.radians(0.05), math.radians(2.0)  # common practice, no published source
    assert Scales.of(loads('length_unit = "mm"', "job")) == Scales(16.0, usual)
    car = 'length_unit = "mm"\ncar.steering_ratio = 14\n'
    goals = "[goal]\nfront_total_toe = { angle = 0.1, tolerance = 0.2 }\n"
    wheel = "steering_wheel = { angle = 0, tolerance = 3 }\n"
    found = Scales.of(loads(car + goals + wheel, "job"))
    assert found.ratio == 14.0
    assert found.tolerances == pytest.approx((math.radians(0.2), math.radians(3.0)))
    some = Scales.of(loads(car + goals.replace(", tolerance = 0.2", "") + wheel, "job")).tolerances
    assert some == pytest.approx((usual[0], math.radians(3.0)))
    assert Scales.of(loads(car + goals, "job")).tolerances == pytest.approx(
        (math.radians(0.2), usual[1])
    )


def test_turns_and_their_way() -> None:
    """A right-hand thread at the outer end: clockwise, seen from the middle, shortens."""
    left, right = told(pair(2.0, -1.5))
    assert (left.turns, right.turns) == pytest.approx((2.0, -1.5))
    assert (left.exact_turns, right.exact_turns) == pytest.approx((2.0, -1.5))
    assert (left.clockwise, right.clockwise) == (False, True)
    assert (left.limited, left.withheld) == (False, "")
    assert [end.after for rod in (left, right) for end in rod.ends] == pytest.approx(
        [0.027, 0.03225]
    )
    mirrored = ROD._replace(outer_thread=read_thread("M14x1.5-LH"))
    assert [rod.clockwise for rod in told(pair(2.0, -1.5), rod=mirrored)] == [True, False]
    bare = told(pair(2.0, -1.5), rod=TieRod())
    assert [(rod.turns, rod.clockwise, rod.ends) for rod in bare] == [
        (pytest.approx(2.0), None, ()),
        (pytest.approx(-1.5), None, ()),
    ]


def test_nothing_justified_is_nothing_turned() -> None:
    for rod in told(pair(2.0, -1.5, justified=False)):
        assert (rod.turns, rod.clockwise, rod.limited, rod.withheld) == (0.0, None, False, "")
        assert rod.exact_turns is not None
        assert [(end.before, end.after) for end in rod.ends] == [(0.030, 0.030)]
    doubtful = told(pair(9.0, 9.0, justified=False), left=DOUBTFUL)
    assert [rod.withheld for rod in doubtful] == ["", ""]


@pytest.mark.parametrize(
    "exact, turns", [(1.36, 8 / 6), (1.44, 9 / 6), (-1.36, -8 / 6), (-0.05, 0.0)]
)
def test_beside_a_rod_whose_turn_is_withheld_the_other_is_rounded_alone(
    exact: float, turns: float
) -> None:
    for left, right in ((DOUBTFUL, KNOWN), (None, KNOWN)):
        first, second = told(pair(0.3, exact), left, right)
        assert (first.turns, first.withheld) == (None, "effect" if left else "")
        assert first.exact_turns is None  # what is not known, or in doubt, gives no number
        assert second.turns == pytest.approx(turns)
        first, second = told(pair(exact, 0.3), right, left)
        assert (first.turns, second.turns) == (pytest.approx(turns), None)


def test_beyond_three_degrees_no_turn_is_told() -> None:
    """Common practice, no published source; it counts before all else, and for both rods.

    A bent part or a wrong reading at one wheel makes the share of the other one wrong as well.
    """
    near, beyond = (math.sin(math.radians(d)) / PER_TURN for d in (2.99, 3.01))
    assert [rod.withheld for rod in told(pair(near, -near))] == ["", ""]
    for turns in (beyond, -beyond):
        left, right = told(pair(turns, 1.0))
        assert (left.withheld, left.turns) == ("beyond", None)
        assert (right.withheld, right.turns, right.to_set) == ("other", None, False)
        assert told(pair(turns, 1.0), left=DOUBTFUL)[0].withheld == "beyond"
        assert told(pair(turns, 1.0, justified=False))[0].withheld == ""


@pytest.mark.parametrize(
    "wanted, limited",
    [(10.0, False), (10.05, False), (10.12, True), (-9.0, False)],
)
def test_a_rod_is_limited_where_its_nearest_turn_runs_out_of_thread(
    wanted: float, limited: bool
) -> None:
    """22 mm engaged, 7 mm must stay: ten turns of 1.5 mm."""
    narrow = Effect(PER_TURN / 4, 1e-4)
    short = ROD._replace(outer_engaged=0.022)
    changes = math.asin(wanted * PER_TURN / 4), math.asin(PER_TURN / 4)
    rods = tuple(
        rod._replace(toe_change=change, ideal=change)
        for rod, change in zip(pair(0.0, 0.0), changes, strict=True)
    )
    left, right = told(rods, narrow, narrow, short)
    assert (left.limited, right.limited) == (limited, False)
    assert left.turns is not None
    assert left.turns <= 10.0 + 1e-9


@pytest.mark.parametrize(
    "wanted, limited", [(-8.6, False), (-8.8, True), (-9.4, True), (3.0, False)]
)
def test_an_adapter_runs_out_of_thread_the_other_way(wanted: float, limited: bool) -> None:
    """Shortened by turns that screw it out of the outer end: 20 - 7 mm at 1.5 mm a turn."""
    adapter = ROD._replace(outer_engaged=0.020, inner_thread=read_thread("M16x2"))
    narrow = Effect(PER_TURN / 4, 1e-4)
    change = math.asin(wanted * PER_TURN / 4)
    rods = tuple(rod._replace(toe_change=change, ideal=change) for rod in pair(0.0, 0.0))
    for rod in told(rods, narrow, narrow, adapter):
        assert rod.limited == limited
        assert rod.turns is not None
        assert rod.turns >= -13 / 1.5 - 1e-9
        assert rod.clockwise == (wanted > 0.0)


def test_of_equal_roundings_the_one_that_evens_the_threads() -> None:
    """One flat too many or too few on either side is alike to the total toe."""
    scales = SCALES._replace(tolerances=(math.radians(0.05), math.radians(200.0)))
    effects = {"left": KNOWN, "right": KNOWN}
    for more, less in (("left", "right"), ("right", "left")):
        rods = {more: ROD._replace(outer_engaged=0.0305), less: ROD}
        found = with_turns(rods, pair(0.25, 0.25), effects, scales)
        turns = {rod.side: rod.turns for rod in found}
        assert (turns[more], turns[less]) == pytest.approx((2 / 6, 1 / 6))
