"""Rods that are turned till rule or tape read as told: how surely that sets the wheels."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.correct.adjusted import ARM, GOALS, Garage
from tests.effort import examples
from tests.report.test_told import CAR, RODS, data, strings, tape, told
from tests.simulate import SIDES, SimulatedCar
from toebox.correct import correct
from toebox.correct.stopping import stopped
from toebox.job import loads
from toebox.solve import solve

DEGREE = math.radians(1.0)
BARE = RODS.replace("arm_length = 130\n", "")
GOAL = "[goal]\nfront_total_toe = { angle = 0.12, tolerance = 0.1 }\n"
ASKEW = "[[pass]]\n" + strings(-2.0, 3.0)
COARSE = CAR.replace("resolution = 0.25, repeatability = 0.1", "resolution = 2, repeatability = 1")


def rods_of(*parts: str):
    solution = solve(loads("".join(parts), "invented"))
    return solution.job, solution.passes[0], correct(solution)[-1]


def test_two_edges_tell_one_wheel_and_two_wheels_their_sum() -> None:
    """GUM 5.1.2 by hand: u of an edge 0.123 mm (0.25 mm read, repeating within 0.1), rim 400 mm."""
    job, solved, told_ = rods_of(CAR, GOAL, BARE, ASKEW)
    edge = math.hypot(0.25 / math.sqrt(12.0), 0.1)
    wheel = edge * math.sqrt(2.0) / 400.0
    found = stopped(job, solved, told_.rods)
    assert found.total == pytest.approx(wheel * math.sqrt(2.0))
    assert found.half == pytest.approx(wheel / math.sqrt(2.0))
    alone = stopped(job, solved, told_.rods[:1])
    assert (alone.total, alone.half) == (pytest.approx(wheel), pytest.approx(wheel / 2.0))
    assert stopped(job, solved, ()) == (0.0, 0.0)


def test_a_tape_shows_the_second_wheel_less_the_first() -> None:
    """Left = t1, left + right = t2: the sum has u(t), half the difference (2 t1 - t2) / 2."""
    job, solved, told_ = rods_of(CAR, GOAL, BARE, "[[pass]]\nsteering_wheel_off = 0\n" + tape(6.0))
    u = math.hypot(0.5 / math.sqrt(12.0), 0.1) * math.sqrt(2.0) / 600.0
    found = stopped(job, solved, told_.rods)
    assert found.total == pytest.approx(u)
    assert found.half == pytest.approx(u * math.sqrt(5.0) / 2.0)


def test_what_rods_leave_that_stop_at_a_reading_is_held_by_its_interval() -> None:
    """Simulated cars without an arm length: each edge is read once more, with the rule's noise."""
    off = []
    for seed in range(examples(60, 400)):
        rng = np.random.default_rng(seed)
        car = SimulatedCar.random(rng)
        job = Garage(car, rng, dict.fromkeys(SIDES, ARM)).job()._replace(tie_rods={})
        found = correct(solve(job))[-1]
        if not all(rod.by_reading for rod in found.rods):
            continue
        rim = job.car.rim_diameter["front"]
        total = 0.0
        for rod, sign in zip(found.rods, (1.0, -1.0), strict=True):
            misread = rng.normal(0.0, job.instruments.string_rule.u * math.sqrt(2.0))
            read = rod.stop_at_string + misread
            total += math.asin(read / rim) - car.taper + sign * car.yaw
        left = found.remains
        goal = GOALS["total_toe.front"].value
        off.append((total - goal - left.total_toe) / left.u_total_toe)
    assert len(off) > 20
    assert np.mean(np.abs(off) < 2.0) > 0.9
    assert 0.6 < np.sqrt(np.mean(np.square(off))) < 1.15


@pytest.mark.parametrize(("car", "surer"), [(CAR, False), (COARSE, True)])
def test_turns_that_are_surer_than_a_reading_decide(car: str, surer: bool) -> None:
    """A rule read to 2 mm tells one wheel to 0.25 degrees; 15 % of an arm are 0.06 at most."""
    parts = car, GOAL, RODS, "[[pass]]\n", strings(-2.0, 3.0), tape(0.7)
    assert data(*parts)["turning"]["turns_surer"] is surer
    text = told(*parts)
    assert ("As a rough check, the rim's" in text) == surer
    assert ("Go by the turns: one reading of this rule or tape tells less surely" in text) == surer
    assert ("differ, go by the readings" in text) != surer
    bare = data(car, GOAL, BARE, "[[pass]]\n", strings(-2.0, 3.0), tape(0.7))
    assert bare["turning"]["turns_surer"] is False  # no turns are known
