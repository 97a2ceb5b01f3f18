"""Bounded least squares against scipy.optimize, rounding against every combination."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from scipy.optimize import lsq_linear, minimize

from toebox.correct.adjusters.bounded import bounded_least_squares, costs, round_together


@pytest.mark.parametrize("seed", range(200))
def test_it_is_the_minimum_that_scipy_finds(seed: int) -> None:
    rng = np.random.default_rng(seed)
    n = int(rng.integers(1, 7))
    a = np.vstack([rng.normal(size=(int(rng.integers(1, 8)), n)), 1e-3 * np.eye(n)])
    b = 3.0 * rng.normal(size=len(a))
    low, high = -rng.uniform(0, 2, n), rng.uniform(0, 2, n)
    low[rng.random(n) < 0.2], high[rng.random(n) < 0.2] = 0.0, 0.0  # nothing left that way
    high = np.where(low == high, high + 1e-3, high)
    if seed % 3 == 0:
        low[rng.random(n) < 0.4] = -np.inf
        high[rng.random(n) < 0.4] = np.inf
    ours = bounded_least_squares(a, b, low, high)
    theirs = lsq_linear(a, b, (low, high), method="bvls", tol=1e-14)
    assert np.all((low <= ours) & (ours <= high))
    assert np.linalg.norm(a @ ours - b) <= np.linalg.norm(a @ theirs.x - b) * (1 + 1e-9) + 1e-12
    assert ours == pytest.approx(theirs.x, abs=1e-6)


@pytest.mark.parametrize("seed", range(60))
def test_rows_that_ask_for_nothing_are_at_the_minimum_that_scipy_finds(seed: int) -> None:
    rng = np.random.default_rng(seed)
    n, rows = int(rng.integers(1, 5)), int(rng.integers(1, 8))
    a = np.vstack([rng.normal(size=(rows, n)), 0.1 * np.eye(n)])
    b = np.append(rng.normal(size=rows), np.zeros(n))
    content = (rng.random(len(a)) < 0.6) & (np.arange(len(a)) < rows)
    low, high = -rng.uniform(0, 2, n), rng.uniform(0, 2, n)

    def cost(x: np.ndarray) -> float:
        return float(costs(a @ x, b, content).sum())

    ours = bounded_least_squares(a, b, low, high, content)
    bounds = list(zip(low, high, strict=True))
    theirs = min(
        minimize(cost, start, bounds=bounds, method=method, tol=1e-12).fun
        for start in (np.zeros(n), ours)
        for method in ("L-BFGS-B", "Powell")
    )
    assert np.all((low <= ours) & (ours <= high))
    assert cost(ours) <= theirs + 1e-5 * (1.0 + theirs)


def test_what_it_costs_to_miss_what_is_wanted() -> None:
    b, content = np.array([1.0, 1.0, -2.0]), np.array([False, True, True])
    assert costs(np.array([0.5, 0.5, -0.5]), b, content).tolist() == [0.25, 0.0, 0.0]
    assert costs(np.array([1.0, 1.5, -3.0]), b, content).tolist() == [0.0, 0.25, 1.0]
    assert costs(np.array([0.0, -1.0, 1.0]), b, content).tolist() == [1.0, 3.0, 5.0]
    # What stands at its goal costs what it is moved by.
    assert costs(np.array([[0.5]]), np.zeros(1), np.ones(1, bool)).tolist() == [[0.25]]


def test_a_variable_without_room_stays() -> None:
    a, b = np.array([[1.0, 1.0], [0.0, 1e-3]]), np.array([2.0, 0.0])
    none = np.zeros(2)
    assert bounded_least_squares(a, b, none, none).tolist() == [0.0, 0.0]
    found = bounded_least_squares(a, b, np.array([0.0, -5.0]), np.array([0.0, 5.0]))
    assert found == pytest.approx([0.0, 2.0], abs=1e-5)


def test_dependent_columns_are_no_trouble_beside_small_moves() -> None:
    a = np.vstack([[[1.0, 1.0]], 1e-3 * np.eye(2)])
    found = bounded_least_squares(a, np.array([2.0, 0, 0]), np.full(2, -np.inf), np.full(2, np.inf))
    assert found == pytest.approx([1.0, 1.0], abs=1e-5)


@pytest.mark.parametrize("seed", range(30))
def test_rounding_together_finds_the_best_combination(seed: int) -> None:
    rng = np.random.default_rng(seed)
    n = int(rng.integers(1, 5))
    a, b = rng.normal(size=(4, n)), rng.normal(size=4)
    exact = np.linalg.lstsq(a, b, rcond=None)[0]
    grids = [[0.5 * np.floor(2 * x), 0.5 * np.floor(2 * x) + 0.5] for x in exact]
    chosen = [grid[k] for grid, k in zip(grids, round_together(a, b, exact, grids), strict=True)]
    best = min(itertools.product(*grids), key=lambda x: np.linalg.norm(a @ x - b))
    assert chosen == pytest.approx(best)
    content = rng.random(4) < 0.5
    numbers = round_together(a, b, exact, grids, content)
    chosen = [grid[k] for grid, k in zip(grids, numbers, strict=True)]
    best = min(itertools.product(*grids), key=lambda x: costs(a @ x, b, content).sum())
    assert chosen == pytest.approx(best)


def test_beyond_the_limit_each_is_rounded_by_itself() -> None:
    n = 14
    exact = np.linspace(0.05, 0.95, n)
    chosen = round_together(np.eye(n), exact, exact.tolist(), [[0.0, 1.0]] * n)
    assert chosen == [int(x > 0.5) for x in exact]


def test_each_bound_is_kept_and_left_again_where_that_helps() -> None:
    """Minimum of (x + y - 3)^2 + (x - 1)^2 + (y / 10)^2 by hand, with y held at 1 and free."""
    a = np.array([[1.0, 1.0], [1.0, 0.0], [0.0, 0.1]])
    b = np.array([3.0, 1.0, 0.0])
    wide = np.full(2, np.inf)
    held = bounded_least_squares(a, b, -wide, np.array([np.inf, 1.0]))
    assert held == pytest.approx([1.5, 1.0])
    assert held[1] == 1.0
    other = bounded_least_squares(a, b, np.array([-np.inf, 0.0]), np.array([0.5, np.inf]))
    assert other == pytest.approx([0.5, 2.5 / 1.01])
    # Both must stay at or above what takes them away from their best: zero there.
    assert bounded_least_squares(a, -b, np.zeros(2), wide).tolist() == [0.0, 0.0]
    assert bounded_least_squares(a, b, -wide, np.zeros(2)).tolist() == [0.0, 0.0]


@pytest.mark.parametrize("scale", [1e-6, 1.0, 1e6])
def test_the_size_of_the_numbers_does_not_matter(scale: float) -> None:
    a = np.array([[1.0, 1.0], [1.0, 0.0], [0.0, 0.1]]) * scale
    b = np.array([3.0, 1.0, 0.0])
    found = bounded_least_squares(a, b, np.zeros(2), np.array([10.0, 1.5]) / scale)
    assert found == pytest.approx(np.array([1.25, 1.5]) / scale)
    a, high = a / scale, np.array([10.0, 1.5]) * scale
    found = bounded_least_squares(a, b * scale, np.zeros(2), high)
    assert found == pytest.approx(np.array([1.25, 1.5]) * scale)


def test_of_equals_the_first_is_taken() -> None:
    """Either of two alike may take the odd step; the same one on every machine."""
    a, b = np.array([[1.0, 1.0]]), np.array([1.0])
    assert round_together(a, b, [0.5, 0.5], [[0.0, 1.0], [0.0, 1.0]]) == [0, 1]
    assert round_together(a, np.zeros(1), [0.0, 0.0], [[1.0, -1.0], [1.0, -1.0]]) == [0, 1]
    assert round_together(a, b, [0.5, 0.5], [[1.0, 0.0], [1.0, 0.0]]) == [0, 1]


@pytest.mark.parametrize("count, together", [(12, True), (13, False)])
def test_up_to_4096_combinations_are_tried(count: int, together: bool) -> None:
    a, b = np.ones((1, count)), np.array([0.4 * count])
    chosen = round_together(a, b, [0.4] * count, [[0.0, 1.0]] * count)
    assert sum(chosen) == (round(0.4 * count) if together else 0)


def test_effects_too_unlike_in_size_keep_what_asks_for_nothing(monkeypatch) -> None:
    """Where the larger problem does not settle, the one that keeps those rows is answered."""
    a, b = np.vstack([np.eye(2), 1e-3 * np.eye(2)]), np.array([1.0, 0.5, 0.0, 0.0])
    content, wide = np.array([False, True, False, False]), np.full(2, np.inf)
    kept = bounded_least_squares(a, np.where(content, 0.0, b), -wide, wide)

    def unsettled(*_: object) -> None:
        raise ValueError("the bounded least squares do not settle")

    monkeypatch.setattr("toebox.correct.adjusters.bounded._without_content", unsettled)
    assert bounded_least_squares(a, b, -wide, wide, content).tolist() == kept.tolist()
