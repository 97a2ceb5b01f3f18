"""Boxes of a sheet: units and words to choose from by the schema, values by the job file."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from toebox.job.keys import hint, keys
from toebox.job.schema import Off
from toebox.job.values import PLANNED, Angle, Choice, Flag, Kind, Length
from toebox.report.sheet import Blank, Line

_BARE = re.compile(r"[-−\d\s./⁄¼-¾⅐-⅞]+")
_IN_TURNS = (("turned",), ("turns_to_lock",))
_TURNED = ("lengthen", "shorten", "not turned")


class Blanks:
    """Makes boxes, filled in where the job file has the value.

    Parameters
    ----------
    written : mapping
        The job file as it was written: texts and numbers of its author.
    """

    def __init__(self, written: Mapping[str, Any]) -> None:
        self.written = written
        self.unit = written.get("length_unit", "")
        self.kinds: dict[tuple[str, ...], list[Kind]] = {}
        for key in keys():
            self.kinds.setdefault(key.path, []).append(key.kind)
        self.used: set[str] = set()

    def scoped(self, **tables: Any) -> Blanks:
        """Return a maker of boxes to which some tables are others; it shares what has a box."""
        other = Blanks({**self.written, **tables})
        other.used = self.used
        return other

    def line(self, *paths: str, name: str = "", said: str | None = None, times: int = 1) -> Line:
        """Return a line with a box (or several, for a repeated reading) for each key."""
        first = tuple(paths[0].split("."))
        blanks = [self.blank(path, place) for path in paths for place in range(times)]
        return Line(name or first[-1], hint(first) if said is None else said, tuple(blanks))

    def tagged(self, table: str, *names: str) -> Line:
        """Return a line with a box for each of several names that share a key."""
        blanks = tuple(self.blank(f"{table}.{name}", tag=name) for name in names)
        path = tuple(table.split("."))
        return Line(path[-1], hint(path), blanks)

    def blank(self, key: str, place: int = 0, tag: str = "", kind: int = 0) -> Blank:
        """Return one box; `place` counts those of a repeated reading, `kind` those of a key."""
        path = tuple(key.split("."))
        self.used.add(key)
        inner: Any = self.kinds[path][kind]
        inner = getattr(inner, "kind", inner)  # of a reading that may be repeated or planned
        inner = getattr(inner, "kind", inner)
        choices = choices_of(inner, path)
        value, chosen = _chosen(_text(_at(self.written, path), place), choices)
        if value and not chosen and getattr(inner, "signs", None):
            value, chosen = _signed(value, inner.signs)
        return Blank(
            key=key,
            value=self._with_unit(value, inner),
            tag=tag,
            unit="" if value else self._unit(inner, path),
            choices=choices,
            chosen=chosen,
        )

    def rest(self, table: str) -> tuple[Line, ...]:
        """Return lines for the keys of a table that have no box yet."""
        left = [k for k in map(str, keys()) if k.startswith(f"{table}.") and k not in self.used]
        return tuple(self.line(key, name=key.removeprefix(f"{table}.")) for key in left)

    def _unit(self, kind: Kind, path: tuple[str, ...]) -> str:
        if isinstance(kind, Length):
            return str(self.unit)
        if isinstance(kind, Angle | Off):
            return "°"
        return "turn" if path[-1] == "smallest_turn" or path[1:2] in _IN_TURNS else ""

    def _with_unit(self, value: str, kind: Kind) -> str:
        if not value or not _BARE.fullmatch(value):
            return value
        if isinstance(kind, Length):
            return f"{value} {self.unit}".strip()
        return f"{value}°" if isinstance(kind, Angle | Off) else value


def choices_of(kind: Kind, path: tuple[str, ...]) -> tuple[str, ...]:
    """Return the words that a value may end in or consist of.

    Parameters
    ----------
    kind : Kind
        How the schema reads the value.
    path : tuple of str
        Its path.

    Returns
    -------
    tuple of str
        Empty where there are none.
    """
    if isinstance(kind, Choice):
        return tuple(kind.meanings)
    if isinstance(kind, Flag):
        return ("true", "false")
    if isinstance(kind, Off):
        return ("left", "right")
    if path[:2] == ("pass", "turned"):
        return _TURNED
    return tuple(getattr(kind, "signs", None) or ())


def _at(written: Any, path: tuple[str, ...]) -> Any:
    """Return what the file has under a path: one value for several names counts for each."""
    for name in path:
        if isinstance(written, Mapping):
            written = written.get(name)
        elif isinstance(written, list):
            return None
    return written


def _text(value: Any, place: int) -> str:
    """Return a value as it was written; of a list the one at a place."""
    if isinstance(value, list):
        value = value[place] if place < len(value) else None
    elif place:
        return ""
    if value is None or value == PLANNED:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Mapping):  # { angle = 6, toward = "left" }
        return " ".join(str(part) for part in value.values())
    return " ".join(str(value).split())


def _chosen(text: str, choices: tuple[str, ...]) -> tuple[str, str]:
    """Return a text without the word for its sign, and that word."""
    for word in choices:
        if text.lower() == word:
            return "", word
        if text.endswith(f" {word}"):
            return text.removesuffix(word).rstrip(), word
    return text, ""


def _signed(text: str, signs: tuple[str, str]) -> tuple[str, str]:
    """Return a number without its sign, and the word for that; none for zero."""
    if text[0] in "-−":
        return text[1:].lstrip(), signs[1]
    return text.removeprefix("+"), signs[0] if any(digit in text for digit in "123456789") else ""
