"""`toebox fill`: ask for the readings of a job in walking order."""

from __future__ import annotations

from pathlib import Path

import click

from toebox.cli import output
from toebox.cli.answer import JOB, STDIN
from toebox.errors import ExitCode


@click.command("fill")
@click.argument("job", type=JOB)
@click.option("--again", is_flag=True, help="Ask for what is answered already as well.")
def command(job: str, again: bool) -> ExitCode:
    """Ask for the values of JOB one by one and save each as it is typed.

    The questions come in the order in which you walk round the car, the same as on the sheet and
    in the job file. Any usual spelling will do; a value that looks like a slip is asked about. Go
    back, skip, stop and go on another day as you like. As soon as results are known they are shown.
    Then further readings, goals and the tie rods can be added; adjusters ([[adjuster]]) are written
    in with an editor.

    \b
    Examples:
      toebox fill my-car.toml
      toebox fill my-car.toml --again
    """
    if job == STDIN:
        raise click.UsageError("fill writes into the job: give it a file.")
    if not Path(job).exists():
        output.say(f"to begin a job: toebox start {output.typed(job)}")
    from toebox.cli.fill_ends import converse
    from toebox.cli.filling import Filling

    filling = Filling(job)
    try:
        converse(filling, again=again)
    except KeyboardInterrupt:
        output.say(f"stopped; every answer is saved. To go on: toebox fill {output.typed(job)}")
        return ExitCode.INTERRUPTED
    return ExitCode.DONE
