"""What the turns are expected to leave of total toe and steering wheel."""

from __future__ import annotations

import math

from toebox.correct.justify import Change
from toebox.correct.results import Remainder, RodCorrection
from toebox.correct.rods import toe_from_turns
from toebox.correct.stopping import stopped
from toebox.correct.wanted import TOTAL
from toebox.job.model import Job
from toebox.solve.results import PassSolution


def done(rod: RodCorrection) -> float:
    """Return the change of toe that doing as told makes at one wheel.

    Parameters
    ----------
    rod : RodCorrection
        What is told.

    Returns
    -------
    float
        Towards toe-in positive [rad].
    """
    if rod.turns is not None and rod.effect is not None:
        return toe_from_turns(rod.effect.per_turn, rod.turns)
    return rod.toe_change if rod.to_set else 0.0


def remains(
    job: Job,
    solved: PassSolution,
    rods: tuple[RodCorrection, ...],
    changes: tuple[Change | None, Change | None],
) -> Remainder:
    """Return what the rounded turns leave of total toe and steering wheel.

    Parameters
    ----------
    job : Job
        Steering ratio.
    solved : PassSolution
        Results of the pass.
    rods : tuple of RodCorrection
        Left and right, turns and readings told.
    changes : tuple of Change or None
        What should change: the half sum of the toes and their half difference.

    Returns
    -------
    Remainder
        Total toe without a goal: by how much the turns change it; None where it has one, and
        nothing tells how it stands.
    """
    left, right = (done(rod) for rod in rods)
    total, wheel = changes
    by_turning = math.hypot(*(_turning_u(rod) for rod in rods))
    by_reading = stopped(job, solved, [rod for rod in rods if rod.by_reading])
    ratio = job.car.steering_ratio
    wheel_left = wheel_u = None
    if wheel is not None and ratio:
        wheel_left = -ratio * ((left - right) / 2.0 - wheel.value)
        wheel_u = ratio * math.hypot(_u(wheel, solved), by_turning / 2.0, by_reading.half)
    unknown = total is None and TOTAL in job.goals
    return Remainder(
        total_toe=None if unknown else left + right - 2.0 * (total.value if total else 0.0),
        steering_wheel=wheel_left,
        u_total_toe=math.hypot(2.0 * _u(total, solved), by_turning, by_reading.total),
        u_steering_wheel=wheel_u,
    )


def _u(change: Change | None, solved: PassSolution) -> float:
    return change.u(solved.estimate) if change is not None else 0.0


def _turning_u(rod: RodCorrection) -> float:
    """Return the uncertainty of a change of toe by what a turn does."""
    return abs(rod.turns or 0.0) * rod.effect.u if rod.effect else 0.0
