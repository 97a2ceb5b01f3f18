"""A printed figure with the tolerance that its digits give: half a unit in the last place."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest


def printed(text: str) -> Any:
    """Return what a value must equal to agree with a printed figure such as ``"-0.1712"``."""
    figure = Decimal(text)
    exponent = figure.as_tuple().exponent
    assert isinstance(exponent, int)
    half = Decimal((0, (5,), exponent - 1))
    # A figure that itself lies half a unit off is rounded either way.
    return pytest.approx(float(figure), abs=float(half) * (1 + 1e-9))
