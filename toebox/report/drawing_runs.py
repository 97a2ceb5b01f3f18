"""Settings from pass to pass: small charts on one row, each coming into the band of its goal.

What a mark says, its shape says: nothing rests on colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from toebox.report.drawing import Picture, SettingPoint, SettingsData
from toebox.report.pen import (
    BLUE,
    DASHED,
    GREY,
    INK,
    LEADING,
    PALE,
    SIZE,
    WHITE,
    Pen,
    Point,
    Ruler,
    lines_of,
)

_ABREAST, _GAP = 3, 14.0
_PLOT = 78.0  # height of the field of a chart [pt]
_NUMBERS = 34.0  # room for the numbers at its left [pt]
_END = 8.0  # room for half the number of a pass at its right [pt]
_BELOW = 1.5 * LEADING
_MARK = 7.0  # room for the mark of a pass [pt]
_DIGIT = 5.8  # room for a digit [pt]


class _Field(NamedTuple):
    """From passes and values to the page."""

    left: float
    right: float
    base: float
    low: float
    high: float
    passes: int

    def x(self, number: int) -> float:
        """Return where a pass stands across the page; the first is 0 [pt]."""
        return self.left + (number + 0.5) * (self.right - self.left) / self.passes

    def y(self, value: float) -> float:
        """Return where a value stands up the page [pt]."""
        return self.base + _PLOT * (value - self.low) / (self.high - self.low)


def runs(data: Sequence[SettingsData], width: float, ruler: Ruler) -> list[Picture]:
    """Return the charts of some settings, three beside each other.

    Parameters
    ----------
    data : sequence of SettingsData
        The settings, their passes, and their goals.
    width : float
        Room across the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.

    Returns
    -------
    list of Picture
        One for each row of charts.
    """
    rows = [data[n : n + _ABREAST] for n in range(0, len(data), _ABREAST)]
    return [_row(row, width, ruler) for row in rows]


def _row(row: Sequence[SettingsData], width: float, ruler: Ruler) -> Picture:
    """Return one row of charts."""
    each = (width - (_ABREAST - 1) * _GAP) / _ABREAST
    names = [lines_of(one.name, each, ruler, most=2, bold=True) for one in row]
    signs = [lines_of(one.signs, each, ruler, most=2) for one in row]
    head = max(map(len, names)) + max(map(len, signs))
    height = _BELOW + _PLOT + head * LEADING + 8.0

    def paint(pen: Pen) -> None:
        for number, one in enumerate(row):
            left, top = number * (each + _GAP), height - SIZE
            pen.words((left, top), names[number], bold=True)
            pen.words((left, top - len(names[number]) * LEADING), signs[number])
            low, high = _limits(one)
            field = _Field(
                left + _NUMBERS, left + each - _END, _BELOW, low, high, len(one.points) or 1
            )
            _chart(pen, one, field)

    return Picture(width, height, paint)


def _limits(data: SettingsData) -> tuple[float, float]:
    """Return the ends of the axis, a little outside everything on it."""
    ends = [end for end in (data.goal_low, data.goal_high) if end is not None]
    for point in data.points:
        if point.value is not None:
            ends += [point.value - (point.half or 0.0), point.value + (point.half or 0.0)]
    low, high = min(ends, default=0.0), max(ends, default=1.0)
    spare = 0.08 * (high - low) or 0.1 * abs(high) or 1.0
    return low - spare, high + spare


def ticks(low: float, high: float, most: int = 6) -> list[tuple[float, str]]:
    """Return round numbers on an axis with how they are written.

    Parameters
    ----------
    low, high : float
        Ends of the axis, low below high, in the unit of the axis.
    most : int, optional
        About how many are wanted [-].

    Returns
    -------
    list of (float, str)
        Values in the unit of the axis, with as few decimals as tell them apart, and without
        signs: words beside the axis say which side of zero is which.

    Examples
    --------
    >>> [text for _, text in ticks(-0.12, 0.47)]
    ['0.1', '0.0', '0.1', '0.2', '0.3', '0.4']
    """
    rough = (high - low) / most
    power = math.floor(math.log10(rough))
    step = next(n for n in (1, 2, 5, 10) if n * 10.0**power >= 0.999 * rough)
    power, step = (power + 1, 1) if step == 10 else (power, step)
    size = step * 10.0**power
    numbers = range(math.ceil(low / size), math.floor(high / size) + 1)
    return [(n * size, f"{abs(n * size):.{max(-power, 0)}f}") for n in numbers]


def _chart(pen: Pen, data: SettingsData, field: _Field) -> None:
    """Draw one chart: goal band, axes, one mark a pass."""
    top = field.base + _PLOT
    if data.goal_low is not None and data.goal_high is not None:
        low, high = field.y(data.goal_low), field.y(data.goal_high)
        corners = ((field.left, low), (field.left, high), (field.right, high), (field.right, low))
        pen.line(corners, width=0.0, ink=PALE, fill=PALE, closed=True)
        for y in (low, high):
            pen.line(((field.left, y), (field.right, y)), width=0.8, dash=DASHED, ink=BLUE)
    for value, text in ticks(field.low, field.high, 5):
        y = field.y(value)
        pen.line(((field.left - 3.0, y), (field.left, y)), width=0.6)
        pen.words((field.left - 5.0, y - 3.2), [text], align="r")
        if value == 0.0:
            pen.line(((field.left, y), (field.right, y)), width=0.4, ink=GREY)
    pen.line(((field.left, top), (field.left, field.base), (field.right, field.base)), width=0.8)
    _passes(pen, data.points, field)


def _passes(pen: Pen, points: Sequence[SettingPoint], field: _Field) -> None:
    """Draw the passes: their numbers, intervals and marks, joined by a thin line."""
    apart = _DIGIT * len(str(field.passes)) + 3.0
    every = max(1, math.ceil(apart * field.passes / (field.right - field.left)))
    known = [(n, point) for n, point in enumerate(points) if point.value is not None]
    way = [(field.x(n), field.y(point.value or 0.0)) for n, point in known]
    if len(way) > 1:
        pen.line(way, width=0.5)
    step = field.x(1) - field.x(0)
    marked = max(1, math.ceil(_MARK / step))
    for number, point in enumerate(points):
        x = field.x(number)
        if number % every == 0:
            pen.words((x, field.base - 3.0 - SIZE), [str(number + 1)], align="c")
        if number % marked and number + 1 < len(points):
            continue  # no room for a mark of its own; the line shows where it is
        if point.value is None:
            mark(pen, (x, field.base + 6.0), "not measured")
            continue
        half = point.half or 0.0
        low, high = field.y(point.value - half), field.y(point.value + half)
        pen.line(((x, low), (x, high)), width=1.0)
        for y in (low, high):
            pen.line(((x - 2.5, y), (x + 2.5, y)), width=1.0)
        mark(pen, (x, field.y(point.value)), point.state)


def mark(pen: Pen, at: Point, state: str) -> None:
    """Draw the mark of a state: the shape that stands before its word in the tables.

    Parameters
    ----------
    pen : Pen
        What to draw with.
    at : pair
        Its middle [pt].
    state : str
        ``within``, ``outside``, ``not proven`` or ``not measured``; else a small dot is drawn.
    """
    x, y = at
    if state == "within":
        pen.circle(at, 3.0, fill=INK)
    elif state == "outside":
        corners = ((x - 2.8, y - 2.8), (x - 2.8, y + 2.8), (x + 2.8, y + 2.8), (x + 2.8, y - 2.8))
        pen.line(corners, fill=INK, closed=True)
    elif state == "not proven":
        corners = ((x - 4.0, y), (x, y + 4.0), (x + 4.0, y), (x, y - 4.0))
        pen.line(corners, fill=WHITE, closed=True)
    elif state == "not measured":
        pen.line(((x - 3.5, y + 3.0), (x + 3.5, y + 3.0), (x, y - 3.0)), fill=WHITE, closed=True)
    else:
        pen.circle(at, 1.8, fill=INK)
