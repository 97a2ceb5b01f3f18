"""From a job's path to its answers: what `report` and `solve` share."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from toebox.errors import ExitCode

if TYPE_CHECKING:
    from toebox.correct import PassCorrection
    from toebox.report.blocks import View
    from toebox.solve import Solution

    Answer = tuple[Solution, tuple[PassCorrection, ...]]

STDIN = "-"
JOB = click.Path(allow_dash=True)
CHECK = click.option(
    "--check",
    is_flag=True,
    help="Exit with 1 unless every goal is proven to be met in the last pass.",
)


def answer(job: str) -> Answer:
    """Read a job and work it out.

    Parameters
    ----------
    job : str
        Path of the job file, or ``-`` for standard input.

    Returns
    -------
    tuple
        The solution, and what to turn after each pass.

    Raises
    ------
    FaultyInput
        Where the job cannot be read.
    NoResult
        Where its readings give no single result.
    """
    from toebox.correct import correct
    from toebox.job import load
    from toebox.solve import solve

    solution = solve(load(job))
    return solution, correct(solution)


def view_of(found: Answer) -> View:
    """Return the report of an answer, safe to show."""
    from toebox.cli.output import cleaned
    from toebox.report.view import make_view

    return cleaned(make_view(*found))


def result_of(found: Answer) -> dict[str, Any]:
    """Return the answer as the JSON result."""
    from toebox.report.json import result

    return result(*found)


def goals_met(found: Answer) -> ExitCode:
    """Return the exit code of ``--check``: done only where every goal is proven to be met."""
    decisions = result_of(found)["passes"][-1]["decisions"]
    outcomes = [decision["outcome"] for decision in decisions.values()]
    met = bool(outcomes) and all(outcome == "within" for outcome in outcomes)
    return ExitCode.DONE if met else ExitCode.GOAL_NOT_MET
