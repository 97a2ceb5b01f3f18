"""Which line of a TOML text holds a key, found after the fact with the standard reader alone.

The standard reader gives values without their places. But a line that holds a key ends the
shortest beginning of the text that can be read and has the key; bisection finds it.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from itertools import product
from typing import Any

Path = tuple[str | int, ...]

# What a beginning may lack at its end: the close of a text, then of lists and tables.
_CLOSERS = tuple(
    text + brackets
    for brackets, text in product(
        ("", "\n]", "\n]]", "\n]}", "\n]}]", "\n}", "\n}]"), ("", '\n"""', "\n'''")
    )
)
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


class _Beginnings:
    """The beginnings of a text, a whole number of lines each, read when first asked for."""

    def __init__(self, text: str) -> None:
        self._lines = text.replace("\r\n", "\n").split("\n")
        self._read: dict[int, dict[str, Any] | None] = {0: {}}
        self._left = _MOST_CHARACTERS

    def line_of(self, path: Path) -> int | None:
        """Return the line that completes `path`, or its nearest existing outer part."""
        try:
            path = path[: _depth(self._upto(len(self._lines)), path)]
            if not path:
                return None
            low, high = 0, len(self._lines)  # not held at low, held at high
            while high - low > 1:
                middle = (low + high) // 2
                if _depth(self._upto(middle), path) == len(path):
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
            self._read[count] = self._load("\n".join(self._lines[:count]))
        return self._read[count]

    def _load(self, text: str) -> dict[str, Any] | None:
        for closer in _CLOSERS:
            self._left -= len(text)
            if self._left < 0:
                raise _TooLong
            try:
                return tomllib.loads(text + closer)
            except ValueError:
                continue
        return None


class _TooLong(Exception):
    """The search has read more than it may."""


def _depth(document: Any, path: Path) -> int:
    """Return how many parts of `path`, from its start, exist in `document`."""
    for depth, part in enumerate(path):
        try:
            document = document[part]
        except (KeyError, IndexError, TypeError):
            return depth
    return len(path)
