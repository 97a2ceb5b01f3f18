"""Do the ways of measuring agree? The same quantity from separate readings, side by side.

Strings against tape, strings against the road test, and the means of the rim readings against the
hub readings: each side is estimated from its own readings alone, so that the difference has a
standard uncertainty of its own, and a disagreement can be told from chance.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from toebox.estimate import Array
from toebox.geometry.box import total_toe_from_tape
from toebox.job.model import AXLES, SIDES, Job, Pass, Tape
from toebox.reliability import DOUBTFUL_ABOVE, LEAST_REDUNDANCY
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution


class Comparison(NamedTuple):
    """One quantity by two sets of readings that share none.

    Parameters
    ----------
    name : str
        ``total_toe.<axle>``, ``steering_wheel`` or ``hub_depth.<axle>``.
    kind : str
        ``tape``, ``road test`` or ``hub``: what the strings are compared with.
    first : float
        By the string readings [rad]; for hubs, the depth of the left hub in its rim [m].
    second : float
        By tape or road test [rad]; for hubs, the depth of the right hub [m].
    u : float
        Standard uncertainty of the difference [rad] ([m] for hubs).
    """

    name: str
    kind: str
    first: float
    second: float
    u: float

    @property
    def difference(self) -> float:
        """Second minus first [rad] ([m] for hubs)."""
        return self.second - self.first

    @property
    def verdict(self) -> str:
        """``agree`` within 95 %, ``barely agree`` within 99.9 %, else ``disagree``."""
        ratio = abs(self.difference) / self.u if self.u > 0.0 else math.inf
        if ratio <= COVERAGE_FACTOR:
            return "agree"
        return "barely agree" if ratio <= DOUBTFUL_ABOVE else "disagree"


def comparisons(job: Job, solved: PassSolution) -> tuple[Comparison, ...]:
    """Compare what a pass measured in more than one way.

    Parameters
    ----------
    job : Job
        Car and instruments.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    tuple of Comparison
        Empty where nothing was measured twice.
    """
    readings = solved.readings
    hubs = [a for a in AXLES if all(_has_hub(readings, f"{side}_{a}") for side in SIDES)]
    if not readings.string or not (readings.tape or readings.steering_wheel_off or hubs):
        return ()
    strings = _Rest.of(solved, _others(hubs))
    found: list[Comparison] = []
    for axle, tape in readings.tape.items():
        name = f"total_toe.{axle}"
        found += _compared(name, "tape", strings.known(name), _taped(job, tape))
    if readings.steering_wheel_off:
        name = "steering_wheel"
        found += _compared(name, "road test", strings.known(name), _driven(job, readings))
    return (*found, *(_hubs(strings, axle) for axle in hubs))


def _others(hubs: list[str]) -> tuple[str, ...]:
    """Return the starts of the labels without which strings and bars stand alone.

    Without its rear edge a tape tells nothing but its own width; without its right hub an axle
    tells nothing but the depth of the left one.
    """
    tapes = (f"tape.{axle}.rear_edge" for axle in AXLES)
    return ("steering_wheel_off", *tapes, *(f"string.right_{axle}.hub" for axle in hubs))


@dataclass(frozen=True)
class _Rest:
    """A solution without some of its readings, by the textbook's formulas for leaving out.

    With ``R`` the part of the residuals' covariance that belongs to the readings left out, the
    misfit that the rest predicts for them is ``inverse(R)`` times their weighted residuals.
    """

    solved: PassSolution
    out: list[int]
    inverse: Array  # of R, for what can be left out
    bound: Array  # directions in which leaving out would lose an unknown
    misfits: Array  # what was read minus what the rest predicts, over each standard uncertainty

    @classmethod
    def of(cls, solved: PassSolution, starts: tuple[str, ...]) -> _Rest:
        """Leave out the observations whose labels start so."""
        observations = solved.network.observations
        out = [n for n, o in enumerate(observations) if o.label.startswith(starts)]
        size, ways = np.linalg.eigh(np.eye(len(out)) - solved.estimate.hat[np.ix_(out, out)])
        free = size > LEAST_REDUNDANCY
        inverse = ways[:, free] / size[free] @ ways[:, free].T
        misfits = inverse @ solved.estimate.weighted_residuals[out]
        return cls(solved, out, inverse, ways[:, ~free], misfits)

    def known(self, name: str) -> _Known | None:
        """Return a result by the rest alone, None where the rest does not give it."""
        if name not in self.solved.results:
            return None
        result, parts = self.solved[name], self.solved.estimate.contributions
        effect = parts(self.solved.gradients[name])[self.out]
        if self.bound.size and np.linalg.norm(effect @ self.bound) > LEAST_REDUNDANCY * result.u:
            return None
        value = result.value - float(effect @ self.misfits)
        return value, math.sqrt(result.u**2 + float(effect @ self.inverse @ effect))


_Known = tuple[float, float]  # value and standard uncertainty


def _taped(job: Job, tape: Tape) -> _Known | None:
    """Return the total toe of an axle by the tape alone."""
    if not (tape.front_edge and tape.rear_edge and tape.across):
        return None
    front, rear = (sum(edge) / len(edge) for edge in (tape.front_edge, tape.rear_edge))
    if abs(rear - front) >= 2.0 * tape.across:  # no toe at all would read so
        return None
    total = total_toe_from_tape(front, rear, tape.across)
    repeats = 1.0 / len(tape.front_edge) + 1.0 / len(tape.rear_edge)
    u = job.instruments.tape.u * math.sqrt(repeats)
    return total, u / (tape.across * math.cos(total / 2.0))


def _driven(job: Job, readings: Pass) -> _Known:
    """Return the steering wheel by the road test alone."""
    off = readings.steering_wheel_off
    return sum(off) / len(off), job.instruments.road_test.u / math.sqrt(len(off))


def _compared(
    name: str, kind: str, first: _Known | None, second: _Known | None
) -> Iterator[Comparison]:
    if first is not None and second is not None:
        yield Comparison(name, kind, first[0], second[0], math.hypot(first[1], second[1]))


def _hubs(strings: _Rest, axle: str) -> Comparison:
    """Compare the depths of an axle's hubs, each by the readings at its own wheel."""
    solved, estimate = strings.solved, strings.solved.estimate
    label = f"string.right_{axle}.hub"
    observations = solved.network.observations
    right = [k for k, n in enumerate(strings.out) if observations[n].label.startswith(label)]
    share = np.zeros(len(strings.out))
    share[right] = [estimate.u[strings.out[k]] / len(right) for k in right]
    deeper = float(share @ strings.misfits)
    u = math.sqrt(float(share @ strings.inverse @ share))
    depth = np.zeros(len(estimate.x))
    depth[solved.network.unknowns[f"hub.{axle}"]] = 1.0
    effect = estimate.contributions(depth)[strings.out]
    left = float(depth @ estimate.x - effect @ strings.misfits)
    return Comparison(f"hub_depth.{axle}", "hub", left, left + deeper, u)


def _has_hub(readings: Pass, wheel: str) -> bool:
    return readings.both_edges(wheel) and bool(readings.string[wheel].hub)
