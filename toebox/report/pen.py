"""The few strokes that drawings are made of, in points from the lower left, y up."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from toebox.report.text import wrapped

PLAIN, BOLD = "toebox", "toebox-bold"
INK = (0.0, 0.0, 0.0)
WHITE = (1.0, 1.0, 1.0)
GREY = (0.45, 0.45, 0.45)
PALE = (0.88, 0.90, 0.93)
BLUE = (0.10, 0.23, 0.42)
ORANGE = (0.70, 0.33, 0.0)
DASHED = (3.0, 2.0)
DASH_DOT = (9.0, 2.5, 1.5, 2.5)
SIZE, LEADING = 9.0, 11.5  # of the words in a drawing

Colour = tuple[float, float, float]
Point = tuple[float, float]


class Ruler(NamedTuple):
    """What a drawing must know of the fonts.

    Parameters
    ----------
    measure : callable
        Gives the width of a text from text, size and boldness [pt].
    clean : callable
        Makes a text printable.
    """

    measure: Callable[[str, float, bool], float]
    clean: Callable[[str], str]


class Pen:
    """Draws on a PDF canvas.

    Parameters
    ----------
    canvas : reportlab.pdfgen.canvas.Canvas
        Where to draw; its origin is the lower left of the drawing.
    """

    def __init__(self, canvas: Any) -> None:
        self.canvas = canvas

    def line(
        self,
        points: Sequence[Point],
        *,
        width: float = 0.8,
        dash: Sequence[float] = (),
        ink: Colour = INK,
        fill: Colour | None = None,
        closed: bool = False,
    ) -> None:
        """Draw a line through points, or a shape."""
        self._ink(width, dash, ink, fill)
        path = self.canvas.beginPath()
        path.moveTo(*points[0])
        for point in points[1:]:
            path.lineTo(*point)
        if closed:
            path.close()
        self.canvas.drawPath(path, stroke=1, fill=0 if fill is None else 1)

    def circle(
        self,
        centre: Point,
        radius: float,
        *,
        width: float = 0.8,
        ink: Colour = INK,
        fill: Colour | None = None,
        dash: Sequence[float] = (),
    ) -> None:
        """Draw a circle."""
        self._ink(width, dash, ink, fill)
        self.canvas.circle(*centre, radius, stroke=1, fill=0 if fill is None else 1)

    def arrow(
        self, tail: Point, tip: Point, *, width: float = 1.2, ink: Colour = INK, head: float = 7.0
    ) -> None:
        """Draw a straight arrow."""
        angle = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
        neck = (tip[0] - 0.8 * head * math.cos(angle), tip[1] - 0.8 * head * math.sin(angle))
        self.line((tail, neck), width=width, ink=ink)
        self.head(tip, angle, ink=ink, size=head)

    def head(self, tip: Point, angle: float, *, ink: Colour = INK, size: float = 7.0) -> None:
        """Draw the filled head of an arrow that points along `angle` [rad]."""
        sides = [
            (tip[0] - size * math.cos(angle + turn), tip[1] - size * math.sin(angle + turn))
            for turn in (0.4, -0.4)
        ]
        self.line((tip, *sides), width=0.4, ink=ink, fill=ink, closed=True)

    def words(
        self,
        at: Point,
        lines: Sequence[str],
        *,
        align: str = "l",
        bold: bool = False,
        ink: Colour = INK,
    ) -> None:
        """Write lines from a first baseline down; `align` is ``l``, ``c`` or ``r``."""
        self.canvas.setFillColorRGB(*ink)
        self.canvas.setFont(BOLD if bold else PLAIN, SIZE)
        write = {
            "l": self.canvas.drawString,
            "c": self.canvas.drawCentredString,
            "r": self.canvas.drawRightString,
        }[align]
        for number, line in enumerate(lines):
            write(at[0], at[1] - number * LEADING, line)

    def _ink(self, width: float, dash: Sequence[float], ink: Colour, fill: Colour | None) -> None:
        """Set what the next stroke is drawn with."""
        self.canvas.setLineWidth(width)
        self.canvas.setDash(list(dash))
        self.canvas.setStrokeColorRGB(*ink)
        if fill is not None:
            self.canvas.setFillColorRGB(*fill)


def turned(points: Sequence[Point], angle: float, centre: Point = (0.0, 0.0)) -> list[Point]:
    """Turn points anticlockwise on the page about the origin, then move them.

    Parameters
    ----------
    points : sequence of pairs
        Points about the origin [pt].
    angle : float
        Turn, positive anticlockwise [rad].
    centre : pair, optional
        Where the origin goes [pt].

    Returns
    -------
    list of pairs
        The points on the page [pt].
    """
    cos, sin = math.cos(angle), math.sin(angle)
    return [(centre[0] + x * cos - y * sin, centre[1] + x * sin + y * cos) for x, y in points]


def lines_of(
    text: str, width: float, ruler: Ruler, *, most: int = 99, bold: bool = False
) -> list[str]:
    """Wrap a text for a drawing; past the last line allowed it ends in three dots.

    Parameters
    ----------
    text : str
        What to write.
    width : float
        Room for a line [pt].
    ruler : Ruler
        Makes the text printable and measures it.
    most : int, optional
        Lines allowed [-].
    bold : bool, optional
        Whether it is set in bold.

    Returns
    -------
    list of str
        The lines; none for an empty text.
    """
    if not text:
        return []
    text = ruler.clean(text)
    lines = wrapped(text, width, lambda line: ruler.measure(line, SIZE, bold))
    if len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and ruler.measure(last + "…", SIZE, bold) > width:
        last = last[:-1]
    return [*lines[: most - 1], last + "…"]
