"""GNU Gama manual, sample levelling net: heights, their deviations, redundancy, residuals.

One point held at 1000 m, eight height differences of 5 mm standard deviation each.
"""

from __future__ import annotations

import numpy as np

from tests.printed import printed
from toebox.estimate import fit
from toebox.reliability import standardised_residuals

# From, to, height difference [m].
OBSERVED = (
    ("1a", "4", -1.225),
    ("4", "3", -0.848),
    ("3", "2", 1.342),
    ("2", "1a", 0.720),
    ("1a", "2", -0.724),
    ("2", "3", -1.335),
    ("3", "4", 0.842),
    ("4", "1a", 1.231),
)
POINTS = ("4", "3", "2")
FIXED = 1000.0
DEVIATION = 0.005
HEIGHTS = {"4": ("998.775125", "3.062"), "3": ("997.933250", "3.536"), "2": ("999.274875", "3.062")}


def test_levelling_net() -> None:
    design, known = np.zeros((8, 3)), np.zeros(8)
    for row, (start, end, _) in enumerate(OBSERVED):
        for point, sign in ((start, -1.0), (end, 1.0)):
            if point == "1a":
                known[row] += sign * FIXED
            else:
                design[row, POINTS.index(point)] = sign
    y = np.array([difference for *_, difference in OBSERVED])
    estimate = fit(lambda x: (design @ x + known, design), y, np.full(8, DEVIATION), np.zeros(3))
    for point, height, gradient in zip(POINTS, estimate.x, np.eye(3), strict=True):
        value, deviation = HEIGHTS[point]
        assert height == printed(value, f"height of {point} [m]")
        assert estimate.standard_uncertainty(gradient) * 1000 == printed(
            deviation, f"its deviation [mm], {point}"
        )
    for redundancy in estimate.redundancy:
        assert redundancy == printed("0.625", "redundancy of every reading")
    residuals = np.abs(standardised_residuals(estimate))
    assert int(np.argmax(residuals)) == 5
    assert residuals[5] == printed("1.676", "largest standardised residual, the sixth")
