"""Least squares with bounds, for a handful of variables, and rounding to what can be set."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from toebox.estimate import Array

Flags = NDArray[np.bool_]
_MOST_COMBINATIONS = 4096


def bounded_least_squares(
    a: Array, b: Array, low: Array, high: Array, spare: Array | None = None
) -> Array:
    """Minimise ``|a x - b|`` with each ``x`` between its bounds.

    Parameters
    ----------
    a : ndarray, shape (m, n)
        Of full column rank [-].
    b : ndarray, shape (m,)
        Wanted values [-].
    low, high : ndarray, shape (n,)
        Bounds, 0 between or at them; may be infinite [-].
    spare : ndarray, shape (m,), optional
        How far each value may lie beyond the wanted one, with its sign, at no cost [-].

    Returns
    -------
    ndarray, shape (n,)
        The minimum; variables at a bound are exactly there [-].

    Raises
    ------
    ValueError
        If it does not settle, as with columns that depend on each other.

    Notes
    -----
    Active set: variables at a bound are freed one at a time where that lessens the sum of
    squares, and a step that would leave the bounds ends at the first one met (P. B. Stark and
    R. L. Parker, Bounded-variable least squares, 1995; from memory). Each round lessens the sum,
    so it ends.
    """
    if spare is not None:  # one more variable for each, which takes up what costs nothing
        rows, count = np.flatnonzero(spare), a.shape[1]
        wide = np.hstack([a, -np.eye(len(a))[:, rows]])
        least, most = np.minimum(spare[rows], 0.0), np.maximum(spare[rows], 0.0)
        bounds = np.append(low, least), np.append(high, most)
        return bounded_least_squares(wide, b, *bounds)[:count]
    x = np.zeros(a.shape[1])
    free = (low < x) & (x < high)
    for _ in range(50 * len(x) + 50):
        x, free = _to_minimum(a, b, low, high, x, free)
        down = a.T @ (b - a @ x)
        tolerance = 1e-10 * np.linalg.norm(a, axis=0) * (np.linalg.norm(b) + 1e-300)
        helps = ((x <= low) & (down > tolerance)) | ((x >= high) & (down < -tolerance))
        helps &= ~free & (low < high)
        if not helps.any():
            return x
        free[int(np.argmax(np.where(helps, np.abs(down), 0.0)))] = True
    raise ValueError("the bounded least squares do not settle")


def _to_minimum(
    a: Array, b: Array, low: Array, high: Array, x: Array, free: Flags
) -> tuple[Array, Flags]:
    """Step to the minimum over the free variables, fixing those that meet a bound."""
    x, free = x.copy(), free.copy()
    while free.any():
        aim = x.copy()
        aim[free] = np.linalg.lstsq(a[:, free], b - a[:, ~free] @ x[~free], rcond=None)[0]
        beyond = free & ((aim < low) | (aim > high))
        if not beyond.any():
            return aim, free
        bound = np.where(aim < low, low, high)
        steps = np.full(len(x), np.inf)
        steps[beyond] = (bound[beyond] - x[beyond]) / (aim[beyond] - x[beyond])
        step = max(float(steps.min()), 0.0)
        x[free] += step * (aim[free] - x[free])
        met = beyond & (steps <= step * (1.0 + 1e-12))
        x[met] = bound[met]
        free &= ~met
    return x, free


def missed(values: Array, b: Array, spare: Array) -> Array:
    """Return by how much values miss the wanted ones.

    Parameters
    ----------
    values : ndarray, shape (..., m)
        Values [-].
    b : ndarray, shape (m,)
        Wanted values [-].
    spare : ndarray, shape (m,)
        How far each may lie beyond, with its sign, at no cost [-].

    Returns
    -------
    ndarray, shape (..., m)
        Value less the nearest one that costs nothing [-].
    """
    off = values - b
    return np.asarray(off - np.clip(off, np.minimum(spare, 0.0), np.maximum(spare, 0.0)))


def round_together(
    a: Array,
    b: Array,
    exact: Sequence[float],
    grids: Sequence[Sequence[float]],
    spare: Array | None = None,
) -> list[int]:
    """Choose one value of each grid so that ``|a x - b|`` is least.

    Parameters
    ----------
    a : ndarray, shape (m, n)
        Effects [-].
    b : ndarray, shape (m,)
        Wanted values [-].
    exact : sequence of float
        Minimum without rounding [-].
    grids : sequence of sequence of float
        Candidates for each variable, near its minimum [-].
    spare : ndarray, shape (m,), optional
        How far each value may lie beyond the wanted one, with its sign, at no cost [-].

    Returns
    -------
    list of int
        Which candidate of each grid [-].

    Notes
    -----
    Every combination is tried, up to 4096 of them; beyond that each is rounded by itself.
    """
    if math.prod(len(grid) for grid in grids) > _MOST_COMBINATIONS:
        return [_nearest(x, grid) for x, grid in zip(exact, grids, strict=True)]
    choices = list(itertools.product(*(range(len(grid)) for grid in grids)))
    values = np.array(list(itertools.product(*grids)))
    off = missed(values @ a.T, b, np.zeros(len(b)) if spare is None else spare)
    left = np.sum(off**2, axis=1)
    alike = left <= left.min() * (1.0 + 1e-9) + 1e-18  # the first of equals, on every machine
    return list(choices[int(np.argmax(alike))])


def _nearest(x: float, grid: Sequence[float]) -> int:
    """Return which candidate is nearest."""
    return min(range(len(grid)), key=lambda n: abs(grid[n] - x))
