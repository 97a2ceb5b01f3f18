"""Rear wheels and the gear's middle by hand: changes, uncertainties, what is proven."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.correct.test_learning import HEAD, one_pass, solved
from toebox.correct import correct
from toebox.correct.gear import gear_centre
from toebox.correct.rear import rear_corrections, rear_stays, thrust_goal
from toebox.job.model import Goal
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.solve.results import Solution
from toebox.solve.standing import standing

LOOSE = HEAD.replace("ratio = 16", "ratio = 16, rear_toe_adjustable = true")
BOTH = {"thrust_angle": Goal(0.001, 0.0005), "total_toe.rear": Goal(0.004, 0.0005)}


def strings(left: float, right: float) -> str:
    """Return readings whose front and rear edges differ so much at each rear wheel [mm]."""
    wheels = {"left_front": 0.0, "right_front": 0.0, "left_rear": left, "right_rear": right}
    lines = [
        f"{wheel} = {{ front = {100 + more / 2!r}, rear = {100 - more / 2!r} }}"
        for wheel, more in wheels.items()
    ]
    return "\n".join(["[[pass]]", "[pass.string]", *lines, ""])


def with_goals(solution: Solution, goals: dict[str, Goal]) -> Solution:
    return solution._replace(job=solution.job._replace(goals=goals))


@pytest.mark.parametrize("left, right", [(14.0, -2.0), (-2.0, 14.0)])
def test_each_rear_wheel_goes_to_half_the_total_and_its_part_of_the_thrust(
    left: float, right: float
) -> None:
    solution = with_goals(solved(LOOSE, strings(left, right)), BOTH)
    one = solution.passes[0]
    found = rear_corrections(solution.job, one)
    for wheel, sign in zip(found, (1.0, -1.0), strict=True):
        now = one[f"toe.{wheel.side}_rear"]
        wanted = 0.002 + sign * 0.001
        assert wheel.justified
        assert wheel.wanted_toe == pytest.approx(wanted, abs=1e-9)
        assert wheel.toe_change == pytest.approx(wanted - now.value, abs=1e-9)
        assert wheel.u == pytest.approx(now.u, rel=1e-6)  # the change is as sure as the toe
        assert "box.taper" not in one.results  # taken as 0: nothing was read at the bars
        edge = 0.4 * math.sin(wanted - sign * one["box.yaw"].value)
        assert wheel.stop_at_string == pytest.approx(edge, abs=1e-9)


def test_without_a_goal_for_the_total_it_stays_and_the_thrust_goes_to_zero() -> None:
    one = (solution := solved(LOOSE, strings(9.0, -6.0))).passes[0]
    thrust = one["thrust_angle"]
    for wheel, sign in zip(rear_corrections(solution.job, one), (1.0, -1.0), strict=True):
        assert wheel.toe_change == pytest.approx(-sign * thrust.value)
        assert wheel.u == pytest.approx(thrust.u)
        assert wheel.justified


def test_rear_wheels_proven_to_be_right_are_left_though_they_could_be_better() -> None:
    """The same readings; the goals are wide or narrow."""
    for tolerance, justified in ((0.05, False), (0.0001, True)):
        solution = solved(LOOSE, goals_text(tolerance), strings(9.0, 2.0))
        found = rear_corrections(solution.job, solution.passes[0])
        assert [wheel.justified for wheel in found] == [justified] * 2
        # What is wanted is told all the same.
        toes = [solution.passes[0][f"toe.{wheel.side}_rear"].value for wheel in found]
        assert [wheel.toe_change for wheel in found] == pytest.approx([-toe for toe in toes])


def goals_text(tolerance: float) -> str:
    told = f"{{ angle = 0, tolerance = {math.degrees(tolerance)!r} }}"
    return f"[goal]\nthrust_angle = {told}\nrear_total_toe = {told}\n"


def test_a_rear_goal_without_a_tolerance_is_never_met() -> None:
    goals = "[goal]\nthrust_angle = { angle = 0 }\nrear_total_toe = { angle = 0 }\n"
    solution = solved(LOOSE, goals, strings(14.0, -2.0))
    found = rear_corrections(solution.job, solution.passes[0])
    for wheel in found:
        assert wheel.justified
        assert wheel.wanted_toe == pytest.approx(0.0, abs=1e-9)


def test_one_rear_goal_met_and_the_other_not() -> None:
    """Only what is proven wrong is set: the thrust angle, or the total toe."""
    wide, narrow = "{ angle = 0, tolerance = 2 }", "{ angle = 0, tolerance = 0.01 }"
    for goals, readings, changes in (
        (f"thrust_angle = {narrow}\nrear_total_toe = {wide}", (9.0, -6.0), (-1.0, 1.0)),
        (f"thrust_angle = {wide}\nrear_total_toe = {narrow}", (6.0, 6.0), (-1.0, -1.0)),
    ):
        solution = solved(LOOSE, f"[goal]\n{goals}\n", strings(*readings))
        found = rear_corrections(solution.job, solution.passes[0])
        assert all(wheel.justified for wheel in found)
        left, right = (wheel.toe_change for wheel in found)
        if changes[0] != changes[1] or readings[0] == readings[1]:
            assert (math.copysign(1, left), math.copysign(1, right)) == changes


@pytest.mark.parametrize("car, told", [("", False), (", rear_toe_adjustable = true", True)])
def test_rear_wheels_are_set_only_where_they_can_be_and_both_are_known(
    car: str, told: bool
) -> None:
    head = HEAD.replace("ratio = 16", f"ratio = 16{car}")
    solution = solved(head, strings(9.0, -6.0))
    assert bool(rear_corrections(solution.job, solution.passes[0])) == told
    assert (rear_stays(solution.job, solution.passes[0]) is None) == told
    solid = solution.job._replace(car=solution.job.car._replace(rear_axle="solid"))
    assert rear_corrections(solid, solution.passes[0]) == ()
    taped = solved(head, one_pass("tape", 0.01))
    assert rear_corrections(taped.job, taped.passes[0]) == ()
    # The front follows the rear only where that is really turned.
    front = correct(solution)[-1].rods
    assert len(front) == 2
    assert thrust_goal(solution.job) == 0.0
    assert thrust_goal(solution.job._replace(goals=BOTH)) == 0.001


@pytest.mark.parametrize("share, proven", [(1.9, False), (2.1, True), (-1.9, False), (-2.1, True)])
def test_an_axle_that_stays_is_proven_askew_beyond_its_interval(share: float, proven: bool) -> None:
    u = solved(HEAD, strings(0.0, 0.0)).passes[0]["thrust_angle"].u
    edge = 400 * math.sin(share * u)
    one = (solution := solved(HEAD, strings(edge, -edge))).passes[0]
    stays = rear_stays(solution.job, one)
    assert stays is not None
    assert stays.thrust == one["thrust_angle"].value == pytest.approx(share * u, rel=1e-3)
    assert (stays.proven, stays.solid) == (proven, False)
    assert (stays.axle_shift, stays.shift_by_wheelbases) == (None, None)


def test_how_far_a_solid_axle_stands_askew() -> None:
    """Track times the sine of the thrust angle; or one wheelbase less the other."""
    bases = "wheelbase_left = [2600, 2602]\nwheelbase_right = [2605, 2607]\n[pass.string]"
    one = (solution := solved(HEAD, strings(3.0, -3.0).replace("[pass.string]", bases))).passes[0]
    car = solution.job.car._replace(track={"rear": 1.5})
    loose = rear_stays(solution.job._replace(car=car), one)
    assert loose is not None
    assert (loose.axle_shift, loose.shift_by_wheelbases) == (None, None)
    car = car._replace(rear_axle="solid")
    solid = rear_stays(solution.job._replace(car=car), one)
    assert solid is not None
    assert solid.axle_shift == pytest.approx(1.5 * math.sin(one["thrust_angle"].value))
    assert solid.shift_by_wheelbases == pytest.approx(0.005)
    taped = solved(HEAD, one_pass("tape", 0.01))
    nothing = rear_stays(taped.job._replace(car=car), taped.passes[0])
    assert nothing is not None
    assert (nothing.thrust, nothing.proven, nothing.axle_shift) == (None, False, None)
    assert nothing.shift_by_wheelbases is None


COUNT = "instruments.turns_to_lock = { resolution = 0, repeatability = 5 }\n"


@pytest.mark.parametrize(
    "splines, off, teeth, moved",
    [
        (36, 7.2, 1, 10.0),  # u is 5 / sqrt(2) = 3.54 degrees: 7.07 are proven
        (36, 7.0, 0, 0.0),
        (36, -7.2, -1, -10.0),
        (36, 24.0, 2, 20.0),
        (20, 8.9, 0, 0.0),  # half a tooth of 18 degrees is nine
        (20, 9.1, 1, 18.0),
        (None, 7.0, 0, 0.0),
        (None, -7.2, 0, -7.2),
    ],
)
def test_the_spline_is_wrong_beyond_its_interval_and_half_a_tooth(
    splines: int | None, off: float, teeth: int, moved: float
) -> None:
    left, right = 1.5 + off / 360, 1.5 - off / 360
    count = f"turns_to_lock = {{ left = {left!r}, right = {right!r} }}\n"
    solution = solved(HEAD, COUNT, one_pass("tape", 0.01) + count)
    job = solution.job
    job = job._replace(car=job.car._replace(steering_wheel_splines=splines))
    gear = gear_centre(job, solution.passes[0].readings)
    assert gear is not None
    assert math.degrees(gear.off) == pytest.approx(off)
    assert math.degrees(gear.u) == pytest.approx(5 / math.sqrt(2.0))
    assert gear.lock_to_lock == pytest.approx(3.0)
    assert (gear.teeth, math.degrees(gear.moved)) == (teeth, pytest.approx(moved))
    assert gear.wrong_spline == bool(moved)
    assert gear.step == (None if splines is None else pytest.approx(2 * math.pi / splines))
    assert gear_centre(job, solution.passes[0].readings._replace(turns_to_lock={})) is None


NOT_TURNED = 'left = "not turned", right = "not turned"'


def test_rear_wheels_that_were_to_be_set_are_stale_once_the_front_is_read_again() -> None:
    """Nobody writes down what was done at them: their old values tell nothing any more."""
    for wide, stale in ((6.0, True), (0.0, False)):
        passes = strings(wide, -wide), one_pass("tape", 0.01, NOT_TURNED)
        stands = standing(solved(LOOSE, *passes))
        of_rear = ("toe.left_rear", "toe.right_rear", "total_toe.rear", "thrust_angle")
        assert {stands[name].stale for name in (*of_rear, "steering_wheel")} == {stale}
        assert not stands["total_toe.front"].stale
        # What nobody can set, and what was not to be set, stays as it was read.
        assert not any(stand.stale for stand in standing(solved(HEAD, *passes)).values())
        # A pass that tells nothing of toe moves nothing.
        gauge = "[[pass]]\ninclinometer.left_front.camber = 0\n"
        assert not any(stand.stale for stand in standing(solved(LOOSE, passes[0], gauge)).values())


@pytest.mark.parametrize("goals", [{}, BOTH])
def test_what_makes_rear_wheels_stale_was_told_to_be_set(goals: dict[str, Goal]) -> None:
    """Whatever is found of them: stale in the next pass only if this one justified to set them."""
    rng, seen = np.random.default_rng(7), set()
    for left, right in rng.normal(0.0, 1.5, (60, 2)).tolist():
        solution = with_goals(solved(LOOSE, strings(left, right)), goals)
        after = solved(LOOSE, strings(left, right), one_pass("tape", 0.01, NOT_TURNED))
        stale = standing(with_goals(after, goals))["thrust_angle"].stale
        told = any(one.justified for one in rear_corrections(solution.job, solution.passes[0]))
        assert told or not stale
        seen.add((told, stale))
    assert {(True, True), (False, False)} <= seen


def test_the_first_step_asks_for_rear_wheels_that_were_to_be_set() -> None:
    step = "1. Read the toe of each rear wheel again first, by strings at all four wheels"
    for head, asked in ((LOOSE, True), (HEAD, False)):
        passes = strings(6.0, -6.0), one_pass("tape", 0.01, NOT_TURNED)
        solution = solved(head, *passes)
        text = render_text(make_view(solution, correct(solution)), 100)
        assert (step in text) == asked


def test_a_solid_axle_is_set_by_nobody() -> None:
    """Whatever the job says of its adjusters: it stays as it was read."""
    solid = LOOSE.replace(
        "rear_toe_adjustable = true", 'rear_axle = "solid", rear_toe_adjustable = true'
    )
    solution = solved(solid, strings(6.0, -6.0), one_pass("tape", 0.01, NOT_TURNED))
    assert solution.job.car.rear_toe_adjustable
    assert not standing(solution)["thrust_angle"].stale
    assert correct(solution)[0].rear == ()
