"""Sample, template and invented hard jobs on paper: terminal and page agree, nothing overlaps."""

import io
from collections import Counter
from functools import cache
from pathlib import Path

import pypdf
import pytest

from tests.report.hard_jobs import JOBS
from tests.report.pages import opened
from tests.report.test_pdf import NUMBER, overlapping, text_of
from toebox.correct import correct
from toebox.job import load
from toebox.job.reader import loads
from toebox.report.pdf import PAPERS, render_pdf
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.solve import solve

ROOT = Path(__file__).parents[2]
SAMPLES = sorted((ROOT / "samples").glob("*.toml"))
FILES = [*SAMPLES, *sorted((ROOT / "templates").glob("*.toml"))]
LOADED = {f"{path.parent.name}-{path.stem}": path for path in FILES} | JOBS
# Each job on one paper, in turns; each sample on both.
ON_PAPER = [(name, list(PAPERS)[place % 2]) for place, name in enumerate(LOADED)]
ON_PAPER += [(name, list(PAPERS)[1 - place % 2]) for place, name in enumerate(LOADED)
             if name.startswith("samples-")]  # fmt: skip


@cache
def solved(name):
    given = LOADED[name]
    return solve(load(given) if isinstance(given, Path) else loads(given, name))


def view_of(name):
    return make_view(solved(name), correct(solved(name)))


@pytest.fixture(scope="module")
def printed():
    """Each job on its paper, worked out and laid out once."""
    views = {name: view_of(name) for name in LOADED}
    return {
        (name, paper): (views[name], render_pdf(views[name], paper=paper))
        for name, paper in ON_PAPER
    }


def test_there_are_samples():
    assert len(SAMPLES) >= 5


@pytest.mark.parametrize(("name", "paper"), ON_PAPER)
def test_page_and_terminal_agree_and_page_one_says_what_to_do(printed, name, paper):
    view, pdf = printed[name, paper]
    said = Counter(NUMBER.findall(render_text(view, 5000)))
    shown = Counter(NUMBER.findall(text_of(pdf)))
    assert {number for number, times in said.items() if shown[number] < times} == set()
    assert "What to do next" in pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text()


@pytest.mark.no_cover
@pytest.mark.parametrize(("name", "paper"), ON_PAPER)
def test_nothing_overlaps_or_leaves_its_page(printed, name, paper):
    for page in opened(printed[name, paper][1]).pages:
        left, right = 51.0 - 0.5, float(page.width) - 51.0 + 0.5
        for char in page.chars:
            assert left <= char["x0"] <= char["x1"] <= right, (page.page_number, char["text"])
            assert 40.0 <= char["top"] <= char["bottom"] <= float(page.height) - 28.0
            assert char["size"] >= 8.999
        assert not overlapping(page.chars), page.page_number
        words = page.extract_words(keep_blank_chars=True, use_text_flow=True)
        assert not overlapping(words), page.page_number


@pytest.mark.parametrize(("name", "paper"), ON_PAPER)
def test_page_two_is_never_half_empty(printed, name, paper):
    pages = opened(printed[name, paper][1])
    if len(pages.pages) > 2:
        page = pages.pages[1]
        body = [c["bottom"] for c in page.chars if c["bottom"] < float(page.height) - 50.0]
        assert max(body) > 0.6 * float(page.height)


@pytest.mark.parametrize("name", LOADED)
def test_a_plan_is_drawn_where_the_toe_of_a_wheel_was_measured(name):
    blocks = [block for section in view_of(name).sections for block in section.blocks]
    plans = [block.data for block in blocks if getattr(block, "name", "") == "plan"]
    measured = any(key.startswith("toe.") for key in solved(name).passes[-1].results)
    assert len(plans) == measured
    for data in plans:
        assert all("±" in label for label in data.labels.values())
