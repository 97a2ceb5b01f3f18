"""Where a PDF goes and on which paper: what `report` and `sheet` share."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from toebox.cli import output
from toebox.cli.answer import STDIN

PAPERS = {"a4": "A4", "letter": "Letter"}
PAPER = click.option(
    "--paper",
    "size",
    type=click.Choice(list(PAPERS), case_sensitive=False),
    default="a4",
    show_default=True,
    help="Size of the pages.",
)


def beside(job: str | None, ending: str, without: str) -> str:
    """Return where a PDF goes unless told otherwise: beside its job.

    Parameters
    ----------
    job : str or None
        The job's path, ``-`` for standard input, None where there is none.
    ending : str
        What stands in place of the ending of the job's name.
    without : str
        The path where there is no job, or none with a name (``/``, ``.``, a drive).

    Returns
    -------
    str
        A path.
    """
    path = Path(job or "")
    return without if job == STDIN or not path.name else str(path.with_name(path.stem + ending))


def place(job: str | None, target: str | None, usual: str) -> str:
    """Return where a PDF goes; refuse the job's own file and a terminal.

    Parameters
    ----------
    job : str or None
        The job's path, ``-`` for standard input, None where there is none.
    target : str or None
        What was asked for, ``-`` for standard output; None for the usual place.
    usual : str
        The usual place.

    Returns
    -------
    str
        A path, or ``-``.

    Raises
    ------
    click.UsageError
        If the PDF would go where it cannot.
    """
    if target is None:
        target = usual
    if target == STDIN and output.is_terminal(sys.stdout):
        raise click.UsageError("A PDF is nothing for a terminal to show: name a file.")
    if job is not None and STDIN not in (job, target) and _same(job, target):
        raise click.UsageError(f"The PDF would replace the job file {job}.")
    return target


def write(where: str, pdf: bytes) -> None:
    """Write the PDF, whole, to a path or to standard output."""
    if where == STDIN:
        output.write_bytes(pdf)
        return
    from toebox.report.files import write_whole

    write_whole(where, pdf)


def _same(job: str, target: str) -> bool:
    """Tell whether two paths mean one file that exists."""
    try:
        return Path(job).samefile(target)
    except OSError:
        return False
