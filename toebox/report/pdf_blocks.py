"""Blocks of a report as things that flow over pages."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any, Protocol

from reportlab.lib.enums import TA_CENTER, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, HRFlowable
from reportlab.platypus import Table as Grid

from toebox.report import blocks
from toebox.report.drawing import Picture, pictures
from toebox.report.pdf_fonts import Printable, width_of
from toebox.report.pdf_tables import grids
from toebox.report.pdf_words import Words
from toebox.report.pen import BLUE, BOLD, ORANGE, PLAIN, Pen, Ruler

BODY, NOTE = 10.0, 9.0
_AFTER = 7.0  # air below a block
_SHORT = 190.0  # tables no taller than this stay on one page [pt]
_INTRODUCES = 60.0  # a paragraph up to so tall stays with the table below it [pt]
TALL, SMALL = 340.0, 200.0  # height of a drawing that can be made smaller, and the least [pt]
Story = list[Any]


class Headed(Protocol):
    """Anything with a heading: a section of a report, a part of a sheet."""

    @property
    def heading(self) -> str:
        """Return the words of the heading."""
        ...


def _style(name: str, **changes: Any) -> ParagraphStyle:
    """Return a style: the body text with changes."""
    given: dict[str, Any] = {
        "fontName": PLAIN,
        "fontSize": BODY,
        "leading": 1.36 * changes.get("fontSize", BODY),
        "spaceAfter": _AFTER,
        "bulletFontName": PLAIN,
        "bulletFontSize": BODY,
        "splitLongWords": 1,
        "allowWidows": 0,
        "allowOrphans": 0,
    }
    return ParagraphStyle(name, **(given | changes))


STYLES = {
    "title": _style("title", fontName=BOLD, fontSize=17.0, leading=21.0, textColor=BLUE),
    "subtitle": _style("subtitle", spaceAfter=1.0),
    "heading": _style(
        "heading",
        fontName=BOLD,
        fontSize=12.5,
        leading=16.0,
        textColor=BLUE,
        spaceBefore=6.0,
        spaceAfter=5.0,
    ),
    "plain": _style("plain"),
    "strong": _style("strong", fontName=BOLD),
    "note": _style("note", fontSize=NOTE, spaceAfter=4.0),
    "caption": _style("caption", fontSize=NOTE, spaceAfter=10.0),
    "tablecaption": _style("tablecaption", fontName=BOLD, fontSize=NOTE, spaceAfter=3.0),
    "step": _style("step", leftIndent=20.0, bulletIndent=0.0, spaceAfter=4.0),
    "point": _style("point", leftIndent=12.0, bulletIndent=0.0, spaceAfter=3.0),
    "caution": _style("caution", spaceAfter=0.0),
    "right": _style("right", alignment=TA_RIGHT),
    "tick": _style("tick", leftIndent=24.0, bulletIndent=0.0, bulletFontSize=15.0, spaceAfter=5.0),
    "boxname": _style("boxname", fontName=BOLD, spaceAfter=0.0, leading=12.0),
    "boxhint": _style("boxhint", fontSize=NOTE, leading=11.0, spaceAfter=0.0),
    "boxhead": _style("boxhead", fontName=BOLD, spaceAfter=0.0, alignment=TA_CENTER),
    "boxnote": _style("boxnote", fontSize=NOTE, spaceAfter=1.0, alignment=TA_CENTER),
}


class Heading(Words):
    """A heading that also stands in the outline of the file."""

    def __init__(self, text: str, plain: str) -> None:
        super().__init__(text, STYLES["heading"])
        self.plain = plain

    def draw(self) -> None:
        """Draw the heading with a thin rule under it."""
        if self.plain:
            self.canv.note_heading(self.plain, self.canv.absolutePosition(0, self.height)[1])
            self.plain = ""  # the second part of a heading broken over pages
        self.canv.setLineWidth(0.6)
        self.canv.setStrokeColorRGB(*BLUE)
        self.canv.line(0, -2.0, self.width, -2.0)
        super().draw()


class Art(Flowable):  # type: ignore[misc]  # the PDF library has no types
    """A drawing in the flow of a page."""

    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self.picture = picture

    def wrap(self, _across: float = 0.0, _room: float = 0.0) -> tuple[float, float]:
        """Return the size of the drawing [pt]."""
        return self.picture.width, self.picture.height

    def draw(self) -> None:
        """Paint it."""
        self.picture.paint(Pen(self.canv))


class Elastic(Art):
    """A plan drawing that takes the room that is left on its page, within limits.

    Parameters
    ----------
    figure : Figure
        What it draws.
    width : float
        Room across the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.
    below : float
        Room that its caption takes [pt].
    """

    def __init__(self, figure: blocks.Figure, width: float, ruler: Ruler, below: float) -> None:
        self.figure, self.across, self.ruler, self.below = figure, width, ruler, below
        super().__init__(self._drawn(SMALL))
        self.least = self.picture.height

    def _drawn(self, tallest: float) -> Picture:
        return pictures(self.figure, self.across, self.ruler, tallest)[0]

    def wrap(self, _across: float = 0.0, _room: float = 0.0) -> tuple[float, float]:
        """Fit the drawing into the room that is left; return its size [pt]."""
        self.picture = self._drawn(min(max(_room - self.below, SMALL), TALL))
        return super().wrap()


class Setter:
    """Turns blocks into what flows over pages of one width.

    Parameters
    ----------
    width, height : float
        Room for text on a page [pt].
    """

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self.clean = Printable()
        self.ruler = Ruler(width_of, self.clean)

    def marked(self, text: str) -> str:
        """Return a printable text in which nothing is taken for an instruction."""
        return escape(self.clean(text), quote=False)

    def paragraph(self, text: str, style: str, bullet: str | None = None) -> Words:
        """Return running text."""
        return Words(self.marked(text), STYLES[style], bulletText=bullet)

    def title(self, title: str, below: Sequence[str]) -> Story:
        """Return a title over a rule, and the lines below it."""
        rule = HRFlowable(width="100%", thickness=1.4, color=BLUE, spaceBefore=2.0, spaceAfter=5.0)
        lines = [self.paragraph(line, "subtitle") for line in below]
        return [self.paragraph(title, "title"), rule, *lines]

    def heading(self, section: Headed, body: Story) -> Story:
        """Return a heading, with a page break before it where it would stand alone."""
        heading = Heading(self.marked(section.heading), self.clean(section.heading))
        above = self.tall([heading]) + (self.least(body) if body else 0.0)
        return [CondPageBreak(min(above, 0.9 * self.height)), heading]

    def body(self, items: Sequence[blocks.Block], tallest: float = TALL) -> Story:
        """Return blocks in order; cautions and turns of tie rods in a row are put together."""
        story: Story = []
        for group in _grouped(items):
            first = group[0]
            if isinstance(first, blocks.Figure):
                story += self.figures(group, tallest)
            elif _is_caution(first):
                story += self.cautions(group)
            else:
                story += self.block(first)
        return story

    def block(self, block: blocks.Block) -> Story:
        """Return one block that is neither caution nor drawing."""
        if isinstance(block, blocks.Paragraph):
            return [self.paragraph(block.text, block.kind)]
        if isinstance(block, blocks.Table):
            return self.table(block)
        numbered = isinstance(block, blocks.Steps)
        items = block.items if isinstance(block, blocks.Steps | blocks.Points) else ()
        story = [
            self.paragraph(item, *(("step", f"{n}.") if numbered else ("point", "•")))
            for n, item in enumerate(items, 1)
        ]
        if story:
            story[-1].spaceAfter = _AFTER  # the air of a block below the last
        return story

    def table(self, table: blocks.Table) -> Story:
        """Return a table under its caption, in groups of columns where it is too wide."""
        story: Story = []
        parts = grids(table, self.width, self.clean, STYLES)
        for number, grid in enumerate(parts):
            caption = table.caption + (" (continued)" if table.caption and number else "")
            above = [self.paragraph(caption, "tablecaption")] if caption else []
            whole = self.tall([grid])
            first = self.tall(above) + (whole if whole <= _SHORT else 60.0)
            story += [CondPageBreak(first), *above, grid]
            grid.spaceAfter = _AFTER + 2.0
        return story

    def cautions(self, items: Sequence[Any]) -> Story:
        """Return cautions in a frame, each with a triangle and the word."""
        sign = Words("▲", _style("sign", fontName=BOLD, fontSize=13.0, textColor=ORANGE))
        rows = [
            [
                sign,
                Words(
                    f"<b>Caution:</b> {self.marked(item.text)}",
                    STYLES["caution"],
                ),
            ]
            for item in items
        ]
        grid = Grid(rows, colWidths=[24.0, self.width - 24.0], splitInRow=1)
        grid.setStyle(
            [
                ("BOX", (0, 0), (-1, -1), 1.2, ORANGE),
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 6),
                ("TOPPADDING", (0, 0), (-1, -1), 4),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
            ]
        )
        grid.spaceBefore, grid.spaceAfter = 2.0, _AFTER
        # A frame is not broken, unless it takes much of a page.
        return [CondPageBreak(min(self.tall([grid]), 0.5 * self.height)), grid]

    def figures(self, items: Sequence[Any], tallest: float) -> Story:
        """Return drawings with their captions, two beside each other where there are two."""
        if len(items) > 1:
            return self.beside(items)
        return self.figure(items[0], self.width, tallest)

    def figure(self, figure: blocks.Figure, width: float, tallest: float) -> Story:
        """Return one drawing and its caption, on one page."""
        caption = [self.paragraph(figure.caption, "caption")] if figure.caption else []
        if figure.name == "plan":
            below = self.tall(caption) + 8.0
            art = Elastic(figure, width, self.ruler, below)
            art.spaceAfter = 4.0
            return [CondPageBreak(min(art.least + below, 0.95 * self.height)), art, *caption]
        arts = [Art(p) for p in pictures(figure, width, self.ruler, tallest)]
        last = min(self.tall([arts[-1], *caption]) + 4.0, 0.95 * self.height)
        breaks = [CondPageBreak(self.tall([art])) for art in arts[:-1]] + [CondPageBreak(last)]
        story = [part for pair in zip(breaks, arts, strict=True) for part in pair]
        arts[-1].spaceAfter = 4.0
        return [*story, *caption]

    def beside(self, items: Sequence[Any]) -> Story:
        """Return drawings side by side."""
        each = self.width / len(items)
        row = [
            [part for part in self.figure(item, each - 12.0, 200.0) if not _is_break(part)]
            for item in items
        ]
        grid = Grid([row], colWidths=[each] * len(items))
        grid.setStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 12),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            ]
        )
        grid.spaceAfter = 4.0
        return [grid]

    def tall(self, story: Story) -> float:
        """Return the room that a story takes down the page [pt]."""
        return float(
            sum(
                part.getSpaceBefore() + part.wrap(self.width, 1e6)[1] + part.getSpaceAfter()
                for part in story
                if not _is_break(part)
            )
        )

    def least(self, story: Story) -> float:
        """Return the least that must stand below a heading [pt]."""
        whole, (first, *rest) = 0.0, story
        if isinstance(first, Words) and rest and _is_break(rest[0]):
            intro = self.tall([first])
            if intro <= _INTRODUCES:  # and what it introduces
                return intro + float(rest[0].height)
        for part in story:
            if isinstance(part, CondPageBreak):
                whole = max(whole, part.height)
                continue
            if isinstance(part, Elastic):
                whole = max(whole, part.least + part.below)
            elif isinstance(part, Art):
                whole = max(whole, self.tall([part]))
            else:
                whole = max(whole, min(self.tall([part]), 60.0))
            break
        return whole


def _is_break(part: Any) -> bool:
    """Tell whether a part of a story is but a possible page break."""
    return isinstance(part, CondPageBreak)


def _is_caution(block: blocks.Block) -> bool:
    """Tell whether a block is a caution."""
    return isinstance(block, blocks.Paragraph) and block.kind == "caution"


def _together(block: blocks.Block) -> str:
    """Return what kind of neighbour a block is put together with; empty for none."""
    if _is_caution(block):
        return "caution"
    return "rotation" if isinstance(block, blocks.Figure) and block.name == "rotation" else ""


def _grouped(items: Sequence[blocks.Block]) -> list[list[blocks.Block]]:
    """Put cautions in a row together, and tie rods by twos."""
    groups: list[list[blocks.Block]] = []
    for item in items:
        kind = _together(item)
        same = bool(groups) and kind and _together(groups[-1][-1]) == kind
        if same and not (kind == "rotation" and len(groups[-1]) == 2):
            groups[-1].append(item)
        else:
            groups.append([item])
    return groups
