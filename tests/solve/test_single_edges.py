"""Rims read at one edge alone tell no toes of tens of degrees, however little they are unlike.

The cars are rigid bodies with a rim of one size; the rear one is then said to be another size, as a
tape laid across it would show by a slip or two.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.correct.adjusted import GOALS
from tests.simulate import Noise, SimulatedCar
from tests.solve.simulated import job_of, pass_of
from toebox.correct import correct
from toebox.job.model import WHEELS, Job, TieRod
from toebox.solve import PassSolution, solve, solve_pass
from toebox.solve.foresee import foresee
from toebox.units import read_thread

WHAT = ("string", "hub", "bars", "tape", "road_test")
ANGLES = ("toe", "total_toe", "thrust_angle")
THREE = math.radians(3.0)


def job(number: int, larger: float, edge: str = "rear", wheels: tuple[str, ...] = WHEELS) -> Job:
    """Return a job without one edge of some rims, the rear rims larger by so much [1]."""
    rng = np.random.default_rng(number)
    car = SimulatedCar.random(rng)
    readings = pass_of(car.readings(Noise(rng), 1, WHAT))
    strings = {
        wheel: one._replace(hub=(), **({edge: ()} if wheel in wheels else {}))
        for wheel, one in readings.string.items()
    }
    rims = {"front": car.rim_diameter, "rear": car.rim_diameter * (1.0 + larger)}
    found = job_of(car, goals=GOALS)
    readings = readings._replace(string=strings)
    return found._replace(car=found.car._replace(rim_diameter=rims), passes=(readings,))


def angles(solved: PassSolution) -> dict[str, float]:
    return {n: r.value for n, r in solved.results.items() if n.split(".")[0] in ANGLES}


@pytest.mark.parametrize("larger", [1e-6, 1e-4, 1e-3, 0.01, -0.02, 0.05])
@pytest.mark.parametrize("edge", ["front", "rear"])
def test_no_toe_is_told_that_is_hardly_known(larger: float, edge: str) -> None:
    for number in range(12):
        one = job(number, larger, edge)
        solved = solve_pass(one, one.passes[0])
        alike = job(number, 0.0, edge)
        tape = solve_pass(alike, alike.passes[0])["total_toe.front"]
        assert solved["total_toe.front"].value == pytest.approx(tape.value, abs=3.0 * tape.u)
        assert all(abs(value) < 3.0 * THREE for value in angles(solved).values())
        assert all(solved[name].u <= 1.01 * THREE for name in angles(solved))
        assert "thrust_angle" not in solved.results
        assert "string readings" in solved.not_measured["thrust_angle"]


def test_one_such_rim_takes_nothing_from_the_others() -> None:
    """Of three rims both edges were read: what they tell stays, unlike rims or not."""
    for number in range(12):
        one = job(number, 0.02, "rear", ("left_front",))
        solved = solve_pass(one, one.passes[0])
        whole = job(number, 0.02, "rear", ())
        for name in ("toe.left_rear", "toe.right_rear", "thrust_angle"):
            same = solve_pass(whole, whole.passes[0])[name]
            assert solved[name].value == pytest.approx(same.value, abs=4.0 * same.u)


def test_a_forecast_promises_no_such_angle() -> None:
    known = foresee(job(1, 1e-4)).solved.results
    assert all(result.u < THREE for name, result in known.items() if name.split(".")[0] in ANGLES)
    assert "total_toe.front" in known


def test_a_string_tells_where_to_stop_only_at_a_rim_that_was_read_at_both_edges() -> None:
    """What shows where the wheel is to go, shows by one edge where it is by degrees only."""
    rod = TieRod(outer_thread=read_thread("M14x1.5"), arm_length=0.135)
    for wheels in ((), ("left_front",), ("left_front", "right_front")):
        one = job(3, 0.0, "rear", wheels)._replace(tie_rods={"left": rod, "right": rod})
        told = correct(solve(one))[-1]
        for found in told.rods:
            single = f"{found.side}_front" in wheels
            assert (found.stop_at_string is None) == single
            assert found.stop_at_valve is None
        assert told.stop_at_tape is not None
