"""Gauge readings as jobs hold them: what they give, what they need, and slips that no car has."""

from __future__ import annotations

import math

import numpy as np
import pytest

from toebox.errors import NoResult
from toebox.job import loads
from toebox.solve import solve

DEGREE = math.radians(1.0)
HEAD = """
length_unit = "mm"
[car]
wheelbase = 2600
track = 1500
rim_diameter = 400
[instruments]
inclinometer = { resolution = 0, repeatability = 0.1 }
turn_plates = { resolution = 0, repeatability = 0.5 }
string_rule = { resolution = 0, repeatability = 0.5 }
rim_runout = 0
gauge_zero_within = 0.3
floor_level_within = 6
"""
FLOOR = "floor = { front = 0, rear = 0, along = 0 }\n"
TAPE = "[pass.tape.front]\nfront_edge = 1400\nrear_edge = 1402\nacross = 600\n"
TWO = "sweep = [{ steer = 20, camber = 1.954496 }, { steer = -20, camber = -1.476249 }]\n"
THREE = TWO.replace(" }]", " }, { steer = 0, camber = -0.5 }]")


def solved(text: str, head: str = HEAD):
    return solve(loads(f"{head}\n[[pass]]\n{text}", "invented")).passes[0]


def wheel(text: str, name: str = "left_front") -> str:
    return f"[pass.inclinometer.{name}]\n{text}"


def u(found, name: str) -> float:
    return found[name].u / DEGREE


def test_the_gauges_zero_is_found_at_one_wheel_and_taken_off_all() -> None:
    turned = wheel("camber = -0.3\ncamber_turned = -0.7\n") + wheel("camber = 0.4\n", "right_front")
    found = solved(FLOOR + turned)
    assert found["camber.left_front"].value / DEGREE == pytest.approx(-0.5)
    assert found["camber.right_front"].value / DEGREE == pytest.approx(0.2)
    floor = 0.5 / 1500 / DEGREE
    # 0.1 for its own reading, 0.1 / sqrt 2 for the zero, and the floor.
    wanted = math.hypot(0.1, 0.1 / math.sqrt(2), floor)
    assert u(found, "camber.right_front") == pytest.approx(wanted, rel=1e-3)
    assert u(found, "camber.left_front") == pytest.approx(math.hypot(0.1 / 2**0.5, floor), rel=1e-3)
    assert "gauge_zero_within" not in found.assumed


def test_without_a_turned_gauge_the_zero_is_assumed_and_cancels_between_the_sides() -> None:
    both = wheel("camber = -0.5\n") + wheel("camber = -0.5\n", "right_front")
    found = solved(FLOOR + both)
    assert "gauge_zero_within" in found.assumed
    floor = 0.5 / 1500 / DEGREE
    zero = 0.3 / math.sqrt(3)
    assert u(found, "camber.left_front") == pytest.approx(math.hypot(0.1, zero, floor), rel=1e-3)
    cross = math.hypot(0.1, 0.1, 2 * floor)  # the zero cancels, the floor counts twice
    assert u(found, "cross_camber.front") == pytest.approx(cross, rel=1e-3)


def test_a_floor_that_was_not_read_is_assumed_level_within_limits() -> None:
    found = solved(wheel("camber = -0.5\ncamber_turned = -0.5\n"))
    assert "floor_level_within" in found.assumed
    floor = 6 / 1500 / math.sqrt(3) / DEGREE
    wanted = math.hypot(0.1 / 2**0.5, floor)
    assert u(found, "camber.left_front") == pytest.approx(wanted, rel=1e-3)


def test_a_sloping_floor_tips_both_wheels_the_other_way() -> None:
    slope = math.asin(15 / 1500) / DEGREE
    both = wheel("camber = -0.5\n") + wheel("camber = -0.5\n", "right_front")
    found = solved("floor = { front = 15, rear = 0 }\n" + both)
    assert found["camber.left_front"].value / DEGREE == pytest.approx(-0.5 + slope)
    assert found["camber.right_front"].value / DEGREE == pytest.approx(-0.5 - slope)


def test_two_stops_give_caster_and_three_the_inclination() -> None:
    found = solved(FLOOR + wheel(TWO))
    assert found["caster.left_front"].value / DEGREE == pytest.approx(5.0, abs=0.01)
    assert "steering_axis_inclination" in found.assumed
    assert "three stops" in found.not_measured["steering_axis_inclination.left_front"]
    assert "camber.left_front" in found.not_measured  # no stop straight ahead
    found = solved(FLOOR + wheel(THREE))
    assert found["caster.left_front"].value / DEGREE == pytest.approx(5.0, abs=1e-5)
    sai = found["steering_axis_inclination.left_front"]
    assert sai.value / DEGREE == pytest.approx(12.0, abs=1e-3)
    assert sai.u / DEGREE > 1.5  # weakly
    assert found["camber.left_front"].value / DEGREE == pytest.approx(-0.5, abs=1e-5)


def test_a_given_inclination_sharpens_uneven_stops() -> None:
    uneven = "sweep = [{ steer = 25, camber = 2.6 }, { steer = -5, camber = -0.9 }]\n"
    given = HEAD.replace("track", "steering_axis_inclination = 12\ntrack")
    plain, sharp = solved(FLOOR + wheel(uneven)), solved(FLOOR + wheel(uneven), given)
    assert u(plain, "caster.left_front") > 1.3 * u(sharp, "caster.left_front")
    assert "steering_axis_inclination.left_front" in sharp.not_measured


def test_a_gauge_set_to_zero_at_one_stop_does_camber_no_harm() -> None:
    shifted = "sweep = [{ steer = 20, camber = 3.430745 }, { steer = -20, camber = 0 }]\n"
    found = solved(FLOOR + wheel("camber = -0.5\ncamber_turned = -0.5\n" + shifted))
    assert found["camber.left_front"].value / DEGREE == pytest.approx(-0.5)
    assert found["caster.left_front"].value / DEGREE == pytest.approx(5.0, abs=0.03)


def test_shown_caster_and_a_sweep_are_weighed_together() -> None:
    shown = solved(FLOOR + wheel("caster = [4.8, 5.0]\n"))
    assert shown["caster.left_front"].value / DEGREE == pytest.approx(4.9)
    # Two cambers, each by 1.461902; two steer angles, 1.461902 * sqrt(2 ((tan 5 cos 20)^2 +
    # (tan 12 sin 20)^2)) = 0.22689 by hand; read twice.
    by_camber, by_steer = math.sqrt(2) * 1.461902 * 0.1, 0.22689 * 0.5
    once = math.hypot(by_camber, by_steer)
    floor = 0.5 / 2600 / DEGREE
    assert u(shown, "caster.left_front") == pytest.approx(
        math.hypot(once / math.sqrt(2), floor), rel=2e-3
    )
    both = solved(FLOOR + wheel("caster = [4.8, 5.0]\n" + THREE))
    assert 4.9 < both["caster.left_front"].value / DEGREE < 5.0
    assert both["caster.left_front"].u < shown["caster.left_front"].u


def test_toe_out_on_a_turn_is_inner_minus_outer() -> None:
    found = solved("turn.left = { inner = [20, 20.2], outer = 18 }\n" + TAPE)
    result = found["toe_out_on_turn.left"]
    assert result.value / DEGREE == pytest.approx(2.1)
    assert result.u / DEGREE == pytest.approx(math.hypot(0.5, 0.5 / math.sqrt(2)))
    assert "toe_out_on_turn.right" not in found.not_measured


@pytest.mark.parametrize(
    ("sweep", "said"),
    [
        ("{ steer = 20, camber = 25 }, { steer = -20, camber = -25 }", "no steering axis of a car"),
        ("{ steer = 20, camber = 9 }, { steer = 0, camber = -9 }, { steer = -20, camber = 9 }",
         "no steering axis of a car"),
        ("{ steer = 20, camber = 1 }, { steer = 20.5, camber = 1 }", "at least two stops"),
    ],
)  # fmt: skip
def test_a_sweep_of_no_car_is_left_out_and_said_so(sweep: str, said: str) -> None:
    found = solved(FLOOR + TAPE + wheel(f"camber = -0.5\nsweep = [{sweep}]\n"))
    assert said in found.not_measured["caster.left_front"]
    assert found["camber.left_front"].value / DEGREE == pytest.approx(-0.5)
    assert "total_toe.front" in found.results


def test_gauge_readings_that_contradict_each_other_take_nothing_from_toe() -> None:
    """Random sweeps, with instruments stated far too fine: toe is always solved."""
    rng = np.random.default_rng(1)
    for _ in range(150):
        stops = ", ".join(
            f"{{ steer = {rng.uniform(-60, 60):.2f}, camber = {rng.uniform(-4, 4):.2f} }}"
            for _ in range(rng.integers(2, 6))
        )
        fine = HEAD.replace("0.1 }", f"{rng.choice([0, 1e-4, 0.1])} }}", 1)
        found = solved(FLOOR + TAPE + wheel(f"camber = 1\nsweep = [{stops}]\n"), fine)
        assert found["total_toe.front"].value == pytest.approx(2 * math.asin(1 / 600))
        for result in found.results.values():
            assert math.isfinite(result.value)
            assert 0.0 < result.u < math.inf
            assert abs(result.value) < math.radians(90)
        told = {**found.results, **found.not_measured}
        assert {"caster.left_front", "camber.left_front"} <= told.keys()


@pytest.mark.parametrize(
    ("gauge", "said"),
    [
        (
            "caster = 4\nsweep = [{ steer = 20, camber = 9 }, { steer = 0, camber = -0.5 }, "
            "{ steer = -20, camber = -9 }]\n",
            "left front caster needs its readings taken again: they contradict each other beyond "
            "any car",
        ),
        (
            "sweep = [{ steer = 20, camber = 20 }, { steer = -20, camber = -20 }]\n",
            "left front caster needs its sweep read again: no steering axis of a car has such "
            "cambers",
        ),
        ("sweep = [{ steer = 20, camber = 1 }]\n", "left front caster needs a sweep of that wheel"),
    ],
)
def test_where_the_gauge_alone_was_read_it_is_told_what_the_gauge_needs(gauge, said) -> None:
    other = wheel("camber = -0.5\n", "right_front") if "any car" in said else ""
    with pytest.raises(NoResult, match=f"single result; for example, {said}"):
        solved(other + wheel(gauge))


def test_without_any_reading_tape_is_named() -> None:
    for text in ("", wheel("")):
        with pytest.raises(NoResult, match=r"for example, total toe needs tape\.front readings"):
            solved(text)


def test_an_inclination_at_its_limit_leaves_the_sweep_in() -> None:
    found = solved(wheel(TWO), HEAD.replace("track", "steering_axis_inclination = 30\ntrack"))
    assert "caster.left_front" in found.results


@pytest.mark.parametrize(
    ("goal", "said"),
    [
        ("camber.left_front = { angle = -1 }", "left front camber needs inclinometer readings"),
        ("cross_caster = { angle = 0 }", "front cross-caster needs caster on both sides"),
        ("front_total_toe = { angle = 0.1 }", "total toe needs tape.front readings"),
    ],
)
def test_without_any_reading_the_job_s_own_goal_is_the_example(goal: str, said: str) -> None:
    text = f'length_unit = "mm"\ngoal.{goal}\n[[pass]]\nlabel = "nothing read"\n'
    with pytest.raises(NoResult, match=f"for example, {said}"):
        solve(loads(text, "invented"))
