"""What is told after several passes: nothing twice, nothing taken for what it is not."""

from __future__ import annotations

import math
import re

import pytest

from tests.cli.running import run
from tests.report.test_told import CAR, GOALS, PER_TURN, RODS, data, strings, tape, told
from toebox.correct import correct
from toebox.job import loads
from toebox.report.json import result
from toebox.report.sheet import Part
from toebox.report.text import render_text
from toebox.report.view.learned import learned
from toebox.report.view.sheet import make_sheet
from toebox.report.view.whole import make_view
from toebox.solve import solve
from toebox.solve.standing import standing

ADJUSTABLE = CAR.replace("adjustable = false", "adjustable = true")
THRUST = "thrust_angle = { angle = 0, tolerance = 0.1 }\n"


def edge(degrees: float) -> float:
    """Return front minus rear edge of a rim of 400 mm [mm]."""
    return 400.0 * math.sin(math.radians(degrees))


def rear_only(degrees: float) -> str:
    """Return a later pass with strings along the rear wheels alone."""
    text = strings(0.0, 0.0, (edge(degrees), edge(-degrees)))
    kept = [line for line in text.splitlines(True) if "_front = " not in line]
    return "[[pass]]\n" + "".join(kept)


AS_FOUND = "[[pass]]\n" + strings(edge(0.06), edge(0.06), (edge(0.3), edge(-0.3)))


def test_rear_wheels_that_were_set_are_not_set_again() -> None:
    """The front was not read again: where the steering wheel stands is not known any more."""
    assert "change its toe by 0.30° towards toe-out" in told(ADJUSTABLE, GOALS, THRUST, AS_FOUND)
    text = told(ADJUSTABLE, GOALS, THRUST, AS_FOUND, rear_only(0.0))
    assert "change its toe" not in text
    assert "Nothing can be said about the tie rods yet: front total toe needs " in text
    assert "○ stale since pass 2: rear wheels" in text
    # As long as the rear wheels read as before, the steering wheel stands as it stood.
    same = told(ADJUSTABLE, GOALS, THRUST, AS_FOUND, rear_only(0.3))
    assert "○ stale since pass 2: rear wheels" not in same


def test_rear_wheels_read_for_the_first_time_are_not_said_to_be_set() -> None:
    """The road test came first; only another thrust angle after that shows that they were."""
    driven = '[[pass]]\nsteering_wheel_off = "0"\n' + tape(0.5)
    once = told(ADJUSTABLE, GOALS, THRUST, driven, rear_only(0.3))
    assert "○ stale since" not in once
    again = told(ADJUSTABLE, GOALS, THRUST, driven, rear_only(0.3), rear_only(0.0))
    assert "○ stale since pass 3: rear wheels" in again


def test_a_check_does_not_pass_on_a_steering_wheel_of_before(tmp_path) -> None:
    found = AS_FOUND.replace("[[pass]]", '[[pass]]\nsteering_wheel_off = "0"')
    text = ADJUSTABLE + GOALS + THRUST + found + rear_only(0.0)
    (tmp_path / "job.toml").write_text(text, "utf-8")
    done = run("solve", "--check", tmp_path / "job.toml")
    assert done.exit_code == 1
    stands = standing(solve(loads(text, "invented")))
    assert stands["steering_wheel"].disturbed_by == ("rear wheels",)


CAMS = "".join(
    f'[[adjuster]]\nwheel = "{side}_rear"\nkind = "cam"\nname = "{side} cam"\n'
    'gives = "toe-in"\neccentricity = 4\nlever_arm = 200\n'
    for side in ("left", "right")
)


def test_cams_at_the_rear_turn_the_line_that_the_car_follows() -> None:
    """What is carried over to a tape's reading is the thrust angle of after the move alone."""
    moved = '[[pass]]\nturned = { "left cam" = "10 clockwise", "right cam" = "10 anticlockwise" }\n'
    straight = strings(edge(0.06), edge(0.06))
    rods = '[[pass]]\nturned = { left = "1/2 lengthen", right = "1/2 lengthen" }\n'
    job = CAR, GOALS, RODS, CAMS, AS_FOUND, moved + straight, rods + tape(8.0)
    found = data(*job)
    assert found["turning"]["carried"] == ["steering_wheel"]
    left, right = (found["corrections"][side]["toe_change_deg"] for side in ("left", "right"))
    assert left == pytest.approx(right, abs=0.01)  # by the mean of both they would be 0.3 apart
    without = CAR, GOALS, RODS, "[[pass]]\n", straight, rods + tape(8.0)
    assert data(*without)["turning"]["carried"] == ["steering_wheel"]
    still = CAR, GOALS, RODS, CAMS, "[[pass]]\n", straight, rods + tape(8.0)  # nobody moved them
    assert data(*still)["turning"]["carried"] == ["steering_wheel"]


LOCKS = 'turns_to_lock = { left = "1 3/8", right = "1 5/8" }\n'
TURNED = 'turned = { left = "1/2 shorten", right = "1/2 lengthen" }\n'


def test_moving_the_steering_wheel_is_not_taken_for_the_work_of_the_rods() -> None:
    """Four teeth, 40 degrees: with the spokes straight both wheels then read 2.5 degrees on."""
    first = f"[[pass]]\n{LOCKS}" + strings(-13.0, 13.0)
    half = math.degrees(math.asin(0.5 * PER_TURN))
    left = math.degrees(math.asin(-13.0 / 400.0)) - half + 40.0 / 16.0
    again = f"[[pass]]\n{TURNED}" + strings(edge(left), edge(-left))
    found = data(CAR, GOALS, RODS, first, again)
    for side in ("left", "right"):
        effect = found["corrections"][side]["effect_per_turn"]
        assert effect["observed_deg"] is None
        assert effect["toe_change_deg"] == pytest.approx(math.degrees(PER_TURN))
    text = told(CAR, GOALS, RODS, first, again)
    assert found["turning"]["count_locks_again"]
    assert "An earlier pass found the steering wheel on the wrong spline. Count the turns " in text
    even = 'turns_to_lock = { left = "1 1/2", right = "1 1/2" }\n'
    counted = told(CAR, GOALS, RODS, first, again.replace("[[pass]]\n", f"[[pass]]\n{even}"))
    assert "An earlier pass found" not in counted


def test_each_rod_is_seen_without_what_is_taken_for_true_of_the_other() -> None:
    """The arms are 100 mm long, not 130: a turn does 0.86 degrees, on both sides alike."""
    rods = RODS.replace("arm_length = 130", "arm_length = 130\narm_length_within = 5")
    sine = 1.5 / 100.0
    first = "[[pass]]\n" + strings(edge(1.0), edge(-0.2)) + tape(600.0 * math.sin(0.8 / 57.29578))
    left, right = 1.0 - math.degrees(7 / 6 * sine), -0.2 + math.degrees(5 / 6 * sine)
    both = math.radians(left) + math.radians(right)
    second = '[[pass]]\nturned = { left = "7/6 shorten", right = "5/6 lengthen" }\n'
    second += strings(edge(left), edge(right)) + tape(600.0 * both)
    found = data(CAR, GOALS, rods, first, second)["corrections"]
    for side in ("left", "right"):
        effect = found[side]["effect_per_turn"]
        assert effect["observed_deg"] == pytest.approx(math.degrees(sine), rel=0.01)
        assert effect["disagrees"]


def test_a_rod_without_thread_is_not_lengthened_by_its_readings() -> None:
    short = RODS.replace("outer_engaged = 30", "outer_engaged = 9")
    second = '[[pass]]\nturned = { left = "7 lengthen", right = "1 shorten" }\n'
    text = told(CAR, GOALS, short, "[[pass]]\n", strings(-1.0, 1.0), second, strings(-1.0, 1.0))
    step = next(line for line in text.splitlines() if "Left tie rod: " in line)
    assert step.endswith("how much thread it has left.")
    assert "go by the readings" not in step
    assert "do not turn it" in step


def test_what_a_turn_may_leave_is_not_called_unsafe_afterwards() -> None:
    """9 mm less 4/3 turns of 1.5 mm is 7 mm, half a diameter, to the last bit or not."""
    short = RODS.replace("outer_engaged = 30", "outer_engaged = 9")
    second = '[[pass]]\nturned = { left = "4/3 lengthen", right = "not turned" }\n'
    text = told(CAR, GOALS, short, "[[pass]]\n", strings(-3.0, 0.0), second, strings(-1.0, 0.0))
    assert "has 7.0 mm (" in text
    assert "not safe to drive" not in text


def test_a_steering_wheel_is_not_moved_where_the_rods_are_refused() -> None:
    """Four degrees at a wheel are more than tie rods are meant to make."""
    readings = f"[[pass]]\n{LOCKS}" + strings(edge(1.6), edge(-1.6))
    text = told(CAR, GOALS, RODS, readings)
    assert "is more than tie rods are meant to make" in text
    assert "move the steering wheel on its spline" not in text


def test_a_wheel_that_is_moved_alone_is_measured_afterwards() -> None:
    readings = f'[[pass]]\n{LOCKS}steering_wheel_off = "40 right"\n'
    text = told(CAR, GOALS, readings)
    assert "With the spokes 40.0° to the right, move the steering wheel on its spline" in text
    assert "still clamped" not in text
    assert "measure again; in a job those readings are the next [[pass]]." in text


OPEN = '[pass.tape.front]\nfront_edge = "?"\nrear_edge = "?"\n'


@pytest.mark.parametrize("right", ['"1/6 lengthen"', '"?"', '"not turned"'])
def test_a_sheet_does_not_tell_turns_that_are_made(right: str) -> None:
    written = CAR + GOALS + RODS + "[[pass]]\n" + strings(-2.0, -3.0)
    turned = f'[[pass]]\nlabel = "next"\nturned = {{ left = "2/3 lengthen", right = {right} }}\n'
    sheet = sheet_of(written, turned + OPEN)
    said = words(sheet.parts)
    also = "" if right == '"?"' else f"; right: {right.strip(chr(34))}"
    made = f"The job says what was turned since (left: 2/3 lengthen{also}): measure before you"
    assert made in said
    assert "Left tie rod: " not in said  # it was turned, whatever is open of the other one
    filled = {blank.key: blank.value for blank in blanks(sheet.parts)}
    assert filled["pass.turned.left"].startswith("2/3")


def test_a_sheet_after_nothing_was_turned_tells_the_turns() -> None:
    written = CAR + GOALS + RODS + "[[pass]]\n" + strings(-2.0, -3.0)
    turned = '[[pass]]\nturned = { left = "not turned", right = "not turned" }\n'
    assert "Left tie rod: " in words(sheet_of(written, turned + OPEN).parts)


def test_a_sheet_of_a_half_read_pass_tells_no_turn_of_the_pass_before() -> None:
    """The tape of it was read after those turns: done again they would be twice too much."""
    written = CAR + GOALS + RODS + "[[pass]]\n" + strings(-2.0, -3.0)
    read = '[[pass]]\nlabel = "next"\nsteering_wheel_off = "?"\n' + tape(1.5)
    sheet = sheet_of(written, read)
    said = words(sheet.parts)
    assert "The job has some readings of this pass, and others are open: take those" in said
    assert "tie rod: " not in said.lower()
    filled = [(blank.key, blank.value) for blank in blanks(sheet.parts)]
    assert ("pass.tape.front.rear_edge", "1451.5 mm") in filled
    assert {value for key, value in filled if key == "pass.steering_wheel_off"} == {""}
    set_up = read.replace("front_edge = 1450\nrear_edge = 1451.5", 'front_edge = "?"')
    assert "tie rod: " in words(sheet_of(written, set_up).parts).lower()


def sheet_of(first: str, planned: str):
    """Return the sheet of a job whose last pass is still to be read."""
    import tomllib

    solution = solve(loads(first, "invented"))
    return make_sheet(tomllib.loads(first + planned), solution, correct(solution))


def words(parts: tuple[Part, ...]) -> str:
    """Return the running text of a sheet."""
    found = []
    for part in parts:
        for block in part.blocks:
            found += [getattr(block, "text", ""), *map(str, getattr(block, "items", ()))]
    return "\n".join(found)


def blanks(parts: tuple[Part, ...]):
    """Yield the boxes of a sheet."""
    for part in parts:
        for block in part.blocks:
            form = getattr(block, "form", block)
            for line in getattr(form, "lines", ()):
                yield from line.blanks


def test_a_goal_is_printed_as_it_was_given_however_coarse_the_tape() -> None:
    job = """
length_unit = "in"
[car]
tyre_diameter = 24
[instruments]
tape = { resolution = "1/8", repeatability = "1/16" }
[goal]
front_total_toe = { distance = "3/32", tolerance = "1/32" }
[[pass]]
tape.front = { front_edge = "57 1/8", rear_edge = "57 1/4" }
"""
    text = told(job)
    assert "(3/32 in ± 1/32 in across 24 in)" in text


def test_an_adjuster_that_the_passes_contradict_is_left() -> None:
    """Turned the wrong way: 60 degrees should have made 0.99, and took as much."""
    cam = CAMS.replace("rear", "front").replace("toe-in", "top out").partition("[[adjuster]]")[2]
    cam = "[[adjuster]]" + cam.partition("[[adjuster]]")[0]
    goals = "[goal]\ncamber.left_front = { angle = 1, tolerance = 0.2 }\n"
    gauge = "floor = {{ front = 0 }}\n[pass.inclinometer.left_front]\ncamber = [{0}, {0}]\n"
    turned = '[[pass]]\nturned = { "left cam" = "60 clockwise" }\n'
    text = told(CAR, goals, cam, "[[pass]]\n", gauge.format(0.0), turned, gauge.format(-1.0))
    step = next(line for line in text.splitlines() if " Camber. " in line)
    assert "The passes contradict what was known of left cam: leave it until " in step
    assert "not known well enough" not in step


def test_where_nothing_says_what_was_turned_nothing_counts_and_that_is_asked_first() -> None:
    """Table and steps agree: the steering wheel of the pass before is not known any more."""
    first = '[[pass]]\nsteering_wheel_off = "11.5 right"\n' + tape(-12.0)
    text = told(CAR, GOALS, RODS, first, "[[pass]]\n", tape(-11.0))
    assert "1. Write first what was turned before this pass (turned), or that nothing was" in text
    assert "○ stale since pass 2: nothing says what was turned" in text
    assert "Both rods get the same share" in text
    written = 'turned = { left = "not turned", right = "not turned" }\n'
    text = told(CAR, GOALS, RODS, first, "[[pass]]\n", written, tape(-11.0))
    assert "Write first what was turned" not in text
    assert "stale since" not in text
    assert "Both rods get the same share" not in text
    road = '[[pass]]\nsteering_wheel_off = "11.5 right"\n'
    text = told(CAR, GOALS, RODS, "[[pass]]\n", tape(-12.0), road)
    assert "1. Write first what was turned before this pass" in text
    alone = told(CAR, GOALS, RODS, "[[pass]]\n", tape(-12.0))
    assert "Write first what was turned" not in alone


def weighing(rods: str) -> str:
    """Return the note on what one turn does, after a pass in which both rods were turned."""
    readings = [strings(edge(toe), edge(toe)) for toe in (0.0, 0.6)]
    turned = 'turned = { left = "1 lengthen", right = "1 lengthen" }\n'
    text = CAR + rods + f"[[pass]]\n{readings[0]}[[pass]]\n{turned}{readings[1]}"
    section = learned(correct(solve(loads(text, "invented")))[-1])
    assert section is not None
    assert not section.summary
    return section.blocks[-1].text


def test_two_values_are_weighed_only_where_two_are_known() -> None:
    sharpens = "every further pass sharpens this."
    assert weighing(RODS) == f"Both are weighted by their uncertainties; {sharpens}"
    assert weighing('[tie_rods]\nouter_thread = "M14x1.5"\n') == sharpens.capitalize()
    left = RODS.replace("[tie_rods]", "[tie_rods.left]")
    assert weighing(left).startswith("Where both are known, they are weighted")


@pytest.mark.parametrize(("first", "last", "side"), [(-0.5, 0.2, "left"), (0.2, -0.5, "right")])
def test_a_cross_setting_changes_towards_the_side_that_gained(first, last, side) -> None:
    """The right wheel stays as it is; more on the left means that the left one gained."""
    goal = "[goal]\ncross_camber = { angle = 0, tolerance = 0.5 }\n"
    text = CAR + goal
    for camber in (first, last):
        text += f"[[pass]]\ninclinometer.left_front.camber = {camber}\n"
        text += "inclinometer.right_front.camber = -0.5\n"
    assert re.search(rf"Front cross-camber .* 0\.70° towards more on the {side}\n", told(text))
    same = told(text.replace(f"camber = {last}\n", f"camber = {first}\n"))
    assert re.search(r"Front cross-camber .* 0\.00° \(none\)", same)


def test_beside_a_goal_a_value_tells_its_pass_and_whether_it_is_stale() -> None:
    """A rod was turned, and only the steering wheel was looked at since; camber was not moved."""
    camber = "camber.left_front = { angle = -0.5, tolerance = 0.5 }\n"
    found = "[[pass]]\ninclinometer.left_front.camber = -0.5\n" + tape(0.5)
    later = '[[pass]]\nturned = { left = "1 shorten" }\nsteering_wheel_off = 0\n'
    said = told(CAR, GOALS, camber, found, later)
    goals = said[said.index("Against the goals") :]
    assert re.search(r"Front total toe +\S+ toe-in \(pass 1, stale\)", goals)
    assert re.search(r"Left front camber +\S+ top in \(pass 1\)", goals)
    assert re.search(r"Steering wheel +0\.0° \(centred\)  ", goals)


def test_a_difference_over_two_passes_is_told_with_what_would_prove_it() -> None:
    """No pass has it: JSON tells its value beside where it stands."""
    head = (
        'length_unit = "mm"\ncar = { wheelbase = 2600, track = 1500 }\n'
        "goal.cross_camber = { angle = 0, tolerance = 0.3 }\n"
    )
    apart = '[[pass]]\nlabel = "{0}"\ninclinometer.{0}_front = {{ camber = {1} }}\n'
    solution = solve(loads(head + apart.format("left", -0.9) + apart.format("right", -1.1), "told"))
    corrections = correct(solution)
    stands = result(solution, corrections)["standing"]
    told = stands["cross_camber.front"]
    assert (told["pass"], told["valid"], told["outcome"]) == (2, True, "not proven")
    assert told["angle_deg"] == pytest.approx(0.2, abs=1e-3)
    assert told["u_deg"] > 0.0
    assert "angle_deg" not in stands["camber.left_front"]
    text = render_text(make_view(solution, corrections), 2000)
    assert "Front cross-camber: known to" in text
    advice = "Read in one pass, floor and gauge would count less: read both again."
    assert advice in text
    # Read in one pass, before one that says nothing of camber, it is no difference over passes.
    once = '[[pass]]\nlabel = "both"\ninclinometer.left_front = { camber = -0.9 }\n'
    once += "inclinometer.right_front = { camber = -1.1 }\n"
    later = '[[pass]]\nlabel = "tape"\nturned = { left = 0, right = 0 }\n'
    later += "tape.front = { front_edge = 1400, rear_edge = 1401, across = 600 }\n"
    solution = solve(loads(head + once + later, "told"))
    text = render_text(make_view(solution, correct(solution)), 2000)
    stand = standing(solution)["cross_camber.front"]
    assert (stand.number, stand.stale, stand.over_passes) == (0, False, False)
    assert stand.decision is not None
    assert stand.decision.outcome == "not proven"
    assert advice not in text
