"""`toebox solve`: results of one job or of many, for people or for programs."""

from __future__ import annotations

from dataclasses import replace
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
@click.option(
    "--working",
    is_flag=True,
    help="After the results, every formula with the numbers in it, to follow by hand.",
)
@CHECK
def command(
    jobs: tuple[str, ...], as_json: bool, budget: bool, working: bool, check: bool
) -> ExitCode:
    """Work out each JOB and print every result.

    A job with faults does not stop the others: its faults go to standard error, and the exit
    code tells of it at the end.

    \b
    Examples:
      toebox solve my-car.toml
      toebox solve --json cars/*.toml > results.jsonl
      toebox solve --budget --working my-car.toml
      toebox solve --check my-car.toml && echo "all goals are met"
    """
    if as_json and working:
        raise click.UsageError("--working is for people: it does not go with --json.")
    asked = {"json": as_json, "budget": budget, "working": working}
    form = frozenset(name for name, wanted in asked.items() if wanted)
    if jobs.count(STDIN) > 1:
        raise click.UsageError("Standard input (-) can be read only once.")
    codes = set()
    with output.progress(jobs) as line:
        for number, job in enumerate(line):
            codes.add(_solve_one(job, form, check=check, first=number == 0))
    return next((code for code in _GRAVEST_FIRST if code in codes), ExitCode.DONE)


def _solve_one(job: str, form: frozenset[str], *, check: bool, first: bool) -> ExitCode:
    """Print one job's results, or say what is wrong with it."""
    try:
        found = answer(job)
        _print(found, form, first=first)
        return check_goals(found) if check else ExitCode.DONE
    except CannotWrite:
        raise
    except ToeboxError as error:
        return explain(error)


def _print(found: Answer, form: frozenset[str], *, first: bool) -> None:
    """Print one job's results; `form` holds what was asked for: json, budget, working."""
    if "json" in form:
        import json

        # ASCII alone: the line means the same in every encoding.
        output.write(json.dumps(result_of(found), allow_nan=False))
        return
    if not first:
        output.write("\n")
    view = view_of(found, in_full="budget" in form)
    if "working" in form:
        from toebox.report.working import working

        view = replace(view, sections=(*view.sections, *working(*found)))
    output.show(view)
