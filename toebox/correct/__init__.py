"""Solution and goals to turns and to the readings to stop at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from toebox.correct.effects import Known, Learning
from toebox.correct.front import front_correction
from toebox.correct.reach import thrust_after, within_reach
from toebox.correct.rear import rear_corrections, rear_stays
from toebox.correct.results import PassCorrection
from toebox.job.model import Job, both_rear_toes
from toebox.solve.results import PassSolution, Solution

if TYPE_CHECKING:
    from toebox.correct.adjusters import AdjusterPlan

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
    plan, planned = _rear_plan(solution)
    for number, solved in enumerate(passes, start=1):
        learning.add(solved)
        of_pass = plan if number == planned else None
        found.append(correct_pass(job, passes[:number], learning.known(), of_pass))
        learning.told_gear(found[-1].gear)
    return tuple(found)


def _rear_plan(solution: Solution) -> tuple[AdjusterPlan | None, int]:
    """Return what to move at adjusters of both rear toes, and after which pass: 1 is the first."""
    if not both_rear_toes(solution.job.adjusters):
        return None, 0
    from toebox.correct.adjusters import plan_adjusters

    plan = plan_adjusters(solution)
    numbers = [one.standing.number + 1 for one in plan.outcomes if one.name == "thrust_angle"]
    return (plan, numbers[0]) if numbers else (None, 0)


def correct_pass(
    job: Job,
    passes: Sequence[PassSolution],
    known: Known,
    plan: AdjusterPlan | None = None,
) -> PassCorrection:
    """Work out what to turn after a pass: rear first where it can be adjusted, then front.

    Parameters
    ----------
    job : Job
        Goals, car and tie rods.
    passes : sequence of PassSolution
        Results of the passes up to this one.
    known : Known
        What thread, arm and these passes tell of the front.
    plan : AdjusterPlan, optional
        What to move at the adjusters of the rear wheels after this pass.

    Returns
    -------
    PassCorrection
        Without rods where the readings say nothing about the front wheels.
    """
    rear = within_reach(job, passes[-1], rear_corrections(job, passes[-1]), plan)
    front = front_correction(job, passes, known, thrust_after(job, rear))
    return front._replace(rear=rear, rear_stays=rear_stays(job, passes[-1]))
