"""`toebox start`: a new job file, ready to fill in."""

from __future__ import annotations

import os

import click
from click.shell_completion import CompletionItem

from toebox.cli import output
from toebox.cli.answer import JOB, STDIN

DEFAULT = "string-box"


def _offer(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Offer the names of the templates to the shell."""
    from toebox.job import templates

    return [CompletionItem(name) for name in templates.names() if name.startswith(incomplete)]


def _known(ctx: click.Context, param: click.Parameter, value: str) -> str:
    """Return a template's name, or refuse it and list those that there are."""
    from toebox.job import templates

    if value not in templates.names():
        raise click.BadParameter(f"{value!r}: choose from {', '.join(templates.names())}.")
    return value


@click.command("start")
@click.argument("file", type=JOB)
@click.option(
    "--from",
    "template",
    metavar="TEMPLATE",
    default=DEFAULT,
    show_default=True,
    callback=_known,
    shell_complete=_offer,
    help="What you measure: string-box, tape-only, toe-plates, steering-wheel, camber-and-caster "
    "or full.",
)
@click.option("--mm", is_flag=True, help="Lengths in millimetres instead of inches.")
@click.option("--example", is_flag=True, help="Keep the invented values: a job to try things on.")
@click.option("--force", is_flag=True, help="Replace FILE if it exists already.")
def command(file: str, template: str, mm: bool, example: bool, force: bool) -> None:
    """Write a new job FILE with every key explained, ready to fill in.

    What you still have to give stands as "?". Then let `toebox fill` ask you for it, print a
    sheet with `toebox sheet`, or write it in with any editor.

    \b
    Examples:
      toebox start my-car.toml
      toebox start my-car.toml --from tape-only --mm
      toebox start try.toml --example && toebox report try.toml
    """
    from toebox.errors import CannotWrite
    from toebox.job import templates
    from toebox.job.blank import blank, in_unit
    from toebox.report.files import write_whole

    make = in_unit if example else blank
    text = make(templates.text(template), "mm" if mm else "in")
    if file == STDIN:
        output.write_job(text)
        return
    if not force and os.path.lexists(file):  # be it a link that leads nowhere
        raise CannotWrite(f"{file} exists already; --force replaces it")
    write_whole(file, text.encode("utf-8"))
    for line in _next_steps(file, example=example):
        output.say(line)


def _next_steps(file: str, *, example: bool) -> list[str]:
    """Say what to do with the new job."""
    name = output.typed(file)
    if example:
        return [f"{file} is written, with invented values; for its results: toebox report {name}"]
    return [
        f"{file} is written. Next:",
        f"  toebox fill {name}     asks for what is open and saves each answer",
        f"  toebox sheet {name}    makes a sheet to print and fill in with a pencil",
        f"  toebox report {name}   when that is done: results, what to turn, and a PDF",
    ]
