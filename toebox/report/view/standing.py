"""Where every setting stands: its newest value, the pass it came from, stale or valid still."""

from __future__ import annotations

from collections.abc import Mapping

from toebox.job.model import Job
from toebox.report.blocks import Paragraph, Section, Table
from toebox.report.view.words import interval_of, name_of, value_of
from toebox.solve.results import Solution
from toebox.solve.standing import Standing

VALID, STALE = "● valid", "○ stale"


def where_all_stand(solution: Solution, stands: Mapping[str, Standing]) -> Section | None:
    """List the newest value of every setting.

    Parameters
    ----------
    solution : Solution
        A solved job.
    stands : mapping of str to Standing
        Where each setting stands.

    Returns
    -------
    Section or None
        None for a job of one pass: there everything is as that pass found it.
    """
    if len(solution.passes) < 2:
        return None
    job = solution.job
    rows = tuple(
        (
            name_of(name),
            value_of(name, stand.result.value, job),
            interval_of(stand.result, job),
            str(stand.number + 1),
            state_words(stand),
        )
        for name, stand in stands.items()
        if not name.startswith("toe_to_thrust")
    )
    table = Table(("Setting", "Newest value", "95 %", "Pass", "State"), rows, "llrrl")
    note = (
        f"{_named(solution)}{VALID}: nothing was turned since that moves it. {STALE}: a later turn "
        "has moved it, or may have; read it again before you rely on it."
    )
    return Section("Where every setting stands", (table, Paragraph(note, "note")))


def _named(solution: Solution) -> str:
    """Name two passes; the table of every pass names more."""
    if len(solution.passes) > 2:
        return ""
    named = ", ".join(f"{n}: {solved.label}" for n, solved in enumerate(solution.passes, 1))
    return f"Passes: {named}. "


def state_words(stand: Standing) -> str:
    """Say whether a value is valid still.

    Parameters
    ----------
    stand : Standing
        Where a setting stands.

    Returns
    -------
    str
        Shape and word, and what disturbed it.
    """
    if stand.disturbed_in is None:
        return VALID
    return f"{STALE} since pass {stand.disturbed_in + 1}: {' and '.join(stand.disturbed_by)}"


def from_pass(stand: Standing, job: Job) -> str:
    """Say from which pass a value came, where the job has several.

    Parameters
    ----------
    stand : Standing
        Where a setting stands.
    job : Job
        Its passes.

    Returns
    -------
    str
        Such as ``(pass 1, stale)``; empty for the last pass.
    """
    if stand.number == len(job.passes) - 1:  # nothing was turned after it
        return ""
    return f" (pass {stand.number + 1}{', stale' if stand.stale else ''})"
