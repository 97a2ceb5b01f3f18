"""Small pictures of taking the readings: rule, strings, tape, plates, gauge, clamp."""

from __future__ import annotations

import math

from toebox.report.drawing_steps import (
    Sketch,
    axles_above,
    box,
    floor,
    span,
    steering_wheel,
    wheel_above,
    wheel_beside,
)
from toebox.report.pen import DASH_DOT, DASHED, INK, WHITE, Pen, turned


def _off(pen: Pen, x: float, y: float) -> None:
    """Draw a steering wheel that stands to the left while the car runs straight."""
    at, radius, angle = (x - 26.0, y - 2.0), 30.0, -0.5
    steering_wheel(pen, at, radius, angle)
    pen.line((at, (at[0], y + 40.0)), width=0.7, dash=DASHED)
    pen.line((at, turned([(0.0, 42.0)], -angle, at)[0]), width=0.7, dash=DASHED)
    arc = [turned([(0.0, 36.0)], 0.05 * n, at)[0] for n in range(9)]
    pen.line(arc, width=1.2)
    pen.head(arc[-1], math.pi / 2 + 0.5 + math.pi / 2, size=6.0)
    pen.words((x + 16.0, y + 10.0), ["so far", "to the left"])


def _clamp(pen: Pen, x: float, y: float) -> None:
    """Draw a steering wheel held by a bar to the seat."""
    at, radius = (x - 26.0, y + 8.0), 28.0
    steering_wheel(pen, at, radius)
    pen.line(((at[0], y + 42.0), (at[0], y + 36.0)), width=1.4)
    for side in (-16.0, 16.0):
        box(pen, (at[0] + side, y - 22.0), (2.5, 14.0))
        box(pen, (at[0] + side, y - 12.0), (5.0, 4.0), fill=False, width=1.2)
    box(pen, (at[0], y - 38.0), (34.0, 4.0))
    pen.words((x + 16.0, y + 14.0), ["straight,", "clamped"])
    pen.words((x + 16.0, y - 41.0), ["seat"])


def _settle(pen: Pen, x: float, y: float) -> None:
    """Draw a car rolling forward."""
    body = [(-50, -6), (-50, 8), (-24, 13), (-8, 28), (30, 28), (44, 13), (66, 8), (66, -6)]
    pen.line([(x + a, y + b) for a, b in body], width=1.2, closed=True, fill=WHITE)
    for hub in (x - 26.0, x + 42.0):
        wheel_beside(pen, (hub, y - 8.0), 14.0)
    floor(pen, x, y - 22.0)
    pen.arrow((x - 20.0, y - 33.0), (x - 66.0, y - 33.0), width=1.8, head=9.0)
    pen.words((x - 12.0, y - 36.0), ["forward"])


def _sides(pen: Pen, x: float, y: float) -> None:
    """Draw the wheelbase on both sides."""
    axles_above(pen, x, y, 26.0, 24.0)
    for side, name in ((-42.0, "left"), (42.0, "right")):
        for end in (-24.0, 24.0):
            pen.line(((x + 0.6 * side, y + end), (x + 1.1 * side, y + end)), width=0.5, dash=DASHED)
        span(pen, (x + side, y - 24.0), (x + side, y + 24.0))
        align = "r" if side < 0.0 else "l"
        pen.words((x + 1.1 * side, y - 3.0), [name], align=align)


def _slope(pen: Pen, x: float, y: float) -> None:
    """Draw an axle from behind on a floor that is higher at the left."""
    lean = -0.12
    pen.line(turned([(-70.0, 0.0), (70.0, 0.0)], lean, (x, y - 24.0)), width=1.4)
    for side in (-44.0, 44.0):
        box(pen, turned([(side, 26.0)], lean, (x, y - 24.0))[0], (8.0, 25.0), lean)
    ends = turned([(-36.0, 26.0), (36.0, 26.0)], lean, (x, y - 24.0))
    pen.line(ends, width=1.2)
    low = y - 24.0 - 44.0 * math.sin(0.12)
    pen.line(((x - 64.0, low), (x + 44.0, low)), width=0.6, dash=DASHED)
    span(pen, (x - 44.0, low), (x - 44.0, low + 10.5))
    pen.words((x - 6.0, low + 13.0), ["floor"], align="c")
    pen.words((x - 28.0, y + 18.0), ["left"])
    pen.words((x + 30.0, y + 18.0), ["right"], align="r")


def _rule(pen: Pen, x: float, y: float) -> None:
    """Draw a rule from the string to the edge of a rim, from above."""
    string = x - 56.0
    pen.line(((string, y - 40.0), (string, y + 40.0)), width=1.6)
    box(pen, (x + 34.0, y), (12.0, 38.0))
    box(pen, (x + 20.0, y), (2.0, 26.0), fill=False)
    for edge, name in ((22.0, "front"), (0.0, "hub"), (-22.0, "rear")):
        box(pen, (x - 16.0, y + edge), (40.0, 4.5), fill=False, width=0.8)
        for tick in range(-36, 40, 6):
            pen.line(((x - 16.0 + tick, y + edge + 4.5), (x - 16.0 + tick, y + edge + 1.5)),
                     width=0.4)  # fmt: skip
        pen.words((x + 50.0, y + edge - 3.0), [name])
    pen.line(((string, y + 32.0), (string + 5.0, y + 32.0), (string + 5.0, y + 26.5)), width=0.8)
    pen.words((string - 4.0, y - 3.0), ["A"], align="r", bold=True)


def _valves(pen: Pen, x: float, y: float) -> None:
    """Draw a wheel with its valve up, and after half a turn."""
    for centre, way, name in ((x - 40.0, 1.0, "valve up"), (x + 40.0, -1.0, "valve down")):
        wheel_beside(pen, (centre, y + 8.0), 30.0)
        valve = y + 8.0 + way * 15.0
        pen.line(((centre, valve - 3.5), (centre, valve + 3.5)), width=3.5)
        pen.words((centre, y - 36.0), [name], align="c", bold=True)
    pen.arrow((x - 8.0, y + 8.0), (x + 8.0, y + 8.0), width=1.6)


def _tape(pen: Pen, x: float, y: float) -> None:
    """Draw the tape across an axle from above, at both edges."""
    pen.line(((x - 46.0, y), (x + 46.0, y)), width=0.8)
    for side in (-50.0, 50.0):
        wheel_above(pen, (x + side, y), size=64.0)
    for end, name in ((30.0, "front_edge"), (-30.0, "rear_edge")):
        for side in (-50.0, 50.0):
            pen.line(((x + side, y + end - 5.0), (x + side, y + end + 5.0)), width=2.4)
        span(pen, (x - 49.0, y + end), (x + 49.0, y + end), name)


def _hub_height(pen: Pen, x: float, y: float) -> None:
    """Draw the marks for the tape on one tyre, at the height of the hub."""
    hub = (x, y + 14.0)
    wheel_beside(pen, hub, 28.0)
    floor(pen, x, y - 14.0)
    pen.line(((x - 56.0, hub[1]), (x + 56.0, hub[1])), width=0.7, dash=DASH_DOT)
    for side in (-27.0, 27.0):
        pen.line(((x + side - 6.0, hub[1]), (x + side + 6.0, hub[1])), width=3.0)
    for side in (-27.0, 27.0):
        pen.line(((x + side, hub[1]), (x + side, y - 27.0)), width=0.5, dash=DASHED)
    span(pen, (x - 27.0, y - 24.0), (x + 27.0, y - 24.0), "across", (x, y - 36.0))
    pen.words((x - 36.0, hub[1] + 5.0), ["front"], align="r")
    pen.words((x + 36.0, hub[1] + 5.0), ["rear"])


def _toe_plates(pen: Pen, x: float, y: float) -> None:
    """Draw toe plates against both wheels from above, a tape in their slots."""
    for way in (-1.0, 1.0):
        wheel_above(pen, (x + 12.0 + way * 28.0, y), size=44.0)
        box(pen, (x + 12.0 + way * 38.0, y), (2.0, 34.0), fill=False)
    for end in (-30.0, 30.0):
        pen.line(((x - 32.0, y + end), (x + 56.0, y + end)), width=1.2, dash=DASHED)
    span(pen, (x - 40.0, y - 30.0), (x - 40.0, y + 30.0))
    pen.words((x - 43.0, y - 3.0), ["across"], align="r")
    pen.words((x + 12.0, y + 18.0), ["tape"], align="c")


def _gauge(pen: Pen, x: float, y: float) -> None:
    """Draw a gauge held upright against a rim, from behind, and turned end for end."""
    for centre, name in ((x - 36.0, "camber"), (x + 42.0, "turned")):
        floor(pen, centre, y - 24.0, 32.0)
        box(pen, (centre + 10.0, y + 6.0), (9.0, 30.0))
        box(pen, (centre - 10.0, y + 6.0), (5.0, 22.0), fill=False)
        for end in (-20.0, 20.0):
            pen.line(((centre - 5.0, y + 6.0 + end), (centre + 1.0, y + 6.0 + end)), width=2.0)
        pen.words((centre, y - 38.0), [name], align="c", bold=True)
    pen.circle((x - 46.0, y + 22.0), 2.4, fill=INK)
    pen.circle((x + 32.0, y - 10.0), 2.4, fill=INK)


def _plates(pen: Pen, x: float, y: float) -> None:
    """Draw the front wheels on turn plates, steered to the left."""
    for side, angle, name in ((-38.0, 0.42, "inner"), (38.0, 0.36, "outer")):
        at = (x + side, y + 8.0)
        pen.circle(at, 26.0, width=1.2, fill=WHITE)
        for mark in range(-30, 31, 10):
            ends = turned([(0.0, 26.0), (0.0, 30.0)], math.radians(mark), at)
            pen.line(ends, width=0.7)
        pen.line((at, (at[0], at[1] + 26.0)), width=0.5, dash=DASHED)
        wheel_above(pen, at, angle, 42.0)
        pen.words((at[0], y - 36.0), [name], align="c", bold=True)


def _sweep(pen: Pen, x: float, y: float) -> None:
    """Draw the left front wheel at the stops of a sweep, from above."""
    for side, steer, name in ((-50.0, 20.0, "20 out"), (0.0, 0.0, "0"), (50.0, -20.0, "20 in")):
        at, angle = (x + side, y + 8.0), math.radians(steer)
        pen.circle(at, 21.0, width=1.0, fill=WHITE)
        pen.line((at, (at[0], at[1] + 26.0)), width=0.5, dash=DASHED)
        wheel_above(pen, at, angle, 34.0)
        pen.words((at[0], y - 36.0), [name], align="c", bold=True)


TAKING: dict[str, tuple[str, Sketch]] = {
    "off": ("From the driver's seat, while the car runs straight on a level road.", _off),
    "clamp": ("Steering wheel clamped straight for strings, tape and gauge.", _clamp),
    "settle": ("Last of all roll forward, never back; then the car settles.", _settle),
    "sides": ("From above: hub to hub on each side, both wheels straight.", _sides),
    "slope": ("From behind: the floor is higher under the left wheel.", _slope),
    "rule": ("From above: rule level, square to the string A, tight to the rim.", _rule),
    "valves": ("Read valve up, roll half a turn, read valve down.", _valves),
    "tape": ("From above: between the same marks on both tyres.", _tape),
    "hub_height": ("From the side: the marks stand at the height of the hub.", _hub_height),
    "toe_plates": ("Toe plates: tape in the slots, plates tight to the tyres.", _toe_plates),
    "gauge": ("From behind: gauge upright against the rim; then turned end for end.", _gauge),
    "plates": ("From above, steered to the left: the left wheel is the inner one.", _plates),
    "sweep": ("Left front wheel from above: to the left is out, for a right wheel in.", _sweep),
}
