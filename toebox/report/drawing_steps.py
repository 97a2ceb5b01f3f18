"""A strip of small pictures, each with a caption: what to do at one step of the work.

The pictures stand in `drawing_car` (the car, the goals, the tie rods) and `drawing_taking`
(taking the readings). Each is drawn about a centre, 150 points wide and 84 high.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from toebox.report.drawing import Picture
from toebox.report.pen import DASH_DOT, LEADING, PALE, WHITE, Pen, Point, Ruler, lines_of, turned

WIDE, HIGH = 150.0, 84.0
_GAP = 8.0
_COLUMN = 165.0

Sketch = Callable[[Pen, float, float], None]


def steps(names: Sequence[str], width: float, ruler: Ruler) -> Picture:
    """Return a row of small pictures with their captions.

    Parameters
    ----------
    names : sequence of str
        Which pictures, at most as many as fit beside each other.
    width : float
        Room across the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.

    Returns
    -------
    Picture
        The pictures in equal columns, captions below.
    """
    from toebox.report.drawing_car import CAR
    from toebox.report.drawing_taking import TAKING

    known = CAR | TAKING
    column = min(width / len(names), _COLUMN)
    captions = [lines_of(known[name][0], column - _GAP, ruler) for name in names]
    below = max(map(len, captions)) * LEADING + 6.0
    height = HIGH + below

    def paint(pen: Pen) -> None:
        for number, (name, caption) in enumerate(zip(names, captions, strict=True)):
            left = number * column
            known[name][1](pen, left + (column - _GAP) / 2, below + HIGH / 2)
            pen.words((left, below - LEADING), caption)

    return Picture(width, height, paint)


def span(
    pen: Pen, tail: Point, tip: Point, label: str = "", at: Point | None = None, align: str = "c"
) -> None:
    """Draw what is measured: a line with a head at both ends, and its name."""
    angle = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
    pen.line((tail, tip), width=0.8)
    pen.head(tip, angle, size=5.5)
    pen.head(tail, angle + math.pi, size=5.5)
    if label:
        middle = ((tail[0] + tip[0]) / 2, (tail[1] + tip[1]) / 2 + 3.0)
        pen.words(at or middle, [label], align=align)


def box(
    pen: Pen,
    centre: Point,
    half: Point,
    angle: float = 0.0,
    *,
    fill: bool = True,
    width: float = 1.0,
) -> None:
    """Draw a rectangle of half sizes `half`, turned anticlockwise by `angle` [rad]."""
    x, y = half
    corners = turned([(-x, -y), (-x, y), (x, y), (x, -y)], angle, centre)
    pen.line(corners, width=width, fill=PALE if fill else WHITE, closed=True)


def wheel_above(pen: Pen, at: Point, angle: float = 0.0, size: float = 40.0) -> None:
    """Draw a wheel from above, front up, turned anticlockwise by `angle` [rad]."""
    box(pen, at, (0.16 * size, size / 2), angle)


def wheel_beside(pen: Pen, at: Point, radius: float) -> None:
    """Draw a wheel from the side: tyre, rim, hub."""
    pen.circle(at, radius, width=1.4, fill=PALE)
    pen.circle(at, 0.66 * radius, width=1.0, fill=WHITE)
    pen.circle(at, 0.12 * radius, width=0.8)


def axles_above(pen: Pen, x: float, y: float, half: float = 30.0, base: float = 26.0) -> None:
    """Draw both axles of a car from above with its centreline."""
    pen.line(((x, y - base - 14.0), (x, y + base + 14.0)), width=0.6, dash=DASH_DOT)
    for end in (-base, base):
        pen.line(((x - half, y + end), (x + half, y + end)), width=0.7)
        for side in (-half, half):
            wheel_above(pen, (x + side, y + end), size=26.0)


def steering_wheel(pen: Pen, at: Point, radius: float, angle: float = 0.0) -> None:
    """Draw a steering wheel from the driver's seat, turned clockwise by `angle` [rad]."""
    pen.circle(at, radius, width=2.4)
    pen.circle(at, 0.25 * radius, width=0.8)
    for spoke in (math.pi / 2, -math.pi / 2, math.pi):
        ends = turned([(0.0, 0.25 * radius), (0.0, radius)], spoke - angle, at)
        pen.line(ends, width=1.4)


def floor(pen: Pen, x: float, y: float, half: float = 72.0) -> None:
    """Draw the floor."""
    pen.line(((x - half, y), (x + half, y)), width=1.4)
