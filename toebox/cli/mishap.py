"""From an error to a plain message on standard error and an exit code."""

from __future__ import annotations

import os
from collections.abc import Iterator

import click

from toebox.cli import output
from toebox.errors import ExitCode, FaultyInput, ToeboxError
from toebox.report.files import reason

_TRACEBACK = "TOEBOX_TRACEBACK"


def explain(error: BaseException) -> ExitCode:
    """Say on standard error what went wrong, and return the exit code for it.

    Parameters
    ----------
    error : BaseException
        What stopped the command.

    Returns
    -------
    ExitCode
        The code with which to leave.
    """
    if output.reader_gone(error):
        output.abandon()
        return ExitCode.READER_GONE
    if isinstance(error, KeyboardInterrupt | click.Abort):
        output.say("stopped")
        return ExitCode.INTERRUPTED
    for line in lines_of(error):
        output.say(line)
    return _code(error)


def _code(error: BaseException) -> ExitCode:
    """Return the exit code of an error."""
    if isinstance(error, ToeboxError):
        return error.exit_code
    if isinstance(error, click.ClickException):
        return ExitCode.USAGE
    if isinstance(error, OSError):
        output.abandon()
        return ExitCode.CANNOT_WRITE
    return ExitCode.OWN_FAULT


def lines_of(error: BaseException) -> Iterator[str]:
    """Yield the message of an error.

    Parameters
    ----------
    error : BaseException
        What went wrong.

    Yields
    ------
    str
        Line by line.
    """
    if isinstance(error, FaultyInput) and error.faults:
        yield from (f"{error.source}: {fault}" for fault in error.faults)
        if any(fault.given == '"?"' for fault in error.faults):
            name = "JOB" if error.source == "standard input" else output.typed(error.source)
            yield f'"?" is a value left open; to be asked for it: toebox fill {name}'
    elif isinstance(error, ToeboxError):
        yield from str(error).splitlines()
    elif isinstance(error, click.ClickException):
        yield error.format_message()
        if isinstance(error, click.UsageError) and error.ctx is not None:
            yield f"for help: {error.ctx.command_path} --help"
    elif isinstance(error, OSError):
        yield reason(error)
    else:
        yield from _own_fault(error)


def _own_fault(error: BaseException) -> Iterator[str]:
    """Yield what to say of an error that should never have come up."""
    yield f"a fault in toebox itself, not in your readings: {type(error).__name__}: {error}"
    if os.environ.get(_TRACEBACK):
        import traceback

        yield from "".join(traceback.format_exception(error)).splitlines()
    else:
        yield f"set {_TRACEBACK}=1 to see where, and please report it"
