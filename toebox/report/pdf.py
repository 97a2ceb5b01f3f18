"""A report on paper: A4 or Letter, page one with what to do next, the same bytes every time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from toebox.report import blocks
from toebox.report.drawing import pictures
from toebox.report.pdf_blocks import Setter, Story
from toebox.report.pdf_fonts import register
from toebox.report.pdf_pages import PAPERS, PROGRAM, build, room_of

_TALL = 340.0  # greatest height of a drawing that can be made smaller [pt]


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
    setter = Setter(*room_of(paper))
    story = _story(view, setter)
    return build(
        story,
        paper,
        title=view.title,
        printed=setter.clean(view.title) or "Report",
        subject="Wheel alignment report",
        date=view.date,
    )


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
