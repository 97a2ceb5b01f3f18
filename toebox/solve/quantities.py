"""The quantities that follow from the unknowns of a network, and what each would need."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from toebox.estimate import Array, Estimate
from toebox.job.model import AXLES, SIDES, WHEELS, Job, Pass, axle_of
from toebox.solve.equations import Terms
from toebox.solve.network import Network, steering_wheel_terms
from toebox.solve.results import FRONT_WHEELS, TOE_RESULTS, Result

Quantity = Callable[[Network, Job], Terms | None]


def toe_results(
    network: Network, estimate: Estimate, job: Job
) -> tuple[dict[str, Result], dict[str, Array]]:
    """Return every quantity that the readings determine.

    Parameters
    ----------
    network : Network
        Observations and unknowns of a pass.
    estimate : Estimate
        Their fit.
    job : Job
        Car and goals.

    Returns
    -------
    results : dict of str to Result
        By name, in the order of `TOE_RESULTS`.
    gradients : dict of str to ndarray
        Derivative of each by the unknowns, for correlations between them.
    """
    results: dict[str, Result] = {}
    gradients: dict[str, Array] = {}
    for name in TOE_RESULTS:
        terms = _terms(name, network, job)
        if terms is None:
            continue
        gradient = np.zeros(len(network.unknowns))
        for index, factor in terms:
            gradient[index] += factor
        if not estimate.determined(gradient):
            continue
        value, slope = float(gradient @ estimate.x), 1.0
        if name == "box.yaw":  # the terms give its sine
            slope = 1.0 / math.sqrt(1.0 - value * value)
            value = math.asin(value)
        gradients[name] = gradient * slope
        u = estimate.standard_uncertainty(gradients[name])
        results[name] = Result(name, value, u, toe_across(name, job))
    return results, gradients


def _terms(name: str, network: Network, job: Job) -> Terms | None:
    """Return a quantity as a sum of unknowns, None where an unknown does not occur."""
    ratio = job.car.steering_ratio
    if name == "steering_wheel":
        known = ratio is not None and all(f"toe.{w}" in network.unknowns for w in WHEELS)
        return steering_wheel_terms(network, ratio) if known and ratio is not None else None
    factors = _factors(name, job)
    if not all(key in network.unknowns for key in factors):
        return None
    return tuple((network.unknowns[key], factor) for key, factor in factors.items())


def _factors(name: str, job: Job) -> dict[str, float]:
    """Return a linear quantity as factors of named unknowns."""
    kind, _, where = name.partition(".")
    thrust = {"toe.left_rear": 0.5, "toe.right_rear": -0.5}
    if kind == "toe":
        return {name: 1.0}
    if kind == "total_toe":
        return {f"toe.{side}_{where}": 1.0 for side in SIDES}
    if kind == "thrust_angle":
        return thrust
    if kind == "toe_to_thrust":
        sign = -1.0 if where == "left_front" else 1.0
        return {f"toe.{where}": 1.0} | {key: sign * factor for key, factor in thrust.items()}
    if name == "box.yaw":
        wheelbase = job.car.wheelbase or 1.0
        return {"shift.front": 1.0 / wheelbase, "shift.rear": -1.0 / wheelbase}
    if name == "box.taper":
        return {"taper": 1.0}
    return {"wheelbase.left": 1.0, "wheelbase.right": -1.0}  # setback


def toe_across(name: str, job: Job) -> float | None:
    """Return the diameter across which a toe result is also given as a distance.

    Parameters
    ----------
    name : str
        Name of the result.
    job : Job
        Goals and car.

    Returns
    -------
    float or None
        The diameter named by the axle's goal, else the tyre's, else the rim's [m].
    """
    kind, _, where = name.partition(".")
    if kind not in {"toe", "total_toe", "toe_to_thrust"}:
        return None
    axle = where if where in AXLES else axle_of(where)
    goal = job.goals.get(f"total_toe.{axle}")
    if goal is not None and goal.across is not None:
        return goal.across
    return job.car.tyre_diameter.get(axle) or job.car.rim_diameter.get(axle)


def needs(name: str, job: Job, readings: Pass) -> str:
    """Say which readings would give a result that was not measured.

    Parameters
    ----------
    name : str
        Name of the result.
    job : Job
        The car, for what is missing there.
    readings : Pass
        What was read.

    Returns
    -------
    str
        Words that complete "not measured: ".
    """
    kind, _, where = name.partition(".")
    if kind == "setback":
        return "needs wheelbase_left and wheelbase_right"
    if name == "box.taper":
        return "needs string readings, best with front_bar_width, rear_bar_width and bar_spacing"
    wheels = _wheels_needed(kind, where)
    missing = [w for w in wheels if not _has_edges(readings, w)]
    text = f"needs string readings, front and rear edge of the rim, at {_and(missing)}"
    if kind == "total_toe":
        return f"needs tape.{where} readings (front_edge, rear_edge), or {text[6:]}"
    if kind in {"steering_wheel", "toe_to_thrust"}:
        road = "the road test (steering_wheel_off)"
        if kind == "toe_to_thrust":
            road += " with tape.front readings"
        text = f"needs {road}, or {text[6:]}"
        if job.car.steering_ratio is None:
            text += "; and car.steering_ratio for what concerns the steering wheel"
    return text


def _wheels_needed(kind: str, where: str) -> tuple[str, ...]:
    if kind == "toe":
        return tuple(f"{side}_{axle_of(where)}" for side in SIDES)
    if kind == "total_toe":
        return tuple(f"{side}_{where}" for side in SIDES)
    if kind == "thrust_angle":
        return ("left_rear", "right_rear")
    if kind == "toe_to_thrust":
        return (*FRONT_WHEELS, "left_rear", "right_rear")
    return WHEELS


def _has_edges(readings: Pass, wheel: str) -> bool:
    strings = readings.string.get(wheel)
    return strings is not None and bool(strings.front) and bool(strings.rear)


def _and(wheels: list[str]) -> str:
    words = [wheel.replace("_", " ") for wheel in wheels]
    if not words:
        return "all four wheels"
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
