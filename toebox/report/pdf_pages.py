"""Pages of a report or a sheet: paper, margins, footers, and a file that never asks the clock."""

from __future__ import annotations

import datetime
from io import BytesIO
from typing import Any

from reportlab import rl_config
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

from toebox import __version__
from toebox.report.pdf_blocks import Story
from toebox.report.pdf_fonts import width_of
from toebox.report.pen import GREY, PLAIN
from toebox.report.text import safe

PROGRAM = f"toebox {__version__}"
PAPERS = {"A4": A4, "Letter": LETTER}
_SIDE, _TOP, _FOOT = 18 * mm, 16 * mm, 20 * mm  # margins
_NOTE = 9.0
rl_config.useA85 = 0  # bytes as bytes: to spell them in letters takes time and a quarter more room


def room_of(paper: str) -> tuple[float, float]:
    """Return the room within the margins of a paper.

    Parameters
    ----------
    paper : str
        A key of `PAPERS`.

    Returns
    -------
    tuple of float
        Width and height [pt].
    """
    width, height = PAPERS[paper]
    return width - 2 * _SIDE, height - _TOP - _FOOT


class Pages(Canvas):  # type: ignore[misc]  # the PDF library has no types
    """A canvas that knows how many pages there are before it prints the first footer."""

    def __init__(self, *args: Any, title: str, about: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self._title, self._about = title, about
        self._states: list[dict[str, Any]] = []
        self._headings: list[tuple[int, str, float]] = []

    def note_heading(self, text: str, top: float) -> None:
        """Remember a heading for the outline of the file."""
        self._headings.append((len(self._states), text, top))

    def showPage(self) -> None:  # noqa: N802  # the PDF library's name
        """Keep a page until the number of pages is known."""
        self._states.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        """Print all pages with their footers."""
        headings, states = self._headings, self._states
        for number, state in enumerate(states):
            self.__dict__.update(state)
            self._footer(number + 1, len(states))
            for index, (page, text, top) in enumerate(headings):
                if page == number:
                    self.bookmarkHorizontal(f"h{index}", 0, top)
                    self.addOutlineEntry(text, f"h{index}", 0)
            Canvas.showPage(self)
        Canvas.save(self)

    def _footer(self, page: int, pages: int) -> None:
        """Write title and date of the job, program and page number under a thin rule."""
        width, base = self._pagesize[0], _FOOT - 22.0
        left, right = self._title, f"{self._about} · page {page} of {pages}"
        room = width - 2 * _SIDE - width_of(right, _NOTE) - 18.0
        if width_of(left, _NOTE) > room:
            while left and width_of(left + "…", _NOTE) > room:
                left = left[:-1]
            left += "…"
        self.setStrokeColorRGB(*GREY)
        self.setLineWidth(0.4)
        self.setDash([])
        self.line(_SIDE, base + 12.0, width - _SIDE, base + 12.0)
        self.setFillColorRGB(0, 0, 0)
        self.setFont(PLAIN, _NOTE)
        self.drawString(_SIDE, base, left)
        self.drawRightString(width - _SIDE, base, right)


def build(
    story: Story,
    paper: str,
    *,
    title: str,
    printed: str,
    subject: str,
    date: datetime.date | None,
    canvas: type[Pages] = Pages,
) -> bytes:
    """Put a story on pages.

    Parameters
    ----------
    story : list
        What flows over the pages.
    paper : str
        A key of `PAPERS`.
    title, printed : str
        Title of the file, and as it stands at the foot of every page.
    subject : str
        What the file holds.
    date : datetime.date or None
        Date of the job, for the file's description.
    canvas : type, optional
        What draws the pages.

    Returns
    -------
    bytes
        A PDF file, the same for the same story.
    """
    about = f"{date.isoformat()} · {PROGRAM}" if date is not None else PROGRAM

    def start(*args: Any, **options: Any) -> Canvas:
        return canvas(*args, title=printed, about=about, **options)

    target = BytesIO()
    document = BaseDocTemplate(
        target,
        pagesize=PAPERS[paper],
        title=safe(title),
        subject=subject,
        creator=PROGRAM,
        author="",
        lang="en-GB",
        invariant=1,
        displayDocTitle=True,
    )
    frame = Frame(_SIDE, _FOOT, *room_of(paper), 0, 0, 0, 0)
    document.addPageTemplates([PageTemplate(frames=[frame], onPage=_dated(date))])
    document.build(story, canvasmaker=start)
    return target.getvalue()


def _dated(date: datetime.date | None) -> Any:
    """Return what gives the file the date of the job; the clock is never asked."""

    def stamp(canvas: Any, _document: Any) -> None:
        if date is not None:
            canvas.setDateFormatter(lambda *_clock: f"D:{date:%Y%m%d}000000+00'00'")

    return stamp
