"""Readings that do not fit, what settles which it is, and what slips would be noticed."""

from __future__ import annotations

import math

from toebox.job.model import Job
from toebox.report.blocks import Block, Paragraph, Points, Section, Table
from toebox.report.view.words import own_unit, reading_words
from toebox.solve.results import Doubtful, PassSolution
from toebox.solve.slips import TURNED, Check, checks, is_angle
from toebox.units import write

FEW_SETTLE = 3


def doubtful(solved: PassSolution, job: Job) -> Section | None:
    """Name the readings that do not fit.

    Parameters
    ----------
    solved : PassSolution
        Results of the pass.
    job : Job
        For units.

    Returns
    -------
    Section or None
        None where every reading fits.
    """
    groups: dict[int, list[Doubtful]] = {}
    for doubt in solved.doubtful:
        groups.setdefault(doubt.group, []).append(doubt)
    if not groups:
        return None
    rows = tuple(
        (
            str(d.group),
            reading_words(d.reading),
            slip_words(d, job),
            write.signed(abs(d.standardised_residual), 1),
        )
        for d in solved.doubtful
    )
    text = (
        "These readings do not fit the others, and the results above still contain them. Readings "
        "of one group cannot be told apart by any calculation: one of them is wrong, not all."
    )
    table = Table(("Group", "Reading", "Seems off by", "Residual / its deviation"), rows, "lllr")
    advice = Points(tuple(_advice(number, members) for number, members in groups.items()))
    return Section(
        "Readings that do not fit", (Paragraph(text, "strong"), table, advice), summary=True
    )


def slip_words(doubt: Doubtful, job: Job) -> str:
    """Return by how much a doubted reading seems to be off.

    Parameters
    ----------
    doubt : Doubtful
        The reading and the slip that would explain the misfit.
    job : Job
        For units.

    Returns
    -------
    str
        For example ``1/4 in too large``.
    """
    if doubt.reading.startswith("assumed."):
        return f"{_size(abs(doubt.slip), doubt.reading, job)}, more than was stated"
    word = "too large" if doubt.slip > 0.0 else "too small"
    return f"{_size(abs(doubt.slip), doubt.reading, job)} {word}"


def _size(size: float, label: str, job: Job) -> str:
    if is_angle(label):
        return write.degrees(size, 1)
    return own_unit(size, job)


def _advice(number: int, members: list[Doubtful]) -> str:
    """Say what to read again for one group."""
    start = f"Group {number}: "
    steps = [_again(label) for label in members[0].settled_by]
    if len(members) == 1:
        return f"{start}read it again; if it comes out as before, read its neighbours again."
    if not steps:
        return f"{start}read all of them again."
    if len(steps) == 1:
        return f"{start}to settle which it is, one reading is enough: {steps[0]}."
    more = f"; then {'; then '.join(steps[1:FEW_SETTLE])}"
    rest = "; then the others" if len(steps) > FEW_SETTLE else ""
    return f"{start}to settle which it is, {steps[0]}{more}{rest}."


def _again(label: str) -> str:
    """Say how to take an extra reading."""
    if label.endswith(TURNED):
        words = reading_words(label.removesuffix(TURNED))
        return f"roll the car on by half a turn of the wheel and read {words}"
    return f"read {reading_words(label)} again"


def unnoticed(solved: PassSolution, job: Job) -> Section | None:
    """Say which slips would be noticed.

    Parameters
    ----------
    solved : PassSolution
        Results of the pass.
    job : Job
        For units.

    Returns
    -------
    Section or None
        None where nothing was read.
    """
    found = checks(solved)
    if not found:
        return None
    heading = "Slips that would be noticed"
    if all(math.isinf(check.smallest_slip) for check in found):
        return Section(heading, (_none_noticed(found, job),))
    rows = tuple(dict.fromkeys(_row(check, job) for check in found))
    table = Table(("Reading", "Smallest slip noticed", "If read once more"), rows, "lrr")
    blocks: tuple[Block, ...] = (Paragraph(EXPLAINED), table)
    return Section(heading, blocks)


EXPLAINED = (
    "A slip of this size, in this reading alone, is noticed 95 times in 100 because the others "
    "contradict it. What the others do not check, a repeat does: wheel turned half a turn for the "
    "rims, the tape taken off and laid on again."
)


def _none_noticed(found: tuple[Check, ...], job: Job) -> Paragraph:
    lengths = [c for c in found if not c.reading.startswith("steering_wheel_off")]
    size = _size(max(c.if_repeated for c in lengths), lengths[0].reading, job) if lengths else ""
    text = "A slip in any of these readings would go unseen: nothing checks them."
    if size:
        text += f" Read each of them once more: from then on a slip of {size} would be noticed."
    return Paragraph(text, "strong")


def _row(check: Check, job: Job) -> tuple[str, str, str]:
    words = reading_words(check.reading.partition("[")[0])
    again = _size(check.if_repeated, check.reading, job)
    if math.isinf(check.smallest_slip):
        return words, "none", again
    return words, _size(check.smallest_slip, check.reading, job), again
