"""The estimator against plain algebra and its own promises; cars do not occur here."""

import numpy as np
import pytest

from toebox.estimate import fit
from toebox.reliability import doubtful

RNG_KEY = 20260418


def linear(design):
    return lambda x: (design @ x, design)


def straight_line(n=6):
    return np.column_stack([np.ones(n), np.arange(n, dtype=float)])


def test_a_linear_fit_equals_the_normal_equations():
    rng = np.random.default_rng(RNG_KEY)
    design, u = rng.normal(size=(9, 4)), rng.uniform(0.5, 2.0, size=9)
    y = rng.normal(size=9)
    weights = np.diag(1.0 / u**2)
    normal = design.T @ weights @ design
    estimate = fit(linear(design), y, u, np.zeros(4))
    np.testing.assert_allclose(estimate.x, np.linalg.solve(normal, design.T @ weights @ y))
    np.testing.assert_allclose(estimate.covariance, np.linalg.inv(normal))
    np.testing.assert_allclose(estimate.residuals, y - design @ estimate.x, atol=1e-12)
    assert estimate.degrees_of_freedom == 5
    assert estimate.redundancy.sum() == pytest.approx(5.0)


@pytest.mark.parametrize("angle", [1.0, 1e-1, 1e-2, 1e-4, 1e-6])
def test_columns_near_to_each_other_are_told_apart(angle):
    """By normal equations as long as they are good, by orthogonal ones beyond that."""
    rng = np.random.default_rng(RNG_KEY)
    design, truth = rng.normal(size=(12, 3)), np.array([1.0, -2.0, 0.5])
    design[:, 2] = design[:, 1] + np.sin(angle) * design[:, 2]
    u = rng.uniform(0.5, 2.0, size=12)
    estimate = fit(linear(design), design @ truth, u, np.zeros(3))
    assert len(estimate.rows) == 3
    np.testing.assert_allclose(estimate.x, truth, rtol=1e-13 / angle)
    by_svd = np.linalg.pinv(design / u[:, None])
    np.testing.assert_allclose(estimate.gain, by_svd, rtol=1e-9, atol=1e-10 * abs(by_svd).max())
    hat = design / u[:, None] @ by_svd
    np.testing.assert_allclose(estimate.hat, hat, atol=1e-9)


def test_a_curved_model_finds_its_root():
    def model(x):
        return np.array([x[0] ** 2, np.sin(x[1])]), np.diag([2.0 * x[0], np.cos(x[1])])

    estimate = fit(model, np.array([9.0, 0.5]), np.full(2, 1e-3), np.array([2.0, 0.1]))
    np.testing.assert_allclose(estimate.x, [3.0, np.pi / 6.0], rtol=1e-10)


def test_a_model_that_turns_flat_on_the_way_is_given_up():
    # The first step of x**2 = -1 from 1 ends at 0, where the reading tells nothing any more.
    def model(x):
        return x**2, np.diag(2.0 * x)

    with pytest.raises(ValueError, match="no solution within"):
        fit(model, np.array([-1.0]), np.ones(1), np.ones(1))


def test_a_reading_stated_as_perfect_is_taken_so():
    # Below rounding no step can settle; the fit still ends, and the perfect reading holds.
    design = np.column_stack([np.ones(4), np.array([0.0, 1.0, 2.0, 3.0])])
    u = np.array([1e-15, 1.0, 1.0, 1.0])
    estimate = fit(linear(design), np.array([7.1, 9.0, 11.0, 12.0]), u, np.zeros(2))
    assert estimate.x[0] == pytest.approx(7.1, abs=1e-12)


def test_what_the_readings_cannot_determine_is_said():
    design = np.array([[1.0, 1.0, 0.0], [1.0, 1.0, 0.0]])
    estimate = fit(linear(design), np.array([2.0, 4.0]), np.ones(2), np.zeros(3))
    assert estimate.determined(np.array([1.0, 1.0, 0.0]))
    assert not estimate.determined(np.array([1.0, 0.0, 0.0]))
    assert not estimate.determined(np.array([0.0, 0.0, 1.0]))
    gradient = np.array([1.0, 1.0, 0.0])
    assert gradient @ estimate.x == pytest.approx(3.0)
    assert estimate.standard_uncertainty(gradient) == pytest.approx(np.sqrt(0.5))


@pytest.mark.parametrize(
    "third", [[1.0, 1.0, 0.0], [1.0, 1.0, 1e-12], [0.0, 0.0, 0.0]], ids=["equal", "nearly", "none"]
)
def test_as_many_readings_as_unknowns_may_still_not_determine_them(third):
    # Equal rows and a column without readings: never a number where nothing tells.
    design = np.array([[1.0, 1.0, 0.0], [1.0, -1.0, 0.0], third])
    estimate = fit(linear(design), np.array([3.0, 1.0, 3.0]), np.ones(3), np.zeros(3))
    assert estimate.determined(np.array([1.0, 0.0, 0.0]))
    assert estimate.x[:2] == pytest.approx([2.0, 1.0], abs=1.0)
    assert estimate.determined(np.array([0.0, 0.0, 1.0])) == (third[2] != 0.0)


def test_nearly_equal_readings_tell_a_sum_well_and_a_difference_badly():
    design = np.array([[1.0, 1.0], [1.0, 1.0 + 1e-8]])
    estimate = fit(linear(design), np.array([3.0, 3.0 + 2e-8]), np.ones(2), np.zeros(2))
    both, second = np.array([1.0, 1.0]), np.array([0.0, 1.0])
    assert both @ estimate.x == pytest.approx(3.0)
    assert estimate.standard_uncertainty(both) == pytest.approx(1.0, rel=1e-3)
    assert second @ estimate.x == pytest.approx(2.0, rel=1e-3)
    assert estimate.standard_uncertainty(second) == pytest.approx(np.sqrt(2.0) * 1e8, rel=1e-3)


def test_everything_is_determined_by_readings_of_full_rank():
    estimate = fit(linear(straight_line()), np.arange(6.0), np.ones(6), np.zeros(2))
    assert estimate.determined(np.array([1.0, 0.0]))
    assert estimate.determined(np.array([3.0, -7.0]))


def test_contributions_add_up_to_the_uncertainty():
    estimate = fit(linear(straight_line()), np.arange(6.0), np.linspace(1, 2, 6), np.zeros(2))
    gradient = np.array([1.0, 20.0])
    parts = estimate.contributions(gradient)
    assert parts.shape == (6,)
    assert np.sum(parts**2) == pytest.approx(gradient @ estimate.covariance @ gradient)


def test_no_readings_determine_nothing():
    empty = np.zeros(0)
    estimate = fit(lambda x: (empty, np.zeros((0, 2))), empty, empty, np.zeros(2))
    assert not estimate.determined(np.array([1.0, 0.0]))
    assert doubtful(estimate) == ()


def test_a_model_that_runs_away_is_given_up():
    def model(x):
        return np.arctan(x), np.diag(1.0 / (1.0 + x**2))

    with pytest.raises(ValueError, match="no solution within 4 steps"):
        fit(model, np.zeros(1), np.ones(1), np.array([1.5]), 4)
    with pytest.raises(ValueError, match="no solution within 3 steps"):
        fit(lambda x: (np.array([np.nan]), np.ones((1, 1))), np.ones(1), np.ones(1), np.zeros(1), 3)


def test_as_many_steps_as_it_takes_and_not_one_fewer():
    def model(x):
        return np.array([x[0] ** 2]), np.array([[2.0 * x[0]]])

    def found(most):
        return fit(model, np.array([9.0]), np.full(1, 1e-6), np.array([8.0]), most)

    needed = found(30).iterations
    assert needed > 3
    assert found(needed).iterations == needed
    with pytest.raises(ValueError, match=f"^no solution within {needed - 1} steps$"):
        found(needed - 1)


@pytest.mark.parametrize("square", [0.3, 0.0, -0.2])
def test_a_fit_that_creeps_is_not_taken_as_settled(square):
    """Readings of x and of its square that contradict each other: steps shrink by a share only."""

    def model(x):
        return np.array([x[0], x[0] ** 2]), np.array([[1.0], [2.0 * x[0]]])

    estimate = fit(model, np.array([2.0, square]), np.full(2, 1e-2), np.array([1.0]))
    # Least sum of squares: (x - 2) + 2 x (x**2 - square) = 0.
    (least,) = (root.real for root in np.roots([2, 0, 1 - 2 * square, -2]) if abs(root.imag) < 1e-9)
    assert estimate.iterations > 5
    assert estimate.x[0] == pytest.approx(least, abs=1e-5)


@pytest.mark.parametrize("size", [1e-7, 1.0, 1e7])
def test_whether_a_quantity_is_determined_does_not_depend_on_its_unit(size):
    design = np.array([[1.0, 1.0, 0.0]])
    estimate = fit(linear(design), np.array([2.0]), np.ones(1), np.zeros(3))
    assert estimate.determined(size * np.array([1.0, 1.0, 0.0]))
    assert estimate.determined(size * np.array([1.0, 1.0 + 1e-9, 0.0]))
    assert not estimate.determined(size * np.array([1.0, 1.001, 0.0]))
    assert not estimate.determined(size * np.array([0.0, 0.0, 1.0]))


def test_readings_of_very_unlike_size_all_count():
    design = np.array([[1e-7, 1e-7], [1e7, -1e7]])
    estimate = fit(linear(design), np.array([3e-7, 1e7]), np.array([1e-9, 1.0]), np.zeros(2))
    assert len(estimate.rows) == 2
    np.testing.assert_allclose(estimate.x, [2.0, 1.0])


def test_what_is_left_open_stays_at_the_first_guess():
    """As near to it as the readings allow, each unknown by its own scale."""
    design = np.array([[1.0, 1.0, 0.0]])
    estimate = fit(linear(design), np.array([6.0]), np.ones(1), np.array([1.0, 3.0, 7.0]))
    np.testing.assert_allclose(estimate.x, [2.0, 4.0, 7.0])


def test_only_what_the_equations_say_at_the_start_determines():
    """Elsewhere the second order of a cosine would seem to."""

    def model(x):
        low, high = np.sin(x)
        readings = np.array([low + high, low + high + 0.5 * (x[0] - x[1]) ** 2])
        bend = x[0] - x[1]
        cosines = np.cos(x)
        return readings, np.array([cosines, cosines + bend * np.array([1.0, -1.0])])

    estimate = fit(model, np.array([0.02, 0.0201]), np.full(2, 1e-4), np.zeros(2))
    assert len(estimate.rows) == 1
    assert estimate.determined(np.array([1.0, 1.0]))
    assert not estimate.determined(np.array([1.0, -1.0]))
    assert estimate.x[0] == pytest.approx(estimate.x[1])
