"""What would settle a goal that is not proven: how good an uncertainty, and what would give it."""

from __future__ import annotations

import math
from typing import NamedTuple

from toebox.job.model import Goal, Job
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.foresee import NOTICEABLE
from toebox.solve.gauge_results import GAUGE_RESULTS, gauge_results
from toebox.solve.improve import Step, changes
from toebox.solve.network import network_of
from toebox.solve.plan import Plan, nominal
from toebox.solve.quantities import toe_results
from toebox.solve.results import PassSolution, Result

MOST_ROUNDS = 9  # more whole rounds than this nobody measures
# Steps that help camber and caster alone, and are all that does.
GAUGE = ("inclinometer", "turn_plates", "gauge", "gauge_again", "floor")
ROUND = "whole_round_again"  # counted in `Margin.rounds`
NAMED = 3  # so many single steps are named


class Margin(NamedTuple):
    """How far a value lies from the nearer limit of its goal, and what that asks for.

    Parameters
    ----------
    inside : bool
        Whether the value lies inside the goal band.
    margin : float
        From the value to the nearer limit, 0 or more [rad].
    u_needed : float
        Largest standard uncertainty with which this value would be proven [rad].
    rounds : int or None
        How many whole rounds like this one, averaged, have that uncertainty; None where it
        would take more than nine, or where assumptions, which rounds do not average, are too much.
    """

    inside: bool
    margin: float
    u_needed: float
    rounds: int | None


class Settling(NamedTuple):
    """What would settle a goal if the value stayed as it is.

    Parameters
    ----------
    margin : Margin
        What is needed.
    steps : tuple of (Step, float)
        Single steps that suffice, three at most, the one that gives the smallest standard
        uncertainty first, with that uncertainty [rad]; where none does, the one that comes
        nearest; empty where none helps noticeably.
    enough : bool
        Whether those steps suffice.
    """

    margin: Margin
    steps: tuple[tuple[Step, float], ...]
    enough: bool


def margin_of(result: Result, goal: Goal, u_assumed: float = 0.0) -> Margin:
    """Return what a decision on a result asks for.

    Parameters
    ----------
    result : Result
        Value and standard uncertainty.
    goal : Goal
        Wanted value and tolerance.
    u_assumed : float, optional
        What assumptions contribute to the uncertainty: it stays, however often one measures [rad].

    Returns
    -------
    Margin
        By the guard bands of JCGM 106:2012, 8.3: a value is proven where its distance from the
        limit is at least the expanded uncertainty (k = 2).

    Raises
    ------
    ValueError
        If the goal has no tolerance.

    Examples
    --------
    >>> margin_of(Result("thrust_angle", 1.0, 1.0), Goal(0.0, 2.0))
    Margin(inside=True, margin=1.0, u_needed=0.5, rounds=4)
    """
    if goal.tolerance is None:
        raise ValueError("the goal has no tolerance")
    inward = goal.tolerance - abs(result.value - goal.value)
    margin = abs(inward)
    needed = margin / COVERAGE_FACTOR
    room = needed**2 - u_assumed**2
    rounds = (result.u**2 - u_assumed**2) / room if room > 0.0 else math.inf
    whole = math.ceil(rounds - 1e-9) if rounds <= MOST_ROUNDS else None
    return Margin(inward >= 0.0, margin, needed, whole)


def settle(job: Job, solved: PassSolution, name: str) -> Settling:
    """Find what would settle a goal that is not proven.

    Parameters
    ----------
    job : Job
        Car, instruments and goals.
    solved : PassSolution
        Results of a pass.
    name : str
        Name of a result with a goal that has a tolerance.

    Returns
    -------
    Settling
        Every single step of `toebox.solve.improve` is tried on the readings of the pass.
    """
    margin = margin_of(solved[name], job.goals[name], solved.u_assumed(name))
    plan = Plan(job, solved.readings)
    tried: list[tuple[Step, float]] = []
    for change in changes():
        step = change(plan)
        if step is None or step.kind == ROUND or (step.kind in GAUGE) != (name in GAUGE_RESULTS):
            continue
        u = _u(step.plan, name)
        if u < (1.0 - NOTICEABLE) * solved[name].u:
            tried.append((step, u))
    tried.sort(key=lambda pair: pair[1])
    enough = tuple(pair for pair in tried if pair[1] <= margin.u_needed)
    return Settling(margin, enough[:NAMED] or tuple(tried[:1]), bool(enough))


def _u(plan: Plan, name: str) -> float:
    """Return the standard uncertainty that a plan gives a result; infinite where it gives none."""
    readings = nominal(plan.job, plan.readings)
    network = network_of(plan.job, readings)
    estimate = network.fit()
    if name in GAUGE_RESULTS:
        results = gauge_results(network, estimate, plan.job, readings)[0]
    else:
        results = toe_results(network, estimate, plan.job)[0]
    return results[name].u if name in results else math.inf
