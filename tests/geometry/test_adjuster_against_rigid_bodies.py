"""Threaded rods, cams and shims against bodies that are turned and joints that must meet."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from tests.mechanisms import FORWARD, LEFTWARD, UP, Screw
from toebox.geometry.adjuster import cam_movement, tilt_by_movement, tilt_by_shims

RNG = np.random.default_rng(8)
FAR = 1e5  # length of a rod so long that its joint moves straight [m]


def tilt_of_axis(lever_arm: float, rod: float, shorter: float) -> float:
    """Return how far an axis hung at its top tilts when a rod to its foot gets shorter.

    The rod lies along the car, its other end fixed to the body ahead, level with the foot.
    """
    foot = -lever_arm * UP
    body = foot + rod * FORWARD

    def too_long(angle: float) -> float:
        moved = Rotation.from_rotvec(-angle * LEFTWARD).apply(foot)
        return float(np.linalg.norm(moved - body)) - (rod - shorter)

    return brentq(too_long, -0.3, 0.3, xtol=1e-15)


@pytest.mark.parametrize("number", range(10))
def test_a_threaded_rod_tilts_the_axis(number: int) -> None:
    lever_arm, pitch = RNG.uniform(0.2, 0.5), RNG.uniform(0.001, 0.002)
    turns = RNG.uniform(-8, 8)
    shorter = Screw(pitch, left_hand=False).travel(LEFTWARD, turns)
    found = tilt_of_axis(lever_arm, FAR, shorter)
    assert tilt_by_movement(shorter, lever_arm) == pytest.approx(found, abs=1e-8)


@pytest.mark.parametrize("rod", [0.3, 0.5, 1.0])
def test_a_short_rod_leaves_what_the_docstring_says(rod: float) -> None:
    """The joint rises on its arc, by movement squared over twice the lever arm."""
    movement, lever_arm = 0.012, 0.3
    found, told = tilt_of_axis(lever_arm, rod, movement), tilt_by_movement(movement, lever_arm)
    assert abs(found / told - 1.0) < movement / (2.0 * rod) + (movement / lever_arm) ** 2


@pytest.mark.parametrize("number", range(20))
def test_a_cam_moves_its_joint(number: int) -> None:
    eccentricity = RNG.uniform(0.002, 0.008)
    position, turn = np.radians(RNG.uniform(-90, 90, 2))
    middle = eccentricity * UP  # of the disc, in the middle of the travel along FORWARD
    before, after = (
        Rotation.from_rotvec(angle * LEFTWARD).apply(middle)
        for angle in (position, position + turn)
    )
    moved = float((after - before) @ FORWARD)
    assert cam_movement(eccentricity, position, turn) == pytest.approx(moved, abs=1e-15)


@pytest.mark.parametrize("number", range(10))
def test_shims_tilt_a_plate(number: int) -> None:
    lever_arm, thickness = RNG.uniform(0.05, 0.4), RNG.uniform(-0.006, 0.006)
    edge = lever_arm * UP + thickness * FORWARD  # from the bare bolt to the shimmed one
    turn = Rotation.align_vectors([edge / np.linalg.norm(edge), LEFTWARD], [UP, LEFTWARD])[0]
    tilt = float(turn.as_rotvec() @ LEFTWARD)
    assert tilt_by_shims(thickness, lever_arm) == pytest.approx(tilt, abs=1e-9)


def test_what_no_triangle_has() -> None:
    with pytest.raises(ValueError, match="wanted a length above zero"):
        tilt_by_movement(0.4, 0.3)
    with pytest.raises(ValueError, match=r"lever arm -0\.1: wanted a number above zero"):
        tilt_by_shims(0.001, -0.1)


def test_published_arithmetic_of_a_wedge() -> None:
    """1 in 57.3 is a degree: plain trigonometry, 1/16 in over 9 1/4 in is 0.387 degrees."""
    assert math.degrees(tilt_by_shims(1 / 16, 9.25)) == pytest.approx(0.38713, abs=5e-6)
