"""Numbers to text: the only place where a number becomes words and digits.

Nothing here ever prints a negative zero, and a direction is said in a word. Halves are
rounded to even; what a float carries beyond 13 significant digits counts as noise, so that
a computed half is a half on every machine.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import lru_cache
from typing import Final

from toebox.units.number import mixed
from toebox.units.table import INCH

Number = float | Fraction
"""A number to be written; a float means its first 13 significant digits."""

_FINEST_TURN: Final = 48
_FINEST_FLAT: Final = 8


def _exact(value: Number) -> Fraction:
    """Return the decimal that a number means."""
    return value if isinstance(value, Fraction) else Fraction(f"{value:.13g}")


def _rounded(value: Number, digits: int) -> Fraction:
    """Round to so many decimals, halves to even."""
    return Fraction(round(_exact(value) * 10**digits), 10**digits)


def signed(value: Number, digits: int, *, plus: bool = False) -> str:
    """Return a decimal with a fixed number of digits after the point.

    Parameters
    ----------
    value : float or Fraction
        Any finite number [-].
    digits : int
        Digits after the point.
    plus : bool
        Whether a positive number shows its sign.

    Returns
    -------
    str
        The number, with ``-`` in front if it is negative *after* rounding.

    Examples
    --------
    >>> signed(-0.004, 2), signed(-0.006, 2), signed(0.5, 1, plus=True)
    ('0.00', '-0.01', '+0.5')
    """
    rounded = _rounded(value, digits)
    whole, part = divmod(abs(rounded) * 10**digits, 10**digits)
    sign = "-" if rounded < 0 else "+" * (plus and rounded > 0)
    return f"{sign}{whole}" + (f".{int(part):0{digits}d}" if digits else "")


@lru_cache(maxsize=1024)
def inches(metres: Number, denominator: int = 64, *, reduce: bool = True, tag: bool = True) -> str:
    """Return a length as the nearest fraction of an inch.

    Parameters
    ----------
    metres : float or Fraction
        Length [m].
    denominator : int
        Finest fraction, for example 64 for 1/64 in.
    reduce : bool
        Whether 60/64 becomes 15/16.
    tag : bool
        Whether ``in`` follows.

    Returns
    -------
    str
        For example ``3 15/16 in``.

    Examples
    --------
    >>> inches(0.1), inches(0.1, 64, reduce=False, tag=False), inches(-1e-6)
    ('3 15/16 in', '3 60/64', '0 in')
    """
    count = round(_exact(metres) / INCH * denominator)
    whole, part = divmod(abs(count), denominator)
    if reduce or not part:
        text = mixed(Fraction(count, denominator))
    else:
        text = "-" * (count < 0) + f"{whole} " * (whole > 0) + f"{part}/{denominator}"
    return text + " in" * tag


def millimetres(metres: Number, digits: int = 1, *, tag: bool = True) -> str:
    """Return a length in millimetres.

    Parameters
    ----------
    metres : float or Fraction
        Length [m].
    digits : int
        Digits after the point.
    tag : bool
        Whether ``mm`` follows.

    Returns
    -------
    str
        For example ``101.5 mm``.

    Examples
    --------
    >>> millimetres(0.1015)
    '101.5 mm'
    """
    return signed(1000 * _exact(metres), digits) + " mm" * tag


def length(
    metres: Number, unit: str, denominator: int = 64, digits: int = 1, *, tag: bool = True
) -> str:
    """Return a length in the user's unit.

    Parameters
    ----------
    metres : float or Fraction
        Length [m].
    unit : {"in", "mm"}
        Inches as a fraction, or millimetres as a decimal.
    denominator : int
        Finest fraction of an inch.
    digits : int
        Digits after the point of millimetres.
    tag : bool
        Whether the unit follows.

    Returns
    -------
    str
        For example ``3 15/16 in`` or ``100.0 mm``.

    Examples
    --------
    >>> length(0.1, "in"), length(0.1, "mm")
    ('3 15/16 in', '100.0 mm')
    """
    if unit == "in":
        return inches(metres, denominator, tag=tag)
    return millimetres(metres, digits, tag=tag)


def degrees(radians: float, digits: int = 2, *, magnitude: bool = False) -> str:
    """Return an angle in degrees.

    Parameters
    ----------
    radians : float
        Angle [rad].
    digits : int
        Digits after the point.
    magnitude : bool
        True to leave out the sign, where a word beside it says the direction.

    Returns
    -------
    str
        For example ``0.15°``; no blank before the sign (SI brochure, 5.4.3).

    Examples
    --------
    >>> degrees(math.radians(-0.15)), degrees(math.radians(-0.15), magnitude=True)
    ('-0.15°', '0.15°')
    """
    value = math.degrees(radians)
    return signed(abs(value) if magnitude else value, digits) + "°"


def _worded(radians: float, digits: int, positive: str, negative: str, zero: str) -> str:
    """Return the size of an angle and the word for its sign after rounding."""
    text = degrees(radians, digits, magnitude=True)
    if not _rounded(math.degrees(radians), digits):
        return f"{text} ({zero})"
    return f"{text} {positive if radians > 0 else negative}"


def toe_words(radians: float, digits: int = 2) -> str:
    """Return toe in words.

    Parameters
    ----------
    radians : float
        Toe, toe-in positive [rad].
    digits : int
        Digits after the point.

    Returns
    -------
    str
        For example ``0.15° toe-in``.

    Examples
    --------
    >>> toe_words(math.radians(-0.15)), toe_words(0.0)
    ('0.15° toe-out', '0.00° (straight)')
    """
    return _worded(radians, digits, "toe-in", "toe-out", "straight")


def toe_distance(
    metres: Number, across: Number, unit: str, denominator: int = 64, digits: int = 1
) -> str:
    """Return toe as a distance, with the diameter that it is taken across.

    Parameters
    ----------
    metres : float or Fraction
        Toe, toe-in positive [m].
    across : float or Fraction
        Diameter that it is taken across [m].
    unit : {"in", "mm"}
        The user's unit.
    denominator : int
        Finest fraction of an inch.
    digits : int
        Digits after the point of millimetres.

    Returns
    -------
    str
        For example ``1/16 in toe-in across 23 3/4 in``.

    Examples
    --------
    >>> toe_distance(-0.0016, 0.6, "mm")
    '1.6 mm toe-out across 600.0 mm'
    """
    size = abs(_exact(metres))
    text = length(size, unit, denominator, digits)
    if text == length(Fraction(0), unit, denominator, digits):
        word = "(straight)"
    else:
        word = "toe-in" if metres > 0 else "toe-out"
    return f"{text} {word} across {length(across, unit, denominator, digits)}"


def camber_words(radians: float, digits: int = 2) -> str:
    """Return camber in words.

    Parameters
    ----------
    radians : float
        Camber, positive with the top of the wheel outwards [rad].
    digits : int
        Digits after the point.

    Returns
    -------
    str
        For example ``1.20° top in``.

    Examples
    --------
    >>> camber_words(math.radians(-1.2))
    '1.20° top in'
    """
    return _worded(radians, digits, "top out", "top in", "upright")


def side_words(radians: float, digits: int = 2) -> str:
    """Return a direction, such as the thrust angle's, in words.

    Parameters
    ----------
    radians : float
        Angle, positive to the right [rad].
    digits : int
        Digits after the point.

    Returns
    -------
    str
        For example ``0.06° to the right``.

    Examples
    --------
    >>> side_words(math.radians(0.06))
    '0.06° to the right'
    """
    return _worded(radians, digits, "to the right", "to the left", "straight")


def off_words(radians: float, digits: int = 1) -> str:
    """Return how far the steering wheel stands off centre, in words.

    Parameters
    ----------
    radians : float
        Angle, positive clockwise, that is to the right [rad].
    digits : int
        Digits after the point.

    Returns
    -------
    str
        For example ``6.0° to the left``.

    Examples
    --------
    >>> off_words(math.radians(-6))
    '6.0° to the left'
    """
    return _worded(radians, digits, "to the right", "to the left", "centred")


def caster_words(radians: float, digits: int = 1) -> str:
    """Return caster in words.

    Parameters
    ----------
    radians : float
        Caster, positive with the top of the steering axis rearwards [rad].
    digits : int
        Digits after the point.

    Returns
    -------
    str
        For example ``5.2° caster``; a negative one says which way its sign points.

    Examples
    --------
    >>> caster_words(math.radians(-0.8))
    '-0.8° caster, top forward'
    """
    text = f"{degrees(radians, digits)} caster"
    return text + ", top forward" * text.startswith("-")


def minutes(radians: float, digits: int = 0) -> str:
    """Return the size of an angle in minutes.

    Parameters
    ----------
    radians : float
        Angle [rad]; its sign is left to a word.
    digits : int
        Digits after the point.

    Returns
    -------
    str
        For example ``9'``.

    Examples
    --------
    >>> minutes(math.radians(0.15))
    "9'"
    """
    return signed(60 * _exact(abs(math.degrees(radians))), digits) + "'"


def degrees_minutes(radians: float, digits: int = 0) -> str:
    """Return the size of an angle in degrees and minutes.

    Parameters
    ----------
    radians : float
        Angle [rad]; its sign is left to a word.
    digits : int
        Digits after the point of the minutes.

    Returns
    -------
    str
        For example ``0°09'``.

    Examples
    --------
    >>> degrees_minutes(math.radians(22.2))
    "22°12'"
    """
    whole, part = divmod(_rounded(60 * _exact(abs(math.degrees(radians))), digits), 60)
    return f"{whole}°{'0' * (part < 10)}{signed(part, digits)}'"


def turns(turns: Number) -> str:
    """Return the size of a number of turns.

    Parameters
    ----------
    turns : float or Fraction
        Turns [turn]; their sign is left to a word.

    Returns
    -------
    str
        A fraction where one with a denominator up to 48 is meant, else two decimals:
        ``1/2 turn``, ``1 1/6 turns``, ``no turn``.

    Examples
    --------
    >>> turns(0.5), turns(-7 / 6), turns(0.0), turns(0.371)
    ('1/2 turn', '1 1/6 turns', 'no turn', '0.37 turn')
    """
    return _counted(abs(_exact(turns)), _FINEST_TURN, 2, "turn")


def flats(turns: Number) -> str:
    """Return turns as flats of a hexagon.

    Parameters
    ----------
    turns : float or Fraction
        Turns [turn]; their sign is left to a word.

    Returns
    -------
    str
        To an eighth of a flat where that is meant, else with one decimal: ``3 flats``.

    Examples
    --------
    >>> flats(0.5), flats(1 / 6), flats(-0.25), flats(0.05), flats(0.0)
    ('3 flats', '1 flat', '1 1/2 flats', '0.3 flat', 'no flat')
    """
    return _counted(6 * abs(_exact(turns)), _FINEST_FLAT, 1, "flat")


def _counted(exact: Fraction, finest: int, digits: int, word: str) -> str:
    """Return an amount as a fraction where one as fine as that is meant, else as a decimal."""
    near = exact.limit_denominator(finest)
    text = mixed(near)
    if abs(near - exact) > Fraction(1, 10**6):
        near = _rounded(exact, digits)
        text = signed(near, digits)
    return f"{text} {word}" + "s" * (near > 1) if near else f"no {word}"


def plus_minus(half_width: Number, digits: int = 2, unit: str = "°") -> str:
    """Return the half-width of an interval.

    Parameters
    ----------
    half_width : float or Fraction
        Half-width, not negative, in the unit shown.
    digits : int
        Digits after the point.
    unit : str
        ``°``, or a word such as ``mm`` that stands after a blank.

    Returns
    -------
    str
        For example ``± 0.06°``; never ``± 0.00°`` for what is not zero.

    Examples
    --------
    >>> plus_minus(0.061), plus_minus(1.2, 1, "mm"), plus_minus(0.001)
    ('± 0.06°', '± 1.2 mm', '± under 0.01°')
    """
    rounded = _rounded(half_width, digits)
    under = ""
    if not rounded and half_width:
        under, rounded = "under ", Fraction(1, 10**digits)
    blank = " " if unit[:1].isalpha() else ""
    return f"± {under}{signed(rounded, digits)}{blank}{unit}"


def percent(share: Number, digits: int = 0) -> str:
    """Return a probability in percent.

    Parameters
    ----------
    share : float or Fraction
        Probability, 0 to 1 [-].
    digits : int
        Digits after the point.

    Returns
    -------
    str
        For example ``93 %``; ``0 %`` and ``100 %`` only for exactly that.

    Examples
    --------
    >>> percent(0.93), percent(0.9999), percent(1.0), percent(0.0001)
    ('93 %', 'over 99 %', '100 %', 'under 1 %')
    """
    step = Fraction(1, 10**digits)
    rounded = _rounded(100 * _exact(share), digits)
    if rounded == 100 and share < 1:
        return f"over {signed(100 - step, digits)} %"
    if not rounded and share > 0:
        return f"under {signed(step, digits)} %"
    return f"{signed(rounded, digits)} %"
