"""ISO 8855:2011: total toe (7.1.7), mean steer (7.1.3) and Ackermann geometry (7.1.9).

7.1.9 asks that the axles of all wheels meet in one point of the rear axle's line, which is
cot(outer) - cot(inner) = track / wheelbase. The two pairs of angles are computed from that relation
for a wheelbase of 2.6 m and a track of 1.5 m and printed to 4 decimals.
"""

from __future__ import annotations

import math

import pytest

from tests.printed import printed
from toebox.geometry.box import tape_readings, total_toe_from_tape
from toebox.geometry.thrust import steering_wheel_off
from toebox.geometry.turning import outer_angle, toe_out_on_turn


@pytest.mark.parametrize(("inner", "outer"), [(20.0, "16.7416"), (28.0, "22.1411")])
def test_ackermann_geometry(inner: float, outer: str) -> None:
    found = math.degrees(outer_angle(math.radians(inner), 2.6, 1.5))
    assert found == printed(outer, f"outer angle for an inner one of {inner} [deg]", "7.1.9")
    toe_out = math.degrees(toe_out_on_turn(math.radians(inner), 2.6, 1.5))
    assert toe_out == pytest.approx(inner - float(outer), abs=5e-5)


@pytest.mark.parametrize("inner", [1.0, 12.0, 33.0, 55.0])
def test_difference_of_cotangents(inner: float) -> None:
    outer = outer_angle(math.radians(inner), 2.6, 1.5)
    difference = 1.0 / math.tan(outer) - 1.0 / math.tan(math.radians(inner))
    assert difference == pytest.approx(1.5 / 2.6, rel=1e-12)


def test_total_toe_is_the_sum_of_both_wheels() -> None:
    left, right = math.radians(0.35), math.radians(-0.10)
    front, rear = tape_readings(left, right, 1.5, 0.6)
    assert total_toe_from_tape(front, rear, 0.6) == pytest.approx(left + right, rel=1e-5)


def test_straight_running_has_no_mean_steer_relative_to_the_thrust_line() -> None:
    # Steer angles to the right: +toe on the left, -toe on the right; their mean is mean steer.
    left, right, thrust, ratio = 0.004, 0.001, 0.0025, 16.0
    turned = steering_wheel_off(ratio, thrust, left, right) / ratio
    mean_steer = ((left + turned) + (-right + turned)) / 2.0
    assert mean_steer == pytest.approx(thrust, abs=1e-15)
