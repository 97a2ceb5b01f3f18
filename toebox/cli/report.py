"""`toebox report`: the main job, from readings to a summary and a PDF."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from toebox.cli import output
from toebox.cli.answer import CHECK, JOB, STDIN, answer, check_goals, view_of
from toebox.errors import ExitCode

if TYPE_CHECKING:
    from toebox.report.blocks import View

_PAPERS = {"a4": "A4", "letter": "Letter"}


@click.command("report")
@click.argument("job", type=JOB)
@click.option(
    "-o",
    "--output",
    "target",
    type=JOB,
    metavar="FILE.pdf",
    help="Where to write the PDF; without it, beside the job. - writes it to standard output.",
)
@click.option(
    "--paper",
    type=click.Choice(list(_PAPERS), case_sensitive=False),
    default="a4",
    show_default=True,
    help="Size of the pages.",
)
@CHECK
def command(job: str, target: str | None, paper: str, check: bool) -> ExitCode:
    """Work out JOB: print a summary and write the whole report as a PDF.

    The summary says what was found and what to turn. The PDF adds the drawings, the working
    order, the readings to stop at and the cautions: read those before you turn anything.

    \b
    Examples:
      toebox report my-car.toml
      toebox report my-car.toml -o spring.pdf --paper letter
    """
    place = _place(job, target)
    if place == STDIN and output.is_terminal(sys.stdout):
        raise click.UsageError("A PDF is nothing for a terminal to show: name a file.")
    found = answer(job)
    view = view_of(found)
    pdf = _pdf(view, _PAPERS[paper])
    if place == STDIN:
        output.write_bytes(pdf)
    else:
        try:
            _write(place, pdf)
        finally:
            output.show(view, summary=True)
        output.say(f"the whole report is in {place}")
    return check_goals(found) if check else ExitCode.DONE


def _pdf(view: View, paper: str) -> bytes:
    """Lay the report out on pages."""
    from toebox.report.pdf import render_pdf

    return render_pdf(view, paper=paper)


def _write(place: str, pdf: bytes) -> None:
    """Write the PDF, whole."""
    from toebox.report.files import write_whole

    write_whole(place, pdf)


def _place(job: str, target: str | None) -> str:
    """Return where the PDF goes; refuse the job's own file."""
    if target is None:
        return "report.pdf" if job == STDIN else str(Path(job).with_suffix(".pdf"))
    if STDIN not in (job, target) and _same(job, target):
        raise click.UsageError(f"The PDF would replace the job file {job}.")
    return target


def _same(job: str, target: str) -> bool:
    """Tell whether two paths mean one file that exists."""
    try:
        return Path(job).samefile(target)
    except OSError:
        return False
