"""`toebox report` over a bare document of the PDF library with the same pages of text."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path

from pypdf import PdfReader

from tests.benchmarks.ratios import ROOT, Ratio, compare, process
from tests.cli.running import run_process

# Every line of the report as a paragraph, page by page, in the same two fonts; nothing else.
BARE = """
import json, sys
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import PageBreak, Paragraph, SimpleDocTemplate
pdfmetrics.registerFont(TTFont("plain", sys.argv[2]))
pdfmetrics.registerFont(TTFont("bold", sys.argv[3]))
plain = ParagraphStyle("p", fontName="plain", fontSize=4, leading=4.6)
bold = ParagraphStyle("b", fontName="bold", fontSize=5, leading=6)
story = []
for page in json.load(open(sys.argv[1])):
    story += [Paragraph(line, bold if n == 0 else plain) for n, line in enumerate(page)]
    story.append(PageBreak())
SimpleDocTemplate("bare.pdf", topMargin=20, bottomMargin=20).build(story)
"""


def ratios(folder: Path, rounds: int) -> Iterator[Ratio]:
    """Yield the ratio for each sample."""
    fonts = ROOT / "toebox" / "report" / "fonts"
    both = [str(fonts / name) for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")]
    for name in ("tape-only", "string-box"):
        shutil.copy(ROOT / "samples" / f"{name}.toml", folder)
        assert run_process("report", f"{name}.toml", cwd=folder).returncode == 0
        pages = [
            [line.replace("&", "+").replace("<", "(") for line in page.extract_text().split("\n")]
            for page in PdfReader(folder / f"{name}.pdf").pages
        ]
        (folder / "lines.json").write_text(json.dumps(pages), "utf-8")
        bare = process(["-c", BARE, "lines.json", *both], folder)
        bare()
        count = len(PdfReader(folder / "bare.pdf").pages)
        assert count == len(pages), (count, len(pages))
        yield compare(
            f"`toebox report` of {name}, {count} pages",
            process(["-m", "toebox", "report", f"{name}.toml"], folder),
            f"a bare document of {count} pages, same text",
            bare,
            "1.5 at most",
            rounds,
        )
