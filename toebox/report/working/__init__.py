"""Every formula with the numbers in it, in order: to be followed with a pocket calculator."""

from __future__ import annotations

from toebox.correct.results import PassCorrection
from toebox.job.model import Job
from toebox.report.blocks import Section
from toebox.report.working.adjusters import adjuster_forms
from toebox.report.working.closed import closed_forms
from toebox.report.working.combine import combine
from toebox.report.working.derived import compare, derive
from toebox.report.working.gauge import derive_gauge, gauge_forms, turn_forms
from toebox.report.working.page import Page
from toebox.report.working.sensitivity import by_sensitivity
from toebox.report.working.turns import turn
from toebox.report.working.weights import weighted_means
from toebox.solve.results import TOE_RESULTS, PassSolution, Solution

BASE = tuple(name for name in TOE_RESULTS if name.startswith(("toe.", "box.")))


def working(solution: Solution, corrections: tuple[PassCorrection, ...]) -> tuple[Section, ...]:
    """Return the working of a solved job.

    Parameters
    ----------
    solution : Solution
        A solved job.
    corrections : tuple of PassCorrection
        What to turn after each pass.

    Returns
    -------
    tuple of Section
        Pass by pass, in the order in which things are worked out.
    """
    pairs = zip(solution.passes, corrections, strict=True)
    sections = [
        section
        for solved, correction in pairs
        for section in _of_pass(solution.job, solved, correction)
    ]
    last = Page(solution.job, solution.passes[-1])
    adjuster_forms(last, solution)
    last.close()
    return (*sections, *last.sections)


def _of_pass(job: Job, solved: PassSolution, correction: PassCorrection) -> list[Section]:
    page = Page(job, solved)
    found = closed_forms(page)
    gauge_forms(page, found)
    turn_forms(page, found)
    combine(page, found)
    by_sensitivity(page, found, BASE)
    derive(page, found)
    by_sensitivity(page, found, TOE_RESULTS)
    derive_gauge(page, found)
    weighted_means(page, found)
    compare(page, found)
    turn(page, found, correction)
    page.close()
    return page.sections
