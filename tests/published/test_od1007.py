"""US Army ordnance course OD1007: camber is positive where the top of the wheel leans outwards."""

from __future__ import annotations

import pytest

from tests.mechanisms import UP, outward, wheel_rotation
from toebox.geometry.camber import camber_to_floor
from toebox.geometry.sweep import camber_at


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_wheel_of_positive_camber_has_its_top_further_out(side: str) -> None:
    camber = camber_at(caster=0.0, sai=0.2, camber_straight=0.02, steer=0.0)
    top, bottom = (wheel_rotation(side, 0.0, camber).apply(sign * 0.3 * UP) for sign in (1, -1))
    assert (top - bottom) @ outward(side) == pytest.approx(0.6 * 0.0199987, abs=1e-6)


def test_the_wheel_on_the_high_side_of_a_floor_leans_in_against_the_plumb_line() -> None:
    # Upright on the floor, so that the plumb line shows the slope alone, top in on the high side.
    assert camber_to_floor(-0.005, 0.005, "left") == 0.0
    assert camber_to_floor(0.005, 0.005, "right") == 0.0
