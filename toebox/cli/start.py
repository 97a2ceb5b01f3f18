"""`toebox start`: a new job file, ready to fill in."""

from __future__ import annotations

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
    help="What you measure with: string-box, tape-only, toe-plates, steering-wheel or full.",
)
@click.option("--force", is_flag=True, help="Replace FILE if it exists already.")
def command(file: str, template: str, force: bool) -> None:
    """Write a new job FILE with every key explained, ready to fill in.

    A FILE named - prints it instead.

    \b
    Examples:
      toebox start my-car.toml
      toebox start my-car.toml --from tape-only
    """
    from toebox.errors import CannotWrite
    from toebox.job import templates
    from toebox.report.files import write_whole

    text = templates.text(template)
    if file == STDIN:
        output.write(text.rstrip("\n"))
        return
    if not force and _exists(file):
        raise CannotWrite(f"{file} exists already; --force replaces it")
    write_whole(file, text.encode("utf-8"))
    output.say(f"{file} is written; fill it in, then: toebox report {file}")


def _exists(file: str) -> bool:
    """Tell whether there is something at the path, be it a link that leads nowhere."""
    import os

    return os.path.lexists(file)
