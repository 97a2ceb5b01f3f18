"""Sentences of one report, and of one pass and the next, that must not contradict each other."""

from __future__ import annotations

import math

import pytest

from tests.report.test_told import CAR, GOALS, RODS, data, strings, told
from toebox.correct.adjusters import least_part
from toebox.correct.adjusters.results import Effect, Outcome
from toebox.job.model import Adjuster, Goal
from toebox.solve.results import Result
from toebox.solve.standing import Standing

NO_GOALS = "[goal]\n"
FINE = "[[pass]]\n"
ENDED = RODS + '[tie_rods.left]\nouter_engaged = "7 mm"\n'
LOCKS = "turns_to_lock = {{ left = {}, right = {} }}\n"
NOT_TURNED = 'turned = { left = "not turned", right = "not turned" }\n'


def test_a_rod_is_not_left_for_one_that_does_nothing() -> None:
    """The left one has no thread; the right one alone would spoil total toe."""
    tight = GOALS.replace("tolerance = 0.1", "tolerance = 0.02")
    askew = strings(-2.0, 2.8)  # the steering wheel off, total toe about right
    text = told(CAR, tight, ENDED, FINE, askew)
    rods = data(CAR, tight, ENDED, FINE, askew)["corrections"]
    assert [rods[side]["turns"] for side in ("left", "right")] == [0.0, 0.0]
    assert "the other rod makes up" not in text
    assert "better made by the other rod" not in text
    assert "the turns told change it" not in text
    assert "would put one goal right at the cost of another" in text


def test_too_little_thread_is_told_with_what_to_do_about_it() -> None:
    short = RODS.replace("outer_engaged = 30", "outer_engaged = 15")
    text = told(CAR, GOALS, short, FINE, strings(-6.0, -6.0))
    assert "less than one diameter of 14.0 mm" in text
    assert "Where the manual does not allow so little, do not turn this rod." in text
    plenty = told(CAR, GOALS, RODS, FINE, strings(-6.0, -6.0))
    assert "do not turn this rod" not in plenty


def test_a_count_that_found_the_gear_centred_stands_for_later_passes() -> None:
    """Tie rods do not move the steering wheel against its gear."""
    far = strings(8.0, -8.0)  # 18 degrees off and more
    counted = FINE + LOCKS.format(1.5, 1.5) + far
    asked = "Centre the steering gear first"
    assert asked in told(CAR, GOALS, RODS, FINE, far)
    assert asked not in told(CAR, GOALS, RODS, counted)
    assert asked not in told(CAR, GOALS, RODS, counted, FINE, NOT_TURNED, far)
    assert asked not in told(CAR, GOALS, RODS, counted, FINE, far)  # nothing said of turns
    moved = FINE + LOCKS.format(1.25, 1.75) + far
    again = "Count the turns from its spokes straight to each lock again"
    assert again in told(CAR, GOALS, RODS, moved, FINE, NOT_TURNED, far)
    uneven = RODS + "[tie_rods.left]\nouter_engaged = 20\n"
    likely = "The gear is likely off centre"
    small = strings(-2.0, -2.0)
    assert likely in told(CAR, GOALS, uneven, FINE, small)
    later = told(CAR, GOALS, uneven, FINE + LOCKS.format(1.5, 1.5) + small, FINE, NOT_TURNED, small)
    assert likely not in later
    assert "Compare both rods, arms and joints" in later


@pytest.mark.parametrize(
    ("by", "said", "times"),
    [
        (0.02, "Both front rims run so true", 1),
        (0.5, "its rim wobbles. With the valve up stop when", 2),
    ],
)
def test_whether_a_rim_wobbles_is_told_by_the_rim(by: float, said: str, times: int) -> None:
    """Whatever the goal: by what valve up and valve down differ, not by where rounding falls."""
    for goal in (0.02, 0.05, 0.08, 0.11, 0.14):
        goals = GOALS.replace("0.12 toe-in", f"{goal} toe-in")
        edges = strings(-3.0, -3.0)
        for wheel in ("left_front", "right_front"):
            line = next(part for part in edges.split("\n") if part.startswith(wheel))
            up, down = 100.0 - 1.5 + by, 100.0 - 1.5 - by
            rear = 100.0 + 1.5 - by, 100.0 + 1.5 + by
            new = f"{wheel} = {{ front = [{up}, {down}], rear = [{rear[0]}, {rear[1]}] }}"
            edges = edges.replace(line, new)
        text = told(CAR, goals, RODS, FINE, edges)
        assert text.count(said) == times, goal


def test_a_straight_steering_wheel_is_said_to_be_assumed_as_the_goal() -> None:
    assumed = "The steering wheel is to stand straight while the car runs straight"
    assert assumed in told(CAR, NO_GOALS, RODS, FINE, strings(-3.0, 3.0))
    assert assumed not in told(CAR, GOALS, RODS, FINE, strings(-3.0, 3.0))


def test_why_total_toe_is_kept_is_told() -> None:
    wheel = GOALS.replace("front_total_toe", "# front_total_toe")
    kept = "Total toe is kept as it is: there is no "
    assert kept + "goal for it." in told(CAR, wheel, RODS, FINE, strings(-6.0, 6.0))
    road = FINE + 'steering_wheel_off = "20 right"\n'
    assert kept + "reading in this pass." in told(CAR, GOALS, RODS, road)


def test_readings_to_stop_at_name_what_they_leave() -> None:
    """Total toe is not proven to be off: the readings keep it, the turns may not."""
    askew = strings(-2.0, 2.6)
    found = data(CAR, GOALS, RODS, FINE, askew)
    assert found["turning"]["corrected"] == ["steering_wheel"]
    text = told(CAR, GOALS, RODS, FINE, askew)
    assert "The readings to stop at leave the front total toe as found: where" in text
    assert "are those of the goals" not in text


def test_two_goals_that_are_judged_together_are_said_to_be() -> None:
    both = told(CAR, GOALS, RODS, FINE, strings(0.6, 0.6))
    assert "is too little, the two judged together at 95 %, to justify turning." in both
    alone = told(CAR, NO_GOALS, RODS, FINE, strings(0.2, 0.1))
    assert "is too little, against its uncertainty, to justify turning." in alone


def test_nothing_is_less_engaged_then_where_nothing_is_turned() -> None:
    uneven = RODS + "[tie_rods.left]\nouter_engaged = 20\n"
    assert "than the other one then" in told(CAR, GOALS, uneven, FINE, strings(-3.0, -3.0))
    still = told(CAR, GOALS, uneven, FINE, strings(0.42, 0.42))
    assert "Leave both tie rods" in still
    assert "less thread engaged than the other one. " in still


def test_a_short_rod_that_gains_thread_may_be_turned() -> None:
    """Shortened, more of it is engaged: there is nothing to forbid."""
    short = RODS.replace("outer_engaged = 30", "outer_engaged = 10")
    text = told(CAR, GOALS, short, FINE, strings(5.0, 5.0))
    assert "less than one diameter of 14.0 mm" in text
    assert "tie rod: shorten it by" in text
    assert "do not turn this rod" not in text


def test_a_rod_that_is_turned_is_said_to_make_up_for_one_that_cannot_be() -> None:
    helped = told(CAR, GOALS, ENDED, FINE, strings(-4.0, -4.0))
    assert "half a diameter at the least; the other rod makes up for what it can" in helped


LEFT_AS_IS = "Leave the steering wheel clamped as it was when the strings were last read; if it has"
WITHIN = CAR.replace("rim_runout", "steering_wheel_straight_within = 4\nrim_runout")
ROAD = 'steering_wheel_off = "1 left"\n'


def test_how_it_was_clamped_matters_where_the_road_tells_of_it() -> None:
    read = FINE + ROAD + strings(-5.0, -3.0)
    assert LEFT_AS_IS in told(WITHIN, GOALS, RODS, read)
    assert "read the strings again before you turn anything" in told(WITHIN, GOALS, RODS, read)
    # By the strings 2.3 degrees to the right, on the road 1 to the left: clamped 3.3 to the left.
    apart = 16.0 * math.degrees(math.asin(5.0 / 400.0) - math.asin(3.0 / 400.0)) / 2.0 + 1.0
    found = data(WITHIN, GOALS, RODS, read)["turning"]["clamped_deg"]
    assert -apart < found < -0.9 * apart
    assert data(CAR, GOALS, RODS, read)["turning"]["clamped_deg"] == 0.0
    for job in ((CAR, GOALS, RODS, read), (WITHIN, GOALS, RODS, FINE, strings(-5.0, -3.0))):
        assert "Clamp the steering wheel straight. " in told(*job)
        assert LEFT_AS_IS not in told(*job)


def test_passes_do_not_average_a_habit_of_the_hand() -> None:
    """Three passes by strings, then a tape: how the steering wheel stands is carried over."""
    tape = "[pass.tape.front]\nfront_edge = 1450\nrear_edge = 1438\nacross = 600\n"
    read = FINE + NOT_TURNED + strings(-5.0, -3.0)  # total toe by strings as by the tape
    habit = 4.0 / math.sqrt(3.0)
    found = data(WITHIN, GOALS, RODS, read * 3, FINE, NOT_TURNED, tape)["turning"]
    assert found["carried"] == ["steering_wheel"]
    assert found["remains"]["u_steering_wheel_deg"] >= habit
    road = read * 2 + read.replace("[pass.string]", f"{ROAD}[pass.string]")
    driven = data(WITHIN, GOALS, RODS, road, FINE, NOT_TURNED, tape)["turning"]
    assert driven["carried"] == ["steering_wheel"]
    assert driven["remains"]["u_steering_wheel_deg"] < 0.5 * habit
    exact = data(CAR, GOALS, RODS, read * 3, FINE, NOT_TURNED, tape)["turning"]
    assert exact["remains"]["u_steering_wheel_deg"] < 0.5 * habit


def test_what_is_stated_as_exact_is_said_to_be() -> None:
    exact = CAR.replace("rim_runout", "steering_wheel_straight_within = 0\nrim_runout")
    read = FINE + strings(-2.0, 3.0)
    stated, silent = told(exact, GOALS, RODS, read), told(CAR, GOALS, RODS, read)
    start = "The steering wheel stood exactly straight while the front wheels were read on the "
    start += "strings"
    assert f"{start}, as stated: each degree" in stated
    assert "and in no interval.\n" in stated
    assert f"{start}: each degree" in silent
    assert "in no interval (steering_wheel_straight_within puts it there)." in silent
    assert start not in told(WITHIN, GOALS, RODS, read)


def test_without_a_ratio_the_steering_wheel_counts_at_the_front_wheels() -> None:
    read = FINE + strings(-2.0, 3.0)
    ratio = "steering_ratio = 16\n"
    assert ratio in CAR
    silent, stated = (told(car.replace(ratio, ""), GOALS, RODS, read) for car in (CAR, WITHIN))
    assert "it did not is up to 0.08° in the toe of each front wheel and what rests on it" in silent
    assert "in no interval (steering_wheel_straight_within puts it there)." in silent
    quick = "; without car.steering_ratio that counts as with a quick steering, 12 to 1."
    assert f"straight within 4.0° while the front wheels were read on the strings{quick}" in stated
    assert "in no interval" not in stated
    assert "without car.steering_ratio" not in told(WITHIN, GOALS, RODS, read)


def test_front_wheels_alone_rest_on_the_steering_wheel_too() -> None:
    lines = strings(-2.0, 3.0).splitlines(keepends=True)
    front = FINE + "".join(line for line in lines if "_rear = {" not in line)
    assert "it did not is 0.06° in the toe of each front wheel and what rests on it" in told(
        CAR, GOALS, RODS, front
    )


def test_a_wheel_moved_on_its_spline_is_clamped_anew() -> None:
    """Its teeth alone count for the readings to stop at, not how it was clamped before."""
    locks = FINE + LOCKS.format(1.25, 1.75) + ROAD
    edges = strings(-2.0, 3.0)
    kept = data(WITHIN, GOALS, RODS, locks, edges)
    gear = kept["turning"]["gear_centre"]
    assert gear["teeth"] != 0
    by_teeth = -math.radians(gear["move_steering_wheel_deg"]) / 16.0
    for side, sign in (("left", 1.0), ("right", -1.0)):
        rod, toe = kept["corrections"][side], kept["toe"][f"{side}_front"]["angle_deg"]
        wanted = math.radians(toe + rod["toe_change_deg"]) + sign * by_teeth
        stop = rod["stop_at"]["string_front_minus_rear_mm"]
        assert stop == pytest.approx(400.0 * math.sin(wanted), abs=0.02)


def test_a_wheel_left_on_a_wrong_spline_is_no_centred_gear() -> None:
    """Its count tells of a wrong spline: later passes must not take it as in its middle."""
    short = RODS.replace("outer_engaged = 30", "outer_engaged = 10")
    locks = FINE + LOCKS.format(1.75, 1.5) + "steering_wheel_off = 0\n"
    tape = "[pass.tape.front]\nfront_edge = 1450\nrear_edge = 1447\nacross = 600\n"
    first = data(CAR, GOALS, short, locks, tape)
    assert first["turning"]["gear_centre"]["waits"] == "thread"
    far = strings(8.0, -8.0)
    later = told(CAR, GOALS, short, locks, tape, FINE, NOT_TURNED, far)
    assert "Centre the steering gear first" in later


STEP = Adjuster("left_front", "shims", "shims", "shim", ("add", "remove"), "camber")


def test_a_step_is_worth_while_where_it_brings_its_setting_nearer_by_what_is_known() -> None:
    """Off by x of a step of s, one step leaves s - x: nearer by 2 x - s."""
    s, u, u_step = math.radians(0.4), math.radians(0.06), math.radians(0.08)
    least = least_part(STEP, Effect(s, u_step, "stated"), off(0.22, u))
    assert 2.0 * least * s - s == pytest.approx(math.hypot(u, u_step))
    assert least_part(STEP, Effect(s, 0.0, "stated"), off(0.22, 0.0)) == 0.5
    # A whole step is no matter of that.
    assert least_part(STEP, Effect(s, s, "stated"), off(0.22, u)) == 1.0
    assert least_part(STEP, Effect(0.0, s, "unknown"), off(0.22, u)) == 0.5
    # From outside the tolerance of 0.3 to within it: worth while at any rate.
    assert least_part(STEP, Effect(s, u_step, "stated"), off(-0.31, u)) == 0.5
    assert least_part(STEP, Effect(s, u_step, "stated"), off(0.29, u)) == least


def off(degrees: float, u: float) -> Outcome:
    """Return a camber that is so far from its goal of 0.5 top in, give or take 0.3."""
    goal = math.radians(-0.5)
    result = Result("camber.left_front", goal + math.radians(degrees), u)
    standing = Standing(result, 0)
    return Outcome("camber.left_front", Goal(goal, math.radians(0.3)), standing, True)


def test_without_a_ratio_no_road_test_is_to_be_driven_again() -> None:
    car = WITHIN.replace("steering_ratio = 16\n", "")
    little = FINE + strings(0.9, -0.2)
    text = told(car, GOALS, RODS, little)
    assert "of the uncertainty of the share of either front wheel comes from how straight" in text
    assert "and add car.steering_ratio and a road test." in text
    assert "drive the road test again" not in text
