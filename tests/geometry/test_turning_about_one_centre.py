"""Toe-out on turns against wheels whose axles are drawn to one turning centre."""

from __future__ import annotations

import math

import numpy as np
import pytest

from toebox.geometry.turning import outer_angle, toe_out_on_turn


@pytest.mark.parametrize("inner", [0.01, 5.0, 20.0, 38.0, 60.0])
@pytest.mark.parametrize(("wheelbase", "track"), [(2.6, 1.5), (2.3, 1.6), (3.2, 1.4)])
def test_both_axles_meet_in_one_point(inner: float, wheelbase: float, track: float) -> None:
    # Rear axle along y; a left turn, its centre at (0, y) where the left wheel's axle meets it.
    axle = np.array([math.sin(math.radians(inner)), -math.cos(math.radians(inner))])
    left, right = np.array([wheelbase, track / 2]), np.array([wheelbase, -track / 2])
    centre = left - axle * (left[0] / axle[0])
    arm = right - centre
    outer = math.atan2(arm[0], -arm[1])
    assert outer_angle(math.radians(inner), wheelbase, track) == pytest.approx(outer, abs=1e-14)
    told = toe_out_on_turn(math.radians(inner), wheelbase, track)
    assert told == pytest.approx(math.radians(inner) - outer, abs=1e-14)


def test_straight_ahead_is_straight() -> None:
    assert outer_angle(0.0, 2.6, 1.5) == 0.0
    assert toe_out_on_turn(np.array([0.0, 0.3]), 2.6, 1.5)[0] == 0.0


def test_lengths_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"wheelbase 0\.0: wanted a number above zero"):
        outer_angle(0.3, 0.0, 1.5)
    with pytest.raises(ValueError, match=r"track -1\.5: wanted a number above zero"):
        toe_out_on_turn(0.3, 2.6, -1.5)
