"""US Army ordnance course OD1007: camber is positive where the top of the wheel leans outwards."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.mechanisms import UP, outward, wheel_rotation
from tests.simulate import WHEELS, SimulatedCar
from toebox.correct import correct
from toebox.geometry.camber import camber_to_floor
from toebox.geometry.sweep import camber_at
from toebox.job import loads
from toebox.report.json import result
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.solve import solve

LEANS = dict(zip(WHEELS, (1.2, -0.7, -1.4, 0.5), strict=True))
HEAD = """
length_unit = "mm"
[car]
track = 1500
[instruments]
inclinometer = { resolution = 0.1, repeatability = 0.1 }
[goal]
camber.left_front = { angle = "0.5 top in", tolerance = 0.2 }
[[pass]]
label = "as found"
"""


@pytest.mark.parametrize("side", ["left", "right"])
def test_a_wheel_of_positive_camber_has_its_top_further_out(side: str) -> None:
    camber = camber_at(caster=0.0, sai=0.2, camber_straight=0.02, steer=0.0)
    top, bottom = (wheel_rotation(side, 0.0, camber).apply(sign * 0.3 * UP) for sign in (1, -1))
    assert (top - bottom) @ outward(side) == pytest.approx(0.6 * 0.0199987, abs=1e-6)


def test_the_wheel_on_the_high_side_of_a_floor_leans_in_against_the_plumb_line() -> None:
    # Upright on the floor, so that the plumb line shows the slope alone, top in on the high side.
    assert camber_to_floor(-0.005, 0.005, "left") == 0.0
    assert camber_to_floor(0.005, 0.005, "right") == 0.0


def side_of_the_top(wheel: str, degrees: float) -> str:
    """Return the word for where the top of a rigid wheel stands, whatever a sign may mean."""
    body = wheel_rotation(wheel, 0.0, math.radians(degrees))
    return "top out" if (body.apply(UP) - body.apply(-UP)) @ outward(wheel) > 0.0 else "top in"


def answer(readings: dict[str, str], floor: str = "") -> tuple[dict[str, float], str]:
    """Return camber by wheel [deg] and the printed words of a job with these readings."""
    lines = [f"inclinometer.{wheel}.camber = {read}" for wheel, read in readings.items()]
    solution = solve(loads("\n".join([HEAD, floor, *lines]), "od1007.toml"))
    corrections = correct(solution)
    cambers = result(solution, corrections)["passes"][-1]["camber"]
    found = {wheel: camber["angle_deg"] for wheel, camber in cambers.items()}
    return found, " ".join(render_text(make_view(solution, corrections), summary=True).split())


def test_the_word_for_the_top_of_the_wheel_is_read_as_the_sign_and_printed_again() -> None:
    for wheel, degrees in LEANS.items():
        assert (side_of_the_top(wheel, degrees) == "top out") == (degrees > 0.0)
    worded = {w: f'"{abs(d)} {side_of_the_top(w, d)}"' for w, d in LEANS.items()}
    signed = {w: str(d) for w, d in LEANS.items()}
    for readings in (worded, signed):
        found, words = answer(readings)
        assert found == pytest.approx(LEANS, abs=1e-9)
        for wheel, degrees in LEANS.items():
            name = wheel.replace("_", " ").capitalize()
            assert f"{name} camber {abs(degrees):.2f}° {side_of_the_top(wheel, degrees)}" in words
        # The goal is worded as the reading is: 0.5 degrees inwards.
        assert "Left front camber 1.20° top out" in words
        assert "0.50° top in ± 0.20°" in words


@pytest.mark.parametrize("high", ["left", "right"])
def test_on_a_sloping_floor_the_words_of_the_plumb_line_become_those_of_the_car(high: str) -> None:
    slope = 0.01 if high == "left" else -0.01
    cambers = {wheel: math.radians(degrees) for wheel, degrees in LEANS.items()}
    car = SimulatedCar(camber=cambers, floor_roll=slope, track={"front": 1.5, "rear": 1.5})
    shown = {wheel: math.degrees(car.gauge_camber(wheel)) for wheel in WHEELS}
    upright = replace(car, camber=dict.fromkeys(WHEELS, 0.0))
    leans = math.degrees(upright.gauge_camber(f"{high}_front"))
    assert side_of_the_top(f"{high}_front", leans) == "top in"
    rise = {axle: 1000.0 * car.floor(axle) for axle in ("front", "rear")}
    floor = f"floor = {{ front = {rise['front']:.6f}, rear = {rise['rear']:.6f} }}"
    worded = {w: f'"{abs(d):.6f} {side_of_the_top(w, d)}"' for w, d in shown.items()}
    found, words = answer(worded, floor)
    assert found == pytest.approx(LEANS, abs=1e-3)
    assert "Right front camber 0.70° top in" in words
    assert "Right rear camber 0.50° top out" in words
