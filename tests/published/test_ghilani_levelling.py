"""Ghilani, Adjustment Computations, ch. 12: a weighted levelling net, and a slip planted in it.

The net and its heights are quoted from memory and confirmed by arithmetic. The slips are planted
here: each observation in turn is misread, and must be the one that is named.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.printed import printed
from toebox.estimate import Estimate, fit
from toebox.reliability import doubtful, smallest_detectable

KNOWN = {"X": 100.0, "Y": 107.50}
# From, to, height difference, length: the weight of a line is 12 over its length.
LINES = (
    ("X", "A", 5.10, 4),
    ("A", "Y", 2.34, 3),
    ("Y", "C", -1.25, 2),
    ("C", "X", -6.13, 3),
    ("A", "B", -0.68, 2),
    ("Y", "B", -3.00, 2),
    ("B", "C", 1.70, 2),
)
POINTS = ("A", "B", "C")
HEIGHTS = {"A": "105.1504", "B": "104.4892", "C": "106.1972"}


def adjusted(unit: float, slips: np.ndarray) -> Estimate:
    """Return the adjusted net; `unit` is the deviation of a line of length 12."""
    design, known = np.zeros((7, 3)), np.zeros(7)
    for row, (start, end, *_) in enumerate(LINES):
        for point, sign in ((start, -1.0), (end, 1.0)):
            if point in KNOWN:
                known[row] += sign * KNOWN[point]
            else:
                design[row, POINTS.index(point)] = sign
    y = np.array([line[2] for line in LINES]) + slips
    u = unit * np.sqrt([line[3] / 12.0 for line in LINES])
    return fit(lambda x: (design @ x + known, design), y, u, np.zeros(3))


def scatter() -> float:
    """Return the standard deviation of unit weight that the net itself shows."""
    first = adjusted(1.0, np.zeros(7))
    weighted = first.weighted_residuals
    return math.sqrt(float(weighted @ weighted) / first.degrees_of_freedom)


def test_heights() -> None:
    estimate = adjusted(1.0, np.zeros(7))
    assert estimate.degrees_of_freedom == 4
    for point, height in zip(POINTS, estimate.x, strict=True):
        assert height == printed(HEIGHTS[point], f"height of {point}", "ch. 12")


def test_the_net_itself_raises_no_doubt() -> None:
    assert doubtful(adjusted(scatter(), np.zeros(7))) == ()


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("line", range(7))
def test_a_planted_slip_is_named(line: int, sign: float) -> None:
    unit = scatter()
    size = 3.0 * float(smallest_detectable(adjusted(unit, np.zeros(7)))[line])
    slips = np.zeros(7)
    slips[line] = sign * size
    first = doubtful(adjusted(unit, slips))[0]
    assert first.readings[0] == line
    assert first.sizes[0] == pytest.approx(sign * size, rel=0.35)
