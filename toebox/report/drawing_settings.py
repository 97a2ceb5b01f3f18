"""A setting from pass to pass, coming into the band of its goal."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from toebox.report.drawing import NOT_MEASURED, Picture, SettingPoint, SettingsData
from toebox.report.pen import (
    BLUE,
    DASHED,
    GREY,
    INK,
    LEADING,
    ORANGE,
    PALE,
    SIZE,
    Pen,
    Ruler,
    lines_of,
)

_GAP = 10.0
_ROW = 6.0  # air between two passes
_AXIS = 1.5 * LEADING


@dataclass(frozen=True, slots=True)
class _Row:
    """One pass, its words broken into lines."""

    point: SettingPoint
    label: list[str]
    text: list[str]

    @property
    def height(self) -> float:
        """Room that it takes down the page [pt]."""
        return max(len(self.label), len(self.text), 1) * LEADING + _ROW


@dataclass(frozen=True, slots=True)
class _Scale:
    """From values to the page."""

    low: float
    high: float
    left: float
    right: float

    def at(self, value: float) -> float:
        """Return where a value stands across the page [pt]."""
        part = (value - self.low) / (self.high - self.low)
        return self.left + part * (self.right - self.left)


def settings(data: SettingsData, width: float, ruler: Ruler, tallest: float) -> list[Picture]:
    """Return the drawing of a setting, in parts where there are too many passes for one.

    Parameters
    ----------
    data : SettingsData
        The setting, its passes, and its goal.
    width, tallest : float
        Room across and down the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.

    Returns
    -------
    list of Picture
        One or more drawings on the same scale.
    """
    points = [SettingPoint(*point) for point in data.points]
    side = 0.27 * width
    rows = [
        _Row(
            point,
            lines_of(point.label, side, ruler, most=4),
            lines_of(_said(point), side, ruler, most=4),
        )
        for point in points
    ]
    low, high = _limits(data, points)
    scale = _Scale(low, high, side + _GAP, width - side - _GAP)
    title = lines_of(f"{data.name} ({data.unit})", width, ruler, most=2, bold=True)
    room = tallest - _AXIS - (len(title) + 1.5) * LEADING
    return [_part(data, part, scale, title, width) for part in _parts(rows, room)]


def _said(point: SettingPoint) -> str:
    """Return the words at the right of a pass."""
    return point.text or (NOT_MEASURED if point.value is None else "")


def _limits(data: SettingsData, points: Sequence[SettingPoint]) -> tuple[float, float]:
    """Return the ends of the axis, a little outside everything on it."""
    ends = [end for end in (data.goal_low, data.goal_high) if end is not None]
    for point in points:
        if point.value is not None:
            ends += [point.value - (point.half or 0.0), point.value + (point.half or 0.0)]
    low, high = min(ends, default=0.0), max(ends, default=1.0)
    spare = 0.08 * (high - low) or abs(high) or 1.0
    return low - spare, high + spare


def _parts(rows: Sequence[_Row], room: float) -> list[list[_Row]]:
    """Share the passes out over drawings no taller than `room`."""
    parts: list[list[_Row]] = [[]]
    for row in rows:
        if parts[-1] and sum(r.height for r in parts[-1]) + row.height > room:
            parts.append([])
        parts[-1].append(row)
    return parts


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
        Values in the unit of the axis, with as few decimals as tell them apart.

    Examples
    --------
    >>> [text for _, text in ticks(-0.12, 0.47)]
    ['−0.1', '0.0', '0.1', '0.2', '0.3', '0.4']
    """
    rough = (high - low) / most
    power = math.floor(math.log10(rough))
    step = next(n for n in (1, 2, 5, 10) if n * 10.0**power >= 0.999 * rough)
    power, step = (power + 1, 1) if step == 10 else (power, step)
    size = step * 10.0**power
    numbers = range(math.ceil(low / size), math.floor(high / size) + 1)
    decimals = max(-power, 0)
    return [(n * size, f"{n * size + 0.0:.{decimals}f}".replace("-", "−")) for n in numbers]


def _part(
    data: SettingsData, rows: Sequence[_Row], scale: _Scale, title: list[str], width: float
) -> Picture:
    """Return the drawing of some passes."""
    body = sum(row.height for row in rows)
    height = _AXIS + body + (len(title) + 1.5) * LEADING

    def paint(pen: Pen) -> None:
        pen.words((0.0, height - SIZE), title, bold=True)
        top = _AXIS + body
        _goal(pen, data, scale, top)
        _axis(pen, scale, top)
        for row in rows:
            _draw(pen, row, scale, top - row.height / 2, width)
            top -= row.height

    return Picture(width, height, paint)


def _goal(pen: Pen, data: SettingsData, scale: _Scale, top: float) -> None:
    """Draw the goal band and its name."""
    if data.goal_low is None or data.goal_high is None:
        pen.words(((scale.left + scale.right) / 2, top + 4.0), ["no goal given"], align="c")
        return
    left, right = scale.at(data.goal_low), scale.at(data.goal_high)
    corners = ((left, _AXIS), (left, top), (right, top), (right, _AXIS))
    pen.line(corners, width=0.0, ink=PALE, fill=PALE, closed=True)
    for x in (left, right):
        pen.line(((x, _AXIS), (x, top)), width=0.8, dash=DASHED, ink=BLUE)
    pen.words(((left + right) / 2, top + 4.0), ["goal"], align="c", ink=BLUE)


def _axis(pen: Pen, scale: _Scale, top: float) -> None:
    """Draw the axis with its numbers."""
    pen.line(((scale.left, _AXIS), (scale.right, _AXIS)), width=0.8)
    for value, text in ticks(scale.low, scale.high, 5):
        x = scale.at(value)
        pen.line(((x, _AXIS), (x, _AXIS - 3.0)), width=0.6)
        pen.words((x, _AXIS - 3.0 - SIZE), [text], align="c")
    if scale.low < 0.0 < scale.high:
        pen.line(((scale.at(0.0), _AXIS), (scale.at(0.0), top)), width=0.4, ink=GREY)


def _draw(pen: Pen, row: _Row, scale: _Scale, middle: float, width: float) -> None:
    """Draw one pass: its name, its interval, its words."""
    for lines, at, align in ((row.label, 0.0, "l"), (row.text, width, "r")):
        first = middle + (len(lines) / 2 - 0.8) * LEADING
        pen.words((at, first), lines, align=align)
    value, half = row.point.value, row.point.half or 0.0
    if value is None:
        return
    left, right = scale.at(value - half), scale.at(value + half)
    pen.line(((left, middle), (right, middle)), width=1.2)
    for x in (left, right):
        pen.line(((x, middle - 3.5), (x, middle + 3.5)), width=1.2)
    pen.circle((scale.at(value), middle), 3.2, ink=INK, fill=ORANGE)
