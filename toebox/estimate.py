"""Weighted least squares: estimate, rank, covariance, redundancy and residuals.

The estimator knows nothing of cars. It takes readings with their standard uncertainties and
a model that says what each reading should be for given unknowns, and returns the unknowns,
what can and cannot be determined, how each reading contributes, and which readings do not fit.

Sources: JCGM 100:2008 (GUM) 5.1.2 and annex H.3; W. Baarda's reliability theory for redundancy
number, standardised residual and minimal detectable bias (as in geodetic handbooks).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Model = Callable[[Array], tuple[Array, Array]]

RANK_TOLERANCE = 1e-9
# A fit has settled where no step exceeds this share of its unknown's uncertainty, or rounding.
SETTLED, ROUNDING = 1e-6, 1e-9
# A gradient lies in the row space where it leaves it by no more than this share.
DETERMINED_TOLERANCE = 1e-6
# Two-sided test of one reading at 0.1 %.
DOUBTFUL_ABOVE = 3.29
# Where many readings are checked: the share of faultless sets in which any is doubted, at most.
FALSE_ALARMS = 0.01
# Share of faultless sets that scatter more than is allowed.
SCATTER_ALARMS = 0.001
# The smallest slip that is noticed 95 times in 100 lies 1.645 beyond the threshold.
POWER = 1.645
# Chi-square of one degree of freedom, 95 %: explanations nearer than this cannot be told apart.
TOLD_APART = 3.84
LEAST_REDUNDANCY = 1e-6


@dataclass(frozen=True)
class Estimate:
    """The result of a fit; arrays of m readings and n unknowns.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Estimated unknowns, each in its own unit [-].
    residuals : ndarray, shape (m,)
        Reading minus fitted value, in the unit of each reading [-].
    u : ndarray, shape (m,)
        Standard uncertainty of each reading, in its unit [-].
    gain : ndarray, shape (n, m)
        Change of each unknown for one standard uncertainty of each reading [-].
    rows : ndarray, shape (r, n)
        Orthonormal basis of what the readings determine, in scaled unknowns [-].
    scale : ndarray, shape (n,)
        Column scale of the unknowns [-].
    hat : ndarray, shape (m, m)
        Projection of weighted readings on the weighted model [-].
    iterations : int
        Steps that were needed [-].
    """

    x: Array
    residuals: Array
    u: Array
    gain: Array
    rows: Array
    scale: Array
    hat: Array
    iterations: int

    @property
    def covariance(self) -> Array:
        """Covariance of the unknowns (zero along what is not determined), shape (n, n)."""
        return self.gain @ self.gain.T

    @property
    def weighted_residuals(self) -> Array:
        """Residuals over their readings' standard uncertainties [-], shape (m,)."""
        return self.residuals / self.u

    @cached_property
    def redundancy(self) -> Array:
        """Redundancy number of each reading, 0 (unchecked) to 1 [-], shape (m,)."""
        return np.clip(1.0 - np.diag(self.hat), 0.0, 1.0)

    @property
    def degrees_of_freedom(self) -> int:
        """Readings minus determined unknowns [-]."""
        return len(self.u) - len(self.rows)

    @property
    def scatter(self) -> float:
        """Scatter of the residuals over what the stated uncertainties let expect, 1 on average [-].

        The root of the weighted sum of squares over its degrees of freedom (Birge ratio); 1 where
        there is no redundancy.
        """
        freedom = self.degrees_of_freedom
        squares = float(np.sum(self.weighted_residuals**2))
        return math.sqrt(squares / freedom) if freedom else 1.0

    def determined(self, gradient: Array) -> bool:
        """Return whether a quantity with this gradient follows from the readings.

        Parameters
        ----------
        gradient : ndarray, shape (n,)
            Derivative of the quantity by the unknowns [-].

        Returns
        -------
        bool
            True where the gradient lies in the row space of the model.

        Notes
        -----
        Whether a quantity follows from the readings does not depend on how good the
        instruments are, and no effect of second order (a cosine) makes up for a missing reading.
        """
        scaled = gradient / self.scale
        outside = scaled - self.rows.T @ (self.rows @ scaled)
        return bool(np.linalg.norm(outside) <= DETERMINED_TOLERANCE * np.linalg.norm(scaled))

    def contributions(self, gradient: Array) -> Array:
        """Return what each reading contributes to the uncertainty of a quantity.

        Parameters
        ----------
        gradient : ndarray, shape (n,)
            Derivative of the quantity by the unknowns [-].

        Returns
        -------
        ndarray, shape (m,)
            Sensitivity times standard uncertainty, with sign; the root of the sum of squares
            is the standard uncertainty of the quantity [unit of the quantity].
        """
        return np.asarray(gradient @ self.gain)

    def standard_uncertainty(self, gradient: Array) -> float:
        """Return the standard uncertainty of a quantity (GUM 5.1.2, correlations included).

        Parameters
        ----------
        gradient : ndarray, shape (n,)
            Derivative of the quantity by the unknowns [-].

        Returns
        -------
        float
            Standard uncertainty, k = 1 [unit of the quantity].
        """
        return float(np.linalg.norm(self.contributions(gradient)))


def fit(model: Model, y: Array, u: Array, start: Array, max_iterations: int = 30) -> Estimate:
    """Fit unknowns to readings by weighted Gauss-Newton least squares of minimum norm.

    Parameters
    ----------
    model : callable
        Takes the unknowns, shape (n,), and returns the readings that they imply, shape (m,),
        and the derivative of each by each unknown, shape (m, n).
    y : ndarray, shape (m,)
        Readings, each in its own unit [-].
    u : ndarray, shape (m,)
        Their standard uncertainties, above zero [-].
    start : ndarray, shape (n,)
        First guess of the unknowns [-].
    max_iterations : int, optional
        Steps after which the fit is given up.

    Returns
    -------
    Estimate
        The estimate at the last step.

    Raises
    ------
    ValueError
        If the steps do not settle: the readings are far outside what the model describes.

    Notes
    -----
    Unknowns that the readings cannot determine keep their first guess; ask
    `Estimate.determined` before using any quantity. What can be determined is decided once, at
    the first guess and from the equations alone: elsewhere effects of second order would seem to
    determine what the readings do not, with absurd values.
    """
    x = start
    for iteration in range(1, max_iterations + 1):
        fitted, jacobian = model(x)
        weighted, misfit = jacobian / u[:, None], (y - fitted) / u
        if not (np.isfinite(weighted).all() and np.isfinite(misfit).all()):
            break
        if iteration == 1:
            rows, scale = _row_space(jacobian)
            basis = rows.T / scale[:, None]
        try:
            inverse, hat = _inverse(weighted @ basis)
        except np.linalg.LinAlgError:
            break
        gain = basis @ inverse
        step = gain @ misfit
        x = x + step
        u_x = np.sqrt(np.einsum("ij,ij->i", gain, gain))
        if (np.abs(step) <= SETTLED * u_x + ROUNDING * (1.0 + np.abs(x))).all():
            residuals = (misfit - hat @ misfit) * u
            return Estimate(x, residuals, u, gain, rows, scale, hat, iteration)
    raise ValueError(f"no solution within {max_iterations} steps")


def _norms(table: Array) -> Array:
    """Return the norm of each column; 1 where a column is empty."""
    norms: Array = np.sqrt(np.einsum("ij,ij->j", table, table))
    norms[norms == 0.0] = 1.0
    return norms


def _row_space(jacobian: Array) -> tuple[Array, Array]:
    """Return a basis of what the readings determine, whatever their uncertainties; its scale."""
    balanced = jacobian / _norms(jacobian.T)[:, None]
    scale = _norms(balanced)
    _, singular, rows = np.linalg.svd(balanced / scale, full_matrices=False)
    rank = int(np.sum(singular > RANK_TOLERANCE * singular[0])) if singular.size else 0
    return rows[:rank], scale


def _inverse(design: Array) -> tuple[Array, Array]:
    """Return the pseudo-inverse of a design of full rank and the projection on its columns."""
    norms = _norms(design)
    orthogonal, triangle = np.linalg.qr(design / norms)
    inverse = np.linalg.inv(triangle) @ orthogonal.T / norms[:, None]
    return inverse, orthogonal @ orthogonal.T


@dataclass(frozen=True, slots=True)
class Doubt:
    """One reading that does not fit, and those that cannot be told apart from it.

    Parameters
    ----------
    readings : tuple of int
        Indices of the readings; the first has the largest standardised residual.
    standardised : tuple of float
        Standardised residual of each of them [-].
    sizes : tuple of float
        The slip in each alone that would explain the misfit, in the unit of that reading,
        positive where it reads too large [-].
    """

    readings: tuple[int, ...]
    standardised: tuple[float, ...]
    sizes: tuple[float, ...]


def standardised_residuals(estimate: Estimate) -> Array:
    """Return the standardised residual of each reading; 0 where it has no redundancy.

    Parameters
    ----------
    estimate : Estimate
        A finished fit.

    Returns
    -------
    ndarray, shape (m,)
        Residual over its own standard deviation [-].
    """
    return _standardise(estimate.weighted_residuals, estimate.redundancy)


def _standardise(residuals: Array, redundancy: Array) -> Array:
    checked = redundancy > LEAST_REDUNDANCY
    root = np.sqrt(np.where(checked, redundancy, 1.0))
    return np.where(checked, residuals / root, 0.0)


def doubtful_above(estimate: Estimate) -> float:
    """Return the standardised residual above which a reading is doubted.

    Parameters
    ----------
    estimate : Estimate
        A finished fit.

    Returns
    -------
    float
        3.29 (0.1 % for one reading); more where more than ten readings are checked, so that at
        most 1 % of faultless sets raise a doubt [-].

    Notes
    -----
    Z. Sidak's inequality (Journal of the American Statistical Association 62, 1967): of n normal
    residuals, correlated as they may be, all stay within z with a probability of at least the
    n-th power of that for one. From memory.
    """
    checked = int(np.sum(estimate.redundancy > LEAST_REDUNDANCY))
    alone = 1.0 - (1.0 - FALSE_ALARMS) ** (1.0 / max(checked, 1))
    return max(DOUBTFUL_ABOVE, NormalDist().inv_cdf(1.0 - alone / 2.0))


def scatter_limit(freedom: int) -> float:
    """Return the scatter that faultless readings hardly ever exceed.

    Parameters
    ----------
    freedom : int
        Degrees of freedom, 1 or more.

    Returns
    -------
    float
        Exceeded by 0.1 % of faultless sets [-].

    Notes
    -----
    Chi-square over its degrees of freedom by E. B. Wilson and M. M. Hilferty's cube root
    (Proceedings of the National Academy of Sciences 17, 1931, from memory): within 1 % from three
    degrees on, within 5 % below that.
    """
    spread = 2.0 / (9.0 * freedom)
    reach = NormalDist().inv_cdf(1.0 - SCATTER_ALARMS)
    return float((1.0 - spread + reach * math.sqrt(spread)) ** 1.5)


def smallest_detectable(estimate: Estimate) -> Array:
    """Return the smallest slip in each reading that would be noticed.

    Parameters
    ----------
    estimate : Estimate
        A finished fit.

    Returns
    -------
    ndarray, shape (m,)
        Minimal detectable bias: noticed 95 times in 100 by a test at `doubtful_above`, in the
        unit of each reading; infinite where nothing checks the reading [-].
    """
    redundancy = estimate.redundancy
    checked = redundancy > LEAST_REDUNDANCY
    root = np.sqrt(np.where(checked, redundancy, 1.0))
    noncentrality = doubtful_above(estimate) + POWER
    return np.where(checked, noncentrality * estimate.u / root, np.inf)


def detectable_when_repeated(estimate: Estimate) -> Array:
    """Return the smallest slip in each reading that would be noticed, were it taken once more.

    Parameters
    ----------
    estimate : Estimate
        A finished fit.

    Returns
    -------
    ndarray, shape (m,)
        As `smallest_detectable` gives it with the same reading repeated by the same means, in the
        unit of each reading [-].

    Notes
    -----
    A repeat lowers the leverage ``h = 1 - r`` of a reading to ``h / (1 + h)``.
    """
    noncentrality = doubtful_above(estimate) + POWER
    return np.asarray(noncentrality * estimate.u * np.sqrt(2.0 - estimate.redundancy))


def doubtful(
    estimate: Estimate, above: float | None = None, alike: float = 0.99
) -> tuple[Doubt, ...]:
    """Name the readings that do not fit, the worst first, one slip at a time.

    Parameters
    ----------
    estimate : Estimate
        A finished fit.
    above : float or None, optional
        Standardised residual above which a reading is doubtful; None: `doubtful_above` [-].
    alike : float, optional
        Correlation of residuals beyond which readings cannot be told apart [-].

    Returns
    -------
    tuple of Doubt
        After each, the reading is left out and the rest is judged anew.

    Notes
    -----
    Named with the worst reading are those whose residuals correlate with its own beyond `alike`,
    and those that, left out in its place, would mend the fit as well: sums of squares nearer than
    3.84 (chi-square, 95 %), with nothing doubtful left at the worst.
    """
    if above is None:
        above = doubtful_above(estimate)
    freedom = np.eye(len(estimate.u)) - estimate.hat
    residuals = freedom @ estimate.weighted_residuals
    found: list[Doubt] = []
    for _ in range(estimate.degrees_of_freedom):
        redundancy = np.clip(np.diag(freedom), 0.0, 1.0)
        standard = _standardise(residuals, redundancy)
        worst = int(np.argmax(np.abs(standard)))
        if abs(standard[worst]) <= above:
            break
        group = (worst, *_twins(freedom, standard, worst, above, alike))
        sizes = tuple(float(residuals[i] / redundancy[i] * estimate.u[i]) for i in group)
        found.append(Doubt(group, tuple(float(standard[i]) for i in group), sizes))
        residuals = residuals - freedom[:, worst] * residuals[worst] / redundancy[worst]
        freedom = freedom - np.outer(freedom[:, worst], freedom[worst]) / redundancy[worst]
    return tuple(found)


def _twins(
    freedom: Array, standard: Array, worst: int, above: float, alike: float
) -> tuple[int, ...]:
    """Return the readings that explain a misfit as well as the worst one does, likeliest first."""
    redundancy = np.diag(freedom)
    checked = redundancy > LEAST_REDUNDANCY
    checked[worst] = False
    root = np.sqrt(np.where(redundancy > LEAST_REDUNDANCY, redundancy, 1.0))
    correlation = np.where(checked, freedom[worst] / (root * root[worst]), 0.0)
    behind = standard[worst] ** 2 - standard**2
    rest = np.maximum(1.0 - correlation**2, LEAST_REDUNDANCY)
    remains = (standard[worst] - correlation * standard) ** 2 / rest
    as_good = (behind <= TOLD_APART) & (remains <= above**2)
    twins = checked & ((np.abs(correlation) > alike) | as_good)
    order = np.argsort(behind, kind="stable")
    return tuple(int(i) for i in order if twins[i])
