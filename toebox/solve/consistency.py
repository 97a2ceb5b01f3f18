"""Do the ways of measuring agree? The same quantity from separate readings, side by side.

Strings against tape, strings against the road test, and the means of the rim readings against the
hub readings: each side is estimated from its own readings alone, so that the difference has a
standard uncertainty of its own, and a disagreement can be told from chance.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from toebox.estimate import DOUBTFUL_ABOVE
from toebox.job.model import AXLES, SIDES, Job, Pass
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.equations import Linear
from toebox.solve.network import Network, network_of
from toebox.solve.quantities import toe_results
from toebox.solve.results import PassSolution, Result


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
    strings = _strings_alone(readings)
    found: list[Comparison] = []
    if readings.string and (readings.tape or readings.steering_wheel_off):
        by_strings = _results(job, strings)
        by_tape = _results(job, Pass(readings.label, tape=readings.tape)) if readings.tape else {}
        found += _by_tape(by_strings, by_tape)
        found += _by_road_test(job, readings, by_strings)
    return (*found, *_by_hub(job, strings))


def _strings_alone(readings: Pass) -> Pass:
    """Return what was read on strings and bars, as a pass of its own."""
    return Pass(
        readings.label,
        string=readings.string,
        front_bar_width=readings.front_bar_width,
        rear_bar_width=readings.rear_bar_width,
        bar_spacing=readings.bar_spacing,
    )


def _results(job: Job, readings: Pass) -> Mapping[str, Result]:
    network = network_of(job, readings)
    return toe_results(network, network.fit(), job)[0]


def _by_tape(
    by_strings: Mapping[str, Result], by_tape: Mapping[str, Result]
) -> Iterator[Comparison]:
    for axle in AXLES:
        name = f"total_toe.{axle}"
        if name in by_strings and name in by_tape:
            yield _compared(by_strings[name], by_tape[name], "tape")


def _by_road_test(
    job: Job, readings: Pass, by_strings: Mapping[str, Result]
) -> Iterator[Comparison]:
    off = readings.steering_wheel_off
    if off and "steering_wheel" in by_strings:
        u = job.instruments.road_test.u / math.sqrt(len(off))
        driven = Result("steering_wheel", sum(off) / len(off), u)
        yield _compared(by_strings["steering_wheel"], driven, "road test")


def _compared(first: Result, second: Result, kind: str) -> Comparison:
    u = math.hypot(first.u, second.u)
    return Comparison(first.name, kind, first.value, second.value, u)


def _by_hub(job: Job, strings: Pass) -> Iterator[Comparison]:
    """Give each hub a depth of its own and compare left with right."""
    axles = [a for a in AXLES if all(_has_hub(strings, f"{side}_{a}") for side in SIDES)]
    if not axles:
        return
    network = network_of(job, strings)
    for axle in axles:
        _part_hubs(network, axle)
    estimate = network.fit()
    for axle in axles:
        gradient = np.zeros(len(network.unknowns))
        left, right = network.unknowns[f"hub.{axle}"], network.unknowns[f"hub.right_{axle}"]
        gradient[left], gradient[right] = -1.0, 1.0
        u = estimate.standard_uncertainty(gradient)
        depths = float(estimate.x[left]), float(estimate.x[right])
        yield Comparison(f"hub_depth.{axle}", "hub", *depths, u)


def _has_hub(strings: Pass, wheel: str) -> bool:
    read = strings.string.get(wheel)
    return read is not None and bool(read.front and read.rear and read.hub)


def _part_hubs(network: Network, axle: str) -> None:
    """Let the right hub of an axle lie as deep as its own readings say."""
    shared, own = network.unknown(f"hub.{axle}"), network.unknown(f"hub.right_{axle}")
    label = f"string.right_{axle}.hub"
    for number, observation in enumerate(network.observations):
        equation = observation.equation
        if observation.label.startswith(label) and isinstance(equation, Linear):
            terms = tuple((own if i == shared else i, factor) for i, factor in equation.terms)
            network.observations[number] = replace(observation, equation=Linear(terms))
