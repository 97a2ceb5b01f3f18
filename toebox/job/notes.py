"""What a reader of a job writes down: faults with their places, doubts in words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date, time
from typing import Any

from toebox.errors import Fault
from toebox.job.lines import Path, find_lines

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]{1,40}")
_LONGEST_SHOWN = 40
_MOST_FAULTS = 50


class Notes:
    """Faults and doubts of one job, and the length unit for numbers without one."""

    def __init__(
        self, places: Mapping[str, str] | None = None, plans: bool = False, unit: str = "in"
    ) -> None:
        self.places = places or {}  # key -> the one table it stands under, or none
        self.plans = plans  # whether a reading may be a mere plan, "?"
        self.unit = unit
        self.unit_known = True
        self.doubts: list[str] = []
        self._faults: list[tuple[Path, str, str]] = []
        self.left_open: set[Path] = set()  # values that are no readings, given as "?"
        self._meant: set[Path] = set()  # what misspelt keys were meant to be

    def __bool__(self) -> bool:
        """Return True where at least one fault was noted."""
        return bool(self._faults)

    def fault(self, path: Path, given: object, wanted: str) -> None:
        """Note that `given` stands at `path` where `wanted` should."""
        self._faults.append((path, show(given), wanted))

    def missing(self, path: Path, wanted: str) -> None:
        """Note that the key `path` should be there, unless a fault there is known already."""
        if not self.faulty(path):
            self._faults.append((path, '"?"' if path in self.left_open else "", wanted))

    def faulty(self, path: Path) -> bool:
        """Say whether a fault was noted at `path` or at something around it."""
        noted = {noted for noted, _, _ in self._faults} | self._meant
        return any(path[:length] in noted for length in range(1, len(path) + 1))

    def unknown(self, path: Path, known: Iterable[str]) -> None:
        """Note that there is no key of this name here; say what it may be meant to be."""
        if len(self._faults) >= _MOST_FAULTS:  # told by number only
            self._faults.append((path, "an unknown key", ""))
            return
        *outer, key = path
        names = list(known)
        place = self.places.get(str(key))
        near = _near(str(key)[:_LONGEST_SHOWN], names) if place != "" else []
        guesses = [" or ".join(near)] if near else []
        if place is not None:
            guesses.append(_where(str(key), place))
        self._meant.update((*outer, name) for name in near)
        wanted = ", or ".join(guesses) or "one of " + ", ".join(names)
        self._faults.append((path, "an unknown key", wanted))

    def doubt(self, path: Path, sentence: str) -> None:
        """Note that what stands at `path` can be read but is hardly meant."""
        self.doubts.append(f"{dotted(path)}: {sentence}")

    def faults(self, text: str) -> tuple[Fault, ...]:
        """Return every fault with its line in `text`, in the order of the lines."""
        noted = self._faults[:_MOST_FAULTS]
        lines = find_lines(text, (path for path, _, _ in noted))
        faults = [Fault(dotted(path), given, wanted, lines[path]) for path, given, wanted in noted]
        faults.sort(key=lambda fault: fault.line or 0)
        if more := len(self._faults) - len(noted):
            faults.append(Fault("further faults", str(more), "those above put right first"))
        return tuple(faults)


def _where(key: str, place: str) -> str:
    """Say where a key belongs that stands in the wrong table."""
    if not place:
        return "this key at the top of the file, above the first [table]"
    if place.strip("[]") == key:
        return f"{place} as a table of its own"
    return f"this key under {place}"


def _near(key: str, names: list[str]) -> list[str]:
    """Return the name of the same words in another order, two that say more, or one spelt alike."""
    words = sorted(key.split("_"))
    for name in names:
        if sorted(name.split("_")) == words:
            return [name]
    longer = [name for name in names if set(words) < set(name.split("_"))]
    if len(longer) == 2:  # left: left_front or left_rear
        return longer
    import difflib

    return difflib.get_close_matches(key, names, 1, 0.55)


def dotted(path: Path) -> str:
    """Return a path as users read it: list positions count from 1.

    Examples
    --------
    >>> dotted(("pass", 0, "string", "left_front", "front"))
    'pass[1].string.left_front.front'
    """
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part + 1}]"
        else:
            text += ("." if text else "") + (part if _BARE_KEY.fullmatch(part) else _quoted(part))
    return text


def show(given: object) -> str:
    r"""Return what a file gave, in one short line without control characters.

    Examples
    --------
    >>> print(show("3\n15/16"), show(True), show({"angle": 1}), show([]), sep="; ")
    "3\n15/16"; true; a table with angle; an empty list
    """
    if isinstance(given, str):
        return _quoted(given)
    if isinstance(given, bool):
        return str(given).lower()
    if isinstance(given, (int, float)):
        return _number(given)
    if isinstance(given, (date, time)):
        return given.isoformat()
    return _collection(given)


def _quoted(text: str) -> str:
    """Return `text` in double quotes, shortened, whatever cannot be printed escaped."""
    short = text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 1] + "…"
    return '"' + "".join(map(_escaped, short)) + '"'


def _escaped(character: str) -> str:
    if character in '"\\':
        return "\\" + character
    if character.isprintable():
        return character
    return character.encode("unicode_escape").decode("ascii")


def _number(given: float) -> str:
    if isinstance(given, int) and given.bit_length() > 64:
        return f"a whole number of about {given.bit_length() * 3 // 10} digits"
    return repr(given)


def _collection(given: Any) -> str:
    if isinstance(given, dict):
        keys = [dotted((key,)) for key in list(given)[:4]] + ["…"] * (len(given) > 4)
        return "a table with " + ", ".join(keys) if keys else "an empty table"
    return f"a list of {len(given)}" if given else "an empty list"
