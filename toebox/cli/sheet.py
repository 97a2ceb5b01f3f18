"""`toebox sheet`: a sheet to print and fill in with a pencil."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from toebox.cli import output, paper
from toebox.cli.answer import JOB, STDIN

if TYPE_CHECKING:
    from toebox.report.sheet import Sheet


@click.command("sheet")
@click.argument("job", type=JOB, required=False)
@click.option(
    "-o",
    "--output",
    "target",
    type=JOB,
    metavar="FILE.pdf",
    help="Where to write the PDF; without it sheet.pdf, or beside the job with -sheet added to "
    "its name. - writes it to standard output.",
)
@paper.PAPER
def command(job: str | None, target: str | None, size: str) -> None:
    """Write a PDF to print and fill in with a pencil: every key of a job file, in its order.

    With JOB, a sheet for its next pass: first what to turn and the readings to stop at, then the
    kinds of reading that this job uses, what is known (filled in), and what else could be read.

    \b
    Examples:
      toebox sheet
      toebox sheet my-car.toml --paper letter
    """
    where = paper.place(job, target, paper.beside(job, "-sheet.pdf", "sheet.pdf"))
    sheet = _sheet(job)
    from toebox.report.sheet_pdf import render_sheet

    paper.write(where, render_sheet(sheet, paper=paper.PAPERS[size]))
    if where != STDIN:
        output.say(f"the sheet is in {where}")


def _sheet(job: str | None) -> Sheet:
    """Return the sheet: blank, or for the next pass of a job."""
    from toebox.report.view.sheet import make_sheet

    if job is None:
        return make_sheet()
    from toebox.correct import correct
    from toebox.errors import NoResult
    from toebox.job.reader import load_written
    from toebox.solve import solve

    taken, written = load_written(job)
    try:
        solution = solve(taken)
    except NoResult:
        return make_sheet(written)
    return make_sheet(written, solution, correct(solution))
