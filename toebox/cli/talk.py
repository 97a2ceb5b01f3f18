"""A conversation on the terminal: lines out on standard error, answers in on standard input.

Nothing is drawn, moved or coloured, so that it works on every terminal, in a pipe and for a
screen reader. Results still go to standard output alone.
"""

from __future__ import annotations

import shutil
import sys
from contextlib import suppress

from toebox.cli.output import _encodable, is_terminal

_NARROWEST, _WIDEST = 20, 100


class NoMore(Exception):
    """Standard input has ended."""


def tell(text: str = "", indent: str = "", mark: str = "") -> None:
    """Write a text on standard error, wrapped to the terminal.

    Parameters
    ----------
    text : str
        One line; what a user wrote in it is made harmless.
    indent : str
        What each line begins with.
    mark : str
        What stands after that on the first line; the others are as far in.
    """
    from toebox.report.ascii import ascii_spelling
    from toebox.report.text import safe, wrapped

    stream = sys.stderr
    with suppress(OSError, ValueError, AttributeError):
        text = safe(text)
        if text != _encodable(text, stream):
            text = ascii_spelling(text)
        lines = wrapped(text, _width() - len(indent + mark)) if text else [""]
        first, rest = indent + mark, indent + " " * len(mark)
        told = ((rest if number else first) + line for number, line in enumerate(lines))
        stream.write("".join(line.rstrip() + "\n" for line in told))
        stream.flush()


def ask() -> str:
    """Ask for a line on standard input.

    Returns
    -------
    str
        What was typed, without blanks at its ends.

    Raises
    ------
    NoMore
        If standard input has ended.
    """
    while (typed := _line()) is None:
        tell("Not taken: it holds a sign that this terminal writes in another way.", "  ")
    if not typed:
        tell()
        raise NoMore
    if not is_terminal(sys.stdin):  # which has shown the answer and ended its line
        tell()
    return typed.strip()


def _line() -> str | None:
    """Return a line as typed, nothing at the end, None where it is no text of the locale."""
    with suppress(OSError, ValueError, AttributeError):
        sys.stderr.write("> ")
        sys.stderr.flush()
    try:
        typed = sys.stdin.readline()
        typed.encode("utf-8")  # a byte that means nothing may have been let through as a surrogate
    except UnicodeError:
        return None
    except (AttributeError, ValueError, OSError):  # closed, hung up or not readable
        return ""
    return typed


def _width() -> int:
    columns = shutil.get_terminal_size((_WIDEST, 24)).columns
    return min(max(columns, _NARROWEST), _WIDEST) - 1
