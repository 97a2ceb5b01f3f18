"""JCGM 100:2008 (GUM), 4.3.7 and annexes H.1 to H.3: least squares, contributions, correlations.

Figures as quoted, with these clauses, in the documentation of GTC, a metrology institute's library
(gauge block, resistance and reactance, thermometer). Table H.4: estimates and uncertainties as
quoted, "table H.4 on page 88", by the tests of suncal, a national laboratory's calculator;
correlations as quoted, for H.2, by the tests of jmud, a library of units. That the table belongs to
the second way, and what it holds for each of the five sets, is from memory.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.printed import printed
from tests.simulate import INCH
from toebox.estimate import Array, Estimate, fit
from toebox.job.model import Instrument
from toebox.solve.equations import RECTANGULAR, TOTAL_RUNOUT


def fitted(design: Array, y: Array, u: Array) -> Estimate:
    """Return the fit of a linear model."""
    return fit(lambda x: (design @ x, design), y, u, np.zeros(design.shape[1]))


# --- 4.3.7: from half-widths and resolutions to standard uncertainties ---


@pytest.mark.parametrize(
    ("resolution", "millimetres"), [(16, "0.4583"), (32, "0.2291"), (64, "0.1146")]
)
def test_resolution(resolution: int, millimetres: str) -> None:
    """d / sqrt(12) for 1/16, 1/32 and 1/64 in."""
    assert Instrument(INCH / resolution, 0.0).u * 1000 == printed(
        millimetres, f"u of a resolution of 1/{resolution} in [mm]", "4.3.7"
    )


def test_rectangle_and_sine() -> None:
    """H.1.3: half-widths 2e-6, 1e-6 and 0.05 as rectangles; an amplitude of 0.5 as a sine."""
    for half, u in ((2.0, "1.2"), (1.0, "0.58"), (0.05, "0.029")):
        assert half * RECTANGULAR == printed(u, f"u of a rectangle of half-width {half}", "4.3.7")
    from_peak_to_peak = 2 * 0.5
    assert from_peak_to_peak * TOTAL_RUNOUT == printed(
        "0.35", "u of a sine of amplitude 0.5", "H.1.3"
    )


# --- H.1: end-gauge calibration ---

# Estimate and standard uncertainty of each input; lengths in nm.
GAUGE = {
    "ls": (50_000_623.0, 25.0),
    "d0": (215.0, 5.8),
    "d1": (0.0, 3.9),
    "d2": (0.0, 6.7),
    "d_alpha": (0.0, 1e-6 * RECTANGULAR),
    "theta_bar": (-0.1, 0.2),
    "delta": (0.0, 2 * 0.5 * TOTAL_RUNOUT),
    "alpha_s": (11.5e-6, 2e-6 * RECTANGULAR),
    "d_theta": (0.0, 0.05 * RECTANGULAR),
}
CONTRIBUTIONS = {
    "ls": "25",
    "d_theta": "16.599",
    "d2": "6.7",
    "d0": "5.8",
    "d1": "3.9",
    "d_alpha": "2.88679",
    "alpha_s": "0",
    "theta_bar": "0",
    "delta": "0",
}


def gauge_length(x: Array) -> float:
    """Return l = ls + d - ls (d_alpha theta + alpha_s d_theta)."""
    ls, d0, d1, d2, d_alpha, theta_bar, delta, alpha_s, d_theta = x
    return ls + d0 + d1 + d2 - ls * (d_alpha * (theta_bar + delta) + alpha_s * d_theta)


def test_gauge_block() -> None:
    values, u = (np.array(column) for column in zip(*GAUGE.values(), strict=True))
    estimate = fitted(np.eye(len(u)), values, u)
    x = estimate.x
    gradient = np.array(
        [
            1.0 - x[4] * (x[5] + x[6]) - x[7] * x[8],
            1.0,
            1.0,
            1.0,
            -x[0] * (x[5] + x[6]),
            -x[0] * x[4],
            -x[0] * x[4],
            -x[0] * x[8],
            -x[0] * x[7],
        ]
    )
    assert gauge_length(x) == printed("50000838", "length of the gauge block [nm]", "H.1")
    assert estimate.standard_uncertainty(gradient) == printed("32", "its u [nm]", "H.1")
    parts = dict(zip(GAUGE, estimate.contributions(gradient), strict=True))
    for name, size in CONTRIBUTIONS.items():
        assert abs(parts[name]) == printed(size, f"contribution of {name} [nm]", "H.1"), name


# --- H.2: simultaneous resistance and reactance, correlated inputs ---

VOLTS = (5.007, 4.994, 5.005, 4.990, 4.999)
AMPERES = (19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3)
RADIANS = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)
SETS = np.array([VOLTS, AMPERES, RADIANS])
QUANTITIES = {"R": "127.732", "X": "219.847", "Z": "254.260"}
U_OF_MEANS = {"R": "0.071", "X": "0.295", "Z": "0.236"}
CORRELATIONS = {"RX": "-0.588", "RZ": "-0.485", "XZ": "0.993"}
# R, X and Z of each set.
OF_SETS = (
    ("127.67", "220.32", "254.64"),
    ("127.89", "219.79", "254.29"),
    ("127.51", "220.64", "254.84"),
    ("127.71", "218.97", "253.49"),
    ("127.88", "219.51", "254.04"),
)


def impedance(volts: Array, amperes: Array, phase: Array) -> Array:
    """Return resistance, reactance and impedance [ohm]."""
    z = volts / amperes
    return np.array([z * np.cos(phase), z * np.sin(phase), z])


def propagated(means: Array, covariance: Array) -> tuple[Estimate, dict[str, Array]]:
    """Return correlated means as whitened readings, and the gradients of R, X and Z."""
    white = np.linalg.inv(np.linalg.cholesky(covariance))
    estimate = fitted(white, white @ means, np.ones(3))
    volts, amperes, _ = estimate.x
    r, x, z = impedance(*estimate.x)
    return estimate, {
        "R": np.array([r / volts, -r / amperes, -x]),
        "X": np.array([x / volts, -x / amperes, r]),
        "Z": np.array([z / volts, -z / amperes, 0.0]),
    }


def test_resistance_and_reactance() -> None:
    """The first way: means of five sets and their correlations, propagated."""
    estimate, gradients = propagated(SETS.mean(axis=1), np.cov(SETS) / SETS.shape[1])
    volts, amperes, phase = estimate.x
    assert volts == printed("4.9990", "V [V]", "H.2")
    assert amperes == printed("0.0196610", "I [A]", "H.2")
    assert phase == printed("1.04446", "phase [rad]", "H.2")
    for (name, text), value in zip(QUANTITIES.items(), impedance(*estimate.x), strict=True):
        assert value == printed(text, f"{name} [ohm]", "H.2")
    u = {name: estimate.standard_uncertainty(g) for name, g in gradients.items()}
    assert u["R"] == printed("0.071", "u of R [ohm]", "H.2")
    # Both ways estimate it from five sets, that is to a third of itself (table E.1, from memory).
    note = "discrepancy: 0.295 is what table H.4 prints for the second way; this one gives 0.296"
    assert u["X"] != printed("0.295", "u of X [ohm]", "H.2", note=note)
    assert u["Z"] == printed("0.236", "u of Z [ohm]", "H.2")
    for (one, other), text in CORRELATIONS.items():
        found = correlation(estimate, gradients[one], gradients[other])
        assert found == printed(text, f"r of {one} and {other}", "H.2")


def test_resistance_and_reactance_from_rounded_inputs() -> None:
    """The first way from two digits of each uncertainty and correlation, as GTC prints it."""
    u = np.array([0.0032, 0.0095e-3, 0.00075])
    r = np.array([[1.0, -0.36, 0.86], [-0.36, 1.0, -0.65], [0.86, -0.65, 1.0]])
    means = np.array([4.9990, 19.6610e-3, 1.04446])
    estimate, gradients = propagated(means, np.outer(u, u) * r)
    for name, text in {"R": "0.070", "X": "0.30", "Z": "0.24"}.items():
        found = estimate.standard_uncertainty(gradients[name])
        assert found == printed(text, f"u of {name}, inputs rounded [ohm]", "H.2")
    for (one, other), text in {"RX": "-0.59", "RZ": "-0.49", "XZ": "0.99"}.items():
        found = correlation(estimate, gradients[one], gradients[other])
        assert found == printed(text, f"r of {one} and {other}, inputs rounded", "H.2")


def test_resistance_and_reactance_set_by_set() -> None:
    """The second way, table H.4: R, X and Z of each set, then their means, as a fit to all 15."""
    of_sets = impedance(*SETS)
    for number, row in enumerate(OF_SETS):
        for name, value, text in zip("RXZ", of_sets[:, number], row, strict=True):
            assert value == printed(text, f"{name} of set {number + 1} [ohm]", "H.4")
    # In pairs, since Z nearly follows from R and X: all three would be whitened by next to nothing.
    for pair, text in CORRELATIONS.items():
        rows = of_sets[["RXZ".index(name) for name in pair]]
        white = np.linalg.inv(np.linalg.cholesky(np.cov(rows)))
        design = np.kron(np.ones((rows.shape[1], 1)), white)
        estimate = fitted(design, (white @ rows).T.ravel(), np.ones(rows.size))
        unit = np.eye(2)
        for name, value, gradient in zip(pair, estimate.x, unit, strict=True):
            assert value == printed(QUANTITIES[name], f"{name} [ohm]", "H.4")
            u = estimate.standard_uncertainty(gradient)
            assert u == printed(U_OF_MEANS[name], f"u of {name} [ohm]", "H.4")
        found = correlation(estimate, *unit)
        assert found == printed(text, f"r of {pair[0]} and {pair[1]}", "H.4")


def correlation(estimate: Estimate, first: Array, second: Array) -> float:
    """Return the correlation of two quantities."""
    covariance = float(first @ estimate.covariance @ second)
    u = estimate.standard_uncertainty(first) * estimate.standard_uncertainty(second)
    return covariance / u


# --- H.3: calibration of a thermometer ---

READINGS = np.array(
    [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
)
CORRECTIONS = -np.array([171, 169, 166, 159, 164, 165, 156, 157, 159, 161, 160]) / 1000.0


def test_thermometer() -> None:
    design = np.column_stack([np.ones(11), READINGS - 20.0])
    first = fitted(design, CORRECTIONS, np.ones(11))
    squares = float(first.residuals @ first.residuals)
    assert squares == printed("0.000110096583109", "sum of squares", "H.3")
    assert first.degrees_of_freedom == 9
    scatter = math.sqrt(squares / first.degrees_of_freedom)
    estimate = fitted(design, CORRECTIONS, np.full(11, scatter))
    intercept, slope = np.array([1.0, 0.0]), np.array([0.0, 1.0])
    assert estimate.x[0] == printed("-0.17120379", "y1 [°C]", "H.3")
    assert estimate.x[1] == printed("0.0021826977", "y2", "H.3")
    assert estimate.standard_uncertainty(intercept) == printed("0.0028776", "u of y1 [°C]", "H.3")
    assert estimate.standard_uncertainty(slope) == printed("0.00066793877", "u of y2", "H.3")
    assert correlation(estimate, intercept, slope) == printed("-0.930", "r of y1 and y2", "H.3")
    at_30 = np.array([1.0, 10.0])
    assert at_30 @ estimate.x == printed("-0.1494", "b at 30 °C [°C]", "H.3")
    assert estimate.standard_uncertainty(at_30) == printed("0.0041", "its u [°C]", "H.3")
