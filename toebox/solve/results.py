"""What solving a job gives: frozen, in metres and radians, by name.

A result is named as in the JSON, with dots: ``toe.left_front``, ``total_toe.front``,
``thrust_angle``, ``toe_to_thrust.left_front`` (a front wheel's toe relative to the thrust
line), ``steering_wheel``, ``box.yaw``, ``box.taper``, ``setback``, ``camber.left_front``,
``caster.left_front``, ``steering_axis_inclination.left_front``, ``cross_camber.front``,
``cross_caster.front``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from toebox.estimate import Array, Estimate
from toebox.job.model import AXLES, WHEELS, Job, Pass
from toebox.solve.network import CLAMPED, Network, Observation

FRONT_WHEELS = ("left_front", "right_front")
TOE_RESULTS = (
    *(f"toe.{wheel}" for wheel in WHEELS),
    *(f"total_toe.{axle}" for axle in AXLES),
    "thrust_angle",
    *(f"toe_to_thrust.{wheel}" for wheel in FRONT_WHEELS),
    "steering_wheel",
    "box.yaw",
    "box.taper",
    "setback",
)


class Result(NamedTuple):
    """One determined quantity.

    Parameters
    ----------
    name : str
        As in the list at the top of this module.
    value : float
        Best value, signs as in ISO 8855 and the glossary [rad] ([m] for setback).
    u : float
        Standard uncertainty, k = 1 [rad] ([m] for setback).
    across : float or None
        Diameter across which a toe is also given as a distance [m].
    """

    name: str
    value: float
    u: float
    across: float | None = None


class Decision(NamedTuple):
    """How a result stands against its goal.

    Parameters
    ----------
    outcome : str
        ``within``, ``outside`` or ``not proven``.
    probability_within : float
        Probability that the true value lies within the goal band [-].
    """

    outcome: str
    probability_within: float


class Doubtful(NamedTuple):
    """A reading that does not fit the others.

    Parameters
    ----------
    reading : str
        Path of the reading in the job file.
    standardised_residual : float
        Its residual over the residual's own standard deviation [-].
    group : int
        Readings of the same group cannot be told apart; counted from 1.
    slip : float
        The slip in this reading that would explain the group, positive where it reads too
        large [m] or [rad].
    settled_by : tuple of str
        What to read once more, in this order, to tell the group apart, or to measure where it is
        an assumption; empty where no extra reading of the same kind would.
    """

    reading: str
    standardised_residual: float
    group: int
    slip: float
    settled_by: tuple[str, ...] = ()


LEAST_CLAMPED = math.radians(0.01)  # of the steering wheel: less is no matter, or rounding [rad]


@dataclass(frozen=True)
class PassSolution:
    """All results of one pass, with what they rest on."""

    readings: Pass
    results: Mapping[str, Result]
    not_measured: Mapping[str, str]
    assumed: tuple[str, ...]  # keys under [instruments]
    doubtful: tuple[Doubtful, ...]
    decisions: Mapping[str, Decision]
    network: Network
    estimate: Estimate
    gradients: Mapping[str, Array]

    @property
    def label(self) -> str:
        """Return the label of the pass."""
        return self.readings.label

    @property
    def clamped(self) -> float:
        """Return where the steering wheel was clamped for the strings, from straight clockwise.

        As estimated [rad]; zero where it is taken as exactly straight, or nothing tells.
        """
        index = self.network.unknowns.get(CLAMPED)
        found = 0.0 if index is None else float(self.estimate.x[index])
        return found if abs(found) > LEAST_CLAMPED else 0.0

    def __getitem__(self, name: str) -> Result:
        """Return a determined result; KeyError where it was not measured."""
        return self.results[name]

    def outcome(self, name: str) -> str:
        """Return how a result stands against its goal; empty without one, or a tolerance."""
        decision = self.decisions.get(name)
        return decision.outcome if decision is not None else ""

    def u_assumed(self, name: str) -> float:
        """Return what assumptions alone contribute to the uncertainty of a result [rad].

        Reading once more does not lessen it.
        """
        return math.hypot(*(part for one, part in self.contributions(name) if one.assumed))

    def contributions(self, name: str) -> list[tuple[Observation, float]]:
        """Return what each observation contributes to the uncertainty of a result [rad]."""
        parts = self.estimate.contributions(self.gradients[name]).tolist()
        return list(zip(self.network.observations, parts, strict=True))

    def get(self, name: str) -> Result | None:
        """Return a result, None where it was not measured."""
        return self.results.get(name)


class Solution(NamedTuple):
    """A solved job."""

    job: Job
    passes: tuple[PassSolution, ...]
