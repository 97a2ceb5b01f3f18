"""Whether readings prove that a setting should change."""

from __future__ import annotations

from statistics import NormalDist

from toebox.job.model import Goal
from toebox.reliability import together_within
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.standing import Standing


def jointly(count: int) -> float:
    """Return beyond how many standard uncertainties one of several goals is missed, at 95 %.

    Parameters
    ----------
    count : int
        How many goals are judged together.

    Returns
    -------
    float
        2 for one (95.45 %); more for several, so that of a car on all of them none is moved in as
        many cases [-].
    """
    return together_within(count, 1.0 - 2.0 * NormalDist().cdf(-COVERAGE_FACTOR))


def needed(goal: Goal, stand: Standing, beyond: float = COVERAGE_FACTOR) -> bool:
    """Return whether the readings justify a change.

    Parameters
    ----------
    goal : Goal
        Wanted value and tolerance.
    stand : Standing
        How the setting stands.
    beyond : float, optional
        As for `off` [-].

    Returns
    -------
    bool
        True where it is proven to be outside its tolerance, or off the middle and not within it.
    """
    return stand.outcome == "outside" or (off(goal, stand, beyond) and stand.outcome != "within")


def off(goal: Goal, stand: Standing, beyond: float = COVERAGE_FACTOR) -> bool:
    """Return whether a setting lies further from the middle of its goal than chance brings it.

    Parameters
    ----------
    goal : Goal
        Wanted value.
    stand : Standing
        How the setting stands.
    beyond : float, optional
        Standard uncertainties up to which chance is believed [-].

    Returns
    -------
    bool
        True beyond that.
    """
    return abs(goal.value - stand.result.value) > beyond * stand.result.u
