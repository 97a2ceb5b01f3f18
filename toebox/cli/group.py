"""The group of commands: imports each late, and turns every error into a message and a code."""

from __future__ import annotations

import atexit
import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import Any, cast

import click

from toebox import __version__

# Every command with its line in `toebox --help`, in the order of the help.
# The command itself is `command` in the module toebox.cli.<name>.
COMMANDS = {
    "report": "Work out a job: a summary here, the whole report as a PDF.",
    "solve": "Work out one job or many: results here, or as JSON.",
    "start": "Write a new job file to fill in.",
    "fill": "Ask for the readings in walking order, checking and saving each.",
    "sheet": "Write a sheet to print and fill in with a pencil.",
    "foresee": "Say before measuring what the readings planned will prove.",
    "centre": "Centre a crooked steering wheel, without a job file.",
    "sweep": "Give caster of one wheel from camber at two or more steer angles.",
    "convert": "Give toe in inches, millimetres, degrees, minutes and side-slip.",
}

NAME = "toebox"
_COMPLETE = "_TOEBOX_COMPLETE"


class LateGroup(click.Group):
    """A group that knows its commands by name and imports one only when it is wanted."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of the commands in the order of the help."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import a command's module and return the command; None where there is none."""
        if cmd_name not in COMMANDS:
            return None
        return cast("click.Command", import_module(f"toebox.cli.{cmd_name}").command)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command that the arguments begin with, or name the nearest one."""
        if args[0] in COMMANDS or args[0].startswith("-") or ctx.resilient_parsing:
            return super().resolve_command(ctx, args)
        from difflib import get_close_matches

        near = get_close_matches(args[0], COMMANDS, n=1)
        hint = f"Did you mean {near[0]!r}?" if near else f"There are: {', '.join(COMMANDS)}."
        raise click.UsageError(f"There is no command {args[0]!r}. {hint}", ctx)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without importing any of them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        windows_expand_args: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command line and exit with its code (see `toebox.errors.ExitCode`)."""
        if not standalone_mode:
            return super().main(args, prog_name or NAME, complete_var, False, **extra)
        if instruction := os.environ.get(_COMPLETE):
            from click.shell_completion import shell_complete

            sys.exit(shell_complete(self, extra, NAME, _COMPLETE, instruction))
        _rarely_collect()
        sys.exit(self._run(_arguments() if args is None else list(args), extra))

    def _run(self, args: list[str], extra: dict[str, Any]) -> int:
        """Run a command line and return its exit code; never raise."""
        if os.environ.get("NO_COLOR"):
            extra.setdefault("color", False)
        try:
            with self.make_context(NAME, args, **extra) as ctx:
                return int(self.invoke(ctx) or 0)
        except click.exceptions.Exit as stop:
            return stop.exit_code
        except (Exception, KeyboardInterrupt) as error:
            from toebox.cli.mishap import explain

            return int(explain(error))


def _rarely_collect() -> None:
    """Let the memory be searched for rings of garbage seldom: commands make few, and end soon."""
    gc.set_threshold(100_000)
    atexit.register(gc.freeze)  # nor all that is left at the end


def _arguments() -> list[str]:
    """Return the process's arguments; on Windows, where no shell does it, expand wildcards."""
    if os.name != "nt":
        return sys.argv[1:]
    from glob import glob  # patterns as typed, absolute ones too

    names = []
    for given in sys.argv[1:]:
        there = os.path.lexists(given)  # car[1].toml is a name there, not a wildcard for car1.toml
        names += [given] if there else sorted(glob(given)) or [given]  # noqa: PTH207
    return names


@click.group(
    NAME,
    cls=LateGroup,
    invoke_without_command=True,
    subcommand_metavar="COMMAND ...",
    options_metavar="",
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
)
@click.version_option(__version__, "-V", "--version", message="%(prog)s %(version)s")
@click.pass_context
def main(ctx: click.Context) -> None:
    """Wheel alignment at home: from string, tape and gauge readings to what to turn.

    \b
    toebox start my-car.toml     a job file to fill in
    toebox fill my-car.toml      asks for each value and saves it
    toebox report my-car.toml    what was found and what to turn, as a PDF too

    Every command takes --help. A job named - is read from standard input.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())
