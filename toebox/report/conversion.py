"""One toe in every unit: as a distance across a diameter, as an angle, as side-slip."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any, NamedTuple

from toebox.geometry.toe import side_slip, toe_angle, toe_distance, toe_from_side_slip
from toebox.report.blocks import Block, Paragraph, Section, Table, View
from toebox.units import write
from toebox.units.read import ToeText
from toebox.units.table import INCH, SLOPES

SCHEMA = "toebox.toe/1"
LARGEST = math.radians(10.0)
_MILE, _KM = float(SLOPES["ft/mile"]), float(SLOPES["m/km"])
_WHOLE = 64  # denominator of printed inches
_NOTE = (
    "Toe of one wheel, or total toe of an axle. A distance holds only across the diameter beside "
    "it. Side-slip is how far a freely rolling wheel would drift to the side on its way."
)


class Conversion(NamedTuple):
    """A toe, and the diameter for its distance.

    Parameters
    ----------
    given : str
        As the user wrote it.
    angle : float
        Toe, toe-in positive [rad].
    across : float or None
        Diameter [m]; None where none was given.
    metric : bool
        Whether millimetres come first.
    """

    given: str
    angle: float
    across: float | None = None
    metric: bool = False

    @property
    def distance(self) -> float | None:
        """Toe as a distance across the diameter [m]."""
        return None if self.across is None else toe_distance(self.angle, self.across)


def converted(given: str, toe: ToeText, across: float | None, metric: bool) -> Conversion:
    """Make a conversion of what was read.

    Parameters
    ----------
    given : str
        The text.
    toe : ToeText
        What it was read as.
    across : float or None
        Diameter [m].
    metric : bool
        Whether millimetres come first.

    Returns
    -------
    Conversion
        Its angle and diameter.

    Raises
    ------
    ValueError
        If it is beyond 10 degrees, or a distance without a diameter; the message says what
        is wanted.
    """
    value = float(toe.value)
    if toe.kind == "angle":
        angle = math.radians(value)
    elif toe.kind == "side slip":
        angle = toe_from_side_slip(value)
    elif across is None:
        raise ValueError("--across DIAMETER: a distance means nothing without it")
    else:
        angle = toe_angle(value, across) if abs(value) < across else math.inf
    if abs(angle) > LARGEST:
        raise ValueError("a toe within 10 degrees")
    return Conversion(given, angle, across, metric)


def word_of(one: Conversion, *beside: str) -> str:
    """Return the word for the sign of a toe: toe-in, toe-out or straight.

    It is straight, too, beside texts that all print it as zero.
    """
    if not one.angle or (beside and not any("1" <= x <= "9" for x in "".join(beside))):
        return "straight"
    return "toe-in" if one.angle > 0 else "toe-out"


def _fraction(one: Conversion) -> str:
    """Return the distance in inches: a fraction, and the decimal where that is not it."""
    size = abs(one.distance or 0.0)
    fraction = write.inches(size, _WHOLE)
    near = round(size / float(INCH) * _WHOLE) / _WHOLE
    exact = abs(size / float(INCH) - near) < 1e-6  # inches
    return fraction if exact else f"{write.signed(size / float(INCH), 3)} in, near {fraction}"


def _decimal_inches(one: Conversion) -> str:
    return write.signed(abs(one.distance or 0.0) / float(INCH), 4) + " in"


def _millimetres(one: Conversion) -> str:
    return write.millimetres(abs(one.distance or 0.0), 2)


def _degrees(one: Conversion) -> str:
    return write.degrees(one.angle, 3, magnitude=True)


def _minutes(one: Conversion) -> str:
    return write.minutes(one.angle, 1)


def _m_per_km(one: Conversion) -> str:
    return write.signed(abs(side_slip(one.angle)) / _KM, 2) + " m/km"


def _ft_per_mile(one: Conversion) -> str:
    return write.signed(abs(side_slip(one.angle)) / _MILE, 1) + " ft/mile"


UNITS: dict[str, Callable[[Conversion], str]] = {
    "in": _decimal_inches,
    "mm": _millimetres,
    "deg": _degrees,
    "min": _minutes,
    "m/km": _m_per_km,
    "ft/mile": _ft_per_mile,
}
DISTANCES = ("in", "mm")


def in_unit(one: Conversion, unit: str) -> str:
    """Return a toe in one unit with its word.

    Parameters
    ----------
    one : Conversion
        With a diameter, where the unit is one of length.
    unit : str
        One of `UNITS`.

    Returns
    -------
    str
        For example ``0.149° toe-in``, or ``1.59 mm toe-in across 609.6 mm (24 in)``.
    """
    size = UNITS[unit](one)
    text = f"{size} {word_of(one, size)}"
    if unit in DISTANCES and one.across is not None:
        text += f" across {diameter(one.across, metric=unit == 'mm')}"
    return text


def diameter(metres: float, *, metric: bool) -> str:
    """Return a diameter in its own unit with the other in brackets.

    Parameters
    ----------
    metres : float
        Diameter [m].
    metric : bool
        Whether millimetres come first.

    Returns
    -------
    str
        For example ``24 in (609.6 mm)``.
    """
    inches, millimetres = write.inches(metres, _WHOLE), write.millimetres(metres)
    return f"{millimetres} ({inches})" if metric else f"{inches} ({millimetres})"


def _cells(one: Conversion) -> tuple[str, ...]:
    """Return word, distance, angle and side-slip."""
    slip = f"{_m_per_km(one)}, {_ft_per_mile(one)}"
    angle = f"{_degrees(one)} = {_minutes(one)}"
    if one.distance is None:
        return word_of(one, angle, slip), angle, slip
    pair = (_millimetres(one), _fraction(one))
    first, second = pair if one.metric else pair[::-1]
    distance = f"{first} ({second})"
    return word_of(one, distance, angle, slip), distance, angle, slip


def every_unit(found: Sequence[Conversion]) -> View:
    """Show each toe in every unit, those of one diameter together.

    Parameters
    ----------
    found : sequence of Conversion
        At least one.

    Returns
    -------
    View
        One table a diameter.
    """
    sections = []
    for across in dict.fromkeys(one.across for one in found):
        same = [one for one in found if one.across == across]
        columns: tuple[str, ...] = ("Given", "Toe", "Distance", "Angle", "Side-slip")
        heading = "Any diameter"
        if across is None:
            columns = tuple(name for name in columns if name != "Distance")
        else:
            heading = f"Across {diameter(across, metric=same[0].metric)}"
        rows = tuple((one.given, *_cells(one)) for one in same)
        sections.append(_section(heading, [Table(columns, rows, "l" * len(columns))]))
    return _view(sections)


def by_diameter(found: Sequence[Conversion], unit: str | None) -> View:
    """Tabulate toes against diameters.

    Parameters
    ----------
    found : sequence of Conversion
        Each with a diameter.
    unit : str or None
        One unit for every column; None for every unit, one table a value.

    Returns
    -------
    View
        Diameters from row to row.
    """
    values = list(dict.fromkeys(one.given for one in found))
    diameters = dict.fromkeys(one.across or 0.0 for one in found)
    metric = found[0].metric
    if unit is not None:
        cell = {(one.given, one.across): UNITS[unit](one) for one in found}
        rows = tuple(
            (diameter(across, metric=metric), *(cell[value, across] for value in values))
            for across in diameters
        )
        words = {one.given: word_of(one) for one in found}
        columns = ("Across", *(_headed(value, words[value]) for value in values))
        table = Table(columns, rows, "l" + "r" * len(values))
        return _view([_section(f"In {unit}", [table])])
    sections = []
    for value in values:
        same = [one for one in found if one.given == value]
        rows = tuple((diameter(one.across or 0.0, metric=metric), *_cells(one)[1:]) for one in same)
        table = Table(("Across", "Distance", "Angle", "Side-slip"), rows, "llll")
        sections.append(_section(_headed(value, word_of(same[0])), [table]))
    return _view(sections)


def _headed(value: str, word: str) -> str:
    return value if "toe" in value or word == "straight" else f"{value} {word}"


def _section(heading: str, blocks: list[Block]) -> Section:
    return Section(heading, tuple(blocks))


def _view(sections: Iterable[Section]) -> View:
    *others, last = sections
    noted = Section(last.heading, (*last.blocks, Paragraph(_NOTE, "note")))
    return View("Toe in other units", (), (*others, noted))


def toe_result(one: Conversion) -> dict[str, Any]:
    """Return a toe as plain data.

    Parameters
    ----------
    one : Conversion
        With or without a diameter.

    Returns
    -------
    dict
        Toe-in positive; distances are None without a diameter.
    """
    distance, slip = one.distance, side_slip(one.angle)
    return {
        "schema": SCHEMA,
        "given": one.given,
        "toe": word_of(one),
        "angle_deg": math.degrees(one.angle),
        "angle_arcmin": 60.0 * math.degrees(one.angle),
        "distance_mm": None if distance is None else 1000.0 * distance,
        "distance_in": None if distance is None else distance / float(INCH),
        "across_mm": None if one.across is None else 1000.0 * one.across,
        "side_slip_m_per_km": slip / _KM,
        "side_slip_ft_per_mile": slip / _MILE,
    }
