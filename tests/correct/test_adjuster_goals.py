"""How far adjusters are moved: room, goals that pull apart, rounding of many; by hand."""

from __future__ import annotations

import itertools
import math

import pytest

from tests.correct.test_adjuster_plan import CAM, DEGREE, HEAD, ROD, move, one_pass, outcome, solved
from toebox.correct.adjusters import plan_adjusters
from toebox.job.model import SIDES

PER_TURN = math.degrees(math.asin(1.5 / 300))
CASTER = "[goal]\ncaster.left_front = { angle = 4, tolerance = 0.3 }\n"
SHARP = HEAD.replace("repeatability = 0.03", "repeatability = 0.0001")


def rod(room: str) -> str:
    """Return the strut rod, which turns nothing but caster, with this room."""
    plain = ROD.replace("camber = 0.1, toe = -0.3", "camber = 0, toe = 0")
    return plain.replace("room = { lengthen = 3, shorten = 6 }\n", room)


@pytest.mark.parametrize("moved", [0.0, 1.0, -2.0, 4.0, -7.0])
@pytest.mark.parametrize("caster", [0.5, 7.5])
@pytest.mark.parametrize("more, less", [(3.0, None), (None, 6.0), (3.0, 6.0), (None, None)])
def test_no_move_goes_beyond_the_room_that_is_left(
    moved: float, caster: float, more: float | None, less: float | None
) -> None:
    """Lengthening takes from caster; 13 turns one way or 12 the other would be needed."""
    ends = {"lengthen": more, "shorten": less}
    told = ", ".join(f"{way} = {end}" for way, end in ends.items() if end is not None)
    turned = f'rod = "{abs(moved)} {"lengthen" if moved > 0 else "shorten"}"'
    readings = one_pass(caster + moved * PER_TURN, 0.0), one_pass(caster, 0.0, turned)
    plan = plan_adjusters(solved(SHARP, CASTER, rod(f"room = {{ {told} }}\n"), *readings))
    found = move(plan, "rod")
    wanted = (caster - 4.0) / PER_TURN
    ahead = math.inf if more is None else max(more - moved, 0.0)
    back = math.inf if less is None else max(less + moved, 0.0)
    within = min(max(wanted, -back), ahead)
    assert found.exact == pytest.approx(within, rel=2e-3, abs=1e-12)
    assert found.amount == pytest.approx(round(2 * within) / 2, abs=1e-12)
    # Without any room left that way it is not moved at all.
    assert found.at_limit == (within != wanted and back + ahead > 0.0)


def test_a_room_that_ends_between_two_steps_is_not_left() -> None:
    for caster, room, amount in ((7.5, "lengthen = 3.3", 3.0), (0.5, "shorten = 2.9", -2.5)):
        plan = plan_adjusters(
            solved(SHARP, CASTER, rod(f"room = {{ {room} }}\n"), one_pass(caster, 0.0))
        )
        assert move(plan, "rod").amount == amount


@pytest.mark.parametrize("camber, way", [(3.0, -90.0), (-3.0, 90.0)])
def test_a_cam_is_turned_a_quarter_at_most(camber: float, way: float) -> None:
    goals = "[goal]\ncamber.left_front = { angle = 0, tolerance = 0.2 }\n"
    found = move(plan_adjusters(solved(SHARP, goals, CAM, one_pass(4.0, camber))), "cam")
    assert (found.amount, found.at_limit) == (way, True)


@pytest.mark.parametrize("tolerance, needed", [(0.3, False), (0.05, True)])
def test_what_is_proven_within_its_goal_is_left(tolerance: float, needed: bool) -> None:
    """Caster 0.2 degrees off, proven; whether that is too far off the tolerance says."""
    goals = CASTER.replace("0.3", str(tolerance))
    plan = plan_adjusters(solved(SHARP, goals, rod(""), one_pass(3.8, 0.0)))
    assert outcome(plan, "caster.left_front").needed == needed
    assert move(plan, "rod").amount == (-0.5 if needed else 0.0)


def test_a_goal_within_does_not_hold_the_others_back() -> None:
    """The camber is met, the caster is not; the wheel is set, and camber is set with it."""
    goals = CASTER + "camber.left_front = { angle = -0.5, tolerance = 0.2 }\n"
    plan = plan_adjusters(solved(SHARP, goals, rod(""), CAM, one_pass(3.0, -0.4)))
    assert not outcome(plan, "camber.left_front").needed
    per_degree = math.degrees(math.asin(6 * DEGREE / 300))
    sine = math.sin(math.radians(move(plan, "cam").exact))
    assert sine * per_degree / DEGREE == pytest.approx(-0.1, rel=2e-3)


def link(name: str, effect: str, wheel: str = "left_rear", step: float = 0.01) -> str:
    return (
        f'[[adjuster]]\nwheel = "{wheel}"\nkind = "direct"\nname = "{name}"\n'
        f"effect = {{ {effect} }}\nsmallest_step = {step}\n"
    )


def rear(left: float, right: float, cambers: str = "") -> str:
    """A pass that reads the toes of the rear wheels by strings [degrees]."""
    toes = {"left_front": 0.0, "right_front": 0.0, "left_rear": left, "right_rear": right}
    lines = ["[[pass]]", "floor = { front = 0, rear = 0, along = 0 }", "[pass.string]"]
    for wheel, toe in toes.items():
        edge = 200 * math.sin(toe * DEGREE)
        lines.append(f"{wheel} = {{ front = {100 + edge!r}, rear = {100 - edge!r} }}")
    lines.append("front_bar_width = 1700\nrear_bar_width = 1700\nbar_spacing = 4000")
    return "\n".join([*lines, cambers, ""])


def test_a_thrust_angle_is_shared_by_both_rear_wheels() -> None:
    goals = "[goal]\nthrust_angle = { angle = 0, tolerance = 0.05 }\n"
    cams = link("one", "toe = 0.1"), link("other", "toe = 0.2", "right_rear")
    job = solved(SHARP, goals, *cams, rear(0.5, -0.3))
    plan = plan_adjusters(job)
    left, right = move(plan, "one").amount, move(plan, "other").amount
    # By sizes of effects the smallest moves: both change toe, left to the right, right to the left.
    assert left == pytest.approx(-4.0, abs=0.02)
    assert right == pytest.approx(2.0, abs=0.02)
    thrust = outcome(plan, "thrust_angle")
    assert thrust.remains / DEGREE == pytest.approx(0.4 + 0.05 * left - 0.1 * right, abs=1e-4)
    parts = 0.1 * 0.05 * left * DEGREE, 0.1 * 0.1 * right * DEGREE  # stated, 10 %
    assert thrust.u == pytest.approx(math.hypot(job.passes[0]["thrust_angle"].u, *parts), rel=1e-3)
    assert plan.changes["toe.left_rear"][0] == pytest.approx(0.1 * left * DEGREE)
    assert plan.changes["toe.right_rear"][0] == pytest.approx(0.2 * right * DEGREE)


@pytest.mark.parametrize("tolerances", [(None, None), (0.2, None), (None, 0.4), (0.3, 0.05)])
@pytest.mark.parametrize("goal", ["rear_total_toe", "thrust_angle", "cross_camber"])
def test_goals_that_pull_apart_count_by_their_tolerances(
    goal: str, tolerances: tuple[float | None, float | None]
) -> None:
    """One adjuster, two goals: the weighted mean of the moves that each alone would take.

    Without a tolerance camber counts by half a degree, toe by a tenth (common practice, no
    published source).
    """
    camber, other = tolerances
    # Name, factor of the left wheel in it, its effect, where it is, usual tolerance.
    factor, effect, found, usual = {
        "rear_total_toe": (1.0, 0.05, 0.3, 0.1),
        "thrust_angle": (0.5, 0.05, 0.15, 0.1),
        "cross_camber": (1.0, 0.1, 0.9, 0.5),
    }[goal]

    def told(tolerance: float | None) -> str:
        return "" if tolerance is None else f", tolerance = {tolerance}"

    wheel, other_wheel = (f"{s}_{'front' if goal == 'cross_camber' else 'rear'}" for s in SIDES)
    goals = f"[goal]\ncamber.{wheel} = {{ angle = 0{told(camber)} }}\n"
    goals += f"{goal} = {{ angle = 0{told(other)} }}\n"
    cambers = f"[pass.inclinometer.{wheel}]\ncamber = 0.4\n"
    cambers += f"[pass.inclinometer.{other_wheel}]\ncamber = -0.5\n"
    screw = link("screw", "camber = 0.1, toe = 0.05", wheel)
    # What the other wheel's screw sets counts as settable, but it stands at its end.
    stuck = link("stuck", "toe = 0.1", "right_rear") + "room = { more = 0, less = 0 }\n"
    plan = plan_adjusters(solved(SHARP, goals, screw, stuck, rear(0.3, 0.0, cambers)))
    rows = [(0.1, -0.4, camber or 0.5), (factor * effect, -found, other or usual)]
    top = sum(each * change / tolerance**2 for each, change, tolerance in rows)
    exact = top / sum(each**2 / tolerance**2 for each, _, tolerance in rows)
    assert move(plan, "screw").exact == pytest.approx(exact, rel=1e-3)


@pytest.mark.parametrize("count, share", [(3, 0.4), (7, 0.4), (13, 0.6)])
def test_many_adjusters_are_rounded_together_as_far_as_that_can_be_tried(
    count: int, share: float
) -> None:
    """Each wants a part of a step: up to twelve together make up for it, beyond that each alone."""
    goals = "[goal]\ncamber.left_rear = { angle = 0, tolerance = 0.1 }\n"
    links = [link(f"link {n}", "camber = 0.1, toe = 0", step=1) for n in range(count)]
    camber = f"[pass.inclinometer.left_rear]\ncamber = {-0.1 * share * count!r}\n"
    plan = plan_adjusters(solved(SHARP, goals, *links, rear(0.0, 0.0, camber)))
    amounts = [m.amount for m in plan.moves]
    best = min(
        (sum(tried) for tried in itertools.product((0, 1), repeat=count)),
        key=lambda steps: abs(steps - share * count),
    )
    assert sum(amounts) == (best if count <= 12 else count)
    assert set(amounts) <= {0.0, 1.0}


def test_what_the_tie_rods_set_is_left_to_them() -> None:
    """The rear toe moves the steering wheel too, but that is put right at the front."""
    car = "steering_ratio = 16\n[instruments]"
    goals = "[goal]\nsteering_wheel = { angle = 0, tolerance = 1 }\n"
    goals += "front_total_toe = { angle = 0, tolerance = 0.1 }\n"
    screw = link("screw", "toe = 0.2")
    plan = plan_adjusters(solved(SHARP.replace("[instruments]", car), goals, screw, rear(0.5, 0.0)))
    assert (plan.outcomes, plan.to_measure, plan.to_turn) == ((), (), False)


def test_only_the_wheel_that_needs_it_is_set_and_moves_stand_as_the_job_lists_them() -> None:
    goals = (
        "[goal]\ncamber.left_rear = { angle = 0, tolerance = 0.1 }\n"
        "camber.right_rear = { angle = 0, tolerance = 0.1 }\n"
        "camber.left_front = { angle = 0, tolerance = 0.1 }\n"
    )
    screws = [
        link(wheel, "camber = 0.1", wheel) for wheel in ("right_rear", "left_front", "left_rear")
    ]
    cambers = "".join(
        f"[pass.inclinometer.{wheel}]\ncamber = {camber}\n"
        for wheel, camber in (("left_rear", 0.5), ("right_rear", 0.05))
    )
    plan = plan_adjusters(solved(SHARP, goals, *screws, rear(0.0, 0.0, cambers)))
    assert [(m.adjuster.name, m.amount) for m in plan.moves] == [
        ("right_rear", 0.0),
        ("left_front", 0.0),
        ("left_rear", pytest.approx(-5.0)),
    ]
    assert plan.to_measure == ("camber.left_front",)
    assert [o.name for o in plan.outcomes] == ["camber.left_rear", "camber.right_rear"]


def test_two_adjusters_of_a_wheel_add_up() -> None:
    """Effects add, their uncertainties as the root of the sum of squares (GUM 5.1.2)."""
    goals = CASTER + "camber.left_front = { angle = -0.5, tolerance = 0.2 }\n"
    screw = link("screw", "camber = 0.3, caster = 0.05", "left_front")
    plan = plan_adjusters(solved(SHARP, goals, ROD, screw, one_pass(3.0, 0.4)))
    turns, units = move(plan, "rod").amount, move(plan, "screw").amount
    assert turns < 0.0 > units
    value, u = plan.changes["camber.left_front"]
    assert value / DEGREE == pytest.approx(0.1 * turns + 0.3 * units)
    assert u / DEGREE == pytest.approx(0.1 * math.hypot(0.1 * turns, 0.3 * units))
    value, u = plan.changes["caster.left_front"]
    assert value / DEGREE == pytest.approx(-PER_TURN * turns + 0.05 * units)
    u_both = math.hypot(0.2 * PER_TURN * turns, 0.1 * 0.05 * units)
    assert u / DEGREE == pytest.approx(u_both)
    told = outcome(plan, "caster.left_front")
    assert told.u == pytest.approx(math.hypot(told.standing.result.u, u), rel=1e-6)


def test_without_adjusters_there_is_no_plan() -> None:
    plan = plan_adjusters(solved(HEAD, CASTER, one_pass(3.0, 0.0)))
    assert (plan.moves, plan.outcomes, plan.changes, plan.to_measure) == ((), (), {}, ())
