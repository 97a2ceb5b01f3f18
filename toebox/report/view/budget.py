"""What the uncertainty of each result comes from, in short and in full."""

from __future__ import annotations

from toebox.job.model import Job
from toebox.report.blocks import Block, Paragraph, Section, Table
from toebox.report.view.words import (
    ASSUMPTIONS,
    MAIN,
    digits_of,
    finely,
    interval_of,
    name_of,
    reading_words,
)
from toebox.solve.budget import Share, budgets, kind_of
from toebox.solve.results import PassSolution
from toebox.units import write

NAMED, LEAST = 3, 0.05  # so many kinds in the short table, from this share on
ROUND_OFF = 0.005  # shares below this are added up in the full tables
KINDS = {
    "string": "string readings",
    "string.bars": "widths at the bars",
    "tape.front": "tape, front axle",
    "tape.rear": "tape, rear axle",
    "steering_wheel_off": "road test",
    "inclinometer": "inclinometer and turn plates",
    "turn": "turn plates",
    "floor": "heights of the floor",
    "wheelbase_left": "wheelbase, left",
    "wheelbase_right": "wheelbase, right",
}
HEADING = "Where the uncertainty comes from"
SHORT = (
    "Shares of the variance: what comes first is what to improve first. toebox solve --budget "
    "lists every reading."
)
FULL = (
    "Contribution: by how much the result would change if the reading changed by its own standard "
    "uncertainty; repeats of one reading are taken together. The root of the sum of the squares "
    "is the standard uncertainty of the result (GUM 5.1.2); shares are of its square."
)


def budget(job: Job, solved: PassSolution) -> Section | None:
    """Say in short what the uncertainty of the main results comes from.

    Parameters
    ----------
    job : Job
        For its goals.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    Section or None
        None where nothing was determined.
    """
    names = [n for n in dict.fromkeys((*job.goals, *MAIN)) if n in solved.results]
    names = names or list(solved.results)
    if not names:
        return None
    rows = tuple(
        (name_of(name), interval_of(solved[name], job), _short(shares))
        for name, shares in budgets(solved, names, kind_of).items()
    )
    table = Table(("Result", "95 %", "Comes from"), rows, "lrl")
    return Section(HEADING, (table, Paragraph(SHORT, "note")))


def _short(shares: tuple[Share, ...]) -> str:
    named = [s for s in shares[:NAMED] if s.share >= LEAST]
    words = [f"{kind_words(s.reading)} {write.percent(s.share)}" for s in named]
    rest = 1.0 - sum(s.share for s in named)
    return "; ".join([*words, f"the rest {write.percent(rest)}"] if rest > ROUND_OFF else words)


def kind_words(name: str) -> str:
    """Return the name of a kind of reading in plain words.

    Parameters
    ----------
    name : str
        As `toebox.solve.budget.kind_of` gives it.

    Returns
    -------
    str
        For example ``widths at the bars``.
    """
    return KINDS[name] if name in KINDS else ASSUMPTIONS[name.removeprefix("assumed.")]


def full_budget(job: Job, solved: PassSolution) -> Section | None:
    """List every reading that contributes to the uncertainty of each result.

    Parameters
    ----------
    job : Job
        For units.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    Section or None
        None where nothing was determined.
    """
    blocks: list[Block] = [Paragraph(FULL)]
    for name, shares in budgets(solved).items():
        caption = f"{name_of(name)} {interval_of(solved[name], job)} (95 %)"
        columns = ("Reading", "Contribution", "Share")
        blocks.append(Table(columns, _rows(name, shares, job), "lrr", caption))
    return Section(HEADING, tuple(blocks)) if len(blocks) > 1 else None


def _rows(
    name: str, shares: tuple[Share, ...], job: Job
) -> tuple[tuple[str, str, str], ...]:
    listed = [s for s in shares if s.share >= ROUND_OFF]
    rows = [
        (reading_words(s.reading), _u(name, s.u, job), write.percent(s.share, 1)) for s in listed
    ]
    rest = 1.0 - sum(s.share for s in listed)
    return (*rows, ("all others", "", write.percent(rest, 1))) if rest > 0.0005 else tuple(rows)


def _u(name: str, u: float, job: Job) -> str:
    """Return a contribution with one decimal more than the result has."""
    if name == "setback":
        return f"± {finely(u, job)}"
    return f"± {write.degrees(u, digits_of(name) + 1)}"
