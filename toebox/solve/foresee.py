"""Before measuring: what the planned readings will prove, and what would help most.

The forecast is a property of the design alone (JCGM 100:2008 (GUM) 5.1.2: uncertainties and
sensitivities, no values). Whether a goal can be proven follows JCGM 106:2012, 8.3: the 95 %
interval must lie within the goal band.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple

from toebox.errors import NoResult
from toebox.job.model import EMPTY, Goal, Job, Pass, numbers_in
from toebox.solve.decide import COVERAGE_FACTOR, probability_between
from toebox.solve.improve import Change, Step, changes, empty
from toebox.solve.plan import Plan
from toebox.solve.results import PassSolution, Result, Solution
from toebox.solve.standing import FRONT, Standing, basic_settings, standing

# What is looked at where the job has no goal with a tolerance.
USUAL = ("total_toe.front", "thrust_angle", "steering_wheel", "total_toe.rear")
NOTICEABLE = 0.02  # an interval that shrinks by less is no help
# Interval over tolerance: below the first more is of no use; above the last all is hopeless.
ENOUGH, HOPELESS = 0.25, 10.0
LIKELY = 0.9  # from this chance on a goal counts as one that can be proven
TOGETHER = 5  # so many changes are tried together at the most


class Prospect(NamedTuple):
    """What can be said of a goal before measuring.

    Parameters
    ----------
    goal : Goal
        The goal, with its tolerance.
    result : Result or None
        The result as it will be known (its value means nothing); None where it will not be.
    chance : float
        Probability that a car exactly on goal will be proven to be within it [-].
    """

    goal: Goal
    result: Result | None
    chance: float

    @property
    def half_width(self) -> float:
        """Half-width of the 95 % interval [rad]; infinite where it will not be measured."""
        return math.inf if self.result is None else COVERAGE_FACTOR * self.result.u


class Help(NamedTuple):
    """One thing that would help, and what would be known then."""

    steps: tuple[Step, ...]
    results: Mapping[str, Result]
    prospects: Mapping[str, Prospect]
    helped: tuple[str, ...]  # names of the watched results whose interval shrinks

    @property
    def enough(self) -> bool:
        """Whether every goal is likely to be proven then; False without goals."""
        return bool(self.prospects) and all(p.chance >= LIKELY for p in self.prospects.values())


class Forecast(NamedTuple):
    """What planned readings will give."""

    job: Job
    solved: PassSolution  # of the nominal readings: uncertainties count, values do not
    prospects: Mapping[str, Prospect]  # by name of the result, goals with a tolerance
    watched: tuple[str, ...]  # what the ranking looks at
    helps: tuple[Help, ...]  # the most helpful first
    together: Help | None  # the best few at once
    # What passes before tell, and the plan does not: valid still, so that nobody needs to ask.
    known: Mapping[str, Standing] = EMPTY


def foresee(job: Job) -> Forecast:
    """Forecast what the readings of a job's last pass will give.

    Parameters
    ----------
    job : Job
        As loaded by ``toebox.job.load(path, plans=True)``; values of readings do not count.

    Returns
    -------
    Forecast
        Expected intervals, chances of proof, and what would help.

    Raises
    ------
    NoResult
        If no reading is planned, or those planned determine nothing.
    """
    planned = [n for n, readings in enumerate(job.passes) if not empty(readings)]
    if not planned:
        raise NoResult(
            f'{job.source}: no reading is planned; write "?" for each that you mean to take, '
            "under [[pass]]"
        )
    number = planned[-1]
    solved = Plan(job, job.passes[number]).solve()
    if not solved.results:
        raise NoResult(f"{job.source}: the planned readings do not give a single result")
    known = _known(job, number, solved)
    asked = {name: goal for name, goal in job.goals.items() if name not in known}
    plan = Plan(job._replace(goals=asked), job.passes[number])
    prospects = _prospects(plan.job, solved.results)
    watched = tuple(prospects) or tuple(n for n in USUAL if n in solved.results)
    helps = _ranked(plan, solved, watched)
    together = _together(plan, solved, watched, helps)
    return Forecast(job, solved, prospects, watched, helps, together, known)


def _known(job: Job, number: int, solved: PassSolution) -> dict[str, Standing]:
    """Return what the passes before the planned one tell, and neither it nor a turn replaces.

    Of the plan only that it reads the front wheels anew counts: its values mean nothing.
    """
    from toebox.solve import solve_pass

    try:
        earlier = [solve_pass(job, _taken(readings)) for readings in job.passes[:number]]
    except NoResult:
        return {}
    anew = {n: r for n, r in solved.results.items() if basic_settings(n).intersection(FRONT)}
    begun = job.passes[number]
    planned = any(map(math.isnan, numbers_in(begun)))
    if planned and not (begun.turned or begun.moved):  # nothing is turned yet
        begun = begun._replace(turns_unknown=frozenset())
    to_come = replace(solved, readings=begun, results=anew)
    stands = standing(Solution(job, (*earlier, to_come)))
    left = {name: stand for name, stand in stands.items() if name not in solved.results}
    return {name: stand for name, stand in left.items() if not stand.stale}


def _taken(readings: Pass) -> Pass:
    """Return a pass; only what was turned before it where some of its readings are planned."""
    if not any(map(math.isnan, numbers_in(readings))):
        return readings
    return readings.unread()


def _prospects(job: Job, results: Mapping[str, Result]) -> dict[str, Prospect]:
    return {
        name: Prospect(goal, results.get(name), chance_of_proof(goal, results.get(name)))
        for name, goal in job.goals.items()
        if goal.tolerance is not None
    }


def chance_of_proof(goal: Goal, result: Result | None) -> float:
    """Return the probability that a car exactly on goal is proven to be within it.

    Parameters
    ----------
    goal : Goal
        With its tolerance.
    result : Result or None
        For its standard uncertainty; None where it will not be measured.

    Returns
    -------
    float
        Probability that the result falls at least its 95 % half-width inside the goal band [-].

    Examples
    --------
    >>> round(chance_of_proof(Goal(0.0, 4.0), Result("total_toe.front", 0.0, 1.0)), 4)
    0.9545
    >>> chance_of_proof(Goal(0.0, 2.0), Result("total_toe.front", 0.0, 1.0))
    0.0
    """
    if result is None or goal.tolerance is None:
        return 0.0
    room = goal.tolerance - COVERAGE_FACTOR * result.u
    return probability_between(0.0, result.u, -room, room) if room > 0.0 else 0.0


def _ranked(plan: Plan, solved: PassSolution, watched: tuple[str, ...]) -> tuple[Help, ...]:
    """Return every change that helps, the most helpful first."""
    found = [_help(plan, solved, (change,), watched) for change in changes()]
    useful = [one for one in found if one is not None and one.helped]
    return tuple(sorted(useful, key=lambda one: _shortfall(one.results, plan.job, watched)))


def _help(
    plan: Plan, before: PassSolution | Help, tried: tuple[Change, ...], watched: tuple[str, ...]
) -> Help | None:
    """Return what changes of the plan, one after the other, would give."""
    steps = []
    for change in tried:
        step = change(plan)
        if step is not None:
            steps.append(step)
            plan = step.plan
    if not steps:
        return None
    results = plan.solve().results
    helped = tuple(name for name in watched if _shrinks(before.results, results, name))
    return Help(tuple(steps), results, _prospects(plan.job, results), helped)


def _shrinks(before: Mapping[str, Result], after: Mapping[str, Result], name: str) -> bool:
    if name not in after:
        return False
    return name not in before or after[name].u < (1.0 - NOTICEABLE) * before[name].u


def _shortfall(results: Mapping[str, Result], job: Job, watched: tuple[str, ...]) -> float:
    """Return how far all watched results are from good enough: a sum of logarithms [-]."""
    total = 0.0
    for name in watched:
        goal = job.goals.get(name)
        tolerance = goal.tolerance if goal is not None and goal.tolerance else None
        if name not in results:
            ratio = HOPELESS
        elif tolerance is None:
            ratio = results[name].u
        else:
            ratio = min(max(COVERAGE_FACTOR * results[name].u / tolerance, ENOUGH), HOPELESS)
        total += math.log(max(ratio, 1e-12))
    return total


def _to_proof(one: Help, job: Job, watched: tuple[str, ...]) -> tuple[float, float]:
    """Return how far all goals are from being likely to be proven, and from good enough."""
    missing = sum(max(LIKELY - prospect.chance, 0.0) for prospect in one.prospects.values())
    return round(missing, 6), _shortfall(one.results, job, watched)


def _together(
    plan: Plan, before: PassSolution, watched: tuple[str, ...], helps: tuple[Help, ...]
) -> Help | None:
    """Return the changes that together prove every goal, or as many as can be.

    After each change the best next one, until all is likely to be proven or nothing helps more.
    """
    left = {one.steps[0].kind for one in helps}
    chosen: tuple[Change, ...] = ()
    best: Help | None = None
    while len(chosen) < TOGETHER and not (best and best.enough):
        tried = [(*chosen, c) for c in changes() if (s := c(plan)) is not None and s.kind in left]
        found = [(_help(plan, best or before, one, watched), one) for one in tried]
        longer = [(h, one) for h, one in found if h and h.helped and len(h.steps) == len(one)]
        if not longer:
            break
        best, chosen = min(longer, key=lambda pair: _to_proof(pair[0], plan.job, watched))
        left.discard(best.steps[-1].kind)
    if best is None or len(chosen) < 2:
        return None
    return _help(plan, before, chosen, watched)


def readings_planned(readings: Pass) -> int:
    """Return how many readings a pass holds, taken or planned.

    Parameters
    ----------
    readings : Pass
        One round of readings.

    Returns
    -------
    int
        Repeats counted one by one [-].
    """
    strings = sum(len(s.front) + len(s.rear) + len(s.hub) for s in readings.string.values())
    tapes = sum(len(t.front_edge) + len(t.rear_edge) for t in readings.tape.values())
    gauges = sum(
        len(g.camber) + len(g.camber_turned) + len(g.caster) + len(g.sweep)
        for g in readings.gauge.values()
    )
    turns = sum(len(turn.inner) + len(turn.outer) for turn in readings.turn.values())
    single = (
        readings.front_bar_width,
        readings.rear_bar_width,
        readings.steering_wheel_off,
        readings.wheelbase_left,
        readings.wheelbase_right,
    )
    return strings + tapes + gauges + turns + len(readings.floor) + sum(map(len, single))
