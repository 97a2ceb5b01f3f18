"""Weighted least squares: estimate, rank, covariance, redundancy and residuals.

The estimator knows nothing of cars. It takes readings with their standard uncertainties and
a model that says what each reading should be for given unknowns, and returns the unknowns,
what can and cannot be determined, and how each reading contributes. Which readings do not fit is
asked of `toebox.reliability`.

Sources: JCGM 100:2008 (GUM) 5.1.2 and annex H.3.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Model = Callable[[Array], tuple[Array, Array]]

RANK_TOLERANCE = 1e-9
# A fit has settled where no step exceeds this share of its unknown's uncertainty, or rounding.
SETTLED, ROUNDING = 1e-6, 1e-9
# Over so small a step [rad], [m] the derivatives stay as they are to about 1e-5 of themselves.
STRAIGHT = 1e-5
# A gradient lies in the row space where it leaves it by no more than this share.
DETERMINED_TOLERANCE = 1e-6
# Unit columns whose normal equations have no larger number in their inverse are far from dependent:
# these equations lose at most four digits of sixteen then, and readings of a usual pass none.
INDEPENDENT = 1e3


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
        return np.minimum(np.maximum(1.0 - self.hat.diagonal(), 0.0), 1.0)

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
        return _lies_in(self.rows, self.scale, gradient)

    def contributions(self, gradient: Array) -> Array:
        """Return what each reading contributes to the uncertainty of a quantity.

        Parameters
        ----------
        gradient : ndarray, shape (n,) or (k, n)
            Derivative of the quantity, or of several, by the unknowns [-].

        Returns
        -------
        ndarray, shape (m,) or (k, m)
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
        parts = self.contributions(gradient)
        return math.sqrt(parts @ parts)


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

    Derivatives are kept for the next step where the last one was too small to change them.
    """
    x, keep = start, False
    for iteration in range(1, max_iterations + 1):
        fitted, jacobian = model(x)
        misfit = (y - fitted) / u
        if not (np.isfinite(jacobian).all() and np.isfinite(misfit).all()):
            break
        if iteration == 1:
            rows, scale = _row_space(jacobian)
            basis = rows.T / scale[:, None]
        if not keep:
            try:
                design = jacobian / u[:, None] @ basis
                inverse = _inverse(design)
            except np.linalg.LinAlgError:
                break
            gain = basis @ inverse
            settled = SETTLED * np.sqrt(np.einsum("ij,ij->i", gain, gain))
        step = gain @ misfit
        x = x + step
        size, unit = np.abs(step), 1.0 + np.abs(x)
        if (size <= settled + ROUNDING * unit).all():
            hat = design @ inverse
            residuals = (misfit - hat @ misfit) * u
            return Estimate(x, residuals, u, gain, rows, scale, hat, iteration)
        keep = bool((size <= STRAIGHT * unit).all())
    raise ValueError(f"no solution within {max_iterations} steps")


def determines(jacobian: Array, gradient: Array) -> bool:
    """Return whether readings with these derivatives determine a quantity.

    Parameters
    ----------
    jacobian : ndarray, shape (m, n)
        Derivative of each reading by each unknown [-].
    gradient : ndarray, shape (n,)
        Derivative of the quantity by the unknowns [-].

    Returns
    -------
    bool
        True where the gradient lies in the row space.
    """
    return _lies_in(*_row_space(jacobian), gradient)


def _lies_in(rows: Array, scale: Array, gradient: Array) -> bool:
    """Return whether a gradient lies in the space of orthonormal rows of scaled unknowns."""
    if len(rows) == len(scale):
        return True
    scaled = gradient / scale
    outside = scaled - rows.T @ (rows @ scaled)
    return bool(np.linalg.norm(outside) <= DETERMINED_TOLERANCE * np.linalg.norm(scaled))


def _norms(table: Array) -> Array:
    """Return the norm of each column; 1 where a column is empty."""
    norms: Array = np.sqrt(np.einsum("ij,ij->j", table, table))
    norms[norms == 0.0] = 1.0
    return norms


def _row_space(jacobian: Array) -> tuple[Array, Array]:
    """Return a basis of what the readings determine, whatever their uncertainties; its scale."""
    balanced = jacobian / _norms(jacobian.T)[:, None]
    scale = _norms(balanced)
    unit = balanced / scale
    if _normal_inverse(unit) is not None:
        return np.eye(len(scale)), scale
    _, singular, rows = np.linalg.svd(unit, full_matrices=False)
    rank = int(np.sum(singular > RANK_TOLERANCE * singular[0])) if singular.size else 0
    return rows[:rank], scale


def _inverse(design: Array) -> Array:
    """Return the pseudo-inverse of a design of full rank."""
    norms = _norms(design)
    unit = design / norms
    normal = _normal_inverse(unit)
    if normal is not None:
        return normal @ unit.T / norms[:, None]
    orthogonal, triangle = np.linalg.qr(unit)
    return np.asarray(np.linalg.inv(triangle) @ orthogonal.T / norms[:, None], np.float64)


def _normal_inverse(unit: Array) -> Array | None:
    """Return the inverse of the normal equations of unit columns, None where they may be poor."""
    try:
        inverse = np.asarray(np.linalg.inv(unit.T @ unit), np.float64)
    except np.linalg.LinAlgError:
        return None
    return inverse if np.abs(inverse).max(initial=0.0) < INDEPENDENT else None
