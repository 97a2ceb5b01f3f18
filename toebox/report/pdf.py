"""A report on paper: A4 or Letter, page one with what to do next, the same bytes every time."""

from __future__ import annotations

import datetime
from io import BytesIO
from typing import Any, TypeGuard

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate, Spacer

from toebox import __version__
from toebox.report import blocks
from toebox.report.pdf_blocks import Setter, Story
from toebox.report.pdf_fonts import register, width_of
from toebox.report.pen import GREY, PLAIN
from toebox.report.text import safe

PAPERS = {"A4": A4, "Letter": LETTER}
_SIDE, _TOP, _FOOT = 18 * mm, 16 * mm, 20 * mm  # margins
_SMALL, _TALL = 190.0, 340.0  # least and greatest height of a plan drawing [pt]
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
        creator=f"toebox {__version__}",
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
    """Return all that flows: the title, the summary with its plan drawing, then the details."""
    head = [setter.paragraph(view.title, "title")]
    head += [setter.paragraph(line, "subtitle") for line in view.subtitle]
    first = [section for section in view.sections if section.summary]
    story = [*head, Spacer(1, 4.0), *_summary(first, setter, setter.tall(head) + 4.0)]
    for section in view.sections:
        if not section.summary:
            story += _section(section, setter, section.blocks)
    story += [Spacer(1, 6.0), *_notes([view.footer], setter)]
    return [*story, *_notes([setter.clean.note()], setter)]


def _notes(texts: list[str], setter: Setter) -> Story:
    """Return notes, empty ones left out."""
    return [setter.paragraph(text, "note") for text in texts if text]


def _section(
    section: blocks.Section, setter: Setter, items: tuple[blocks.Block, ...], tallest: float = _TALL
) -> Story:
    """Return a section with some of its blocks."""
    body = setter.body(items, tallest)
    return setter.heading(section, body) + body


def _summary(sections: list[blocks.Section], setter: Setter, used: float) -> Story:
    """Return the summary: plan drawings in place where page one has room, after it where not."""
    plans = [plan for section in sections for plan in section.blocks if _is_plan(plan)]
    words: Story = []
    for section in sections:
        words += _section(section, setter, _without_plans(section))
    if not plans:
        return words
    captions = sum(setter.tall([setter.paragraph(p.caption, "caption")]) + 4.0 for p in plans)
    room = setter.height - used - setter.tall(words) - captions - 6.0 * len(sections)
    each = room / len(plans)
    if each < _SMALL:
        return words + setter.body(plans, _TALL)
    story: Story = []
    for section in sections:
        story += _section(section, setter, section.blocks, min(each, _TALL))
    return story


def _without_plans(section: blocks.Section) -> tuple[blocks.Block, ...]:
    """Return a section's blocks but its plan drawings."""
    return tuple(block for block in section.blocks if not _is_plan(block))


def _is_plan(block: blocks.Block) -> TypeGuard[blocks.Figure]:
    """Tell whether a block is a plan drawing of the car."""
    return isinstance(block, blocks.Figure) and block.name == "plan"


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
        left, right = f"{self._title}", f"toebox {__version__} · page {page} of {pages}"
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
