"""A report on a terminal: blocks laid out in lines, nothing cut, nothing sent raw."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Sequence

from toebox.report.ascii import ascii_spelling
from toebox.report.blocks import (
    Block,
    Figure,
    Paragraph,
    Section,
    Steps,
    Table,
    View,
)

CAUTION = "▲ Caution: "
DRAWING = "(drawing, in the PDF) "
_NARROWEST = 24  # columns a table may be squeezed to before it is folded, per text cell
_GAP = "  "
Measure = Callable[[str], float]
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_GLUE = re.compile(  # begins with the space, which is quickly found
    r" (?:(?<=\d )(?=\d+[/⁄]\d|[¼-¾⅐-⅞]|%)"
    r"|(?<=[\d¼-¾⅐-⅞] )(?=(?:in|mm|cm|m|ft|deg|turns?|N)\b)"
    r"|(?<=[\d°′″] )(?=±)|(?<=± )(?=\d)|(?<=[●▲◆◇■□] ))"
)


def safe(text: str) -> str:
    r"""Make characters visible that would steer a terminal or hide in a page.

    Parameters
    ----------
    text : str
        Any text, a person's own included.

    Returns
    -------
    str
        The text with control, format, private, unassigned and surrogate characters and
        line separators written as escapes; everything else as it stands.

    Examples
    --------
    >>> print(safe("red \x1b[31m"))
    red \x1b[31m
    >>> print(safe("two" + chr(10) + "lines"))
    two\nlines
    """
    if text.isprintable():  # what is unseen never is
        return text
    return "".join(_visible(char) for char in text)


def _visible(char: str) -> str:
    """Return a character, or its escape where it cannot be seen."""
    if unicodedata.category(char) in _UNSEEN:
        return char.encode("unicode_escape").decode("ascii")
    return char


def glued(text: str) -> str:
    """Tie a number to its fraction and unit, and a shape to its word, by no-break spaces.

    Parameters
    ----------
    text : str
        One line of text.

    Returns
    -------
    str
        The text with some spaces made no-break spaces; a line is never broken there.
    """
    return _GLUE.sub("\xa0", text)


def cells(text: str) -> int:
    """Count the columns that `text` takes on a terminal.

    Parameters
    ----------
    text : str
        One line of text.

    Returns
    -------
    int
        Columns: two for a wide character, none for a combining one [-].
    """
    if text.isascii():
        return len(text)
    strange = [char for char in text if not char.isascii()]
    wide = sum(unicodedata.east_asian_width(char) in "WF" for char in strange)
    return len(text) + wide - sum(unicodedata.combining(char) != 0 for char in strange)


def wrapped(text: str, width: float, measure: Measure = cells) -> list[str]:
    """Break a text into lines at its spaces, a word longer than a line inside the word.

    Parameters
    ----------
    text : str
        One line of text; no-break spaces hold.
    width : float
        Width of a line, in what `measure` gives; columns as a rule [-].
    measure : callable, optional
        Gives the width of a text.

    Returns
    -------
    list of str
        At least one line; no character but spaces is lost.

    Examples
    --------
    >>> wrapped("turn the left tie rod 1 1/2 turns", 22)
    ['turn the left tie rod', '1 1/2 turns']
    """
    lines = [""]
    for word in _bits(glued(text).split(" "), width, measure):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if measure(longer) <= width or not lines[-1]:
            lines[-1] = longer
        else:
            lines.append(word)
    return [line.replace("\xa0", " ") for line in lines]


def _bits(words: Iterable[str], width: float, measure: Measure) -> Iterator[str]:
    """Yield words, those too long for a line in pieces."""
    for word in words:
        if measure(word) <= width:
            yield word
            continue
        piece = ""
        for char in word:
            if piece and measure(piece + char) > width:
                yield piece
                piece = ""
            piece += char
        yield piece


def render_text(
    view: View,
    width: int = 80,
    *,
    summary: bool = False,
    colour: bool = False,
    ascii_only: bool = False,
) -> str:
    """Lay a report out for a terminal.

    Parameters
    ----------
    view : View
        What to print.
    width : int, optional
        Columns of a line [-].
    summary : bool, optional
        Print only the sections that belong to the summary.
    colour : bool, optional
        Set headings and cautions off by terminal codes; no meaning rests on them.
    ascii_only : bool, optional
        Spell everything in ASCII.

    Returns
    -------
    str
        Lines, each ended by a newline.
    """
    return "\n".join(_Layout(max(width, 20), colour, ascii_only).report(view, summary)) + "\n"


class _Layout:
    """The settings of one rendering."""

    def __init__(self, width: int, colour: bool, ascii_only: bool) -> None:
        self.width, self.colour, self.ascii_only = width, colour, ascii_only

    def report(self, view: View, summary: bool) -> list[str]:
        """Lay out the whole report."""
        lines = self.heading(view.title, "=")
        for line in view.subtitle:
            lines += self.folded(line)
        for section in view.sections:
            if section.summary or not summary:
                lines += ["", *self.section(section)]
        return lines + (["", *self.folded(view.footer)] if view.footer else [])

    def section(self, section: Section) -> list[str]:
        """Lay out a heading and what stands under it."""
        lines = self.heading(section.heading, "-")
        blocks = [block for block in section.blocks if not _wordless(block)]
        for number, block in enumerate(blocks):
            apart = number > 0 and not _both_notes(blocks[number - 1], block)
            lines += [""] * apart + self.block(block)
        return lines

    def block(self, block: Block) -> list[str]:
        """Lay out one block."""
        if isinstance(block, Paragraph):
            return self.paragraph(block)
        if isinstance(block, Table):
            return self.table(block)
        if isinstance(block, Figure):
            return self.folded(DRAWING + block.caption, rest="  ")
        if isinstance(block, Steps):
            last = len(block.items)
            marks = [f"{n}. ".rjust(len(f"{last}. ")) for n in range(1, last + 1)]
        else:
            marks = ["- "] * len(block.items)
        items = zip(marks, block.items, strict=True)
        return [line for mark, item in items for line in self.folded(item, mark, " " * len(mark))]

    def paragraph(self, block: Paragraph) -> list[str]:
        """Lay out running text."""
        if block.kind == "caution":
            return [self.styled(line) for line in self.folded(CAUTION + block.text, rest="  ")]
        indent = "  " if block.kind == "note" else ""
        lines = self.folded(block.text, indent, indent)
        return [self.styled(line) for line in lines] if block.kind == "strong" else lines

    def heading(self, text: str, rule: str) -> list[str]:
        """Lay out a heading over its rule."""
        lines = self.folded(text)
        longest = max(cells(line) for line in lines)
        return [*(self.styled(line) for line in lines), rule * longest]

    def folded(self, text: str, first: str = "", rest: str = "") -> list[str]:
        """Wrap text, with what stands before the first line and before the others."""
        body = wrapped(self.clean(text), self.width - max(cells(first), cells(rest)))
        return [(rest if n else first) + line for n, line in enumerate(body)]

    def clean(self, text: str) -> str:
        """Return text that may be printed."""
        text = safe(text)
        return ascii_spelling(text) if self.ascii_only else text

    def styled(self, text: str) -> str:
        """Return a line in bold, where codes are wanted."""
        if not self.colour:
            return text
        from click import style

        return style(text, bold=True)

    def table(self, table: Table) -> list[str]:
        """Lay out a table, squeezed or folded where it is wider than the page."""
        head = [self.clean(cell) for cell in table.columns]
        rows = [[self.clean(cell) for cell in row] for row in table.rows]
        caption = self.folded(table.caption) if table.caption else []
        widths = _squeezed(head, rows, table.align, self.width)
        if widths is None:
            return caption + self.label_lines(head, rows)
        rule = _GAP.join("-" * width for width in widths)
        lines = [line for row in rows for line in _row(row, widths, table.align)]
        return [*caption, *_row(head, widths, table.align), rule, *lines]

    def label_lines(self, head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
        """Lay out each row as lines of label and value."""
        lines: list[str] = []
        for row in rows:
            lines += self.folded(row[0])
            for label, value in zip(head[1:], row[1:], strict=True):
                if value:
                    lines += self.folded(f"{label}: {value}" if label else value, "  ", "    ")
        return lines


def _wordless(block: Block) -> bool:
    """Tell whether a block has nothing to print: a drawing without a caption, an empty list."""
    return not (block.caption if isinstance(block, Figure) else getattr(block, "items", True))


def _both_notes(before: Block, block: Block) -> bool:
    """Tell whether two blocks are notes in a row, kept close."""
    return all(isinstance(b, Paragraph) and b.kind == "note" for b in (before, block))


def _squeezed(
    head: Sequence[str], rows: Sequence[Sequence[str]], align: str, width: int
) -> list[int] | None:
    """Return column widths that fit, text columns squeezed where needed; None if they cannot."""
    columns = [[head[n], *(row[n] for row in rows)] for n in range(len(head))]
    widths = [max(map(cells, column)) for column in columns]
    least = [
        full if side == "r" else max(min(full, _NARROWEST), _longest_word(column))
        for full, side, column in zip(widths, align, columns, strict=True)
    ]
    spare = width - len(_GAP) * (len(head) - 1) - sum(least)
    if spare < 0:
        return None
    for n in sorted(range(len(widths)), key=lambda n: widths[n] - least[n]):
        take = min(spare, widths[n] - least[n])
        least[n], spare = least[n] + take, spare - take
    return least


def _longest_word(texts: Iterable[str]) -> int:
    """Return the columns of the longest word that must not be broken."""
    return max(cells(word) for text in texts for word in glued(text).split(" "))


def _row(row: Sequence[str], widths: Sequence[int], align: str) -> list[str]:
    """Set one row, as many lines as its tallest cell."""
    columns = [wrapped(cell, width) for cell, width in zip(row, widths, strict=True)]
    lines = []
    for n in range(max(map(len, columns))):
        parts = [column[n] if n < len(column) else "" for column in columns]
        put = [_padded(*item) for item in zip(parts, widths, align, strict=True)]
        lines.append(_GAP.join(put).rstrip())
    return lines


def _padded(text: str, width: int, side: str) -> str:
    """Fill a cell with spaces on one side."""
    fill = " " * (width - cells(text))
    return fill + text if side == "r" else text + fill
