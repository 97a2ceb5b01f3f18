"""JCGM 100:2008 (GUM), 4.3.7 and annexes H.1 to H.3: least squares, contributions, correlations.

Figures as quoted, with these clauses, in the documentation of GTC, a metrology institute's library
(gauge block, resistance and reactance, thermometer).
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


def test_resistance_and_reactance() -> None:
    """Means of five sets; their correlations enter as whitened readings."""
    sets = np.array([VOLTS, AMPERES, RADIANS])
    means = sets.mean(axis=1)
    covariance = np.cov(sets) / sets.shape[1]
    white = np.linalg.inv(np.linalg.cholesky(covariance))
    estimate = fitted(white, white @ means, np.ones(3))
    volts, amperes, phase = estimate.x
    assert volts == printed("4.9990", "V [V]", "H.2")
    assert amperes == printed("0.0196610", "I [A]", "H.2")
    assert phase == printed("1.04446", "phase [rad]", "H.2")
    z = volts / amperes
    r, x = z * math.cos(phase), z * math.sin(phase)
    gradients = {
        "R": np.array([r / volts, -r / amperes, -x]),
        "X": np.array([x / volts, -x / amperes, r]),
        "Z": np.array([z / volts, -z / amperes, 0.0]),
    }
    assert r == printed("127.732", "R [ohm]", "H.2")
    assert x == printed("219.847", "X [ohm]", "H.2")
    assert z == printed("254.260", "Z [ohm]", "H.2")
    u_r, u_z = (estimate.standard_uncertainty(gradients[name]) for name in "RZ")
    r_x, r_z, x_z = (
        correlation(estimate, gradients[one], gradients[other]) for one, other in ("RX", "RZ", "XZ")
    )
    assert u_r == printed("0.071", "u of R [ohm]", "H.2")
    assert r_x == printed("-0.588", "r of R and X", "H.2")
    # Table H.4, from memory; the documentation prints -0.49 and +0.99, from rounded inputs.
    assert u_z == printed("0.236", "u of Z [ohm]", "H.4")
    assert r_z == printed("-0.485", "r of R and Z", "H.4")
    assert x_z == printed("0.993", "r of X and Z", "H.4")


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
