"""Exact readings of a car made of rigid bodies give its settings back.

Toe to 1 degree, camber -3 to +2, box yaw to 0.5, taper to 0.2 degrees; nothing of the simulation
uses a formula of toebox.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.simulate import INCH, Noise
from tests.solve.simulated import STRING_BOX, cars, job_of, pass_of
from toebox.solve import solve_pass

CARS = 40
TOES = ("toe.left_front", "toe.right_front", "toe.left_rear", "toe.right_rear")
ANGLES = (*TOES, "total_toe.front", "total_toe.rear", "thrust_angle", "box.yaw", "box.taper")
WHEEL = "steering_wheel"

# Set-up: what is read, and the results that must come back.
SET_UPS = {
    "everything": (STRING_BOX, (*ANGLES, WHEEL)),
    "strings and bars": (("string", "bars"), (*ANGLES, WHEEL)),
    "tape": (("tape",), ("total_toe.front", "total_toe.rear")),
    "tape and road test": (("tape", "road_test"), ("total_toe.front", "total_toe.rear", WHEEL)),
}


@pytest.mark.parametrize("set_up", SET_UPS)
@pytest.mark.parametrize("repeats", [1, 2, 3])
def test_settings_come_back(set_up: str, repeats: int) -> None:
    what, names = SET_UPS[set_up]
    for car in cars(CARS):
        job, truth = job_of(car, repeats=repeats, what=what), car.truth()
        solved = solve_pass(job, job.passes[0])
        for name in names:
            within = 0.02 if name == WHEEL else 0.001
            assert math.degrees(solved[name].value) == pytest.approx(
                math.degrees(truth[name]), abs=within
            ), name


class OnlyRunout(Noise):
    """Rims that wobble, read exactly."""

    def read(self, value: float, instrument: tuple[float, float]) -> float:
        return value


@pytest.mark.parametrize("repeats", [2, 4])
def test_a_bent_rim_cancels_in_equal_steps_of_a_revolution(repeats: int) -> None:
    noise = OnlyRunout(np.random.default_rng(1), runout=INCH / 16)
    for car in cars(10):
        readings = pass_of(car.readings(noise, repeats, STRING_BOX))
        solved, truth = solve_pass(job_of(car), readings), car.truth()
        for name in TOES:
            off = math.degrees(solved[name].value - truth[name])
            assert off == pytest.approx(0.0, abs=0.001), name
