"""Thread designations of ISO 261/965 and ASME B1.1 form."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final, NamedTuple

from toebox.errors import FaultyText
from toebox.units.number import clean, mixed, number
from toebox.units.table import INCH

_WANTED: Final = "a thread such as M14x1.5, M14x1.5-LH, 5/8-18 or 5/8-18-LH"

# ISO 261 pitches [mm], coarse first. M10 to M24 as read in the standard's table; the coarse
# pitches of M6, M8 and from M27 on as printed in charts after ISO 261, the fine ones from memory.
_ISO_261: Final[dict[str, tuple[str, ...]]] = {
    "6": ("1", "0.75"),
    "8": ("1.25", "1", "0.75"),
    "10": ("1.5", "1.25", "1"),
    "12": ("1.75", "1.5", "1.25"),
    "14": ("2", "1.5"),
    "16": ("2", "1.5"),
    "18": ("2.5", "2", "1.5"),
    "20": ("2.5", "2", "1.5"),
    "22": ("2.5", "2", "1.5"),
    "24": ("3", "2"),
    "27": ("3", "2"),
    "30": ("3.5", "2"),
    "33": ("3.5", "2"),
    "36": ("4", "3"),
}

# ASME B1.1 threads per inch of the series UNC and UNF: 1/2 to 3/4 as read in the standard's
# table, the others as printed in charts after it; 11/16 has neither, only UN and UNEF.
_ASME_B1_1: Final[dict[str, dict[str, tuple[str, ...]]]] = {
    "1/4": {"UNC": ("20",), "UNF": ("28",)},
    "5/16": {"UNC": ("18",), "UNF": ("24",)},
    "3/8": {"UNC": ("16",), "UNF": ("24",)},
    "7/16": {"UNC": ("14",), "UNF": ("20",)},
    "1/2": {"UNC": ("13",), "UNF": ("20",)},
    "9/16": {"UNC": ("12",), "UNF": ("18",)},
    "5/8": {"UNC": ("11",), "UNF": ("18",)},
    "11/16": {"UN": ("12", "16", "20"), "UNEF": ("24",)},
    "3/4": {"UNC": ("10",), "UNF": ("16",)},
    "7/8": {"UNC": ("9",), "UNF": ("14",)},
    "1": {"UNC": ("8",), "UNF": ("12",)},
}

_PER_INCH: Final = "threads per inch"
_TAIL: Final = r"(?P<tail>(?:[-a-z ].*)?)"
_METRIC: Final = re.compile(
    rf"m *(?P<diameter>[0-9.]+)"
    rf"(?: *[x*] *(?P<pitch>[0-9.]+)| *- *(?P<dashed>[0-9.]+)(?=[- ]|$))?{_TAIL}"
)
_INCH: Final = re.compile(
    rf"(?P<diameter>[0-9./ -]+?) *(?:\"|in)? *- *(?P<per_inch>[0-9.]+){_TAIL}"
)
_LEFT: Final = frozenset({"lh", "l.h.", "left", "lefthand"})
_RIGHT: Final = frozenset({"rh", "r.h.", "right", "righthand"})
_METRIC_CLASS: Final = re.compile(
    r"[3-9][a-h]([3-9][a-h])?(/[3-9][a-h]([3-9][a-h])?)?"
)  # ISO 965-1
_INCH_CLASS: Final = re.compile(r"[123][ab]|un[cfs]?|unef|unj[cf]?|unr[cfs]?|n[cf]")


class Thread(NamedTuple):
    """A screw thread.

    Parameters
    ----------
    designation : str
        In one spelling, tolerance class left out, for example ``M14x1.5-LH`` or
        ``5/8-18 UNF-LH``; `read_thread` reads it back.
    diameter : float
        Nominal diameter [m].
    pitch : float
        Advance in one turn [m].
    left_hand : bool
        True for a left-hand thread.
    """

    designation: str
    diameter: float
    pitch: float
    left_hand: bool = False


def read_thread(text: object) -> Thread:
    """Read a thread designation.

    Parameters
    ----------
    text : str
        Metric as in ISO 965-1 clause 12: ``M14x1.5``, ``M14×1.5-LH``, ``M14x1.5-6H-LH``; the
        pitch may be left out where the coarse one of ISO 261 is meant (``M14``). Inch as in
        ASME B1.1: ``5/8-18``, ``5/8-18 UNF-2A-LH``, ``0.625-18``. Tolerance classes are read
        and left out. Without ``LH`` a thread is right-hand.

    Returns
    -------
    Thread
        Diameter and pitch [m], and the hand.

    Raises
    ------
    FaultyText
        If it is no such designation; the message says what would be right.

    Examples
    --------
    >>> read_thread("M14 x 1.5 LH")
    Thread(designation='M14x1.5-LH', diameter=0.014, pitch=0.0015, left_hand=True)
    """
    if not isinstance(text, str):
        raise FaultyText(f"{_WANTED}, in quotes")
    body = clean(text).lower()
    if match := _METRIC.fullmatch(body):
        return _metric(match)
    if match := _INCH.fullmatch(body):
        return _inch(match)
    raise FaultyText(_WANTED)


def pitch_left_out(text: str) -> str | None:
    """Say in words that a metric thread was given without its pitch: a doubt, not a fault.

    Parameters
    ----------
    text : str
        A designation that `read_thread` reads.

    Returns
    -------
    str or None
        Which pitch is taken, for ``M14``; None where the pitch was given.

    Examples
    --------
    >>> pitch_left_out("M14-LH")
    'no pitch given, so the coarse one of ISO 261 is taken, 2 mm; tie rods often have a finer one'
    >>> pitch_left_out("M14x1.5") is None
    True
    """
    match = _METRIC.fullmatch(clean(text).lower())
    if match is None or match["pitch"] or match["dashed"]:
        return None
    coarse = _ISO_261[_decimal(number(match["diameter"]))][0]
    return (
        f"no pitch given, so the coarse one of ISO 261 is taken, {coarse} mm; tie rods often have "
        "a finer one"
    )


def _metric(match: re.Match[str]) -> Thread:
    """Build a metric thread."""
    diameter = number(match["diameter"])
    size = _decimal(diameter)
    given = match["pitch"] or match["dashed"]
    if given is None and size not in _ISO_261:
        raise FaultyText(f"the pitch as well, such as M{size}x1.5")
    pitch = number(given or _ISO_261[size][0])
    left, _ = _tail(match["tail"], _METRIC_CLASS)
    name = f"M{size}x{_decimal(pitch)}" + "-LH" * left
    return _thread(name, diameter / 1000, pitch / 1000, left)


def _inch(match: re.Match[str]) -> Thread:
    """Build an inch thread."""
    diameter, per_inch = number(match["diameter"]), number(match["per_inch"])
    if diameter.denominator == 1 and per_inch >= 24:
        raise FaultyText("a diameter in inches, such as 5/8-18 (screw numbers are not read)")
    if per_inch == 0:
        raise FaultyText("more than no threads per inch")
    left, words = _tail(match["tail"], _INCH_CLASS)
    series = "".join(f" {word.upper()}" for word in words if not word[0].isdigit())
    name = f"{_inches(diameter)}-{_decimal(per_inch)}{series}" + "-LH" * left
    return _thread(name, diameter * INCH, INCH / per_inch, left)


def _tail(tail: str, known: re.Pattern[str]) -> tuple[bool, list[str]]:
    """Read what follows the pitch: the hand, and the words of the standard."""
    words = re.sub(r"(left|right)[- ]hand", r"\1hand", tail).replace("-", " ").split()
    hands = {word in _LEFT for word in words if word in _LEFT | _RIGHT}
    others = [word for word in words if word not in _LEFT | _RIGHT]
    if "l" in others:
        raise FaultyText("LH for a left-hand thread")
    if len(hands) > 1 or not all(known.fullmatch(word) for word in others):
        raise FaultyText(_WANTED)
    return True in hands, others


def _thread(name: str, diameter: Fraction, pitch: Fraction, left: bool) -> Thread:
    """Return the thread if such a thread can be cut at all."""
    if not 0 < 2 * pitch < diameter:
        raise FaultyText("a diameter and then a pitch far below it, such as M14x1.5")
    if diameter > Fraction(1, 10):
        raise FaultyText("a thread of at most 100 mm")
    return Thread(name, float(diameter), float(pitch), left)


def _decimal(value: Fraction) -> str:
    """Return a decimal as short as it was meant: 1.5, 14."""
    return f"{float(value):.15g}"


def _inches(diameter: Fraction) -> str:
    """Return inches as a fraction where rules have that fraction, else as a decimal."""
    return mixed(diameter) if 64 % diameter.denominator == 0 else _decimal(diameter)


def unusual(thread: Thread) -> str | None:
    """Say in words why a thread is unusual: a doubt, not a fault.

    Parameters
    ----------
    thread : Thread
        Any thread.

    Returns
    -------
    str or None
        What is unusual, for a pitch outside the common series of ISO 261 (M6 to M36) and
        ASME B1.1 (UNC and UNF, 1/4 to 1 in; at 11/16 in, which has neither, UN and UNEF); None
        where nothing is. Tie rods do use others.

    Examples
    --------
    >>> unusual(read_thread("M14x1.5-LH")) is None
    True
    >>> unusual(read_thread("11/16-18"))
    '11/16-18 is unusual (common in ASME B1.1: 12, 16, 20 or 24 threads per inch): count them again'
    """
    if thread.designation[:1] in "Mm":
        size, pitch = (f"{1000 * value:.6g}" for value in (thread.diameter, thread.pitch))
        pitches = _ISO_261.get(size, ())
        return _doubt(f"M{size}x{pitch}", "ISO 261", pitch, pitches, "mm")
    size = _inches(Fraction(thread.diameter / float(INCH)).limit_denominator(1000))
    per_inch = f"{float(INCH) / thread.pitch:.6g}"
    series = _ASME_B1_1.get(size, {})
    for name, counts in series.items():
        if re.search(rf"\b{name}\b", thread.designation.upper()):
            return _doubt(f"{size}-{per_inch} {name}", "ASME B1.1", per_inch, counts, _PER_INCH)
    counts = tuple(count for named in series.values() for count in named)
    return _doubt(f"{size}-{per_inch}", "ASME B1.1", per_inch, counts, _PER_INCH)


def _doubt(name: str, standard: str, given: str, usual: tuple[str, ...], unit: str) -> str | None:
    """Compare a pitch with the usual ones."""
    if given in usual:
        return None
    if not usual:
        return f"{name} is unusual (not a common diameter of {standard}): measure it again"
    *most, last = usual
    choice = f"{', '.join(most)} or {last}" if most else last
    return f"{name} is unusual (common in {standard}: {choice} {unit}): count them again"
