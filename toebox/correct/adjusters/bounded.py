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
_SURE = 1e3  # weight of what is as good as certain beside what is wanted


def bounded_least_squares(
    a: Array, b: Array, low: Array, high: Array, content: Flags | None = None
) -> Array:
    """Minimise ``|a x - b|``, as `costs` counts it, with each ``x`` between its bounds.

    Parameters
    ----------
    a : ndarray, shape (m, n)
        Of full column rank [-].
    b : ndarray, shape (m,)
        Wanted values [-].
    low, high : ndarray, shape (n,)
        Bounds, 0 between or at them; may be infinite [-].
    content : ndarray of bool, shape (m,), optional
        Rows that ask for nothing: see `costs`.

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
    if content is not None and content.any():
        try:
            return bounded_least_squares(*_without_content(a, b, low, high, content))[: a.shape[1]]
        except ValueError:  # effects too unlike in size: what asks for nothing is kept as it is
            return bounded_least_squares(a, np.where(content, 0.0, b), low, high)
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


def _without_content(
    a: Array, b: Array, low: Array, high: Array, content: Flags
) -> tuple[Array, Array, Array, Array]:
    """Return a problem without rows that ask for nothing, by three more variables for each.

    With the wanted value positive, ``c = t + p - n``: t from 0 to it costs nothing, p beyond it its
    square, n away from it the square of both less that of the wanted value, which is no variable.
    That c is such a sum is a row of so large a weight that it is as good as exact.
    """
    rows, count = np.flatnonzero(content), a.shape[1]
    unit, none = np.eye(len(rows)), np.zeros(len(rows))
    sign = np.where(b[content] < 0.0, -1.0, 1.0)
    wide = np.zeros((len(a), count + 3 * len(rows)))
    wide[:, :count] = a
    wide[rows] *= _SURE
    wide[rows, count:] = _SURE * np.hstack([-unit, -unit, unit]) * np.tile(sign, 3)
    beyond = np.hstack([np.zeros((2 * len(rows), count + len(rows))), np.eye(2 * len(rows))])
    wanted = np.abs(b[content])
    return (
        np.vstack([wide, beyond]),
        np.concatenate([np.where(content, 0.0, b), none, -wanted]),
        np.concatenate([low, none, none, none]),
        np.concatenate([high, wanted, np.full(2 * len(rows), np.inf)]),
    )


def costs(values: Array, b: Array, content: Flags) -> Array:
    """Return what it costs to miss wanted values.

    Parameters
    ----------
    values : ndarray, shape (..., m)
        Values; 0 is to leave what they stand for as it is [-].
    b : ndarray, shape (m,)
        Wanted values [-].
    content : ndarray of bool, shape (m,)
        Rows that ask for nothing.

    Returns
    -------
    ndarray, shape (..., m)
        Square of the miss. A row that is content costs nothing from 0 to its wanted value, and
        away from that only what it costs more there than at 0 [-].
    """
    square, beyond = (values - b) ** 2, values * np.sign(b) - np.abs(b)
    held = np.where(beyond > 0.0, square, np.maximum(square - b**2, 0.0))
    return np.asarray(np.where(content, held, square))


def round_together(
    a: Array,
    b: Array,
    exact: Sequence[float],
    grids: Sequence[Sequence[float]],
    content: Flags | None = None,
) -> list[int]:
    """Choose one value of each grid so that ``|a x - b|``, as `costs` counts it, is least.

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
    content : ndarray of bool, shape (m,), optional
        Rows that ask for nothing: see `costs`.

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
    none = np.zeros(len(b), np.bool_)
    left = np.sum(costs(values @ a.T, b, none if content is None else content), axis=1)
    alike = left <= left.min() * (1.0 + 1e-9) + 1e-18  # the first of equals, on every machine
    return list(choices[int(np.argmax(alike))])


def _nearest(x: float, grid: Sequence[float]) -> int:
    """Return which candidate is nearest."""
    return min(range(len(grid)), key=lambda n: abs(grid[n] - x))
