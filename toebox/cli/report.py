"""`toebox report`: the main job, from readings to a summary and a PDF."""

from __future__ import annotations

import click

from toebox.cli import output, paper
from toebox.cli.answer import CHECK, JOB, STDIN, answer, check_goals, view_of
from toebox.errors import ExitCode


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
@paper.PAPER
@CHECK
def command(job: str, target: str | None, size: str, check: bool) -> ExitCode:
    """Work out JOB: print a summary and write the whole report as a PDF.

    The summary says what to do, in order, with the readings to stop at, and what was found. The
    PDF adds the drawings, the comparison of passes, what was assumed, where the uncertainty comes
    from, which slips would be noticed, what was not measured, and the cautions for the whole work:
    read those before you turn anything.

    \b
    Examples:
      toebox report my-car.toml
      toebox report my-car.toml -o spring.pdf --paper letter
    """
    where = paper.place(job, target, paper.beside(job, ".pdf", "report.pdf"))
    found = answer(job)
    view = view_of(found)
    from toebox.report.pdf import render_pdf

    pdf = render_pdf(view, paper=paper.PAPERS[size])
    if where == STDIN:
        paper.write(where, pdf)
    else:
        try:
            paper.write(where, pdf)
        finally:
            output.show(view, summary=True)
        output.say(f"the whole report is in {where}")
    return check_goals(found) if check else ExitCode.DONE
