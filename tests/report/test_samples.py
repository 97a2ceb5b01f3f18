"""The sample jobs, printed: terminal and page agree, nothing overlaps."""

import io
from collections import Counter
from pathlib import Path

import pdfplumber
import pypdf
import pytest

from tests.report.test_pdf import NUMBER, overlapping, text_of
from toebox.correct import correct
from toebox.job import load
from toebox.report.pdf import PAPERS, render_pdf
from toebox.report.text import render_text
from toebox.report.view import make_view
from toebox.solve import solve

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.toml"))


def test_there_are_samples():
    assert len(SAMPLES) >= 5


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_a_sample_on_paper(sample, paper):
    solution = solve(load(str(sample)))
    view = make_view(solution, correct(solution))
    pdf = render_pdf(view, paper=paper)
    said = Counter(NUMBER.findall(render_text(view, 5000)))
    printed = Counter(NUMBER.findall(text_of(pdf)))
    assert {number for number, times in said.items() if printed[number] < times} == set()
    assert "What to do next" in pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text()
    with pdfplumber.open(io.BytesIO(pdf)) as pages:
        for page in pages.pages:
            assert not overlapping(page.chars)
