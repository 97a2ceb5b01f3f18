"""NIST Statistical Reference Datasets, Norris: a straight line through 36 readings.

Certified values and data as published by NIST (linear least squares, lower level of difficulty).
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from tests.printed import printed
from toebox.estimate import fit

# y, x
DATA = """
0.1 0.2; 338.8 337.4; 118.1 118.2; 888.0 884.6; 9.2 10.1; 228.1 226.5; 668.5 666.3; 998.5 996.3;
449.1 448.6; 778.9 777.0; 559.2 558.2; 0.3 0.4; 0.1 0.6; 778.1 775.5; 668.8 666.9; 339.3 338.0;
448.9 447.5; 10.8 11.6; 557.7 556.0; 228.3 228.1; 998.0 995.8; 888.8 887.6; 119.6 120.2; 0.3 0.3;
0.6 0.3; 557.6 556.8; 339.3 339.1; 888.0 887.2; 998.5 999.0; 778.9 779.0; 10.2 11.1; 117.6 118.3;
228.9 229.2; 668.4 669.1; 449.2 448.9; 0.2 0.5
"""
CERTIFIED = {
    "B0": "-0.262323073774029",
    "B1": "1.00211681802045",
    "deviation of B0": "0.232818234301152",
    "deviation of B1": "0.000429796848199937",
    "residual standard deviation": "0.884796396144373",
    "residual sum of squares": "26.6173985294224",
}
LAST_PLACES = 1_000  # of 15 printed digits, arithmetic in 16 keeps some twelve


def certified(name: str) -> Any:
    return printed(CERTIFIED[name], name, times=LAST_PLACES)


def test_norris() -> None:
    y, x = np.array([pair.split() for pair in DATA.split(";")], dtype=float).T
    assert len(y) == 36
    design = np.column_stack([np.ones_like(x), x])
    first = fit(lambda b: (design @ b, design), y, np.ones_like(y), np.zeros(2))
    squares = float(first.residuals @ first.residuals)
    assert squares == certified("residual sum of squares")
    scatter = math.sqrt(squares / first.degrees_of_freedom)
    assert scatter == certified("residual standard deviation")
    estimate = fit(lambda b: (design @ b, design), y, np.full_like(y, scatter), np.zeros(2))
    for name, value, gradient in zip(("B0", "B1"), estimate.x, np.eye(2), strict=True):
        assert value == certified(name)
        assert estimate.standard_uncertainty(gradient) == certified(f"deviation of {name}")
