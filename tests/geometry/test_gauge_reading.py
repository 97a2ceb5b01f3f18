"""What a gauge shows on a sloping floor, and how camber follows the steering axis."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from tests.mechanisms import FORWARD, LEFTWARD, Knuckle, lean_of, outward, wheel_rotation
from toebox.geometry.camber import gauge_reading
from toebox.geometry.sweep import camber_at, camber_slopes

RNG = np.random.default_rng(3)
SIDES = ("left", "right")


def slopes_of(function, at: list[float]) -> list[float]:
    """Return derivatives by central differences."""
    found = []
    for n, value in enumerate(at):
        ends = [function(*at[:n], value + step, *at[n + 1 :]) for step in (1e-6, -1e-6)]
        found.append((ends[0] - ends[1]) / 2e-6)
    return found


@pytest.mark.parametrize("side", SIDES)
@pytest.mark.parametrize("number", range(20))
def test_it_is_the_lean_of_a_rigid_wheel_on_a_sloping_floor(side: str, number: int) -> None:
    camber, roll, pitch = np.radians(RNG.uniform((-4, -2, -2), (3, 2, 2)))
    knuckle = Knuckle(side, *np.radians(RNG.uniform((-3, 2), (12, 18))), camber)
    steer = math.radians(RNG.uniform(-30, 30))
    on_floor = Rotation.from_rotvec(roll * FORWARD) * Rotation.from_rotvec(-pitch * LEFTWARD)
    across, along = (float(on_floor.apply(axis)[2]) for axis in (LEFTWARD, FORWARD))
    shown, _ = gauge_reading(knuckle.camber(steer), steer, across, along, side)
    assert shown == pytest.approx(lean_of(on_floor.apply(knuckle.normal(steer))), abs=1e-12)


def test_a_turned_wheel_without_slope_shows_its_camber() -> None:
    normal = wheel_rotation("left_front", 0.2, -0.03).apply(outward("left_front"))
    shown, _ = gauge_reading(-0.03, -0.2, 0.0, 0.0, "left")
    assert shown == pytest.approx(lean_of(normal), abs=1e-15)


@pytest.mark.parametrize("side", SIDES)
def test_slopes_of_the_reading(side: str) -> None:
    at = [-0.03, 0.3, 0.01, -0.02]
    _, told = gauge_reading(*at, side)
    found = slopes_of(lambda *values: gauge_reading(*values, side)[0], at)
    assert told == pytest.approx(found, abs=1e-9)


@pytest.mark.parametrize("number", range(20))
def test_slopes_of_camber(number: int) -> None:
    at = np.radians(RNG.uniform((-3, 2, -4, -30), (12, 18, 3, 30))).tolist()
    camber, told = camber_slopes(*at)
    assert camber == pytest.approx(camber_at(*at), abs=1e-15)
    assert told == pytest.approx(slopes_of(camber_at, at), abs=1e-8)


def test_beyond_what_any_rotation_reaches_camber_stays_finite() -> None:
    camber, told = camber_slopes(0.0, 0.1, -1.5, 1.5)
    assert all(map(math.isfinite, (camber, *told)))
