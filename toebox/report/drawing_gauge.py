"""How to hold the gauge, and which way camber, caster and inclination are positive."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

from toebox.report.drawing import Picture
from toebox.report.pen import (
    BLUE,
    DASHED,
    GREY,
    LEADING,
    ORANGE,
    PALE,
    SIZE,
    WHITE,
    Pen,
    Point,
    Ruler,
    lines_of,
    turned,
)

_SKETCH = 118.0  # height of a sketch
_GAP = 12.0
_LEAN = math.radians(12.0)  # how far wheels and axes are drawn to lean



class _Moved:
    """A pen whose origin lies elsewhere on the page."""

    def __init__(self, pen: Pen, origin: Point) -> None:
        self._pen, self._origin = pen, origin

    def line(self, points: Sequence[Point], **looks: Any) -> None:
        """Draw a line through points, or a shape."""
        self._pen.line([self._at(point) for point in points], **looks)

    def circle(self, centre: Point, radius: float, **looks: Any) -> None:
        """Draw a circle."""
        self._pen.circle(self._at(centre), radius, **looks)

    def arrow(self, tail: Point, tip: Point, **looks: Any) -> None:
        """Draw a straight arrow."""
        self._pen.arrow(self._at(tail), self._at(tip), **looks)

    def words(self, at: Point, lines: Sequence[str], **looks: Any) -> None:
        """Write lines from a first baseline down."""
        self._pen.words(self._at(at), lines, **looks)

    def _at(self, point: Point) -> Point:
        return point[0] + self._origin[0], point[1] + self._origin[1]


Panel = tuple[str, str, Callable[[_Moved, float], None]]


def camber(width: float, ruler: Ruler) -> Picture:
    """Return the drawing of camber: its sign from the front, and how to hold the gauge.

    Parameters
    ----------
    width : float
        Room across the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.

    Returns
    -------
    Picture
        Three sketches beside each other.
    """
    panels: Sequence[Panel] = (
        (
            "Top out: positive",
            "Seen from the front: the car's right wheel is on the left here.",
            lambda pen, room: _axle(pen, room, 1.0),
        ),
        (
            "Top in: negative",
            "The tops lean towards each other.",
            lambda pen, room: _axle(pen, room, -1.0),
        ),
        (
            "The gauge",
            "Upright, against the rim at the top and at the bottom, never against the bulge of the "
            "tyre; the same face to every wheel. Then turn it end for end and read again, before "
            "the wheel moves: that cancels its zero error. Roll the wheel half a turn and repeat: "
            "that cancels a bent rim.",
            _gauge,
        ),
    )
    return _panels(panels, width, ruler)


def caster(width: float, ruler: Ruler) -> Picture:
    """Return the drawing of caster and inclination: their signs, and how to sweep.

    Parameters
    ----------
    width : float
        Room across the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.

    Returns
    -------
    Picture
        Three sketches beside each other.
    """
    panels: Sequence[Panel] = (
        (
            "Caster",
            "Seen from the left, front of the car on the left: positive where the top of the "
            "steering axis leans to the rear.",
            _caster,
        ),
        (
            "Steering-axis inclination",
            "Seen from the front, the car's left wheel: positive where the top of the axis leans "
            "inwards, to the middle of the car.",
            _inclination,
        ),
        (
            "The sweep",
            "Seen from above, front up, the left wheel on its turn plate: read camber steered out "
            "(to the left), straight ahead, and steered in. Brakes held, gauge left in its place.",
            _sweep,
        ),
    )
    return _panels(panels, width, ruler)


def _panels(panels: Sequence[Panel], width: float, ruler: Ruler) -> Picture:
    """Return sketches beside each other, each over its words."""
    room = (width - _GAP * (len(panels) - 1)) / len(panels)
    words = [
        (lines_of(name, room, ruler, bold=True), lines_of(text, room, ruler))
        for name, text, _ in panels
    ]
    below = max(len(name) + len(text) for name, text in words) * LEADING + 4.0
    height = _SKETCH + below

    def paint(pen: Pen) -> None:
        for number, ((name, text), (_, _, sketch)) in enumerate(zip(words, panels, strict=True)):
            left = number * (room + _GAP)
            sketch(_Moved(pen, (left, below)), room)
            pen.words((left, below - SIZE), name, bold=True)
            pen.words((left, below - SIZE - len(name) * LEADING), text)

    return Picture(width, height, paint)


def _box(pen: _Moved, middle: Point, size: Point, angle: float, fill: tuple[float, ...]) -> None:
    """Draw a rectangle about a point, leaning by an angle (anticlockwise)."""
    x, y = size[0] / 2, size[1] / 2
    corners = turned([(-x, -y), (x, -y), (x, y), (-x, y)], angle, middle)
    pen.line(corners, width=1.1, fill=(fill[0], fill[1], fill[2]), closed=True)


def _ground(pen: _Moved, room: float) -> None:
    pen.line(((2.0, 8.0), (room - 2.0, 8.0)), width=1.2, ink=GREY)


def _upright(pen: _Moved, x: float, low: float, high: float) -> None:
    pen.line(((x, low), (x, high)), width=0.7, dash=DASHED, ink=GREY)


def _axle(pen: _Moved, room: float, sign: float) -> None:
    """Draw both wheels of an axle from the front, leaning out (+1) or in (-1)."""
    _ground(pen, room)
    low, tall = 8.0, 66.0
    for side in (-1.0, 1.0):  # left and right on the page
        foot = room / 2 + side * (room / 2 - 32.0)
        lean = -side * sign * _LEAN  # anticlockwise leans the top to the left of the page
        middle = turned([(0.0, tall / 2)], lean, (foot, low))[0]
        _box(pen, middle, (17.0, tall), lean, PALE)
        _upright(pen, foot, low, low + tall + 22.0)
        top = turned([(0.0, tall + 16.0)], lean, (foot, low))[0]
        pen.arrow((foot, top[1]), top, width=1.3, ink=BLUE, head=6.0)
    word = "out" if sign > 0.0 else "in"
    pen.words((room / 2, 94.0), [f"{word}    {word}"], align="c", ink=BLUE)
    pen.line(((room / 2 - 30.0, 40.0), (room / 2 + 30.0, 40.0)), width=1.0, ink=GREY)


def _gauge(pen: _Moved, room: float) -> None:
    """Draw a gauge against a wheel seen from the front, and the same turned end for end."""
    _ground(pen, room)
    for number, x in enumerate((room * 0.22, room * 0.68)):
        lean = 0.5 * _LEAN
        middle = turned([(0.0, 35.0)], lean, (x, 8.0))[0]
        _box(pen, middle, (20.0, 70.0), lean, PALE)
        face = [turned([(11.5, y)], lean, middle)[0] for y in (-27.0, 27.0)]
        bar = turned([(17.0, 0.0)], lean, middle)[0]
        for foot in face:
            knob = turned([(3.0, 0.0)], lean, foot)[0]
            pen.line((foot, knob), width=2.2)
        _box(pen, bar, (5.0, 64.0), lean, WHITE)
        end = 22.0 if number == 0 else -22.0
        mark = turned([(17.0, end)], lean, middle)[0]
        pen.circle(mark, 4.5, fill=ORANGE)
    pen.arrow((room * 0.44, 92.0), (room * 0.58, 92.0), width=1.3, ink=BLUE)
    pen.words((room * 0.5, 100.0), ["end for end"], align="c", ink=BLUE)


def _caster(pen: _Moved, room: float) -> None:
    """Draw a wheel from the left with its steering axis leaning back."""
    _ground(pen, room)
    middle = (room / 2, 46.0)
    pen.circle(middle, 38.0, width=1.1, fill=PALE)
    pen.circle(middle, 22.0, width=0.8, fill=WHITE)
    _upright(pen, middle[0], 8.0, 112.0)
    ends = [turned([(0.0, y)], -1.4 * _LEAN, middle)[0] for y in (-36.0, 66.0)]
    pen.line(ends, width=2.2, ink=BLUE)
    pen.arrow((middle[0], 104.0), (ends[1][0] - 1.0, 104.0), width=1.3, ink=BLUE, head=6.0)
    pen.words((ends[1][0] + 4.0, 100.0), ["caster"], ink=BLUE)
    pen.arrow((24.0, 100.0), (4.0, 100.0), width=1.0, ink=GREY, head=6.0)
    pen.words((4.0, 88.0), ["front"], ink=GREY)


def _inclination(pen: _Moved, room: float) -> None:
    """Draw the car's left wheel from the front: on the right of the page, its axis leaning in."""
    _ground(pen, room)
    foot = room * 0.64
    _box(pen, (foot, 43.0), (19.0, 70.0), 0.0, PALE)
    low = (foot - 6.0, 12.0)
    high = turned([(0.0, 98.0)], 1.3 * _LEAN, low)[0]
    _upright(pen, low[0], 8.0, 112.0)
    pen.line((low, high), width=2.2, ink=BLUE)
    pen.arrow((low[0], 104.0), (high[0] + 1.0, 104.0), width=1.3, ink=BLUE, head=6.0)
    pen.arrow((34.0, 40.0), (6.0, 40.0), width=1.0, ink=GREY, head=6.0)
    pen.words((4.0, 58.0), ["middle of", "the car"], ink=GREY)


def _sweep(pen: _Moved, room: float) -> None:
    """Draw a left wheel from above at three steer angles."""
    middle = (room / 2, 56.0)
    pen.circle(middle, 44.0, width=0.8, ink=GREY, fill=WHITE)
    for degrees in range(-30, 31, 10):
        angle = math.radians(degrees)
        ends = [turned([(0.0, radius)], angle, middle)[0] for radius in (40.0, 44.0)]
        pen.line(ends, width=0.7, ink=GREY)
    for angle in (math.radians(20.0), math.radians(-20.0)):
        corners = [(-9.0, -34.0), (9.0, -34.0), (9.0, 34.0), (-9.0, 34.0)]
        pen.line(turned(corners, angle, middle), width=0.7, dash=DASHED, ink=BLUE, closed=True)
    _box(pen, middle, (18.0, 68.0), 0.0, PALE)
    for angle, word, align in (
        (math.radians(20.0), "20° out", "r"),
        (math.radians(-20.0), "20° in", "l"),
    ):
        at = turned([(0.0, 48.0)], angle, middle)[0]
        pen.words((at[0], at[1] + 4.0), [word], align=align, ink=BLUE)
    pen.words((middle[0], 108.0), ["0"], align="c", ink=BLUE)
