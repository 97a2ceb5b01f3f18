"""Solution and goals to turns and to the readings to stop at."""

from __future__ import annotations

from collections.abc import Sequence

from toebox.correct.effects import Known, Learning
from toebox.correct.front import front_correction
from toebox.correct.rear import rear_corrections, rear_stays, thrust_goal
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
        One a pass, in order; each knows what was turned and seen up to then.
    """
    job, passes = solution.job, solution.passes
    learning, found = Learning(job), []
    for number, solved in enumerate(passes, start=1):
        learning.add(solved)
        found.append(correct_pass(job, passes[:number], learning.known()))
    return tuple(found)


def correct_pass(job: Job, passes: Sequence[PassSolution], known: Known) -> PassCorrection:
    """Work out what to turn after a pass: rear first where it can be adjusted, then front.

    Parameters
    ----------
    job : Job
        Goals, car and tie rods.
    passes : sequence of PassSolution
        Results of the passes up to this one.
    known : Known
        What thread, arm and these passes tell of the front.

    Returns
    -------
    PassCorrection
        Without rods where the readings say nothing about the front wheels.
    """
    rear = rear_corrections(job, passes[-1])
    turned = PassCorrection(rear=rear).thrust_set
    front = front_correction(job, passes, known, thrust_goal(job) if turned else None)
    return front._replace(rear=rear, rear_stays=rear_stays(job, passes[-1]))
