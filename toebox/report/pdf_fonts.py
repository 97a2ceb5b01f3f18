"""The two fonts of a page, and what may be printed with them."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from io import BytesIO
from pkgutil import get_data

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from toebox.report.pen import BOLD, PLAIN
from toebox.report.text import glued, safe

_FILES = {PLAIN: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}
REPLACEMENT = "\N{REPLACEMENT CHARACTER}"


def register() -> None:
    """Make the fonts known to the PDF library, once a process."""
    for name, file in _FILES.items():
        if name not in pdfmetrics.getRegisteredFontNames():
            data = get_data("toebox.report", f"fonts/{file}")  # also out of a zip file
            font = TTFont(name, BytesIO(data or b""))
            font.stringWidth = lru_cache(4096)(font.stringWidth)  # words come again and again
            pdfmetrics.registerFont(font)
    pdfmetrics.registerFontFamily(PLAIN, PLAIN, BOLD, PLAIN, BOLD)


def width_of(text: str, size: float, bold: bool = False) -> float:
    """Return how wide a text is when printed.

    Parameters
    ----------
    text : str
        Printable text.
    size : float
        Size of the letters [pt].
    bold : bool, optional
        Whether it is set in bold.

    Returns
    -------
    float
        Width [pt].
    """
    return float(pdfmetrics.stringWidth(text, BOLD if bold else PLAIN, size))


class Printable:
    """Makes texts printable and remembers which characters the fonts lack."""

    def __init__(self) -> None:
        self._known = pdfmetrics.getFont(PLAIN).face.charToGlyph
        self.missing: set[str] = set()

    def __call__(self, text: str) -> str:
        """Return a text as it can be printed: escapes for controls, a sign for unknowns."""
        text = unicodedata.normalize("NFC", safe(text))
        for char in set(text):
            if ord(char) not in self._known:
                self.missing.add(char)
                text = text.replace(char, REPLACEMENT)
        return glued(text)

    def note(self) -> str:
        """Return what to say of the characters replaced; empty where there were none."""
        if not self.missing:
            return ""
        return (
            f"Characters that the fonts of this page lack are printed as {REPLACEMENT}: "
            f"{_numbers(self.missing)}."
        )


def _numbers(chars: Iterable[str]) -> str:
    """Return the numbers of characters, as in U+4E2D."""
    return ", ".join(f"U+{ord(char):04X}" for char in sorted(chars))
