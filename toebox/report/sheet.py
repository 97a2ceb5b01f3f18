"""What a printed sheet is made of: boxes to write in, named as in the job file, and ticks.

Only `report.view.sheet` makes sheets; `report.sheet_pdf` lays them out on paper.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import NamedTuple

from toebox.report.blocks import Block, Figure


class Blank(NamedTuple):
    """A box to write in.

    Parameters
    ----------
    key : str
        Path of the key in the job file; empty where there is nothing to write.
    value : str
        What is known already.
    tag : str
        What stands small at the left of the box, such as ``front``.
    unit : str
        What stands at the right of it, such as ``mm``.
    choices : tuple of str
        Words to choose from by a tick, at the right of the box.
    chosen : str
        The word that is ticked already.
    wide : int
        How many columns of boxes it takes [-].
    """

    key: str = ""
    value: str = ""
    tag: str = ""
    unit: str = ""
    choices: tuple[str, ...] = ()
    chosen: str = ""
    wide: int = 1


class Line(NamedTuple):
    """A name, a few words on what it is, and the boxes beside it."""

    name: str
    hint: str
    blanks: tuple[Blank, ...]

    def between(self, first: int, end: int) -> Iterator[str]:
        """Yield the keys of the boxes that start in a range of columns."""
        column = 0
        for blank in self.blanks:
            if blank.key and first <= column < end:
                yield blank.key
            column += blank.wide


class Group(NamedTuple):
    """Neighbouring columns of boxes under one heading; `weights` says how wide they are."""

    name: str
    columns: tuple[str, ...] = ("",)
    weights: tuple[float, ...] = ()


class Form(NamedTuple):
    """Lines of boxes under common headings.

    `names` is the room for the names [part of the width]; `by_group` says that a group is
    filled from top to bottom before the next one.
    """

    lines: tuple[Line, ...]
    groups: tuple[Group, ...] = ()
    names: float = 0.25
    by_group: bool = False

    def asked(self) -> Iterator[str]:
        """Yield the keys in the order in which they are filled, one for each box."""
        sizes = [len(group.columns) for group in self.groups] if self.by_group else [1000]
        start = 0
        for size in sizes:
            for line in self.lines:
                yield from line.between(start, start + size)
            start += size


class Ticks(NamedTuple):
    """Things to see to, each with a square to tick."""

    items: tuple[str, ...]


class Beside(NamedTuple):
    """A small picture with a form at its right."""

    figure: Figure
    form: Form


SheetBlock = Block | Form | Ticks | Beside


class Part(NamedTuple):
    """A headed part of a sheet; `apart` starts a page, `whole` keeps to one."""

    heading: str
    blocks: tuple[SheetBlock, ...]
    apart: bool = False
    whole: bool = False


class Sheet(NamedTuple):
    """A whole sheet: title, lines under it, parts in walking order."""

    title: str
    subtitle: tuple[str, ...]
    parts: tuple[Part, ...]
    date: datetime.date | None = None

    def asked(self) -> list[str]:
        """Return the keys of all boxes in the order in which they are filled."""
        blocks = [block for part in self.parts for block in part.blocks]
        forms = [block.form if isinstance(block, Beside) else block for block in blocks]
        return [key for form in forms if isinstance(form, Form) for key in form.asked()]
