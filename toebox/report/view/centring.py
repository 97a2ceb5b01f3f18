"""A steering wheel to centre: what a report says of it, without the rest."""

from __future__ import annotations

from toebox import __version__
from toebox.correct.results import PassCorrection
from toebox.report.blocks import Section, View
from toebox.report.view.basis import assumed, not_measured, unusual
from toebox.report.view.found import found
from toebox.report.view.goals import against_goals
from toebox.report.view.slips import doubtful
from toebox.report.view.todo import todo
from toebox.report.view.wheels import where_it_runs
from toebox.solve.results import Solution
from toebox.solve.standing import standing

COUNT = (
    "Before you turn anything, count the turns of the steering wheel from its spokes straight to "
    "each lock: where they differ by more than 1/8 turn, the gear is not in its middle then; give "
    "them as --turns-to-lock."
)


def centring_view(solution: Solution, corrections: tuple[PassCorrection, ...]) -> View:
    """Put the centring of a steering wheel into words.

    Parameters
    ----------
    solution : Solution
        A solved job of one pass.
    corrections : tuple of PassCorrection
        What to turn after it.

    Returns
    -------
    View
        What to do, what was found, and what that rests on.
    """
    job, solved, correction = solution.job, solution.passes[-1], corrections[-1]
    sections: list[Section | None] = [
        todo(job, solved, correction),
        against_goals(job, standing(solution)),
        found(job, solved),
        doubtful(solution),
        where_it_runs(job, solved, correction),
        assumed(job, solved),
    ]
    if not correction.rods:
        sections.append(not_measured(solved))
    sections.append(unusual(job))
    subtitle = "The gear first, then both tie rods, the steering wheel's spline last."
    if correction.gear is None:
        subtitle += f" {COUNT}"
    return View(
        title=job.title,
        subtitle=(subtitle,),
        sections=tuple(section for section in sections if section is not None),
        footer=f"toebox {__version__}",
    )
