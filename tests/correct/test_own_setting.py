"""An adjuster moves for the setting that it is for, and for nothing that a slip would explain."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.correct.test_adjuster_plan import CAM, HEAD, ROD, move, one_pass, outcome, solved
from tests.report.test_told import CAR, RODS, data, strings, tape, told
from toebox.correct import correct
from toebox.correct.adjusters import plan_adjusters
from toebox.correct.adjusters.judged import jointly
from toebox.errors import FaultyInput
from toebox.job import loads
from toebox.report.json import result

CASTER = "[goal]\ncaster.left_front = { angle = 4, tolerance = 0.3 }\n"
CAMBER = "camber.left_front = { angle = -0.5, tolerance = 0.2 }\n"
# A cam for camber with a small side effect on caster, which is stated.
SIDE = CAM.replace("caster = 0", "caster = 0.004")


def test_a_cam_is_not_turned_for_caster_where_camber_has_no_goal() -> None:
    plan = plan_adjusters(solved(HEAD, CASTER, ROD, SIDE, one_pass(3.0, -0.5)))
    assert move(plan, "cam").amount == 0.0
    per_turn = math.degrees(math.asin(1.5 / 300))
    assert move(plan, "rod").exact == pytest.approx(-1.0 / per_turn, rel=2e-3)


def test_a_cam_is_not_turned_where_camber_is_unread_or_stale() -> None:
    unread = one_pass(3.0, -0.5).replace("camber = -0.5\n", "")
    plan = plan_adjusters(solved(HEAD, CASTER, CAMBER, ROD, SIDE, unread))
    assert plan.to_measure == ("camber.left_front",)
    assert (move(plan, "cam").amount, move(plan, "rod").amount) == (0.0, -3.5)
    later = one_pass(3.5, 0.0, 'rod = "1 shorten", cam = "20 clockwise"')
    later = later.replace("camber = 0.0", "")
    plan = plan_adjusters(solved(HEAD, CASTER, CAMBER, ROD, SIDE, one_pass(3.0, -0.5), later))
    assert plan.to_measure == ("camber.left_front",)
    assert move(plan, "cam").amount == 0.0
    assert move(plan, "rod").amount < 0.0


def test_a_rod_is_not_opened_for_the_rounding_of_another() -> None:
    """Caster is right to a thousandth; only the cam's step of 5 degrees does not fit camber."""
    sharp = HEAD.replace("repeatability = 0.03", "repeatability = 0.005")
    wide = CASTER.replace("tolerance = 0.3", "tolerance = 3")
    for camber in (-0.26, -0.24, -0.22, -0.13):
        plan = plan_adjusters(solved(sharp, wide, CAMBER, ROD, CAM, one_pass(4.0, camber)))
        assert move(plan, "cam").amount != 0.0
        assert abs(move(plan, "rod").exact) < 0.25
        assert move(plan, "rod").amount == 0.0


BOTH = """
[goal]
camber.left_front = { angle = -1, tolerance = 0.3 }
camber.right_front = { angle = -1, tolerance = 0.3 }
cross_camber = { angle = 0, tolerance = 0.2 }
"""
RIGHT = "[pass.inclinometer.right_front]\ncamber = {}\n"


def cam(wheel: str) -> str:
    return CAM.replace("left_front", wheel).replace('name = "cam"', f'name = "{wheel}"')


def test_a_wheel_within_its_goal_is_not_moved_for_the_difference_to_one_that_is_not() -> None:
    readings = one_pass(4.0, -1.0) + RIGHT.format(-2.5)
    plan = plan_adjusters(solved(HEAD, BOTH, cam("left_front"), readings))
    assert not plan.to_turn
    both = plan_adjusters(solved(HEAD, BOTH, cam("left_front"), cam("right_front"), readings))
    # The cam of the right wheel goes to its end; the left one makes up for a little of the rest.
    assert move(both, "right_front").at_limit
    assert abs(outcome(both, "camber.left_front").remains) < math.radians(0.3)
    less = one_pass(4.0, -1.0) + RIGHT.format(-2.0)
    both = plan_adjusters(solved(HEAD, BOTH, cam("left_front"), cam("right_front"), less))
    assert move(both, "left_front").amount == 0.0
    assert move(both, "right_front").exact > 60.0  # all of it there
    text = told(HEAD, BOTH, cam("left_front"), readings)
    assert "2. Camber. Leave what can be set: only the difference between the sides misses" in text
    assert "Right front camber is outside its goal, and no [[adjuster]]" in text


@pytest.mark.parametrize(
    ("goals", "left", "right"),
    [
        ("camber.right_front = { angle = -1, tolerance = 0.05 }\n", -2.1, -1.1),
        ("camber.right_front = { angle = -1, tolerance = 0.05 }\n", 0.1, -1.1),
        (
            "camber.left_front = { angle = -1, tolerance = 0.1 }\n"
            "camber.right_front = { angle = -1, tolerance = 0.6 }\n",
            -1.2,
            -1.5,
        ),
        ("camber.left_front = { angle = -1, tolerance = 0.3 }\n", -0.6, -1.6),
    ],
)
def test_the_wheel_that_misses_its_goal_does_not_carry_the_whole_difference(
    goals: str, left: float, right: float
) -> None:
    """Every goal can be met by moving both wheels, whichever of them has a goal of its own."""
    cross = "[goal]\ncross_camber = { angle = 0, tolerance = 0.1 }\n"
    readings = one_pass(4.0, left) + RIGHT.format(right)
    cams = cam("left_front"), cam("right_front")
    plan = plan_adjusters(solved(HEAD, cross, goals, *cams, readings))
    assert len(plan.outcomes) == 1 + goals.count("angle")
    for each in plan.outcomes:
        assert abs(each.remains) < math.radians(0.06)


def test_both_wheels_are_moved_where_only_their_difference_misses_its_goal() -> None:
    readings = one_pass(4.0, -1.2) + RIGHT.format(-0.8)
    plan = plan_adjusters(solved(HEAD, BOTH, cam("left_front"), cam("right_front"), readings))
    assert move(plan, "left_front").exact > 5.0
    assert move(plan, "right_front").exact < -5.0


def test_only_what_needs_more_is_at_its_end() -> None:
    """No shim is left to take out of the left wheel, which is right as it stands."""
    room = CAM.replace("lever_arm", "room = { anticlockwise = 0 }\nlever_arm")
    goal = "[goal]\n" + CAMBER
    rod = ROD.replace("camber = 0.1", "camber = 0")
    within = plan_adjusters(solved(HEAD, goal, CASTER[7:], room, rod, one_pass(3.0, -0.5)))
    assert move(within, "rod").amount == -3.5
    assert not move(within, "cam").at_limit
    beyond = plan_adjusters(solved(HEAD, goal, room, one_pass(4.0, 0.5)))
    assert (move(beyond, "cam").amount, move(beyond, "cam").at_limit) == (0.0, True)


def test_more_than_adjusters_are_meant_for_is_not_told() -> None:
    """A sweep with the steer angles of one wheel the wrong way round turns the sign of caster."""
    parts = HEAD, CASTER, CAMBER, ROD, CAM, one_pass(-4.0, 0.5)
    plan = plan_adjusters(solved(*parts))
    assert (move(plan, "rod").beyond, move(plan, "rod").amount) == (True, 0.0)
    assert (move(plan, "cam").beyond, move(plan, "cam").amount != 0.0) == (False, True)
    assert "caster would have to change by 8.00°, more than adjusters are" in told(*parts)
    assert outcome(plan, "caster.left_front").needed
    solution = solved(*parts)
    moves = result(solution, correct(solution))["adjusters"]["moves"]
    assert [one["withheld"] for one in moves] == ["beyond", None]


def test_what_is_too_far_off_does_not_pull_at_other_adjusters() -> None:
    """A rod that also moves camber is moved for caster as far as with camber right."""
    side = ROD.replace("camber = 0.1", "camber = 0.15")
    cam = CAM.replace("caster = 0", "caster = 0.004")
    wrong = plan_adjusters(solved(HEAD, CASTER, CAMBER, side, cam, one_pass(3.0, 6.0)))
    assert move(wrong, "cam").beyond
    assert move(wrong, "cam").amount == 0.0
    alone = plan_adjusters(solved(HEAD, CASTER, side, one_pass(3.0, 6.0)))
    assert move(wrong, "rod").exact == pytest.approx(move(alone, "rod").exact, rel=5e-2)


def test_a_stated_effect_must_go_the_way_that_gives_says() -> None:
    for given, effect, sign in (("less caster", 0.3, "below"), ("more caster", -0.3, "above")):
        text = ROD.replace("less caster", given).replace("camber = 0.1", f"caster = {effect}")
        with pytest.raises(FaultyInput, match=f"an effect {sign} 0, as gives says") as raised:
            loads(HEAD + text, "invented")
        assert "adjuster[1].effect.caster" in str(raised.value)
        loads(HEAD + text.replace(f"caster = {effect}", f"caster = {-effect}"), "invented")


REAR = "".join(
    f'[[adjuster]]\nwheel = "{side}_rear"\nkind = "cam"\nname = "{side} cam"\ngives = "toe-in"\n'
    "effect = { toe = 0.02 }\n"
    for side in ("left", "right")
)
TOTAL = "[goal]\nrear_total_toe = { angle = 0.4, tolerance = 0.05 }\n"
ASKEW = "[[pass]]\n" + strings(0.7, 0.7, (3.0, -1.0))


def test_adjusters_and_readings_of_the_rear_ask_for_the_same() -> None:
    """Without a goal for the thrust angle too the rear wheels are set along the car."""
    plan = plan_adjusters(solved(CAR, TOTAL, REAR, ASKEW))
    changes = [plan.changes[f"toe.{side}_rear"][0] for side in ("left", "right")]
    rear = data(CAR, TOTAL, REAR, ASKEW)["corrections"]
    for change, side in zip(changes, ("left", "right"), strict=True):
        wanted = math.radians(rear[f"{side}_rear"]["toe_change_deg"])
        assert change == pytest.approx(wanted, abs=math.radians(0.02) * 5.0)
    text = told(CAR, TOTAL, REAR, ASKEW)
    assert "change its toe by 0.23° towards toe-out at left cam, until" in text
    assert "The toe of the rear wheels is taken as fixed" not in text
    assert "but each rear wheel has an adjuster for its toe: taken as true" in text


def test_the_rear_total_toe_is_kept_where_it_has_no_goal() -> None:
    """Both wheels are turned as far, as their readings to stop at ask for too."""
    plan = plan_adjusters(solved(CAR, REAR, "[[pass]]\n", strings(0.7, 0.7, (3.0, -1.0))))
    left, right = move(plan, "left cam"), move(plan, "right cam")
    assert left.exact == pytest.approx(-right.exact, rel=1e-3)
    assert left.amount == -right.amount < 0.0


def test_a_solid_axle_with_adjusters_is_doubted() -> None:
    solid = CAR.replace("rear_toe_adjustable = false", 'rear_axle = "solid"')
    text = told(solid, TOTAL, REAR, ASKEW)
    assert 'car.rear_axle: "solid", but each of its wheels has an adjuster for toe' in text
    assert "The rear axle is solid" not in text
    camber = '[[adjuster]]\nwheel = "left_rear"\nkind = "shims"\ngives = "top in"\n'
    text = told(solid, camber, ASKEW)
    assert "The rear axle is solid: its wheels are set by what the job has adjusters for" in text
    assert "neither the toe of its wheels nor camber can be adjusted" not in text


def test_rear_toe_that_no_reading_calls_for_is_left() -> None:
    straight = "[[pass]]\n" + strings(0.7, 0.7, (1.4, 1.4))
    text = told(CAR, TOTAL, REAR, straight)
    assert "Rear toe. Leave it: no reading proves that it should change." in text


def test_rear_wheels_far_off_are_not_set_by_the_readings_either() -> None:
    """4 degrees are a bent part or a slip, whichever way they would be set."""
    far = "[[pass]]\n" + strings(0.7, 0.7, (29.0, -29.0))
    found = data(CAR, TOTAL, REAR, far)["corrections"]
    for side in ("left_rear", "right_rear"):
        assert (found[side]["withheld"], found[side]["justified"]) == ("beyond", False)
    text = told(CAR, TOTAL, REAR, far)
    assert "Left rear wheel: change nothing. " in text
    assert "before the front: change its toe by" not in text
    near = data(CAR, TOTAL, REAR, ASKEW)["corrections"]
    assert near["left_rear"]["withheld"] is None


def test_no_rear_wheel_is_set_where_its_adjuster_has_no_room() -> None:
    for room in ("room = { anticlockwise = 0 }", "room = { clockwise = 0, anticlockwise = 0 }"):
        stuck = REAR.replace('name = "left cam"', f'name = "left cam"\n{room}')
        text = told(CAR, TOTAL, stuck, ASKEW)
        assert "would be wanted, but left cam has no room that way, or no step as small." in text
        assert "change its toe by 0.23° towards toe-out at left cam" not in text


def test_rear_toe_is_set_by_its_reading_where_no_effect_is_known() -> None:
    blind = REAR.replace("effect = { toe = 0.02 }\n", "")
    text = told(CAR, TOTAL, blind, ASKEW)
    assert "by its reading: effect unknown" in text
    assert "change its toe by 0.23° towards toe-out at left cam, until" in text
    assert "leave it: effect unknown" not in text


def test_what_keeps_an_adjuster_is_said_beside_what_others_are_told() -> None:
    front = "[goal]\ncamber.left_front = { angle = -1, tolerance = 0.2 }\n"
    rear = "camber.left_rear = { angle = -1, tolerance = 0.2 }\n"
    readings = one_pass(4.0, -1.6) + "[pass.inclinometer.left_rear]\ncamber = -5.6\n"
    parts = HEAD, front, rear, cam("left_front"), cam("left_rear")
    text = told(*parts, readings)
    assert "2. Camber. Left_front (left front): turn" in text
    assert "Move nothing for it: left rear camber would have to change by 4.60°" in text
    blind = cam("left_rear").replace("eccentricity = 6\n", "")
    text = told(*parts[:4], blind, readings.replace("-5.6", "-2"))
    assert "2. Camber. Left_front (left front): turn" in text
    assert "What left_rear does is not known well enough" in text
    notes = [line for line in text.splitlines() if line.startswith("Left front camber ")]
    assert not any("waits" in line for line in notes)


def test_a_reason_is_given_that_is_so() -> None:
    goal = "[goal]\n" + CAMBER
    room = "room = { clockwise = 0, anticlockwise = 0 }\nlever_arm"
    none = cam("left_front").replace("lever_arm", room)
    text = told(HEAD, goal, none, one_pass(4.0, 0.3))
    assert "2. Camber. Leave it: no move brings the goals of the axle nearer in all" in text
    assert "less than half of the smallest step" not in text
    coarse = cam("left_front").replace("lever_arm", "smallest_step = 90\nlever_arm")
    sharp = HEAD.replace("repeatability = 0.03", "repeatability = 0.005")
    text = told(sharp, goal, coarse, one_pass(4.0, -0.25))
    assert "2. Camber. What is missing is less than half of the smallest step: leave it." in text
    other = cam("right_front")
    text = told(HEAD, goal, other, one_pass(4.0, 0.3))
    assert "Camber. Nothing to move: the adjusters of the job are for other wheels." in text


@pytest.mark.parametrize("count", [1, 2, 4, 6])
def test_several_goals_are_judged_together(count: int) -> None:
    """Of cars on every goal as many are told to move nothing as with one: 95.45 % (k = 2)."""
    limit = jointly(count)
    rng = np.random.default_rng(count)
    off = np.abs(rng.normal(size=(200_000, count))).max(axis=1)
    assert np.mean(off <= limit) == pytest.approx(0.9545, abs=0.002)
    assert count > 1 or limit == pytest.approx(2.0, abs=1e-9)


@pytest.mark.parametrize(("names", "moves"), [(("left",), True), (("left", "right"), False)])
def test_what_one_goal_of_several_may_be_off_by_chance_is_not_mended(names, moves) -> None:
    """0.35 degrees off, known to 0.16 (standard): 2.2 of them; for two goals it takes 2.3."""
    rough = HEAD.replace("repeatability = 0.03", "repeatability = 0.16")
    goals = "".join(f"{side}_front = {{ angle = -1, tolerance = 0.2 }}\n" for side in names)
    cams = [CAM if side == "left" else cam("right_front") for side in names]
    readings = one_pass(4.0, -1.35) + RIGHT.format(-1.0)
    plan = plan_adjusters(solved(rough, f"[goal.camber]\n{goals}", *cams, readings))
    assert outcome(plan, "camber.left_front").needed is moves
    assert plan.to_turn is moves


@pytest.mark.parametrize(("left", "share"), [(-1.0, 1.0), (-1.7, 0.0), (-1.2, 0.55)])
def test_a_goal_that_is_not_proven_holds_back_only_what_would_leave_it(
    left: float, share: float
) -> None:
    """A move towards it is welcome up to its middle; beyond that, and away from it, both count.

    Together they would have the wheel go the other way, which only a proven goal may ask for.
    """
    rough = HEAD.replace("repeatability = 0.03", "repeatability = 0.15")
    goals = (
        "[goal]\ncamber.right_front = { angle = -1, tolerance = 0.2 }\n"
        "cross_camber = { angle = 0, tolerance = 0.1 }\n"
    )
    readings = one_pass(4.0, left) + RIGHT.format(-1.35)
    plan = plan_adjusters(solved(rough, goals, cam("right_front"), readings))
    assert outcome(plan, "camber.right_front").needed
    assert not outcome(plan, "cross_camber.front").needed
    change = math.degrees(6 / 300 * math.sin(math.radians(move(plan, "right_front").exact)))
    # Least of ((c - 0.35) / 0.2)**2 + ((c - c0) / 0.1)**2, where c0 is what brings cross-camber
    # to its middle.
    assert change / 0.35 == pytest.approx(share, abs=0.03)


def test_a_reading_that_does_not_fit_is_found_before_an_adjuster_is_moved_by_it() -> None:
    """Valve up and valve down differ by more than the rim wobbles: the camber rests on both."""
    goal = "[goal]\ncamber.left_front = { angle = -1, tolerance = 0.2 }\n"
    doubted = one_pass(4.0, 0.0).replace("camber = 0.0", "camber = [0.5, -0.5]")
    text = told(HEAD, goal, CAM, doubted)
    order, todo = text.split("What to do next\n")[:2]
    first = "1. Before you turn anything, find out which of these does not fit the others"
    assert first in order
    assert "turn" in order[order.index(first) + len(first) :]
    assert "Before you turn anything" not in todo.split("Against the goals")[0]
    # A pass that says nothing of camber is no reason to forget the doubt of the one that counts.
    later = '[[pass]]\nlabel = "tape"\nturned = { left = 0, right = 0 }\n'
    later += "tape.front = { front_edge = 1400, rear_edge = 1401, across = 600 }\n"
    text = told(HEAD, goal, CAM, doubted, later)
    assert "1. In the pass 'found'. Before you turn anything, find out" in text
    fits = told(HEAD, goal, CAM, one_pass(4.0, 0.0))
    assert "Before you turn anything" not in fits.split("Against the goals")[0]


SHIM = """
[[adjuster]]
wheel = "right_front"
kind = "shims"
name = "shims"
gives = "top out"
effect = { camber = 0.25, caster = 0, toe = 0 }
room = { add = 1, remove = 2 }
"""


def test_an_adjuster_goes_to_its_end_where_all_goals_pull_the_same_way() -> None:
    """Both stay missed; only the room stops it, and the wheel within its goal is left."""
    readings = one_pass(4.0, -1.1) + RIGHT.format(-3.2)
    plan = plan_adjusters(solved(HEAD, BOTH, cam("left_front"), SHIM, readings))
    assert move(plan, "shims").amount == 1.0
    assert move(plan, "shims").at_limit
    assert move(plan, "left_front").amount == 0.0


def test_goals_that_pull_against_each_other_are_left_where_no_place_is_proven() -> None:
    """From the middle between both a little noise would move it for ever."""
    goals = (
        "[goal]\ncamber.right_front = { angle = -1, tolerance = 0.2 }\n"
        "cross_camber = { angle = 0, tolerance = 0.2 }\n"
    )
    rough = HEAD.replace("repeatability = 0.03", "repeatability = 0.1")
    for right, moves in ((-1.7, False), (-1.4, True), (-1.6, False), (-2.2, True)):
        # The left wheel stands at -2.4 and has neither goal nor adjuster: the middle is -1.7.
        readings = one_pass(4.0, -2.4) + RIGHT.format(right)
        plan = plan_adjusters(solved(rough, goals, cam("right_front"), readings))
        assert bool(move(plan, "right_front").amount) == moves, right


def test_a_goal_that_asks_for_nothing_draws_no_step_to_it_in_rounding() -> None:
    """Cross-camber lies 1.9 degrees off, but is known to 2 alone: the right wheel was read once."""
    marks = """
length_unit = "mm"
car = { wheelbase = 2600, track = 1500, rim_diameter = 400 }
instruments.inclinometer = { resolution = 0, repeatability = 1 }
instruments.gauge_zero_within = 0.01
instruments.floor_level_within = 0.1
instruments.rim_runout = 0
[goal]
camber.left_front = { angle = -1, tolerance = 0.5 }
cross_camber = { angle = 0, tolerance = 0.2 }
[[adjuster]]
wheel = "left_front"
kind = "direct"
name = "plate"
gives = "top out"
unit = "mark"
smallest_step = 1
effect = { camber = 1, toe = 0, caster = 0 }
[[pass]]
inclinometer.right_front.camber = -0.1
"""
    read = f"inclinometer.left_front.camber = [{', '.join(['-2'] * 24)}]\n"
    plan = plan_adjusters(solved(marks, read))
    assert not outcome(plan, "cross_camber.front").needed
    assert move(plan, "plate").exact == pytest.approx(1.0, abs=0.01)
    assert move(plan, "plate").amount == 1.0


SIZED_CAMS = "".join(
    f'[[adjuster]]\nwheel = "{side}_rear"\nkind = "cam"\nname = "{side} cam"\ngives = "toe-in"\n'
    "eccentricity = 6\nlever_arm = 300\n"
    for side in ("left", "right")
)
ALONG = (
    "rear_total_toe = { angle = 0.2, tolerance = 0.1 }\n"
    "thrust_angle = { angle = 0, tolerance = 0.05 }\n"
)
TAPE_BEHIND = "[pass.tape.rear]\nfront_edge = 1400\nrear_edge = 1397.1\nacross = 600\n"
SETTABLE = CAR.replace("rear_toe_adjustable = false", "rear_toe_adjustable = true")


def rear_told(*parts: str):
    goals = "[goal]\nfront_total_toe = { angle = 0.12, tolerance = 0.1 }\n" + ALONG
    solution = solved(SETTABLE, goals, *parts)
    return plan_adjusters(solution), told(SETTABLE, goals, *parts)


def test_no_rear_cam_is_moved_by_a_tape_alone_where_another_one_is_lost() -> None:
    """Its total toe was read, and the thrust angle is stale: one cam moved would turn the line."""
    first = "[[pass]]\n" + strings(0.4, 0.4, (0.7, 0.7))
    later = '[[pass]]\nturned = { "right cam" = "?" }\n' + TAPE_BEHIND
    plan, text = rear_told(SIZED_CAMS, first, later)
    assert not plan.to_turn
    assert "thrust_angle" in plan.to_measure
    assert plan.rods_wait
    assert "Rear toe. Read thrust angle again first" in text


@pytest.mark.parametrize("known", [False, True])
def test_rear_wheels_set_by_readings_are_read_before_the_front_is_set(known: bool) -> None:
    """The last pass has none: rods turned for the line as it was would be turned again."""
    blind, size = SIZED_CAMS, "eccentricity = 6\nlever_arm = 300\n"
    if not known:
        blind = size.join(SIZED_CAMS.split(size)[:2]) + SIZED_CAMS.split(size)[2]
    first = "[[pass]]\n" + strings(0.4, 0.4, (4.0, -2.0))
    later = '[[pass]]\nturned = { left = "not turned", right = "not turned" }\n'
    plan, text = rear_told(blind, RODS, first, later + tape(1.3))
    assert plan.rods_wait != known
    assert plan.to_turn == known
    said = "first, by strings along the rear wheels: they are set by their readings"
    assert (said in text) != known
    assert ("By what was read up to now turn no tie rod." in text) != known
    assert ("Left tie rod:" in text) == known or "Leave both tie rods" in text
    plan, text = rear_told(blind, RODS, first)
    assert not plan.rods_wait
    assert ("Left rear wheel, before the front: change its toe" in text)


BLIND = SIZED_CAMS.replace("eccentricity = 6\nlever_arm = 300\n", "")
NOT_TURNED = 'turned = { left = "not turned", right = "not turned"CAMS }\n'


def test_the_front_does_not_wait_for_a_rear_that_tells_nothing_of_the_line() -> None:
    """By tapes alone front total toe hangs on nothing behind; strings are asked for though."""
    plan, text = rear_told(BLIND, RODS, "[[pass]]\n" + tape(4.0) + TAPE_BEHIND)
    assert plan.to_measure == ("total_toe.rear",)
    assert not plan.rods_wait
    assert "Left tie rod: shorten it by" in text


def test_rear_wheels_that_cannot_be_set_are_not_asked_for() -> None:
    room = "room = { clockwise = 0, anticlockwise = 0 }\n"
    stuck = BLIND.replace('gives = "toe-in"\n', f'gives = "toe-in"\n{room}')
    first = "[[pass]]\n" + strings(0.4, 0.4, (4.0, -2.0))
    cams = ', "left cam" = "not moved", "right cam" = "not moved"'
    later = "[[pass]]\n" + NOT_TURNED.replace("CAMS", cams) + tape(1.3)
    plan, _ = rear_told(stuck, RODS, first, later)
    assert not plan.rods_wait
    assert not plan.to_measure
    assert rear_told(BLIND, RODS, first, later)[0].rods_wait


def test_a_rear_tape_after_strings_asks_for_strings_again() -> None:
    first = "[[pass]]\n" + strings(0.4, 0.4, (0.7, 0.7))
    later = "[[pass]]\n" + NOT_TURNED.replace("CAMS", "") + TAPE_BEHIND.replace("1397.1", "1408")
    plan, text = rear_told(BLIND, first, later)
    assert plan.to_measure == ("total_toe.rear",)
    assert "Rear toe. Read rear total toe first, by strings along the rear wheels" in text


@pytest.mark.parametrize("reads_rear", [True, False])
def test_a_rear_cam_is_lost_by_a_pass_that_reads_the_rear_and_says_nothing(reads_rear) -> None:
    first = "[[pass]]\n" + strings(0.4, 0.4, (4.0, -2.0))
    later = "[[pass]]\n" + (strings(0.4, 0.4, (1.9, -0.5)) if reads_rear else tape(1.3))
    plan, _ = rear_told(SIZED_CAMS, first, later)
    assert all(move.known != reads_rear for move in plan.moves)
