"""How every setting stands against its goal: found, wanted, and the outcome by word and shape."""

from __future__ import annotations

from collections.abc import Mapping

from toebox.job.model import Job
from toebox.report.blocks import Section, Table
from toebox.report.view.standing import from_pass, state_words
from toebox.report.view.words import (
    SHAPES,
    goal_words,
    interval_of,
    name_of,
    outcome_words,
    value_of,
)
from toebox.solve.standing import Standing

UNKNOWN = f"{SHAPES['not measured']} not measured"


def against_goals(job: Job, stands: Mapping[str, Standing]) -> Section | None:
    """Say how the settings stand against the goals of the job.

    Parameters
    ----------
    job : Job
        Goals and units.
    stands : mapping of str to Standing
        Where each setting stands.

    Returns
    -------
    Section or None
        For page one; None for a job without goals.
    """
    if not job.goals:
        return None
    rows = tuple(_row(name, job, stands.get(name)) for name in job.goals)
    columns = ("Setting", "Found", "95 %", "Wanted", "Outcome")
    return Section("Against the goals", (Table(columns, rows, "llrll"),), summary=True)


def _row(name: str, job: Job, stand: Standing | None) -> tuple[str, ...]:
    """Return one goal with what was found."""
    wanted = goal_words(name, job.goals[name], job)
    if stand is None:
        return name_of(name), "not measured", "", wanted, UNKNOWN
    outcome = outcome_words(stand.decision) if stand.decision else "no tolerance given"
    return (
        name_of(name),
        value_of(name, stand.result.value, job) + from_pass(stand, job),
        interval_of(stand.result, job),
        wanted,
        state_words(stand) if stand.stale else outcome,
    )
