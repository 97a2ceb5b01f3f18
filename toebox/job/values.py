"""How one value of a job file is read: kinds, from which the schema's tables are made.

A kind is called with the notes, the value that the file gives and its path. It returns the
value as the model wants it (metres, radians), or notes a fault and returns None.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date, datetime
from functools import lru_cache
from typing import Any, Protocol

from toebox.errors import FaultyText
from toebox.job.lines import Path
from toebox.job.notes import Notes
from toebox.units.read import read_angle, read_count, read_length
from toebox.units.thread import pitch_left_out, read_thread


class Kind(Protocol):
    """How one value is read; `wanted` says what is wanted where it is missing."""

    @property
    def wanted(self) -> str:
        """Return in plain words what is wanted."""
        ...

    def __call__(self, notes: Notes, given: Any, path: Path) -> Any:
        """Return the value as the model wants it, or None after noting a fault."""
        ...


_MOST_REPEATS = 24
PLANNED = "?"  # stands for a reading that is planned and still to be taken


_UNIT_WORDS = {"in": "inches", "ft": "feet"}


def _four(value: float) -> str:
    """Return about four digits of a number, never in powers of ten."""
    return f"{value:.0f}" if abs(value) >= 1000.0 else f"{value:.4g}"


class Length:
    """A length between two limits, given in inches; read as metres.

    `signs` are the words for a positive and a negative length, if it may have them.
    """

    def __init__(self, low: str, high: str, signs: tuple[str, str] | None = None) -> None:
        self.low, self.high = metres(low, "in"), metres(high, "in")
        self.signs = signs
        limits = f"{low} to {high} in ({_four(self.low * 1e3)} to {_four(self.high * 1e3)} mm)"
        self.wanted = "a length from " + limits.replace("-", "−") + _may_follow(signs)

    def __call__(self, notes: Notes, given: Any, path: Path) -> float | None:
        """Return the length [m], or None after noting what is wrong with it."""
        try:
            length = signed(given, self.signs, lambda bare: metres(bare, notes.unit))
        except FaultyText as faulty:
            notes.fault(path, given, str(faulty))
            return None
        if not notes.unit_known:  # a fault already; go on with a length that harms nothing
            return min(max(length, self.low), self.high)
        if self.low <= length <= self.high:
            return length
        notes.fault(path, given, self.wanted + self._meant(given))
        return None

    def _meant(self, given: Any) -> str:
        """Return a guess at the unit, where another unit would put the length in its limits."""
        for unit in ("in", "mm", "cm", "ft"):
            try:
                if self.low <= metres(f"{given} {unit}", unit) <= self.high:
                    return f" (was it meant in {_UNIT_WORDS.get(unit, unit)}?)"
            except FaultyText:
                continue
        return ""


class Angle:
    """An angle between two limits in degrees; read as radians.

    `signs` are the words for a positive and a negative angle, if it may have them.
    """

    def __init__(self, low: float, high: float, signs: tuple[str, str] | None = None) -> None:
        self.low, self.high = math.radians(low), math.radians(high)
        self.signs = signs
        self.wanted = f"an angle from {low:g} to {high:g} degrees".replace("-", "−")
        self.wanted += _may_follow(signs)

    def __call__(self, notes: Notes, given: Any, path: Path) -> float | None:
        """Return the angle [rad], or None after noting what is wrong with it."""
        try:
            angle = signed(given, self.signs, radians)
        except FaultyText as faulty:
            notes.fault(path, given, str(faulty))
            return None
        if self.low <= angle <= self.high:
            return angle
        notes.fault(path, given, self.wanted)
        return None


class Number:
    """A plain number between two limits; a whole one where asked for."""

    def __init__(self, low: float, high: float, whole: bool = False, such: str = "") -> None:
        self.low, self.high, self.whole, self.such = low, high, whole, such
        self.wanted = f"a {'whole ' * whole}number from {low:g} to {high:g}{such}"

    def __call__(self, notes: Notes, given: Any, path: Path) -> float | None:
        """Return the number, or None after noting what is wrong with it."""
        try:
            number = read_count(given)
        except FaultyText as faulty:
            notes.fault(path, given, self._told(str(faulty)))
            return None
        if self.low <= float(number) <= self.high and (number.denominator == 1 or not self.whole):
            return int(number) if self.whole else float(number)
        notes.fault(path, given, self.wanted)
        return None

    def _told(self, reason: str) -> str:
        """Say what is wanted and why; with one example, and none that is no whole number."""
        if self.such or self.whole:
            reason = re.split(",? such as ", reason)[0]
        return self.wanted if reason == "a number" else f"{self.wanted}: {reason}"


class Text:
    """One line of printable text."""

    def __init__(self, longest: int) -> None:
        self.longest = longest
        self.wanted = f"text in quotes: one line, nothing unprintable, up to {longest} characters"

    def __call__(self, notes: Notes, given: Any, path: Path) -> str | None:
        """Return the text without blanks at its ends, or None after noting a fault."""
        if isinstance(given, str) and len(given) <= self.longest:
            text = given.replace("\xa0", " ").strip()
            if text and text.isprintable():
                return text
        notes.fault(path, given, self.wanted)
        return None


class Choice:
    """One of a few words; read as what stands behind the word."""

    def __init__(self, meanings: Mapping[str, Any]) -> None:
        self.meanings = meanings
        self.wanted = " or ".join(f'"{word}"' for word in meanings)

    def __call__(self, notes: Notes, given: Any, path: Path) -> Any:
        """Return the meaning of the word, or None after noting a fault."""
        word = given.strip().lower() if isinstance(given, str) else ""
        if word in self.meanings:
            return self.meanings[word]
        notes.fault(path, given, self.wanted)
        return None


class Flag:
    """True or false."""

    wanted = "true or false, without quotes"

    def __call__(self, notes: Notes, given: Any, path: Path) -> bool | None:
        """Return it, or None after noting a fault."""
        if isinstance(given, bool):
            return given
        notes.fault(path, given, self.wanted)
        return None


class Day:
    """A date, as TOML writes it or as text of the same form."""

    wanted = "a date such as 2026-04-18"

    def __call__(self, notes: Notes, given: Any, path: Path) -> date | None:
        """Return the date, or None after noting a fault."""
        if isinstance(given, datetime):
            return given.date()
        if isinstance(given, date):
            return given
        try:
            return date.fromisoformat(given)
        except (TypeError, ValueError):
            notes.fault(path, given, self.wanted)
            return None


class Parsed:
    """A text (or number) that a reader of `toebox.units` understands."""

    def __init__(self, read: Callable[[Any], Any], wanted: str) -> None:
        self.read, self.wanted = read, wanted
        self.read_text = lru_cache(maxsize=256)(read)

    def __call__(self, notes: Notes, given: Any, path: Path) -> Any:
        """Return what the reader made of it, or None after noting a fault."""
        try:
            return self.read_text(given) if isinstance(given, str) else self.read(given)
        except FaultyText as faulty:
            notes.fault(path, given, str(faulty))
            return None


class Threaded(Parsed):
    """A thread; one without its pitch is doubted."""

    def __init__(self, wanted: str) -> None:
        super().__init__(read_thread, wanted)

    def __call__(self, notes: Notes, given: Any, path: Path) -> Any:
        """Return the thread, or None after noting a fault."""
        thread = super().__call__(notes, given, path)
        if thread is not None and (sentence := pitch_left_out(given)):
            notes.doubt(path, sentence)
        return thread


class Planned:
    """A reading, or ``"?"`` for one that is still to be taken; read as NaN then."""

    def __init__(self, kind: Kind) -> None:
        self.kind = kind
        self.wanted = kind.wanted

    def __call__(self, notes: Notes, given: Any, path: Path) -> Any:
        """Return the reading; NaN for a planned one where plans are wanted, else a fault."""
        if given != PLANNED:
            return self.kind(notes, given, path)
        if notes.plans:
            return math.nan
        notes.fault(path, given, f"the reading itself, still to be taken: {self.wanted}")
        return None


class Repeated:
    """A reading, or a list of the same reading repeated; read as a tuple."""

    def __init__(self, kind: Kind) -> None:
        self.kind = Planned(kind)
        self.wanted = kind.wanted

    def __call__(self, notes: Notes, given: Any, path: Path) -> tuple[Any, ...] | None:
        """Return the readings that could be read, or None where a list is too short or long."""
        if not isinstance(given, list):
            value = self.kind(notes, given, path)
            return None if value is None else (value,)
        if 1 <= len(given) <= _MOST_REPEATS:
            return each(notes, given, path, self.kind)
        notes.fault(path, given, f"one reading, or a list of up to {_MOST_REPEATS}")
        return None


class List:
    """A list of tables or values, with a least and greatest number of them."""

    def __init__(self, kind: Kind, least: int, most: int, wanted: str) -> None:
        self.kind, self.least, self.most, self.wanted = kind, least, most, wanted

    def __call__(self, notes: Notes, given: Any, path: Path) -> tuple[Any, ...] | None:
        """Return what could be read of the list, or None after noting a fault."""
        if isinstance(given, list) and self.least <= len(given) <= self.most:
            return each(notes, given, path, self.kind)
        notes.fault(path, given, self.wanted)
        return None


class Table:
    """A table with known keys; `build` makes of them what the model wants.

    Keys in `needed` must be there; without them nothing is built. What is no reading may be
    left open as ``"?"``: it counts as left out.
    """

    def __init__(
        self,
        keys: Mapping[str, Kind],
        build: Callable[..., Any] = dict,
        needed: tuple[str, ...] = (),
    ) -> None:
        self.keys, self.build, self.needed = keys, build, needed
        self.wanted = f"a table: {{ {', '.join(f'{key} = …' for key in keys)} }}"

    def __call__(self, notes: Notes, given: Any, path: Path) -> Any:
        """Return the built table, or None after noting a fault."""
        if not isinstance(given, dict):
            notes.fault(path, given, self.wanted)
            return None
        found = self.values(notes, given, path)
        for key in self.needed:
            if key not in given:
                notes.missing((*path, key), self.keys[key].wanted)
        if any(key not in found for key in self.needed):
            return None
        return self.build(**found)

    def values(self, notes: Notes, given: Mapping[str, Any], path: Path) -> dict[str, Any]:
        """Return the values that could be read, by key; note every key that is unknown."""
        found = {}
        for key, value in given.items():
            kind = self.keys.get(key)
            if kind is None:
                notes.unknown((*path, key), self.keys)
            elif value == PLANNED and not isinstance(kind, (Planned, Repeated)):
                notes.left_open.add((*path, key))
            elif (read := kind(notes, value, (*path, key))) is not None:
                found[key] = read
        return found


class Shared:
    """One value for several names, or a table with a value for each; read as a mapping."""

    def __init__(self, names: Iterable[str], kind: Kind) -> None:
        self.kind = kind
        self.table = Table(dict.fromkeys(names, kind))
        self.wanted = kind.wanted

    def __call__(self, notes: Notes, given: Any, path: Path) -> dict[str, Any] | None:
        """Return name -> value, or None after noting a fault."""
        if isinstance(given, dict):
            return self.table.values(notes, given, path)
        value = self.kind(notes, given, path)
        return None if value is None else dict.fromkeys(self.table.keys, value)


def each(notes: Notes, given: list[Any], path: Path, kind: Kind) -> tuple[Any, ...]:
    """Read each item of a list; leave out those with a fault."""
    read = (kind(notes, value, (*path, place)) for place, value in enumerate(given))
    return tuple(value for value in read if value is not None)


def signed(given: Any, signs: tuple[str, str] | None, read: Callable[[Any], float]) -> float:
    """Read a number that may end in a word for its sign, such as ``toe-out``."""
    if signs is None or not isinstance(given, str):
        return read(given)
    text = given.rstrip()
    for word, sign in zip(signs, (1.0, -1.0), strict=True):
        bare, end = text[: -len(word)], text[-len(word) :].lower()
        if end.replace("-", " ") == word.replace("-", " ") and bare[-1:].isspace() and bare.strip():
            value = read(bare)
            if value < 0:
                raise FaultyText(f'a sign or the word "{word}", not both')
            return sign * value
    try:
        return read(given)
    except FaultyText as faulty:
        raise FaultyText(f"{faulty}{_may_follow(signs)}") from None


def _may_follow(signs: tuple[str, str] | None) -> str:
    return f'; "{signs[0]}" or "{signs[1]}" may follow' if signs else ""


def metres(given: Any, unit: str) -> float:
    """Read a length [m]."""
    return _metres(given, unit) if isinstance(given, str) else float(read_length(given, unit))


def radians(given: Any) -> float:
    """Read an angle [rad]; plain numbers are degrees."""
    return _radians(given) if isinstance(given, str) else math.radians(read_angle(given))


@lru_cache(maxsize=4096)
def _metres(text: str, unit: str) -> float:
    return float(read_length(text, unit))


@lru_cache(maxsize=4096)
def _radians(text: str) -> float:
    return math.radians(read_angle(text))
