"""Tables of a report on a page: columns as wide as they need, in groups where too many."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Table as Grid

from toebox.report.blocks import Table
from toebox.report.pdf_fonts import Printable, width_of
from toebox.report.pdf_words import Words
from toebox.report.pen import BLUE, BOLD, PALE, PLAIN

_SIZE = 9.0
_MANY = 5  # columns: a table of more is divided before its cells are broken
_STEP = 6.0  # by which a column that is too wide is narrowed at a time [pt]
_PAD = 5.0  # air at each side of a cell
_WORD = 0.34  # of the page: the longest word that is kept in one piece
_RULE, _LIGHT = 0.4, (0.72, 0.72, 0.72)


def grids(
    table: Table, width: float, clean: Printable, styles: dict[str, ParagraphStyle]
) -> list[Any]:
    """Return a table as one grid, or as several that repeat its first column.

    Parameters
    ----------
    table : Table
        What to set.
    width : float
        Room across the page [pt].
    clean : Printable
        Makes texts printable.
    styles : dict of str to ParagraphStyle
        ``plain`` and ``right`` are used for cells of several lines.

    Returns
    -------
    list of reportlab.platypus.Table
        Grids that break over pages, their heading repeated.
    """
    cells = [[clean(cell) for cell in row] for row in (table.columns, *table.rows)]
    every = range(len(table.columns))
    widths = _fitted(cells, every, width)
    cramped = sum(widths) > width - 1.0 and len(widths) > _MANY
    if widths and not cramped:
        return [_grid(cells, every, widths, table.align, styles)]
    made = []
    for group in _groups(cells, width):
        widths = _fitted(cells, group, width, force=True)
        made.append(_grid(cells, group, widths, table.align, styles))
    return made


def _natural(cells: Sequence[Sequence[str]], column: int) -> float:
    """Return the width of a column whose cells stand on one line each [pt]."""
    texts = [width_of(row[column], _SIZE, n == 0) for n, row in enumerate(cells)]
    return max(texts, default=0.0) + 2 * _PAD + 0.5


def _least(cells: Sequence[Sequence[str]], column: int, width: float) -> float:
    """Return the width of a column's longest word, within reason [pt]."""
    words = [
        width_of(word, _SIZE, n == 0)
        for n, row in enumerate(cells)
        for word in row[column].split(" ")
    ]
    return min(max(words) + 2 * _PAD + 0.5, _WORD * width)


def _fitted(
    cells: Sequence[Sequence[str]],
    columns: Sequence[int],
    width: float,
    *,
    force: bool = False,
) -> list[float]:
    """Return column widths that fit the page; none where they cannot."""
    natural = [_natural(cells, n) for n in columns]
    if sum(natural) <= width:
        return natural
    least = [_least(cells, n, width) for n in columns]
    if force:
        least[0] = min(natural[0], _WORD * width)
    spare = width - sum(least)
    if spare < 0.0 and not force:
        return []
    if spare < 0.0:
        return [part * width / sum(least) for part in least]
    texts = [[_words(row[n], number == 0) for number, row in enumerate(cells)] for n in columns]
    return _narrowed(texts, natural, least, width)


def _narrowed(
    texts: Sequence[Sequence[Sequence[float]]],
    natural: Sequence[float],
    least: Sequence[float],
    width: float,
) -> list[float]:
    """Return column widths that fit, narrowed step by step where the table grows least."""
    widths = list(natural)
    lines = [_column(texts[n], widths[n]) for n in range(len(widths))]
    while sum(widths) > width + 1e-6:
        step = min(_STEP, sum(widths) - width)
        choices = []
        for n in range(len(widths)):
            narrower = max(widths[n] - step, least[n])
            if narrower < widths[n] - 1e-6:
                changed = [*lines[:n], _column(texts[n], narrower), *lines[n + 1 :]]
                tall = sum(max(row) for row in zip(*changed, strict=True))
                broken = sum(map(sum, changed))
                choices.append((tall, broken, -widths[n], n, narrower, changed))
        if not choices:
            break
        *_, n, widths[n], lines = min(choices)
    return widths


def _column(cells: Sequence[Sequence[float]], width: float) -> list[int]:
    """Return the lines of each cell of a column [-]."""
    return [_lines(words, width) for words in cells]


def _words(text: str, bold: bool) -> list[float]:
    """Return the widths of the words of a text [pt]."""
    return [width_of(word, _SIZE, bold) for word in text.split(" ")]


def _lines(words: Sequence[float], width: float) -> int:
    """Return how many lines words of these widths take in a column [-]."""
    room, space = width - 2 * _PAD, 0.318 * _SIZE
    lines, used = 1, -space
    for word in words:
        used += space + word
        if used > room + 0.01 and used > word:
            lines, used = lines + 1, word
    return lines


def _groups(cells: Sequence[Sequence[str]], width: float) -> list[list[int]]:
    """Share columns out over grids, the first column in each; headings may be broken."""
    first = min(_natural(cells, 0), _WORD * width)
    needs = [
        max(_least(cells, n, width), min(_natural(cells[1:], n), _WORD * width))
        for n in range(1, len(cells[0]))
    ]
    for each in range(len(needs), 0, -1):  # columns a grid, as even as they come
        starts = range(0, len(needs), each)
        if all(first + sum(needs[start : start + each]) <= width for start in starts):
            break
    each = -(-len(needs) // len(starts))
    starts = range(0, len(needs), each)
    return [[0, *(1 + n for n in range(start, min(start + each, len(needs))))] for start in starts]


def _grid(
    cells: Sequence[Sequence[str]],
    columns: Sequence[int],
    widths: Sequence[float],
    align: str,
    styles: dict[str, ParagraphStyle],
) -> Any:
    """Return one grid."""
    made = {
        (side, bold): ParagraphStyle(
            f"cell-{side}-{bold}",
            parent=styles["right" if side == "r" else "plain"],
            fontName=BOLD if bold else PLAIN,
            fontSize=_SIZE,
            leading=1.3 * _SIZE,
            spaceAfter=0.0,
        )
        for side in "lr"
        for bold in (False, True)
    }
    rows = [
        [
            _cell(row[n], width, made[align[n], number == 0])
            for n, width in zip(columns, widths, strict=True)
        ]
        for number, row in enumerate(cells)
    ]
    grid = Grid(rows, colWidths=list(widths), repeatRows=1, splitInRow=1, hAlign="LEFT")
    grid.setStyle(_looks([align[n] for n in columns]))
    return grid


def _cell(text: str, width: float, style: ParagraphStyle) -> Any:
    """Return a cell: a plain text on one line, a paragraph where it needs several."""
    bold = style.fontName == BOLD
    fits = width_of(text, _SIZE, bold) <= width - 2 * _PAD
    return text if fits else Words(escape(text, quote=False), style)


def _looks(align: Sequence[str]) -> list[tuple[Any, ...]]:
    """Return thin rules, bold heading, numbers to the right."""
    sides = [
        ("ALIGN", (n, 0), (n, -1), "RIGHT" if side == "r" else "LEFT")
        for n, side in enumerate(align)
    ]
    return [
        ("FONT", (0, 0), (-1, -1), PLAIN, _SIZE, 1.3 * _SIZE),
        ("FONT", (0, 0), (-1, 0), BOLD, _SIZE, 1.3 * _SIZE),
        ("BACKGROUND", (0, 0), (-1, 0), PALE),
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, BLUE),
        ("LINEBELOW", (0, 1), (-1, -1), _RULE, _LIGHT),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LEFTPADDING", (0, 0), (-1, -1), _PAD),
        ("RIGHTPADDING", (0, 0), (-1, -1), _PAD),
        ("TOPPADDING", (0, 0), (-1, -1), 2.0),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 3.0),
        *sides,
    ]
