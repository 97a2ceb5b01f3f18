"""Readings that do not fit, what settles which it is, and what slips would be noticed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from toebox.job.model import Job, Pass
from toebox.reliability import HARDLY_CHECKED, scatter_limit
from toebox.report.blocks import Block, Paragraph, Points, Section, Table
from toebox.report.view.agreement import HEADING as AGREEMENT
from toebox.report.view.agreement import disagreement
from toebox.report.view.instead import ASSUMED, in_place_of
from toebox.report.view.words import capital, name_of, own_unit, reading_words, with_interval
from toebox.solve.gauge_results import GAUGE_RESULTS
from toebox.solve.results import Doubtful, PassSolution, Result, Solution
from toebox.solve.slips import TURNED, Check, checks, is_angle, without
from toebox.units import write

FEW_SETTLE, FEW, LETTERS = 3, 2, 26
FEW_NAMED = 4  # of a group in the step that asks to find out first
DOUBTED = "Readings that do not fit"
SINGLE_SLIPS = 2  # more groups than this are no single slips
TOLD = ("total_toe.front", "total_toe.rear", "thrust_angle", "steering_wheel", *GAUGE_RESULTS)
TURN = 2.0 * math.pi  # a larger angle is not told in degrees
HARDLY = 0.1  # of its standard uncertainty: a result that moves by less is as it was


def doubtful(solution: Solution) -> Section | None:
    """Name the readings that do not fit.

    Parameters
    ----------
    solution : Solution
        A solved job.

    Returns
    -------
    Section or None
        Those of the last pass in full, those of earlier passes by name; None where every reading
        fits.
    """
    job, last = solution.job, solution.passes[-1]
    blocks = _misfits(last, job) if last.doubtful else []
    blocks += _scatter(last)
    earlier = [s for s in solution.passes[:-1] if s.doubtful]
    if earlier:
        blocks.append(Points(tuple(_earlier(solved, job) for solved in earlier)))
    return Section(DOUBTED, tuple(blocks), summary=True) if blocks else None


def _misfits(solved: PassSolution, job: Job) -> list[Block]:
    """Lay out the doubtful readings of one pass: what, what settles it, and what it changes."""
    groups: dict[int, list[Doubtful]] = {}
    for doubt in solved.doubtful:
        groups.setdefault(doubt.group, []).append(doubt)
    rows = tuple(
        (
            _tag(doubt, members),
            reading_words(doubt.reading),
            slip_words(doubt, job),
            write.signed(abs(doubt.standardised_residual), 1),
        )
        for members in groups.values()
        for doubt in members
    )
    table = Table(("Group", "Reading", "Seems off by", "Residual / its deviation"), rows, "lllr")
    advice = Points(
        tuple(f"Group {n}: {_settling(some, solved.readings)}." for n, some in groups.items())
    )
    return [Paragraph(MISFITS, "strong"), table, advice, *_without(solved, job, groups[1])]


def _scatter(solved: PassSolution) -> list[Block]:
    """Say where all readings together scatter more than their instruments let expect."""
    estimate = solved.estimate
    freedom = estimate.degrees_of_freedom
    if not freedom or estimate.scatter <= scatter_limit(freedom):
        return []
    times = write.signed(estimate.scatter, 1)
    text = f"All together, the readings scatter {times} times as much as their instruments allow."
    if len({d.group for d in solved.doubtful}) > SINGLE_SLIPS or not solved.doubtful:
        text += (
            " That is no single slip: look for a wrong size under [car], a wheel that moved or a "
            "string that touched something, or state coarser instruments; every interval above is "
            "too narrow until then."
        )
    return [Paragraph(text)]


MISFITS = (
    "These readings do not fit the others, and the results above still contain them. Readings "
    "of one group cannot be told apart by any calculation: one of them is wrong, not all."
)


def _tag(doubt: Doubtful, members: list[Doubtful]) -> str:
    """Return the number of a group, with a letter where it has several readings."""
    letter = f" {chr(ord('a') + members.index(doubt))}" if 1 < len(members) <= LETTERS else ""
    return f"{doubt.group}{letter}"


def _without(solved: PassSolution, job: Job, members: list[Doubtful]) -> list[Block]:
    """Show what the results would be without each reading of the first group."""
    if len(members) > FEW or any(d.reading.startswith(ASSUMED) for d in members):
        return []
    others = [without(job, solved, d.reading) for d in members]
    names = [n for n in TOLD if n in solved.results and _affected(solved[n], others)]
    rows = tuple(
        (name_of(name), *(_found(results.get(name), job) for results in (solved.results, *others)))
        for name in names
    )
    columns = ("Result", "As it stands", *(f"Without {_tag(d, members)}" for d in members))
    return [Table(columns, rows, "l" * len(columns))] if rows else []


def _affected(result: Result, others: list[Mapping[str, Result]]) -> bool:
    """Return whether a result is another one without any of some readings."""
    found = [other.get(result.name) for other in others]
    return any(one is None or abs(one.value - result.value) > HARDLY * result.u for one in found)


def _found(result: Result | None, job: Job) -> str:
    return "not known" if result is None else with_interval(result, job)


def _earlier(solved: PassSolution, job: Job) -> str:
    """Name the readings of an earlier pass that did not fit."""
    first = [d for d in solved.doubtful if d.group == 1]
    names = ", or ".join(f"{reading_words(d.reading)} ({slip_words(d, job)})" for d in first[:FEW])
    more = " and others" if len(solved.doubtful) > len(first[:FEW]) else ""
    return f"Did not fit in the pass {solved.label!r}: {names}{more}."


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
    if doubt.reading.startswith("assumed.rim_runout"):  # from peak to peak, as it is stated
        return f"would be {own_unit(2.0 * abs(doubt.slip), job)} in all"
    if doubt.reading.startswith(ASSUMED):
        return f"would be off by {_size(abs(doubt.slip), doubt.reading, job)}"
    word = "too large" if doubt.slip > 0.0 else "too small"
    return f"{_size(abs(doubt.slip), doubt.reading, job)} {word}"


def _size(size: float, label: str, job: Job) -> str:
    if is_angle(label):
        return write.degrees(size, 1) if size <= TURN else f"more than {write.degrees(TURN, 0)}"
    return own_unit(size, job)


ANEW = (
    "Put it right in the job and make the report anew: until then the steps below still rest on it."
)


def look_first(job: Job, solved: PassSolution) -> list[str]:
    """Say what to look at before anything is turned: readings, or ways of measuring that disagree.

    Parameters
    ----------
    job : Job
        Car, instruments and units.
    solved : PassSolution
        Results of a pass.

    Returns
    -------
    list of str
        A step; empty where all fits.
    """
    if solved.doubtful:
        return [first_doubt(solved)]
    apart = disagreement(job, solved)
    where = f"Look first at what the report lists under '{AGREEMENT}', before you turn anything"
    return [f"{where}: {apart}. {ANEW}"] if apart else []


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
    names = "; or ".join(reading_words(d.reading) for d in members[:FEW_NAMED])
    if len(members) > FEW_NAMED:
        names += f"; or {len(members) - FEW_NAMED} more (see {DOUBTED})"
    settling = _settling(members, solved.readings)
    if len(members) > 1:
        return (
            "Before you turn anything, find out which of these does not fit the others: "
            f"{names}. {capital(settling)}. {ANEW}"
        )
    if members[0].reading.startswith(ASSUMED):
        return (
            f"Before you turn anything, {settling}. This does not fit the readings: {names}. {ANEW}"
        )
    return f"Before you turn anything, read again: {names}. It does not fit the others. {ANEW}"


def _settling(members: list[Doubtful], readings: Pass) -> str:
    """Say what to read again, or to measure, to settle one group."""
    labels, settled_by = [m.reading for m in members], members[0].settled_by
    acts = in_place_of(labels, readings)
    if len(members) == 1:
        return acts[0] + DRIVEN * (labels == [CLAMPED]) if acts else ALONE
    if not settled_by:
        return "; then ".join([*_read_again(labels, bool(acts)), *acts])
    shown = settled_by[:FEW_SETTLE]
    steps = [_again(label, readings) for label in shown]
    rest = _rest(labels, shown, readings)
    if len(settled_by) == 1:
        enough = "this is enough" if shown[0].startswith(ASSUMED) else "one reading is enough"
        return f"to settle which it is, {enough}: {steps[0]}{rest}"
    others = "; then the others" if len(settled_by) > FEW_SETTLE else ""
    return f"to settle which it is, {'; then '.join(steps)}{others}{rest}"


CLAMPED = f"{ASSUMED}steering_wheel_straight_within"
DRIVEN = "; if that changes nothing, look at the road test and at the steering ratio"
ALONE = "read it again; if it comes out as before, read its neighbours again"


def _read_again(labels: list[str], beside: bool) -> list[str]:
    """Say to read again what was read of a group, by name where it is little."""
    if not beside:
        return ["read all of them again"]
    read = [reading_words(label) for label in labels if not label.startswith(ASSUMED)]
    if len(read) > FEW:
        return ["read again all of them that are readings"]
    return [f"read {name} again" for name in read]


def _rest(labels: list[str], shown: tuple[str, ...], readings: Pass) -> str:
    """Say what is left of a group with assumptions where the steps shown change nothing.

    What was measured in place of an assumption is no repeat that would tell it from the others.
    """
    turned = [label.split(".")[1] for label in shown if label.endswith(TURNED)]
    out = [f"{ASSUMED}rim_runout.{wheel}" for wheel in turned]
    left = [label for label in labels if label not in shown and not label.startswith(tuple(out))]
    if not any(label.startswith(ASSUMED) for label in (*shown, *left)):
        return ""
    acts = in_place_of(left, readings)
    if len(acts) < len(left) <= FEW:
        acts += [_again(label, readings) for label in left if not label.startswith(ASSUMED)]
    return f"; if that changes nothing, {'; then '.join(acts)}" if acts else ""


def _again(label: str, readings: Pass) -> str:
    """Say how to take an extra reading, or how to measure what was assumed."""
    if label.startswith(ASSUMED):
        return in_place_of([label], readings)[0]
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
    blocks: tuple[Block, ...] = (Paragraph(EXPLAINED), table, *_hardly_checked(found))
    return Section(heading, blocks)


EXPLAINED = (
    "A slip of this size, in this reading alone, is noticed 95 times in 100 because the others "
    "contradict it. What the others do not check, a repeat does: wheel turned half a turn for the "
    "rims, the tape taken off and laid on again."
)


def _hardly_checked(found: tuple[Check, ...]) -> list[Paragraph]:
    """Say which slips the others hardly show, or not at all, and which extra reading would.

    The redundancy number is the share of a slip that shows in the residual of the reading itself.
    """
    unseen = [c for c in found if _unseen(c)]
    hardly = [c for c in found if c.redundancy < HARDLY_CHECKED and c not in unseen]
    said = []
    if hardly:
        names = dict.fromkeys(reading_words(c.reading.partition("[")[0]) for c in hardly)
        said.append(
            f"The others hardly check {'; '.join(names)}: less than a tenth of a slip there shows, "
            "the rest goes into the results, and below the size in the table it is hardly noticed."
        )
    if unseen:
        said.append('Nothing checks the readings with "none": a slip there goes unseen.')
    if said:
        said.append(
            "What catches it is the same reading, taken once more: from then on a slip of the size "
            "in the last column is noticed."
        )
    return [Paragraph(" ".join(said))] if said else []


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


_LARGEST = (0.6, math.radians(45.0))  # a larger slip in a length [m] or an angle [rad] is no slip


def _unseen(check: Check) -> bool:
    return check.smallest_slip > _LARGEST[is_angle(check.reading)]


def _slips(check: Check, job: Job) -> tuple[str, str]:
    again = _size(check.if_repeated, check.reading, job)
    if _unseen(check):
        return "none", again
    return _size(check.smallest_slip, check.reading, job), again
