"""One pass of readings as a network of observations: what was read, what had to be assumed."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from toebox.estimate import Array, Estimate, determines, fit
from toebox.job.model import AXLES, SIDES, WHEELS, Instrument, Job, Pass, Reading, axle_of, side_of
from toebox.solve.equations import (
    LEAST_U,
    RECTANGULAR,
    TOTAL_RUNOUT,
    BarWidth,
    Equation,
    Linear,
    RimEdge,
    TapeEdge,
    Terms,
)
from toebox.solve.gauge import add_gauges
from toebox.solve.parts import parts_of

LEFT_RIGHT = {"left": 1.0, "right": -1.0}
ENDS = {"front": 1.0, "rear": -1.0}
# Where the steering wheel was clamped for the strings, clockwise from straight [rad].
CLAMPED = "steering_wheel_clamped"


class Observation(NamedTuple):
    """One reading (or assumption) with its equation.

    Parameters
    ----------
    label : str
        Path in the job file, ``[n]`` added (counted from 1) where the reading was repeated.
    value : float
        What was read [m] or [rad].
    u : float
        Its standard uncertainty [m] or [rad].
    equation : Equation
        What it should be.
    assumed : str
        Empty for a reading; for an assumption, the key that it comes from.
    """

    label: str
    value: float
    u: float
    equation: Equation
    assumed: str = ""


@dataclass
class Network:
    """Observations of one pass and the unknowns that they speak of, by name."""

    unknowns: dict[str, int] = field(default_factory=dict)
    observations: list[Observation] = field(default_factory=list)
    start: dict[str, float] = field(default_factory=dict)  # first guess, 0 where there is none

    def unknown(self, name: str) -> int:
        """Return the index of an unknown, making it where it is new."""
        return self.unknowns.setdefault(name, len(self.unknowns))

    def read(
        self,
        label: str,
        reading: Reading,
        instrument: Instrument,
        equation: Equation | Callable[[int], Equation],
    ) -> None:
        """Add a reading, repeat by repeat; `equation` may depend on the repeat's number."""
        u, repeated = max(instrument.u, LEAST_U), len(reading) > 1
        for number, value in enumerate(reading):
            name = f"{label}[{number + 1}]" if repeated else label
            what = equation(number) if callable(equation) else equation
            self.observations.append(Observation(name, value, u, what))

    def assume(self, key: str, within: float, terms: Terms, value: float = 0.0) -> None:
        """Add the assumption that a sum of unknowns is `value` within a standard uncertainty."""
        u = max(within, LEAST_U)
        self.observations.append(Observation(f"assumed.{key}", value, u, Linear(terms), key))

    @cached_property
    def _cells(self) -> NDArray[np.intp]:
        """Where the derivatives of the observations belong in the table, once all are there."""
        width, pairs = len(self.unknowns), enumerate(self.observations)
        return np.array([row * width + n for row, o in pairs for n in o.equation.unknowns], np.intp)

    def model(self, x: Array) -> tuple[Array, Array]:
        """Return what the observations should be at `x`, and their derivatives."""
        unknowns: list[float] = x.tolist()  # single numbers are read faster from a list
        slopes: list[float] = []
        values = [o.equation.value(unknowns, slopes) for o in self.observations]
        shape = len(self.observations), len(self.unknowns)
        table = np.bincount(self._cells, np.array(slopes), shape[0] * shape[1])
        return np.array(values), np.asarray(table, np.float64).reshape(shape)

    def fit(self) -> Estimate:
        """Fit the unknowns to the observations."""
        y = np.array([o.value for o in self.observations])
        u = np.array([o.u for o in self.observations])
        return fit(self.model, y, u, self.first_guess())

    def told_without(self, key: str, gradient: Array) -> bool:
        """Return whether a quantity follows from the observations but for one assumption."""
        _, jacobian = self.model(self.first_guess())
        kept = [o.assumed != key for o in self.observations]
        return determines(jacobian[kept], gradient)

    def first_guess(self) -> Array:
        """Return where a fit begins: a straight car in a parallel box."""
        return np.array([self.start.get(name, 0.0) for name in self.unknowns])


def network_of(job: Job, readings: Pass) -> Network:
    """Build the network of one pass.

    Parameters
    ----------
    job : Job
        Car and instruments.
    readings : Pass
        One round of readings.

    Returns
    -------
    Network
        Observations of strings, tapes, bars, road test and wheelbases, then what is assumed of
        them; after that those of inclinometer, turn plates and floor, likewise.

    Raises
    ------
    ValueError
        If sizes are missing that readings need: a tape's `across`, or for strings the wheelbase
        and the rim diameter of their axle. A job that was loaded has them.
    """
    network = Network()
    for wheel in readings.string:
        _add_wheel(network, job, readings, wheel)
    for axle in readings.tape:
        _add_tape(network, job, readings, axle)
    _add_bars(network, job, readings)
    _add_road_test(network, job, readings)
    for side in SIDES:
        reading = getattr(readings, f"wheelbase_{side}")
        if reading:
            equation = Linear(((network.unknown(f"wheelbase.{side}"), 1.0),))
            network.read(f"wheelbase_{side}", reading, job.instruments.tape, equation)
    _add_assumptions(network, job, readings)
    _start(network, readings)
    add_gauges(network, job, readings)
    return network


def _start(network: Network, readings: Pass) -> None:
    """Begin at a straight car in a parallel box of about the right width.

    What the readings leave open then stays near there: no angle of a wheel is guessed at where a
    distance is meant.
    """
    for axle in AXLES:
        wheels = [readings.string.get(f"{side}_{axle}") for side in SIDES]
        edges = [value for w in wheels if w is not None for value in (*w.front, *w.rear)]
        hubs = [value for w in wheels if w is not None for value in w.hub]
        gap = _mean(edges or hubs)
        network.start |= {f"gap.{axle}": gap, f"hub.{axle}": _mean(hubs or [gap]) - gap}
    for axle, tape in readings.tape.items():
        network.start[f"tape.{axle}"] = _mean((*tape.front_edge, *tape.rear_edge))
    network.start["bars"] = _mean((*readings.front_bar_width, *readings.rear_bar_width))


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0


def _add_wheel(network: Network, job: Job, readings: Pass, wheel: str) -> None:
    """Add the string readings at one wheel."""
    axle, side = axle_of(wheel), LEFT_RIGHT[side_of(wheel)]
    strings, rule = readings.string[wheel], job.instruments.string_rule
    if strings.front or strings.rear:
        edges = _rim_edges(network, job, wheel, max(len(strings.front), len(strings.rear)))
        network.read(f"string.{wheel}.front", strings.front, rule, edges.__getitem__)
        edges = [edge._replace(end=-edge.end) for edge in edges]
        network.read(f"string.{wheel}.rear", strings.rear, rule, edges.__getitem__)
    if strings.hub:
        gap, shift, hub = (network.unknown(f"{name}.{axle}") for name in ("gap", "shift", "hub"))
        equation = Linear(((gap, 1.0), (shift, -side), (hub, 1.0)))
        network.read(f"string.{wheel}.hub", strings.hub, rule, equation)


def _rim_edges(network: Network, job: Job, wheel: str, positions: int) -> list[RimEdge]:
    """Return the equation of the front edge of a rim for each position of the wheel."""
    axle, wheelbase = axle_of(wheel), job.car.wheelbase
    if wheelbase is None or axle not in job.car.rim_diameter:
        raise ValueError("string readings need car.wheelbase and car.rim_diameter")

    unknown = network.unknown
    edge = RimEdge(
        side=LEFT_RIGHT[side_of(wheel)],
        end=ENDS["front"],
        half_rim=job.car.rim_diameter[axle] / 2.0,
        wheelbase=wheelbase,
        toe=unknown(f"toe.{wheel}"),
        taper=unknown("taper"),
        gap=unknown(f"gap.{axle}"),
        shift=unknown(f"shift.{axle}"),
        shift_front=unknown("shift.front"),
        shift_rear=unknown("shift.rear"),
        steered=_steered(network, job, wheel),
    )
    return [edge._replace(wobble=_wobble(network, wheel, n, positions)) for n in range(positions)]


def _steered(network: Network, job: Job, wheel: str) -> Terms:
    """Return how a front wheel stands further in where the steering wheel was clamped off straight.

    Toe is that with the steering wheel straight. Nothing where it is taken as exactly straight; as
    far as with a quick steering where its ratio is not known.
    """
    if axle_of(wheel) != "front" or not job.instruments.steering_wheel_straight_within:
        return ()
    return ((network.unknown(CLAMPED), LEFT_RIGHT[side_of(wheel)] / job.car.least_ratio),)


def _wobble(network: Network, wheel: str, number: int, positions: int) -> Terms:
    """Return the lateral run-out of the rim at its front edge, in one position of the wheel."""
    phase = 2.0 * math.pi * number / positions
    wobble: Terms = ((network.unknown(f"wobble.{wheel}"), math.cos(phase)),)
    if positions > 2:
        wobble += ((network.unknown(f"wobble.{wheel}.quarter"), math.sin(phase)),)
    return wobble


def _add_tape(network: Network, job: Job, readings: Pass, axle: str) -> None:
    """Add the tape readings across one axle."""
    tape = readings.tape[axle]
    if tape.across is None:
        raise ValueError("tape readings need across")
    left, right = (network.unknown(f"toe.{side}_{axle}") for side in SIDES)
    for end, sign in ENDS.items():
        reading: Reading = getattr(tape, f"{end}_edge")
        equation = TapeEdge(sign, tape.across / 2.0, network.unknown(f"tape.{axle}"), left, right)
        network.read(f"tape.{axle}.{end}_edge", reading, job.instruments.tape, equation)


def _add_bars(network: Network, job: Job, readings: Pass) -> None:
    """Add the widths between the strings at both bars."""
    if readings.bar_spacing is None or not readings.bars_measured:
        return
    middle, taper = network.unknown("bars"), network.unknown("taper")
    for end, sign in ENDS.items():
        reading: Reading = getattr(readings, f"{end}_bar_width")
        equation = BarWidth(sign, readings.bar_spacing, middle, taper)
        network.read(f"string.{end}_bar_width", reading, job.instruments.tape, equation)


def _add_road_test(network: Network, job: Job, readings: Pass) -> None:
    """Add the position of the steering wheel while the car runs straight."""
    ratio, reading = job.car.steering_ratio, readings.steering_wheel_off
    if ratio is not None and reading:
        parts = parts_of("steering_wheel").items()
        equation = Linear(tuple((network.unknown(toe), ratio * part) for toe, part in parts))
        network.read("steering_wheel_off", reading, job.instruments.road_test, equation)


def _add_assumptions(network: Network, job: Job, readings: Pass) -> None:
    """Add what had to be assumed of box and rims, where string readings need it."""
    wheelbase = job.car.wheelbase
    if wheelbase is None or "shift.front" not in network.unknowns:
        return
    instruments, unknown = job.instruments, network.unknown
    if not readings.bars_measured:
        half = 2.0 * (readings.bar_spacing or wheelbase)
        within = instruments.strings_parallel_within / half * RECTANGULAR
        network.assume("strings_parallel_within", within, ((unknown("taper"), 1.0),))
    if not all(map(readings.both_edges, WHEELS)):
        shifts = ((unknown("shift.front"), 1.0), (unknown("shift.rear"), -1.0))
        network.assume("box_square_within", instruments.box_square_within * RECTANGULAR, shifts)
    if CLAMPED in network.unknowns:
        within = instruments.steering_wheel_straight_within * RECTANGULAR
        network.assume("steering_wheel_straight_within", within, ((unknown(CLAMPED), 1.0),))
    for name in [name for name in network.unknowns if name.startswith("wobble.")]:
        key = name.replace("wobble", "rim_runout", 1)
        network.assume(key, instruments.rim_runout * TOTAL_RUNOUT, ((unknown(name), 1.0),))
