"""From what a person types to a value of the job file, read by the very kinds of the schema."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from toebox.errors import FaultyText
from toebox.job.lines import Path
from toebox.job.notes import Notes
from toebox.job.schema import JOB, Off
from toebox.job.values import (
    Angle,
    Choice,
    Day,
    Flag,
    Kind,
    Length,
    Parsed,
    Planned,
    Repeated,
    Shared,
    Text,
)
from toebox.job.walk import inside

_PLAIN = re.compile(r"-?(0|[1-9]\d{0,8})(\.\d{1,9})?")
_BARE = re.compile(r"[-−+]?[\d./⁄\s¼-¾⅐-⅞-]+")
_YES_NO = {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}


def answer(typed: str, kind: Kind, path: Path, unit: str) -> Any:
    """Return what the job file is to hold for a typed answer.

    Parameters
    ----------
    typed : str
        What was typed, in any spelling that the job file may have.
    kind : Kind
        How the schema reads it.
    path : tuple
        Where it is to stand.
    unit : {"in", "mm"}
        Unit of lengths without one.

    Returns
    -------
    str or int or float or bool or date
        For example ``"4 5/8"``.

    Raises
    ------
    FaultyText
        If the schema does not accept it; the message says what is wanted.

    Examples
    --------
    >>> answer("4-5/8", Length("0.1", "60"), ("pass", 0, "string", "left_front", "front"), "in")
    '4-5/8'
    """
    value = _value(" ".join(typed.split()), kind)
    notes = Notes(unit=unit)
    if kind(notes, value, path) is None or notes:
        if isinstance(kind, Flag):
            raise FaultyText(expected(kind, unit))
        raise FaultyText("; ".join(fault.wanted for fault in notes.faults("")) or kind.wanted)
    return value


def _value(text: str, kind: Kind) -> Any:
    """Return the typed text as TOML would have it."""
    if isinstance(kind, Text):
        return text
    if isinstance(kind, Flag):
        return _YES_NO.get(text.lower(), text)
    if isinstance(kind, Choice):
        low = text.lower()
        near = [word for word in kind.meanings if word.startswith(low)]
        return near[0] if len(near) == 1 and len(low) > 1 else low
    if isinstance(kind, Day):
        return _day(text)
    if _PLAIN.fullmatch(text):
        return float(text) if "." in text else int(text)
    return text


def _day(text: str) -> Any:
    if text.lower() == "today":
        return date.today()
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text


def spoken(value: Any) -> str:
    """Return a value of the job file as a person types it.

    Parameters
    ----------
    value : str or int or float or bool or date
        As the TOML reader gave it.

    Returns
    -------
    str
        For example ``yes`` for true.
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def expected(kind: Kind, unit: str) -> str:
    """Say what may be typed, with examples.

    Parameters
    ----------
    kind : Kind
        How the schema reads it.
    unit : {"in", "mm"}
        Unit of lengths without one.

    Returns
    -------
    str
        A few words.
    """
    if isinstance(kind, Flag):
        return "yes or no"
    if isinstance(kind, Choice):
        return " or ".join(kind.meanings)
    if isinstance(kind, Text):
        return f"up to {kind.longest} characters"
    if isinstance(kind, Day):
        return "year-month-day, or today"
    if isinstance(kind, Length):
        return f"{_limits(kind, unit)}, such as {_example(kind, unit)}"
    if isinstance(kind, Angle):
        limits = kind.wanted.removeprefix("an angle ").partition(" degrees")[0]
        if kind.signs is None:
            small = kind.low >= 0.0 and kind.high <= _SMALL  # a tolerance, an uncertainty
            return f"degrees {limits}, such as " + ("0.5 or 0°30'" if small else "4.25 or 4°15'")
        plus, minus = kind.signs
        return f"degrees {limits}, such as 0.75 {plus} or 0°45' {minus}"
    if isinstance(kind, Off):
        return "an angle and a side, such as 6 left or 2.5 right; 0 if straight"
    return kind.wanted.replace('"', "")


_SMALL = math.radians(15.0)
_EXAMPLES = (
    ("1/16", "1.5"), ("1 1/8", "28.5"), ("3 15/16", "100"), ("15 7/8", "403"),
    ("23 3/4", "603"), ("57 3/8", "1457.5"), ("101 3/8", "2575"), ("172", "4369"),
)  # fmt: skip


def _example(kind: Length, unit: str) -> str:
    """Return a length of about the middle size that is wanted, in both units."""
    least = kind.high / 200.0
    middle = math.sqrt(max(kind.low, least) * kind.high)
    if kind.low < 0.0:  # a difference: about none
        middle = least
    inches, mm = min(_EXAMPLES, key=lambda pair: abs(math.log(float(pair[1]) / 1e3 / middle)))
    word = f" {kind.signs[0]}" if kind.signs else ""
    return (
        f"{inches}{word} or {mm} mm{word}" if unit == "in" else f"{mm}{word} or {inches} in{word}"
    )


def _limits(kind: Length, unit: str) -> str:
    """Return the limits of a length in the user's unit, and the words for its sign."""
    size = 0.0254 if unit == "in" else 0.001
    low, high = (f"{round(limit / size, 4):g}".replace("-", "−") for limit in (kind.low, kind.high))
    return f"{low} to {high} {unit}"


def size_of(value: Any, kind: Kind, unit: str) -> float | None:
    """Return a value of the file as a number.

    Parameters
    ----------
    value : str or int or float
        As the file has it.
    kind : Kind
        How the schema reads it.
    unit : {"in", "mm"}
        Unit of lengths without one.

    Returns
    -------
    float or None
        [m] or [rad] or [-]; None where it is no number or has a fault.
    """
    if isinstance(kind, (Text, Choice, Flag, Day, Parsed)):
        return None
    notes = Notes(unit=unit)
    read = kind(notes, value, ("value",))
    return float(read) if isinstance(read, (int, float)) and not notes else None


def with_units(document: Mapping[str, Any], unit: str) -> list[tuple[Path, str]]:
    """Return what must be written for lengths without a unit before `length_unit` changes.

    Parameters
    ----------
    document : mapping
        As the TOML reader gave it.
    unit : {"in", "mm"}
        Unit that they count in until now.

    Returns
    -------
    list of tuple
        Path and text with unit of each.
    """
    return list(_bare_lengths(JOB, document, (), unit))


def _bare_lengths(kind: Any, given: Any, path: Path, unit: str) -> Iterator[tuple[Path, str]]:
    for key, part_kind, part in inside(kind, given) or ():
        yield from _bare_lengths(part_kind, part, (*path, key), unit)
    while isinstance(kind, (Shared, Repeated, Planned)):
        kind = kind.kind
    if not isinstance(kind, Length) or isinstance(given, (bool, Mapping, list)):
        return
    text, word = str(given), ""
    for sign in kind.signs or ():
        if text.endswith(f" {sign}"):
            text, word = text.removesuffix(sign).rstrip(), f" {sign}"
    if _BARE.fullmatch(text):
        yield path, f"{text} {unit}{word}"
