"""Turn plates that show zero where the wheel does not point along the car."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.mechanisms import Knuckle, lean_of
from toebox.job import loads
from toebox.solve import solve
from toebox.solve.results import PassSolution

DEGREE = math.radians(1.0)
HEAD = """
length_unit = "mm"
[car]
wheelbase = 2600
track = 1500
rim_diameter = 400
{car}
[instruments]
inclinometer = {{ resolution = 0, repeatability = {camber} }}
turn_plates = {{ resolution = 0, repeatability = {steer} }}
floor_level_within = 0
gauge_zero_within = 0
rim_runout = 0
{zero}
[[pass]]
floor = {{ front = 0, rear = 0, along = 0 }}
[pass.inclinometer.left_front]
"""
STOPS = (20.0, 0.0, -20.0)


def solved(
    stops: list[tuple[float, float]], zero: str = "", *, car: str = "", fine: bool = False
) -> PassSolution:
    """Solve a sweep of steer angles and cambers [deg]."""
    sizes = {"camber": 1e-4, "steer": 1e-4} if fine else {"camber": 0.05, "steer": 0.25}
    head = HEAD.format(car=car, zero=zero, **sizes)
    sweep = ", ".join(f"{{ steer = {d:.9f}, camber = {g:.9f} }}" for d, g in stops)
    return solve(loads(f"{head}sweep = [{sweep}]\n", "invented")).passes[0]


def swept(knuckle: Knuckle, off: float, stops: tuple[float, ...] = STOPS) -> list:
    """Return what plates and gauge show that show `off` too much steer angle [deg]."""
    true = [math.radians(shown - off) for shown in stops]
    return [(d, math.degrees(lean_of(knuckle.normal(t)))) for d, t in zip(stops, true, strict=True)]


WITHIN = "turn_plates_zero_within = {}"


def test_it_puts_caster_wrong_by_the_tangent_of_the_inclination() -> None:
    """The cambers of the pair differ by 2 sin d (tan(caster) + off tan(sai)), to first order."""
    knuckle = Knuckle("left", 4.0 * DEGREE, 13.0 * DEGREE, -0.5 * DEGREE)
    right = solved(swept(knuckle, 0.0), fine=True)["caster.left_front"].value
    wrong = solved(swept(knuckle, 1.0), fine=True)["caster.left_front"].value
    assert right == pytest.approx(4.0 * DEGREE, abs=1e-5)
    assert abs(wrong - right) / DEGREE == pytest.approx(math.tan(13.0 * DEGREE), rel=0.03)


@pytest.mark.parametrize("count", [2, 3])
def test_stated_it_counts(count: int) -> None:
    knuckle = Knuckle("left", 4.0 * DEGREE, 13.0 * DEGREE, -0.5 * DEGREE)
    stops = swept(knuckle, 0.0, STOPS if count == 3 else (20.0, -20.0))
    given = "steering_axis_inclination = 13" if count == 2 else ""
    name = "caster.left_front"
    exact, loose = (solved(stops, zero, car=given) for zero in ("", WITHIN.format(1.5)))
    added = math.sqrt(loose[name].u ** 2 - exact[name].u ** 2)
    by_hand = 1.5 * DEGREE / math.sqrt(3.0) * math.tan(13.0 * DEGREE)
    assert added == pytest.approx(by_hand, rel=0.03)
    assert loose[name].value == pytest.approx(exact[name].value, abs=1e-6)
    assert "turn_plates_zero_within" in loose.assumed
    assert "turn_plates_zero_within" not in exact.assumed


def test_a_gauge_that_shows_caster_was_swept_on_the_same_plates() -> None:
    heads = (HEAD.format(car="", camber=0.05, steer=0.25, zero=z) for z in ("", WITHIN.format(1.5)))
    exact, loose = (
        solve(loads(f"{head}caster = 4\n", "invented")).passes[0]["caster.left_front"]
        for head in heads
    )
    added = math.sqrt(loose.u**2 - exact.u**2)
    by_hand = 1.5 * DEGREE / math.sqrt(3.0) * math.tan(12.0 * DEGREE)
    assert added == pytest.approx(by_hand, rel=1e-3)


@pytest.mark.no_cover
def test_caster_is_off_by_as_much_as_it_says() -> None:
    """Zero anywhere within 1.5 degrees, the noise as the instruments state it."""
    rng, number = np.random.default_rng(20260418), 300
    squares = {"stated": 0.0, "not stated": 0.0}
    for _ in range(number):
        caster, sai = rng.uniform(0.0, 8.0), rng.uniform(8.0, 15.0)
        knuckle = Knuckle("left", caster * DEGREE, sai * DEGREE, rng.uniform(-2.0, 1.0) * DEGREE)
        read = [
            (d + rng.normal(0.0, 0.25), g + rng.normal(0.0, 0.05))
            for d, g in swept(knuckle, rng.uniform(-1.5, 1.5))
        ]
        given = f"steering_axis_inclination = {sai:.6f}"
        for how, zero in (("stated", WITHIN.format(1.5)), ("not stated", "")):
            found = solved(read, zero, car=given)["caster.left_front"]
            squares[how] += ((found.value - caster * DEGREE) / found.u) ** 2
    rms = {how: math.sqrt(square / number) for how, square in squares.items()}
    assert 0.9 <= rms["stated"] <= 1.1
    assert rms["not stated"] > 1.3


def test_readings_of_one_wheel_share_one_zero() -> None:
    """However often a gauge shows caster: the zero of its plates is no better known for that."""
    u = {}
    for count in (1, 16):
        head = HEAD.format(car="", camber=0.05, steer=0.25, zero=WITHIN.format(1.5))
        text = f"{head}caster = {[4.0] * count}\n"
        found = solve(loads(text, "invented")).passes[0]
        assert "turn_plates_zero_within" in found.assumed
        u[count] = found["caster.left_front"].u
    zero = 1.5 * DEGREE / math.sqrt(3.0) * math.tan(12.0 * DEGREE)
    own = u[1] ** 2 - zero**2
    assert u[16] == pytest.approx(math.sqrt(zero**2 + own / 16.0), rel=5e-3)  # and the floor


def test_toe_out_on_a_turn_has_the_zero_of_both_plates() -> None:
    """Inner minus outer: each by its own plates, and the signs of the angles differ."""
    turn = "turn.left = { inner = 20, outer = 18.1 }\n"
    u = {}
    for zero in ("", WITHIN.format(1.5)):
        head = HEAD.format(car="", camber=0.05, steer=0.25, zero=zero)
        text = head.replace("[pass.inclinometer.left_front]\n", turn)
        u[zero] = solve(loads(text, "invented")).passes[0]["toe_out_on_turn.left"].u
    added = math.sqrt(u[WITHIN.format(1.5)] ** 2 - u[""] ** 2)
    assert added == pytest.approx(math.sqrt(2.0) * 1.5 * DEGREE / math.sqrt(3.0), rel=1e-6)
