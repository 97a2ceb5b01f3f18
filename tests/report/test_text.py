"""The terminal report: nothing cut, nothing raw, no meaning in colour alone."""

import re
import subprocess
import sys

import pytest

from tests.report.invented import LABEL, NASTY, VIEWS, hard, ordinary
from toebox.report.ascii import ascii_spelling
from toebox.report.blocks import Figure, Paragraph, Section, Steps, Table, View
from toebox.report.text import cells, render_text, safe, wrapped


@pytest.mark.parametrize("name", VIEWS)
@pytest.mark.parametrize("width", [40, 80, 200])
@pytest.mark.parametrize("ascii_only", [False, True])
def test_no_line_is_longer_than_the_terminal(name, width, ascii_only):
    text = render_text(VIEWS[name](), width, ascii_only=ascii_only)
    assert max(cells(line) for line in text.split("\n")) <= width
    assert text.isascii() or not ascii_only


@pytest.mark.parametrize("width", [20, 40, 80, 200])
def test_tables_keep_every_cell_at_every_width(width):
    table = next(b for b in hard().sections[1].blocks if isinstance(b, Table))
    view = View("t", (), (Section("s", (table,)),))
    words = " ".join(render_text(view, width).split())
    for row in table.rows:
        for cell in row:
            assert cell in words


def test_a_table_that_fits_has_aligned_columns():
    table = Table(("Wheel", "Toe"), (("left", "0.1"), ("right", "10.25")), "lr")
    text = render_text(View("t", (), (Section("s", (table,)),)))
    assert text.split("\n")[5:9] == [
        "Wheel    Toe",
        "-----  -----",
        "left     0.1",
        "right  10.25",
    ]


def test_a_table_too_wide_is_folded_into_labels_and_values():
    table = Table(("Key", LABEL.format(1)), (("toe", "1/16 in"),), "lr")
    text = render_text(View("t", (), (Section("s", (table,)),)), 44)
    assert "\ntoe\n  measured again after lunch by lamplight\n    1: 1/16 in\n" in text


def test_control_characters_are_shown_not_sent():
    text = render_text(View(NASTY, (NASTY,), (Section(NASTY, (Paragraph(NASTY),)),)))
    assert {c for c in text if not c.isprintable()} == {"\n"}
    assert text.count(r"\x1b[31m\x00\u202e") == 4


@pytest.mark.parametrize(
    ("raw", "shown"),
    [
        ("a\tb\r\n", r"a\tb\r\n"),
        ("\x9b2J", r"\x9b2J"),
        ("a\u2028b", r"a\u2028b"),
        ("\u200fabc", r"\u200fabc"),
        ("\udc80", r"\udc80"),
        ("3 15/16 ″ ½", "3 15/16 ″ ½"),
    ],
)
def test_safe(raw, shown):
    assert safe(raw) == shown


def test_summary_leaves_details_out():
    text = render_text(ordinary(), summary=True)
    assert "What to do next" in text
    assert "What was assumed" not in text


def test_colour_adds_codes_and_nothing_else():
    plain, coloured = render_text(ordinary()), render_text(ordinary(), colour=True)
    assert plain != coloured
    assert re.sub(r"\x1b\[\d+m", "", coloured) == plain


def test_a_number_stays_with_its_fraction_and_unit():
    for width in range(12, 40):
        lines = wrapped("read 3 15/16 in, then ± 0.03 in and ● within", width)
        whole = [p for p in ("3 15/16 in,", "± 0.03 in", "● within") if p in "\n".join(lines)]
        assert len(whole) == 3, lines


@pytest.mark.parametrize(
    ("text", "spelled"),
    [
        ("3½ in", "3 1/2 in"),
        ("3\xa0⅞″", '3 7/8"'),
        ("0°09′ ± 1′", "0 deg 09' +/- 1'"),
        ("−0.5", "-0.5"),
        ("● within ▲ outside ◆ not proven", "(o) within /!\\ outside <#> not proven"),
        ("Café, 中", "Cafe, \\u4e2d"),
        ("m² → N·m", "m^2 -> N*m"),
    ],
)
def test_ascii_spellings(text, spelled):
    assert ascii_spelling(text) == spelled


def test_states_stay_apart_in_ascii():
    shapes = "●○▲△◆◇■□"
    assert len({ascii_spelling(shape) for shape in shapes}) == len(shapes)


def test_printing_text_does_not_load_the_pdf_library():
    code = "import sys, toebox.report.text; sys.exit('reportlab' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_drawing_without_a_caption_leaves_no_mark():
    section = Section("s", (Paragraph("a"), Figure("plan", None, ""), Steps(()), Paragraph("b")))
    assert render_text(View("t", (), (section,))).endswith("s\n-\na\n\nb\n")
