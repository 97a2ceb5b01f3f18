"""Slips: which readings do not fit, which extra reading tells them apart, what would be noticed."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

import numpy as np

from toebox.estimate import Array, Estimate
from toebox.job.model import Job
from toebox.reliability import (
    LEAST_REDUNDANCY,
    SAME,
    Doubt,
    detectable_when_repeated,
    doubtful,
    smallest_detectable,
    standardised_residuals,
)
from toebox.solve.assumed import instrument_of
from toebox.solve.gauge_results import gauge_results
from toebox.solve.network import Network
from toebox.solve.quantities import toe_results
from toebox.solve.results import Doubtful, PassSolution, Result

# Two readings are told apart 95 times in 100 where their patterns lie so far apart:
# (1.960 + 1.645)**2, chi-square of one degree of freedom.
FAR_APART = 13.0
ANGLE_INSTRUMENTS = {"inclinometer", "turn_plates", "road_test"}
LENGTH_ASSUMPTIONS = ("assumed.rim_runout", "assumed.box_square_within")
TURNED = " (wheel turned half a turn)"
# By so much no car, clamp, rim or floor is off [rad], [m], by the start of a label: what would have
# to be is no suspect. Common practice and from memory, no published source.
LARGEST_ERRORS = {
    "assumed.steering_wheel_straight_within": math.radians(60.0),
    "assumed.strings_parallel_within": math.radians(3.0),
    "assumed.box_square_within": 0.15,  # 3 degrees over a wheelbase
    "assumed.rim_runout": 0.005,  # 10 mm from peak to peak
    "assumed.floor_level_within": math.radians(10.0),
    "assumed.gauge_zero_within": math.radians(10.0),
    "assumed.turn_plates_zero_within": math.radians(45.0),
    "assumed.steering_axis_inclination": math.radians(30.0),
    "steering_wheel_off": math.radians(180.0),
    "inclinometer.": math.radians(180.0),
    "turn.": math.radians(180.0),
}


class Check(NamedTuple):
    """How well one reading is checked by the others.

    Parameters
    ----------
    reading : str
        Path of the reading in the job file.
    standardised_residual : float
        Its residual over the residual's own standard deviation [-].
    redundancy : float
        Redundancy number, 0 (unchecked) to 1 [-].
    smallest_slip : float
        The smallest slip that would be noticed 95 times in 100, infinite where nothing checks
        the reading [m] or [rad].
    if_repeated : float
        The same with the reading taken once more [m] or [rad].
    """

    reading: str
    standardised_residual: float
    redundancy: float
    smallest_slip: float
    if_repeated: float


@lru_cache(maxsize=512)
def is_angle(label: str) -> bool:
    """Tell whether a reading or an assumption is an angle, not a length."""
    if label.startswith("assumed."):
        return not label.startswith(LENGTH_ASSUMPTIONS)
    return instrument_of(label) in ANGLE_INSTRUMENTS


def checks(solved: PassSolution) -> tuple[Check, ...]:
    """Say of every reading how well it is checked.

    Parameters
    ----------
    solved : PassSolution
        Results of a pass.

    Returns
    -------
    tuple of Check
        In the order of the observations, without assumptions.
    """
    estimate = solved.estimate
    columns = (
        standardised_residuals(estimate),
        estimate.redundancy,
        smallest_detectable(estimate),
        detectable_when_repeated(estimate),
    )
    rows = zip(solved.network.observations, *(c.tolist() for c in columns), strict=True)
    return tuple(Check(o.label, *numbers) for o, *numbers in rows if not o.assumed)


def doubts(network: Network, estimate: Estimate) -> tuple[Doubtful, ...]:
    """Name the readings that do not fit, group by group, with the readings that settle each.

    Parameters
    ----------
    network : Network
        Observations of a pass.
    estimate : Estimate
        Their fit.

    Returns
    -------
    tuple of Doubtful
        The worst group first.
    """
    labels = [o.label for o in network.observations]
    named: list[Doubtful] = []
    for number, group in enumerate(doubtful(estimate), start=1):
        doubt = _suspects(labels, group)
        settled_by = _settled_by(network, estimate, doubt)
        members = zip(doubt.readings, doubt.standardised, doubt.sizes, strict=True)
        named += [Doubtful(labels[i], w, number, size, settled_by) for i, w, size in members]
    return tuple(named)


def _suspects(labels: list[str], doubt: Doubt) -> Doubt:
    """Leave out of a group what would have to be off by more than anything is; never all of it."""
    members = list(zip(*doubt, strict=True))
    able = [m for m in members if abs(m[2]) <= _largest_error(labels[m[0]])]
    return Doubt(*zip(*(able or members), strict=True))


def _largest_error(label: str) -> float:
    """Return by how much a reading or an assumption may be off at most [m] or [rad]."""
    found = (largest for start, largest in LARGEST_ERRORS.items() if label.startswith(start))
    return next(found, math.inf)


def without(job: Job, solved: PassSolution, reading: str) -> Mapping[str, Result]:
    """Return the results as they would be without one reading.

    Parameters
    ----------
    job : Job
        Car and instruments.
    solved : PassSolution
        Results of a pass.
    reading : str
        Label of an observation.

    Returns
    -------
    dict of str to Result
        What the other observations determine; empty where they fit no car at all.
    """
    network = solved.network
    others = [o for o in network.observations if o.label != reading]
    rest = Network(network.unknowns, others, network.start)
    try:
        estimate = rest.fit()
        gauged, _ = gauge_results(rest, estimate, job, solved.readings)
        return toe_results(rest, estimate, job)[0] | gauged
    except ValueError:
        return {}


def _settled_by(network: Network, estimate: Estimate, doubt: Doubt) -> tuple[str, ...]:
    """Return the fewest extra readings, in order, that tell a group apart; empty where none do."""
    _, jacobian = network.model(estimate.x)
    weighted = jacobian / estimate.u[:, None]
    extras = _extra_readings(network, weighted, doubt.readings)
    pairs = set(combinations(range(len(doubt.readings)), 2))
    taken: list[str] = []
    rows = weighted
    while pairs and extras:
        options = {name: _apart(np.vstack([rows, row]), estimate, doubt) for name, row in extras}
        best = max(options, key=lambda name: _score(options[name], pairs))
        solved = {pair for pair in pairs if options[best][pair] >= FAR_APART}
        if not solved:
            return ()
        rows = np.vstack([rows, next(row for name, row in extras if name == best)])
        extras = [(name, row) for name, row in extras if name != best]
        pairs -= solved
        taken.append(best)
    return () if pairs else tuple(taken)


def _score(apart: Array, pairs: set[tuple[int, int]]) -> tuple[int, float]:
    """Rate an extra reading: pairs told apart, then how far apart the nearest of them are."""
    distances = [round(float(apart[pair]), SAME) for pair in pairs]
    enough = [d for d in distances if d >= FAR_APART]
    return len(enough), min(enough, default=max(distances))


def _extra_readings(
    network: Network, weighted: Array, group: tuple[int, ...]
) -> list[tuple[str, Array]]:
    """Return what could be read once more: the readings of a group, and what checks assumptions.

    An assumption counts as taken once more: as much as it is worth at least, if it is measured.
    """
    extras: list[tuple[str, Array]] = []
    for index in group:
        observation = network.observations[index]
        if observation.assumed.startswith("rim_runout."):
            extras += _half_a_turn_on(network, weighted, observation.assumed)
        else:
            extras.append((observation.label, weighted[index]))
    return extras


def _half_a_turn_on(network: Network, weighted: Array, runout: str) -> list[tuple[str, Array]]:
    """Return a reading at a rim with the wheel half a turn on: its run-out turns sign."""
    wheel, upright = runout.split(".")[1], runout.endswith(".upright")
    label = f"inclinometer.{wheel}.camber" if upright else f"string.{wheel}.front"
    wobble = f"wobble_up.{wheel}" if upright else f"wobble.{wheel}"
    found = (i for i, o in enumerate(network.observations) if o.label.startswith(label))
    wobbles = [i for name, i in network.unknowns.items() if name.startswith(wobble)]
    for index in found:
        row = weighted[index].copy()
        row[wobbles] *= -1.0
        return [(label + TURNED, row)]
    return []


def _apart(rows: Array, estimate: Estimate, doubt: Doubt) -> Array:
    """Return how far apart the members of a group would lie, with these weighted rows.

    That is, for each pair, the smaller of the two shares of chi-square by which a slip in one is
    explained worse by a slip in the other.
    """
    scale = np.linalg.norm(rows, axis=0)
    left, singular, _ = np.linalg.svd(rows / np.where(scale > 0.0, scale, 1.0), full_matrices=False)
    left = left[:, singular > 1e-9 * singular[0]]
    group = list(doubt.readings)
    freedom = np.eye(len(group)) - left[group] @ left[group].T
    redundancy = np.maximum(np.diag(freedom), LEAST_REDUNDANCY)
    correlation = freedom / np.sqrt(np.outer(redundancy, redundancy))
    power = (np.array(doubt.sizes) / estimate.u[group]) ** 2 * redundancy
    return np.asarray(np.minimum.outer(power, power) * (1.0 - correlation**2))
