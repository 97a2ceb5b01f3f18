"""The car from above, front up: wheels to scale, angles drawn larger, thrust line."""

from __future__ import annotations

import math
from typing import NamedTuple

from toebox.report.drawing import (
    NOT_MEASURED,
    WHEEL_NAMES,
    Picture,
    PlanData,
    exaggeration,
)
from toebox.report.pen import (
    BLUE,
    DASH_DOT,
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

_TOP, _BOTTOM = 3.2 * LEADING, 2.8 * LEADING  # room for the words above and below the car
_WORDS = 128.0  # room for the words beside the car [pt]
_LINES = 5  # under the name of a wheel
_SMALLEST = 84.0  # wheelbase below which nothing can be seen [pt]
_DIAL = 14.0  # radius of the steering wheel [pt]


class _Car(NamedTuple):
    """Sizes of the car on the page [pt]."""

    centre: float
    rear: float
    wheelbase: float
    half_front: float
    half_rear: float
    tyre: float

    def hub(self, wheel: str) -> Point:
        """Return where a wheel's centre is: left wheels on the left of the page."""
        side, _, axle = wheel.partition("_")
        half = self.half_front if axle == "front" else self.half_rear
        x = self.centre - half if side == "left" else self.centre + half
        return x, self.rear + (self.wheelbase if axle == "front" else 0.0)


def plan(data: PlanData, width: float, ruler: Ruler, tallest: float) -> Picture:
    """Return the plan drawing of a car.

    Parameters
    ----------
    data : PlanData
        The car, its angles, and the words beside them.
    width, tallest : float
        Room across and down the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.

    Returns
    -------
    Picture
        The drawing, at most `width` by `tallest`, or taller where its words need it.
    """
    base, front, rear, tyre = _sizes(data)
    wide = (width - 2 * _WORDS - 16.0) / (max(front, rear) + 0.5 * tyre)
    scale = min(wide, max((tallest - _TOP - _BOTTOM) / (base + tyre), _least(data, ruler) / base))
    height = _TOP + _BOTTOM + scale * (base + tyre)
    car = _Car(
        width / 2,
        _BOTTOM + scale * tyre / 2,
        *(scale * size for size in (base, front / 2, rear / 2, tyre)),
    )
    times = exaggeration([*data.toe.values(), data.thrust])
    words = width / 2 - max(car.half_front, car.half_rear) - 0.4 * car.tyre - 8.0

    def paint(pen: Pen) -> None:
        _body(pen, car)
        for wheel, name in WHEEL_NAMES.items():
            x, y = car.hub(wheel)
            lines = lines_of(_said(data, wheel), words, ruler, most=_LINES)
            _wheel(pen, car, wheel, data.toe.get(wheel), times)
            _beside(pen, name, lines, 0.0 if x < car.centre else width, y)
        _lines(pen, car, data, times, height)
        _steering(pen, car.rear + car.wheelbase / 2, data, words, ruler)
        _captions(pen, data, times, width, height, ruler)

    return Picture(width, height, paint)


def _least(data: PlanData, ruler: Ruler) -> float:
    """Return the wheelbase that leaves room for the words beside it [pt]."""
    lines = max(
        len(lines_of(_said(data, wheel), _WORDS, ruler, most=_LINES)) for wheel in WHEEL_NAMES
    )
    return max(_SMALLEST, (lines + 1) * LEADING + 2 * _DIAL + 14.0)


def _said(data: PlanData, wheel: str) -> str:
    """Return the words under the name of a wheel."""
    text = data.labels.get(wheel, "")
    if data.toe.get(wheel) is None and NOT_MEASURED not in text:
        return f"{NOT_MEASURED} {text}".strip()
    return text


def _sizes(data: PlanData) -> tuple[float, float, float, float]:
    """Return wheelbase, tracks and tyre [m], likely ones where they were not given."""
    base = data.wheelbase or 2.6
    front = data.track_front or data.track_rear or 0.58 * base
    rear = data.track_rear or front
    return base, front, rear, data.tyre_diameter or 0.24 * base


def _body(pen: Pen, car: _Car) -> None:
    """Draw axles and a pale outline of the car, bonnet up."""
    half = max(car.half_front, car.half_rear) * 0.82
    top, low = car.rear + car.wheelbase + 0.45 * car.tyre, car.rear - 0.45 * car.tyre
    nose = 0.3 * car.tyre
    shape = [
        (car.centre - half, low),
        (car.centre - half, top - nose),
        (car.centre - 0.7 * half, top),
        (car.centre + 0.7 * half, top),
        (car.centre + half, top - nose),
        (car.centre + half, low),
    ]
    pen.line(shape, width=0.6, ink=PALE, closed=True)
    for axle in ("front", "rear"):
        pen.line((car.hub(f"left_{axle}"), car.hub(f"right_{axle}")), width=0.6, ink=GREY)


def _lines(pen: Pen, car: _Car, data: PlanData, times: int, height: float) -> None:
    """Draw centreline and thrust line."""
    low = _BOTTOM - 2.0
    pen.line(
        ((car.centre, low), (car.centre, height - _TOP + 4.0)), width=0.7, dash=DASH_DOT, ink=GREY
    )
    if data.thrust is None:
        return
    lean = data.thrust * times
    length = (height - _TOP - car.rear) / math.cos(lean)
    tip = (car.centre + length * math.sin(lean), car.rear + length * math.cos(lean))
    pen.arrow((car.centre, car.rear), tip, width=1.6, ink=BLUE)
    pen.circle((car.centre, car.rear), 2.2, ink=BLUE, fill=BLUE)


def _wheel(pen: Pen, car: _Car, wheel: str, toe: float | None, times: int) -> None:
    """Draw one wheel; its front leans to the centreline for toe-in."""
    x, y = 0.16 * car.tyre, 0.5 * car.tyre
    inwards = -1.0 if wheel.startswith("left") else 1.0  # clockwise on the page for a left wheel
    angle = 0.0 if toe is None else inwards * toe * times
    hub = car.hub(wheel)
    corners = turned([(-x, -y), (-x, y), (x, y), (x, -y)], angle, hub)
    if toe is None:
        pen.line(corners, width=1.0, dash=DASHED, fill=WHITE, closed=True)
        for part in range(-3, 4):
            middle = part * y / 4
            pen.line(turned([(-x, middle - x), (x, middle + x)], 0.0, hub), width=0.4, ink=GREY)
        return
    pen.line(corners, width=1.2, fill=PALE, closed=True)
    pen.line(turned([(0.0, -1.25 * y), (0.0, 1.25 * y)], angle, hub), width=0.6)


def _beside(pen: Pen, name: str, lines: list[str], edge: float, middle: float) -> None:
    """Write a bold name and lines under it at the left or right edge, about a height."""
    start = middle + (len(lines) / 2 - 0.3) * LEADING
    align = "r" if edge else "l"
    pen.words((edge, start), [name], bold=True, align=align)
    pen.words((edge, start - LEADING), lines, align=align)


def _steering(pen: Pen, middle: float, data: PlanData, words: float, ruler: Ruler) -> None:
    """Draw the steering wheel beside the car, with its mark where it stands."""
    angle, centre = data.steering_wheel, (_DIAL + 2.0, middle)
    turn = -(angle or 0.0)  # clockwise is positive
    pen.circle(centre, _DIAL, width=2.0, dash=DASHED if angle is None else ())
    pen.circle(centre, 0.25 * _DIAL, width=0.8)
    for spoke in (math.pi / 2, -math.pi / 2, math.pi):
        ends = turned([(0.0, 0.3 * _DIAL), (0.0, _DIAL)], turn + spoke, centre)
        pen.line(ends, width=1.2)
    if angle is not None:
        mark = [(0.0, _DIAL - 5.0), (-4.0, _DIAL + 4.0), (4.0, _DIAL + 4.0)]
        pen.line(turned(mark, turn, centre), ink=ORANGE, fill=ORANGE, closed=True)
    pen.line(((centre[0], middle + _DIAL + 4.0), (centre[0], middle + _DIAL + 8.0)))
    left = 2 * _DIAL + 10.0
    text = data.labels.get("steering_wheel") or (NOT_MEASURED if angle is None else "")
    lines = lines_of(text, words - left, ruler, most=2)
    start = middle + (len(lines) / 2 - 0.3) * LEADING
    pen.words((left, start), ["Steering wheel"], bold=True)
    pen.words((left, start - LEADING), lines)


def _captions(
    pen: Pen, data: PlanData, times: int, width: float, height: float, ruler: Ruler
) -> None:
    """Write what stands above and below the car."""
    thrust = data.labels.get("thrust") or (NOT_MEASURED if data.thrust is None else "")
    text = f"Thrust line: {thrust}" if thrust else "Thrust line"
    lines = lines_of(text, width - 200.0, ruler, most=2, bold=True)
    pen.words((width / 2, height - SIZE), lines, align="c", ink=BLUE, bold=True)
    pen.words((0.0, height - SIZE), ["↑ front of the car"])
    known = data.wheelbase and data.track_front and data.track_rear
    scale = "Wheelbase and track to scale." if known else "Not to scale: sizes not all given."
    drawn = f"Angles drawn {times} times larger." if times > 1 else "Angles as they are."
    wheel = "" if data.steering_wheel is None else " Steering wheel at its true angle."
    pen.words((width / 2, 1.4 * LEADING), ["centreline"], align="c", ink=GREY)
    pen.words((0.0, 2.5), [f"{scale} {drawn}{wheel}"])
