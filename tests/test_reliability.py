"""Slips among readings: named, told apart, and never where readings are clean."""

import numpy as np
import pytest
from scipy import stats

from tests.effort import examples
from toebox.estimate import fit
from toebox.reliability import (
    TOLD_APART,
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


def test_equals_stay_in_the_order_of_the_readings():
    """Two readings of one thing are as doubtful: rounding alone must not say which is first."""
    design = np.ones((2, 1))
    for y in ([0.0, 1.0], [1.0, 0.0], [1e3 / 3.0, 1e3 / 3.0 + 1.0]):
        for small in (0.0, 1e-12, -1e-12):
            readings = np.array(y) + np.array([small, 0.0])
            (doubt,) = doubtful(fit(linear(design), readings, np.full(2, 0.1), np.zeros(1)))
            assert doubt.readings == (0, 1)


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


def test_a_reading_that_next_to_nothing_checks_is_still_checked():
    # One unknown, read finely and coarsely: the fine reading's redundancy is 1 / (1 + 450**2).
    u = np.array([1.0, 450.0])
    estimate = fit(linear(np.ones((2, 1))), np.array([0.0, 4500.0]), u, np.zeros(1))
    assert estimate.redundancy[0] == pytest.approx(4.94e-6, rel=1e-3)
    assert smallest_detectable(estimate)[0] == pytest.approx((3.29 + 1.645) * np.hypot(1.0, 450.0))
    assert sorted(doubtful(estimate)[0].readings) == [0, 1]


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


@pytest.mark.parametrize("shown", [3.3, 5.0, 8.0, 12.0])
def test_a_wrong_reading_beats_the_true_one_too_clearly_once_in_200_at_most(shown):
    # The true one's standardised residual is normal about `shown`, the other's about its own
    # correlation times that; the integral over both, for the worst of all correlations.
    true = shown + np.linspace(-6.0, 6.0, 2001)
    weight = stats.norm.pdf(true - shown) * (true[1] - true[0])
    beaten_by = np.sqrt(true**2 + TOLD_APART)
    shares = []
    for correlation in np.linspace(0.0, 0.999, 500):
        rest = np.sqrt(1.0 - correlation**2)
        above = stats.norm.sf((beaten_by - correlation * true) / rest)
        below = stats.norm.cdf((-beaten_by - correlation * true) / rest)
        shares.append(weight @ (above + below))
    assert 0.004 < max(shares) < 0.005


def test_two_independent_slips_of_one_size_are_two_groups():
    y = np.zeros(30)
    y[4], y[25] = 8.0, -8.0
    estimate = fit(linear(np.kron(np.eye(3), np.ones((10, 1)))), y, np.ones(30), np.zeros(3))
    assert [d.readings for d in doubtful(estimate)] == [(4,), (25,)]


# --- the groups by their definition alone, every figure from fits by numpy's lstsq ---

TIED = 1e-6  # sums of squares nearer than this are in no order


def misfit(design, y, u):
    """Return the weighted residuals of a fit and its unknowns."""
    rows = design / u[:, None]
    x = np.linalg.lstsq(rows, y / u, rcond=1e-9)[0]
    return y / u - rows @ x, x


def judged(design, y, u):
    """Return sum of squares, standardised residuals, their correlations and deviations.

    How residuals scatter is seen by shifting one reading after the other by its uncertainty.
    """
    residuals, _ = misfit(design, y, u)
    moved = np.array([misfit(design, shift, u)[0] for shift in np.diag(u)])
    covariance = moved.T @ moved
    deviation = np.sqrt(np.diag(covariance))
    deviation[deviation < 1e-3] = np.inf  # unchecked
    correlation = covariance / np.outer(deviation, deviation)
    return float(residuals @ residuals), residuals / deviation, correlation, deviation


def without(design, y, u, index):
    """Return the sum of squares without a reading, the others' residuals, and what it is off by."""
    rest = np.arange(len(y)) != index
    squares, standard, *_ = judged(design[rest], y[rest], u[rest])
    off = y[index] - design[index] @ misfit(design[rest], y[rest], u[rest])[1]
    return squares, np.insert(standard, index, 0.0), off


def explained(design, y, u, above, alike=0.99):
    """Return the first group: by reading what is left without it, its slip, its residual.

    And how many more would mend the sum of squares, but leave the worst one doubtful.
    """
    _, standard, correlation, deviation = judged(design, y, u)
    worst = int(np.argmax(np.abs(standard)))
    if abs(standard[worst]) <= above:
        return {}, 0
    fits = {int(i): without(design, y, u, i) for i in np.flatnonzero(np.isfinite(deviation))}
    mends = {i for i, (squares, *_) in fits.items() if squares - fits[worst][0] < 6.63}
    quiet = {i for i, (_, others, _) in fits.items() if abs(others[worst]) <= above}
    twins = {i for i in fits if abs(correlation[i, worst]) > alike}
    group = {worst} | (mends & quiet) | twins
    return {i: (fits[i][0], fits[i][2], standard[i]) for i in group}, len(mends - group)


def drawn(rng, number):
    """Return readings with one to three slips: any, with a near repeat, or one with no check."""
    kind, size = number % 3, 8 + number % 4
    design, u = rng.normal(size=(size, 5)), rng.uniform(0.5, 2.0, size=size)
    if kind == 1:
        again = rng.choice([0.0, 0.02, 0.1, 0.3]) * rng.normal(size=5)
        design[0] = rng.choice([-1, 1]) * design[1] + again
    elif kind == 2:
        design[:, -1] = 0.0
        design[rng.integers(size), -1] = 1.0
    y = design @ rng.normal(size=5) + rng.normal(size=size) * u
    slips = rng.choice(size, size=1 + number % 2 + (number % 5 == 0), replace=False)
    shown = u[slips] / judged(design, y, u)[3][slips]
    y[slips] += rng.choice([-1, 1], size=len(slips)) * rng.uniform(4.0, 12.0) * shown
    return design, y, u


def test_groups_are_what_refits_without_each_reading_say():
    rng = np.random.default_rng(RNG_KEY)
    sizes, loud, rounds = [], 0, []
    for number in range(examples(usual=250, thorough=2000)):
        design, y, u = drawn(rng, number)
        estimate = fit(linear(design), y, u, np.zeros(5))
        above = doubtful_above(estimate)
        left = np.arange(len(y))
        doubts = doubtful(estimate)
        for doubt in doubts:
            group, more = explained(design[left], y[left], u[left], above)
            wanted = {int(left[i]): found for i, found in group.items()}
            assert set(doubt.readings) == set(wanted)
            found = [wanted[i] for i in doubt.readings]
            squares = [s for s, _, _ in found]
            assert squares == pytest.approx(sorted(squares), abs=TIED)
            assert doubt.sizes == pytest.approx([off for _, off, _ in found])
            assert doubt.standardised == pytest.approx([w for *_, w in found])
            sizes.append(len(found))
            loud += more
            left = left[left != doubt.readings[0]]
        spent = len(doubts) == estimate.degrees_of_freedom
        assert spent or explained(design[left], y[left], u[left], above) == ({}, 0)
        rounds.append(len(doubts))
    assert {1, 2, 3, 4} <= set(sizes)
    assert {0, 1, 2, 3} <= set(rounds)
    assert loud > 20


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
    assert standard[0] ** 2 - standard[1] ** 2 > 6.63
    assert doubtful(estimate)[0].readings == (0,)
    assert doubtful(estimate, alike=0.97)[0].readings == (0, 1)


def test_twins_beyond_a_correlation_of_0_99_are_named_by_default():
    design = np.array([[1.0], [1.0], [0.08]])
    estimate = fit(linear(design), np.array([60.0, 0.0, 0.0]), np.ones(3), np.zeros(1))
    standard = standardised_residuals(estimate)
    assert standard[0] ** 2 - standard[1] ** 2 > 6.63
    assert doubtful(estimate)[0].readings == (0, 1)
