"""The same readings through scipy, the uncertainties package and Monte Carlo (JCGM 101:2008).

The model here is written with the closed forms of `toebox.geometry`, fitted by scipy; what
`uncertainties` propagates is that fit's own numerical derivative by every reading. The Monte Carlo
draws readings from the distributions that the instruments state: rounding as a rectangle,
repeatability as a normal, run-out as a sine of random phase.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
import uncertainties
from scipy.optimize import least_squares

from tests.effort import examples
from tests.solve.simulated import RNG_KEY, RULE, RUNOUT, TAPE, cars, job_of
from toebox.geometry import box, thrust
from toebox.job import load
from toebox.job.model import AXLES, SIDES, WHEELS, Job, Pass, axle_of, side_of
from toebox.solve import PassSolution, solve_pass

WITHIN = 0.02
MAIN = (
    *(f"toe.{wheel}" for wheel in WHEELS),
    "total_toe.front",
    "total_toe.rear",
    "thrust_angle",
    "steering_wheel",
)
UNKNOWNS = (
    *(f"toe.{w}" for w in WHEELS),
    *(f"{name}.{axle}" for name in ("gap", "shift", "hub", "tape") for axle in AXLES),
    *(f"wobble.{w}" for w in WHEELS),
    "taper",
    "bars",
    "clamped",
)
CLAMPED = "assumed.steering_wheel_straight_within"


@cache
def sample() -> tuple[Job, Pass, PassSolution]:
    """Return the first pass of the sample job, solved."""
    job = load("samples/string-box.toml")
    return job, job.passes[0], solve_pass(job, job.passes[0])


def expected(job: Job, readings: Pass, x: dict[str, float]) -> dict[str, float]:
    """Return every reading that unknowns imply, by its label, from closed forms alone."""
    rim, wheelbase = job.car.rim_diameter, job.car.wheelbase
    yaw = math.asin((x["shift.front"] - x["shift.rear"]) / wheelbase)
    said: dict[str, float] = {}
    for wheel, read in readings.string.items():
        axle, side = axle_of(wheel), side_of(wheel)
        gap, shift = x[f"gap.{axle}"], x[f"shift.{axle}"]
        toe = x[f"toe.{wheel}"]
        if axle == "front":  # clamped to the right of straight, both front wheels point there
            toe += (1 if side == "left" else -1) * x["clamped"] / job.car.steering_ratio
        edges = box.string_readings(toe, yaw, x["taper"], gap, shift, rim[axle], side)
        for end, edge, sign in zip(("front", "rear"), edges, (1, -1), strict=True):
            for number in range(len(getattr(read, end))):
                wobble = sign * (-1) ** number * x[f"wobble.{wheel}"]
                said[f"string.{wheel}.{end}[{number + 1}]"] = edge + wobble
        if read.hub:
            said[f"string.{wheel}.hub"] = sum(edges) / 2 + x[f"hub.{axle}"]
    for axle, tape in readings.tape.items():
        toes = [x[f"toe.{side}_{axle}"] for side in SIDES]
        both = box.tape_readings(*toes, x[f"tape.{axle}"], tape.across)
        for end, value in zip(("front", "rear"), both, strict=True):
            said[f"tape.{axle}.{end}_edge"] = value
    half = readings.bar_spacing * math.tan(x["taper"])
    said["string.front_bar_width"] = x["bars"] + half
    said["string.rear_bar_width"] = x["bars"] - half
    toes = [x[f"toe.{w}"] for w in WHEELS]
    said["steering_wheel_off"] = thrust.steering_wheel_off(
        job.car.steering_ratio, thrust.thrust_angle(toes[2], toes[3]), toes[0], toes[1]
    )
    said[CLAMPED] = x["clamped"]
    return said | {f"assumed.rim_runout.{w}": x[f"wobble.{w}"] for w in WHEELS}


def quantities(x: dict[str, float], ratio: float) -> dict[str, float]:
    """Return the main results from unknowns."""
    toe = {w: x[f"toe.{w}"] for w in WHEELS}
    run = thrust.thrust_angle(toe["left_rear"], toe["right_rear"])
    off = thrust.steering_wheel_off(ratio, run, toe["left_front"], toe["right_front"])
    totals = {f"total_toe.{a}": toe[f"left_{a}"] + toe[f"right_{a}"] for a in AXLES}
    named = {"thrust_angle": run, "steering_wheel": off}
    return {f"toe.{w}": t for w, t in toe.items()} | totals | named


def test_scipy_and_uncertainties_agree_on_values_and_uncertainties() -> None:
    job, readings, solved = sample()
    labels = [o.label for o in solved.network.observations]
    values = np.array([o.value for o in solved.network.observations])
    u = np.array([o.u for o in solved.network.observations])
    start = np.zeros(len(UNKNOWNS))

    def fitted(*y: float) -> np.ndarray:
        def misfit(x: np.ndarray) -> np.ndarray:
            said = expected(job, readings, dict(zip(UNKNOWNS, x, strict=True)))
            return (np.array(y) - [said[label] for label in labels]) / u

        return least_squares(misfit, start, xtol=1e-15, ftol=1e-15, gtol=1e-15).x

    start = fitted(*values)
    best = quantities(dict(zip(UNKNOWNS, start, strict=True)), job.car.steering_ratio)
    for name in MAIN:
        assert solved[name].value == pytest.approx(best[name], abs=1e-9), name

    # The derivative of scipy's fit by each reading, for `uncertainties` to propagate.
    rows = np.array(
        [
            (fitted(*(values + step)) - fitted(*(values - step))) / (2 * u[i])
            for i in range(len(u))
            for step in [np.eye(len(u))[i] * u[i]]
        ]
    )
    read = [uncertainties.ufloat(v, s) for v, s in zip(values, u, strict=True)]
    unknowns = {
        name: start[n] + sum(rows[i, n] * (r - r.n) for i, r in enumerate(read))
        for n, name in enumerate(UNKNOWNS)
    }
    propagated = quantities(unknowns, job.car.steering_ratio)
    for name in MAIN:
        assert solved[name].u == pytest.approx(propagated[name].s, rel=WITHIN), name
        assert solved[name].u == pytest.approx(propagated[name].s, rel=1e-4), name


def drawn(job: Job, exact: Pass, rng: np.random.Generator) -> Pass:
    """Return a pass as the instruments would have read it."""

    def read(value: float, instrument: tuple[float, float]) -> float:
        resolution, repeatability = instrument
        rounding = rng.uniform(-resolution / 2, resolution / 2)
        return value + rounding + rng.normal(0.0, repeatability)

    string = {}
    for wheel, strings in exact.string.items():
        wobble = RUNOUT / 2 * math.cos(rng.uniform(0.0, 2.0 * math.pi))
        edges = {
            end: tuple(
                read(value + sign * (-1) ** n * wobble, RULE)
                for n, value in enumerate(getattr(strings, end))
            )
            for end, sign in (("front", 1), ("rear", -1))
        }
        string[wheel] = strings._replace(
            **edges, hub=tuple(read(value, RULE) for value in strings.hub)
        )
    tape = {
        axle: t._replace(
            front_edge=tuple(read(v, TAPE) for v in t.front_edge),
            rear_edge=tuple(read(v, TAPE) for v in t.rear_edge),
        )
        for axle, t in exact.tape.items()
    }
    return exact._replace(
        string=string,
        tape=tape,
        front_bar_width=tuple(read(v, TAPE) for v in exact.front_bar_width),
        rear_bar_width=tuple(read(v, TAPE) for v in exact.rear_bar_width),
        steering_wheel_off=tuple(
            v + rng.normal(0.0, job.instruments.road_test.u) for v in exact.steering_wheel_off
        ),
    )


@pytest.mark.no_cover
@pytest.mark.parametrize("repeats", [1, 2], ids=["one position", "valve up and down"])
def test_monte_carlo_agrees_on_uncertainties(repeats: int) -> None:
    """JCGM 101:2008, 7: the scatter of the results of many drawn sets of readings."""
    rng = np.random.default_rng(RNG_KEY)
    job = job_of(cars(1)[0], repeats=repeats)
    exact = job.passes[0]
    draws = examples(usual=6000, thorough=100_000)
    found = np.array(
        [
            [solved[name].value for name in MAIN]
            for solved in (solve_pass(job, drawn(job, exact, rng)) for _ in range(draws))
        ]
    )
    solved = solve_pass(job, exact)
    for name, scatter in zip(MAIN, found.std(axis=0, ddof=1), strict=True):
        assert scatter == pytest.approx(solved[name].u, rel=WITHIN), name
