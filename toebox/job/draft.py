"""A job file while it is being filled in: values change, notes and layout stay.

A value that is there already is replaced in its place; a new key goes below the last one of its
table. What comes out is read again by the standard reader and must hold exactly the old values
and the new one; otherwise nothing is changed.
"""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

from toebox.errors import ToeboxError
from toebox.job.lines import Path

# Tables of a pass that are written under a header of their own; the others on one line.
_HEADED = ("string", "tape", "inclinometer")
_BLANK = re.compile(r"\s*(#.*)?$")
_FURTHER = re.compile(r"[ \t]+#")
_HEADER = re.compile(r"\s*\[\[?.*\]\]?\s*(#.*)?$")
Header = tuple[str, ...]


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
        self.document: dict[str, Any] = tomllib.loads(self._text)

    @property
    def text(self) -> str:
        """The whole file as it is now."""
        return self._mark + (self._text.replace("\n", "\r\n") if self._crlf else self._text)

    def get(self, path: Path) -> Any:
        """Return what stands at a path, None where nothing does."""
        found: Any = self.document
        for part in path:
            if isinstance(found, str):
                return None
            try:
                found = found[part]
            except (LookupError, TypeError):
                return None
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
            raise CannotChange(f"{_words(path)} stands where a single value is") from None
        known = self._known(path)
        ways: list[Callable[[], str]] = [lambda: _replaced(self._text, path, value)]
        if known < len(path):
            ways.insert(0, lambda: self._with_line(path, known, value))
        self._take(ways, wanted, path)

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
        wanted.setdefault("pass", []).extend(tomllib.loads(text)["pass"])
        whole = f"{self._text.rstrip()}\n\n{text}"
        self._take([lambda: whole], wanted, ("pass",))

    def _take(self, ways: list[Callable[[], str]], wanted: dict[str, Any], path: Path) -> None:
        """Take the first text that means exactly what is wanted."""
        for way in ways:
            try:
                text = way()
                if tomllib.loads(text) == wanted:
                    self._text, self.document = text, wanted
                    return
            except (ValueError, TypeError, LookupError, AttributeError):
                continue
        raise CannotChange(f"{_words(path)} cannot be written into this file by a program")

    def _known(self, path: Path) -> int:
        """Return how many parts of a path are there already."""
        found: Any = self.document
        for depth, part in enumerate(path):
            if isinstance(found, str):
                return depth
            try:
                found = found[part]
            except (LookupError, TypeError):
                return depth
        return len(path)

    def _with_line(self, path: Path, known: int, value: Any) -> str:
        """Return the text with a line for the value, below the last line of its table."""
        lines = self._text.split("\n")
        regions = list(_regions(lines))
        number = path[1] if path[0] == "pass" and len(path) > 1 else None
        names = tuple(part for part in path if isinstance(part, str))
        known_names = tuple(part for part in path[:known] if isinstance(part, str))
        own = [r for r in regions if r.header == known_names and number in (None, r.place)]
        new = list(names[len(known_names) :])
        headed = len(known_names) == 0 and len(new) > 1
        headed |= known_names == ("pass",) and new[0] in _HEADED
        if own and not headed:
            return _inserted(lines, own[-1].last, [_line(new, value)])
        header = (*known_names, new[0]) if headed else names[:-1]
        last = _last_of(regions, known_names or header[:1], number)
        if last is None:  # before the first pass
            last = next((r.first - 1 for r in regions if r.header == ("pass",)), len(lines))
            last = _content_end(lines, 0, last)
        return _inserted(
            lines, last, ["", f"[{'.'.join(header)}]", _line(names[len(header) :], value)]
        )


def _words(path: Path) -> str:
    from toebox.job.notes import dotted

    return dotted(path)


class _Region:
    """The lines from one header to the next: header, first line, end of its content."""

    def __init__(self, header: Header, place: int | None, first: int, last: int) -> None:
        self.header, self.place, self.first, self.last = header, place, first, last


def _regions(lines: list[str]) -> Iterator[_Region]:
    """Yield the regions of a text; `last` is the number of lines up to its last key."""
    starts: list[tuple[int, Header]] = [(0, ())]
    starts += [(n, header) for n, line in enumerate(lines) if (header := _header(line))]
    ends = [start for start, _ in starts[1:]] + [len(lines)]
    passes = -1
    for (start, header), end in zip(starts, ends, strict=True):
        passes += header == ("pass",)
        place = passes if header[:1] == ("pass",) else None
        yield _Region(header, place, start, _content_end(lines, start, end))


def _header(line: str) -> Header:
    """Return the names of a header line; empty where it is none."""
    if not _HEADER.match(line):
        return ()
    try:
        found: Any = tomllib.loads(line)
    except ValueError:
        return ()
    names = []
    while found:
        name, found = next(iter(found.items()))
        found = found[0] if isinstance(found, list) else found
        names.append(name)
    return tuple(names)


def _content_end(lines: list[str], start: int, end: int) -> int:
    """Return the number of lines up to the last one that is neither blank nor a note."""
    last = end
    while last > start and _BLANK.match(lines[last - 1]):
        last -= 1
    while start < last < end and _FURTHER.match(lines[last]):  # a note that runs on
        last += 1
    return last


def _last_of(regions: list[_Region], header: Header, number: Any) -> int | None:
    """Return where the last region of a table ends, its inner tables included."""
    found = [
        region.last
        for region in regions
        if region.header[: len(header)] == header and number in (None, region.place)
    ]
    return found[-1] if found else None


def _inserted(lines: list[str], place: int, new: list[str]) -> str:
    if place == 0:
        new = [*[line for line in new if line], ""] if len(new) > 1 else new
    return "\n".join([*lines[:place], *new, *lines[place:]])


def _line(names: Any, value: Any) -> str:
    """Return ``a = { b = value }`` for the names a, b."""
    first, *inner = names
    for name in reversed(inner):
        value = {name: value}
    return f"{_key(first)} = {written(value)}"


def _key(name: str) -> str:
    """Return a key as TOML writes it."""
    return name if re.fullmatch("[A-Za-z0-9_-]+", name) else written(name)


def written(value: Any) -> str:
    """Return a value as TOML on one line.

    Parameters
    ----------
    value : str or int or float or bool or date or list or dict
        As the file is to hold it.

    Returns
    -------
    str
        For example ``{ front = "4 5/8" }``.

    Examples
    --------
    >>> print(written({"front": ["4 5/8", 4.5], "level": True}))
    { front = ["4 5/8", 4.5], level = true }
    """
    if isinstance(value, dict):
        parts = [f"{_key(key)} = {written(one)}" for key, one in value.items()]
        return "{ " + ", ".join(parts) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(written, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        import json

        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    return str(value)


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


def _replaced(text: str, path: Path, value: Any) -> str:
    """Return the text with the value in the place of the old one."""
    import tomlkit
    from tomlkit.items import InlineTable

    document = tomlkit.parse(text)
    line = _item_of_line(document, path)
    before = "" if line is None else line.as_string()
    holder: Any = document
    for depth, part in enumerate(path):
        missing = part == len(holder) if isinstance(part, int) else part not in holder
        if missing and isinstance(part, str):
            for name in reversed(path[depth + 1 :]):
                value = {name: value}
            if isinstance(holder, InlineTable):  # whole, to be set with even spaces
                return _replaced(text, path[:depth], {**holder.unwrap(), part: value})
        if missing and isinstance(part, int):
            holder.append(_inline(value))
            break
        if missing or depth == len(path) - 1:
            holder[part] = _inline(value)
            break
        holder = holder[part]
    line = _item_of_line(document, path)
    if line is not None:
        _realign(line, len(line.as_string()) - len(before))
    return tomlkit.dumps(document)


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
