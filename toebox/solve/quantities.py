"""The quantities that follow from the unknowns of a network, and what each would need."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from toebox.estimate import Array, Estimate
from toebox.job.model import AXLES, SIDES, WHEELS, Job, Pass, axle_of
from toebox.solve.network import Network
from toebox.solve.parts import parts_of
from toebox.solve.results import FRONT_WHEELS, TOE_RESULTS, Result

Factors = Mapping[str, float]
# What is assumed of the box where it is not measured: told back it would look like a result.
OF_THE_BOX = {"box.yaw": "box_square_within", "box.taper": "strings_parallel_within"}


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
    factors = {name: _factors(name, job) for name in TOE_RESULTS}
    assumed = {one.assumed for one in network.observations if one.assumed}
    results: dict[str, Result] = {}
    gradients: dict[str, Array] = {}
    for name, (value, u, gradient) in sums(network, estimate, factors).items():
        assumption = OF_THE_BOX.get(name)
        if assumption in assumed and not network.told_without(assumption, gradient):
            continue
        slope = 1.0
        if name == "box.yaw":  # the factors give its sine
            slope = 1.0 / math.sqrt(1.0 - value * value)
            value = math.asin(value)
        results[name] = Result(name, value, u * slope, toe_across(name, job))
        gradients[name] = gradient * slope
    return results, gradients


def sums(
    network: Network, estimate: Estimate, factors: Mapping[str, Factors]
) -> dict[str, tuple[float, float, Array]]:
    """Return sums of unknowns, as far as the readings determine them.

    Parameters
    ----------
    network : Network
        Observations and unknowns of a pass.
    estimate : Estimate
        Their fit.
    factors : mapping of str to mapping of str to float
        Factor of each unknown, by name of the sum; a sum without any is left out [-].

    Returns
    -------
    dict of str to tuple
        Value, standard uncertainty, and gradient by the unknowns, shape (n,) [rad] or [m].
    """
    unknowns = network.unknowns
    names = [name for name, parts in factors.items() if parts and unknowns.keys() >= parts.keys()]
    gradients = np.zeros((len(names), len(unknowns)))
    for gradient, name in zip(gradients, names, strict=True):
        for key, factor in factors[name].items():
            gradient[unknowns[key]] = factor
    values: list[float] = (gradients @ estimate.x).tolist()
    parts = estimate.contributions(gradients)
    us: list[float] = np.sqrt(np.einsum("ij,ij->i", parts, parts)).tolist()
    rows = zip(names, values, us, gradients, strict=True)
    return {name: (v, u, row) for name, v, u, row in rows if estimate.determined(row)}


def _factors(name: str, job: Job) -> Factors:
    """Return a linear quantity as factors of named unknowns; none where the car lacks a figure."""
    if name == "steering_wheel":
        ratio = job.car.steering_ratio
        return {toe: ratio * part for toe, part in parts_of(name).items()} if ratio else {}
    if name == "box.yaw":
        wheelbase = job.car.wheelbase or 1.0
        return {"shift.front": 1.0 / wheelbase, "shift.rear": -1.0 / wheelbase}
    if name == "box.taper":
        return {"taper": 1.0}
    if name == "setback":
        return {"wheelbase.left": 1.0, "wheelbase.right": -1.0}
    return parts_of(name)


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
        widths = "the widths between the strings (front_bar_width, rear_bar_width, bar_spacing)"
        return f"needs {widths}, or string and tape readings of the same axle"
    wheels = _wheels_needed(kind, where)
    missing = [w for w in wheels if not readings.both_edges(w)]
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


def _and(wheels: list[str]) -> str:
    words = [wheel.replace("_", " ") for wheel in wheels]
    if not words:
        return "all four wheels"
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
