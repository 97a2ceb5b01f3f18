"""Job to solution: the only place that joins the job and the mathematics."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from toebox.errors import NoResult
from toebox.estimate import Estimate
from toebox.job.model import Job, Pass, WheelGauge
from toebox.solve.assumed import assumptions
from toebox.solve.decide import decide
from toebox.solve.gauge import beyond_any_car
from toebox.solve.gauge_results import GAUGE_RESULTS, gauge_needs, gauge_results
from toebox.solve.network import Network, network_of
from toebox.solve.quantities import needs, toe_results
from toebox.solve.results import TOE_RESULTS, Decision, PassSolution, Result, Solution
from toebox.solve.single_edges import hardly_tell, without_them
from toebox.solve.slips import doubts
from toebox.solve.unexplained import unexplained
from toebox.solve.wobbling import wobbling

__all__ = ["PassSolution", "Solution", "solve", "solve_pass"]


def solve(job: Job) -> Solution:
    """Solve every pass of a job.

    Parameters
    ----------
    job : Job
        As loaded by `toebox.job.load`.

    Returns
    -------
    Solution
        One `PassSolution` a pass, in order; changes that nothing explains, and rims that
        wobble more than is stated, are doubts of its job.

    Raises
    ------
    NoResult
        If the readings determine nothing at all.
    """
    passes = tuple(solve_pass(job, readings) for readings in job.passes)
    if not any(solved.results for solved in passes):
        raise NoResult(f"{job.source}: the readings do not give a single result; {_advice(job)}")
    seen = (*unexplained(job, passes), *wobbling(job, passes))
    return Solution(job._replace(doubts=(*job.doubts, *seen)), passes)


def _advice(job: Job) -> str:
    if not job.passes:
        return "the job has no [[pass]] with readings"
    readings = job.passes[-1]
    wheel, gauge = max(
        readings.gauge.items(), key=lambda pair: sum(map(len, pair[1])), default=("", WheelGauge())
    )
    if gauge == WheelGauge():
        goal = next(iter(job.goals), "")
        if goal in GAUGE_RESULTS:
            kind, _, where = goal.replace("cross_", "cross-").replace("_", " ").partition(".")
            return f"for example, {where} {kind} {gauge_needs(goal, job, readings)}"
        return f"for example, total toe {needs('total_toe.front', job, readings)}"
    kind = "caster" if gauge.sweep or gauge.caster else "camber"
    need = gauge_needs(f"{kind}.{wheel}", job, readings)
    return f"for example, {wheel.replace('_', ' ')} {kind} {need}"


def solve_pass(job: Job, readings: Pass) -> PassSolution:
    """Solve one pass.

    Parameters
    ----------
    job : Job
        Car, instruments and goals.
    readings : Pass
        One round of readings.

    Returns
    -------
    PassSolution
        Results, decisions, assumptions, doubts, and what was not measured.

    Raises
    ------
    NoResult
        If the readings are so far from any car that no solution is found.
    """
    network, estimate = _fitted(job, readings)
    results, gradients = toe_results(network, estimate, job)
    gauged, gauge_gradients = gauge_results(network, estimate, job, readings)
    results, gradients = results | gauged, gradients | gauge_gradients
    return PassSolution(
        readings=readings,
        results=results,
        not_measured=_not_measured(job, readings, results),
        assumed=assumptions(job, network),
        doubtful=doubts(network, estimate),
        decisions=_decisions(job, results.values()),
        network=network,
        estimate=estimate,
        gradients=gradients,
    )


def _fitted(job: Job, readings: Pass) -> tuple[Network, Estimate]:
    """Fit a pass: without gauge readings that contradict each other beyond any car.

    Nor with rims that were read at one edge, where they hardly tell anything.
    """
    network = network_of(job, readings)
    if hardly_tell(job, readings, network):
        return _fitted(job, without_them(readings))
    try:
        estimate = network.fit()
    except ValueError as error:
        if readings.gauge:
            return _fitted(job, readings._replace(gauge={}))
        raise NoResult(f"{job.source}: pass {readings.label!r}: {error}") from None
    if readings.gauge and beyond_any_car(network, estimate):
        return _fitted(job, readings._replace(gauge={}))
    return network, estimate


def _not_measured(job: Job, readings: Pass, results: Mapping[str, Result]) -> dict[str, str]:
    words = {name: needs(name, job, readings) for name in TOE_RESULTS if name not in results}
    words |= {
        name: gauge_needs(name, job, readings) for name in GAUGE_RESULTS if name not in results
    }
    return {name: text for name, text in words.items() if text}


def _decisions(job: Job, results: Iterable[Result]) -> dict[str, Decision]:
    decisions = {}
    for result in results:
        goal = job.goals.get(result.name)
        decision = decide(result, goal) if goal is not None else None
        if decision is not None:
            decisions[result.name] = decision
    return decisions
