"""Camber, caster, inclination, their differences from side to side, and toe-out on turns."""

from __future__ import annotations

from toebox.estimate import Array, Estimate
from toebox.geometry.sweep import count_distinct
from toebox.job.model import AXLES, SIDES, WHEELS, Job, Pass
from toebox.solve.gauge import sweep_alone, sweep_tells_sai
from toebox.solve.network import Network
from toebox.solve.parts import parts_of
from toebox.solve.quantities import sums
from toebox.solve.results import FRONT_WHEELS, Result

GAUGE_RESULTS = (
    *(f"camber.{wheel}" for wheel in WHEELS),
    *(f"cross_camber.{axle}" for axle in AXLES),
    *(f"caster.{wheel}" for wheel in FRONT_WHEELS),
    "cross_caster.front",
    *(f"steering_axis_inclination.{wheel}" for wheel in FRONT_WHEELS),
    *(f"toe_out_on_turn.{side}" for side in SIDES),
)
# Toe-out on turns is not asked for: it is told as not measured only where somebody began to.
_NEEDS = {
    "camber": "needs inclinometer readings (camber) at that wheel",
    "cross_camber": "needs inclinometer readings (camber) at both wheels of the axle",
    "caster": "needs a sweep of that wheel with at least two stops, or a gauge that shows caster",
    "cross_caster": "needs caster on both sides",
    "steering_axis_inclination": (
        "needs a sweep of that wheel with at least three stops far apart, one near straight ahead"
    ),
}


def gauge_results(
    network: Network, estimate: Estimate, job: Job, readings: Pass
) -> tuple[dict[str, Result], dict[str, Array]]:
    """Return what inclinometer and turn plates determine.

    Parameters
    ----------
    network : Network
        Observations and unknowns of a pass.
    estimate : Estimate
        Their fit.
    job : Job
        Car and instruments.
    readings : Pass
        What was read.

    Returns
    -------
    results : dict of str to Result
        By name, in the order of `GAUGE_RESULTS`.
    gradients : dict of str to ndarray
        Derivative of each by the unknowns, for correlations between them.
    """
    factors = {
        name: parts
        for name, parts in _FACTORS.items()
        if not name.startswith("steering_axis") or _tells_sai(name, job, readings)
    }
    found = sums(network, estimate, factors)
    results = {name: Result(name, value, u) for name, (value, u, _) in found.items()}
    return results, {name: gradient for name, (_, _, gradient) in found.items()}


def _factors(name: str) -> dict[str, float]:
    """Return a result as factors of named unknowns."""
    kind, _, where = name.partition(".")
    if kind == "toe_out_on_turn":
        return {f"turn.{where}.inner": 1.0, f"turn.{where}.outer": -1.0}
    return parts_of(name)


_FACTORS = {name: _factors(name) for name in GAUGE_RESULTS}


def _tells_sai(name: str, job: Job, readings: Pass) -> bool:
    """Say whether three stops of a sweep, and not the car's data alone, tell an inclination."""
    gauge = readings.gauge.get(name.partition(".")[2])
    if gauge is None or count_distinct([stop.steer for stop in gauge.sweep]) < 3:
        return False
    return sweep_tells_sai(job, gauge.sweep)


def gauge_needs(name: str, job: Job, readings: Pass) -> str:
    """Say which readings would give a result of this module.

    Parameters
    ----------
    name : str
        Name of the result.
    job : Job
        Car and instruments.
    readings : Pass
        What was read.

    Returns
    -------
    str
        Words that complete "not measured: "; empty where nobody would expect it.
    """
    kind, _, wheel = name.partition(".")
    if gauge := readings.gauge.get(wheel):
        distinct = count_distinct([stop.steer for stop in gauge.sweep])
        swept = distinct > 1 and kind in {"caster", "steering_axis_inclination"}
        if swept and sweep_alone(job, wheel, gauge.sweep) is None:
            return "needs its sweep read again: no steering axis of a car has such cambers"
        camber, caster = gauge.camber or gauge.camber_turned, gauge.caster or distinct > 1
        if {"camber": camber, "caster": caster}.get(kind):
            return "needs its readings taken again: they contradict each other beyond any car"
    return _NEEDS.get(kind, "")
