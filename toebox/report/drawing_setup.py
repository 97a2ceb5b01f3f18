"""How strings, bars and tape stand round the car, and what is measured."""

from __future__ import annotations

from collections.abc import Sequence

from toebox.report.drawing import Picture
from toebox.report.drawing_steps import wheel_above
from toebox.report.pen import (
    BLUE,
    DASH_DOT,
    DASHED,
    GREY,
    LEADING,
    ORANGE,
    PALE,
    WHITE,
    Pen,
    Point,
    Ruler,
    lines_of,
)

_VIEW = 128.0  # height of the wheel seen from the side
_BAR = 94.0  # from the middle of the car to a bar
_KEY = (
    ("A", "String, one on each side, at hub height, running the whole length of the car."),
    ("B", "Bar, one at each end, holding both strings: nearly parallel will do."),
    ("C", "From the string to the front edge of the rim, square to the string."),
    ("D", "From the string to the rear edge of the rim, square to the string."),
    ("E", "From the string to the hub face."),
    ("F", "Tape across the car, between the same mark on both tyres, at hub height: "
          "once at the front edges, once at the rear edges."),
)  # fmt: skip


def setup(width: float, ruler: Ruler) -> Picture:
    """Return the drawing of the set-up.

    Parameters
    ----------
    width : float
        Room across the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.

    Returns
    -------
    Picture
        Plan with strings and bars, one wheel from the side, and a key.
    """
    left = 196.0
    key = [(letter, lines_of(text, width - left - 20.0, ruler)) for letter, text in _KEY]
    words = sum(len(lines) * LEADING + 4.0 for _, lines in key)
    height = max(words + _VIEW, 2 * _BAR + 20.0)

    def paint(pen: Pen) -> None:
        _plan(pen, (95.0, height / 2))
        _side(pen, (left + 70.0, height - 58.0))
        _key(pen, key, left, height - _VIEW)

    return Picture(width, height, paint)


def _mark(pen: Pen, at: Point, letter: str) -> None:
    """Draw a letter in a ring."""
    pen.circle(at, 6.6, width=0.8, ink=BLUE, fill=WHITE)
    pen.words((at[0], at[1] - 3.2), [letter], align="c", bold=True, ink=BLUE)


def _plan(pen: Pen, centre: Point) -> None:
    """Draw the car between its strings and bars, front up."""
    (x, y), half, base, string, bar = centre, 42.0, 56.0, 66.0, _BAR
    pen.line(((x, y - bar - 6.0), (x, y + bar + 6.0)), width=0.6, dash=DASH_DOT, ink=GREY)
    for end in (-base, base):
        pen.line(((x - half, y + end), (x + half, y + end)), width=0.6, ink=GREY)
    for side in (-1.0, 1.0):
        for end in (-base, base):
            wheel_above(pen, (x + side * half, y + end), size=44.0)
        pen.line(((x + side * string, y - bar), (x + side * string, y + bar)), ink=ORANGE)
    for end in (-bar, bar):
        pen.line(((x - string - 14.0, y + end), (x + string + 14.0, y + end)), width=2.6)
    rim = 0.34 * 44.0
    for along in (rim, 0.0, -rim):
        _gauge(pen, (x - string, y + base + along), (x - half - 6.6, y + base + along))
    for letter, along in (("C", rim), ("E", 0.0), ("D", -rim)):
        _mark(pen, (x - string - 12.0, y + base + along), letter)
    for end in (19.0, -19.0):
        tape = y + base + end
        pen.line(((x - half + 6.6, tape), (x + half - 6.6, tape)), dash=DASHED, ink=BLUE)
        _mark(pen, (x + 16.0, tape), "F")
    _mark(pen, (x + string, y - 6.0), "A")
    _mark(pen, (x + string - 20.0, y + bar), "B")
    _mark(pen, (x + string - 20.0, y - bar), "B")
    pen.words((x - 6.0, y - 4.0), ["↑ front"], align="r")


def _gauge(pen: Pen, tail: Point, tip: Point) -> None:
    """Draw where a rule is held: a thin line with a tick at each end."""
    pen.line((tail, tip), width=0.9, ink=BLUE)
    for x, y in (tail, tip):
        pen.line(((x, y - 2.0), (x, y + 2.0)), width=0.9, ink=BLUE)


def _side(pen: Pen, centre: Point) -> None:
    """Draw one wheel from the side: the string crosses it at hub height."""
    x, y = centre
    pen.circle(centre, 46.0, width=1.4, fill=PALE)
    pen.circle(centre, 30.0, width=1.0, fill=WHITE)
    pen.circle(centre, 6.0, width=0.8)
    pen.line(((x - 62.0, y - 46.0), (x + 62.0, y - 46.0)), width=1.2)
    pen.line(((x - 66.0, y), (x + 66.0, y)), width=1.2, ink=ORANGE)
    for letter, at in (("C", x - 30.0), ("E", x), ("D", x + 30.0)):
        pen.circle((at, y), 2.2, ink=BLUE, fill=BLUE)
        _mark(pen, (at, y + 12.0), letter)
    _mark(pen, (x + 66.0, y), "A")
    pen.words((x + 66.0, y - 49.0), ["floor"], align="l")
    pen.words((x + 86.0, y + 30.0), ["One wheel from the side,", "front of the car at the left"])


def _key(pen: Pen, key: Sequence[tuple[str, list[str]]], left: float, top: float) -> None:
    """Write what the letters stand for."""
    for letter, lines in key:
        _mark(pen, (left + 8.0, top + 3.2), letter)
        pen.words((left + 20.0, top), lines)
        top -= len(lines) * LEADING + 4.0
