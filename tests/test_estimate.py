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
