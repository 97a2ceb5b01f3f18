"""The two front rods by hand: what should change, what is kept, where to stop."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.correct.test_learning import (
    ARITHMETIC,
    HEAD,
    RODS,
    U_ARITHMETIC,
    both,
    one_pass,
    solved,
    strings,
)
from toebox.correct import PassCorrection, correct
from toebox.correct.effects import Known
from toebox.correct.wanted import AS_FOUND, ThrustAfter, wanted
from toebox.solve.results import PassSolution, Solution

BARE = HEAD.replace("steering_ratio = 16, ", "")
GOALS = """
[goal]
front_total_toe = { angle = 0.2, tolerance = 0.05 }
steering_wheel = { angle = "2 right", tolerance = 1 }
"""
DEGREE = math.radians(1.0)
LOCKS = "turns_to_lock = { left = 1.5, right = 1.4375 }\n"
GEAR = 0.03125 * 2.0 * math.pi  # the gear stands so far to the right with the spokes straight
SHORT = RODS + "outer_engaged = 8\n"


def told(*parts: str) -> PassCorrection:
    return correct(solved(*parts))[-1]


def half_difference(solution: Solution) -> tuple[float, np.ndarray]:
    names = [f"toe_to_thrust.{side}_front" for side in ("left", "right")]
    one = solution.passes[-1]
    value = (one[names[0]].value - one[names[1]].value) / 2.0
    return value, (one.gradients[names[0]] - one.gradients[names[1]]) / 2.0


def none_known(solution: Solution, thrust: float | None = None, moved: float = 0.0):
    return wanted(solution.job, solution.passes[-1], Known({}), ThrustAfter(thrust), moved)


def test_strings_tell_half_sum_and_half_difference() -> None:
    """d = (goal - total) / 2 +- (off - goal) / ratio, off = -ratio (half difference)."""
    solution = solved(HEAD, GOALS, strings(3.0, -1.0))
    total, wheel = none_known(solution)
    found = solution.passes[-1]["total_toe.front"]
    half, gradient = half_difference(solution)
    assert total is not None
    assert wheel is not None
    assert total.value == pytest.approx((0.2 * DEGREE - found.value) / 2.0)
    assert total.u(solution.passes[-1].estimate) == pytest.approx(found.u / 2.0)
    assert total.gradient == pytest.approx(-solution.passes[-1].gradients["total_toe.front"] / 2.0)
    assert wheel.value == pytest.approx(-2.0 * DEGREE / 16.0 - half)
    assert wheel.gradient == pytest.approx(-gradient)
    assert (total.carried, wheel.carried) == (0.0, 0.0)
    moved = none_known(solution, moved=0.3)[1]
    assert moved is not None
    assert moved.value == pytest.approx(wheel.value + 0.3 / 16.0)


def test_after_the_rear_is_set_the_front_goes_by_the_thrust_line_it_then_has() -> None:
    solution = solved(HEAD, GOALS, strings(3.0, -1.0))
    one = solution.passes[-1]
    half = (one["toe.left_front"].value - one["toe.right_front"].value) / 2.0
    wheel = none_known(solution, thrust=0.004, moved=0.3)[1]
    assert wheel is not None
    assert wheel.value == pytest.approx(0.004 + (0.3 - 2.0 * DEGREE) / 16.0 - half)
    gradient = (one.gradients["toe.left_front"] - one.gradients["toe.right_front"]) / 2.0
    assert wheel.gradient == pytest.approx(-gradient)
    assert not wheel.met
    # A road test speaks of the thrust line that there was, and a tape of none.
    assert none_known(solved(HEAD, GOALS, one_pass("road test", 0.1)), thrust=0.0)[1] is None


def test_without_a_ratio_strings_tell_the_difference_all_the_same() -> None:
    solution = solved(BARE, strings(3.0, -1.0))
    half, gradient = half_difference(solution)
    wheel = none_known(solution, moved=0.3)[1]
    assert wheel is not None
    assert wheel.value == pytest.approx(-half)  # straight ahead is where the wheel is right
    assert wheel.gradient == pytest.approx(-gradient)


@pytest.mark.parametrize("wheel", ["left_front", "right_front"])
def test_one_front_wheel_alone_tells_no_difference(wheel: str) -> None:
    lines = [line for line in strings(3.0, -1.0).splitlines() if not line.startswith(wheel)]
    solution = solved(HEAD, GOALS, "\n".join(lines) + "\n")
    other = "right_front" if wheel == "left_front" else "left_front"
    assert f"toe.{other}" in solution.passes[0].results
    assert none_known(solution) == (None, None)
    assert none_known(solution, thrust=0.0) == (None, None)
    assert correct(solution)[-1].rods == ()


def test_what_is_told_after_a_pass_knows_nothing_of_those_after_it() -> None:
    first = strings(12.0, 2.0)
    turned = f"turned = {{ {both(-1.0, 0.5)} }}\n[pass.string]"
    later = strings(3.0, 1.0).replace("[pass.string]", turned)
    two, one = correct(solved(HEAD, RODS, GOALS, first, later)), told(HEAD, RODS, GOALS, first)
    assert len(two) == 2
    assert two[0].rods == one.rods
    assert two[1].rods != one.rods
    assert two[1].rods[0].effect != one.rods[0].effect


def test_a_road_test_tells_the_difference_and_a_tape_the_sum() -> None:
    road = solved(HEAD, GOALS, one_pass("road test", 0.16))
    total, wheel = none_known(road)
    assert total is None
    assert wheel is not None
    assert wheel.value == pytest.approx((0.16 - 2.0 * DEGREE) / 16.0)
    assert wheel.u(road.passes[-1].estimate) == pytest.approx(DEGREE / 16.0)
    taped = solved(HEAD, GOALS, one_pass("tape", 0.01))
    total, wheel = none_known(taped)
    assert wheel is None
    assert total is not None
    assert total.value == pytest.approx((0.2 * DEGREE - 0.01) / 2.0)
    without = solved(HEAD, one_pass("tape", 0.01))
    kept = none_known(without)[0]
    assert kept is not None
    assert (kept.name, kept.value, kept.met) == ("total_toe.front", 0.0, False)
    assert kept.gradient.tolist() == [0.0] * len(without.passes[-1].network.unknowns)


def test_whether_a_goal_is_met_is_told_and_forgotten_where_the_wheel_is_moved() -> None:
    wide = GOALS.replace("0.05", "2").replace("tolerance = 1 ", "tolerance = 9 ")
    solution = solved(HEAD, wide, strings(0.3, 0.3))
    total, wheel = none_known(solution)
    assert total is not None
    assert wheel is not None
    assert (total.met, wheel.met) == (True, True)
    moved = none_known(solution, moved=0.3)[1]
    assert moved is not None
    assert not moved.met
    off = none_known(solved(HEAD, wide, one_pass("road test", 0.1)))[1]
    assert off is not None
    assert off.met


def test_what_is_not_read_is_carried_over() -> None:
    """Tape and strings first, then turned by known turns, then only the other one is read."""
    solution = solved(HEAD, RODS, GOALS, one_pass("tape", 0.01), one_pass("road test", 0.16))
    known = Known({}, total=(0.02, 0.003), difference=(0.005, 0.002))
    job, (tape, road) = solution.job, solution.passes
    total, wheel = wanted(job, road, known, AS_FOUND, 0.0)
    assert total is not None
    assert total.name == "total_toe.front"
    assert not np.any(total.gradient)
    assert (total.value, total.carried) == pytest.approx(((0.2 * DEGREE - 0.02) / 2, 0.0015))
    assert total.u(road.estimate) == 0.0015
    assert wheel is not None
    assert wheel.carried == 0.0
    total, wheel = wanted(job, tape, known, AS_FOUND, 0.3)
    assert total is not None
    assert total.carried == 0.0
    assert wheel is not None
    offset = (0.3 - 2.0 * DEGREE) / 16.0
    assert wheel.name == "steering_wheel"
    assert wheel.gradient.shape == (len(tape.network.unknowns),)
    assert not np.any(wheel.gradient)
    assert (wheel.value, wheel.carried) == pytest.approx((offset - 0.005, 0.002))
    # A rear that is to be set moves the thrust line to which the difference was.
    assert wanted(job, tape, known, ThrustAfter(0.0), 0.0)[1] is None
    only_wheel = job._replace(goals={"steering_wheel": job.goals["steering_wheel"]})
    assert wanted(only_wheel, road, known, AS_FOUND, 0.0)[0] is None
    assert wanted(job, tape, Known({}), AS_FOUND, 0.0)[1] is None
    assert wanted(job, road, Known({}), AS_FOUND, 0.0)[0] is None
    without_ratio = job._replace(car=job.car._replace(steering_ratio=None))
    straight = wanted(without_ratio, tape, known, AS_FOUND, 0.3)[1]
    assert straight is not None
    assert straight.value == pytest.approx(-0.005)


def test_each_rod_takes_half_the_sum_and_its_part_of_the_difference() -> None:
    solution = solved(HEAD, RODS, GOALS, strings(12.0, 2.0))
    one, found = solution.passes[0], correct(solution)[-1]
    total, wheel = none_known(solution)
    assert total is not None
    assert wheel is not None
    assert found.corrected == found.judged == ("total_toe.front", "steering_wheel")
    for rod, sign in zip(found.rods, (1.0, -1.0), strict=True):
        change = total.value + sign * wheel.value
        assert rod.toe_change == rod.ideal == pytest.approx(change)
        gradient = total.gradient + sign * wheel.gradient
        assert rod.u == pytest.approx(one.estimate.standard_uncertainty(gradient))
        assert rod.length_change == pytest.approx(0.130 * math.sin(change))
        assert rod.wanted_toe == pytest.approx(one[f"toe.{rod.side}_front"].value + change)
        assert rod.justified
    flags = found.improve, found.proven_within, found.carried, found.split_assumed, found.total_kept
    assert flags == (None, False, (), False, False)


def test_what_is_not_proven_is_kept_but_rounded_towards() -> None:
    """Total toe far off, the steering wheel half a degree: within its interval of a degree."""
    road = one_pass("road test", 2.5 * DEGREE)
    tape = one_pass("tape", 0.03).removeprefix("[[pass]]\n")
    solution = solved(HEAD, RODS, GOALS, road, tape)
    found = correct(solution)[-1]
    assert (found.corrected, found.judged) == (
        ("total_toe.front",),
        ("total_toe.front", "steering_wheel"),
    )
    half = (0.2 * DEGREE - 0.03) / 2.0
    turn = 0.5 * DEGREE / 16.0
    u_total = solution.passes[0]["total_toe.front"].u
    for rod, sign in zip(found.rods, (1.0, -1.0), strict=True):
        assert rod.toe_change == pytest.approx(half)
        assert rod.ideal == pytest.approx(half + sign * turn)
        assert rod.u == pytest.approx(u_total / 2.0)
        assert rod.wanted_toe is None  # no strings: how the wheels stand to the car is not known
    assert found.tape_across == pytest.approx(0.6)
    assert found.stop_at_tape == pytest.approx(0.6 * 2.0 * math.sin(0.1 * DEGREE), abs=1e-4)


def test_what_is_carried_blurs_the_rods_too() -> None:
    last = one_pass("road test", 0.3, both(2.0, -1.0))
    solution = solved(HEAD, RODS, GOALS, one_pass("tape", 0.05), last)
    found = correct(solution)[-1]
    assert found.carried == ("total_toe.front",)
    assert found.corrected == ("total_toe.front", "steering_wheel")
    u_tape = solution.passes[0]["total_toe.front"].u
    u_total = math.hypot(u_tape, 2.0 * U_ARITHMETIC, U_ARITHMETIC)
    for rod, sign in zip(found.rods, (1.0, -1.0), strict=True):
        change = (0.2 * DEGREE - 0.05 - ARITHMETIC) / 2.0 + sign * (0.3 - 2.0 * DEGREE) / 16.0
        assert rod.toe_change == pytest.approx(change)
        assert rod.u == pytest.approx(math.hypot(u_total / 2.0, DEGREE / 16.0), rel=1e-4)


@pytest.mark.parametrize(
    "off, far", [(16.9, False), (17.1, True), (-12.9, False), (-13.1, True)]
)
def test_a_wheel_far_off_asks_for_the_gear_to_be_centred(off: float, far: bool) -> None:
    """From 15 degrees off its goal on, here 2 to the right, unless turns were counted.

    Common practice, no published source.
    """
    road = one_pass("road test", off * DEGREE)
    assert told(HEAD, RODS, GOALS, road).wheel_far_off == far
    assert not told(HEAD, RODS, GOALS, road, LOCKS).wheel_far_off
    assert not told(HEAD, RODS, GOALS, one_pass("tape", 0.01)).wheel_far_off


def test_nothing_read_of_the_front_is_nothing_told_of_it() -> None:
    rear = "[[pass]]\ntape.rear = { front_edge = 1400, rear_edge = 1401, across = 600 }\n"
    found = told(HEAD, RODS, GOALS, rear + LOCKS)
    assert (found.rods, found.judged, found.to_turn) == ((), (), False)
    assert found.gear is not None


def test_what_is_kept_assumed_and_met_is_said() -> None:
    taped = told(HEAD, RODS, GOALS, one_pass("tape", 0.05))
    assert (taped.split_assumed, taped.total_kept) == (True, False)
    no_goal = told(HEAD, RODS, one_pass("tape", 0.05))
    assert (no_goal.total_kept, no_goal.judged, no_goal.to_turn) == (True, (), False)
    assert not no_goal.proven_within
    road = told(HEAD, RODS, GOALS, one_pass("road test", 0.2))
    assert (road.split_assumed, road.total_kept, road.judged) == (False, True, ("steering_wheel",))
    assert road.corrected == ("steering_wheel",)
    right = told(HEAD, RODS, GOALS.replace("0.05", "1"), one_pass("tape", 0.2 * DEGREE))
    assert (right.proven_within, right.improve, right.to_turn) == (True, None, False)


def test_a_rod_that_is_turned_back_for_the_other_ones_rounding_stops_where_that_brings_it() -> None:
    """No reading of a turn told one way lies the other way."""
    arms = RODS.replace("arm_length = 130", "left.arm_length = 200\nright.arm_length = 90")
    goals = GOALS.replace("tolerance = 1", "tolerance = 4")
    solution = solved(HEAD, arms, 'smallest_turn = "1/6"\n', goals, strings(1.6, -4.0))
    found = correct(solution)[-1]
    left = found.rods[0]
    assert left.turns == pytest.approx(1 / 6)
    assert left.exact_turns == pytest.approx(-0.0915, abs=1e-4)
    assert left.held
    assert found.by_turns
    for rod in found.rods:
        assert rod.effect is not None
        moved = rod.turns * rod.effect.per_turn
        stopped = rod.wanted_toe - solution.passes[-1][f"toe.{rod.side}_front"].value
        assert math.sin(stopped) == pytest.approx(moved, rel=1e-3)


@pytest.mark.parametrize(
    "rods, edges, limited, held",
    [(RODS, (-3, -3), False, True), (RODS, (-2, -7), False, False), (SHORT, (-3, -3), True, True)],
)
def test_readings_to_stop_at_are_those_with_the_gear_in_its_middle(
    rods: str, edges: tuple[float, float], limited: bool, held: bool
) -> None:
    """Spokes straight, the gear stands to the right: in its middle both wheels point less so.

    The rim of 400 mm shows the toe by its sine, on strings that stand as they were found; the
    tape, across 600 mm, shows the sum of both sines, first with the left wheel alone set.
    """
    goals = GOALS.replace("0.2", "1").replace('"2 right"', "0")
    tape = "tape.front = { front_edge = 1400, rear_edge = 1391, across = 600 }\n"
    readings = strings(*edges).replace("[pass.string]", LOCKS + tape + "[pass.string]")
    count = "instruments.turns_to_lock = { resolution = 5, repeatability = 3 }\n"
    solution = solved(HEAD, count, rods, goals, readings)
    one, found = solution.passes[0], correct(solution)[-1]
    assert found.gear is not None
    # Where the thread ends the steering wheel stays on its spline, and is clamped straight.
    moved = 0.0 if limited else GEAR
    assert found.gear.moved == pytest.approx(moved)
    assert found.gear.waits == ("thread" if limited else "")
    yaw, taper = one["box.yaw"].value, one["box.taper"].value
    assert any(rod.limited for rod in found.rods) == limited
    assert any(rod.held for rod in found.rods) == held  # where one cannot, both go by turns
    toes = {
        rod.side: one[f"toe.{rod.side}_front"].value - sign * moved / 16.0
        for rod, sign in zip(found.rods, (1.0, -1.0), strict=True)
    }
    for rod, sign in zip(found.rods, (1.0, -1.0), strict=True):
        turns = (rod.turns or 0.0) * ARITHMETIC
        change = math.asin(turns) if held else rod.toe_change
        wanted_toe = toes[rod.side] + change
        assert rod.wanted_toe == pytest.approx(wanted_toe)
        toes[rod.side] += change if rod.to_set else 0.0  # a rod that is left stands as it stood
        assert rod.stop_at_tape == pytest.approx(0.6 * sum(map(math.sin, toes.values())))
        aside = taper - sign * yaw
        before = math.sin(one[f"toe.{rod.side}_front"].value + aside)
        turned = 0.4 * (math.sin(wanted_toe + aside) - before)
        assert rod.stop_at_string == pytest.approx(as_fitted(one, f"{rod.side}_front") + turned)


def as_fitted(one: PassSolution, wheel: str) -> float:
    """Front minus rear edge of a wheel that was read once, less what the fit leaves of them [m]."""
    edges = {
        o.label: o.value - residual
        for o, residual in zip(one.network.observations, one.estimate.residuals, strict=True)
    }
    return edges[f"string.{wheel}.front"] - edges[f"string.{wheel}.rear"]


def test_a_rim_read_once_stops_at_what_it_shows_as_it_stands() -> None:
    """The tape says that the rims wobble: what they show now, and the change of the toe on them."""
    tape = "tape.front = { front_edge = 1400, rear_edge = 1391, across = 600 }\n"
    readings = strings(-3.0, -3.0).replace("[pass.string]", tape + "[pass.string]")
    once = solved(HEAD, RODS, GOALS, readings)
    one, found = once.passes[0], correct(once)[-1]
    for rod in found.rods:
        shown = as_fitted(one, f"{rod.side}_front")
        toe = one[f"toe.{rod.side}_front"].value
        assert abs(shown - 0.4 * math.sin(toe)) > 0.1e-3  # the rims are not true
        turned = 0.4 * (math.sin(toe + rod.toe_change) - math.sin(toe))
        assert rod.stop_at_string == pytest.approx(shown + turned, abs=2e-6)


@pytest.mark.parametrize("reading", ["strings", "tape"])
def test_a_limit_at_one_rod_moves_both_stops(reading: str) -> None:
    """Both then go by their turns, whatever was wanted."""
    tape = one_pass("tape", -0.03)
    both_read = strings(-6.0, -6.0) + "[pass.tape]\n" + tape.partition(".")[2]
    text = tape if reading == "tape" else both_read
    left = "".join(f"left.{line}\n" for line in SHORT.strip().splitlines()[1:])
    right = left.replace("left.", "right.").replace("engaged = 8", "engaged = 30")
    solution = solved(HEAD, "[tie_rods]\n", left, right, GOALS, text)
    one, found = solution.passes[0], correct(solution)[-1]
    assert [rod.limited for rod in found.rods] == [True, False]
    half = one["total_toe.front"].value / 2.0
    toes = {rod.side: half for rod in found.rods}
    if reading == "strings":
        toes = {side: one[f"toe.{side}_front"].value for side in toes}
    for rod in found.rods:
        assert rod.turns
        toes[rod.side] += math.asin(rod.turns * ARITHMETIC)
        assert rod.stop_at_tape == pytest.approx(0.6 * sum(map(math.sin, toes.values())))
        assert rod.wanted_toe == (pytest.approx(toes[rod.side]) if reading == "strings" else None)


@pytest.mark.parametrize("missing", ["front_edge = 1400, ", "rear_edge = 1410, ", "all", ""])
def test_a_tape_to_stop_at_needs_both_edges(missing: str) -> None:
    tape = "tape.front = { front_edge = 1400, rear_edge = 1410, across = 600 }\n"
    tape = "" if missing == "all" else tape.replace(missing, "")
    text = strings(5.0, 5.0).replace("[pass.string]", tape + "[pass.string]")
    found = told(HEAD, RODS, GOALS, text)
    expected = missing != ""
    assert (found.stop_at_tape is None) == expected
    assert [rod.stop_at_tape is None for rod in found.rods] == [expected] * 2
    assert (found.tape_across is None) == expected


def test_tape_stops_follow_the_rods_one_by_one() -> None:
    """Without strings each wheel is taken to stand at half of the total toe."""
    found = told(HEAD, GOALS, one_pass("tape", 0.05))
    goal, half = 0.1 * DEGREE, 0.025
    left, right = (rod.stop_at_tape for rod in found.rods)
    assert left == pytest.approx(0.6 * (math.sin(goal) + math.sin(half)), rel=1e-6)
    assert right == pytest.approx(0.6 * 2.0 * math.sin(goal), rel=1e-6)
    assert found.stop_at_tape == right
    # What is left alone reads as it was found.
    kept = told(HEAD, GOALS.replace("0.2", "2.86478898"), one_pass("tape", 0.05))
    stops = [rod.stop_at_tape for rod in kept.rods]
    assert stops == pytest.approx([0.6 * 2.0 * math.sin(half)] * 2, rel=1e-4)


def test_the_tape_at_the_goal_is_told_where_both_rods_are_left() -> None:
    """As the strings are: what is not proven to be wrong is not said to be right."""
    found = told(HEAD, GOALS.replace("0.2", "2.84"), one_pass("tape", 0.05))
    assert [(rod.justified, rod.direction) for rod in found.rods] == [(False, "leave")] * 2
    goal = 2.0 * math.sin(math.radians(2.84) / 2.0)
    assert found.stop_at_tape == pytest.approx(0.6 * goal, rel=1e-6)
    stops = [rod.stop_at_tape for rod in found.rods]
    assert stops == pytest.approx([0.6 * 2.0 * math.sin(0.025)] * 2, rel=1e-6)


def test_what_a_moved_steering_wheel_does_is_asked_for_where_it_is_not_known() -> None:
    """How far the wheels turn with it needs the ratio; where it stands, a road test or strings."""
    tape = one_pass("tape", 0.05)
    count = "instruments.turns_to_lock = { resolution = 5, repeatability = 3 }\n"
    goal = GOALS.split("steering")[0]
    for head, needs in ((BARE, "ratio"), (HEAD, "road test")):
        counted, plain = (told(head, count, goal, text) for text in (tape + LOCKS, tape))
        assert counted.gear is not None
        assert counted.gear.wrong_spline
        assert (counted.rods, counted.spline_needs) == ((), needs)
        assert (len(plain.rods), plain.spline_needs) == (2, "")


def test_what_is_left_is_told_as_uncertain_as_it_is_carried() -> None:
    """Nothing is justified; the half sum is carried over, the half difference read."""
    last = one_pass("road test", 2.5 * DEGREE, both(1.0, 1.0))
    total = 0.2 * DEGREE - 2.0 * ARITHMETIC
    solution = solved(HEAD, RODS, GOALS, one_pass("tape", total), last)
    found = correct(solution)[-1]
    assert (found.corrected, found.carried) == ((), ("total_toe.front",))
    u = math.hypot(solution.passes[0]["total_toe.front"].u, U_ARITHMETIC, U_ARITHMETIC) / 2.0
    for rod in found.rods:
        assert rod.u == pytest.approx(math.hypot(u, DEGREE / 16.0), rel=1e-4)
        assert (rod.justified, rod.turns) == (False, 0.0)
