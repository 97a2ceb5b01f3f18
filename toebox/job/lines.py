"""Which line of a TOML text holds a key, found after the fact with the TOML reader alone.

The TOML reader gives values without their places. But a line that holds a key ends the
shortest beginning of the text that can be read and has the key; bisection finds it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

import tomli

Path = tuple[str | int, ...]

# Texts, notes and brackets: all that decides what is open at the end of a line.
_TOKEN = re.compile(
    r'''"""(?:\\.|[^\\])*?"{3,5}|"(?:\\.|[^"\\\n])*"'''
    r"""|'''.*?'{3,5}|'[^'\n]*'|#[^\n]*|[\[\]{}]""",
    re.DOTALL,
)
_CLOSING = {"[": "]", "{": "}"}
_MOST_CHARACTERS = 4_000_000  # read in all; a hostile file costs seconds, not hours


def find_lines(text: str, paths: Iterable[Path]) -> dict[Path, int | None]:
    r"""Find the line of each path, or of the nearest table or list around it.

    Parameters
    ----------
    text : str
        A TOML text that can be read as a whole.
    paths : iterable of tuple
        Keys and list positions (from 0), outermost first.

    Returns
    -------
    dict
        For each path its line, counted from 1; None where not even the outermost
        part of the path stands in the text, or the search would take too long.

    Examples
    --------
    >>> find_lines("a = 1\n[b]\nc = [\n 2,\n 3]\n", [("b", "c", 1), ("b", "d"), ("e",)])
    {('b', 'c', 1): 5, ('b', 'd'): 2, ('e',): None}
    """
    beginnings = _Beginnings(text)
    return {path: beginnings.line_of(path) for path in paths}


def first_unread(text: str) -> int:
    r"""Find where a text that ends too early begins to be unreadable.

    Parameters
    ----------
    text : str
        A TOML text that cannot be read because something in it is never closed.

    Returns
    -------
    int
        The line after the longest beginning that can be read, counted from 1; the last
        line that is not blank, where the search would take too long.

    Examples
    --------
    >>> first_unread("a = 1\nb = [\n 2,\n")
    2
    """
    lines = text.rstrip().split("\n")
    left = _MOST_CHARACTERS
    for count in range(len(lines) - 1, -1, -1):
        beginning = "\n".join(lines[:count])
        left -= len(beginning)
        if left < 0:
            break
        try:
            tomli.loads(beginning)
        except ValueError:
            continue
        return count + 1
    return len(lines)


class _Beginnings:
    """The beginnings of a text, a whole number of lines each, read when first asked for."""

    def __init__(self, text: str) -> None:
        text = text.replace("\r\n", "\n")
        self._lines = text.split("\n")
        self._closers = _closers(text)
        self._read: dict[int, dict[str, Any] | None] = {0: {}}
        self._left = _MOST_CHARACTERS

    def line_of(self, path: Path) -> int | None:
        """Return the line that completes `path`, or its nearest existing outer part."""
        try:
            path = path[: depth_of(self._upto(len(self._lines)), path)]
            if not path:
                return None
            low, high = 0, len(self._lines)  # not held at low, held at high
            while high - low > 1:
                middle = (low + high) // 2
                if depth_of(self._upto(middle), path) == len(path):
                    high = middle
                else:
                    low = middle
        except _TooLong:
            return None
        return high

    def _upto(self, count: int) -> dict[str, Any]:
        """Return what the longest readable beginning of at most `count` lines holds."""
        while (document := self._document(count)) is None:
            count -= 1
        return document

    def _document(self, count: int) -> dict[str, Any] | None:
        if count not in self._read:
            beginning = "\n".join(self._lines[:count]) + self._closers[count]
            self._left -= len(beginning)
            if self._left < 0:
                raise _TooLong
            try:
                self._read[count] = tomli.loads(beginning)
            except ValueError:
                self._read[count] = None
        return self._read[count]


def _closers(text: str) -> list[str]:
    """Return, for every number of lines, what closes whatever is open at their end."""
    closers = [""]
    brackets = ""
    done = 0
    for token in _TOKEN.finditer(text):
        closers += ["\n" + brackets] * text.count("\n", done, token.start())
        found, done = token.group(), token.end()
        closers += [f"\n{found[:3]}{brackets}"] * found.count("\n")
        if found in _CLOSING:
            brackets = _CLOSING[found] + brackets
        elif found in ("]", "}"):
            brackets = brackets[1:]
    return closers + ["\n" + brackets] * (text.count("\n", done) + 1)


class _TooLong(Exception):
    """The search has read more than it may."""


def depth_of(document: Any, path: Path) -> int:
    """Return how many parts of a path, from its start, exist in a document.

    Parameters
    ----------
    document : dict
        As the TOML reader gave it.
    path : tuple
        Keys, and places in lists.

    Returns
    -------
    int
        The length of the path where all of it is there [-].
    """
    for depth, part in enumerate(path):
        known: Any = ()
        if isinstance(document, dict):
            known = document
        elif isinstance(document, list):
            known = range(len(document))
        if part not in known:
            return depth
        document = document[part]
    return len(path)
