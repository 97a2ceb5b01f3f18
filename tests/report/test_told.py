"""What is told agrees with itself: turns, readings to stop at, what remains, what is left alone.

Every expected number is worked out here from the lengths of the job alone.
"""

from __future__ import annotations

import math
import re
import tomllib

import pytest

from toebox.correct import correct
from toebox.job import loads
from toebox.report.blocks import View
from toebox.report.json import result
from toebox.report.text import render_text
from toebox.report.view.sheet import make_sheet
from toebox.report.view.whole import make_view
from toebox.report.working import working
from toebox.solve import solve

CAR = """
length_unit = "mm"
[car]
wheelbase = 2500
track = 1500
rim_diameter = 400
tyre_diameter = 600
steering_ratio = 16
steering_wheel_splines = 36
rear_toe_adjustable = false
[instruments]
string_rule = { resolution = 0.25, repeatability = 0.1 }
tape = { resolution = 0.5, repeatability = 0.1 }
inclinometer = { resolution = 0.1, repeatability = 0.05 }
road_test = { repeatability = 0.5 }
rim_runout = 0.2
"""
GOALS = """
[goal]
front_total_toe = { angle = "0.12 toe-in", tolerance = 0.1 }
steering_wheel = { angle = 0, tolerance = 4 }
"""
RODS = """
[tie_rods]
steering_arm = "behind"
arm_length = 130
outer_thread = "M14x1.5"
outer_engaged = 30
"""
PER_TURN = 1.5 / 130.0  # sine of the change of toe


def strings(left: float, right: float, rear: tuple[float, float] = (0.0, 0.0)) -> str:
    """Return readings: by how much each front edge is further from its string than its rear."""
    edges = {"left_front": left, "right_front": right, "left_rear": rear[0], "right_rear": rear[1]}
    lines = [
        "{} = {{ front = [{}, {}], rear = [{}, {}] }}\n".format(
            wheel, *[100.0 + by / 2.0] * 2, *[100.0 - by / 2.0] * 2
        )
        for wheel, by in edges.items()
    ]
    bars = "front_bar_width = 1700\nrear_bar_width = 1700\nbar_spacing = 4000\n"
    return f"[pass.string]\n{''.join(lines)}{bars}"


def tape(by: float) -> str:
    return f"[pass.tape.front]\nfront_edge = 1450\nrear_edge = {1450 + by}\nacross = 600\n"


def told(*parts: str) -> str:
    solution = solve(loads("".join(parts), "invented"))
    return render_text(make_view(solution, correct(solution)), 2000)


def data(*parts: str) -> dict:
    solution = solve(loads("".join(parts), "invented"))
    return result(solution, correct(solution))["passes"][-1]


@pytest.mark.parametrize(("smallest", "turns"), [("1/6", 1 / 6), ("1/2", 1 / 2)])
def test_beside_a_rod_that_is_left_the_readings_are_those_of_the_turn(
    smallest: str, turns: float
) -> None:
    """A straight car wants as much at both rods; one alone is turned, by a whole step."""
    goals = GOALS if smallest == "1/6" else GOALS.replace("0.12", "0.2")
    job = CAR, goals, RODS, f'smallest_turn = "{smallest}"\n', "[[pass]]\n", strings(0.0, 0.0)
    job = (*job, tape(0.0))
    found = data(*job)
    right = found["corrections"]["right"]
    assert found["corrections"]["left"]["direction"] == "leave"
    assert right["turns"] == pytest.approx(turns)
    sine = turns * PER_TURN
    assert right["stop_at"]["string_front_minus_rear_mm"] == pytest.approx(400.0 * sine, rel=1e-3)
    assert found["turning"]["stop_at"]["tape_rear_minus_front_mm"] == pytest.approx(
        600.0 * sine, rel=1e-3
    )
    text = told(*job)
    assert f"Done as told, the tape reads {600.0 * sine:.1f} mm more at the rear edge" in text
    assert "Done as told, this should remain to the goals: " in text


def test_where_both_are_turned_the_readings_are_those_of_the_goals() -> None:
    """The turns are rounded, so that they leave something; what the goals ask for is read."""
    text = told(CAR, GOALS, RODS, "[[pass]]\n", strings(-2.0, -3.0), tape(-5.0))
    reads = 600.0 * 2.0 * math.sin(math.radians(0.06))
    assert f"With both rods right, the tape reads {reads:.1f} mm more at the rear edge" in text
    assert "By these turns alone, rounded as they are, this should remain to the goals: " in text
    assert "where the two differ, go by the readings." in text


@pytest.mark.parametrize(
    ("goal", "left", "then"),
    [
        (0, -2.0, "the steering wheel then stands straight,"),
        (-3, -2.0, "it then stands 3.0° to the left while the car runs straight"),
        (3, -6.0, "it then stands 3.0° to the right while the car runs straight"),
        (3, -3.0, "it then stands 3.0° to the right while the car runs straight"),
    ],
)
def test_a_steering_wheel_that_is_to_stand_off_centre_is_told_from_its_goal(
    goal: int, left: float, then: str
) -> None:
    """Half turns leave it somewhere else; the rear wheels point 1/400 to the right."""
    goals = GOALS.replace("steering_wheel = { angle = 0,", f"steering_wheel = {{ angle = {goal},")
    rods = f'{RODS}smallest_turn = "1/2"\n'
    job = CAR, goals, rods, "[[pass]]\n", strings(left, -3.0, (1.0, -1.0))
    rod = data(*job)["corrections"]
    turns = [
        rod[side]["turns"] * (1.0 if rod[side]["direction"] == "lengthen" else -1.0)
        for side in ("left", "right")
    ]
    toes = [by / 400.0 + n * PER_TURN for by, n in zip((left, -3.0), turns, strict=True)]
    away = math.degrees(16.0 * (1.0 / 400.0 - (toes[0] - toes[1]) / 2.0)) - goal
    side = "right" if away > 0.0 else "left"
    where = f"to the {side}" if goal == 0 else f"further {side} than its goal"
    text = told(*job)
    assert f"the steering wheel {abs(away):.1f}° {where} (± " in text
    off = math.degrees(sum(toes)) - 0.12
    far = "in" if off > 0.0 else "out"
    assert f"remain to the goals: total toe {abs(off):.2f}° too far {far} (± " in text
    assert then in text
    assert ("then stands straight" in text) == (goal == 0)


def test_an_effect_in_doubt_gives_no_number_of_turns() -> None:
    """Lengthened by a turn each, the wheels toed out: the opposite of what thread and arm say."""
    first = "[[pass]]\n" + tape(-4.0)
    second = '[[pass]]\nturned = { left = "1 lengthen", right = "1 lengthen" }\n' + tape(-16.0)
    found = data(CAR, GOALS, RODS, first, second)["corrections"]
    for side in ("left", "right"):
        assert found[side]["withheld"] == "effect"
        assert found[side]["exact_turns"] is None
        assert found[side]["turns"] is None
    text = told(CAR, GOALS, RODS, first, second)
    assert re.search(r"^Tie rod +Toe change +95 %$", text, re.M)


def test_rear_wheels_that_are_set_first_turn_the_line_that_the_car_follows() -> None:
    """Steering wheel and thrust angle are off together: straight wheels in front stay as they are.

    Rear wheels 0.4 degrees to the right make the steering wheel stand 6.4 degrees to the right.
    """
    edge = 400.0 * math.sin(math.radians(0.4))
    goals = GOALS.replace("0.12", "0") + "thrust_angle = { angle = 0, tolerance = 0.05 }\n"
    car = CAR.replace("adjustable = false", "adjustable = true")
    text = told(car, goals, RODS, "[[pass]]\n", strings(0.0, 0.0, (edge, -edge)))
    assert "Steering wheel   6.4° to the right" in text
    step = next(line for line in text.splitlines() if "Leave both tie rods" in line)
    assert "steering wheel 0.0° off ± " in step
    assert "once the rear wheels are set" in step
    assert "Tighten what was loosened at the rear wheels. " in text


def test_a_thread_that_ends_changes_what_was_to_be_kept() -> None:
    """The steering wheel is not proven off; with one rod at its end it will be."""
    short = RODS + "left.outer_engaged = 8\n"
    loose = CAR.replace("string_rule = { resolution = 0.25", "string_rule = { resolution = 2")
    text = told(loose, GOALS, short, "[[pass]]\n", strings(-6.0, -6.4))
    assert "No change of it is proven, so that none is wanted: steering wheel " in text
    assert "Since a thread ends, the turns told change it all the same." in text
    assert "Kept as it is" not in text


def test_a_wheel_on_the_wrong_spline_is_clamped_where_its_teeth_bring_it_straight() -> None:
    """The gear's middle is counted at 45 degrees, the wheel is moved by four teeth, 40 degrees.

    Clamped there and set as told, both wheels are as far in as the goal asks, and so they run when
    the car runs straight: with the steering wheel at 40 degrees, which the teeth then take away.
    """
    locks = 'turns_to_lock = { left = "1 3/8", right = "1 5/8" }\n'
    job = CAR, GOALS, RODS, f"[[pass]]\n{locks}", strings(-13.0, 13.0)
    text = told(*job)
    clamp = "Clamp the steering wheel with its spokes 40.0° to the right (4 teeth): "
    assert clamp in text
    assert "move the steering wheel on its spline by 4 teeth to the left (40.0°)" in text
    found = data(*job)
    for side, sign, edge in (("left", 1.0, -13.0), ("right", -1.0, 13.0)):
        clamped = math.asin(edge / 400.0) + sign * math.radians(40.0) / 16.0
        turns = found["corrections"][side]["exact_turns"] * PER_TURN
        way = 1.0 if found["corrections"][side]["direction"] == "lengthen" else -1.0
        assert clamped + math.asin(way * turns) == pytest.approx(math.radians(0.06), abs=1e-5)


def test_the_road_test_counts_only_with_the_steering_ratio() -> None:
    without = CAR.replace("steering_ratio = 16\n", "")
    readings = '[[pass]]\nsteering_wheel_off = "3 left"\n' + tape(-8.0)
    text = told(without, GOALS, RODS, readings)
    assert "The road test would tell with the car's steering_ratio." in text
    assert "A road test would tell." not in text
    assert "A road test would tell." in told(without, GOALS, RODS, "[[pass]]\n", tape(-8.0))


CAMBER = """
[goal.camber]
left_front = { angle = -1, tolerance = 0.25 }
right_front = { angle = -1, tolerance = 0.25 }
"""
CAM = """
[[adjuster]]
wheel = "left_front"
kind = "cam"
name = "cam"
gives = "top out"
eccentricity = 6
lever_arm = 300
room = { clockwise = 90, anticlockwise = 90 }
"""


def cambers(left: float, right: float) -> str:
    return "[[pass]]\nfloor = { front = 0 }\n" + "".join(
        f"[pass.inclinometer.{side}_front]\ncamber = [{value}, {value}]\ncamber_turned = {value}\n"
        for side, value in (("left", left), ("right", right))
    )


def test_a_wheel_without_an_adjuster_is_not_passed_over() -> None:
    text = told(CAR, CAMBER, CAM, cambers(-0.4, 0.5))
    step = next(line for line in text.splitlines() if " Camber. " in line)
    assert "Cam (left front): turn " in step
    assert "anticlockwise, always seen facing the head of the bolt. " in step
    assert step.endswith(
        "Right front camber is outside its goal, and no [[adjuster]] of the job is for it: ask "
        "what the maker's manual allows."
    )
    near = told(CAR, CAMBER, CAM, cambers(-0.4, -1.0))
    assert "no [[adjuster]] of the job is for it" not in near
    assert " camber at its middle" in text


def test_each_cam_is_seen_from_its_bolt_and_shims_are_not() -> None:
    shims = CAM.replace("left", "right").replace('"cam"\nname = "cam"', '"shims"\nname = "pack"')
    shims = shims.replace("eccentricity = 6", "thickness = 1").partition("room")[0]
    text = told(CAR, CAMBER, CAM, shims, cambers(-0.4, 0.5))
    step = next(line for line in text.splitlines() if " Camber. " in line)
    assert re.search(r"anticlockwise, seen facing the head of the bolt; pack \(", step)
    assert step.count("head of the bolt") == 1


@pytest.mark.parametrize(("cross", "doubted"), [(0.0, True), (1.8, True), (1.9, False)])
def test_goals_that_no_car_meets_are_doubted(cross: float, doubted: bool) -> None:
    """Left minus right differ by 2.5 degrees; the three tolerances add up to 0.6."""
    goals = CAMBER.replace("-1, tol", "1.5, tol", 1)
    goals += f"[goal.cross_camber]\nangle = {cross}\ntolerance = 0.1\n"
    doubts = loads(CAR + goals + cambers(0.5, 0.5), "invented").doubts
    assert any(text.startswith("goal.cross_camber: not what ") for text in doubts) == doubted


def test_a_wheel_on_the_wrong_spline_asks_for_what_it_needs() -> None:
    locks = 'turns_to_lock = { left = "1 3/8", right = "1 5/8" }\n'
    readings = f"[[pass]]\n{locks}" + strings(-13.0, 13.0) + tape(0.0)
    text = told(CAR.replace("steering_ratio = 16\n", ""), GOALS, RODS, readings)
    assert "Nothing can be said about the tie rods yet: the steering wheel is to be moved " in text
    assert "is known only with the car's steering_ratio." in text
    alone = told(CAR, GOALS, RODS, f"[[pass]]\n{locks}" + tape(0.0))
    assert "where it stands while the car runs straight; a road test (steering_wheel_off)" in alone
    for said in (text, alone):
        assert "tie rod:" not in said
        assert "by 4 teeth" not in said
        assert "measure again" not in said


def test_the_rod_beside_one_that_is_refused_is_not_turned_either() -> None:
    """3.5 degrees at the left wheel: bent or misread, and the right one's share with it."""
    edge = 400.0 * math.sin(math.radians(3.5))
    job = CAR, GOALS, RODS, "[[pass]]\n", strings(-edge, 2.0), tape(-34.0)
    found = data(*job)["corrections"]
    assert [found[side]["withheld"] for side in ("left", "right")] == ["beyond", "other"]
    assert [found[side]["turns"] for side in ("left", "right")] == [None, None]
    text = told(*job)
    assert "Right tie rod: do not turn it before the fault at the other one is found." in text
    assert "With both rods right" not in text
    assert "should remain" not in text


ROUGH = """
length_unit = "mm"
car = { tyre_diameter = 600, steering_ratio = 16 }
instruments.tape = { resolution = 0.5, repeatability = 0.3 }
instruments.road_test = { repeatability = 1 }
goal.front_total_toe = { angle = 0.15, tolerance = 0.1 }
goal.steering_wheel = { angle = 0, tolerance = 2 }
tie_rods = { steering_arm = "behind", arm_length = 140, outer_thread = "M14x1.5" }
"""


def rough(turned: str, engaged: int, road: str = "") -> tuple[str, ...]:
    """A car with 6 mm of toe-out, turned as told, of which 4 mm are left."""
    rounds = [("", 1394, 'steering_wheel_off = "6 left"\n'), (f"turned = {turned}\n", 1395, road)]
    return (
        ROUGH.replace("M14x1.5\"", f"M14x1.5\", outer_engaged = {engaged}"),
        *(
            f"[[pass]]\n{told}{off}tape.front = {{ front_edge = {1400 - (rear - 1394)}, "
            f"rear_edge = {rear} }}\n"
            for told, rear, off in rounds
        ),
    )


def test_a_rod_with_too_little_thread_is_not_loosened_and_its_partner_waits() -> None:
    """It did not do what was expected of it, and is half out of its thread: nothing is turned."""
    road = 'steering_wheel_off = "2 left"\n'
    job = rough('{ left = "6 1/2 lengthen", right = "not turned" }', 16, road)
    found = data(*job)["corrections"]
    assert [found[side]["withheld"] for side in ("left", "right")] == ["effect", "other"]
    assert [found[side]["turns"] for side in ("left", "right")] == [None, None]
    assert [found[side]["direction"] for side in ("left", "right")] == ["leave", "leave"]
    text = told(*job)
    assert "Stop: the outer end of the left tie rod has" in text
    assert "loosen" not in text
    assert "by its readings" not in text
    assert "should remain" not in text


def test_where_nothing_parts_the_shares_a_rod_in_doubt_keeps_the_other_one_waiting() -> None:
    """The tape fell short of what the right rod should have done; how the left stands is open."""
    job = rough('{ left = "not turned", right = "1 1/6 lengthen" }', 28)
    found = data(*job)["corrections"]
    assert [found[side]["withheld"] for side in ("left", "right")] == ["other", "effect"]
    assert found["left"]["turns"] is None
    text = told(*job)
    assert "Left tie rod: do not turn it before the fault at the other one is found." in text
    assert "With both rods right" not in text


REAR = "rear_total_toe = { angle = 0.2, tolerance = 0.05 }\n"


def test_the_front_is_set_for_the_thrust_angle_that_the_rear_will_have() -> None:
    """Rear total toe is 1 degree out, the thrust angle within its interval: it stays as it is."""
    car = CAR.replace("adjustable = false", "adjustable = true")
    car = car.replace("string_rule = { resolution = 0.25, repeatability = 0.1 }",
                      "string_rule = { resolution = 0, repeatability = 0.5 }")  # fmt: skip
    out = 400.0 * math.sin(math.radians(0.5))
    apart = 400.0 * math.sin(math.radians(0.05))
    front = 400.0 * math.sin(math.radians(0.06))
    readings = strings(front + apart, front - apart, (apart - out, -apart - out))
    job = car, GOALS, REAR, "thrust_angle = { angle = 0, tolerance = 0.3 }\n", RODS
    found = data(*job, "[[pass]]\n", readings)
    left, right = (found["corrections"][f"{side}_rear"] for side in ("left", "right"))
    assert left["justified"]
    assert left["toe_change_deg"] == pytest.approx(right["toe_change_deg"])
    # The wheel was straight and stays so: thrust angle and front wheels point the same way.
    assert found["steering_wheel"]["off_centre_deg"] == pytest.approx(0.0, abs=1e-3)
    for side in ("left", "right"):
        assert found["corrections"][side]["toe_change_deg"] == pytest.approx(0.0, abs=1e-3)
    assert "once the rear wheels are set" not in told(*job, "[[pass]]\n", readings)


def test_straight_after_the_rear_wheels_are_set() -> None:
    """Nothing tells how the steering wheel stands, and the line that the car follows will turn."""
    car = CAR.replace("adjustable = false", "adjustable = true")
    edge = 400.0 * math.sin(math.radians(0.4))
    rears = strings(0.0, 0.0, (edge, -edge)).splitlines(True)
    readings = "".join(line for line in rears if "_front = " not in line)
    text = told(car, GOALS, RODS, "[[pass]]\n", readings, tape(-5.0))
    assert "this holds only if it is straight once the rear wheels are set. " in text
    goals = GOALS.replace("angle = 0,", 'angle = "3 right",')
    aside = told(CAR, goals, RODS, "[[pass]]\n", tape(9.0))
    assert "this holds only if it stands at its goal, 3.0° to the right, now. " in aside


def test_a_thread_that_ends_leaves_the_steering_wheel_on_its_spline() -> None:
    locks = 'turns_to_lock = { left = "1 3/8", right = "1 5/8" }\n'
    short = RODS + "right.outer_engaged = 8\n"
    text = told(CAR, GOALS, short, f"[[pass]]\n{locks}", strings(-13.0, 9.0))
    assert "Leave the steering wheel on its spline for now: were it moved, the thread of " in text
    assert "by 4 teeth to the left" not in text
    assert "Clamp the steering wheel straight. " in text
    assert "once it is moved on its spline" not in text


SHORT = RODS.replace("outer_engaged = 30", "outer_engaged = 10")
STRAIGHT = "steering_wheel_off = 0\n" + tape(1.0)


def test_rods_are_not_turned_for_a_spline_that_is_left() -> None:
    """They would be set for a steering wheel that sits as it sat, and leave it crooked."""
    locks = 'turns_to_lock = { left = "1 3/4", right = "1 1/2" }\n'
    found = data(CAR, GOALS, SHORT, f"[[pass]]\n{locks}", STRAIGHT)
    gear = found["turning"]["gear_centre"]
    assert (gear["off_centre_deg"], gear["waits"]) == (45.0, "thread")
    assert (gear["move_steering_wheel_deg"], gear["teeth"]) == (0.0, 0)
    assert [found["corrections"][side]["direction"] for side in ("left", "right")] == ["leave"] * 2
    remains = found["turning"]["remains"]["steering_wheel_deg"]
    assert remains == pytest.approx(found["steering_wheel"]["off_centre_deg"], abs=1e-9)
    long = data(CAR, GOALS, RODS, f"[[pass]]\n{locks}", STRAIGHT)["turning"]["gear_centre"]
    assert (long["waits"], long["teeth"]) == (None, 4)


def test_a_likely_count_does_not_move_a_wheel_that_is_proven_straight() -> None:
    """22.5 degrees +- 17 are 95 in 100, and a steering wheel is not taken off for that alone."""
    locks = 'turns_to_lock = {{ left = "1 {}", right = "1 {}" }}\n'
    likely = locks.format("9/16", "7/16")
    text = told(CAR, GOALS, RODS, f"[[pass]]\n{likely}", STRAIGHT)
    assert "it is proven to be within its goal while the car runs straight. Leave it, " in text
    assert "move the steering wheel on its spline" not in text
    crooked = STRAIGHT.replace("off = 0", 'off = "20 left"')
    text = told(CAR, GOALS, RODS, f"[[pass]]\n{likely}", crooked)
    assert "move the steering wheel on its spline" in text
    certain = locks.format("5/8", "3/8")
    text = told(CAR, GOALS, RODS, f"[[pass]]\n{certain}", STRAIGHT)
    assert "move the steering wheel on its spline" in text


def test_a_rod_that_makes_up_for_the_other_says_which_way() -> None:
    """It is turned against its own wanted change: the table tells the way beside the turns."""
    short = RODS + "left.outer_engaged = 8\n"
    text = told(CAR, GOALS, short, "[[pass]]\n", strings(-9.0, 1.5))
    row = next(line for line in text.splitlines() if line.startswith("Right  "))
    step = next(line for line in text.splitlines() if "Right tie rod: lengthen it by " in line)
    assert row.rstrip().endswith(" longer")
    assert " shorter " in row
    assert step


def test_a_goal_of_the_steering_wheel_needs_the_ratio() -> None:
    bare = CAR.replace("steering_ratio = 16\n", "")
    goals = GOALS.replace("steering_wheel = { angle = 0,", "steering_wheel = { angle = 5,")
    doubt = "goal.steering_wheel: read, but not used: needs car.steering_ratio"
    assert doubt in loads(bare + goals + "[[pass]]\n" + tape(0.0), "invented").doubts
    assert loads(bare + GOALS + "[[pass]]\n" + tape(0.0), "invented").doubts == ()


@pytest.mark.parametrize(("by", "front", "rear"), [(9, "small", "large"), (-9, "large", "small")])
def test_a_slip_is_told_the_way_that_it_went(by: float, front: str, rear: str) -> None:
    """Straight wheels by the strings; by the tape the rear points are so much further apart."""
    text = told(CAR, "[[pass]]\n", strings(0.0, 0.0), tape(by))
    doubted = text[text.index("Readings that do not fit") :]
    for edge, word in (("front", front), ("rear", rear)):
        assert re.search(rf" tape, front axle, {edge} edge +9\.0 mm too {word} ", doubted)


@pytest.mark.parametrize(("more", "side"), [(10, "right"), (-10, "left")])
def test_setback_names_the_wheel_whose_wheelbase_is_shorter(more: float, side: str) -> None:
    bases = f"[[pass]]\nwheelbase_left = {2500 + more}\nwheelbase_right = 2500\n"
    assert re.search(rf"Setback +10\.0 mm .*, {side} front wheel further back", told(CAR, bases))
    level = told(CAR, bases.replace(str(2500 + more), "2500"))
    assert re.search(r"Setback +0\.0 mm .*, level", level)


def test_data_compares_what_it_says_in_the_order_that_it_says() -> None:
    """Strings: 1.2 mm over a rim of 400 mm at each wheel; tape: 1.2 mm across 600 mm in all."""
    (one,) = data(CAR, "[[pass]]\n", strings(1.2, 1.2), tape(1.2))["agreement"]
    assert (one["compared"], one["first"], one["second"]) == ("total_toe.front", "strings", "tape")
    by_strings = 2.0 * math.degrees(math.asin(1.2 / 400.0))
    by_tape = 2.0 * math.degrees(math.asin(1.2 / 2.0 / 600.0))
    assert one["first_deg"] == pytest.approx(by_strings, abs=1e-6)
    assert one["second_deg"] == pytest.approx(by_tape, abs=1e-6)
    assert one["difference_deg"] == pytest.approx(by_tape - by_strings, abs=1e-6)


def test_rods_that_wait_for_the_rear_say_so_everywhere() -> None:
    """Page, working, sheet and JSON: no rod is told to be turned, the tape is that of the goal."""
    goals = GOALS + REAR + "thrust_angle = { angle = 0, tolerance = 0.05 }\n"
    car = CAR.replace("rear_toe_adjustable = false", "rear_toe_adjustable = true")
    job = (car, goals, RODS, "[[pass]]\n", strings(1.0, -1.0, (0.0, 30.0)), tape(0.5))
    found = data(*job)
    assert {found["corrections"][side]["withheld"] for side in ("left", "right")} == {"rear"}
    goal = 600.0 * 2.0 * math.sin(math.radians(0.06))
    assert found["turning"]["stop_at"]["tape_rear_minus_front_mm"] == pytest.approx(goal, rel=2e-3)
    solution = solve(loads("".join(job), "invented"))
    corrections = correct(solution)
    worked = render_text(View("w", (), working(solution, corrections)), 2000)
    assert "is not turned before what stands under 'What to do next' is found" in worked
    assert "less than the readings can prove" not in worked
    written = tomllib.loads("".join(job))
    sheet = make_sheet(written, solution, corrections)
    said = repr(sheet)
    assert "front wheel: the rim" not in said
    assert "With both front wheels right" not in said


@pytest.mark.parametrize(
    ("turned", "sides"),
    [
        ("", ("left", "right")),
        ('turned = { left = "?", right = "1/2 lengthen" }\n', ("left",)),
        ('turned = { left = "not turned", right = "?" }\n', ("right",)),
        ('turned = { left = "not turned", right = "1/2 lengthen" }\n', ()),
    ],
)
def test_thread_is_not_known_after_a_turn_that_nobody_counted(turned: str, sides: tuple) -> None:
    passes = "[[pass]]\n" + strings(-0.5, -0.5), f"[[pass]]\n{turned}" + strings(-0.5, 1.8)
    text = told(CAR, GOALS, RODS, *passes)
    for side in ("left", "right"):
        row = rf"{side.capitalize()}, outer end +not known +not known +14.0 mm +▽ measure it"
        assert bool(re.search(row, text)) == (side in sides)
    which = "both tie rods have" if len(sides) == 2 else f"the {''.join(sides)} tie rod has"
    assert (f"Measure how much thread {which} engaged before you turn" in text) == bool(sides)
    corrections = data(CAR, GOALS, RODS, *passes)["corrections"]
    for side in ("left", "right"):
        end = corrections[side]["engagement"]["outer"]
        values = end["before_mm"], end["after_mm"], end["below_one_diameter"]
        assert (values == (None, None, None)) == (side in sides)
        assert (None in values) == (side in sides)


SHORT = RODS.replace("outer_engaged = 30", "outer_engaged = 12")


@pytest.mark.parametrize("more", [2.3, 2.5, 0.6])
def test_too_little_thread_is_warned_of_whether_turns_were_counted_or_not(more: float) -> None:
    """12 mm are less than the diameter of 14: a pass without `turned` makes that no better."""
    job = json_job(SHORT, more)
    text, rods = told(*job), data(*job)["corrections"]
    for side in ("left", "right"):
        has = f"The outer end of the {side} tie rod has 12.0 mm"
        assert has in text
        assert "of thread engaged now by the turns counted" in text
        end = rods[side]["engagement"]["outer"]
        assert (end["before_mm"], end["below_one_diameter"]) == (None, True)
    assert "Measure how much thread both tie rods have engaged before you turn anything" in text


def json_job(rods: str, more: float) -> tuple[str, ...]:
    """Return a job of two passes, nothing said of what was turned between them."""
    return CAR, GOALS, rods, "[[pass]]\n" + strings(0.5, 0.5), "[[pass]]\n" + strings(more, 0.5)


def test_a_rod_that_was_told_not_turned_keeps_its_thread_whatever_an_adjuster_did() -> None:
    cam = (
        '[[adjuster]]\nwheel = "left_front"\nkind = "cam"\nname = "cam"\ngives = "top out"\n'
        "eccentricity = 6\nlever_arm = 300\n"
    )
    turned = 'turned = { left = "not turned", right = "not turned", cam = "?" }\n'
    passes = "[[pass]]\n" + strings(-0.5, -0.5), f"[[pass]]\n{turned}" + strings(-0.5, 1.8)
    rods = data(CAR, GOALS, RODS, cam, *passes)["corrections"]
    assert [rods[side]["engagement"]["outer"]["before_mm"] for side in rods][:2] == [30.0, 30.0]


REAR_BY_HAND = CAR.replace("rear_toe_adjustable = false", "rear_toe_adjustable = true")
AGAIN = "Read the toe of each rear wheel again first"
STILL = 'turned = { left = "not turned", right = "not turned" }\n'


@pytest.mark.parametrize(
    ("rear", "asked"),
    [((4.0, -4.0), True), ((0.1, -0.1), False), ((0.0, 0.0), False)],
)
def test_the_order_of_work_and_the_first_step_say_one_thing_of_the_rear(
    rear: tuple[float, float], asked: bool
) -> None:
    goal = "camber.left_rear = { angle = -1, tolerance = 0.5 }\n"
    gauge = "[pass.inclinometer]\nleft_rear.camber = -1\n"
    first = "[[pass]]\n" + strings(0.4, 0.4, rear) + gauge
    text = told(REAR_BY_HAND, GOALS + goal, RODS, first, f"[[pass]]\n{STILL}" + tape(2.5))
    order, _, steps = text.partition("What to do next\n")
    assert (AGAIN in steps) == asked
    assert ("Read it again first: what it was may hold no longer" in order) == asked
    assert not (asked and "Leave it: no reading proves" in order)


def test_a_rear_adjuster_that_is_written_down_is_named() -> None:
    """What moved rear toe is known: table and step name it, and none says that nobody does."""
    cam = (
        '[[adjuster]]\nwheel = "left_rear"\nkind = "cam"\nname = "rear cam"\ngives = "toe-in"\n'
        "eccentricity = 6\nlever_arm = 300\n"
    )
    turned = STILL.replace(" }", ', "rear cam" = "10 clockwise" }')
    passes = "[[pass]]\n" + strings(0.4, 0.4), f"[[pass]]\n{turned}" + tape(2.5)
    text = told(REAR_BY_HAND, GOALS, RODS, cam, *passes)
    assert "stale since pass 2: rear cam" in text
    assert f"1. {AGAIN}, by strings at all four wheels: moved since it was read: rear cam." in text
    assert "nothing says what was done there" not in text


def test_a_tape_alone_asks_for_no_rear_wheel() -> None:
    """Total toe alone tells nothing to set at one rear wheel or the other."""
    goal = "rear_total_toe = { angle = 0, tolerance = 0.05 }\n"
    rear = "[pass.tape.rear]\nfront_edge = 1440\nrear_edge = 1460\nacross = 600\n"
    passes = "[[pass]]\n" + tape(2.5) + rear, f"[[pass]]\n{STILL}" + tape(2.5)
    text = told(REAR_BY_HAND, GOALS + goal, RODS, *passes)
    assert AGAIN not in text
    assert "stale" not in text.partition("Where every setting stands")[2].partition("Passes:")[0]


@pytest.mark.parametrize("goal", [0.0, -2.2])
def test_a_steering_wheel_off_its_goal_is_told_from_the_goal_everywhere(goal: float) -> None:
    goals = GOALS.replace("steering_wheel = { angle = 0,", f"steering_wheel = {{ angle = {goal},")
    job = CAR, goals, RODS, "[[pass]]\n" + strings(-0.5, -0.3)
    solution = solve(loads("".join(job), "invented"))
    sections = working(solution, correct(solution))
    text, formulas = told(*job), render_text(View("", (), sections), 200)
    assert (" than its goal" in text) == bool(goal)
    printed = re.search(r"Steering wheel, remaining .*", formulas)
    assert printed is not None
    assert (" than its goal" in printed[0]) == bool(goal)
    total = re.search(r"Total toe, remaining .*", formulas)
    assert total is not None
    assert re.search("too far (in|out)|0.00° off", total[0])
