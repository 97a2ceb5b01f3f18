"""Tie rods and their threads by hand: lengths, turns, thread engaged, how far they may go."""

from __future__ import annotations

import math

import pytest

from toebox.correct.engagement import End, allowed, ends, imbalance, turned
from toebox.correct.rods import (
    arm_uncertainty,
    arm_within,
    clockwise_turns,
    length_change,
    lengthening_per_turn,
    toe_from_turns,
    turns_for_toe,
)
from toebox.job.model import TieRod
from toebox.units import read_thread

RIGHT, LEFT = read_thread("M14x1.5"), read_thread("M14x1.5-LH")
COARSE = read_thread("M16x2")


def test_how_well_an_arm_is_known() -> None:
    """As stated, else 15 % of it; a rectangle (GUM 4.3.7)."""
    rod = TieRod(arm_length=0.12)
    assert arm_within(rod) == pytest.approx(0.018)
    assert arm_within(TieRod()) == 0.0
    stated = rod._replace(arm_length_within=0.003)
    assert arm_within(stated) == 0.003
    assert arm_uncertainty(stated) == pytest.approx(0.003 / math.sqrt(3.0))
    assert arm_within(rod._replace(arm_length_within=0.0)) == 0.0
    assert arm_uncertainty(rod._replace(arm_length_within=0.0)) == 1e-6


@pytest.mark.parametrize(
    "outer, inner, lengthening",
    [
        (RIGHT, None, -1.5),
        (LEFT, None, 1.5),
        (RIGHT, LEFT, -3.0),
        (LEFT, RIGHT, 3.0),
        (RIGHT, COARSE, 0.5),
        (LEFT, COARSE._replace(left_hand=True), -0.5),
    ],
)
def test_a_turn_clockwise(outer, inner, lengthening: float) -> None:
    """Seen from the car's middle a right-hand thread at the outer end is screwed in."""
    rod = TieRod(outer_thread=outer, inner_thread=inner)
    assert lengthening_per_turn(rod) == pytest.approx(lengthening / 1000)
    sign = 1.0 if lengthening > 0.0 else -1.0
    for turns in (2.0, -0.5):
        assert clockwise_turns(rod, turns) == sign * turns
    assert lengthening_per_turn(rod._replace(outer_thread=None)) is None
    assert clockwise_turns(rod._replace(outer_thread=None), 1.0) is None


def test_length_turns_and_toe() -> None:
    rod = TieRod(True, 0.12)
    assert length_change(rod, 0.02) == pytest.approx(0.12 * math.sin(0.02))
    assert length_change(rod._replace(arm_behind=False), 0.02) == pytest.approx(-0.0024, rel=1e-3)
    assert length_change(TieRod(), 0.02) is None
    assert turns_for_toe(0.01, math.asin(0.025)) == pytest.approx(2.5)
    assert toe_from_turns(0.01, -2.5) == pytest.approx(-math.asin(0.025))
    # No turns tilt a wheel beyond a right angle.
    assert toe_from_turns(0.01, 200.0) == pytest.approx(math.pi / 2)
    assert toe_from_turns(0.01, -200.0) == pytest.approx(-math.pi / 2)


@pytest.mark.parametrize(
    "before, after, short, least",
    [
        (0.020, 0.0140, False, 0.007),
        (0.020, 0.0139, True, 0.007),
        (0.0139, 0.0200, True, 0.007),
        (0.014, 0.0150, False, 0.007),
        (0.006, 0.0060, True, 0.006),
    ],
)
def test_an_end_is_short_below_one_diameter(
    before: float, after: float, short: bool, least: float
) -> None:
    """Before or after; no turn may leave less than half a diameter, or less than there was."""
    end = End("outer", before, after, 0.014)
    assert end.short == short
    assert end.least == pytest.approx(least)


SLEEVE = TieRod(outer_thread=RIGHT, inner_thread=LEFT, outer_engaged=0.020, inner_engaged=0.016)
ADAPTER = SLEEVE._replace(inner_thread=COARSE)


def engaged(rod: TieRod, turns: float = 0.0) -> dict[str, tuple[float, float, float]]:
    return {e.end: (e.before, e.after, e.diameter) for e in ends(rod, turns)}


def test_thread_engaged_end_by_end() -> None:
    assert engaged(SLEEVE) == {"outer": (0.020, 0.020, 0.014), "inner": (0.016, 0.016, 0.014)}
    both = engaged(SLEEVE, 2.0)
    assert [after for _, after, _ in both.values()] == pytest.approx([0.017, 0.013])
    # An adapter that gets longer is turned clockwise: 1.5 mm in outside, 2 mm out inside.
    both = engaged(ADAPTER, 2.0)
    assert [after for _, after, _ in both.values()] == pytest.approx([0.023, 0.012])
    assert [diameter for *_, diameter in both.values()] == [0.014, 0.016]
    assert list(engaged(SLEEVE._replace(inner_engaged=None))) == ["outer"]
    assert list(engaged(SLEEVE._replace(outer_engaged=None))) == ["inner"]
    assert list(engaged(SLEEVE._replace(inner_thread=None))) == ["outer"]
    assert engaged(SLEEVE._replace(outer_thread=None)) == {}


@pytest.mark.parametrize(
    "rod, low, high",
    [
        (SLEEVE, -math.inf, 6.0),  # the inner end: 16 - 7 mm at 1.5 mm a turn
        (SLEEVE._replace(inner_engaged=0.030), -math.inf, 13 / 1.5),
        (ADAPTER, -13 / 1.5, 4.0),  # longer: 16 - 8 mm at 2 mm; shorter: 20 - 7 mm at 1.5 mm
        (ADAPTER._replace(outer_engaged=None), -math.inf, 4.0),
        (ADAPTER._replace(inner_engaged=None), -13 / 1.5, math.inf),
        (SLEEVE._replace(outer_engaged=0.005), -math.inf, 0.0),
        (TieRod(outer_thread=RIGHT), -math.inf, math.inf),
        (TieRod(), -math.inf, math.inf),
    ],
)
def test_how_far_a_rod_may_be_turned(rod: TieRod, low: float, high: float) -> None:
    assert allowed(rod) == pytest.approx((low, high), abs=1e-9)


def test_turning_takes_thread_and_never_more_than_there_is() -> None:
    after = turned(ADAPTER, 2.0)
    assert (after.outer_engaged, after.inner_engaged) == pytest.approx((0.023, 0.012))
    assert turned(ADAPTER, 0.0) == ADAPTER
    out = turned(ADAPTER, 50.0)
    assert out.inner_engaged == 0.0
    assert out.outer_engaged == pytest.approx(0.095)
    one = turned(ADAPTER._replace(inner_engaged=None), 2.0)
    assert (one.outer_engaged, one.inner_engaged) == (pytest.approx(0.023), None)
    other = turned(ADAPTER._replace(outer_engaged=None), 2.0)
    assert (other.outer_engaged, other.inner_engaged) == (None, pytest.approx(0.012))


def test_what_is_engaged_stays_where_no_thread_tells_how_it_changes() -> None:
    rod = TieRod(outer_engaged=0.020, inner_engaged=0.010)
    assert turned(rod, 2.0) == rod
    outer = turned(SLEEVE._replace(inner_thread=None), 2.0)
    assert (outer.outer_engaged, outer.inner_engaged) == (pytest.approx(0.017), 0.016)


def test_the_difference_of_two_rods_counts_ends_known_on_both_sides() -> None:
    even = ends(SLEEVE)
    longer = ends(SLEEVE, 2.0)
    assert imbalance(even, longer) == pytest.approx(0.006)
    assert imbalance(longer, even) == pytest.approx(-0.006)
    only = ends(SLEEVE._replace(outer_engaged=None), 2.0)
    assert imbalance(even, only) == pytest.approx(0.003)
    assert imbalance(only, even) == pytest.approx(-0.003)
    assert imbalance(even, ()) is None
    assert imbalance((), even) is None
