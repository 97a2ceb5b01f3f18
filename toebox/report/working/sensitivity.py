"""A result as a sum over the readings, for sets of readings that have no short formula.

Every estimate is, to first order, a sum of readings, each times its sensitivity (JCGM 100:2008
(GUM) 5.1.3); what the sines' curvature adds stands last.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from toebox.report.view.words import name_of
from toebox.report.working.closed import Found
from toebox.report.working.combine import word_of
from toebox.report.working.derived import agrees
from toebox.report.working.page import SCALES, Page, is_angle
from toebox.report.working.sums import Term, number

SENSITIVITY_DIGITS = 7
NOTHING = 1e-6  # what a reading adds at the least to be printed [unit of the result]
HEAD = (
    "These results have no short formula for this set of readings. Each is a sum: every reading "
    "times its sensitivity (by how much the result moves when the reading moves by one), and last "
    "what the curvature of the sines adds."
)


def by_sensitivity(page: Page, found: Found, names: Iterable[str]) -> None:
    """Work out, as sums over the readings, the results that the formulas do not reach.

    Parameters
    ----------
    page : Page
        Takes up the lines.
    found : Found
        What was worked out; the sums take its place where it does not agree.
    names : iterable of str
        Results to look at.
    """
    missing = [n for n in names if n in page.solved.results and not agrees(page, found, n)]
    if not missing:
        return
    page.section("as sums over the readings", HEAD)
    for name in missing:
        found.terms[name] = _sum(page, name)


def _sum(page: Page, name: str) -> Term:
    solved, result = page.solved, page.solved[name]
    slopes = solved.estimate.contributions(solved.gradients[name]) / solved.estimate.u
    scale, unit = SCALES[page.unit], 1.0 if name == "setback" else math.degrees(1.0)
    total: Term | None = None
    unseen: dict[str, float] = {}
    for observation, slope in zip(solved.network.observations, slopes, strict=True):
        angle = is_angle(observation.label)
        size = page.degrees(observation.value) if angle else page.size(observation.value)
        reading = replace(size, slopes={observation.label: 1.0})
        by = float(slope) if angle else float(slope) * unit * (scale if name != "setback" else 1.0)
        if abs(by * reading.value) < NOTHING:
            unseen[observation.label] = by
            continue
        part = number(by, SENSITIVITY_DIGITS) * reading
        total = part if total is None else total + part
    value = result.value / scale if name == "setback" else math.degrees(result.value)
    rest = number(value - (total.value if total else 0.0), SENSITIVITY_DIGITS, slopes=unseen)
    line = page.length if name == "setback" else page.angle
    return line(name_of(name), "sum", rest if total is None else total + rest, word_of(name))
