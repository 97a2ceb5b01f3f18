"""The number grammar: a person's text to an exact fraction, or a fault in plain words.

Every reader of `toebox.units` goes through `clean` and `number`, so that a spelling means
the same everywhere. A text is read or refused; it is never guessed at.
"""

from __future__ import annotations

import math
import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from typing import Final

from toebox.errors import FaultyText

LONGEST: Final = 64
"""Longest text that is read [characters]."""

_MOST_DIGITS: Final = 20
_LARGEST: Final = 10**_MOST_DIGITS

_SAME_AS: Final = str.maketrans(
    {
        **dict.fromkeys(
            "\t\u00a0\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f", " "
        ),
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2212\ufe63\uff0d", "-"),
        **dict.fromkeys("\u2018\u2019\u00b4\u02b9\u02bc\u2032\uff07", "'"),
        **dict.fromkeys("\u201c\u201d\u02ba\u2033\uff02", '"'),
        **dict.fromkeys("\u2215\uff0f", "/"),
        **dict.fromkeys("\u00ba\u02da", "°"),
        "\u00d7": "x",
    }
)
_DIGIT: Final = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "01234567890123456789")
_RAISED: Final = re.compile("([⁰¹²³⁴-⁹]+)[\u2044/]([₀-₉]+)")
_SLASHED: Final = re.compile("([0-9]+)\u2044([0-9]+)")
_VULGAR: Final = "¼-¾⅐-⅟↉"
_BESIDE_VULGAR: Final = re.compile(f"(?<=[0-9])(?=[{_VULGAR}])|(?<=[{_VULGAR}])(?=[0-9{_VULGAR}])")
_FOREIGN: Final = re.compile(r"[^ -~°]")
_NUMBER: Final = re.compile(
    r"(?:(?P<whole>[0-9]+)(?:\ +|-))?(?P<above>[0-9]+)/(?P<below>[0-9]+)"
    r"|(?P<plain>[0-9]*\.[0-9]+|[0-9]+)"
)


def plain(given: object) -> Fraction:
    """Return the exact decimal meaning of a number that is already one.

    Parameters
    ----------
    given : int or float or Fraction
        A finite number below 1e20 in size; a float means its shortest decimal
        (``3.9375`` is 63/16, ``0.1`` is 1/10).

    Returns
    -------
    Fraction
        The same number, exactly.

    Raises
    ------
    FaultyText
        If it is true or false, not a number, infinite or absurdly large.

    Examples
    --------
    >>> plain(0.1)
    Fraction(1, 10)
    """
    if not isinstance(given, (int, float, Fraction)) or isinstance(given, bool):
        raise FaultyText("a number, or a text in quotes such as '3 15/16'")
    if isinstance(given, float) and not math.isfinite(given):
        raise FaultyText("a number that is neither infinite nor 'nan'")
    if not -_LARGEST < given < _LARGEST:
        raise FaultyText(f"a number of at most {_MOST_DIGITS} digits")
    return Fraction(Decimal(repr(float(given)))) if isinstance(given, float) else Fraction(given)


def clean(text: str) -> str:
    """Return a text in plain characters, one spelling for each sign.

    Typographic minus signs, quotes, primes, fractions, fraction slashes and blanks become
    their keyboard form; whatever else is not on a keyboard is refused, and so are commas.

    Parameters
    ----------
    text : str
        At most 64 characters.

    Returns
    -------
    str
        Printable ASCII and the degree sign, no blanks at either end.

    Raises
    ------
    FaultyText
        If it is too long or empty, or has a character that cannot be read safely.

    Examples
    --------
    >>> clean("12½″")
    '12 1/2"'
    """
    if len(text) > LONGEST:
        raise FaultyText(f"a text of at most {LONGEST} characters")
    text = text.strip()
    if not text:
        raise FaultyText("a value; the text is empty")
    if not text.isascii():
        text = _keyboard(text)
    if foreign := _FOREIGN.search(text):
        sign = foreign.group()
        name = unicodedata.name(sign, "a control character")
        raise FaultyText(f"characters from the keyboard; U+{ord(sign):04X} ({name}) is not read")
    text = text.replace("''", '"')
    if "," in text:
        raise FaultyText(_without_comma(text))
    if re.search(rf"[0-9]{{{_MOST_DIGITS + 1}}}", text):
        raise FaultyText(f"a number of at most {_MOST_DIGITS} digits")
    return text


def _keyboard(text: str) -> str:
    """Replace typographic signs by their keyboard form."""
    text = _RAISED.sub(lambda m: f" {m[1]}/{m[2]} ".translate(_DIGIT), text)
    for above, below in _SLASHED.findall(text):
        if int(above) >= int(below):  # '3½' pasted as plain text becomes '31⁄2'
            raise FaultyText(f"a blank between whole number and fraction in {above}/{below}")
    text = "".join(_spelt_out(sign) for sign in _BESIDE_VULGAR.sub(" ", text))
    return text.replace("\u2044", "/").translate(_SAME_AS).strip()


def _spelt_out(sign: str) -> str:
    """Return '1/2' for '½'; any other character as it is."""
    kind, _, parts = unicodedata.decomposition(sign).partition(" ")
    if kind != "<fraction>":
        return sign
    return "".join(chr(int(code, 16)) for code in parts.split())


def _without_comma(text: str) -> str:
    """Say how to write a number that was given with a comma."""
    bare = text.replace(",", "")
    if re.search(r"[0-9], +[0-9]", text):
        return (
            "one number without a comma (several readings: a semicolon between them in toebox "
            "fill, a list in a job)"
        )
    if not re.search(r",[0-9]", text) or re.search(r"[A-Za-z] *,", text):
        return "one value, without a comma"
    if "." in text or text.count(",") > 1:
        if re.search(r"\.[0-9]+,", text):
            bare = text.replace(".", "").replace(",", ".")
        return f"a number without thousands separators: write {bare}"
    point = text.replace(",", ".")
    if re.search(r"[0-9],[0-9]{3}(?![0-9])", text):
        return f"a number without a comma: write {bare} or {point}, whichever is meant"
    return f"a decimal point, not a comma: write {point}"


def signed_body(text: str) -> tuple[int, str]:
    """Split a leading sign from a cleaned text: ``(-1, '1/8')`` for ``-1/8``."""
    if text[0] in "+-":
        return (-1 if text[0] == "-" else 1), text[1:].lstrip()
    return 1, text


def number(text: str) -> Fraction:
    """Return the exact value of an unsigned number without unit.

    Parameters
    ----------
    text : str
        Cleaned text: ``3``, ``3.9375``, ``.5``, ``15/16``, ``3 15/16`` or ``3-15/16``.

    Returns
    -------
    Fraction
        Its exact value.

    Raises
    ------
    FaultyText
        If it is anything else; the message says what would be right.

    Examples
    --------
    >>> number("3-15/16")
    Fraction(63, 16)
    """
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise FaultyText(_not_a_number(text))
    if match["plain"]:
        return Fraction(match["plain"])
    return _mixed(match["whole"], match["above"], match["below"])


def _mixed(whole: str | None, above: str, below: str) -> Fraction:
    """Return whole + above/below, refusing what is probably a slip."""
    if int(below) == 0:
        raise FaultyText("a fraction whose lower number is not zero")
    if (above, below) != (str(int(above)), str(int(below))):
        raise FaultyText(f"a fraction without leading zeros: write {int(above)}/{int(below)}")
    fraction = Fraction(int(above), int(below))
    if whole is None:
        return fraction
    if fraction >= 1:
        meant = mixed(int(whole) + fraction)
        raise FaultyText(f"a fraction below one after the whole number: write {meant}")
    return int(whole) + fraction


_SLIPS: Final = (
    (r"[0-9]+(_[0-9]+)+", "a number without underscores: write {joined}"),
    (
        r"[0-9]{1,3}( [0-9]{3})+(\.[0-9]+)?",
        "a number without blanks between its digits: write {joined}",
    ),
    (r"[0-9]{1,3}(\.[0-9]{3}){2,}", "a number without thousands separators"),
    (r"[0-9]+\.", "a digit after the decimal point"),
    (r"[-+].*", "one sign at most, in front of the whole value"),
    (r".*/.*/.*", "a single fraction, such as 3 15/16"),
    (r".*( /|/ ).*", "no blanks beside the fraction stroke, such as 3 15/16"),
    (r".*( -|- ).*", "no blanks beside the dash, such as 3-15/16"),
    (r".*\..*/.*|.*/.*\..*", "a decimal or a fraction, not both"),
)


def _not_a_number(text: str) -> str:
    """Say what is wrong with a text that is no number."""
    for pattern, wanted in _SLIPS:
        if re.fullmatch(pattern, text):
            return wanted.format(joined=re.sub("[ _]", "", text))
    return "a number such as 3 15/16, 3-15/16 or 3.9375"


def mixed(value: Fraction) -> str:
    """Return a fraction as a person writes it; `number` reads it back.

    Parameters
    ----------
    value : Fraction
        Any value; a minus sign stands in front of the whole.

    Returns
    -------
    str
        Whole number and proper fraction.

    Examples
    --------
    >>> mixed(Fraction(-63, 16))
    '-3 15/16'
    """
    whole, part = divmod(abs(value), 1)
    texts = [f"{whole}"] * (whole > 0 or part == 0) + [f"{part}"] * (part > 0)
    return "-" * (value < 0) + " ".join(texts)
