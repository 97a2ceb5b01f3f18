"""What to move at adjusters: effects, bounds, rounding, what the passes teach, and honest words."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.effort import examples
from toebox.correct.adjusters import effects, plan_adjusters
from toebox.correct.adjusters.effects import amount_of, by_arithmetic, motion
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
inclinometer = { resolution = 0, repeatability = 0.03 }
turn_plates = { resolution = 0, repeatability = 0.1 }
string_rule = { resolution = 0, repeatability = 0.1 }
rim_runout = 0
gauge_zero_within = 0
"""
GOALS = """
[goal]
caster.left_front = { angle = 4, tolerance = 0.3 }
camber.left_front = { angle = -0.5, tolerance = 0.2 }
"""
ROD = """
[[adjuster]]
wheel = "left_front"
kind = "strut rod"
name = "rod"
gives = "less caster"
thread = "M14x1.5"
lever_arm = 300
effect = { camber = 0.1, toe = -0.3 }
smallest_step = "1/2"
room = { lengthen = 3, shorten = 6 }
"""
CAM = """
[[adjuster]]
wheel = "left_front"
kind = "cam"
name = "cam"
gives = "top out"
eccentricity = 6
lever_arm = 300
effect = { caster = 0 }
"""


def one_pass(caster: float, camber: float, turned: str = "", label: str = "found") -> str:
    return f"""
[[pass]]
label = "{label}"
floor = {{ front = 0, along = 0 }}
{f"turned = {{ {turned} }}" if turned else ""}
[pass.inclinometer.left_front]
camber = {camber!r}
caster = {caster!r}
"""


def solved(*parts: str):
    return solve(loads("".join(parts), "invented"))


def move(plan, name: str):
    return next(m for m in plan.moves if m.adjuster.name == name)


def outcome(plan, name: str):
    return next(o for o in plan.outcomes if o.name == name)


def test_the_answer_makes_up_for_side_effects() -> None:
    plan = plan_adjusters(solved(HEAD, GOALS, ROD, CAM, one_pass(3.0, -0.5)))
    rod = move(plan, "rod")
    per_turn = math.degrees(math.asin(1.5 / 300))
    # Camber is right as found, but the rod takes 0.1 degrees a turn from it: the cam gives it back.
    assert rod.exact == pytest.approx(-1.0 / per_turn, rel=2e-3)
    assert (rod.amount, rod.way) == (-3.5, "shorten")
    given_back = 6 / 300 * math.sin(math.radians(move(plan, "cam").exact)) / DEGREE
    assert given_back == pytest.approx(-0.1 * rod.exact, rel=0.02)
    assert plan.changes["toe.left_front"][0] == pytest.approx(3.5 * 0.3 * DEGREE)
    assert plan.changes["caster.left_front"][0] == pytest.approx(3.5 * per_turn * DEGREE, rel=1e-6)
    caster = outcome(plan, "caster.left_front")
    assert caster.remains == pytest.approx((3.5 * per_turn - 1.0) * DEGREE, rel=1e-6)
    # What remains is known no better than the effect (20 %) and the reading.
    u = math.hypot(0.2 * 3.5 * per_turn * DEGREE, caster.standing.result.u)
    assert caster.u == pytest.approx(u, rel=1e-6)


def test_an_adjuster_at_its_end_is_said_so() -> None:
    plan = plan_adjusters(solved(HEAD, GOALS, ROD, CAM, one_pass(0.5, -0.5)))
    rod = move(plan, "rod")
    assert (rod.amount, rod.at_limit) == (-6.0, True)
    left = outcome(plan, "caster.left_front").remains
    assert left == pytest.approx((0.5 + 6 * math.degrees(math.asin(1.5 / 300)) - 4) * DEGREE)


def test_room_shrinks_by_what_was_moved() -> None:
    readings = one_pass(0.5, -0.5), one_pass(1.9, -0.9, 'rod = "5 shorten"')
    plan = plan_adjusters(solved(HEAD, GOALS, ROD, CAM, *readings))
    assert move(plan, "rod").amount == -1.0
    assert move(plan, "rod").at_limit


@pytest.mark.parametrize(("caster", "camber"), [(4.05, -0.48), (4.1, -0.52)])
def test_what_is_within_or_unproven_is_left(caster: float, camber: float) -> None:
    plan = plan_adjusters(solved(HEAD, GOALS, ROD, CAM, one_pass(caster, camber)))
    assert not plan.to_turn
    assert {m.way for m in plan.moves} == {"leave"}
    assert not any(o.needed for o in plan.outcomes)


def test_a_stale_or_missing_setting_is_to_be_read_first() -> None:
    first = one_pass(3.0, -0.5)
    second = '[[pass]]\nturned = { rod = "3 shorten" }\n'
    second += "[pass.inclinometer.left_front]\ncamber = -0.8\n"
    plan = plan_adjusters(solved(HEAD, GOALS, ROD, CAM, first, second))
    assert plan.to_measure == ("caster.left_front",)
    assert [o.name for o in plan.outcomes] == ["camber.left_front"]
    assert move(plan, "rod").amount == 0.0 or outcome(plan, "camber.left_front").needed


def test_what_is_to_be_read_again_first_is_not_moved_in_the_same_step() -> None:
    """The right wheel's caster was moved and not read: nothing of caster is moved before it is."""
    right = ROD.replace("left_front", "right_front").replace('"rod"', '"other"')
    goals = "[goal.caster]\nleft_front = { angle = 4, tolerance = 0.3 }\n"
    goals += "right_front = { angle = 4, tolerance = 0.3 }\n"
    first = one_pass(3.0, -0.5) + "[pass.inclinometer.right_front]\ncaster = 3\n"
    second = one_pass(3.0, -0.5, 'other = "1 shorten"')
    plan = plan_adjusters(solved(HEAD, goals, ROD, right, first, second))
    assert plan.to_measure == ("caster.right_front",)
    assert not plan.to_turn
    assert all(move.waits for move in plan.moves)
    again = second + "[pass.inclinometer.right_front]\ncaster = 3.3\n"
    plan = plan_adjusters(solved(HEAD, goals, ROD, right, first, again))
    assert not any(move.waits for move in plan.moves)
    assert all(move.amount for move in plan.moves)
    never = plan_adjusters(solved(HEAD, goals, ROD, right, one_pass(3.0, -0.5)))
    assert never.to_measure == ("caster.right_front",)
    assert move(never, "rod").amount  # what no pass has ever read holds nothing back


def test_an_unknown_effect_is_left_until_a_pass_has_shown_it() -> None:
    blind = CAM.replace("eccentricity = 6\n", "").replace("effect = { caster = 0 }\n", "")
    plan = plan_adjusters(solved(HEAD, GOALS, blind, one_pass(4.0, 0.5)))
    assert (move(plan, "cam").known, move(plan, "cam").amount) == (False, 0.0)
    after = one_pass(4.0, 0.3, 'cam = "10 anticlockwise"')
    shown = solved(HEAD, GOALS, blind, one_pass(4.0, 0.5), after)
    effect = effects(shown)["cam", "camber"]
    assert effect.source == "learned"
    assert effect.value / DEGREE == pytest.approx(0.02, rel=0.02)
    found = move(plan_adjusters(shown), "cam")
    assert found.known
    assert found.way == "anticlockwise"


def test_cross_goals_tie_both_wheels() -> None:
    goals = "[goal]\ncross_camber = { angle = 0, tolerance = 0.2 }\n"
    right = CAM.replace("left_front", "right_front").replace('"cam"\ngives', '"other"\ngives')
    right = right.replace('name = "cam"', 'name = "other"')
    readings = one_pass(4.0, 0.5) + "[pass.inclinometer.right_front]\ncamber = -0.5\n"
    plan = plan_adjusters(solved(HEAD, goals, CAM, right, readings))
    left, other = move(plan, "cam"), move(plan, "other")
    assert left.exact == pytest.approx(-other.exact, rel=1e-6)  # the smallest moves share it
    assert plan.changes["camber.left_front"][0] < 0.0 < plan.changes["camber.right_front"][0]
    assert abs(outcome(plan, "cross_camber.front").remains) < 0.1 * DEGREE


def test_rear_toe_by_cams() -> None:
    goals = '[goal]\nrear_total_toe = { angle = 0.3, tolerance = 0.1 }\n'
    cams = "".join(
        f'[[adjuster]]\nwheel = "{side}_rear"\nkind = "cam"\ngives = "toe-in"\n'
        "eccentricity = 4\nlever_arm = 200\nsmallest_step = 1\n"
        for side in ("left", "right")
    )
    tape = "[instruments.tape]\nresolution = 0\nrepeatability = 0.2\n"
    readings = "[[pass]]\n[pass.tape.rear]\nfront_edge = 1400\nrear_edge = 1400\nacross = 600\n"
    plan = plan_adjusters(solved(HEAD, tape, goals, cams, readings))
    # 0.3 degrees at 0.02 a degree are 15 degrees of both cams together.
    assert sorted(m.amount for m in plan.moves) == [7.0, 8.0]
    assert outcome(plan, "total_toe.rear").remains == pytest.approx(0.0, abs=0.002 * DEGREE)


RODS = """
[tie_rods]
steering_arm = "behind"
arm_length = 130
outer_thread = "M14x1.5"
"""


def strings(toe: float, turned: str = "") -> str:
    """A pass that reads the toe of the left front wheel by strings [degrees]."""
    edge = 200 * math.sin(toe * DEGREE)
    text = "[[pass]]\n" + (f"turned = {{ {turned} }}\n" if turned else "") + "[pass.string]\n"
    for wheel in ("left_front", "right_front", "left_rear", "right_rear"):
        by = edge if wheel == "left_front" else 0.0
        text += f"{wheel} = {{ front = {100 + by}, rear = {100 - by} }}\n"
    return text + "front_bar_width = 1700\nrear_bar_width = 1700\nbar_spacing = 4000\n"


@pytest.mark.parametrize("rods", [RODS, ""])
def test_what_tie_rods_did_to_toe_is_not_taken_for_the_adjusters(rods: str) -> None:
    """A strut rod's turn takes 0.3 from toe; a turn of the tie rod gives asin(1.5 / 130)."""
    tie_rod = math.degrees(math.asin(1.5 / 130))
    blind = ROD.replace("toe = -0.3", "caster = -0.29")
    passes = (
        strings(1.0),
        strings(1.0 + tie_rod, 'left = "1 lengthen"'),
        strings(1.0 + 1.5 * tie_rod - 0.6, 'left = "1/2 lengthen", rod = "2 lengthen"'),
    )
    effect = effects(solved(HEAD, rods, blind, *passes))["rod", "toe"]
    assert effect.source == "learned"
    assert effect.value / DEGREE == pytest.approx(-0.3, abs=0.02)


@pytest.mark.parametrize("kind", ["cam", "rod"])
def test_motion_and_amount_undo_each_other(kind: str) -> None:
    adjuster = next(
        a for a in loads(HEAD + ROD + CAM, "invented").adjusters if a.name == kind
    )
    for moved in (-40.0, 0.0, 25.0):
        for amount in (-30.0, -1.0, 0.0, 12.5, 40.0):
            even = motion(adjuster, moved, amount)
            assert amount_of(adjuster, moved, even) == pytest.approx(amount, abs=1e-9)


def test_effects_by_arithmetic() -> None:
    rod, cam = loads(HEAD + ROD + CAM, "invented").adjusters
    assert by_arithmetic(rod) == pytest.approx(-math.asin(1.5 / 300))
    assert by_arithmetic(cam) == pytest.approx(math.asin(6 * DEGREE / 300))
    both = ROD.replace('thread = "M14x1.5"', 'thread = "M14x1.5"\nsecond_thread = "M14x1.5-LH"')
    assert by_arithmetic(loads(HEAD + both, "x").adjusters[0]) == pytest.approx(-math.asin(3 / 300))
    shims = '[[adjuster]]\nwheel = "left_front"\nkind = "shims"\ngives = "top in"\n'
    sizes = "thickness = 2\nlever_arm = 200\nratio = 1.5\n"
    found = by_arithmetic(loads(HEAD + shims + sizes, "x").adjusters[0])
    assert found == pytest.approx(-math.atan(3 / 200))


@pytest.mark.parametrize(("camber", "contradicted"), [(0.1, False), (0.02, False), (0.9, True)])
def test_a_car_that_does_the_opposite_is_believed_by_nobody(camber, contradicted) -> None:
    """20 degrees anticlockwise should take 0.4 from camber; the other sign is a slip."""
    passes = one_pass(4.0, 0.5), one_pass(4.0, camber, 'cam = "20 anticlockwise"')
    job = solved(HEAD, GOALS, CAM, *passes)
    assert effects(job)["cam", "camber"].contradicted == contradicted
    found = move(plan_adjusters(job), "cam")
    assert found.known != contradicted
    assert (found.amount == 0.0) == contradicted


def test_what_passes_have_in_common_drops_out_of_what_they_teach() -> None:
    """A doubtful zero of the gauge blurs camber, not its change from pass to pass."""
    blurred = HEAD.replace("gauge_zero_within = 0", "gauge_zero_within = 1")
    for head in (HEAD, blurred):
        passes = one_pass(4.0, 0.5), one_pass(4.0, 0.1, 'cam = "20 anticlockwise"')
        found = effects(solved(head, GOALS, CAM, *passes))["cam", "camber"]
        assert found.source == "learned"
        assert found.u < 0.13 * abs(found.value)


def said(amount: float, more: str, less: str) -> str:
    return f'"{abs(amount):.6f} {more if amount > 0 else less}"'


@pytest.mark.no_cover
def test_learned_effects_cover_the_truth() -> None:
    """Their 95 % intervals hold the true effect 93 to 97 times in 100, in noisy jobs."""
    rng = np.random.default_rng(4)
    hits = {"rod": 0, "cam": 0}
    count = examples(usual=500, thorough=1_500)
    arithmetic = {
        "rod": -math.degrees(math.asin(1.5 / 300)),
        "cam": math.degrees(math.asin(6 * DEGREE / 300)),
    }
    # A caster shown by its gauge: two cambers by 1.46, and the slip of two steer angles.
    u_caster = solved(HEAD, one_pass(4.0, 0.0)).passes[0]["caster.left_front"].u / DEGREE
    for _ in range(count):
        true = {name: value * (1 + 0.2 * rng.normal()) for name, value in arithmetic.items()}
        readings, rod, cam, turned = [], 0.0, 0.0, ""
        for number in range(3):
            if number:
                turns, angle = rng.uniform(-2, 2), rng.uniform(-15, 15)
                rod, cam = rod + turns, cam + angle
                turned = f"rod = {said(turns, 'lengthen', 'shorten')}, "
                turned += f"cam = {said(angle, 'clockwise', 'anticlockwise')}"
            caster = 3.0 + true["rod"] * rod
            camber = 0.2 + true["cam"] * math.sin(cam * DEGREE) / DEGREE
            shown = caster + u_caster * rng.normal(), camber + 0.03 * rng.normal()
            readings.append(one_pass(*shown, turned))
        plain = ROD.replace("camber = 0.1", "camber = 0")
        known = effects(solved(HEAD, GOALS, plain, CAM, *readings))
        for name, kind in (("rod", "caster"), ("cam", "camber")):
            effect = known[name, kind]
            hits[name] += abs(effect.value / DEGREE - true[name]) <= 1.959964 * effect.u / DEGREE
    for name, number in hits.items():
        assert 0.93 <= number / count <= 0.97, f"{name}: {number / count}"


@pytest.mark.no_cover
def test_what_is_told_to_remain_covers_what_remains() -> None:
    """The 95 % intervals of settings after the moves hold the truth 93 to 97 times in 100."""
    rng = np.random.default_rng(12)
    hits, count = {"caster": 0, "camber": 0}, 700
    u_caster = solved(HEAD, one_pass(4.0, 0.0)).passes[0]["caster.left_front"].u / DEGREE
    rod, cam = (math.degrees(by_arithmetic(a)) for a in loads(HEAD + ROD + CAM, "x").adjusters)
    for _ in range(count):
        caster, camber = rng.uniform(2.0, 3.2), rng.uniform(-0.1, 1.0)
        shown = caster + u_caster * rng.normal(), camber + 0.03 * rng.normal()
        plan = plan_adjusters(solved(HEAD, GOALS, ROD, CAM, one_pass(*shown)))
        turns, angle = move(plan, "rod").amount, move(plan, "cam").amount
        swing = math.sin(angle * DEGREE) / DEGREE
        caster += turns * rod * (1 + 0.2 * rng.normal())
        camber += turns * 0.1 * (1 + 0.1 * rng.normal()) + swing * cam * (1 + 0.2 * rng.normal())
        for kind, true in (("caster", caster), ("camber", camber)):
            told = outcome(plan, f"{kind}.left_front")
            error = true - (told.goal.value + told.remains) / DEGREE
            hits[kind] += abs(error) <= 1.959964 * told.u / DEGREE
    for kind, number in hits.items():
        assert 0.93 <= number / count <= 0.97, f"{kind}: {number / count}"


def camber_at(**wheels: float) -> str:
    """Return a pass with the camber of several wheels [degrees]."""
    lines = [f"[pass.inclinometer.{wheel}]\ncamber = {value}\n" for wheel, value in wheels.items()]
    return "[[pass]]\nfloor = { front = 0, rear = 0, along = 0 }\n" + "".join(lines)


CAMBERS = """
[goal.camber]
left_front = { angle = -1, tolerance = 0.2 }
right_front = { angle = -1, tolerance = 0.2 }
left_rear = { angle = -1, tolerance = 0.2 }
"""


def cam_at(wheel: str) -> str:
    return CAM.replace("left_front", wheel).replace('"cam"\ngives', f'"{wheel} cam"\ngives')


def test_each_axle_keeps_its_goals_beside_the_other() -> None:
    readings = camber_at(left_front=0.0, left_rear=0.0)
    cams = cam_at("left_front"), cam_at("left_rear")
    plan = plan_adjusters(solved(HEAD, CAMBERS, *cams, readings))
    assert [o.name for o in plan.outcomes] == ["camber.left_front", "camber.left_rear"]
    assert plan.to_measure == ()
    assert {m.amount for m in plan.moves} == {plan.moves[0].amount}
    assert all(m.amount < -10.0 for m in plan.moves)


def test_a_goal_below_zero_that_is_met_needs_nothing_and_meets_no_end() -> None:
    """A wheel that is left stands at no end of its room, and those after it are still moved."""
    cams = cam_at("left_front"), cam_at("right_front")
    readings = camber_at(left_front=-1.0, right_front=0.0)
    goals = CAMBERS.replace(", tolerance = 0.2", "")  # without a tolerance nothing proves it met
    plan = plan_adjusters(solved(HEAD, goals, *cams, readings))
    left, right = plan.moves
    assert not outcome(plan, "camber.left_front").needed
    assert (left.amount, left.at_limit) == (0.0, False)
    assert outcome(plan, "camber.left_front").change == 0.0
    assert right.amount < 0.0
    assert plan.changes["camber.right_front"][0] == pytest.approx(-DEGREE, rel=0.05)


def test_a_cross_goal_counts_both_wheels_though_one_is_moved() -> None:
    goals = "[goal]\ncross_camber = { angle = 0, tolerance = 0.1 }\n"
    readings = camber_at(left_front=-1.0, right_front=0.0)
    plan = plan_adjusters(solved(HEAD, goals, cam_at("left_front"), readings))
    cross = outcome(plan, "cross_camber.front")
    change, u = plan.changes["camber.left_front"]
    assert set(plan.changes) == {f"{kind}.left_front" for kind in ("caster", "camber", "toe")}
    assert cross.change == pytest.approx(change)
    assert cross.change == pytest.approx(DEGREE, rel=0.05)
    assert cross.u == pytest.approx(math.hypot(cross.standing.result.u, u))


def test_what_is_not_proven_is_kept_beside_what_is() -> None:
    """Caster within its interval of the goal is taken as right: both plans are the same."""
    found = 4.0, 4.0 - 0.05  # u of a caster shown: 0.05 and more
    job = HEAD.replace("repeatability = 0.1 }\nstring", "repeatability = 0.5 }\nstring")
    plans = [
        plan_adjusters(solved(job, GOALS, ROD, CAM, one_pass(caster, 0.5))) for caster in found
    ]
    assert [m.exact for m in plans[0].moves] == pytest.approx([m.exact for m in plans[1].moves])
    assert abs(move(plans[0], "cam").exact) > 10.0


def test_two_threads_of_one_hand_move_by_their_difference() -> None:
    """An adapter: M16x2 outside, M14x1.5 inside, both right-hand: half a millimetre a turn."""
    for first, second, travel in (
        ("M16x2", "M14x1.5", 0.5),
        ("M16x2-LH", "M14x1.5-LH", 0.5),
        ("M16x2", "M14x1.5-LH", 3.5),
        ("M16x2-LH", "M14x1.5", 3.5),
    ):
        text = ROD.replace('"M14x1.5"', f'"{first}"\nsecond_thread = "{second}"')
        (adjuster,) = loads(HEAD + text, "invented").adjusters
        assert by_arithmetic(adjuster) == pytest.approx(-math.asin(travel / 300.0))
