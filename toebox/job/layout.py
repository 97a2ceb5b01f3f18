"""Where a new line of a job file goes, and how it is written: the file as lines under headers."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import tomli

from toebox.job.lines import Path

# Tables of a pass that are written under a header of their own; the others on one line.
_HEADED = ("string", "tape", "inclinometer")
_BLANK = re.compile(r"\s*(#.*)?$")
_FURTHER = re.compile(r"[ \t]+#")
_HEADER = re.compile(r"\s*\[\[?.*\]\]?\s*(#.*)?$")
Header = tuple[str, ...]


def added(text: str, path: Path, known: int, value: Any) -> str:
    """Return a job file with a line for a value that is not there yet.

    Parameters
    ----------
    text : str
        The file.
    path : tuple
        Where the value is to stand.
    known : int
        How many parts of the path are there already [-].
    value : object
        The value.

    Returns
    -------
    str
        With the line below the last one of its table, under a header of its own where it has none.
    """
    lines = text.split("\n")
    found = list(_regions(lines))
    number = path[1] if path[0] == "pass" and len(path) > 1 else None
    names = tuple(part for part in path if isinstance(part, str))
    known_names = tuple(part for part in path[:known] if isinstance(part, str))
    own = [r for r in found if r.header == known_names and number in (None, r.place)]
    new = list(names[len(known_names) :])
    headed = len(known_names) == 0 and len(new) > 1
    headed |= known_names == ("pass",) and new[0] in _HEADED
    if own and not headed:
        return _inserted(lines, own[-1].last, [_line_of(new, value)])
    header = (*known_names, new[0]) if headed else names[:-1]
    last = _last_of(found, known_names or header[:1], number)
    if last is None:  # before the first pass
        last = next((r.first - 1 for r in found if r.header == ("pass",)), len(lines))
        last = _content_end(lines, 0, last)
    return _inserted(
        lines, last, ["", f"[{'.'.join(header)}]", _line_of(names[len(header) :], value)]
    )


class _Region:
    """The lines from one header to the next: header, first line, end of its content."""

    def __init__(self, header: Header, place: int | None, first: int, last: int) -> None:
        self.header, self.place, self.first, self.last = header, place, first, last


def _regions(lines: list[str]) -> Iterator[_Region]:
    """Yield the regions of a text; `last` is the number of lines up to its last key."""
    starts: list[tuple[int, Header]] = [(0, ())]
    starts += [(n, header) for n, line in enumerate(lines) if (header := _header_of(line))]
    ends = [start for start, _ in starts[1:]] + [len(lines)]
    passes = -1
    for (start, header), end in zip(starts, ends, strict=True):
        passes += header == ("pass",)
        place = passes if header[:1] == ("pass",) else None
        yield _Region(header, place, start, _content_end(lines, start, end))


def _header_of(line: str) -> Header:
    """Return the names of a header line; empty where it is none."""
    if not _HEADER.match(line):
        return ()
    try:
        found: Any = tomli.loads(line)
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


def _line_of(names: Any, value: Any) -> str:
    """Return ``a = { b = value }`` for the names a, b."""
    first, *inner = names
    for name in reversed(inner):
        value = {name: value}
    return f"{_key_of(first)} = {written(value)}"


def _key_of(name: str) -> str:
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
        parts = [f"{_key_of(key)} = {written(one)}" for key, one in value.items()]
        return "{ " + ", ".join(parts) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(written, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        import json

        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    return str(value)
