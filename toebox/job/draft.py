"""A job file while it is being filled in: values change, notes and layout stay.

A value that is there already is replaced in its place; a new key goes below the last one of its
table. What comes out is read again by the TOML reader and must hold exactly the old values
and the new one; otherwise nothing is changed.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

import tomli

from toebox.errors import ToeboxError
from toebox.job.layout import added, written
from toebox.job.lines import Path, depth_of
from toebox.job.notes import dotted

Changes = Sequence[tuple[Path, Any]]


class CannotChange(ToeboxError):
    """The file is laid out in a way that a value cannot be put into; it is as it was."""


class Draft:
    """The text of a job file that can be read as TOML, and changes to it.

    Parameters
    ----------
    text : str
        The whole file; line ends and a mark of the byte order stay as they are.

    Raises
    ------
    ValueError
        If it is no TOML.
    """

    def __init__(self, text: str) -> None:
        self._mark = text[: text.startswith("\ufeff")]
        self._crlf = "\r\n" in text
        self._text = text.removeprefix("\ufeff").replace("\r\n", "\n")
        self.document: dict[str, Any] = tomli.loads(self._text)

    @property
    def text(self) -> str:
        """The whole file as it is now."""
        return self._mark + (self._text.replace("\n", "\r\n") if self._crlf else self._text)

    def get(self, path: Path) -> Any:
        """Return what stands at a path, None where nothing does."""
        if depth_of(self.document, path) < len(path):
            return None
        found: Any = self.document
        for part in path:
            found = found[part]
        return found

    def set(self, path: Path, value: Any) -> None:
        """Put a value at a path; make the tables that lead there where they are missing.

        Parameters
        ----------
        path : tuple
            Keys, and places in lists.
        value : str or int or float or bool or date or list or dict
            As the file is to hold it.

        Raises
        ------
        CannotChange
            If the file cannot be changed so; it is as it was.
        """
        wanted = copy.deepcopy(self.document)
        try:
            put(wanted, path, value)
        except (TypeError, LookupError):
            raise CannotChange(f"{dotted(path)} stands where a single value is") from None
        known = depth_of(self.document, path)
        ways: list[Callable[[], str]] = [lambda: _replaced(self._text, [(path, value)])]
        if known < len(path):
            ways.insert(0, lambda: added(self._text, path, known, value))
        self._take(ways, wanted, path)

    def replace(self, changes: Changes) -> None:
        """Put many values in the place of old ones, as `set` does, in one go.

        Parameters
        ----------
        changes : sequence of tuple
            Paths that are there, each with its new value.

        Raises
        ------
        CannotChange
            If the file cannot be changed so; it is as it was.
        """
        wanted = copy.deepcopy(self.document)
        for path, value in changes:
            put(wanted, path, value)
        where = changes[0][0] if changes else ()
        self._take([lambda: _replaced(self._text, changes)], wanted, where)

    def remove(self, path: Path) -> None:
        """Take a value out, and the lists and tables that hold nothing more without it.

        Parameters
        ----------
        path : tuple
            Where it is; it must be there.

        Raises
        ------
        CannotChange
            If the file cannot be changed so; it is as it was.
        """
        while len(path) > (3 if path[0] == "pass" else 1) and len(self.get(path[:-1])) == 1:
            path = path[:-1]
        wanted = copy.deepcopy(self.document)
        holder: Any = wanted
        for part in path[:-1]:
            holder = holder[part]
        del holder[path[-1]]
        self._take([lambda: _removed(self._text, path)], wanted, path)

    def add_pass(self, text: str) -> None:
        """Add a whole ``[[pass]]`` at the end.

        Parameters
        ----------
        text : str
            Its lines.

        Raises
        ------
        CannotChange
            If the file cannot be changed so; it is as it was.
        """
        wanted = copy.deepcopy(self.document)
        wanted.setdefault("pass", []).extend(tomli.loads(text)["pass"])
        whole = f"{self._text.rstrip()}\n\n{text}"
        self._take([lambda: whole], wanted, ("pass",))

    def _take(self, ways: list[Callable[[], str]], wanted: dict[str, Any], path: Path) -> None:
        """Take the first text that means exactly what is wanted."""
        for way in ways:
            try:
                text = way()
                if tomli.loads(text) == wanted:
                    self._text, self.document = text, wanted
                    return
            except (ValueError, TypeError, LookupError, AttributeError):
                continue
        raise CannotChange(f"{dotted(path)} cannot be written into this file by a program")


def put(holder: Any, path: Path, value: Any) -> None:
    """Put a value into a document as the TOML reader gave it.

    Parameters
    ----------
    holder : dict
        The document; it is changed.
    path : tuple
        Keys, and places in lists; tables that are missing are made.
    value : object
        What is to stand there.

    Raises
    ------
    TypeError or LookupError
        If the path leads into a single value, or beyond the end of a list.
    """
    for part, after in pairwise(path):
        if isinstance(holder, dict) and part not in holder:
            holder[part] = [] if isinstance(after, int) else {}
        holder = holder[part]
    if isinstance(holder, list) and path[-1] == len(holder):
        holder.append(value)
    else:
        holder[path[-1]] = value


def _replaced(text: str, changes: Changes) -> str:
    """Return the text with values in the place of the old ones."""
    import tomlkit

    document = tomlkit.parse(text)
    for path, value in changes:
        line = _item_of_line(document, path)
        before = "" if line is None else line.as_string()
        _replace(document, path, value)
        line = _item_of_line(document, path)
        if line is not None:
            _realign(line, len(line.as_string()) - len(before))
    return tomlkit.dumps(document)


def _replace(document: Any, path: Path, value: Any) -> None:
    """Put a value into the place of the old one, or into the table that lacks it."""
    from tomlkit.items import InlineTable

    holder = document
    for depth, part in enumerate(path):
        missing = part == len(holder) if isinstance(part, int) else part not in holder
        if missing and isinstance(part, int):
            holder.append(_inline(value))
            return
        if missing:
            for name in reversed(path[depth + 1 :]):
                value = {name: value}
            if isinstance(holder, InlineTable):  # whole, to be set with even spaces
                _replace(document, path[:depth], {**holder.unwrap(), part: value})
                return
        if missing or depth == len(path) - 1:
            holder[part] = _inline(value)
            return
        holder = holder[part]


def _removed(text: str, path: Path) -> str:
    """Return the text without a key."""
    import tomlkit

    document = tomlkit.parse(text)
    holder: Any = document
    for part in path[:-1]:
        holder = holder[part]
    del holder[path[-1]]
    return tomlkit.dumps(document)


def _inline(value: Any) -> Any:
    """Return a value as an item that stands on one line."""
    import tomlkit

    return tomlkit.value(written(value)) if isinstance(value, (dict, list)) else value


def _item_of_line(document: Any, path: Path) -> Any:
    """Return the outermost item on the way to a path that stands on a line of its own."""
    from tomlkit.items import AoT, Table

    found = document
    for part in path:
        try:  # indexing gives true and false without their notes
            inner = getattr(found, "value", found)
            found = inner.item(part) if hasattr(inner, "item") else found[part]
        except (KeyError, IndexError, TypeError):
            return None
        if not isinstance(found, (AoT, Table)) and hasattr(found, "trivia"):
            return found
    return None


def _realign(line: Any, longer: int) -> None:
    """Keep the note behind a value in its column, as far as there is room."""
    trivia = line.trivia
    if trivia.comment and "\n" not in line.as_string():
        trivia.comment_ws = " " * max(2, len(trivia.comment_ws) - longer)
