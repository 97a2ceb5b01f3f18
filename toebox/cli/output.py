"""The one way out to the terminal: results on standard output, messages on standard error.

What a user wrote may hold control characters; `say` and the layout of a report make them
visible, so that a title never moves the cursor or changes the colours of the terminal.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any, TextIO, TypeVar

import click

from toebox.errors import CannotWrite
from toebox.report.files import reason

if TYPE_CHECKING:
    from toebox.report.blocks import View

PIPE_WIDTH = 100
_WIDTHS = range(40, 121)
_MANY = 10  # from so many jobs on, progress is shown

_Item = TypeVar("_Item")


def say(text: str) -> None:
    """Write one message on standard error; where that is closed, say nothing."""
    from toebox.report.text import safe

    stream = sys.stderr
    with suppress(OSError, ValueError, AttributeError):
        stream.write(_encodable(f"toebox: {safe(text)}\n", stream))
        stream.flush()


def typed(path: str) -> str:
    """Return a path as it is typed in a command: in quotes where it holds a blank."""
    return f'"{path}"' if " " in path else path


def write(text: str) -> None:
    """Write a finished result and a line end on standard output, at once.

    Raises
    ------
    CannotWrite
        Where standard output is closed or the disk behind it is full.
    BrokenPipeError
        Where whoever read it has gone.
    """
    with _standard_output() as stream:
        stream.write(_encodable(f"{text}\n", stream))


def write_json(data: Any) -> None:
    """Write data as a line of JSON on standard output; raise as `write` does."""
    write(json_line(data))


def json_line(data: Any) -> str:
    """Return data as one line of JSON, in ASCII alone: it means the same in every encoding.

    Raises
    ------
    OverflowError
        Where a number is infinite or none at all, for which JSON has no word.
    """
    import ujson  # a third of the time of the standard writer

    return ujson.dumps(
        data, allow_nan=False, escape_forward_slashes=False, separators=(", ", ": ")
    )


def write_text(text: str) -> None:
    """Write a line on standard output, spelt in ASCII where its encoding lacks a sign."""
    from toebox.report.ascii import ascii_spelling

    lacking = sys.stdout is not None and text != _encodable(text, sys.stdout)
    write(ascii_spelling(text) if lacking else text)


def write_job(text: str) -> None:
    """Write a job file on standard output: in UTF-8 whatever the locale, unless it is shown."""
    if is_terminal(sys.stdout):
        write(text.rstrip("\n"))
    else:
        write_bytes(text.encode("utf-8"))


def write_bytes(data: bytes) -> None:
    """Write a file's bytes on standard output; raise as `write` does."""
    with _standard_output() as stream:
        stream.buffer.write(data)


@contextmanager
def _standard_output() -> Iterator[TextIO]:
    """Give standard output, flush it after, and say in plain words what hindered that."""
    stream = sys.stdout
    if stream is None:
        raise CannotWrite("the results cannot be written: standard output is closed")
    try:
        yield stream
        stream.flush()
    except (OSError, ValueError) as error:
        if reader_gone(error):
            raise
        abandon()
        why = reason(error)
        raise CannotWrite(f"the results cannot be written to standard output: {why}") from None


def show(view: View, *, summary: bool = False) -> None:
    """Lay a report out for standard output and write it there.

    Parameters
    ----------
    view : View
        The report.
    summary : bool
        Whether to leave out all but the summary.
    """
    from toebox.report.text import render_text

    width, colour = page_width(), use_colour()
    text = render_text(view, width, summary=summary, colour=colour)
    if sys.stdout is not None and text != _encodable(text, sys.stdout):
        text = render_text(view, width, summary=summary, colour=colour, ascii_only=True)
    write(text.rstrip("\n"))


def page_width() -> int:
    """Return how many columns to lay out for: the terminal's, within reason; 100 in a pipe."""
    import shutil

    columns = shutil.get_terminal_size((PIPE_WIDTH, 24)).columns
    return min(max(columns, _WIDTHS[0]), _WIDTHS[-1])


def use_colour() -> bool:
    """Tell whether standard output is a terminal whose user wants colour."""
    context = click.get_current_context(silent=True)
    if context is not None and context.color is not None:
        return context.color
    # The older console of Windows shows the codes themselves; its newer one sets WT_SESSION.
    plain = os.environ.get("TERM") == "dumb" or (os.name == "nt" and "WT_SESSION" not in os.environ)
    return is_terminal(sys.stdout) and not plain


@contextmanager
def progress(items: Iterable[_Item], number: int) -> Iterator[Iterable[_Item]]:
    """Give so many items back, with a bar on standard error where somebody can see and needs it."""
    seen = is_terminal(sys.stderr) and not is_terminal(sys.stdout)
    if number < _MANY or not seen:
        yield items
        return
    with click.progressbar(items, number, label="solving", file=sys.stderr) as bar:
        yield bar


def reader_gone(error: BaseException) -> bool:
    """Tell whether an error means that nobody reads standard output any more."""
    if isinstance(error, BrokenPipeError):
        return True
    return os.name == "nt" and isinstance(error, OSError) and error.errno == errno.EINVAL


def abandon() -> None:
    """Send what is left in standard output's buffer nowhere, so that leaving stays quiet."""
    with suppress(OSError, ValueError, AttributeError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def is_terminal(stream: TextIO | None) -> bool:
    """Tell whether a stream is there and is a terminal."""
    try:
        return stream is not None and stream.isatty()
    except ValueError:  # closed
        return False


def _encodable(text: str, stream: TextIO) -> str:
    """Return the text with what the stream's encoding lacks shown as escapes."""
    if text.isascii():
        return text
    encoding = getattr(stream, "encoding", None) or "utf-8"
    return text.encode(encoding, "backslashreplace").decode(encoding)
