"""Steps that agree with the rest of the report, and can be carried out as they are told."""

from __future__ import annotations

import math
import re
import tomllib
from pathlib import Path

import pytest

from tests.correct.test_adjuster_plan import HEAD as GAUGED
from tests.correct.test_adjuster_plan import ROD, one_pass
from tests.correct.test_own_setting import CASTER
from tests.report.test_told import CAR, GOALS, RODS, data, strings, tape, told
from toebox.correct import correct
from toebox.job import load, loads
from toebox.report.blocks import Points
from toebox.report.json import result
from toebox.report.view.settle import settling
from toebox.report.view.sheet import make_sheet
from toebox.solve import solve

ADJUSTABLE = CAR.replace("rear_toe_adjustable = false", "rear_toe_adjustable = true")
REAR_GOAL = "rear_total_toe = { angle = 0.2, tolerance = 0.08 }\n"


def test_no_tie_rod_is_turned_by_toe_that_is_moved_first() -> None:
    """Caster comes before toe, and moves it."""
    goals = CASTER + "front_total_toe.angle = 0\n"
    moved = told(GAUGED, goals, RODS, ROD, one_pass(3.0, -0.5) + tape(2.0))
    assert "It moves toe: read it again in a new pass then." in moved
    assert "tie rod: " not in moved
    assert "any turns told below" not in moved
    still = told(GAUGED, goals, RODS, ROD, one_pass(4.0, -0.5) + tape(2.0))
    assert "Leave both tie rods for now" in still


def test_rear_wheels_that_are_set_before_toe_is_read_again_are_closed_up() -> None:
    """The front bolt moves toe; the rear is set by its reading: what is loosened is tightened."""
    bolt = (
        '[[adjuster]]\nwheel = "left_front"\nkind = "direct"\nname = "bolt"\ngives = "top out"\n'
        "effect = { camber = 0.5 }\n"
    )
    goal = "camber.left_front = { angle = 0, tolerance = 0.2 }\n"
    gauge = "[pass.inclinometer.left_front]\ncamber = [-2, -2]\ncamber_turned = [-2, -2]\n"
    readings = strings(0.4, 0.4, (3.0, -1.0)) + gauge
    text = told(ADJUSTABLE, GOALS, goal, RODS, bolt, "[[pass]]\n", readings)
    assert "It moves toe: read it again in a new pass then." in text
    assert "Left rear wheel, before the front: change its toe by" in text
    assert "Tighten what was loosened at the rear wheels. Roll the car back" in text
    assert "Make the first drive slow" in text
    assert "tie rod: " not in text
    assert result_of(ADJUSTABLE, GOALS, goal, RODS, bolt, "[[pass]]\n", readings)


def result_of(*parts: str) -> bool:
    """Whether the JSON says that adjusters move front toe first."""
    solution = solve(loads("".join(parts), "invented"))
    return result(solution, correct(solution))["adjusters"]["moves_front_toe"]


def test_what_was_loosened_at_the_rear_is_tightened_after_the_front_too() -> None:
    text = told(ADJUSTABLE, GOALS, RODS, "[[pass]]\n", strings(-2.0, -2.0, (3.0, -1.0)))
    closing = "Tighten the jam nuts or clamps, and what was loosened at the rear wheels. Roll"
    assert closing in text
    assert "control arms and their bolts hold the wheels" in text
    front = told(CAR, GOALS, RODS, "[[pass]]\n", strings(-2.0, -2.0, (3.0, -1.0)))
    assert "Tighten the jam nuts or clamps. Roll" in front
    assert "control arms and their bolts" not in front


def test_a_rear_goal_that_is_not_aimed_at_is_said_to_be_kept() -> None:
    """The thrust angle is proven wrong, rear total toe is not: both wheels turn the same way."""
    off = strings(0.4, 0.4, (2.6, -0.9))  # 0.24 degrees in all
    text = told(ADJUSTABLE, GOALS, REAR_GOAL, RODS, "[[pass]]\n", off)
    kept = re.search(
        r"Kept as it is, because no change of it is proven: rear total toe (.*)\.", text
    )
    assert kept
    assert kept[1].startswith("0.04° too far in ± 0.")
    proven = told(ADJUSTABLE, GOALS, REAR_GOAL, RODS, "[[pass]]\n", strings(0.4, 0.4, (4.8, 1.1)))
    assert "proven: rear total toe" not in proven


def test_a_wheel_that_stands_right_is_left() -> None:
    """The right one alone makes the thrust angle; the left one is where it should be."""
    goal = "rear_total_toe = { angle = 0, tolerance = 0.02 }\n"
    text = told(ADJUSTABLE, GOALS, goal, RODS, "[[pass]]\n", strings(0.4, 0.4, (0.0, 3.0)))
    assert "0.00° (no change)" not in text.partition("Against the goals")[0].partition("Tie rod")[0]
    assert "Left rear wheel: leave it; it stands where it should." in text


ONE = "[[pass]]\n" + tape(0.8)


def test_rounds_can_be_taken_as_they_are_told() -> None:
    """Lists of so many positions have the interval that is promised."""
    narrow = GOALS.replace("tolerance = 0.1 }", "tolerance = 0.08 }")
    text = told(CAR, narrow, RODS, ONE)
    found = re.search(r"take every reading (\d) times as often and write them as lists", text)
    assert found
    times = int(found[1])
    many = re.sub(r"edge = ([\d.]+)", lambda edge: f"edge = {[float(edge[1])] * times}", ONE)
    goal = solve(loads("".join((CAR, narrow, RODS, many)), "invented")).passes[0].decisions
    assert goal["total_toe.front"].outcome == "within"


def test_positions_of_rims_are_told_for_rounds() -> None:
    wide = GOALS.replace("tolerance = 0.1 }", "tolerance = 0.04 }")
    text = told(CAR, wide, RODS, "[[pass]]\n", strings(0.42, 0.42))
    found = re.search(r"read every rim in (\d+) positions, each 1/(\d+) of a turn on", text)
    assert found
    assert found[1] == found[2]
    assert int(found[1]) % 2 == 0  # as many as two, valve up and down, in every round


CARRIED = (
    '[[pass]]\nsteering_wheel_off = ["0.3 right", "0.2 right"]\n'
    + tape(1.2)
    + '[[pass]]\nturned = { left = "not turned", right = "not turned" }\n'
    + tape(1.3)
)


def test_what_is_proven_is_not_asked_to_be_improved() -> None:
    """The steering wheel of the pass before is proven to be met; total toe is not."""
    found = data(CAR, GOALS.replace("tolerance = 0.1 }", "tolerance = 0.02 }"), RODS, CARRIED)
    assert found["turning"]["carried"] == ["steering_wheel"]
    assert found["turning"]["improve"]["result"] == "front_total_toe"
    text = told(CAR, GOALS.replace("tolerance = 0.1 }", "tolerance = 0.02 }"), RODS, CARRIED)
    away = re.search(r"steering wheel (0\.\d)° to the right ± (\d\.\d)°, as carried over", text)
    assert away
    assert float(away[1]) == pytest.approx(0.25, abs=0.06)


def test_one_answer_to_what_to_improve() -> None:
    """Where a section tells what would settle a goal, the step points to it."""
    unproven = told(CAR, GOALS, RODS, "[[pass]]\n", strings(0.6, 0.6))
    step = unproven.partition("To know better: ")[2].partition("\n")[0]
    assert step.endswith("; see 'What would settle what is not proven' in the report.")
    assert "What would settle what is not proven" in unproven


LEARNED = (
    "[[pass]]\nsteering_wheel_off = 0\n"
    + tape(0.0)
    + '[[pass]]\nturned = { left = "2 shorten", right = "not turned" }\n'
    + 'steering_wheel_off = "4.58 left"\n'  # 16 times half of 0.57 degrees
    + tape(6.0)
)


def test_a_turn_that_passes_have_shown_needs_no_side_of_the_arm() -> None:
    """Shortening toed in: the arm lies ahead, whatever the job says or leaves out."""
    bare = told(CAR, GOALS, LEARNED)
    assert "Left tie rod: lengthen it by " in bare
    sideless = RODS.replace('steering_arm = "behind"\n', "")
    seen = told(CAR, GOALS, sideless.replace("arm_length = 130\n", ""), LEARNED)
    assert "Left tie rod: lengthen it by " in seen
    assert "Look first where the tie rods meet the wheels" not in seen
    guessed = told(CAR, GOALS, sideless, "[[pass]]\nsteering_wheel_off = 0\n", tape(6.0))
    assert "Look first where the tie rods meet the wheels" in guessed


def test_the_steering_wheel_that_is_kept_is_told_as_it_stands_before_the_rods() -> None:
    """Rear set, no rod turned yet; one rod then takes half a turn and the other none.

    The front wheels alone make it: 16 times half the difference of their toes.
    """
    arms = 'left.arm_length = 100\nright.arm_length = 170\nsmallest_turn = "1/2"\n'
    uneven = RODS.replace("arm_length = 130\n", arms)
    job = ADJUSTABLE, GOALS, uneven, "[[pass]]\n", strings(-1.1, -1.3, (1.5, -1.5))
    found = data(*job)
    turns = [found["corrections"][side]["turns"] for side in ("left", "right")]
    assert sorted(turns) == [0.0, 0.5]
    left, right = (found["toe"][f"{side}_front"]["angle_deg"] for side in ("left", "right"))
    kept = re.search(r"proven: steering wheel (.*)° to the left ± .*once the rear", told(*job))
    assert kept
    assert float(kept[1]) == pytest.approx(16.0 * (left - right) / 2.0, abs=0.05)


def test_turns_to_the_locks_that_are_counted_again_are_not_asked_for() -> None:
    locks = 'turns_to_lock = { left = "1 3/4", right = "1 1/2" }\n'
    turned = 'turned = { left = "1 lengthen", right = "1 shorten" }\n'
    first, second = "[[pass]]\n" + locks + strings(1.0, 1.0), "[[pass]]\n" + turned
    for again, asked in (("", True), (locks, False), (locks.replace("3/4", "1/2"), False)):
        job = CAR, GOALS, RODS, first, second, again, strings(1.0, 1.0)
        assert data(*job)["turning"]["count_locks_again"] == asked
        assert (
            "Count the turns from its spokes straight to each lock again" in told(*job)
        ) == asked


ONCE = "[[pass]]\n" + strings(-2.0, -2.0) + tape(-12.0)


def once() -> str:
    """Return the readings in one position alone: rims that wobble, as the tape shows."""
    return re.sub(r"\[(\d+\.\d+), \1\]", r"\1", ONCE)


def test_a_sheet_has_the_mean_to_stop_at_of_a_rim_read_once() -> None:
    """The car is rolled by then, and the rim stands elsewhere."""
    assert once() != ONCE
    solution = solve(loads("".join((CAR, GOALS, RODS, once())), "invented"))
    corrections = correct(solution)
    sheet = make_sheet(tomllib.loads("".join((CAR, GOALS, RODS, once()))), solution, corrections)
    said = " ".join(str(block) for part in sheet.parts for block in part.blocks)
    wheel = re.search(r"Left front wheel: the rim's (front|rear) edge reads ([\d.]+) mm", said)
    assert wheel
    rod = corrections[-1].rods[0]
    true = 400.0 * math.sin(rod.wanted_toe)
    shown = float(wheel[2]) * (1.0 if wheel[1] == "front" else -1.0)
    assert shown == pytest.approx(true, abs=0.06)
    assert abs(true - 1000.0 * rod.stop_at_string) > 0.2
    text = told(CAR, GOALS, RODS, once())
    assert "for the wheels as they stood then: till then roll the car by whole turns" in text


def test_a_wheel_that_was_left_on_its_spline_is_not_taken_as_moved() -> None:
    """Passes stay joined, and nobody is asked whether the wheel was moved."""
    locks = 'turns_to_lock = { left = "1 3/4", right = "1 1/2" }\n'
    short = RODS.replace("outer_engaged = 30", "outer_engaged = 10")
    straight = "steering_wheel_off = 0\n"
    first = "[[pass]]\n" + locks + straight + tape(-3.0)
    second = '[[pass]]\nturned = { left = "1/3 lengthen", right = "1/3 lengthen" }\n' + tape(1.6)
    found = data(CAR, GOALS, short, first, second)["turning"]
    assert not found["count_locks_again"]
    assert found["carried"] == ["steering_wheel"]
    moved = data(CAR, GOALS, RODS, first, second)["turning"]
    assert (moved["count_locks_again"], moved["carried"]) == (True, [])


def test_only_a_wheel_that_is_moved_is_said_to_be() -> None:
    locks = '[[pass]]\nturns_to_lock = { left = "1 3/8", right = "1 5/8" }\n'
    said = "Set the tie rods first, then move the wheel."
    far = told(CAR, GOALS, RODS, locks, strings(edge(1.6), edge(-1.6)))
    assert "is more than tie rods are meant to make" in far
    assert said not in far
    assert said in told(CAR, GOALS, RODS, locks, strings(1.0, 1.0))


def edge(degrees: float) -> float:
    """Return front minus rear edge of a rim of 400 mm [mm]."""
    return 400.0 * math.sin(math.radians(degrees))


def test_what_remains_of_a_toe_that_nobody_read_is_not_known() -> None:
    """A goal, and a road test alone: the turns change it by nothing, and it stands anywhere."""
    road = '[[pass]]\nsteering_wheel_off = "20 right"\n'
    turning = data(CAR, GOALS, RODS, road)["turning"]
    assert (turning["total_kept"], turning["remains"]["total_toe_deg"]) == (True, None)
    no_goal = GOALS.replace("front_total_toe", "# front_total_toe")
    turning = data(CAR, no_goal, RODS, road)["turning"]
    assert turning["total_kept"]
    assert turning["remains"]["total_toe_deg"] == pytest.approx(0.0, abs=0.1)


def test_a_tape_that_no_toe_explains_is_told_and_ends_nothing() -> None:
    """1400 mm apart over 620 mm: the sines of the two toes would add up to more than 2."""
    tape_rear = "[pass.tape.rear]\nfront_edge = 2600\nrear_edge = 1200\nacross = 620\n"
    text = told(CAR, GOALS, RODS, "[[pass]]\n", strings(0.4, 0.4), tape_rear)
    assert "find out which of these does not fit the others" in text


def test_only_what_a_result_rests_on_is_to_be_read_more_often() -> None:
    """Rims turned on by tenths of a turn would make a tape across the front no surer."""
    solution = solve(load(Path(__file__).parents[2] / "samples" / "caster-as-found.toml"))
    section = settling(solution.job, solution.passes[-1])
    assert section is not None
    (points,) = section.blocks
    assert isinstance(points, Points)
    told = {text.partition(":")[0]: text for text in points.items}
    assert "take 5 times as many readings (tape, front axle)" in told["Front total toe"]
    assert "take 3 times as many readings (road test)" in told["Steering wheel"]
    assert "read every rim in 12 positions" in told["Right front camber"]
