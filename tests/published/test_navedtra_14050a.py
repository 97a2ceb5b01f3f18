"""NAVEDTRA 14050A: set toe first, then centre the steering wheel by equal turns of both tie rods.

Turning both rods by the same amount, one longer and one shorter, leaves total toe alone and moves
the steering wheel.
"""

from __future__ import annotations

import pytest

from tests.simulate import WHEELS, SimulatedCar
from toebox.geometry.linkage import toe_change
from toebox.geometry.thrust import front_relative_toe


def test_equal_turns_centre_the_steering_wheel_and_keep_toe() -> None:
    toes = (0.004, -0.001, 0.0, 0.002)
    car = SimulatedCar(toe=dict(zip(WHEELS, toes, strict=True)))
    total = car.toe["left_front"] + car.toe["right_front"]
    left, right = front_relative_toe(total, car.steering_wheel_off(), car.steering_ratio)
    longer = 0.13 * (right - left) / 2.0  # left rod; the right one is shortened by as much
    centred = car.adjusted(
        left_front=toe_change(0.13, longer, arm_behind=True),
        right_front=toe_change(0.13, -longer, arm_behind=True),
    )
    assert centred.steering_wheel_off() == pytest.approx(0.0, abs=1e-6)
    assert abs(car.steering_wheel_off()) > 0.02
    after = centred.toe["left_front"] + centred.toe["right_front"]
    assert after == pytest.approx(total, abs=1e-15)
