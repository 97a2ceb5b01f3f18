"""What a report is made of: plain text in a few kinds of block, laid out by text and PDF alike.

Only `report.view` makes blocks, from a solution; every number in them is already text.
The terminal and the PDF lay out the same blocks, so they cannot disagree.
"""

from __future__ import annotations

import datetime
from typing import Any, NamedTuple


class Paragraph(NamedTuple):
    """Running text. `kind`: ``plain``, ``strong``, ``note`` or ``caution``."""

    text: str
    kind: str = "plain"


class Table(NamedTuple):
    """Rows of text cells; `align` has one letter a column, ``l`` or ``r``."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    align: str
    caption: str = ""


class Steps(NamedTuple):
    """Things to do, in order; numbered when laid out."""

    items: tuple[str, ...]


class Points(NamedTuple):
    """Things to know, in no order."""

    items: tuple[str, ...]


class Figure(NamedTuple):
    """A drawing: `name` picks the drawing, `data` holds what it draws, in metres and radians.

    The terminal prints the caption alone; every number in a drawing also stands in a table.
    """

    name: str
    data: Any
    caption: str


Block = Paragraph | Table | Steps | Points | Figure


class Section(NamedTuple):
    """A headed part of the report; `summary` sections are printed by ``report``, page one."""

    heading: str
    blocks: tuple[Block, ...]
    summary: bool = False


class View(NamedTuple):
    """A whole report: title, lines under the title, sections in reading order.

    `footer` ends the report; `date` is the job's, for the file's own description.
    """

    title: str
    subtitle: tuple[str, ...]
    sections: tuple[Section, ...]
    footer: str = ""
    date: datetime.date | None = None
