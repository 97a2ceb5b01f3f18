"""The printed report: it says what the terminal says, and nothing overlaps or is cut."""

import datetime
import hashlib
import io
import os
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pypdf
import pytest

from tests.report.invented import LONG_TITLE, NASTY, VIEWS, hard, ordinary, plan
from tests.report.pages import opened
from toebox.report.blocks import Figure, Paragraph, Points, Section, Steps, Table, View
from toebox.report.pdf import PAPERS, render_pdf
from toebox.report.pdf_fonts import REPLACEMENT
from toebox.report.text import render_text

EVERY = [(name, paper) for name in VIEWS for paper in PAPERS]
NUMBER = re.compile(r"\d+(?:[./]\d+)*")


@pytest.fixture(scope="module")
def rendered():
    """Each invented report on each paper, rendered once."""
    return {(name, paper): render_pdf(VIEWS[name](), paper=paper) for name, paper in EVERY}


def text_of(pdf):
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return "\n".join(page.extract_text() for page in pages).replace("\xa0", " ")


def squeezed(text):
    """The text without white space, so that line ends do not matter."""
    return re.sub(r"\s", "", text)


@pytest.mark.parametrize("name", ["ordinary", "hard"])
@pytest.mark.parametrize("paper", PAPERS)
def test_terminal_and_page_never_disagree(rendered, name, paper):
    # On a very wide terminal no table is folded, so that every number stands once in each.
    said = Counter(NUMBER.findall(render_text(VIEWS[name](), 5000)))
    printed = Counter(NUMBER.findall(text_of(rendered[name, paper])))
    assert sum(said.values()) > 30
    assert {number: times for number, times in said.items() if printed[number] < times} == {}


@pytest.mark.parametrize("paper", PAPERS)
def test_every_cell_item_and_paragraph_is_printed(rendered, paper):
    printed = squeezed(text_of(rendered["hard", paper]))
    for section in hard().sections:
        for text in texts_of(section):
            shown = squeezed(safe_for_page(text))
            assert shown in printed, text[:60]


def test_characters_that_the_fonts_lack_are_named_wherever_they_stand():
    drawn = Figure("plan", plan(labels={"left_front": "\u6587"}), "")
    blocks = (Paragraph("\u4e2d and \u0436"), Points(("\u5b57",)), drawn)
    view = View("\u56fd", (), (Section("\u7ae0", blocks),), footer="\u8a3b")
    said = text_of(render_pdf(view)).replace("\n", " ")
    assert "U+4E2D, U+56FD, U+5B57, U+6587, U+7AE0, U+8A3B." in said  # none that is printed
    assert "fonts of this page lack" not in text_of(render_pdf(ordinary()))


def texts_of(section):
    """The texts of a section that stand in one piece on one page."""
    for block in section.blocks:
        if isinstance(block, Table):
            yield from (cell for row in block.rows for cell in row if len(cell) < 20)
        elif isinstance(block, Steps | Points):
            yield from block.items
        elif isinstance(block, Paragraph):
            yield block.text


def safe_for_page(text):
    from toebox.report.text import safe

    return safe(text).replace("中", REPLACEMENT)


@pytest.mark.no_cover
@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_nothing_leaves_the_margins(rendered, name, paper):
    for page in opened(rendered[name, paper]).pages:
        left, right = 51.0 - 0.5, float(page.width) - 51.0 + 0.5
        for char in page.chars:
            assert left <= char["x0"] <= char["x1"] <= right, (page.page_number, char["text"])
            assert 40.0 <= char["top"] <= char["bottom"] <= float(page.height) - 28.0


@pytest.mark.no_cover
@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_no_two_characters_overlap(rendered, name, paper):
    for page in opened(rendered[name, paper]).pages:
        assert not overlapping(page.chars), page.page_number


def overlapping(chars):
    """Pairs of characters whose middle parts share room on the page."""
    boxes = sorted(map(inner, (c for c in chars if not c["text"].isspace())))
    pairs = []
    for number, box in enumerate(boxes):
        for other in boxes[number + 1 :]:
            if other[0] >= box[2]:
                break
            if other[1] < box[3] and box[1] < other[3]:
                pairs.append((box[4], other[4]))
    return pairs


def inner(char):
    """Left, top, right, bottom of a character, less the air that fonts leave about it."""
    height, width = char["bottom"] - char["top"], char["x1"] - char["x0"]
    return (
        char["x0"] + 0.1 * width,
        char["top"] + 0.2 * height,
        char["x1"] - 0.1 * width,
        char["bottom"] - 0.2 * height,
        char["text"],
    )


def test_the_overlap_check_can_fail():
    char = {"top": 10.0, "bottom": 20.0, "x0": 0.0, "x1": 6.0, "text": "a"}
    assert overlapping([char, char | {"x0": 3.0, "x1": 9.0, "text": "b"}]) == [("a", "b")]
    assert not overlapping([char, char | {"x0": 6.0, "x1": 12.0}])


@pytest.mark.no_cover
@pytest.mark.parametrize(("name", "paper"), EVERY)
def test_words_in_drawings_and_frames_stay_clear_of_each_other(rendered, name, paper):
    """Lines of text, as boxes of words set without a gap, do not share room."""
    for page in opened(rendered[name, paper]).pages:
        words = page.extract_words(keep_blank_chars=True, use_text_flow=True)
        assert not overlapping(words), page.page_number


@pytest.mark.no_cover
def test_nothing_is_smaller_than_nine_points(rendered):
    for pdf in rendered.values():
        assert min(c["size"] for page in opened(pdf).pages for c in page.chars) >= 8.999


@pytest.mark.parametrize("name", VIEWS)
def test_the_same_bytes_every_time(rendered, name):
    assert render_pdf(VIEWS[name]()) == rendered[name, "A4"]


def test_the_same_bytes_in_another_process(rendered):
    code = (
        "import hashlib; from tests.report.invented import hard\n"
        "from toebox.report.pdf import render_pdf\n"
        "print(hashlib.sha256(render_pdf(hard())).hexdigest())"
    )
    root = str(Path(__file__).parents[2])
    environment = os.environ | {"PYTHONHASHSEED": "7", "TZ": "Asia/Tokyo", "PYTHONPATH": root}
    other = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True
    )
    assert other.stdout.strip() == hashlib.sha256(rendered["hard", "A4"]).hexdigest()


def test_all_fonts_are_embedded_and_speak_unicode(rendered):
    for pdf in rendered.values():
        for page in pypdf.PdfReader(io.BytesIO(pdf)).pages:
            fonts = page["/Resources"]["/Font"].values()
            used = [font.get_object() for font in fonts]
            own = [font for font in used if "DejaVu" in font["/BaseFont"]]
            assert own
            for font in own:
                assert "/FontFile2" in font["/FontDescriptor"]
                assert "/ToUnicode" in font
    pages = opened(rendered["hard", "A4"]).pages
    names = {char["fontname"].partition("+")[2] for page in pages for char in page.chars}
    assert names == {"DejaVuSans", "DejaVuSans-Bold"}


def test_every_sign_of_the_trade_is_in_the_font():
    signs = "½⅓⅔¼¾⅛⅜⅝⅞⁄′″°±−–→←↑↓↻↺●▲◆◇■□○△⁰¹²³⁴⁻αβγδθσφψΔΣ×·≤≥≈√⌀☐…"
    printed = text_of(render_pdf(View("t", (), (Section("s", (Paragraph(signs),)),))))
    assert all(sign in printed for sign in signs)
    assert REPLACEMENT not in printed


def test_a_character_without_a_glyph_is_marked_and_told():
    printed = text_of(render_pdf(View("車 and 輪", (), ())))
    assert f"{REPLACEMENT} and {REPLACEMENT}" in printed
    assert "U+8ECA, U+8F2A" in printed


@pytest.mark.parametrize("nasty", [NASTY, "<img src='file:///etc/hostname'/>", "</para>", "<!--"])
def test_a_text_is_never_an_instruction(nasty, monkeypatch):
    from reportlab.lib import utils

    opened = []
    monkeypatch.setattr(utils, "ImageReader", lambda *given, **_: opened.append(given))
    table = Table((nasty, "n"), ((nasty * 4, nasty),), "lr", nasty)
    drawing = Figure("plan", plan(labels={"left_front": nasty, "thrust": nasty}), nasty)
    items = (Paragraph(nasty), Paragraph(nasty, "caution"), table, Steps((nasty,)), drawing)
    printed = text_of(render_pdf(View(nasty, (nasty,), (Section(nasty, items),), nasty)))
    assert squeezed(printed).count(squeezed(safe_for_page(nasty))) >= 10
    assert not opened
    assert "\x1b" not in printed


def test_the_file_describes_itself_without_asking_the_clock():
    day = datetime.date(2026, 4, 18)
    reader = pypdf.PdfReader(io.BytesIO(render_pdf(ordinary()._replace(date=day))))
    from toebox import __version__

    assert reader.metadata.title == ordinary().title
    assert reader.metadata.creator == f"toebox {__version__}"
    assert reader.metadata.subject == "Wheel alignment report"
    assert reader.metadata.creation_date.date() == day
    assert reader.root_object["/Lang"] == "en-GB"
    assert [item.title for item in reader.outline] == [s.heading for s in ordinary().sections]


def test_pages_are_numbered_and_signed(rendered):
    for pdf in rendered.values():
        pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
        for number, page in enumerate(pages, 1):
            assert f"page {number} of {len(pages)}" in page.extract_text()


@pytest.mark.parametrize("paper", PAPERS)
def test_page_one_holds_what_to_do_next_and_the_plan(rendered, paper):
    first = pypdf.PdfReader(io.BytesIO(rendered["ordinary", paper])).pages[0].extract_text()
    for words in ("What to do next", "Right tie rod", "What was found", "front of the car"):
        assert words in first


def test_a_full_page_one_sends_the_plan_after_the_summary():
    steps = Section("Do", (Figure("plan", plan(), "c"), Steps(("turn it",) * 30)), summary=True)
    found = Section("Found", (Paragraph("the last of the summary"),), summary=True)
    pages = pypdf.PdfReader(io.BytesIO(render_pdf(View("t", (), (steps, found))))).pages
    assert "the last of the summary" in pages[0].extract_text()
    assert "front of the car" not in pages[0].extract_text()
    assert "front of the car" in pages[1].extract_text()


@pytest.mark.parametrize("steps", range(12, 24))
def test_a_page_just_full_is_not_followed_by_an_empty_one(steps):
    table = Table(("a", "b"), (("1", "2"),) * steps, "lr")
    section = Section("Do", (Steps(("go",) * steps), table, Figure("plan", plan(), "c")), True)
    pages = pypdf.PdfReader(io.BytesIO(render_pdf(View("t", (), (section,))))).pages
    for page in pages:
        assert len(page.extract_text().splitlines()) > 2  # more than its footer


@pytest.mark.parametrize("steps", range(30, 46))
def test_what_introduces_a_table_stays_with_it(steps):
    table = Table(("Reading", "Size"), tuple((f"row {n}", "1") for n in range(40)), "lr")
    below = Section("Below", (Paragraph("Two lines that introduce it. " * 4), table))
    above = Section("Above", (Steps(("one",) * steps),))
    pages = pypdf.PdfReader(io.BytesIO(render_pdf(View("t", (), (above, below))))).pages
    (found,) = [text for page in pages if "Below" in (text := page.extract_text())]
    assert "row 0" in found


def test_a_table_repeats_its_heading_on_each_page(rendered):
    pages = pypdf.PdfReader(io.BytesIO(rendered["hard", "A4"])).pages
    texts = [page.extract_text() for page in pages]
    rows = [text for text in texts if re.search(r"reading \d", text.replace("\xa0", " "))]
    assert len(rows) > 1
    assert all("Reading" in text and "State" in text for text in rows)


def test_monstrous_texts_flow_over_pages():
    word, text = "w" * 2000, "many words " * 400
    table = Table(("a", "b"), ((word, text),), "ll", text)
    items = (Paragraph(text, "caution"), table, Points((word,)), Figure("plan", plan(), text))
    pdf = render_pdf(View(text[:3000], (), (Section(text[:500], items, summary=True),)))
    assert text_of(pdf).count("many") >= 1600


def test_an_unknown_paper_is_refused():
    with pytest.raises(ValueError, match="paper: wanted A4 or Letter, not 'A5'"):
        render_pdf(ordinary(), paper="A5")


def test_long_title_is_whole_on_page_one_and_short_in_the_footer(rendered):
    page = pypdf.PdfReader(io.BytesIO(rendered["hard", "A4"])).pages[0].extract_text()
    assert squeezed(LONG_TITLE) in squeezed(page)
    assert "…" in page
