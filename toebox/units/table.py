"""The units that toebox knows, with exact factors.

Sources: 1 in = 25.4 mm exactly (NIST SP 811, Appendix B); 1 ft = 12 in and
1 mile = 5280 ft (NIST SP 811, Appendix B.6); 1 degree = 60 minutes, 1 minute = 60 seconds
(BIPM, The International System of Units, table 8).
"""

from __future__ import annotations

from fractions import Fraction
from typing import Final

INCH: Final = Fraction(254, 10_000)
"""One inch [m]."""

LENGTHS: Final[dict[str, Fraction]] = {
    "in": INCH,
    "ft": 12 * INCH,
    "mm": Fraction(1, 1000),
    "cm": Fraction(1, 100),
    "m": Fraction(1),
}
"""Metres in one unit of length [m]."""

ANGLES: Final[dict[str, Fraction]] = {
    "deg": Fraction(1),
    "arcmin": Fraction(1, 60),
    "arcsec": Fraction(1, 3600),
}
"""Degrees in one unit of angle [deg]."""

SLOPES: Final[dict[str, Fraction]] = {
    "ft/mile": Fraction(1, 5280),
    "m/km": Fraction(1, 1000),
    "mm/m": Fraction(1, 1000),
}
"""Side slip: sideways travel over distance rolled, in one unit [-]."""

LENGTH_WORDS: Final[dict[str, str]] = {
    **dict.fromkeys(('"', "in", "in.", "inch", "inches"), "in"),
    **dict.fromkeys(("'", "ft", "ft.", "foot", "feet"), "ft"),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
}
"""How a unit of length may be written, in small letters."""

ANGLE_WORDS: Final[dict[str, str]] = {
    **dict.fromkeys(("°", "deg", "deg.", "degs", "degree", "degrees"), "deg"),
    **dict.fromkeys(("'", "min", "min.", "arcmin", "minute", "minutes"), "arcmin"),
    **dict.fromkeys(('"', "sec", "sec.", "arcsec", "second", "seconds"), "arcsec"),
}
"""How a unit of angle may be written, in small letters."""

SLOPE_WORDS: Final[dict[str, str]] = {
    **dict.fromkeys(("ft/mile", "ft/mi", "feet/mile", "ft per mile", "feet per mile"), "ft/mile"),
    **dict.fromkeys(("m/km", "m per km"), "m/km"),
    **dict.fromkeys(("mm/m", "mm per m"), "mm/m"),
}
"""How a unit of side slip may be written, in small letters."""
