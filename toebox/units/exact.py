"""Exact numbers to the text that is read back to the very same number, for files."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from typing import Final

from toebox.errors import FaultyText
from toebox.units.number import mixed
from toebox.units.read import read_angle, read_length
from toebox.units.table import ANGLES, LENGTHS
from toebox.units.write import signed

_FINEST_RULE: Final = 128
_SHORT: Final = 2
_LONG: Final = 20


def exact_length(metres: Fraction, unit: str) -> str:
    """Return the plainest text that `read_length` reads back to the same fraction.

    Parameters
    ----------
    metres : Fraction
        Length [m].
    unit : {"in", "mm"}
        Unit of texts that name none; the text names its unit only where it is the other one.

    Returns
    -------
    str
        A short decimal of millimetres, or inches as a rule shows them (to 1/128 in), or
        a long decimal, or any fraction; in `unit` where that is as plain.

    Raises
    ------
    ValueError
        If no text that `read_length` accepts means this number.

    Examples
    --------
    >>> exact_length(read_length("3 15/16", "in"), "in")
    '3 15/16'
    >>> exact_length(read_length("101.5 mm", "in"), "in")
    '101.5 mm'
    """
    inches, millimetres = metres / LENGTHS["in"], metres / LENGTHS["mm"]
    tag = {"in": "", "mm": ""} | ({"mm": " mm"} if unit == "in" else {"in": " in"})
    on_rule = (_on_rule(inches), tag["in"])
    decimals = [(_decimal(inches, _LONG), tag["in"]), (_decimal(millimetres, _LONG), tag["mm"])]
    fractions = [(mixed(inches), tag["in"]), (mixed(millimetres), " mm")]
    if unit == "in":
        choices = [on_rule, *decimals, *fractions]
    else:
        short = (_decimal(millimetres, _SHORT), tag["mm"])
        choices = [short, on_rule, *decimals[::-1], *fractions[::-1]]
    texts = [text + unit_tag for text, unit_tag in choices if text]
    return _first_read_back(texts, lambda text: read_length(text, unit), metres)


def exact_angle(degrees: Fraction) -> str:
    """Return the plainest text that `read_angle` reads back to the same fraction.

    Parameters
    ----------
    degrees : Fraction
        Angle [deg].

    Returns
    -------
    str
        A decimal of degrees without unit where there is one, else one of minutes, else a
        fraction of a degree.

    Raises
    ------
    ValueError
        If no text that `read_angle` accepts means this number.

    Examples
    --------
    >>> exact_angle(Fraction(3, 20)), exact_angle(Fraction(1, 6)), exact_angle(Fraction(1, 7))
    ('0.15', "10'", '1/7')
    """
    minutes = _decimal(degrees / ANGLES["arcmin"], _LONG)
    texts = [_decimal(degrees, _LONG), minutes and f"{minutes}'", mixed(degrees)]
    return _first_read_back([text for text in texts if text], read_angle, degrees)


def _first_read_back(texts: list[str], read: Callable[[str], Fraction], value: Fraction) -> str:
    """Return the first text that is read as exactly this value."""
    for text in texts:
        if _read(read, text) == value:
            return text
    raise ValueError("no text that can be read means exactly this number")


def _read(read: Callable[[str], Fraction], text: str) -> Fraction | None:
    """Return what a text is read as; None where it is refused for its length."""
    try:
        return read(text)
    except FaultyText:
        return None


def _on_rule(inches: Fraction) -> str | None:
    """Return inches as a fraction that a steel rule may show."""
    return mixed(inches) if _FINEST_RULE % inches.denominator == 0 else None


def _decimal(value: Fraction, digits: int) -> str | None:
    """Return the shortest decimal that is exact within so many digits."""
    for places in range(digits + 1):
        if (value * 10**places).denominator == 1:
            return signed(value, places)
    return None
