"""How the front wheels should change: half of the total-toe goal each, relative to the thrust line.

Change of the half sum sets total toe, change of the half difference sets the steering wheel::

    d_left  = (T_goal - T) / 2 + (off - off_goal) / ratio
    d_right = (T_goal - T) / 2 - (off - off_goal) / ratio

which equals wanted minus found with wanted = T_goal/2 +- thrust (common practice, no published
source), whichever readings gave total toe and steering wheel. A steering wheel that is to be moved
on its spline counts as moved already. What the last pass did not measure is carried over from the
passes before it by what was turned since, with the uncertainty that this brings.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from toebox.correct.effects import Known
from toebox.correct.justify import Change
from toebox.estimate import Array
from toebox.job.model import Goal, Job
from toebox.solve.decide import decide
from toebox.solve.results import PassSolution, Result

TOTAL, WHEEL = "total_toe.front", "steering_wheel"


class ThrustAfter(NamedTuple):
    """What the thrust angle is when the front comes to be set.

    Parameters
    ----------
    goal : float or None
        What the rear wheels are set to by their readings, to the right positive [rad]; None where
        they stay, or go only as far as their adjusters reach.
    change : float
        Without such a goal: by how much the adjusters change it [rad].
    u : float
        Standard uncertainty of setting it so [rad].
    beyond : bool
        Whether so much is wanted of a rear wheel that it is bent or misread.
    """

    goal: float | None = None
    change: float = 0.0
    u: float = 0.0
    beyond: bool = False


AS_FOUND = ThrustAfter()


def wanted(
    job: Job, solved: PassSolution, known: Known, after: ThrustAfter, moved: float
) -> tuple[Change | None, Change | None]:
    """Return how half sum and half difference of the front toes should change.

    Parameters
    ----------
    job : Job
        Goals and steering ratio.
    solved : PassSolution
        Results of the last pass.
    known : Known
        What the passes before it tell, after all that was turned.
    after : ThrustAfter
        Where the rear wheels point by then.
    moved : float
        By how much the steering wheel is to be moved on its spline, clockwise [rad].

    Returns
    -------
    total, wheel : Change or None
        For the total toe (no change where it has no goal) and for the steering wheel; None where
        nothing tells. Both None where the last pass says nothing of the front wheels.
    """
    total = _half_sum(job, solved)
    wheel = _half_difference(job, solved, after, moved)
    none = np.zeros(len(solved.network.unknowns))
    if total is None and wheel is not None and known.total is not None and TOTAL in job.goals:
        value, u = known.total
        goal = job.goals[TOTAL]
        within = _is_within(goal, TOTAL, value, u)
        total = Change(TOTAL, (goal.value - value) / 2.0, none, within, carried=u / 2.0)
    elif wheel is None and total is not None and known.difference is not None:
        value, u = known.difference
        if after.goal is None:
            ratio, goal = job.car.steering_ratio or 0.0, job.goals.get(WHEEL, Goal(0.0))
            off, u_off = ratio * (after.change - value), ratio * math.hypot(u, after.u)
            within = not moved and _is_within(goal, WHEEL, off, u_off)
            change = after.change + _offset(job, moved) - value
            wheel = Change(WHEEL, change, none, within, carried=u, before=after.u)
    return total, wheel


def _offset(job: Job, moved: float) -> float:
    """Return half the difference of the toes to the thrust line at which the wheel is right."""
    ratio = job.car.steering_ratio
    return (moved - job.goals.get(WHEEL, Goal(0.0)).value) / ratio if ratio else 0.0


def _half_sum(job: Job, solved: PassSolution) -> Change | None:
    total, goal = solved.get(TOTAL), job.goals.get(TOTAL)
    if total is None:
        return None
    if goal is None:
        return Change(TOTAL, 0.0, np.zeros_like(solved.gradients[TOTAL]))
    gradient, within = -solved.gradients[TOTAL] / 2.0, solved.outcome(TOTAL) == "within"
    return Change(TOTAL, (goal.value - total.value) / 2.0, gradient, within)


def _half_difference(
    job: Job, solved: PassSolution, after: ThrustAfter, moved: float
) -> Change | None:
    """Return the change of ``(t_left - t_right) / 2``."""
    offset = _offset(job, moved)
    if after.goal is not None:
        found = _combined(solved, "toe.left_front", "toe.right_front")
        value = after.goal + offset - (found[0] if found else 0.0)
        return found and Change(WHEEL, value, -found[1], before=after.u)
    within = not moved and stays_met(job, solved, after)
    found = _combined(solved, "toe_to_thrust.left_front", "toe_to_thrust.right_front")
    if found:
        value = after.change + offset - found[0]
        return Change(WHEEL, value, -found[1], within, before=after.u)
    off, ratio = solved.get(WHEEL), job.car.steering_ratio
    if off is None or ratio is None:
        return None
    value, gradient = after.change + off.value / ratio + offset, solved.gradients[WHEEL] / ratio
    return Change(WHEEL, value, gradient, within, before=after.u)


def stays_met(job: Job, solved: PassSolution, after: ThrustAfter) -> bool:
    """Return whether the steering wheel is proven to be within its goal once the rear is set."""
    ratio, goal, off = job.car.steering_ratio, job.goals.get(WHEEL), solved.get(WHEEL)
    if ratio is None or goal is None or off is None:
        return False
    value, u = off.value + ratio * after.change, math.hypot(off.u, ratio * after.u)
    return _is_within(goal, WHEEL, value, u)


def _is_within(goal: Goal, name: str, value: float, u: float) -> bool:
    """Return whether a value is proven to be within its goal."""
    decision = decide(Result(name, value, u), goal)
    return decision is not None and decision.outcome == "within"


def _combined(solved: PassSolution, left: str, right: str) -> tuple[float, Array] | None:
    """Return half the difference of two results and its derivative by the unknowns."""
    if left not in solved.results or right not in solved.results:
        return None
    value = (solved[left].value - solved[right].value) / 2.0
    return value, (solved.gradients[left] - solved.gradients[right]) / 2.0
