"""Whether the ways of measuring agree, and what it usually means where they do not."""

from __future__ import annotations

from toebox.job.model import Job
from toebox.report.blocks import Block, Paragraph, Points, Section, Table
from toebox.report.view.words import both_units, digits_of, name_of, own_unit, value_of
from toebox.solve.consistency import Comparison, comparisons
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution
from toebox.units import write

SHAPES = {"agree": "●", "barely agree": "◇", "disagree": "■"}
SIDES = {
    "tape": ("strings", "tape"),
    "road test": ("strings", "road test"),
    "hub": ("left", "right"),
}
# Common practice, no published source.
MEANINGS = {
    "tape": (
        "Strings and tape: most often the tape was not read at the same two marks rolled round by "
        "half a turn, sagged, or ran over something; or the rims run out more than was stated; or "
        "the strings touched a tyre, or the steering moved between the two."
    ),
    "road test": (
        "Strings and road test: most often the steering wheel was not held straight while the "
        "strings were read; or the road test was on a crowned road, in wind, or with uneven tyres "
        "or a dragging brake; or the steering ratio is another one."
    ),
    "hub": (
        "Rim and hub readings: most often one reading at the wheel is a slip, or the rule did not "
        "stand square to the string; or the hub faces differ, by a cap, a spacer or another wheel."
    ),
}
EXCHANGED = {
    "tape": (
        "Strings and tape would agree with the front and rear edges of one of them exchanged: look "
        "first whether front and rear were written down the wrong way round."
    ),
    "road test": (
        "Strings and road test would agree with left and right of one of them exchanged: look "
        "first whether left and right were written down the wrong way round."
    ),
}
HEADING = "Whether the ways of measuring agree"


def agreement(job: Job, solved: PassSolution) -> Section | None:
    """Compare what was measured in more than one way.

    Parameters
    ----------
    job : Job
        Car, instruments and units.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    Section or None
        None where nothing was measured twice; in the summary where something disagrees.
    """
    found = comparisons(job, solved)
    if not found:
        return None
    rows = tuple(_row(c, job) for c in found)
    columns = ("Compared", "One way", "The other way", "Apart", "Verdict")
    blocks: list[Block] = [Table(columns, rows, "lllll")]
    strained = [c for c in found if c.verdict != "agree"]
    if strained:
        blocks.append(Points(tuple(_meaning(c, job) for c in _one_a_kind(strained))))
    serious = any(c.verdict == "disagree" for c in found)
    if any(c.verdict == "barely agree" for c in found):
        blocks.append(Paragraph(BARELY, "note"))
    return Section(HEADING, tuple(blocks), summary=serious)


def disagreement(job: Job, solved: PassSolution) -> str:
    """Say which ways of measuring disagree.

    Parameters
    ----------
    job : Job
        Car, instruments and units.
    solved : PassSolution
        Results of a pass.

    Returns
    -------
    str
        The end of a sentence; empty where none do.
    """
    apart = [c for c in comparisons(job, solved) if c.verdict == "disagree"]
    return "; ".join(
        f"{' and '.join(SIDES[c.kind])} disagree on the {_name(c).lower()}, by {_apart(c, job)}"
        for c in _one_a_kind(apart)
    )


BARELY = (
    "Barely agree: beyond the 95 % interval of the difference, which chance alone does once in "
    "twenty, but not beyond 99.9 %."
)


def _one_a_kind(found: list[Comparison]) -> list[Comparison]:
    """Return the worst comparison of each kind."""
    worst: dict[str, Comparison] = {}
    for one in sorted(found, key=lambda c: -abs(c.difference) / c.u):
        worst.setdefault(one.kind, one)
    return list(worst.values())


def _row(one: Comparison, job: Job) -> tuple[str, str, str, str, str]:
    first, second = SIDES[one.kind]
    values = [_value(one, value, job) for value in (one.first, one.second)]
    return (
        _name(one),
        f"{first} {values[0]}",
        f"{second} {values[1]}",
        _apart(one, job),
        f"{SHAPES[one.verdict]} {one.verdict}",
    )


def _apart(one: Comparison, job: Job) -> str:
    return f"{_size(one, abs(one.difference), job)} ± {_size(one, COVERAGE_FACTOR * one.u, job)}"


def _name(one: Comparison) -> str:
    if one.kind == "hub":
        return f"{one.name.partition('.')[2].capitalize()} hub depth"
    return name_of(one.name)


def _value(one: Comparison, value: float, job: Job) -> str:
    if one.kind != "hub":
        return value_of(one.name, value, job)
    return own_unit(abs(value), job) + ("" if value >= 0.0 else " out")


def _size(one: Comparison, size: float, job: Job) -> str:
    return own_unit(size, job) if one.kind == "hub" else write.degrees(size, digits_of(one.name))


def _meaning(one: Comparison, job: Job) -> str:
    """Say what a disagreement usually means, and how large a single cause would be."""
    text = MEANINGS[one.kind]
    if one.kind == "road test":
        way = "right" if one.difference > 0.0 else "left"
        size = write.degrees(abs(one.difference), 1)
        text += f" It is as if the wheel had stood {size} to the {way} while the strings were read."
    if one.kind == "hub":
        edge = both_units(2.0 * abs(one.difference), job)
        text += f" One rim edge would have to be off by {edge}."
    text += " (Common practice, no published source.)"
    return f"{EXCHANGED[one.kind]} {text}" if _exchanged(one) else text


def _exchanged(one: Comparison) -> bool:
    """Return whether one of two values that disagree is the other with its sign exchanged."""
    if one.kind not in EXCHANGED or one.verdict != "disagree":
        return False
    return abs(one.first + one.second) <= COVERAGE_FACTOR * one.u
