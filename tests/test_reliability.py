"""Slips among readings: named, told apart, and never where readings are clean."""

import numpy as np
import pytest
from scipy import stats

from toebox.estimate import fit
from toebox.reliability import (
    detectable_when_repeated,
    doubtful,
    doubtful_above,
    scatter_limit,
    smallest_detectable,
    standardised_residuals,
)

RNG_KEY = 20260418


def linear(design):
    return lambda x: (design @ x, design)


def straight_line(n=6):
    return np.column_stack([np.ones(n), np.arange(n, dtype=float)])


def test_one_slip_is_named_with_its_size():
    y = np.array([0.0, 1.0, 2.0, 9.0, 4.0, 5.0])
    estimate = fit(linear(straight_line()), y, np.full(6, 0.1), np.zeros(2))
    assert doubtful(estimate, above=100.0) == ()
    (doubt,) = doubtful(estimate)
    assert doubt.readings == (3,)
    assert doubt.sizes == pytest.approx((6.0,))
    assert doubt.standardised == pytest.approx((np.max(standardised_residuals(estimate)),))


def test_two_slips_are_named_one_after_the_other():
    y = np.arange(10.0)
    y[2] += 5.0
    y[7] -= 3.0
    estimate = fit(linear(straight_line(10)), y, np.full(10, 0.1), np.zeros(2))
    first, second = doubtful(estimate)
    assert (first.readings, second.readings) == ((2,), (7,))
    assert second.sizes == pytest.approx((-3.0,))


def test_readings_that_cannot_be_told_apart_are_named_together():
    design = np.array([[1.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
    estimate = fit(linear(design), np.array([0.0, 1.0, 7.0]), np.full(3, 0.1), np.zeros(2))
    (doubt,) = doubtful(estimate)
    assert sorted(doubt.readings) == [0, 1]


def test_an_unchecked_reading_is_never_doubted_and_hides_any_slip():
    design = np.array([[1.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
    estimate = fit(linear(design), np.array([0.0, 0.0, 99.0]), np.full(3, 0.1), np.zeros(2))
    assert standardised_residuals(estimate)[2] == 0.0
    assert doubtful(estimate) == ()
    bias = smallest_detectable(estimate)
    assert bias[2] == np.inf
    # two equal readings: redundancy 1/2 each, so (3.29 + 1.645) u sqrt(2)
    assert bias[0] == pytest.approx((3.29 + 1.645) * 0.1 * np.sqrt(2.0))


def test_a_repeat_makes_slips_visible_as_a_fit_with_the_repeat_says():
    rng = np.random.default_rng(RNG_KEY)
    design, u = rng.normal(size=(5, 3)), rng.uniform(0.5, 2.0, size=5)
    foretold = detectable_when_repeated(fit(linear(design), np.zeros(5), u, np.zeros(3)))
    for index in range(5):
        more, more_u = np.vstack([design, design[index]]), np.append(u, u[index])
        repeated = fit(linear(more), np.zeros(6), more_u, np.zeros(3))
        assert smallest_detectable(repeated)[index] == pytest.approx(foretold[index])


def test_the_threshold_grows_with_the_number_of_checked_readings():
    few = fit(linear(straight_line(10)), np.zeros(10), np.ones(10), np.zeros(2))
    many = fit(linear(straight_line(60)), np.zeros(60), np.ones(60), np.zeros(2))
    assert doubtful_above(few) == 3.29
    # 1 - 0.99**(1/60) two-sided, by scipy
    assert doubtful_above(many) == pytest.approx(stats.norm.isf((1 - 0.99 ** (1 / 60)) / 2))


def test_false_alarms_stay_below_one_in_a_hundred():
    rng = np.random.default_rng(RNG_KEY)
    design = rng.normal(size=(40, 15))
    clean = (
        fit(linear(design), rng.normal(size=40), np.ones(40), np.zeros(15)) for _ in range(2000)
    )
    alarms = sum(bool(doubtful(estimate)) for estimate in clean)
    assert 5 <= alarms <= 30  # 20 expected at most, standard deviation 4.5


@pytest.mark.parametrize("freedom", [1, 2, 3, 5, 13, 40])
def test_the_limit_of_the_scatter_is_that_of_chi_square(freedom):
    exact = np.sqrt(stats.chi2.ppf(0.999, freedom) / freedom)
    assert scatter_limit(freedom) == pytest.approx(exact, rel=0.01 if freedom >= 3 else 0.05)


def test_the_scatter_of_readings_is_one_where_uncertainties_are_true():
    rng = np.random.default_rng(RNG_KEY)
    design = rng.normal(size=(400, 5))
    y = rng.normal(scale=0.3, size=400)
    for stated, scatter in ((0.3, 1.0), (0.1, 3.0), (0.6, 0.5)):
        estimate = fit(linear(design), y, np.full(400, stated), np.zeros(5))
        assert estimate.scatter == pytest.approx(scatter, rel=0.1)
    assert fit(linear(design[:5]), y[:5], np.ones(5), np.zeros(5)).scatter == 1.0


def test_a_weak_slip_is_named_with_what_explains_it_as_well():
    # Where noise makes a neighbour look worse, the true one must still be in the group.
    rng = np.random.default_rng(RNG_KEY)
    design = rng.normal(size=(12, 8))
    named = noticed = 0
    for _ in range(1000):
        y = rng.normal(size=12)
        estimate = fit(linear(design), y, np.ones(12), np.zeros(8))
        slip = smallest_detectable(estimate)[0]
        y[0] += slip
        doubts = doubtful(fit(linear(design), y, np.ones(12), np.zeros(8)))
        noticed += bool(doubts)
        named += bool(doubts) and 0 in doubts[0].readings
    assert noticed >= 950
    assert named >= 0.95 * noticed


def test_two_independent_slips_of_one_size_are_two_groups():
    y = np.zeros(30)
    y[4], y[25] = 8.0, -8.0
    estimate = fit(linear(np.kron(np.eye(3), np.ones((10, 1)))), y, np.ones(30), np.zeros(3))
    assert [d.readings for d in doubtful(estimate)] == [(4,), (25,)]


def left_out(design, y, u, index):
    """Return the fit without one reading, and the others' standardised residuals by index."""
    rest = [i for i in range(len(y)) if i != index]
    found = fit(linear(design[rest]), y[rest], u[rest], np.zeros(design.shape[1]))
    return found, dict(zip(rest, standardised_residuals(found), strict=True))


def test_a_group_is_what_leaving_out_one_reading_at_a_time_says():
    """By brute force: who mends the sum of squares as well as the worst, and leaves it quiet."""
    rng = np.random.default_rng(RNG_KEY)
    sizes, alike, loud = [], 0.99, 0
    for number in range(400):
        design, u = rng.normal(size=(9, 5)), rng.uniform(0.5, 2.0, size=9)
        y = rng.normal(size=9) * u
        # One slip; in every other set a second one that shows as much.
        slips = rng.choice(9, size=1 + number % 2, replace=False)
        seen = np.sqrt(fit(linear(design), y, u, np.zeros(5)).redundancy[slips])
        y[slips] += rng.choice([-1, 1], size=len(slips)) * rng.uniform(5.0, 12.0) * u[slips] / seen
        estimate = fit(linear(design), y, u, np.zeros(5))
        above = doubtful_above(estimate)
        doubts = doubtful(estimate)
        if not doubts:
            continue
        fits = [left_out(design, y, u, index) for index in range(9)]
        squares = [float(np.sum(found.weighted_residuals**2)) for found, _ in fits]
        worst = int(np.argmin(squares))
        freedom = np.eye(9) - estimate.hat
        root = np.sqrt(np.diag(freedom))
        wanted = {worst}
        for index in set(range(9)) - {worst}:
            correlation = freedom[worst, index] / root[worst] / root[index]
            as_good = squares[index] - squares[worst] <= 3.84
            quiet = abs(fits[index][1][worst]) <= above
            loud += as_good and not quiet
            if abs(correlation) > alike or (as_good and quiet):
                wanted.add(index)
        first = doubts[0]
        assert first.readings[0] == worst
        assert set(first.readings) == wanted
        assert [squares[i] for i in first.readings] == sorted(squares[i] for i in first.readings)
        sizes.append(len(wanted))
    assert len(sizes) > 300
    assert loud > 20
    assert {1, 2, 3} <= set(sizes)


def test_twins_beyond_a_correlation_are_named_however_clearly_one_fits_better():
    # Two readings of one unknown, tied to a third a little: correlated to 0.986, a slip of 60 u.
    design = np.array([[1.0], [1.0], [0.12]])
    u = np.array([1.0, 1.0, 1.0])
    y = np.array([60.0, 0.0, 0.0])
    estimate = fit(linear(design), y, u, np.zeros(1))
    freedom = np.eye(3) - estimate.hat
    correlation = abs(freedom[0, 1]) / np.sqrt(freedom[0, 0] * freedom[1, 1])
    standard = standardised_residuals(estimate)
    assert 0.97 < correlation < 0.99
    assert standard[0] ** 2 - standard[1] ** 2 > 3.84
    assert doubtful(estimate)[0].readings == (0,)
    assert doubtful(estimate, alike=0.97)[0].readings == (0, 1)


def test_twins_beyond_a_correlation_of_0_99_are_named_by_default():
    design = np.array([[1.0], [1.0], [0.08]])
    estimate = fit(linear(design), np.array([60.0, 0.0, 0.0]), np.ones(3), np.zeros(1))
    standard = standardised_residuals(estimate)
    assert standard[0] ** 2 - standard[1] ** 2 > 3.84
    assert doubtful(estimate)[0].readings == (0, 1)
