"""The pages of a PDF with what stands on them, read once however often they are looked at."""

import io
from functools import lru_cache

import pdfplumber


@lru_cache(maxsize=12)
def opened(pdf: bytes) -> pdfplumber.PDF:
    """Return a PDF whose characters, words and rectangles can be asked for."""
    return pdfplumber.open(io.BytesIO(pdf))
