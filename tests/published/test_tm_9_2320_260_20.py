"""US Army TM 9-2320-260-20: toe-in is the rear reading minus the front one.

Both are taken between the same marks on the tyres, at hub height, rolled round from front to rear.
"""

from __future__ import annotations

import pytest

from tests.simulate import WHEELS, Perfect, SimulatedCar
from toebox.geometry.box import total_toe_from_tape
from toebox.geometry.thrust import stop_at_tape


@pytest.mark.parametrize(("toe", "word"), [(0.003, "in"), (-0.003, "out")])
def test_toe_in_is_rear_minus_front(toe: float, word: str) -> None:
    car = SimulatedCar(toe=dict.fromkeys(WHEELS, toe))
    tape = car.tape_readings(Perfect(), "front")
    front, rear = tape["front_edge"][0], tape["rear_edge"][0]
    assert (rear > front) is (word == "in")
    assert (total_toe_from_tape(front, rear, car.tyre_diameter) > 0) is (word == "in")
    assert stop_at_tape(toe, toe, car.tyre_diameter) == pytest.approx(rear - front, abs=1e-12)
