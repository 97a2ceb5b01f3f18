"""Adjusters that move the line the car follows: the tie rods wait till toe is read again."""

from __future__ import annotations

import math

import pytest

from tests.correct.test_own_setting import ASKEW
from tests.report.test_told import CAR, GOALS, RODS, data, told
from toebox.correct import correct
from toebox.job import loads
from toebox.report.json import result
from toebox.report.view.whole import make_view
from toebox.solve import solve

ADJUSTABLE = CAR.replace("rear_toe_adjustable = false", "rear_toe_adjustable = true")
THRUST = "thrust_angle = { angle = 0, tolerance = 0.05 }\n"
ONE = """
[[adjuster]]
wheel = "left_rear"
kind = "direct"
name = "left cam"
gives = "toe-in"
unit = "degree"
effect = { toe = 0.02, camber = 0, caster = 0 }
"""
LEAN = "camber.left_rear = { angle = -1, tolerance = 0.2 }\n"
GAUGE = "[pass.inclinometer.left_rear]\ncamber = [0.2, 0.2]\ncamber_turned = [0.2, 0.2]\n"
CAMBER = """
[[adjuster]]
wheel = "left_rear"
kind = "direct"
name = "camber cam"
gives = "top out"
effect = {{ camber = 0.25, toe = {toe}, caster = 0 }}
"""
WAIT = "It moves toe: read it again in a new pass then."


def adjusters(*parts: str) -> dict:
    solution = solve(loads("".join(parts), "invented"))
    return result(solution, correct(solution))["adjusters"]


def test_the_rods_wait_for_the_one_rear_wheel_that_can_be_set() -> None:
    job = CAR, GOALS, THRUST, RODS, ONE, ASKEW
    assert adjusters(*job)["moves"][0]["amount"] != 0.0
    text = told(*job)
    assert WAIT in text
    assert "tie rod: " not in text
    assert "Front toe, last. Read toe again first, since the steps above move it." in text
    assert "Because the rear stays as it is" not in text
    found = adjusters(*job)
    assert (found["moves_front_toe"], found["tie_rods_wait"]) == (False, True)
    assert not adjusters(CAR, GOALS, RODS, ONE, ASKEW)["tie_rods_wait"]  # no goal, nothing moves


@pytest.mark.parametrize(("toe", "waits"), [(0.1, True), (0, False)])
def test_the_rods_wait_for_camber_that_moves_rear_toe(toe: float, waits: bool) -> None:
    job = CAR, GOALS, LEAN, RODS, CAMBER.format(toe=toe), ASKEW, GAUGE
    assert adjusters(*job)["moves"][0]["amount"] != 0.0
    assert adjusters(*job)["tie_rods_wait"] is waits
    assert (WAIT in told(*job)) is waits
    assert ("tie rod: " in told(*job)) is not waits


def test_rear_wheels_set_by_their_readings_let_the_rods_be_told() -> None:
    """Both can be set, the job names an adjuster for one: both go by their readings alone."""
    job = ADJUSTABLE, GOALS, THRUST, RODS, ONE, ASKEW
    found = adjusters(*job)
    assert [move["amount"] for move in found["moves"]] == [0.0]
    assert not found["tie_rods_wait"]
    text = told(*job)
    assert "Left rear wheel, before the front: change its toe by" in text
    assert " at left cam, until" in text
    assert "not one more" not in text
    rods = data(*job)["corrections"]
    toe = {w: t["angle_deg"] for w, t in data(*job)["toe"].items()}
    after = {s: toe[f"{s}_front"] + rods[s]["toe_change_deg"] for s in ("left", "right")}
    assert after["left"] == pytest.approx(after["right"], abs=1e-6)  # along the car then


def test_a_move_that_is_told_twice_is_said_to_be_one() -> None:
    other = ONE.replace("left_rear", "right_rear").replace("left cam", "right cam")
    text = told(CAR, GOALS, THRUST, RODS, ONE, other, ASKEW)
    assert "That is the move told under 'Order of work', not one more." in text


def test_what_comes_of_it_where_the_rods_were_turned_at_once() -> None:
    """The wheel would end off by the whole change of the line: why they wait."""
    found = adjusters(CAR, GOALS, THRUST, RODS, ONE, ASKEW)
    change = found["changes"]["toe.left_rear"]["angle_deg"]
    assert abs(16.0 * change / 2.0) > 1.0
    solution = solve(loads("".join((CAR, GOALS, THRUST, RODS, ONE, ASKEW)), "invented"))
    (one,) = correct(solution)
    remains = one.remains.steering_wheel
    assert remains is not None
    assert math.degrees(abs(remains)) < 1.0  # it is for the line as it was
    assert WAIT in str(make_view(solution, (one,)))
