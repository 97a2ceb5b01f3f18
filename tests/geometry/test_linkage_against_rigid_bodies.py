"""Which way to turn a tie rod, against screws and steering arms moved as rigid bodies."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from tests.mechanisms import Screw, TieRod, clockwise
from toebox.geometry import linkage

HANDS = (False, True)
SWIVEL = (0.0, False)
OUTER = [(p, hand) for p in (0.0015, 0.002) for hand in HANDS]
INNER = [*((0.00125, hand) for hand in HANDS), SWIVEL]
CASES = list(itertools.product(("left", "right"), OUTER, INNER, (True, False), (0.5, -1.75)))


@pytest.mark.parametrize(("side", "outer", "inner", "behind", "turns"), CASES)
def test_every_hand_end_arm_and_side(
    side: str, outer: tuple[float, bool], inner: tuple[float, bool], behind: bool, turns: float
) -> None:
    rod = TieRod(side, Screw(*outer), Screw(*inner), behind)
    shortening = linkage.shortening_per_turn(*outer, *inner)
    lengthening = rod.lengthening(turns)
    assert -turns * shortening == pytest.approx(lengthening, abs=1e-12)
    assert linkage.turns_for(lengthening, shortening) == pytest.approx(turns, abs=1e-9)
    toe = rod.toe_after(lengthening)
    assert linkage.toe_change(rod.arm_length, lengthening, behind) == pytest.approx(toe, rel=4e-3)
    assert linkage.rod_length_change(rod.arm_length, toe, behind) == pytest.approx(
        lengthening, rel=4e-3
    )


@pytest.mark.parametrize(("pitch", "left_hand"), [*OUTER])
@pytest.mark.parametrize("turns", [0.5, -2.0])
def test_engagement_is_what_the_screw_travelled(
    pitch: float, left_hand: bool, turns: float
) -> None:
    outwards = Screw(pitch, left_hand).travel(np.array([0.0, 1.0, 0.0]), turns)
    for end, into in (("outer", outwards), ("inner", -outwards)):
        after = linkage.engagement_after(0.02, pitch, left_hand, turns, end)
        assert after - 0.02 == pytest.approx(into, abs=1e-12)


def test_shorter_rod_means_more_thread_engaged() -> None:
    for (p_o, h_o), (p_i, h_i) in itertools.product(OUTER, INNER):
        gained = sum(
            linkage.engagement_after(0.0, p, h, 1.0, end)
            for p, h, end in ((p_o, h_o, "outer"), (p_i, h_i, "inner"))
        )
        shortening = linkage.shortening_per_turn(p_o, h_o, p_i, h_i)
        assert gained == pytest.approx(shortening, abs=1e-15)


def test_the_simulated_screw_is_a_common_one() -> None:
    away = np.array([0.0, 1.0, 0.0])
    assert Screw(0.002, left_hand=False).travel(away, 1.0) == pytest.approx(0.002, abs=1e-12)
    # Clockwise for somebody looking left along the car's y axis, who has the front at his right.
    assert clockwise(away, 0.25).apply([0.0, 0.0, 1.0]) == pytest.approx([1.0, 0.0, 0.0])


def test_toe_and_length_are_inverses() -> None:
    for behind in (True, False):
        change = linkage.rod_length_change(0.13, 0.02, behind)
        assert linkage.toe_change(0.13, change, behind) == pytest.approx(0.02, abs=1e-16)
        assert (change > 0) is behind


def test_arrays_of_toe_changes() -> None:
    changes = linkage.rod_length_change(0.13, np.array([-0.01, 0.0, 0.01]), arm_behind=True)
    assert changes == pytest.approx([-0.13 * math.sin(0.01), 0.0, 0.13 * math.sin(0.01)])


def test_what_cannot_be_turned_is_refused() -> None:
    with pytest.raises(ValueError, match="both ends have the same pitch and hand"):
        linkage.shortening_per_turn(0.0015, False, 0.0015, False)
    with pytest.raises(ValueError, match="pitch below zero"):
        linkage.shortening_per_turn(-0.0015, False)
    with pytest.raises(ValueError, match="no turning changes this length"):
        linkage.turns_for(0.001, 0.0)
    with pytest.raises(ValueError, match="end 'middle': wanted 'outer' or 'inner'"):
        linkage.engagement_after(0.02, 0.0015, False, 1.0, "middle")
    with pytest.raises(ValueError, match=r"arm length 0\.0: wanted a number above zero"):
        linkage.rod_length_change(0.0, 0.01, True)
    with pytest.raises(ValueError, match="wanted a length above zero to take it across"):
        linkage.toe_change(0.13, 0.2, True)
