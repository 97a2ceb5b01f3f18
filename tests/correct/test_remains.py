"""What the turns leave, by hand: the sum of both toes, and their difference over the ratio."""

from __future__ import annotations

import math

import numpy as np
import pytest

from toebox.correct.effects import Effect
from toebox.correct.justify import Change
from toebox.correct.remains import done, remains
from toebox.correct.results import RodCorrection
from toebox.job import loads
from toebox.solve import solve

READING = "[[pass]]\ntape.front = { front_edge = 1400, rear_edge = 1410, across = 600 }\n"
SOLVED = solve(loads(f'length_unit = "mm"\n{READING}', "job"))
NONE = np.zeros(1)
LEFT = RodCorrection("left", 0.02, 1e-4, True, 0.02, effect=Effect(0.01, 0.0008), turns=2.0)
RIGHT = RodCorrection("right", -0.01, 1e-4, True, -0.01, effect=Effect(0.01, 0.0005), turns=-1.0)


def left_over(total: Change | None, wheel: Change | None, ratio: float | None = 15.0):
    job = SOLVED.job._replace(car=SOLVED.job.car._replace(steering_ratio=ratio))
    return remains(job, SOLVED.passes[0], (LEFT, RIGHT), (total, wheel))


def test_what_doing_as_told_changes() -> None:
    assert done(LEFT) == pytest.approx(math.asin(0.02))
    assert done(LEFT._replace(turns=0.0)) == 0.0
    # Without turns the wheel is set by its reading, unless it is to be left.
    by_reading = LEFT._replace(turns=None, toe_change=0.03)
    assert done(by_reading) == 0.03
    assert done(by_reading._replace(effect=None)) == 0.03
    assert done(by_reading._replace(justified=False)) == 0.0
    assert done(by_reading._replace(withheld="beyond")) == 0.0


def test_what_is_left_of_both_goals() -> None:
    """Wanted: half sum 6 mrad, half difference 14 mrad; made: 20 and -10 mrad by turns."""
    total = Change("total_toe.front", 0.006, NONE, carried=0.0003)
    wheel = Change("steering_wheel", 0.014, NONE, carried=0.0004)
    found = left_over(total, wheel)
    made = math.asin(0.02), -math.asin(0.01)
    assert found.total_toe == pytest.approx(sum(made) - 0.012)
    assert found.steering_wheel == pytest.approx(-15.0 * ((made[0] - made[1]) / 2 - 0.014))
    by_turning = math.hypot(2 * 0.0008, 1 * 0.0005)
    assert found.u_total_toe == pytest.approx(math.hypot(2 * 0.0003, by_turning))
    assert found.u_steering_wheel == pytest.approx(15.0 * math.hypot(0.0004, by_turning / 2))


def test_what_no_goal_or_no_reading_speaks_of() -> None:
    total = Change("total_toe.front", 0.006, NONE, carried=0.0003)
    wheel = Change("steering_wheel", 0.014, NONE, carried=0.0004)
    by_turning = math.hypot(2 * 0.0008, 1 * 0.0005)
    made = math.asin(0.02) - math.asin(0.01)
    found = left_over(None, wheel)
    assert (found.total_toe, found.u_total_toe) == pytest.approx((made, by_turning))
    for kept in (left_over(total, None), left_over(total, wheel, ratio=None)):
        assert (kept.steering_wheel, kept.u_steering_wheel) == (None, None)
        assert kept.total_toe == pytest.approx(made - 0.012)


def test_turns_of_a_rod_without_an_effect_add_no_doubt() -> None:
    rods = LEFT._replace(effect=None, turns=None), RIGHT._replace(turns=None)
    found = remains(SOLVED.job, SOLVED.passes[0], rods, (None, None))
    assert (found.total_toe, found.u_total_toe) == pytest.approx((0.01, 0.0))
