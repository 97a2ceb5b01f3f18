"""Solution and goals to turns and to the readings to stop at."""

from __future__ import annotations

from dataclasses import replace

from toebox.correct.front import front_correction
from toebox.correct.rear import rear_corrections, thrust_goal
from toebox.correct.results import PassCorrection
from toebox.job.model import Job
from toebox.solve.results import PassSolution, Solution

__all__ = ["PassCorrection", "correct", "correct_pass"]


def correct(solution: Solution) -> tuple[PassCorrection, ...]:
    """Work out what to turn after every pass.

    Parameters
    ----------
    solution : Solution
        A solved job.

    Returns
    -------
    tuple of PassCorrection
        One a pass, in order.
    """
    return tuple(correct_pass(solution.job, solved) for solved in solution.passes)


def correct_pass(job: Job, solved: PassSolution) -> PassCorrection:
    """Work out what to turn after one pass: rear first where it can be adjusted, then front.

    Parameters
    ----------
    job : Job
        Goals, car and tie rods.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    PassCorrection
        Empty where the readings say nothing about the front wheels.
    """
    rear = rear_corrections(job, solved)
    turned = any(wheel.justified for wheel in rear)
    front = front_correction(job, solved, thrust_goal(job) if turned else None)
    return replace(front, rear=rear)
