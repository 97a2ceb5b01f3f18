"""A sheet on paper: boxes large enough for a pencil in a garage, black on white alone."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from reportlab.lib.colors import toColor
from reportlab.platypus import CondPageBreak, Flowable, PageBreak
from reportlab.platypus import Table as Grid

from toebox.report.pdf_blocks import Art, Setter, Story
from toebox.report.pdf_fonts import register, width_of
from toebox.report.pdf_pages import PAPERS, Pages, build, room_of
from toebox.report.pen import INK, LEADING, SIZE, WHITE, Pen, lines_of
from toebox.report.sheet import Beside, Blank, Form, Group, Line, Part, Sheet, Ticks

TALL = 31.5  # of a box to write in: 10 mm within its frame [pt]
_AIR = 1.5  # about a box
_TICK = 8.0
_STACKED = 3  # words to choose from; more of them stand in two columns
_OWN = (Form, Beside, Ticks)
_TOGETHER = 0.5  # of a page: forms no taller than this are kept on one page


def render_sheet(sheet: Sheet, *, paper: str = "A4") -> bytes:
    """Lay a sheet out on pages.

    Parameters
    ----------
    sheet : Sheet
        What to print.
    paper : str, optional
        ``A4`` or ``Letter``.

    Returns
    -------
    bytes
        A PDF file, the same for the same sheet, paper and version.

    Raises
    ------
    ValueError
        If the paper is not known.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper: wanted {' or '.join(PAPERS)}, not {paper!r}")
    register()
    setter = Setter(*room_of(paper))
    story = setter.title(sheet.title, sheet.subtitle)
    for part in sheet.parts:
        story += _part(part, setter)
    note = setter.clean.note()
    story += [setter.paragraph(note, "note")] if note else []
    return build(
        story,
        paper,
        title=sheet.title,
        printed=setter.clean(sheet.title),
        subject="Sheet for wheel alignment readings",
        date=sheet.date,
        canvas=BlackAndWhite,
    )


class BlackAndWhite(Pages):
    """A canvas that knows no colour and no grey: what is dark prints black, the rest white."""

    def setFillColor(self, aColor: Any, alpha: Any = None) -> None:  # noqa: N802, N803
        """Fill in black or white."""
        super().setFillColor(_plain(aColor, 0.5), alpha)

    def setStrokeColor(self, aColor: Any, alpha: Any = None) -> None:  # noqa: N802, N803
        """Draw in black or white."""
        super().setStrokeColor(_plain(aColor, 0.95), alpha)


def _plain(colour: Any, limit: float) -> tuple[float, float, float]:
    """Return black for what is darker than a limit (luma of ITU-R BT.709, from memory)."""
    known = toColor(colour)
    bright = 0.2126 * known.red + 0.7152 * known.green + 0.0722 * known.blue
    return INK if bright < limit else WHITE


def _part(part: Part, setter: Setter) -> Story:
    """Return a headed part of a sheet, its pictures on the page of its first boxes."""
    body: Story = []
    for own, blocks in groupby(part.blocks, lambda block: isinstance(block, _OWN)):
        if own:
            body += [item for block in blocks for item in _block(block, setter)]
        else:
            body += setter.body([b for b in blocks if not isinstance(b, _OWN)], 200.0)
    heading = setter.heading(part, body)
    room = setter.tall(body) if part.whole else _first(body, setter)
    needed = min(setter.tall(heading) + room, 0.95 * setter.height)
    page = PageBreak() if part.apart else CondPageBreak(needed)
    return [page, *heading, *body]


def _first(body: Story, setter: Setter) -> float:
    """Return the room down to the first boxes; none where that is much of a page [pt]."""
    room = asked = 0.0
    for item in body:
        if isinstance(item, CondPageBreak):
            asked = item.height
        elif isinstance(item, Grid):
            return room + asked if room + asked <= _TOGETHER * setter.height else 0.0
        else:
            room += setter.tall([item])
    return 0.0


def _block(block: Any, setter: Setter) -> Story:
    """Return a block that sheets alone have."""
    if isinstance(block, Form):
        return _form(block, setter)
    if isinstance(block, Beside):
        return _beside(block, setter)
    return [setter.paragraph(item, "tick", "☐") for item in block.items]


def _form(form: Form, setter: Setter) -> Story:
    """Return lines of boxes; a long form goes on under its headings on the next page."""
    grid = _grid(form, setter, setter.width)
    whole = setter.tall([grid])
    if whole > _TOGETHER * setter.height:
        whole = TALL * (2 + grid.repeatRows)
    return [CondPageBreak(whole), grid]


def _beside(block: Beside, setter: Setter) -> Story:
    """Return a small picture with a form at its right."""
    third = setter.width / 3
    picture = [part for part in setter.figure(block.figure, third, 200.0) if isinstance(part, Art)]
    form = _grid(block.form, setter, setter.width - third)
    grid = Grid([[picture, form]], colWidths=[third, setter.width - third])
    grid.setStyle([*_LOOKS[1:], ("VALIGN", (0, 0), (-1, -1), "TOP")])
    grid.spaceAfter = 8.0
    return [CondPageBreak(setter.tall([grid])), grid]


def _grid(form: Form, setter: Setter, width: float) -> Any:
    """Return the lines of a form under its headings."""
    widths = _widths(form, width)
    head = _head(form.groups, setter)
    rows = [*head, *(_line(line, widths, setter) for line in form.lines)]
    grid = Grid(rows, colWidths=widths, repeatRows=len(head))
    grid.setStyle([*_LOOKS, *_spans(form, len(head))])
    grid.spaceAfter = 8.0
    return grid


def _widths(form: Form, width: float) -> list[float]:
    """Return the widths of names and boxes [pt]."""
    weights = [w for g in form.groups for w in (g.weights or (1.0,) * len(g.columns))]
    left = form.names * width
    return [left, *(weight * (width - left) / sum(weights) for weight in weights)]


def _head(groups: Sequence[Group], setter: Setter) -> list[list[Any]]:
    """Return rows of headings: of groups, and of columns where they have any."""
    rows: list[list[Any]] = []
    if any(group.name for group in groups):
        cells: list[Any] = [""]
        for group in groups:
            cells += [setter.paragraph(group.name, "boxhead"), *[""] * (len(group.columns) - 1)]
        rows.append(cells)
    columns = [column for group in groups for column in group.columns]
    if any(columns):
        rows.append(["", *(setter.paragraph(column, "boxnote") for column in columns)])
    return rows


def _line(line: Line, widths: Sequence[float], setter: Setter) -> list[Any]:
    """Return one line: its name, what it is, and its boxes."""
    said = [setter.paragraph(line.name, "boxname")] if line.name else []
    said += [setter.paragraph(line.hint, "boxhint")] if line.hint else []
    cells: list[Any] = [said]
    for blank in line.blanks:
        end = len(cells) + blank.wide
        cells += [Box(blank, sum(widths[len(cells) : end]), setter), *[""] * (blank.wide - 1)]
    return cells


_LOOKS = (  # no rules but those of the boxes
    ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (0, -1), 6),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (0, -1), 3),
)


def _spans(form: Form, heads: int) -> list[tuple[Any, ...]]:
    """Return which headings and boxes take several columns."""
    spans = []
    if any(group.name for group in form.groups):
        spans.append((0, [len(group.columns) for group in form.groups]))
    spans += [(n, [b.wide for b in line.blanks]) for n, line in enumerate(form.lines, heads)]
    looks: list[tuple[Any, ...]] = []
    for row, sizes in spans:
        start = 1
        for size in sizes:
            looks.append(("SPAN", (start, row), (start + size - 1, row)))
            start += size
    return looks


class Box(Flowable):  # type: ignore[misc]  # the PDF library has no types
    """A box to write in.

    Parameters
    ----------
    blank : Blank
        What stands in it.
    width : float
        Its width [pt].
    setter : Setter
        Makes texts printable and measures them.
    """

    def __init__(self, blank: Blank, width: float, setter: Setter) -> None:
        super().__init__()
        self.blank, self.across = blank, width
        ruler = setter.ruler
        self.tag, self.unit = setter.clean(blank.tag), setter.clean(blank.unit)
        words = blank.choices
        self.rows = len(words) if len(words) <= _STACKED else -(-len(words) // 2)
        self.columns = [
            max(width_of(word, SIZE) for word in words[n : n + self.rows]) + _TICK + 9.0
            for n in range(0, len(words), max(self.rows, 1))
        ]
        self.ticks = sum(self.columns)
        left = width_of(self.tag, SIZE) + 4.0 if blank.tag else 0.0
        room = max(width - self.ticks - left - 2 * _AIR - 8.0, 24.0)
        self.lines = lines_of(blank.value, room, ruler, bold=True)
        needed = max(len(self.lines), self.rows) * LEADING + 6.0
        self.height = max(TALL, needed + 2 * _AIR) if blank.key else 0.0

    def wrap(self, *_room: float) -> tuple[float, float]:
        """Return its size [pt]."""
        return self.across, self.height

    def draw(self) -> None:
        """Paint it."""
        if not self.blank.key:
            return
        pen, middle = Pen(self.canv), self.height / 2
        right, top = self.across - _AIR, self.height - _AIR
        corners = ((_AIR, _AIR), (_AIR, top), (right, top), (right, _AIR))
        pen.line(corners, width=1.1, closed=True)
        pen.words((_AIR + 4.0, middle - 3.2), [self.tag] if self.tag else [])
        left = _AIR + 4.0 + (width_of(self.tag, SIZE) + 4.0 if self.tag else 0.0)
        first = middle + (len(self.lines) / 2 - 0.8) * LEADING
        pen.words((left, first), self.lines, bold=True)
        if self.unit:
            pen.words((right - self.ticks - 3.0, middle - 3.2), [self.unit], align="r")
        self._choices(pen, right - self.ticks + 1.0, middle)

    def _choices(self, pen: Pen, left: float, middle: float) -> None:
        """Draw the words to choose from, each after a square, in one column or two."""
        for number, word in enumerate(self.blank.choices):
            column, row = divmod(number, self.rows)
            x = left + sum(self.columns[:column])
            base = middle + (self.rows / 2 - 0.8 - row) * LEADING
            low, high = base - 0.8, base - 0.8 + _TICK
            corners = ((x, low), (x, high), (x + _TICK, high), (x + _TICK, low))
            pen.line(corners, width=0.8, closed=True)
            if word == self.blank.chosen:
                pen.line((corners[0], corners[2]), width=1.4, ink=INK)
                pen.line((corners[1], corners[3]), width=1.4, ink=INK)
            pen.words((x + _TICK + 3.0, base), [word])
