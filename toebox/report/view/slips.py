"""Readings that do not fit, what settles which it is, and what slips would be noticed."""

from __future__ import annotations

import math
from collections.abc import Iterator

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
    return f"Group {number}: {_settling(members)}."


def first_doubt(solved: PassSolution) -> str:
    """Say what to read again before anything is turned.

    Parameters
    ----------
    solved : PassSolution
        Results of a pass with doubtful readings.

    Returns
    -------
    str
        A step about the first group.
    """
    members = [d for d in solved.doubtful if d.group == 1]
    names = "; or ".join(reading_words(d.reading) for d in members)
    if len(members) == 1:
        return f"Before you turn anything, read again: {names}. It does not fit the others."
    settling = _settling(members)
    return (
        f"Before you turn anything, find out which of these does not fit the others: {names}. "
        f"{settling[0].upper()}{settling[1:]}."
    )


def _settling(members: list[Doubtful]) -> str:
    """Say what to read again to settle one group."""
    steps = [_again(label) for label in members[0].settled_by]
    if len(members) == 1:
        return "read it again; if it comes out as before, read its neighbours again"
    if not steps:
        return "read all of them again"
    if len(steps) == 1:
        return f"to settle which it is, one reading is enough: {steps[0]}"
    more = f"; then {'; then '.join(steps[1:FEW_SETTLE])}"
    rest = "; then the others" if len(steps) > FEW_SETTLE else ""
    return f"to settle which it is, {steps[0]}{more}{rest}"


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
    rows = tuple(_rows(found, job))
    table = Table(("Reading", "Smallest slip noticed", "If read once more"), rows, "lrr")
    blocks: tuple[Block, ...] = (Paragraph(EXPLAINED), table)
    return Section(heading, blocks)


EXPLAINED = (
    "A slip of this size, in this reading alone, is noticed 95 times in 100 because the others "
    "contradict it. What the others do not check, a repeat does: wheel turned half a turn for the "
    "rims, the tape taken off and laid on again."
)


def _none_noticed(found: tuple[Check, ...], job: Job) -> Paragraph:
    kinds = (False, True)  # lengths, angles
    sizes = [[c for c in found if is_angle(c.reading) is kind] for kind in kinds]
    largest = [max(some, key=lambda c: c.if_repeated) for some in sizes if some]
    said = " or ".join(_size(c.if_repeated, c.reading, job) for c in largest)
    return Paragraph(
        "A slip in any of these readings would go unseen: nothing checks them. Read each of them "
        f"once more: from then on a slip of {said} would be noticed.",
        "strong",
    )


def _rows(found: tuple[Check, ...], job: Job) -> Iterator[tuple[str, str, str]]:
    """Yield a row for each reading; repeats that would show the same slip share one."""
    by_name: dict[str, list[Check]] = {}
    for check in found:
        by_name.setdefault(check.reading.partition("[")[0], []).append(check)
    for name, repeats in by_name.items():
        sizes = [_slips(check, job) for check in repeats]
        if len(set(sizes)) == 1:
            yield reading_words(name), *sizes[0]
        else:
            pairs = zip(repeats, sizes, strict=True)
            yield from ((reading_words(check.reading), *size) for check, size in pairs)


def _slips(check: Check, job: Job) -> tuple[str, str]:
    again = _size(check.if_repeated, check.reading, job)
    if math.isinf(check.smallest_slip):
        return "none", again
    return _size(check.smallest_slip, check.reading, job), again
