"""Solution and goals to turns and to the readings to stop at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from toebox.correct.effects import Known, Learning
from toebox.correct.front import front_correction
from toebox.correct.reach import moved_by, thrust_after, within_reach
from toebox.correct.rear import rear_corrections, rear_stays
from toebox.correct.results import PassCorrection
from toebox.job.model import Job, axle_of, both_rear_toes
from toebox.solve.results import PassSolution, Solution
from toebox.solve.standing import standing

if TYPE_CHECKING:
    from toebox.correct.adjusters import AdjusterPlan

__all__ = ["PassCorrection", "correct"]


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
        of_pass = plan if number >= planned else None
        found.append(_correct_pass(job, passes[:number], learning.known(), of_pass))
        learning.told_gear(found[-1].gear)
    return tuple(found)


def _rear_plan(solution: Solution) -> tuple[AdjusterPlan | None, int]:
    """Return what to move at adjusters of the rear, and from which pass on: 1 is the first."""
    if not any(axle_of(adjuster.wheel) == "rear" for adjuster in solution.job.adjusters):
        return None, 0
    from toebox.correct.adjusters import plan_adjusters

    stands = standing(solution)
    told = ("thrust_angle", "steering_wheel", "total_toe.front")
    numbers = [stands[name].number for name in told if name in stands and not stands[name].stale]
    return (plan_adjusters(solution), min(numbers) + 1) if numbers else (None, 0)


def _correct_pass(
    job: Job, passes: Sequence[PassSolution], known: Known, plan: AdjusterPlan | None
) -> PassCorrection:
    """Work out what to turn after a pass: rear first where it can be adjusted, then front."""
    of_both = plan if both_rear_toes(job.adjusters) else None
    rear = within_reach(job, passes[-1], rear_corrections(job, passes[-1]), of_both)
    after, by_adjusters = thrust_after(job, rear), None
    if plan is not None and not any(wheel.to_set for wheel in rear):
        after = moved_by(plan)._replace(beyond=after.beyond)
        by_adjusters = after.change or None
    front = front_correction(job, passes, known, after)
    stays = rear_stays(job, passes[-1])
    return front._replace(rear=rear, rear_stays=stays, thrust_by_adjusters=by_adjusters)
