"""The whole report, section by section, and the part of it that tells what to do next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from toebox import __version__
from toebox.correct.results import PassCorrection
from toebox.job.model import Job
from toebox.report.blocks import Paragraph, Section, View
from toebox.report.view.agreement import agreement
from toebox.report.view.basis import assumed, not_measured, unusual
from toebox.report.view.budget import budget, full_budget
from toebox.report.view.cautions import cautions
from toebox.report.view.drift import drift, turning_circle
from toebox.report.view.found import found, plan
from toebox.report.view.goals import against_goals
from toebox.report.view.holding import holding
from toebox.report.view.learned import learned
from toebox.report.view.passes import passes
from toebox.report.view.settle import settling
from toebox.report.view.slips import doubtful, unnoticed
from toebox.report.view.standing import where_all_stand
from toebox.report.view.todo import first_of_all, todo
from toebox.report.view.wheels import rear_again, where_it_runs
from toebox.solve.results import PassSolution, Solution
from toebox.solve.standing import Standing, standing, touched

if TYPE_CHECKING:
    from toebox.correct.adjusters import AdjusterPlan

__all__ = ["make_view"]

AFTER_THE_ORDER = "First do what stands under 'Order of work'. What follows comes after it:"
_GAUGED = ("caster", "camber", "cross_caster", "cross_camber")  # set before toe


def make_view(
    solution: Solution, corrections: tuple[PassCorrection, ...], *, in_full: bool = False
) -> View:
    """Put a solved job into words.

    Parameters
    ----------
    solution : Solution
        A solved job.
    corrections : tuple of PassCorrection
        What to turn after each pass.
    in_full : bool
        Whether to list every reading that the uncertainty of a result comes from.

    Returns
    -------
    View
        What to do next first, details after.
    """
    job, last, stands = solution.job, solution.passes[-1], standing(solution)
    *first, moves = what_next(solution, corrections)
    by = solution.passes[_told_by(solution, corrections, stands)]
    sections = [
        *first,
        against_goals(job, stands),
        settling(job, last, stands),
        moves,
        plan(job, last),
        found(job, last),
        doubtful(solution),
        agreement(job, by) or agreement(job, last),
        learned(corrections[-1]),
        where_it_runs(job, last, corrections[-1]),
        drift(stands),
        turning_circle(solution),
        where_all_stand(solution, stands),
        passes(solution),
        assumed(job, last),
        full_budget(job, last) if in_full else budget(job, last),
        unnoticed(last, job),
        not_measured(last, [name for name, stand in stands.items() if not stand.stale]),
        unusual(job),
        holding(solution),
        cautions(),
    ]
    return View(
        title=job.title,
        subtitle=_subtitle(solution),
        sections=tuple(section for section in sections if section is not None),
        footer=f"toebox {__version__}",
        date=job.date,
    )


def what_next(
    solution: Solution, corrections: tuple[PassCorrection, ...]
) -> tuple[Section | None, ...]:
    """Say what to do after the last pass, in order.

    Parameters
    ----------
    solution : Solution
        A solved job.
    corrections : tuple of PassCorrection
        What to turn after each pass.

    Returns
    -------
    tuple of Section or None
        For the top of a report and of a sheet.
    """
    stands = standing(solution)
    by = _told_by(solution, corrections, stands)
    adjusting = None
    if solution.job.adjusters:
        from toebox.correct.adjusters import plan_adjusters

        adjusting = plan_adjusters(solution)
    told = bool(corrections[by].rods)
    first = first_of_all(solution, corrections[by], by, adjusting)
    order, moves = _caster_and_camber(solution, stands, adjusting, told, first)
    if order is not None:  # which begins with them
        first = []
    first = [*first, *rear_again(solution.job, stands)]
    steps = todo(solution.job, solution.passes[by], corrections[by], adjusting, first)
    if adjusting is None or adjusting.rods_wait:  # then the steps say so themselves
        return order, steps, moves
    if adjusting.to_turn and told:
        steps = steps._replace(blocks=(Paragraph(AFTER_THE_ORDER, "strong"), *steps.blocks))
    return order, steps, moves


def _told_by(
    solution: Solution, corrections: tuple[PassCorrection, ...], stands: Mapping[str, Standing]
) -> int:
    """Return the pass that tells what to do at the tie rods."""
    return len(corrections) - 1 if corrections[-1].rods else _newest_toe(solution, stands)


def _caster_and_camber(
    solution: Solution,
    stands: Mapping[str, Standing],
    adjusting: AdjusterPlan | None,
    rods_told: bool,
    first: Sequence[str],
) -> tuple[Section | None, Section | None]:
    """Return the order of work and what to move, for a job that tells more than toe."""
    job = solution.job
    if not (job.adjusters or any(name.startswith(_GAUGED) for name in (*job.goals, *stands))):
        return None, None
    from toebox.correct.adjusters import AdjusterPlan, effects
    from toebox.report.view.adjusters import adjusters
    from toebox.report.view.order import order

    adjusting, known = adjusting or AdjusterPlan(), effects(solution)
    told = order(solution, stands, adjusting, known, rods_told, first)
    return told, adjusters(job, adjusting, known)


def _newest_toe(solution: Solution, stands: Mapping[str, Standing]) -> int:
    """Return the pass whose steps are still to be done; the last where none are."""
    last = len(solution.passes) - 1
    for name in ("total_toe.front", "steering_wheel"):
        if name in stands and not stands[name].stale:
            later = solution.passes[stands[name].number + 1 :]
            bears = any(_bears_on_toe(solution.job, solved) for solved in later)
            return last if bears else stands[name].number
    return last


def _bears_on_toe(job: Job, solved: PassSolution) -> bool:
    """Return whether a pass turned what moves toe, or read it: steps told before may be done."""
    done = [turned.lengthen for turned in solved.readings.turned.values()]
    toe = any(name.startswith(("toe.", "total_toe.", "thrust_angle")) for name in solved.results)
    moved = [a for a in job.adjusters if solved.readings.moved.get(a.name)]
    return toe or any(done) or any(f"toe.{a.wheel}" in touched(a) for a in moved)


def _subtitle(solution: Solution) -> tuple[str, ...]:
    job = solution.job
    count = len(solution.passes)
    parts = [f"{count} pass{'es' if count > 1 else ''}, the last one: {solution.passes[-1].label}"]
    if job.date is not None:
        parts.insert(0, f"Date of the job: {job.date.isoformat()}")
    return ("; ".join(parts),)
