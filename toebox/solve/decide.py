"""Decisions against goals: within, outside or not proven (JCGM 106:2012, ISO 14253-1)."""

from __future__ import annotations

import math

from toebox.job.model import Goal
from toebox.solve.results import Decision, Result

COVERAGE_FACTOR = 2.0  # stated standard uncertainties, 95 %


def probability_between(value: float, u: float, low: float, high: float) -> float:
    """Return the probability that the true value lies between two limits.

    Parameters
    ----------
    value : float
        Best value of a normal distribution [-].
    u : float
        Its standard uncertainty, 0 or more, same unit [-].
    low : float
        Lower limit, may be -inf [-].
    high : float
        Upper limit, may be inf [-].

    Returns
    -------
    float
        Probability, 0 to 1 [-] (JCGM 106:2012, 7.2 and 7.4).

    Examples
    --------
    >>> round(probability_between(-5.47, 0.05, -math.inf, -5.40), 4)
    0.9192
    """
    if u == 0.0:
        return float(low <= value <= high)
    return _normal((high - value) / u) - _normal((low - value) / u)


def _normal(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def decide(result: Result, goal: Goal) -> Decision | None:
    """Decide whether a result meets its goal.

    Parameters
    ----------
    result : Result
        Value and standard uncertainty.
    goal : Goal
        Wanted value and tolerance.

    Returns
    -------
    Decision or None
        None where the goal has no tolerance. ``within`` where the 95 % interval lies in the
        goal band, ``outside`` where it lies clear of it, else ``not proven``.
    """
    if goal.tolerance is None:
        return None
    low, high = goal.value - goal.tolerance, goal.value + goal.tolerance
    probability = probability_between(result.value, result.u, low, high)
    reach = COVERAGE_FACTOR * result.u
    if low <= result.value - reach and result.value + reach <= high:
        return Decision("within", probability)
    if result.value + reach < low or result.value - reach > high:
        return Decision("outside", probability)
    return Decision("not proven", probability)
