"""How the strings stand round the car is measured: toe does not depend on it.

The cars are rigid bodies, so the formulas behind the results have no part in the readings. Camber
tilts the rim points a little out of the wheel's horizontal plane: 1e-4 degrees at most. Setback is
left out: it puts the wheels of an axle where a tapered box has not the same width.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.effort import examples
from tests.simulate import SimulatedCar
from tests.solve.simulated import STRING_BOX, job_of
from toebox.solve import solve

pytestmark = pytest.mark.no_cover
CLOSE = math.radians(1e-4)
SAME = ("toe.", "total_toe.", "thrust_angle", "toe_to_thrust.", "steering_wheel")


@settings(max_examples=examples(25))
@given(
    seed=st.integers(0, 2**32),
    yaw=st.floats(-0.5, 0.5),
    taper=st.floats(-0.2, 0.2),
    shift=st.floats(-0.03, 0.03),
    wider=st.floats(0.0, 0.2),
)
def test_shifted_yawed_tapered_or_wider(
    seed: int, yaw: float, taper: float, shift: float, wider: float
) -> None:
    car = SimulatedCar.random(np.random.default_rng(seed))
    square = replace(car, setback=0.0, yaw=0.0, taper=0.0, shift=0.0)
    askew = replace(
        square,
        yaw=math.radians(yaw),
        taper=math.radians(taper),
        shift=shift,
        box_width=square.box_width + wider,
    )
    before, after = (
        solve(job_of(car, what=tuple(w for w in STRING_BOX if w != "road_test"))).passes[0]
        for car in (square, askew)
    )
    assert set(before.results) == set(after.results)
    compared = [name for name in before.results if name.startswith(SAME)]
    assert len(compared) == 10
    for name in compared:
        close = CLOSE * (askew_ratio(name, square))
        assert after[name].value == pytest.approx(before[name].value, abs=close), name
    assert after["box.yaw"].value == pytest.approx(math.radians(yaw), abs=5 * CLOSE)
    assert after["box.taper"].value == pytest.approx(math.radians(taper), abs=CLOSE)


def askew_ratio(name: str, car: SimulatedCar) -> float:
    """Return how many times a result may differ more than one wheel's toe."""
    return car.steering_ratio if name == "steering_wheel" else 2.0
