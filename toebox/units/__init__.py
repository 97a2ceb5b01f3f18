"""Text to numbers and numbers to text; the only place that knows pint.

`read` and `thread` read, `write` writes for people and `exact` for files; `table` holds the
units and `quantity` makes unit objects. Importing this package imports neither pint nor numpy.
"""

from toebox.units.exact import exact_angle, exact_length
from toebox.units.quantity import quantity
from toebox.units.read import (
    ToeText,
    read_angle,
    read_count,
    read_length,
    read_toe,
    read_toward,
    read_toward_pair,
    read_turns,
)
from toebox.units.table import ANGLES, INCH, LENGTHS, SLOPES
from toebox.units.thread import Thread, read_thread, unusual
from toebox.units.write import (
    camber_words,
    caster_words,
    degrees,
    degrees_minutes,
    flats,
    inches,
    length,
    millimetres,
    minutes,
    off_words,
    percent,
    plus_minus,
    side_words,
    signed,
    toe_distance,
    toe_words,
    turns,
)

__all__ = [
    "ANGLES",
    "INCH",
    "LENGTHS",
    "SLOPES",
    "Thread",
    "ToeText",
    "camber_words",
    "caster_words",
    "degrees",
    "degrees_minutes",
    "exact_angle",
    "exact_length",
    "flats",
    "inches",
    "length",
    "millimetres",
    "minutes",
    "off_words",
    "percent",
    "plus_minus",
    "quantity",
    "read_angle",
    "read_count",
    "read_length",
    "read_thread",
    "read_toe",
    "read_toward",
    "read_toward_pair",
    "read_turns",
    "side_words",
    "signed",
    "toe_distance",
    "toe_words",
    "turns",
    "unusual",
]
