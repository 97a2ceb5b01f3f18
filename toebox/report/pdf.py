"""A report on paper: A4 or Letter, page one with what to do next, the same bytes every time."""

from __future__ import annotations

from collections.abc import Sequence

from toebox.report import blocks
from toebox.report.pdf_blocks import Setter, Story
from toebox.report.pdf_fonts import register
from toebox.report.pdf_pages import PAPERS, PROGRAM, build, room_of


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
    head = setter.title(view.title, view.subtitle)
    footer = "" if view.footer == PROGRAM else view.footer  # every page says that already
    flow = head + _sections(view.sections, setter, setter.tall(head)) + _note(footer, setter)
    return flow + _note(setter.clean.note(), setter)  # what was replaced: known once all is set


def _sections(sections: Sequence[blocks.Section], setter: Setter, used: float) -> Story:
    """Return the sections; what follows a plan drawing that page one has no room for goes first."""
    plans = [(place, plan) for place, one in enumerate(sections) if (plan := _plan_of(one))]
    if not plans:
        return _all(sections, setter)
    place, plan = plans[0]
    whole, after = sections[place], sections[place + 1 :]
    bare = whole._replace(blocks=tuple(block for block in whole.blocks if block is not plan))
    before, words = _all(sections[:place], setter), _section(bare, setter)
    drawn = setter.body([plan])
    if used + setter.tall(before + words) + setter.least(drawn) <= setter.height:
        return before + _section(whole, setter) + _all(after, setter)
    if bare.blocks:
        return before + words + _all(after[:1], setter) + drawn + _all(after[1:], setter)
    return before + _all(after[:1], setter) + _section(whole, setter) + _all(after[1:], setter)


def _all(sections: Sequence[blocks.Section], setter: Setter) -> Story:
    """Return sections one after the other."""
    return [part for section in sections for part in _section(section, setter)]


def _note(text: str, setter: Setter) -> Story:
    """Return a note; nothing where it has no words."""
    return [setter.paragraph(text, "note")] if text else []


def _section(section: blocks.Section, setter: Setter) -> Story:
    """Return a section."""
    body = setter.body(section.blocks)
    return setter.heading(section, body) + body


def _plan_of(section: blocks.Section) -> blocks.Figure | None:
    """Return the first plan drawing of a section, if it has one."""
    figures = (block for block in section.blocks if isinstance(block, blocks.Figure))
    return next((figure for figure in figures if figure.name == "plan"), None)
