"""Every state has a word and a shape: nothing is told by colour alone.

Contrast as in WCAG 2.1, 1.4.3 and the definition of relative luminance there (from memory).
"""

import io
import re
from itertools import combinations

import pypdf
import pytest

from tests.report.test_samples import LOADED, view_of
from toebox.report import pen
from toebox.report.ascii import ascii_spelling
from toebox.report.blocks import Table
from toebox.report.pdf import render_pdf
from toebox.report.text import render_text
from toebox.report.view.goals import UNKNOWN
from toebox.report.view.standing import STALE, VALID
from toebox.report.view.words import SHAPES

SHAPE = re.compile(r"^([\u25a0-\u25ff]) (.+)$")
# Words that say how something stands, wherever a table says so.
STATES = ("within", "outside", "not proven", "valid", "stale", "agree", "disagree", "enough",
          "less than one diameter")  # fmt: skip
PALETTE = (pen.INK, pen.GREY, pen.PALE, pen.BLUE, pen.ORANGE, (1.0, 1.0, 1.0))
VERDICTS = ("Outcome", "State", "Verdict", "")  # headings of columns of states


def cells():
    """Every cell of every table of every job, with the heading of its column."""
    for name in LOADED:
        for section in view_of(name).sections:
            for block in section.blocks:
                if isinstance(block, Table):
                    for row in block.rows:
                        yield from zip(block.columns, row, strict=True)


def test_every_state_in_a_table_has_a_shape_before_its_word():
    seen = set()
    for heading, cell in cells():
        if heading in VERDICTS and cell.startswith(STATES):
            pytest.fail(f"{heading}: {cell!r} has no shape")
        told = SHAPE.match(cell) if heading in VERDICTS else None
        if told:
            seen |= {state for state in STATES if told[2].startswith(state)}
    assert {"within", "outside", "not proven", "valid", "stale", "agree", "enough"} <= seen


def test_a_word_has_the_same_shape_everywhere():
    shapes = {}
    for _, cell in cells():
        found = SHAPE.match(cell)
        if found:
            word = re.split(r"[(:,]| since", found[2])[0].strip()
            shapes.setdefault(word, set()).add(found[1])
    assert len(shapes) > 6
    assert {word: some for word, some in shapes.items() if len(some) > 1} == {}


def test_opposite_states_never_share_a_shape():
    assert len(set(SHAPES.values())) == len(SHAPES)
    assert UNKNOWN[0] not in {SHAPES[state] for state in ("within", "outside", "not proven")}
    assert VALID[0] != STALE[0]
    assert STALE[0] not in SHAPES.values()


def test_shapes_differ_in_plain_letters_too():
    spelled = {ascii_spelling(shape) for shape in [*SHAPES.values(), VALID[0], STALE[0], "▲"]}
    assert len(spelled) == len({*SHAPES.values(), VALID[0], STALE[0], "▲"})
    assert all(word.isascii() for word in spelled)


def luminance(colour):
    """Relative luminance of an sRGB colour."""
    parts = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in colour]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), parts, strict=True))


def contrast(one, other):
    """Contrast ratio of two colours, 1 to 21."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_is_that_of_the_definition():
    assert contrast((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)) == pytest.approx(21.0)


@pytest.mark.parametrize("ink", [pen.INK, pen.GREY, pen.BLUE, pen.ORANGE])
def test_whatever_is_drawn_stands_out_without_colour(ink):
    assert contrast(ink, (1.0, 1.0, 1.0)) >= 4.5


@pytest.mark.parametrize(("one", "other"), [*combinations((pen.INK, pen.BLUE, pen.ORANGE), 2)])
def test_inks_differ_in_brightness_where_they_meet(one, other):
    assert contrast(one, other) >= 1.5


def test_no_ink_is_red_or_green():
    for red, green, blue in PALETTE:
        assert not (green > red + 0.05 and green > blue + 0.05)
        assert not (red > 0.5 and green < 0.4 * red)


@pytest.mark.parametrize("name", ["samples-string-box", "templates-full", "twelve passes"])
def test_a_page_uses_no_other_colour(name):
    for page in pypdf.PdfReader(io.BytesIO(render_pdf(view_of(name)))).pages:
        content = page.get_contents().get_data().decode("latin-1")
        for given in re.findall(r"([\d. ]+) (?:rg|RG)\b", content):
            colour = tuple(map(float, given.split()))
            greys = len(set(colour)) == 1
            assert greys or any(
                all(abs(a - b) < 0.01 for a, b in zip(colour, ink, strict=True)) for ink in PALETTE
            ), colour


def test_the_terminal_uses_no_colour_but_bold():
    text = render_text(view_of("samples-string-box"), colour=True)
    assert set(re.findall("\x1b\\[([\\d;]*)m", text)) <= {"1", "0"}
