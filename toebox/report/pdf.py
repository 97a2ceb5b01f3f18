"""A report on paper: A4 or Letter, page one with what to do next, the same bytes every time."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from io import BytesIO
from typing import Any

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate

from toebox import __version__
from toebox.report import blocks
from toebox.report.drawing import pictures
from toebox.report.pdf_blocks import Setter, Story
from toebox.report.pdf_fonts import register, width_of
from toebox.report.pen import GREY, PLAIN
from toebox.report.text import safe

PROGRAM = f"toebox {__version__}"
PAPERS = {"A4": A4, "Letter": LETTER}
_SIDE, _TOP, _FOOT = 18 * mm, 16 * mm, 20 * mm  # margins
_TALL = 340.0  # greatest height of a drawing that can be made smaller [pt]
_NOTE = 9.0


def render_pdf(view: blocks.View, *, paper: str = "A4") -> bytes:
    """Lay a report out on pages.

    Parameters
    ----------
    view : View
        What to print.
    paper : str, optional
        ``A4`` or ``Letter``.

    Returns
    -------
    bytes
        A PDF file, the same for the same view, paper and version.

    Raises
    ------
    ValueError
        If the paper is not known.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper: wanted {' or '.join(PAPERS)}, not {paper!r}")
    register()
    width, height = PAPERS[paper]
    setter = Setter(width - 2 * _SIDE, height - _TOP - _FOOT)
    story = _story(view, setter)
    title = setter.clean(view.title) or "Report"

    def start(*args: Any, **options: Any) -> Canvas:
        return _Pages(*args, title=title, **options)

    target = BytesIO()
    document = BaseDocTemplate(
        target,
        pagesize=(width, height),
        title=safe(view.title),
        subject="Wheel alignment report",
        creator=PROGRAM,
        author="",
        lang="en-GB",
        invariant=1,
        displayDocTitle=True,
    )
    frame = Frame(_SIDE, _FOOT, setter.width, setter.height, 0, 0, 0, 0)
    document.addPageTemplates([PageTemplate(frames=[frame], onPage=_dated(view.date))])
    document.build(story, canvasmaker=start)
    return target.getvalue()


def _dated(date: datetime.date | None) -> Any:
    """Return what gives the file the date of the job; the clock is never asked."""

    def stamp(canvas: Any, _document: Any) -> None:
        if date is not None:
            canvas.setDateFormatter(lambda *_clock: f"D:{date:%Y%m%d}000000+00'00'")

    return stamp


def _story(view: blocks.View, setter: Setter) -> Story:
    """Return all that flows; a plan drawing is made to fit page one where it can."""
    head = [setter.paragraph(view.title, "title")]
    head += [setter.paragraph(line, "subtitle") for line in view.subtitle]
    plans = [number for number, section in enumerate(view.sections) if _plan_of(section)]
    until = plans[0] + 1 if plans else 0
    summaries = [number for number, section in enumerate(view.sections) if section.summary]
    if plans and plans[0] in summaries:
        until = summaries[-1] + 1
    story = head + _first(view.sections[:until], setter, setter.tall(head))
    for section in view.sections[until:]:
        story += _section(section, setter)
    footer = "" if view.footer == PROGRAM else view.footer  # every page says that already
    return story + _notes([footer, setter.clean.note()], setter)


def _notes(texts: list[str], setter: Setter) -> Story:
    """Return notes, empty ones left out."""
    return [setter.paragraph(text, "note") for text in texts if text]


def _section(section: blocks.Section, setter: Setter, tallest: float = _TALL) -> Story:
    """Return a section."""
    body = setter.body(section.blocks, tallest)
    return setter.heading(section, body) + body


def _first(sections: Sequence[blocks.Section], setter: Setter, used: float) -> Story:
    """Return the sections up to the first plan drawing, which takes the room left on page one.

    Where too little is left, a plan amid the summary comes after it; others wait for page two.
    """
    bare = [replace(section, blocks=_without_plan(section)) for section in sections]
    words = [part for section in bare for part in _section(section, setter)]
    plan = next((plan for section in sections if (plan := _plan_of(section))), None)
    if plan is None:
        return words
    caption = setter.tall([setter.paragraph(plan.caption, "caption")]) + 4.0
    room = setter.height - used - setter.tall(words) - caption - 2.0
    fits = pictures(plan, setter.width, setter.ruler, room)[0].height <= room
    if not fits and sections[-1].summary:
        return words + setter.body([plan])
    tallest = min(room, _TALL) if fits else _TALL
    return [part for section in sections for part in _section(section, setter, tallest)]


def _without_plan(section: blocks.Section) -> tuple[blocks.Block, ...]:
    """Return a section's blocks but its first plan drawing."""
    return tuple(block for block in section.blocks if block is not _plan_of(section))


def _plan_of(section: blocks.Section) -> blocks.Figure | None:
    """Return the first plan drawing of a section, if it has one."""
    figures = (block for block in section.blocks if isinstance(block, blocks.Figure))
    return next((figure for figure in figures if figure.name == "plan"), None)


class _Pages(Canvas):  # type: ignore[misc]  # the PDF library has no types
    """A canvas that knows how many pages there are before it prints the first footer."""

    def __init__(self, *args: Any, title: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self._title = title
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
        """Write job title, program version and page number under a thin rule."""
        width, base = self._pagesize[0], _FOOT - 22.0
        left, right = f"{self._title}", f"{PROGRAM} · page {page} of {pages}"
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
