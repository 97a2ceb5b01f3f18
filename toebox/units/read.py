"""Text to exact numbers: lengths, angles, toe, directions, turns and counts.

What a person typed, or a job file holds, is read to the letter or refused with a
`FaultyText` whose message says what would be right. Nothing here rounds.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Final, Literal, NamedTuple

from toebox.errors import FaultyText
from toebox.units.number import clean, mixed, number, plain, signed_body
from toebox.units.table import (
    ANGLE_WORDS,
    ANGLES,
    LENGTH_WORDS,
    LENGTHS,
    SLOPE_WORDS,
    SLOPES,
)

_LENGTH_WANTED: Final = "a length such as 3 15/16 in, 3.9375 in, 8' 5 1/2\", 101.5 mm or 10.15 cm"
_ANGLE_WANTED: Final = "an angle such as 0.15 deg, 0.15°, 0°09' or 9 min"
_TURNS_WANTED: Final = "turns such as '1/2 lengthen', '3 flats shorten' or 'not turned'"
_SLOPE_WANTED: Final = "a side slip such as 11.5 ft/mile or 2.2 m/km"
_TOWARD_WANTED: Final = "an angle and a direction, such as '6 left' or '2.5 deg right'"

_AMOUNT: Final = re.compile(r"([^a-z'\"°]*)(.*)")
_FEET: Final = re.compile(
    r"([0-9]+) *(?:'|ft(?:\.(?![0-9.])|(?!\.))|foot|feet)(?:-| - | *)([0-9.].*)"
)
_DEG: Final = r" *(?:°|deg(?:rees?|s|\.)?) *"
_MIN: Final = r" *(?:'|(?:arc)?min(?:utes?|\.)?) *"
_SEC: Final = r" *(?:\"|(?:arc)?sec(?:onds?|\.)?)"
_PART: Final = r"([0-9]+(?:\.[0-9]+)?)"
_DEG_MIN_SEC: Final = re.compile(rf"(?:([0-9]+){_DEG})?{_PART}{_MIN}(?:{_PART}{_SEC})?")

_TOWARD: Final = {
    "left": -1,
    "anticlockwise": -1,
    "counterclockwise": -1,
    "right": 1,
    "clockwise": 1,
}
_TOWARD_TEXT: Final = re.compile(
    rf"(.*?) *(?:(?:to|towards?) the |(?:to|towards?) )?({'|'.join(_TOWARD)})"
)
_STRAIGHT: Final = frozenset({"straight", "straight ahead", "centred", "centered"})

_CHANGE: Final = {
    **dict.fromkeys(("lengthen", "lengthened", "longer"), 1),
    **dict.fromkeys(("shorten", "shortened", "shorter"), -1),
}
_CHANGE_TEXT: Final = re.compile(rf"(.*?) *({'|'.join(_CHANGE)})")
_TURNED_TWICE: Final = re.compile(rf"(?i).*({'|'.join(_CHANGE)}).*({'|'.join(_CHANGE)})")
NOT_TURNED: Final = frozenset({"not turned", "no turn", "none"})
_TURN: Final = {
    **dict.fromkeys(("turn", "turns"), Fraction(1)),
    **dict.fromkeys(("flat", "flats"), Fraction(1, 6)),
    **dict.fromkeys(
        (word for word, unit in ANGLE_WORDS.items() if unit == "deg"), Fraction(1, 360)
    ),
}

_INCHES: Final = ("in", "ft")
_TOE_WORD: Final = re.compile(r"(.*?) *(?:toe[- ])(in|out)")
_TOE_WORD_FIRST: Final = re.compile(r"(?:toe[- ])(?P<way>in|out) +(?P<toe>.+)")
_OUT: Final = re.compile(r"out +(?P<first>.+)|(?P<last>.+?) *out")
_ANGLE_SIGN: Final = re.compile(r"°|deg|min|sec|rad")


class ToeText(NamedTuple):
    """Toe as it was given.

    Parameters
    ----------
    kind : {"distance", "angle", "side slip"}
        What the unit makes it.
    value : Fraction
        Distance [m], angle [deg] or side slip [-], toe-in positive.
    """

    kind: Literal["distance", "angle", "side slip"]
    value: Fraction


def _amount(text: str, words: dict[str, str], wanted: str) -> tuple[Fraction, str | None]:
    """Split an unsigned text into its number and the table's name of its unit, if any."""
    match = _AMOUNT.fullmatch(text)
    digits, word = (match[1].strip(), match[2]) if match else ("", text)
    if word and word not in words:
        if digits and re.match(r"e *[-+]?[0-9]", word):
            wanted = "a number written out, without an exponent such as 1e3"
        raise FaultyText(wanted)
    if not digits:
        raise FaultyText(wanted)
    return number(digits), words[word] if word else None


def read_length(given: object, unit: str) -> Fraction:
    """Read a length exactly.

    Parameters
    ----------
    given : str or int or float or Fraction
        For example ``3 15/16``, ``3-15/16 in``, ``8' 5 1/2"``, ``12½``, ``101.5 mm``, ``2 m``.
        A sign in front holds for the whole. A number means its shortest decimal.
    unit : {"in", "mm", "ft", "cm", "m"}
        Unit of a number, or of a text that names none. A fraction names its own where this is
        metric: rules that show fractions are in inches.

    Returns
    -------
    Fraction
        The length [m].

    Raises
    ------
    FaultyText
        If it is not a length, or could be misread; the message says what would be right.

    Examples
    --------
    >>> read_length("3 15/16", "in") == Fraction("0.1000125")
    True
    >>> read_length("10.15 cm", "in")
    Fraction(203, 2000)
    """
    if not isinstance(given, str):
        return plain(given) * LENGTHS[unit]
    sign, body = signed_body(clean(given).lower())
    if feet := _FEET.fullmatch(body):
        return sign * _feet_and_inches(feet[1], feet[2])
    value, named = _amount(body, LENGTH_WORDS, _LENGTH_WANTED)
    if named is None and "/" in body and unit not in _INCHES:
        raise FaultyText(f"a unit behind a fraction: {body} in, or {body} {unit}")
    return sign * value * LENGTHS[named or unit]


def _feet_and_inches(feet: str, rest: str) -> Fraction:
    """Return the length of whole feet and the inches after them [m]."""
    inches, unit = _amount(rest, LENGTH_WORDS, _LENGTH_WANTED)
    if unit not in (None, "in") or re.match("[0-9]{3}", rest):
        raise FaultyText(_LENGTH_WANTED)
    if inches >= 12:
        whole, left = divmod(12 * int(feet) + inches, 12)
        raise FaultyText(f"inches below 12 after feet: write {whole}' {mixed(left)}\"")
    return int(feet) * LENGTHS["ft"] + inches * LENGTHS["in"]


def read_angle(given: object, unit: str = "deg") -> Fraction:
    """Read an angle exactly.

    Parameters
    ----------
    given : str or int or float or Fraction
        For example ``0.15``, ``0.15 deg``, ``1/4°``, ``0°09'``, ``9'``, ``9 min``,
        ``1°30'15"``. A sign in front holds for the whole: ``-0°30'`` is -1/2 degree.
        Radians are refused: they are not exact in degrees. Seconds need their minutes or
        the word, since ``1/8"`` in place of an angle is an inch.
    unit : {"deg", "arcmin", "arcsec"}
        Unit of a number, or of a text that names none.

    Returns
    -------
    Fraction
        The angle [deg].

    Raises
    ------
    FaultyText
        If it is not an angle, or could be misread; the message says what would be right.

    Examples
    --------
    >>> read_angle("-0°30'")
    Fraction(-1, 2)
    """
    if not isinstance(given, str):
        return plain(given) * ANGLES[unit]
    sign, body = signed_body(clean(given).lower())
    if (parts := _DEG_MIN_SEC.fullmatch(body)) and (parts[1] or parts[3]):
        return sign * _degrees(parts[1], parts[2], parts[3])
    if body.endswith('"'):
        raise FaultyText(f"{_ANGLE_WANTED} (seconds stand after minutes: 0°00'30\")")
    if body.endswith("rad"):
        raise FaultyText(f"{_ANGLE_WANTED} (radians are not read)")
    if re.fullmatch(rf"[0-9]+{_DEG}[0-9].*", body):
        raise FaultyText("whole degrees and then minutes with their mark, such as 1°30'")
    value, named = _amount(body, ANGLE_WORDS, _ANGLE_WANTED)
    return sign * value * ANGLES[named or unit]


def _degrees(degrees: str | None, minutes: str, seconds: str | None) -> Fraction:
    """Return degrees, minutes and seconds as degrees."""
    if degrees is not None and not re.fullmatch(r"[0-5]?[0-9](\.[0-9]+)?", minutes):
        raise FaultyText("minutes below 60 after degrees")
    if seconds is None:
        seconds = "0"
    elif "." in minutes:
        raise FaultyText("whole minutes before seconds")
    if not re.fullmatch(r"[0-5]?[0-9](\.[0-9]+)?", seconds):
        raise FaultyText("seconds below 60 after minutes")
    return Fraction(degrees or 0) + Fraction(minutes) / 60 + Fraction(seconds) / 3600


def read_toe(given: object, unit: str) -> ToeText:
    """Read toe given as a distance, an angle or a side slip; its unit tells which.

    Parameters
    ----------
    given : str or int or float or Fraction
        For example ``1/16 in``, ``1.6 mm``, ``0.15°``, ``9'``, ``11.5 ft/mile``, ``2.2 m/km``;
        ``toe-in`` or ``toe-out`` may follow or come first. ``'`` means minutes, ``"`` inches.
    unit : str
        Unit of a number, or of a text that names none: any of `LENGTHS`, `ANGLES`, `SLOPES`.

    Returns
    -------
    ToeText
        Kind and exact value, toe-in positive.

    Raises
    ------
    FaultyText
        If it is none of these, or could be two of them.

    Examples
    --------
    >>> read_toe("9'", "in")
    ToeText(kind='angle', value=Fraction(3, 20))
    >>> read_toe("1/16 in toe-out", "in").value == -LENGTHS["in"] / 16
    True
    """
    if not isinstance(given, str):
        return _toe(given, unit)
    text = clean(given).lower()
    bare, way = _without_toe_word(text)
    toe = _toe(bare, unit)
    if not way:
        return toe
    if toe.value < 0 or bare[:1] == "-":
        raise FaultyText("either a sign or the word toe-in or toe-out, not both")
    return ToeText(toe.kind, toe.value if way == "in" else -toe.value)


def _without_toe_word(text: str) -> tuple[str, str]:
    """Split off the word for the direction, at either end; ``in``, ``out`` or nothing."""
    if last := _TOE_WORD.fullmatch(text):
        if not last[1]:
            raise FaultyText(f"{_LENGTH_WANTED}, or an angle, beside the word")
        return last[1], last[2]
    if first := _TOE_WORD_FIRST.fullmatch(text):
        return first["toe"], first["way"]
    if half := _OUT.fullmatch(text):
        raise FaultyText(f"the word in full: {half['first'] or half['last']} toe-out")
    return text, ""


def _toe(given: object, unit: str) -> ToeText:
    """Read toe without the words toe-in and toe-out."""
    text = given if isinstance(given, str) else ""
    if "'" in text and '"' in text and not _ANGLE_SIGN.search(text):
        raise FaultyText("feet and inches or minutes and seconds in words, such as 9 min 30 sec")
    if _ANGLE_SIGN.search(text) or text.endswith("'"):
        return ToeText("angle", read_angle(given))
    if re.search(r"/ *[a-z]| per ", text):
        return ToeText("side slip", _slope(text, unit))
    if re.search(r"[a-z'\"]", text) or unit in LENGTHS:
        return ToeText("distance", read_length(given, unit))
    if unit in ANGLES:
        return ToeText("angle", read_angle(given, unit))
    return ToeText("side slip", plain(given) * SLOPES[unit] if not text else _slope(text, unit))


def _slope(text: str, unit: str) -> Fraction:
    """Read a side slip [-]."""
    sign, body = signed_body(re.sub(r" */ *(?=[a-z])", "/", text))
    value, named = _amount(body, SLOPE_WORDS, _SLOPE_WANTED)
    return sign * value * SLOPES[named or unit]


def read_toward(given: object) -> Fraction:
    """Read how far something is turned to one side, in one text.

    Parameters
    ----------
    given : str or int or float or Fraction
        For example ``6 left``, ``6 deg right``, ``2.5° to the left``, ``straight`` or 0.

    Returns
    -------
    Fraction
        The angle [deg], positive to the right (clockwise).

    Raises
    ------
    FaultyText
        If angle or direction is missing or faulty, or a sign and a direction are given.

    Examples
    --------
    >>> read_toward("2.5° to the left")
    Fraction(-5, 2)
    """
    if not isinstance(given, str):
        return read_toward_pair(given, None)
    text = clean(given).lower()
    if text in _STRAIGHT:
        return Fraction(0)
    match = _TOWARD_TEXT.fullmatch(text)
    if match is not None:
        return read_toward_pair(match[1], match[2])
    try:
        return read_toward_pair(text, None)
    except FaultyText as faulty:
        wanted = _TOWARD_WANTED if str(faulty) == _ANGLE_WANTED else str(faulty)
        raise FaultyText(wanted) from None


def read_toward_pair(angle: object, toward: object) -> Fraction:
    """Read how far something is turned to one side, from angle and direction.

    Parameters
    ----------
    angle : str or int or float or Fraction
        The angle without a sign; degrees unless its text says otherwise.
    toward : str or None
        ``left`` or ``right`` (or ``anticlockwise``, ``clockwise``); None only where the angle is 0.

    Returns
    -------
    Fraction
        The angle [deg], positive to the right (clockwise).

    Raises
    ------
    FaultyText
        If either is faulty.

    Examples
    --------
    >>> read_toward_pair(6, "left")
    Fraction(-6, 1)
    """
    if angle == "":
        raise FaultyText(_TOWARD_WANTED)
    value = read_angle(angle)
    if toward is None:
        if value:
            raise FaultyText(_TOWARD_WANTED)
        return value
    word = clean(toward).lower() if isinstance(toward, str) else ""
    if word not in _TOWARD:
        raise FaultyText("a direction: left or right")
    if value < 0:
        raise FaultyText(f"an angle without a sign, since '{word}' gives the direction")
    return _TOWARD[word] * value


def read_turns(given: object) -> Fraction:
    """Read what was turned on a tie rod.

    Parameters
    ----------
    given : str or int or float or Fraction
        For example ``1/2 lengthen``, ``3 flats shorten``, ``90 deg lengthen``, ``not turned``
        or 0. A flat is one sixth of a turn (hexagon).

    Returns
    -------
    Fraction
        Turns [turn], positive where the tie rod became longer.

    Raises
    ------
    FaultyText
        If the number or the word is missing or faulty.

    Examples
    --------
    >>> read_turns("3 flats shorten")
    Fraction(-1, 2)
    """
    if not isinstance(given, str):
        if plain(given):
            raise FaultyText(_TURNS_WANTED)
        return Fraction(0)
    if _TURNED_TWICE.match(given):
        raise FaultyText(
            "one amount and one word: what all turns since the readings before come to together, "
            "such as '1/6 lengthen'"
        )
    text = clean(given).lower()
    if text in NOT_TURNED:
        return Fraction(0)
    match = _CHANGE_TEXT.fullmatch(text)
    words = {word: word for word in _TURN}
    value, unit = _amount(match[1] if match else text, words, _TURNS_WANTED)
    if match is None and value:
        raise FaultyText(f"a word as well: '{text} lengthen' or '{text} shorten'")
    return (_CHANGE[match[2]] if match else 1) * value * _TURN[unit or "turn"]


def read_count(given: object) -> Fraction:
    """Read a bare number, such as a steering ratio.

    Parameters
    ----------
    given : str or int or float or Fraction
        For example ``16.5``, ``16 1/2`` or ``16.5:1``.

    Returns
    -------
    Fraction
        The number [-].

    Raises
    ------
    FaultyText
        If it is not a bare number.

    Examples
    --------
    >>> read_count("16.5:1")
    Fraction(33, 2)
    """
    if not isinstance(given, str):
        return plain(given)
    sign, body = signed_body(clean(given).lower())
    body = re.sub(" *: *1$", "", body)
    if ":" in body:
        raise FaultyText("a number such as 16.5 or 16.5:1")
    value, _ = _amount(body, {}, "a number without a unit, such as 16.5")
    return sign * value
