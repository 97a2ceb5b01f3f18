"""Adjusters that move the line the car follows: the front is set for the line that they give."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from tests.report.test_told import CAR, GOALS, RODS, data, strings, told
from toebox.correct import correct
from toebox.job import loads
from toebox.report.json import result
from toebox.solve import solve

ASKEW = "[[pass]]\n" + strings(3.0, -1.6, (3.0, -1.0))
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
LINE = "for the line that the rear wheels are then expected to give"


def adjusters(*parts: str) -> dict:
    solution = solve(loads("".join(parts), "invented"))
    return result(solution, correct(solution))["adjusters"]


def wheel_after(*job: str) -> float:
    """Where the steering wheel stands once adjusters and rods are moved as wanted [deg]."""
    found, moved = data(*job), adjusters(*job)["changes"]
    toe = {w: t["angle_deg"] for w, t in found["toe"].items()}
    for wheel in ("left_rear", "right_rear"):
        toe[wheel] += moved.get(f"toe.{wheel}", {"angle_deg": 0.0})["angle_deg"]
    for side in ("left", "right"):
        toe[f"{side}_front"] += found["corrections"][side]["toe_change_deg"]
    thrust = (toe["left_rear"] - toe["right_rear"]) / 2.0
    return 16.0 * (thrust - (toe["left_front"] - toe["right_front"]) / 2.0)


def test_the_front_is_set_for_the_one_rear_wheel_that_can_be_set() -> None:
    job = CAR, GOALS, THRUST, RODS, ONE, ASKEW
    change = adjusters(*job)["changes"]["toe.left_rear"]
    assert abs(16.0 * change["angle_deg"] / 2.0) > 3.0  # the wheel would end off by that
    assert "steering_wheel" in data(*job)["turning"]["corrected"]
    assert wheel_after(*job) == pytest.approx(0.0, abs=1e-6)
    text = told(*job)
    assert LINE in text
    assert "Left tie rod: " in text
    moved = (
        "until the adjusters are moved; the front wheels are set to the line that they then give."
    )
    assert moved in text
    assert "until they are set" not in text
    without = data(CAR, GOALS, THRUST, RODS, ASKEW)["corrections"]["left"]["u_deg"]
    by_hand = math.hypot(without, change["u_deg"] / 2.0)
    assert data(*job)["corrections"]["left"]["u_deg"] == pytest.approx(by_hand, rel=1e-3)


@pytest.mark.parametrize("toe", [0.1, 0])
def test_the_front_is_set_for_camber_that_moves_rear_toe(toe: float) -> None:
    job = CAR, GOALS, LEAN, RODS, CAMBER.format(toe=toe), ASKEW, GAUGE
    assert adjusters(*job)["moves"][0]["amount"] != 0.0
    assert "steering_wheel" in data(*job)["turning"]["corrected"]
    assert wheel_after(*job) == pytest.approx(0.0, abs=1e-6)
    assert (LINE in told(*job)) is (toe != 0)


def test_a_side_effect_that_nobody_stated_widens_and_moves_nothing() -> None:
    askew = "[[pass]]\n" + strings(8.0, -7.0, (3.0, -1.0))
    job = [CAR, GOALS, LEAN, RODS, CAMBER.format(toe=0), askew, GAUGE]
    known = data(*job)
    job[4] = job[4].replace("toe = 0, ", "")
    unstated = data(*job)
    rods = known["corrections"], unstated["corrections"]
    assert rods[0]["left"]["toe_change_deg"] == pytest.approx(rods[1]["left"]["toe_change_deg"])
    assert rods[1]["left"]["u_deg"] > 1.5 * rods[0]["left"]["u_deg"]


def test_rear_wheels_set_by_their_readings_stand_where_these_say() -> None:
    """Both can be set, the job names an adjuster for one: both go by their readings alone."""
    job = ADJUSTABLE, GOALS, THRUST, RODS, ONE, ASKEW
    found = adjusters(*job)
    assert [move["amount"] for move in found["moves"]] == [0.0]
    text = told(*job)
    assert "Left rear wheel, before the front: change its toe by" in text
    assert " at left cam, until" in text
    assert "not one more" not in text
    rods = data(*job)["corrections"]
    toe = {w: t["angle_deg"] for w, t in data(*job)["toe"].items()}
    after = {s: toe[f"{s}_front"] + rods[s]["toe_change_deg"] for s in ("left", "right")}
    assert after["left"] == pytest.approx(after["right"], abs=1e-6)  # along the car then


def test_both_rear_wheels_alike_leave_the_line_as_it_is() -> None:
    """Only their total is off: they are set by their readings, and the rods are told."""
    other = ONE.replace("left_rear", "right_rear").replace("left cam", "right cam")
    total = THRUST + "rear_total_toe = { angle = 0.4, tolerance = 0.05 }\n"
    alike = "[[pass]]\n" + strings(-3.0, -3.0, (0.0, 0.0))
    job = CAR, GOALS, total, RODS, ONE, other, alike
    assert data(*job)["corrections"]["left_rear"]["justified"]
    assert "Left tie rod: " in told(*job)
    assert wheel_after(*job) == pytest.approx(0.0, abs=1e-6)
    assert "until they are set" not in told(*job)


def test_a_wheel_that_is_carried_over_goes_by_the_line_as_well() -> None:
    """The last pass has a tape alone; how the steering wheel stands is from the one before."""
    still = '[[pass]]\nturned = { left = "not turned", right = "not turned" }\n'
    taped = still + "[pass.tape.front]\nfront_edge = 1450\nrear_edge = 1452\nacross = 600\n"
    whole, later = (CAR, GOALS, THRUST, RODS, ONE, ASKEW), (taped,)
    found = data(*whole, *later)
    assert found["turning"]["carried"] == ["steering_wheel"]
    assert "steering_wheel" in found["turning"]["corrected"]
    before = data(CAR, GOALS, THRUST, RODS, ASKEW, *later)["corrections"]
    change = adjusters(*whole, *later)["changes"]["toe.left_rear"]["angle_deg"]
    for side, sign in (("left", 0.5), ("right", -0.5)):
        told_of = found["corrections"][side]["toe_change_deg"]
        assert told_of - before[side]["toe_change_deg"] == pytest.approx(sign * change, abs=1e-6)


def test_toe_read_by_a_tape_alone_is_still_set_by_its_adjuster() -> None:
    """No string stands at the rear: nothing to set both wheels by, but total toe is known."""
    taped = "[pass.tape.rear]\nfront_edge = 1450\nrear_edge = 1445\nacross = 600\n"
    goal = GOALS + "rear_total_toe = { angle = 0.1, tolerance = 0.05 }\n"
    found = adjusters(ADJUSTABLE, goal, RODS, ONE, "[[pass]]\n", taped)
    assert found["moves"][0]["amount"] != 0.0


@pytest.mark.parametrize(
    ("toe", "met"), [("toe = 0, ", True), ("toe = 0.0002, ", True), ("", False)]
)
def test_whether_a_goal_stays_met_is_judged_for_the_line_to_come(toe: str, met: bool) -> None:
    """Met as it stands: a hair of a side effect changes nothing, an unknown one proves nothing."""
    adjuster = CAMBER.format(toe=0).replace("toe = 0, ", toe)
    as_it_is = '[[pass]]\nsteering_wheel_off = "0.2 left"\n' + strings(0.54, 0.30)
    job = CAR, GOALS, LEAN, RODS, adjuster, as_it_is, GAUGE
    found = data(*job)
    assert adjusters(*job)["moves"][0]["amount"] != 0.0
    assert found["decisions"]["steering_wheel"]["outcome"] == "within"
    assert found["turning"]["proven_within"] is met
    assert found["turning"]["corrected"] == []
    text = told(*job)
    assert ("are proven to be within their goals" in text) is met
    if not met:
        half = 2.0 * found["turning"]["remains"]["u_steering_wheel_deg"]
        assert f"± {half:.1f}° once" in text or f"± {half:.1f}°)" in text
        assert found["turning"]["improve"]["reading"] == "adjusters"
        assert "what the moves under 'Order of work' do; make them" in text


def test_a_rear_wheel_that_is_moved_by_its_camber_is_read_again() -> None:
    job = ADJUSTABLE, GOALS, LEAN, RODS, CAMBER.format(toe=0.05), GAUGE
    straight = "[[pass]]\n" + strings(0.42, 0.42)
    text = told(*job[:-1], straight, GAUGE)
    assert "Left rear wheel: read it again after what stands under 'Order of work'" in text
    assert "Right rear wheel: leave it" in text
    assert "Left rear wheel: leave it" not in text


def test_an_adjuster_that_goes_by_a_reading_is_not_said_to_be_left() -> None:
    job = ADJUSTABLE, GOALS, THRUST, RODS, ONE, ASKEW
    assert re.search(r"left cam +by its reading", told(*job))
    (move,) = adjusters(*job)["moves"]
    assert move["withheld"] == "reading"


def test_nothing_is_told_of_rods_where_the_last_pass_read_the_rear_alone() -> None:
    rear = '[[pass]]\nturned = { left = "not turned", right = "not turned" }\n'
    lines = strings(0.0, 0.0, (3.0, -1.0)).split("\n")
    rear += "\n".join(line for line in lines if "_front" not in line or "bar" in line)
    text = told(CAR, GOALS, THRUST, RODS, ONE, ASKEW, rear)
    assert "Nothing can be said about the tie rods yet" in text
    assert "Front toe, last. Read toe, at all four wheels; then the tie rods." in text


def test_a_move_that_is_told_twice_is_said_to_be_one() -> None:
    other = ONE.replace("left_rear", "right_rear").replace("left cam", "right cam")
    text = told(CAR, GOALS, THRUST, RODS, ONE, other, ASKEW)
    assert "That is the move told under 'Order of work', not one more: the reading decides." in text


def test_one_wheel_between_two_goals_does_not_follow_the_noise() -> None:
    """It meets neither; once it stands between them it is left, whatever the next pass reads."""
    two = THRUST + "rear_total_toe = { angle = 0.4, tolerance = 0.05 }\n"
    moved, askew = 0.0, (6.0, -1.0)
    rng = np.random.default_rng(20260418)
    told_of = []
    for _ in range(6):
        noise = rng.normal(0.0, 0.1, 2)
        left = askew[0] + 400.0 * math.sin(math.radians(0.02 * moved))
        rear = left + noise[0], askew[1] + noise[1]
        job = CAR, GOALS, two, ONE, "[[pass]]\n" + strings(0.7, 0.7, rear)
        amount = signed(adjusters(*job)["moves"][0])
        told_of.append(amount)
        moved += amount
    assert told_of[0] != 0.0
    assert told_of[2:] == [0.0] * 4


def signed(move: dict) -> float:
    return move["amount"] * {"leave": 0.0, "more": 1.0, "less": -1.0}[move["direction"]]
