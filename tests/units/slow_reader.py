"""A slow, independent reader of lengths: characters one by one, decimals by `decimal`.

It shares nothing with the package. It is more lenient where leniency is harmless; what it
must never do is to give a value that a careful person would not give.
"""

import unicodedata
from decimal import Decimal, localcontext
from fractions import Fraction

MILLIMETRES = {
    "mm": Decimal("1"),
    "millimetre": Decimal("1"),
    "millimeter": Decimal("1"),
    "cm": Decimal("10"),
    "centimetre": Decimal("10"),
    "centimeter": Decimal("10"),
    "m": Decimal("1000"),
    "metre": Decimal("1000"),
    "meter": Decimal("1000"),
    "in": Decimal("25.4"),
    "inch": Decimal("25.4"),
    "inche": Decimal("25.4"),
    "ft": Decimal("304.8"),
    "foot": Decimal("304.8"),
    "feet": Decimal("304.8"),
}


SIGNS = {
    **dict.fromkeys("0123456789.", "number"),
    **dict.fromkeys("'\u2032\u2019\u2018", "single"),
    **dict.fromkeys('"\u2033\u201d\u201c', "double"),
    **dict.fromkeys("/\u2044\u2215", "stroke"),
    **dict.fromkeys("-\u2212\u2010\u2011\u2012\u2013", "dash"),
    **dict.fromkeys("abcdefghijklmnopqrstuvwxyz", "word"),
    "+": "plus",
    "\t": "blank",
}


def token(sign):
    """Return the kind of a character and what it stands for, or None."""
    if unicodedata.category(sign) == "No" and "VULGAR FRACTION" in unicodedata.name(sign):
        return "vulgar", Fraction(unicodedata.numeric(sign)).limit_denominator(10)
    if unicodedata.category(sign) == "Zs":
        return "blank", " "
    sign = sign.lower() if sign.isascii() else sign
    return (SIGNS[sign], sign) if sign in SIGNS else None


def tokens(text):
    """Return (kind, content) for each run of characters, blanks at the ends left out."""
    found = []
    for kind, content in (token(sign) or ("unknown", sign) for sign in text.strip()):
        last = found[-1][0] if found else None
        if kind == last and kind in ("number", "word", "blank"):
            found[-1] = (kind, found[-1][1] + content)
        elif kind == last == "single":
            found[-1] = ("double", "''")
        else:
            found.append((kind, content))
    return None if any(kind == "unknown" for kind, _ in found) else found


def decimal_fraction(digits):
    """Return digits with at most one point as a fraction, or None."""
    if digits.count(".") > 1 or digits in (".", "") or digits.endswith("."):
        return None
    with localcontext() as context:
        context.prec = 100
        return Fraction(Decimal(digits))


def take_number(row):
    """Take one number off the front of a row of tokens; None if there is none."""
    kinds = [kind for kind, _ in row]
    texts = [content for _, content in row]

    def is_fraction(at):
        return (
            kinds[at : at + 3] == ["number", "stroke", "number"]
            and texts[at].isdigit()
            and texts[at + 2].isdigit()
            and int(texts[at + 2]) > 0
        )

    if kinds[:1] == ["vulgar"]:
        return texts[0], row[1:]
    if is_fraction(0):
        return Fraction(int(texts[0]), int(texts[2])), row[3:]
    if kinds[:1] != ["number"]:
        return None
    whole = decimal_fraction(texts[0])
    if whole is None:
        return None
    if "." not in texts[0]:
        after = 2 if kinds[1:2] in (["blank"], ["dash"]) else 1
        if kinds[after : after + 1] == ["vulgar"] and texts[after] < 1:
            return whole + texts[after], row[after + 1 :]
        if after == 2 and is_fraction(2):
            part = Fraction(int(texts[2]), int(texts[4]))
            return (whole + part, row[5:]) if part < 1 else None
    return whole, row[1:]


def take_sign(row):
    """Take a sign off the front of a row of tokens."""
    if row[0][0] not in ("dash", "plus"):
        return 1, row
    rest = row[1:]
    sign = -1 if row[0][0] == "dash" else 1
    return sign, rest[1:] if rest[:1] and rest[0][0] == "blank" else rest


def take_unit(row):
    """Take one unit off the front of a row of tokens: its size in millimetres, or None."""
    if row[:1] and row[0][0] == "blank":
        row = row[1:]
    if not row:
        return None, row
    kind, content = row[0]
    if kind == "single":
        return MILLIMETRES["ft"], row[1:]
    if kind == "double":
        return MILLIMETRES["in"], row[1:]
    name = content if content in MILLIMETRES else str(content).removesuffix("s")
    if kind == "word" and name in MILLIMETRES:
        rest = row[1:]
        if rest[:1] == [("number", ".")] and name in ("in", "ft"):
            rest = rest[1:]
        return MILLIMETRES[name], rest
    return None, row


def is_fraction(row):
    """Tell whether a fraction was written: whoever reads one holds a rule in inches."""
    return any(kind in ("vulgar", "stroke") for kind, _ in row)


def slow_length(text, unit):
    """Return a length in metres as a fraction, or None where the text is no length."""
    row = tokens(text)
    if not row:
        return None
    sign, row = take_sign(row)
    first = take_number(row)
    if first is None:
        return None
    value, after = first
    size, rest = take_unit(after)
    if size is None and unit == "mm" and is_fraction(row):
        return None
    row = rest
    total = value * Fraction(size or MILLIMETRES[unit])
    if row and size == MILLIMETRES["ft"]:
        if value.denominator != 1:
            return None
        while row and row[0][0] in ("blank", "dash"):
            row = row[1:]
        second = take_number(row)
        if second is None or second[0] >= 12:
            return None
        size, row = take_unit(second[1])
        if size not in (None, MILLIMETRES["in"]):
            return None
        total += second[0] * Fraction(MILLIMETRES["in"])
    return None if row else sign * total / 1000
