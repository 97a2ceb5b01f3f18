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
from toebox.correct.results import Remainder
from toebox.correct.stopping import SURER, check_within, stopped, turns_surer
from toebox.job import loads
from toebox.solve import solve

DEGREE = math.radians(1.0)
BARE = RODS.replace("arm_length = 130\n", "")
GOAL = "[goal]\nfront_total_toe = { angle = 0.12, tolerance = 0.1 }\n"
ASKEW = "[[pass]]\n" + strings(-2.0, 3.0)
COARSE = CAR.replace("resolution = 0.25, repeatability = 0.1", "resolution = 2, repeatability = 1")
COARSE = COARSE.replace("tape = { resolution = 0.5", "tape = { resolution = 4")
FINE_TAPE = COARSE.replace("tape = { resolution = 4", "tape = { resolution = 0.5")


def tapes(by: float) -> str:
    """The tape read six times: what stands now is known far better than one reading tells."""
    edges = f"front_edge = {[1450] * 6}\nrear_edge = {[1450 + by] * 6}\nacross = 600\n"
    return f"[pass.tape.front]\n{edges}"


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


def test_what_remains_is_by_the_reading_that_the_step_tells() -> None:
    """Stop by the string, though a fine tape would tell better: that is what is done."""
    parts = GOAL, BARE, ASKEW
    (_, solved, alone), (job, both, with_tape) = (
        rods_of(FINE_TAPE, *parts), rods_of(FINE_TAPE, *parts, tape(0.7))
    )  # fmt: skip
    assert stopped(job, both, with_tape.rods) == stopped(job, solved, alone.rods)
    text = told(FINE_TAPE, *parts, tape(0.7))
    assert "Stop when the rim's" in text
    edge = math.hypot(2.0 / math.sqrt(12.0), 1.0) / 400.0
    assert with_tape.remains.u_total_toe > 2.0 * edge


def test_a_check_is_as_wide_as_turns_and_readings_leave_it() -> None:
    """Two edges of the rule and the toe that the turns make, 95 %, and what they are rounded by."""
    job, solved, told_ = rods_of(COARSE, GOAL, RODS, "[[pass]]\n", strings(-8.0, 12.0))
    for rod in told_.rods:
        edge = math.hypot(2.0 / math.sqrt(12.0), 1.0) * 1e-3
        made = math.hypot(rod.u, rod.turns * rod.effect.u)
        within = 2.0 * math.hypot(edge * math.sqrt(2.0), 0.4 * made)
        within += 0.4 * abs(math.asin(rod.turns * 1.5 / 130.0) - rod.toe_change)
        assert check_within(job, solved, rod) == pytest.approx(within)
    told_ = rods_of(COARSE, GOAL, RODS, "[[pass]]\n", tapes(9.0))
    assert told_[2].turns_surer
    assert check_within(told_[0], told_[1], told_[2].rods[0]) > 2.0 * 0.0016
    text = told(COARSE, GOAL, RODS, "[[pass]]\n", tapes(9.0))
    assert "As a rough check, with both rods right, the tape reads" in text
    assert "A check on the tape that differs by less than" in text


def test_a_tape_shows_the_second_wheel_less_the_first() -> None:
    """Left = t1, left + right = t2: the sum has u(t), half the difference (2 t1 - t2) / 2."""
    job, solved, told_ = rods_of(CAR, GOAL, BARE, "[[pass]]\nsteering_wheel_off = 0\n" + tape(6.0))
    u = math.hypot(0.5 / math.sqrt(12.0), 0.1) * math.sqrt(2.0) / 600.0
    found = stopped(job, solved, told_.rods)
    assert found.total == pytest.approx(u)
    assert found.half == pytest.approx(u * math.sqrt(5.0) / 2.0)


@pytest.mark.parametrize("wheel", [True, False])
def test_both_goals_over_their_tolerances_say_which_is_surer(wheel: bool) -> None:
    """Mean squares by hand: total toe over 0.1 degrees, the steering wheel over 4, 16 to 1.

    Whoever counts sixths of a turn is off by a twelfth at the most, a rectangle (GUM 4.3.7).
    """
    goals = GOAL + "steering_wheel = { angle = 0, tolerance = 4 }\n"
    job, solved, told_ = rods_of(COARSE, goals, RODS, "[[pass]]\n", strings(-8.0, 12.0))
    read = stopped(job, solved, told_.rods)
    counted = 1.5 / 130.0 / 12.0 / math.sqrt(3.0) * math.sqrt(2.0)
    reading = (read.total / (0.1 * DEGREE)) ** 2
    if wheel:
        reading += (16.0 * read.half / (4.0 * DEGREE)) ** 2
    for factor, surer in ((0.99, True), (1.01, False)):
        share = reading * factor / SURER / (2.0 if wheel else 1.0)
        square = share * (0.1 * DEGREE) ** 2 - counted**2
        left = Remainder(0.6 * math.sqrt(square), None, 0.8 * math.sqrt(square))
        if wheel:
            square = share * (4.0 * DEGREE) ** 2 - (16.0 * counted / 2.0) ** 2
            half = math.sqrt(square / 2.0)
            left = left._replace(steering_wheel=-half, u_steering_wheel=half)
        assert turns_surer(job, solved, told_.rods, left) is surer
        held = [told_.rods[0]._replace(limited=True), told_.rods[1]]
        assert not turns_surer(job, solved, held, left)


def test_what_rods_leave_that_stop_at_a_reading_is_held_by_its_interval() -> None:
    """Simulated cars without an arm length: each edge is read once more, with the rule's noise."""
    off: dict[str, list[float]] = {"total": [], "wheel": []}
    for seed in range(examples(60, 400)):
        rng = np.random.default_rng(seed)
        car = SimulatedCar.random(rng)
        job = Garage(car, rng, dict.fromkeys(SIDES, ARM)).job()._replace(tie_rods={})
        found = correct(solve(job))[-1]
        if not all(rod.by_reading for rod in found.rods):
            continue
        rim = job.car.rim_diameter["front"]
        toes = []
        for rod, sign in zip(found.rods, (1.0, -1.0), strict=True):
            misread = rng.normal(0.0, job.instruments.string_rule.u * math.sqrt(2.0))
            read = rod.stop_at_string + misread
            toes.append(math.asin(read / rim) - car.taper + sign * car.yaw)
        left = found.remains
        goal = GOALS["total_toe.front"].value
        off["total"].append((sum(toes) - goal - left.total_toe) / left.u_total_toe)
        half = (toes[0] - toes[1]) / 2.0
        wheel = job.car.steering_ratio * (car.truth()["thrust_angle"] - half)
        off["wheel"].append((wheel - left.steering_wheel) / left.u_steering_wheel)
    for found in off.values():
        assert len(found) > 20
        assert np.mean(np.abs(found) < 2.0) > 0.9
        assert 0.6 < np.sqrt(np.mean(np.square(found))) < 1.15


@pytest.mark.parametrize(
    ("car", "surer"), [(CAR, False), (COARSE, True), (FINE_TAPE, False)]
)
def test_turns_that_are_surer_than_a_reading_decide(car: str, surer: bool) -> None:
    """A rule read to 2 mm tells one wheel to 0.25 degrees; 15 % of an arm are 0.06 at most."""
    parts = car, GOAL, RODS, "[[pass]]\n", tapes(9.0)
    assert data(*parts)["turning"]["turns_surer"] is surer
    text = told(*parts)
    assert ("As a rough check, with both rods right, the tape reads" in text) == surer
    assert ("Go by the turns: one reading at the stop tells less surely" in text) == surer
    assert ("differ, go by the readings" in text) != surer
    bare = data(car, GOAL, BARE, "[[pass]]\n", tapes(9.0))
    assert bare["turning"]["turns_surer"] is False  # no turns are known
