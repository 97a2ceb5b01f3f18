"""`toebox solve`: results of one job or of many, for people or for programs."""

from __future__ import annotations

from contextlib import closing

import click

from toebox.cli import output
from toebox.cli.answer import CHECK, JOB, STDIN, answer, check_goals, view_of
from toebox.cli.mishap import explain
from toebox.errors import CannotWrite, ExitCode, ToeboxError

# Where several jobs end differently, the exit code is the first of these that any of them has.
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
    code tells of it at the end. With --json, 200 jobs or more are shared among all processors.

    \b
    Examples:
      toebox solve my-car.toml
      toebox solve --json cars/*.toml > results.jsonl
      toebox solve --budget --working my-car.toml
      toebox solve --check my-car.toml && echo "all goals are met"
    """
    if as_json and working:
        raise click.UsageError("--working is for people: it does not go with --json.")
    if jobs.count(STDIN) > 1:
        raise click.UsageError("Standard input (-) can be read only once.")
    if as_json:
        codes = _solve_as_json(jobs, check)
    else:
        asked = {"budget": budget, "working": working}
        parts = frozenset(part for part, wanted in asked.items() if wanted)
        with output.progress(jobs, len(jobs)) as line:
            codes = {_solve_one(job, parts, check, n > 0) for n, job in enumerate(line)}
    return next((code for code in _GRAVEST_FIRST if code in codes), ExitCode.DONE)


def _solve_as_json(jobs: tuple[str, ...], check: bool) -> set[ExitCode]:
    """Print one line of JSON for each job, or say what is wrong with it."""
    from toebox.cli.batch import tell_all

    codes = set()
    with closing(tell_all(jobs, check)) as all_told, output.progress(all_told, len(jobs)) as line:
        for told in line:
            if told.line is not None:
                output.write(told.line)
            for message in told.messages:
                output.say(message)
            codes.add(told.code)
    return codes


def _solve_one(job: str, parts: frozenset[str], check: bool, apart: bool) -> ExitCode:
    """Print one job's results, apart from what went before, or say what is wrong with it."""
    try:
        found = answer(job)
        if apart:
            output.write("\n")
        view = view_of(found, in_full="budget" in parts)
        if "working" in parts:
            from toebox.report.working import working

            view = view._replace(sections=(*view.sections, *working(*found)))
        output.show(view)
        return check_goals(found) if check else ExitCode.DONE
    except CannotWrite:
        raise
    except ToeboxError as error:
        return explain(error)
