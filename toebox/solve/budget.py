"""Uncertainty budgets: which readings the uncertainty of each result comes from (GUM 5.1, H.1)."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

import numpy as np

from toebox.estimate import Array
from toebox.solve.network import Observation
from toebox.solve.results import PassSolution

NOISE = 1e-18  # of a variance: what rounding leaves where a reading has no part


class Share(NamedTuple):
    """What one reading, or several of a kind, contributes to the uncertainty of a result.

    Parameters
    ----------
    reading : str
        Path of the reading, or name of the kind.
    u : float
        Contribution: sensitivity times standard uncertainty, several added as the root of the
        sum of their squares [rad] ([m] for setback).
    share : float
        Its square over the variance of the result, 0 to 1 [-].
    """

    reading: str
    u: float
    share: float


def reading_of(observation: Observation) -> str:
    """Return the name under which repeats of a reading count together.

    Parameters
    ----------
    observation : Observation
        A reading or an assumption.

    Returns
    -------
    str
        Path without the number of the repeat; the key of an assumption, for all wheels together.
    """
    if observation.assumed:
        return f"assumed.{observation.assumed.partition('.')[0]}"
    return observation.label.partition("[")[0]


def kind_of(observation: Observation) -> str:
    """Return the name under which readings of a kind count together.

    Parameters
    ----------
    observation : Observation
        A reading or an assumption.

    Returns
    -------
    str
        ``string``, ``string.bars``, ``tape.front``, ``steering_wheel_off``, ``inclinometer``, ...;
        the key of an assumption.
    """
    name = reading_of(observation)
    parts = name.split(".")
    if observation.assumed or parts[0] == "tape":
        return name if observation.assumed else f"tape.{parts[1]}"
    if parts[0] == "string" and parts[1].endswith("bar_width"):
        return "string.bars"
    return parts[0]


def budget(
    solved: PassSolution, gradient: Array, called: Callable[[Observation], str] = reading_of
) -> tuple[Share, ...]:
    """Return what the uncertainty of a quantity comes from.

    Parameters
    ----------
    solved : PassSolution
        Results of a pass.
    gradient : ndarray, shape (n,)
        Derivative of the quantity by the unknowns, as in `PassSolution.gradients` [-].
    called : callable, optional
        Gives each observation the name under which it counts: `reading_of` or `kind_of`.

    Returns
    -------
    tuple of Share
        Largest first; shares add up to 1. What contributes nothing is left out.
    """
    return next(_shares(solved, np.atleast_2d(gradient), called))


def budgets(
    solved: PassSolution,
    names: Iterable[str] | None = None,
    called: Callable[[Observation], str] = reading_of,
    least: float = NOISE,
) -> dict[str, tuple[Share, ...]]:
    """Return the budgets of several results.

    Parameters
    ----------
    solved : PassSolution
        Results of a pass.
    names : iterable of str, optional
        Names of determined results; without it, all of them.
    called : callable, optional
        As for `budget`.
    least : float, optional
        Share of a variance up to which a reading is left out, 0 to 1 [-].

    Returns
    -------
    dict of str to tuple of Share
        By name of the result.
    """
    wanted = list(solved.results if names is None else names)
    if not wanted:
        return {}
    gradients = np.array([solved.gradients[name] for name in wanted])
    return dict(zip(wanted, _shares(solved, gradients, called, least), strict=True))


def _shares(
    solved: PassSolution,
    gradients: Array,
    called: Callable[[Observation], str],
    least: float = NOISE,
) -> Iterator[tuple[Share, ...]]:
    """Yield the budget of each row of gradients."""
    columns: dict[str, int] = {}
    names = [called(o) for o in solved.network.observations]
    of_reading = [columns.setdefault(name, len(columns)) for name in names]
    gathered = np.zeros((len(names), len(columns)))
    gathered[np.arange(len(names)), of_reading] = 1.0
    squares = (gradients @ solved.estimate.gain) ** 2 @ gathered
    variances = squares.sum(axis=1, keepdims=True)
    shares = squares / variances
    # Equal shares stay in the order of the observations, on every machine.
    order = np.argsort(-np.round(shares, 9), axis=1, kind="stable")
    counts = (shares > least).sum(axis=1).tolist()
    titles, row = np.array(list(columns), object)[order], np.arange(len(order))[:, None]
    us, largest = np.sqrt(squares[row, order]), shares[row, order]
    rows = zip(counts, titles.tolist(), us.tolist(), largest.tolist(), strict=True)
    for count, *told in rows:
        yield tuple(map(Share, *(column[:count] for column in told)))
