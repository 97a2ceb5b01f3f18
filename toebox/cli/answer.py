"""From a job's path to its answers: what `report` and `solve` share."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from toebox.cli import output
from toebox.errors import ExitCode

if TYPE_CHECKING:
    from toebox.correct import PassCorrection
    from toebox.job.model import Job
    from toebox.report.blocks import View
    from toebox.solve.results import Solution

    Answer = tuple[Solution, tuple[PassCorrection, ...]]

STDIN = "-"


class _JobPath(click.Path):
    """A path, or ``-``; an empty text, as of a shell's variable that is not set, is neither."""

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Any:
        if not value:
            self.fail("it is empty: wanted the name of a file.", param, ctx)
        return super().convert(value, param, ctx)


JOB = _JobPath(allow_dash=True)
CHECK = click.option(
    "--check",
    is_flag=True,
    help="Exit with 1 unless there are goals with a tolerance and each is proven to be met by its "
    "newest reading.",
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
    found: Any = job
    for step in STEPS:
        found = step(found)
    return found  # type: ignore[no-any-return]


def _read(job: str) -> Job:
    from toebox.job import load

    return load(job)


def _solved(job: Job) -> Solution:
    from toebox.solve import solve

    return solve(job)


def _corrected(solution: Solution) -> Answer:
    from toebox.correct import correct

    return solution, correct(solution)


STEPS = (_read, _solved, _corrected)  # from the path of a job to its answer


def view_of(found: Answer, *, in_full: bool = False) -> View:
    """Return the report of an answer, `in_full` with the whole uncertainty budget."""
    from toebox.report.view.whole import make_view

    return make_view(*found, in_full=in_full)


def result_of(found: Answer) -> dict[str, Any]:
    """Return the answer as the JSON result."""
    from toebox.report.json import result

    return result(*found)


def check_goals(found: Answer) -> ExitCode:
    """Say which goals are not proven to be met; return the code of ``--check``.

    Parameters
    ----------
    found : tuple
        The solution, and what to turn after each pass.

    Returns
    -------
    ExitCode
        Whether every goal is met.
    """
    missed = goals_missed(found)
    for message in missed:
        output.say(message)
    return ExitCode.GOAL_NOT_MET if missed else ExitCode.DONE


def goals_missed(found: Answer) -> tuple[str, ...]:
    """Return a message for each goal that is not proven to be met; none where all are.

    The newest reading of each setting counts, whichever pass it is from, unless something was
    turned since that moves it.

    Parameters
    ----------
    found : tuple
        The solution, and what to turn after each pass.

    Returns
    -------
    tuple of str
        Name of the job, goal, and outcome.
    """
    from toebox.report.view.words import name_of
    from toebox.solve.standing import standing

    solution, _ = found
    stands = standing(solution)
    banded = [name for name, goal in solution.job.goals.items() if goal.tolerance is not None]
    if not banded:
        return (f"{solution.job.source}: no goal with a tolerance, so nothing can be checked",)
    missed = []
    for name in banded:
        stand = stands.get(name)
        outcome = "not measured"
        if stand is not None and stand.outcome:
            outcome = f"stale, {stand.why}" if stand.stale else stand.outcome
        if outcome != "within":
            missed.append(f"{solution.job.source}: {name_of(name)}: {outcome}")
    return tuple(missed)
