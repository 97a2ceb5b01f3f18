"""`toebox solve`: results of one job or of many, for people or for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from toebox.cli import output
from toebox.cli.answer import CHECK, JOB, STDIN, answer, check_goals, result_of, view_of
from toebox.cli.mishap import explain
from toebox.errors import CannotWrite, ExitCode, ToeboxError

if TYPE_CHECKING:
    from toebox.cli.answer import Answer

# Where several jobs end differently, the exit code is the first of these that came up.
_GRAVEST_FIRST = (ExitCode.FAULTY_INPUT, ExitCode.NO_RESULT, ExitCode.GOAL_NOT_MET)


@click.command("solve")
@click.argument("jobs", metavar="JOB...", nargs=-1, required=True, type=JOB)
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line for each job.")
@click.option(
    "--budget",
    is_flag=True,
    help="List every reading that the uncertainty of each result comes from.",
)
@CHECK
def command(jobs: tuple[str, ...], as_json: bool, budget: bool, check: bool) -> ExitCode:
    """Work out each JOB and print every result.

    A job with faults does not stop the others: its faults go to standard error, and the exit
    code tells of it at the end.

    \b
    Examples:
      toebox solve my-car.toml
      toebox solve --json cars/*.toml > results.jsonl
      toebox solve --budget my-car.toml
      toebox solve --check my-car.toml && echo "all goals are met"
    """
    if jobs.count(STDIN) > 1:
        raise click.UsageError("Standard input (-) can be read only once.")
    codes = set()
    with output.progress(jobs) as line:
        for number, job in enumerate(line):
            first = number == 0
            codes.add(_solve_one(job, as_json=as_json, budget=budget, check=check, first=first))
    return next((code for code in _GRAVEST_FIRST if code in codes), ExitCode.DONE)


def _solve_one(job: str, *, as_json: bool, budget: bool, check: bool, first: bool) -> ExitCode:
    """Print one job's results, or say what is wrong with it."""
    try:
        found = answer(job)
        _print(found, as_json=as_json, budget=budget, first=first)
        return check_goals(found) if check else ExitCode.DONE
    except CannotWrite:
        raise
    except ToeboxError as error:
        return explain(error)


def _print(found: Answer, *, as_json: bool, budget: bool, first: bool) -> None:
    """Print one job's results."""
    if as_json:
        import json

        # ASCII alone: the line means the same in every encoding.
        output.write(json.dumps(result_of(found), allow_nan=False))
        return
    if not first:
        output.write("\n")
    output.show(view_of(found, in_full=budget))
