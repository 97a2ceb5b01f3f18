"""Which way to turn a tie rod, seen from the middle of the car looking outwards."""

from __future__ import annotations

import math

from toebox.report.drawing import Picture, RotationData
from toebox.report.pen import (
    BLUE,
    DASH_DOT,
    GREY,
    INK,
    LEADING,
    PALE,
    WHITE,
    Pen,
    Point,
    Ruler,
    lines_of,
    turned,
)

_HEIGHT = 74.0
_DIAL = 31.0  # half the height of the dial


def rotation(data: RotationData, width: float, ruler: Ruler) -> Picture:
    """Return the drawing of the way to turn one tie rod.

    Parameters
    ----------
    data : RotationData
        The side, the way to turn, and the words beside it.
    width : float
        Room across the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.

    Returns
    -------
    Picture
        The dial, words at its right, and where to look from.
    """
    room = width - 2 * _DIAL - 12.0
    name = "Left tie rod" if data.side == "left" else "Right tie rod"
    label = lines_of(data.label, room, ruler, most=5)
    look = lines_of("seen from the middle of the car, looking out", room, ruler)
    lines = len(label) + len(look) + 1
    height = max(_HEIGHT, lines * LEADING + 6.0)

    def paint(pen: Pen) -> None:
        centre = (_DIAL + 2.0, height / 2)
        _dial(pen, centre, data.clockwise)
        left, top = 2 * _DIAL + 12.0, height / 2 + (lines / 2 - 0.8) * LEADING
        pen.words((left, top), [name], bold=True)
        pen.words((left, top - LEADING), label)
        pen.words((left, top - (1 + len(label)) * LEADING), look, ink=GREY)

    return Picture(width, height, paint)


def _dial(pen: Pen, centre: Point, clockwise: bool | None) -> None:
    """Draw the rod end-on, with the arrow round it."""
    hexagon = [
        (13.0 * math.cos(n * math.pi / 3), 13.0 * math.sin(n * math.pi / 3)) for n in range(6)
    ]
    pen.line(turned(hexagon, 0.0, centre), width=1.2, fill=PALE, closed=True)
    pen.circle(centre, 6.5, width=1.0, fill=WHITE)
    pen.circle(centre, 0.8, fill=INK)
    radius = _DIAL - 6.0
    if clockwise is None:
        pen.circle(centre, radius, width=0.8, dash=DASH_DOT, ink=GREY)
        return
    way = -1.0 if clockwise else 1.0
    start = math.pi / 2 - way * math.radians(140.0)
    arc = [
        turned([(radius, 0.0)], start + way * math.radians(step), centre)[0]
        for step in range(0, 261, 10)
    ]
    end = start + way * math.radians(280.0)
    pen.line(arc, width=2.2, ink=BLUE)
    tip = turned([(radius, 0.0)], end, centre)[0]
    pen.head(tip, end + way * math.radians(78.0), ink=BLUE, size=11.0)
