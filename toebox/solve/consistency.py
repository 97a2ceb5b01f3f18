"""Do the ways of measuring agree? The same quantity from separate readings, side by side.

Strings against tape, strings against the road test, and the means of the rim readings against the
hub readings: each side is estimated from its own readings alone, so that the difference has a
standard uncertainty of its own, and a disagreement can be told from chance.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from toebox.estimate import DOUBTFUL_ABOVE, Array, Estimate, fit
from toebox.geometry.box import total_toe_from_tape
from toebox.job.model import AXLES, SIDES, Job, Pass, Tape
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution


@dataclass(frozen=True, slots=True)
class Comparison:
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
    table = _Table.of(solved)
    strings = table.strings_alone(hubs)
    found: list[Comparison] = []
    for axle, tape in readings.tape.items():
        name = f"total_toe.{axle}"
        found += _compared(name, "tape", strings.known(name), _taped(job, tape))
    if readings.steering_wheel_off:
        name = "steering_wheel"
        found += _compared(name, "road test", strings.known(name), _driven(job, readings))
    return (*found, *(_hubs(table, strings, axle) for axle in hubs))


# String readings and the assumptions that they rest on.
STRINGS = ("string.", "assumed.strings_parallel", "assumed.box_square", "assumed.rim_runout")
_Known = tuple[float, float]  # value and standard uncertainty


@dataclass(frozen=True)
class _Table:
    """The observations of a pass about its solution: what is left over, and the derivatives.

    One column is added for each axle: the depth of its right hub alone.
    """

    solved: PassSolution
    misfit: Array
    jacobian: Array

    @classmethod
    def of(cls, solved: PassSolution) -> _Table:
        fitted, jacobian = solved.network.model(solved.estimate.x)
        values = np.array([o.value for o in solved.network.observations])
        wide = np.hstack([jacobian, np.zeros((len(values), len(AXLES)))])
        return cls(solved, values - fitted, wide)

    def strings_alone(self, parted_hubs: list[str]) -> _Part:
        """Fit what was read on strings and bars by itself, as steps from the solution."""
        observations = self.solved.network.observations
        rows = [n for n, o in enumerate(observations) if o.label.startswith(STRINGS)]
        design = self.jacobian[rows]
        for axle in parted_hubs:
            shared, own = self.hub_columns(axle)
            label = f"string.right_{axle}.hub"
            right = [k for k, n in enumerate(rows) if observations[n].label.startswith(label)]
            design[right, own] = design[right, shared]
            design[right, shared] = 0.0
        used = np.asarray(design.any(axis=0))
        kept = design[:, used]
        u = self.solved.estimate.u[rows]
        start = np.zeros(kept.shape[1])
        return _Part(
            self.solved, used, fit(lambda x: (kept @ x, kept), self.misfit[rows], u, start)
        )

    def hub_columns(self, axle: str) -> tuple[int, int]:
        """Return the columns of an axle's shared hub depth and of its right hub's own."""
        unknowns = self.solved.network.unknowns
        return unknowns[f"hub.{axle}"], len(unknowns) + AXLES.index(axle)


@dataclass(frozen=True)
class _Part:
    """Some of the readings fitted by themselves; `used` tells of which unknowns they speak."""

    solved: PassSolution
    used: NDArray[np.bool_]
    steps: Estimate

    def known(self, name: str) -> _Known | None:
        """Return a result by these readings alone, None where they do not give it."""
        if name not in self.solved.results:
            return None
        gradient = np.concatenate([self.solved.gradients[name], np.zeros(len(AXLES))])
        if gradient[~self.used].any() or not self.steps.determined(gradient[self.used]):
            return None
        step, u = self.along(gradient)
        return self.solved[name].value + step, u

    def along(self, gradient: Array) -> _Known:
        """Return the step of a quantity from the solution, and its standard uncertainty."""
        used = gradient[self.used]
        return float(used @ self.steps.x), self.steps.standard_uncertainty(used)


def _taped(job: Job, tape: Tape) -> _Known | None:
    """Return the total toe of an axle by the tape alone."""
    if not (tape.front_edge and tape.rear_edge and tape.across):
        return None
    front, rear = (sum(edge) / len(edge) for edge in (tape.front_edge, tape.rear_edge))
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


def _hubs(table: _Table, strings: _Part, axle: str) -> Comparison:
    """Compare the depths of an axle's hubs, each by the readings at its own wheel."""
    shared, own = table.hub_columns(axle)
    common = float(table.solved.estimate.x[shared])
    left, right = np.zeros(len(strings.used)), np.zeros(len(strings.used))
    left[shared] = right[own] = 1.0
    # The right hub's misfit counts from the depth that both share, and so does its step.
    depths = (common + strings.along(left)[0], common + strings.along(right)[0])
    return Comparison(f"hub_depth.{axle}", "hub", *depths, strings.along(right - left)[1])


def _has_hub(readings: Pass, wheel: str) -> bool:
    read = readings.string.get(wheel)
    return read is not None and bool(read.front and read.rear and read.hub)
