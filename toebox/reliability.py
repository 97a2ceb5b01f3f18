"""Which readings do not fit, which cannot be told apart, and what slips would be noticed.

Like the estimator, this knows nothing of cars.

Source: W. Baarda's reliability theory for redundancy number, standardised residual and minimal
detectable bias (as in geodetic handbooks).
"""

from __future__ import annotations

import math
from functools import cache
from statistics import NormalDist
from typing import NamedTuple

import numpy as np

from toebox.estimate import Array, Estimate

# Two-sided test of one reading at 0.1 %.
DOUBTFUL_ABOVE = 3.29
# Where many readings are checked: the share of faultless sets in which any is doubted, at most.
FALSE_ALARMS = 0.01
# Share of faultless sets that scatter more than is allowed.
SCATTER_ALARMS = 0.001
# The smallest slip that is noticed 95 times in 100 lies 1.645 beyond the threshold.
POWER = 1.645
# Explanations nearer than this cannot be told apart: chi-square of one degree of freedom, 99 %. A
# wrong one, however like the true one, then beats it by more in 0.5 % of cases at most, so that
# among ten wrong ones the true one is still named 95 times in 100.
TOLD_APART = 6.63
LEAST_REDUNDANCY = 1e-6
# Decimals to which equals are compared: they stay in the order of the readings on every machine.
SAME = 6
# "Poorly checked": a redundancy number below 10 % (Gruber and Joeckel, Formelsammlung fuer das
# Vermessungswesen, 7.5, read in a reprint without its authors; those are from memory).
HARDLY_CHECKED = 0.1


class Doubt(NamedTuple):
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

    """
    checked = int(np.count_nonzero(estimate.redundancy > LEAST_REDUNDANCY))
    return max(DOUBTFUL_ABOVE, together_within(checked, 1.0 - FALSE_ALARMS))


@cache
def together_within(count: int, probability: float) -> float:
    """Return within how many standard deviations several normal values all stay.

    Parameters
    ----------
    count : int
        How many; none counts as one.
    probability : float
        With which all of them do at least, 0 to 1 [-].

    Returns
    -------
    float
        Either side of zero [-].

    Notes
    -----
    Z. Sidak's inequality (Journal of the American Statistical Association 62, 1967): of n normal
    values, correlated as they may be, all stay within z with a probability of at least the
    n-th power of that for one. From memory.
    """
    alone = 1.0 - probability ** (1.0 / max(count, 1))
    return NormalDist().inv_cdf(1.0 - alone / 2.0)


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
    and those that, left out in its place, would mend the fit as well: weighted sums of squares
    nearer than 6.63 (chi-square of one degree of freedom, 99 %), and nothing doubtful left at the
    worst. Elsewhere something may be left: a second slip is a group of its own.
    """
    if above is None:
        above = doubtful_above(estimate)
    freedom = np.eye(len(estimate.u)) - estimate.hat
    residuals = estimate.weighted_residuals
    found: list[Doubt] = []
    for _ in range(estimate.degrees_of_freedom):
        redundancy = freedom.diagonal()
        standard = _standardise(residuals, redundancy)
        worst = int(np.argmax(np.round(np.abs(standard), SAME)))
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
    redundancy = freedom.diagonal()
    checked = redundancy > LEAST_REDUNDANCY
    checked[worst] = False
    root = np.sqrt(np.where(redundancy > LEAST_REDUNDANCY, redundancy, 1.0))
    correlation = np.where(checked, freedom[worst] / (root * root[worst]), 0.0)
    behind = standard[worst] ** 2 - standard**2
    rest = np.maximum(1.0 - correlation**2, LEAST_REDUNDANCY)
    remains = (standard[worst] - correlation * standard) ** 2 / rest
    as_good = (behind <= TOLD_APART) & (remains <= above**2)
    twins = checked & ((np.abs(correlation) > alike) | as_good)
    order = np.argsort(np.round(behind, SAME), kind="stable")
    return tuple(int(i) for i in order if twins[i])
