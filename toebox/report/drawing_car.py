"""Small pictures of the car: its sizes, what the words for angles mean, its tie rods."""

from __future__ import annotations

from toebox.report.drawing_steps import (
    Sketch,
    box,
    floor,
    span,
    wheel_above,
    wheel_beside,
)
from toebox.report.pen import DASH_DOT, DASHED, INK, WHITE, Pen, turned


def _wheelbase(pen: Pen, x: float, y: float) -> None:
    """Draw the car from the side, its front at the left."""
    body = [(-66, 2), (-66, 14), (-36, 20), (-18, 38), (28, 38), (44, 20), (66, 14), (66, 2)]
    pen.line([(x + a, y + b) for a, b in body], width=1.2, closed=True, fill=WHITE)
    for hub in (x - 40.0, x + 40.0):
        wheel_beside(pen, (hub, y + 2.0), 16.0)
        pen.line(((hub, y + 2.0), (hub, y - 27.0)), width=0.5, dash=DASHED)
    floor(pen, x, y - 14.0)
    span(pen, (x - 40.0, y - 24.0), (x + 40.0, y - 24.0), "wheelbase", (x, y - 36.0))


def _diameters(pen: Pen, x: float, y: float) -> None:
    """Draw one wheel with the two diameters."""
    hub, radius = (x - 34.0, y + 2.0), 36.0
    wheel_beside(pen, hub, radius)
    rim = 0.66 * radius
    span(pen, (hub[0] - rim, hub[1]), (hub[0] + rim, hub[1]))
    pen.line(((hub[0] + rim, hub[1]), (x + 16.0, y + 15.0)), width=0.5)
    pen.words((x + 14.0, y + 18.0), ["rim_diameter"])
    for end in (-radius, radius):
        pen.line(((hub[0], hub[1] + end), (x + 13.0, hub[1] + end)), width=0.5, dash=DASHED)
    span(pen, (x + 9.0, hub[1] - radius), (x + 9.0, hub[1] + radius))
    pen.words((x + 14.0, y - 20.0), ["tyre_diameter"])


def _track(pen: Pen, x: float, y: float) -> None:
    """Draw an axle from the front."""
    floor(pen, x, y - 14.0)
    pen.line(((x - 44.0, y + 12.0), (x + 44.0, y + 12.0)), width=1.2)
    for side in (x - 44.0, x + 44.0):
        box(pen, (side, y + 12.0), (9.0, 26.0))
        pen.line(((side, y - 14.0), (side, y - 27.0)), width=0.5, dash=DASHED)
    span(pen, (x - 44.0, y - 24.0), (x + 44.0, y - 24.0), "track", (x, y - 36.0))


def _toe(pen: Pen, x: float, y: float) -> None:
    """Draw toe-in and toe-out from above."""
    for centre, lean, name in ((x - 38.0, -0.22, "toe-in"), (x + 38.0, 0.22, "toe-out")):
        pen.line(((centre - 22.0, y + 6.0), (centre + 22.0, y + 6.0)), width=0.7)
        wheel_above(pen, (centre - 22.0, y + 6.0), lean, 44.0)
        wheel_above(pen, (centre + 22.0, y + 6.0), -lean, 44.0)
        pen.words((centre, y - 34.0), [name], align="c", bold=True)


def _thrust(pen: Pen, x: float, y: float) -> None:
    """Draw rear wheels that point to the right."""
    pen.line(((x - 20.0, y - 40.0), (x - 20.0, y + 40.0)), width=0.6, dash=DASH_DOT)
    for end, angle in ((22.0, 0.0), (-22.0, -0.25)):
        pen.line(((x - 46.0, y + end), (x + 6.0, y + end)), width=0.7)
        for side in (x - 46.0, x + 6.0):
            wheel_above(pen, (side, y + end), angle, 26.0)
    rear = (x - 20.0, y - 22.0)
    pen.arrow(rear, turned([(0.0, 60.0)], -0.25, rear)[0], width=1.6)
    pen.words((x + 18.0, y + 4.0), ["thrust_angle", "to the right"])


def _camber(pen: Pen, x: float, y: float) -> None:
    """Draw left wheels from behind, leaning out and in."""
    for centre, lean, name in ((x - 38.0, 0.22, "top out"), (x + 38.0, -0.22, "top in")):
        floor(pen, centre, y - 22.0, 32.0)
        box(pen, (centre - 8.0, y + 8.0), (8.0, 28.0), lean)
        pen.line(((centre - 6.0, y + 8.0), (centre + 30.0, y + 8.0)), width=1.0)
        pen.line(((centre - 8.0, y - 22.0), (centre - 8.0, y + 40.0)), width=0.5, dash=DASHED)
        pen.words((centre, y - 36.0), [name], align="c", bold=True)


def _arm(pen: Pen, x: float, y: float) -> None:
    """Draw a left front wheel from above with its steering arm and tie rod."""
    pen.line(((x - 72.0, y), (x + 72.0, y)), width=0.6, dash=DASH_DOT)
    wheel_above(pen, (x - 60.0, y), size=58.0)
    axis, joint = (x - 42.0, y), (x - 36.0, y - 24.0)
    pen.line((axis, joint), width=3.0)
    pen.line((joint, (x + 72.0, y - 24.0)), width=2.0)
    pen.line(((x - 36.0, y + 24.0), (x + 72.0, y + 24.0)), width=1.2, dash=DASHED)
    for at in (axis, joint):
        pen.circle(at, 3.0, width=1.0, fill=WHITE)
    span(pen, (x - 20.0, y - 24.0), (x - 20.0, y), "arm_length", (x - 15.0, y - 15.0), "l")
    pen.words((x - 12.0, y - 36.0), ["tie rod behind"])
    pen.words((x - 12.0, y + 28.0), ["tie rod ahead"])
    pen.words((x + 34.0, y + 3.0), ["axle line"])


def _threads(pen: Pen, x: float, y: float) -> None:
    """Draw a tie rod with the threads at both ends."""
    middle = y + 14.0
    for way in (-1.0, 1.0):
        pen.line(((x + way * 10.0, middle), (x + way * 62.0, middle)), width=4.0)
        for place in range(5):
            turn = x + way * (40.0 + 3.5 * place)
            pen.line(((turn - 1.0, middle - 5.0), (turn + 1.0, middle + 5.0)), width=0.7)
        box(pen, (x + way * 33.0, middle), (4.0, 9.0))
    box(pen, (x, middle), (28.0, 7.0), fill=False)
    for way, name in ((-1.0, "outer_engaged"), (1.0, "inner_engaged")):
        ends = [(x + way * 10.0, middle), (x + way * 28.0, middle)]
        pen.line(ends, width=1.0, dash=DASHED)
        for end, _ in ends:
            pen.line(((end, middle - 7.0), (end, y - 12.0)), width=0.5, dash=DASHED)
        span(pen, (ends[0][0], y - 9.0), (ends[1][0], y - 9.0))
        pen.words((x + way * 39.0, y - 24.0), [name], align="c")
    pen.circle((x - 66.0, middle), 6.0, width=1.6, fill=WHITE)
    pen.circle((x + 66.0, middle), 6.0, width=1.6, fill=WHITE)
    pen.words((x, y + 32.0), ["jam nuts"], align="c")


def _lever(pen: Pen, x: float, y: float) -> None:
    """Draw a wheel from behind with its steering axis and the lever arm of an adjuster."""
    floor(pen, x, y - 34.0)
    box(pen, (x - 46.0, y), (9.0, 34.0))
    low, high = (x - 18.0, y - 18.0), (x - 8.0, y + 32.0)
    pen.line((low, high), width=2.0)
    pen.line((low, (x + 42.0, y - 22.0)), width=2.0)
    pen.line((high, (x + 30.0, y + 30.0)), width=2.0)
    for joint in (low, high):
        pen.circle(joint, 3.5, width=1.0, fill=WHITE)
    span(pen, (low[0] - 10.0, low[1]), (high[0] - 10.0, high[1]))
    pen.words((x + 2.0, y + 3.0), ["lever_arm"])


def _cam(pen: Pen, x: float, y: float) -> None:
    """Draw a cam with its bolt off the middle of its disc."""
    pen.circle((x - 30.0, y), 34.0, width=1.4, fill=WHITE)
    pen.circle((x - 30.0, y), 1.6, fill=INK)
    bolt = turned([(0.0, 16.0)], -0.6, (x - 30.0, y))[0]
    pen.circle(bolt, 6.0, width=1.2)
    pen.line(((x - 30.0, y), bolt), width=1.6)
    pen.line(((x - 30.0, y - 38.0), (x - 30.0, y + 40.0)), width=0.5, dash=DASHED)
    arc = [turned([(0.0, 26.0)], -0.06 * n, (x - 30.0, y))[0] for n in range(11)]
    pen.line(arc, width=1.0)
    pen.head(arc[-1], -0.6, size=5.5)
    pen.words((x + 14.0, y + 16.0), ["position", "clockwise"])
    pen.line(((x - 24.0, y + 6.0), (x + 12.0, y - 14.0)), width=0.5)
    pen.words((x + 14.0, y - 18.0), ["eccentricity"])


CAR: dict[str, tuple[str, Sketch]] = {
    "wheelbase": ("From the side, front at the left.", _wheelbase),
    "diameters": ("One wheel from the side.", _diameters),
    "track": ("An axle from the front.", _track),
    "toe": ("From above, front up: front edges closer together is toe-in.", _toe),
    "thrust": ("From above, front up: where the rear wheels together point.", _thrust),
    "camber": ("A left wheel from behind the car.", _camber),
    "arm": ("Left front wheel from above, front up.", _arm),
    "lever": ("A left wheel from behind: between the two joints.", _lever),
    "cam": ("A cam: how far its bolt is off the middle.", _cam),
    "threads": ("One tie rod: how much thread is screwed in at each end.", _threads),
}
