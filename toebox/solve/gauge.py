"""Inclinometer and turn plates as observations: camber, sweeps, shown caster, sloping floor.

Unknowns are named as the results: ``camber.<wheel>``, ``caster.<wheel>``,
``steering_axis_inclination.<wheel>``; beside them the gauge's zero error, the sines of the
floor's slopes, the steer angle at each stop, and the wobble of each rim. The zero error is one
for all wheels of a pass: where one wheel was read with the gauge turned end for end, it corrects
the others as well. A sweep has a camber of its own (``sweep_camber.<wheel>``), since its gauge
often stands elsewhere or was set to zero at one stop; it serves for camber only where the wheel
has no other camber reading and one stop lies straight ahead.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from toebox.estimate import Estimate
from toebox.geometry.camber import gauge_reading
from toebox.geometry.sweep import Sweep, assumed_sai, camber_slopes, count_distinct, solve_sweep
from toebox.geometry.sweep import sweep_factor as factor_of
from toebox.job.model import Instrument, Job, Pass, SweepStop, WheelGauge, axle_of, side_of
from toebox.solve.equations import (
    LEAST_U,
    RECTANGULAR,
    TOTAL_RUNOUT,
    Linear,
    Terms,
    add_terms,
    indices,
)

if TYPE_CHECKING:
    from toebox.solve.network import Network

# How far the inclination in a maker's data is from that of one car: common practice, no
# published source.
GIVEN_SAI_U = math.radians(1.0)
# A sweep that determines inclination less well than this leaves it unmeasured.
UNTELLABLE_SAI_U = math.radians(15.0)
STRAIGHT_AHEAD = math.radians(2.0)
_LARGEST_LEAN, _LARGEST_MISS = math.radians(30.0), math.radians(5.0)
# A gauge that shows caster is swept 20 degrees each way (NAVEDTRA 14273); how a slip of the
# steer angle enters is taken at a caster of 5 and an inclination of 12 degrees.
SHOWN_SWEEP = math.radians(20.0)
SHOWN_SAI = math.radians(12.0)
_BY_STEER = (math.tan(math.radians(5.0)), math.tan(SHOWN_SAI))
# Sizes where the car does not give them: they only turn an assumed slope or wobble into an angle,
# or stand in a plan. Common practice, no published source.
USUAL_TRACK, USUAL_WHEELBASE, USUAL_RIM = 1.5, 2.6, 0.4  # [m]


class GaugeReading(NamedTuple):
    """Camber as shown at one steer angle; exact in three dimensions.

    `axis` holds caster, inclination and steer angle; without it the wheel stands straight ahead,
    where a slope of the floor along the car hardly shows.
    `extra` adds the gauge's zero error and the wobble of the rim.
    """

    side: str
    camber: int
    across: int
    along: int | None = None
    axis: tuple[int, int, int] | None = None
    extra: Terms = ()

    @property
    def unknowns(self) -> tuple[int, ...]:
        """Return the unknowns that it speaks of."""
        along = () if self.along is None else (self.along,)
        return (self.camber, self.across, *along, *(self.axis or ()), *indices(self.extra))

    def value(self, x: Sequence[float], slopes: list[float]) -> float:
        """Return what the gauge shows [rad]; append its derivatives."""
        straight = x[self.camber]
        steer, camber = 0.0, straight
        by = (0.0, 0.0, 1.0, 0.0)  # caster, inclination, camber straight ahead, steer
        if self.axis is not None:
            caster, sai, steer = (x[index] for index in self.axis)
            camber, by = camber_slopes(caster, sai, straight, steer)
        across, along = x[self.across], 0.0 if self.along is None else x[self.along]
        shown, (by_camber, by_steer, by_across, by_along) = gauge_reading(
            camber, steer, across, along, self.side
        )
        slopes += (by_camber * by[2], by_across)
        if self.along is not None:
            slopes.append(by_along)
        if self.axis is not None:
            slopes += (by_camber * by[0], by_camber * by[1], by_camber * by[3] + by_steer)
        return shown + add_terms(self.extra, x, slopes)


def add_gauges(network: Network, job: Job, readings: Pass) -> None:
    """Add whatever inclinometer, turn plates and floor readings say.

    Parameters
    ----------
    network : Network
        Takes up observations, unknowns and assumptions.
    job : Job
        Car and instruments.
    readings : Pass
        One round of readings.
    """
    for wheel, gauge in readings.gauge.items():
        _add_camber(network, job, readings, wheel)
        sweep = sweep_alone(job, wheel, gauge.sweep)
        if sweep is not None:
            _add_sweep(network, job, wheel, gauge, sweep)
        if gauge.caster:
            zero = _plates_zero(network, job, wheel, -_BY_STEER[1])
            terms = ((network.unknown(f"caster.{wheel}"), 1.0), (_along(network), 1.0), *zero)
            label = f"inclinometer.{wheel}.caster"
            network.read(label, gauge.caster, _shown_caster(job), Linear(terms))
    _add_floor(network, job, readings)
    _add_assumptions(network, job, readings)
    plates = job.instruments.turn_plates
    for side, turn in readings.turn.items():
        for which in ("inner", "outer"):
            label = f"turn.{side}.{which}"
            zero = _plates_zero(network, job, *turned_wheel(side, which))
            equation = Linear(((network.unknown(label), 1.0), *zero))
            network.read(label, getattr(turn, which), plates, equation)


def sweep_tells_sai(job: Job, stops: tuple[SweepStop, ...]) -> bool:
    """Say whether a sweep measures the steering-axis inclination.

    Parameters
    ----------
    job : Job
        Instruments.
    stops : tuple of SweepStop
        Steer angle and camber of each stop.

    Returns
    -------
    bool
        True with three distinct stops far enough apart for an answer within 15 degrees.
    """
    if count_distinct([stop.steer for stop in stops]) < 3:
        return False
    sweep = _swept(job, stops, None)
    return sweep is not None and sweep.u_sai is not None and sweep.u_sai < UNTELLABLE_SAI_U


def sweep_alone(job: Job, wheel: str, stops: tuple[SweepStop, ...]) -> Sweep | None:
    """Solve a sweep by itself, by the linear sweep equation.

    Parameters
    ----------
    job : Job
        Instruments, and the inclination of the car.
    wheel : str
        Whose sweep it is.
    stops : tuple of SweepStop
        Steer angle and camber of each stop.

    Returns
    -------
    Sweep or None
        None with fewer than two distinct stops, or where no steering axis of a car has such
        cambers: it would lean beyond 30 degrees, or miss a stop by more than 5 degrees.
    """
    given = job.car.steering_axis_inclination.get(side_of(wheel))
    if given is None and not sweep_tells_sai(job, stops):
        given = assumed_sai()[0]
    return _swept(job, stops, given)


def beyond_any_car(network: Network, estimate: Estimate) -> bool:
    """Say whether a fit has a steering axis or a camber that no car has.

    Parameters
    ----------
    network : Network
        Observations and unknowns of a pass.
    estimate : Estimate
        Their fit.

    Returns
    -------
    bool
        True where an axis leans by more than twice what `sweep_alone` allows, or a wheel does.
    """
    kinds = ("camber", "sweep_camber", "caster", "steering_axis_inclination")
    return any(
        abs(estimate.x[index]) > 2.0 * _LARGEST_LEAN
        for name, index in network.unknowns.items()
        if name.partition(".")[0] in kinds
    )


def _swept(job: Job, stops: tuple[SweepStop, ...], given_sai: float | None) -> Sweep | None:
    """Return the solution of the linear sweep equation; None where it is no car's."""
    gauge, plates = job.instruments.inclinometer, job.instruments.turn_plates
    return _solved(stops, max(gauge.u, LEAST_U), plates.u, given_sai)


@lru_cache(maxsize=64)
def _solved(
    stops: tuple[SweepStop, ...], u_camber: float, u_steer: float, given_sai: float | None
) -> Sweep | None:
    """Solve a sweep once, however often it is asked about."""
    steers, cambers = [stop.steer for stop in stops], [stop.camber for stop in stops]
    try:
        found = solve_sweep(steers, cambers, u_camber, u_steer, given_sai)
    except ValueError:
        return None
    return None if of_no_car(found) else found


def of_no_car(sweep: Sweep) -> bool:
    """Say whether no car has the steering axis that a sweep tells.

    Parameters
    ----------
    sweep : Sweep
        A solved sweep.

    Returns
    -------
    bool
        True where the axis leans beyond 30 degrees, or misses a stop by more than 5 degrees.
    """
    # An inclination given as 30 degrees comes back a rounding error larger.
    leans = max(abs(sweep.caster), abs(sweep.sai_used)) > _LARGEST_LEAN + 1e-9
    return leans or max(map(abs, sweep.residuals)) > _LARGEST_MISS


def _across(network: Network, wheel: str) -> int:
    return network.unknown(f"floor_across.{axle_of(wheel)}")


def _along(network: Network) -> int:
    return network.unknown("floor_along")


def _zero(network: Network, sign: float) -> tuple[int, float]:
    return network.unknown("gauge_zero"), sign


def _wobble(
    network: Network, job: Job, wheel: str, number: int, positions: int
) -> tuple[tuple[int, float], ...]:
    """Return what the wobble of a rim adds to camber at one position of the wheel."""
    half_rim = job.car.rim_diameter.get(axle_of(wheel), USUAL_RIM) / 2.0
    phase = 2.0 * math.pi * number / positions
    terms = [(network.unknown(f"wobble_up.{wheel}"), math.cos(phase) / half_rim)]
    if positions > 2:
        quarter = network.unknown(f"wobble_up.{wheel}.quarter")
        terms.append((quarter, math.sin(phase) / half_rim))
    return tuple(terms)


def _add_camber(network: Network, job: Job, readings: Pass, wheel: str) -> None:
    """Add the camber readings at one wheel, and those with the gauge turned end for end."""
    for key, sign in (("camber", 1.0), ("camber_turned", -1.0)):
        reading = getattr(readings.gauge[wheel], key)
        if not reading:
            continue
        plain = GaugeReading(
            side_of(wheel),
            network.unknown(f"camber.{wheel}"),
            _across(network, wheel),
            _along(network) if "along" in readings.floor else None,
        )
        zero, count = _zero(network, sign), len(reading)
        equations = [
            plain._replace(extra=(zero, *_wobble(network, job, wheel, number, count)))
            for number in range(count)
        ]
        label = f"inclinometer.{wheel}.{key}"
        network.read(label, reading, job.instruments.inclinometer, equations.__getitem__)


def _add_sweep(network: Network, job: Job, wheel: str, gauge: WheelGauge, sweep: Sweep) -> None:
    """Add the stops of a sweep; each steer angle is a reading of the turn plates."""
    stops, side = gauge.sweep, side_of(wheel)
    gauge_of, plates = job.instruments.inclinometer, job.instruments.turn_plates
    camber = f"sweep_camber.{wheel}"
    extra: Terms = ()
    if serves_for_camber(gauge):
        camber = f"camber.{wheel}"
        extra = (_zero(network, 1.0), *_wobble(network, job, wheel, 0, 1))
    names = (camber, f"caster.{wheel}", f"steering_axis_inclination.{wheel}")
    straight, caster, sai = (network.unknown(name) for name in names)
    _add_inclination(network, job, wheel, stops, sai)
    zero = _plates_zero(network, job, wheel)
    begin = (sweep.camber(0.0), sweep.caster, sweep.sai_used)
    network.start.update(zip(names, begin, strict=True))
    for number, stop in enumerate(stops, start=1):
        name = f"steer.{wheel}.{number}"
        steer = network.unknown(name)
        network.start[name] = stop.steer
        equation = GaugeReading(
            side,
            straight,
            _across(network, wheel),
            _along(network),
            (caster, sai, steer),
            extra,
        )
        label = f"inclinometer.{wheel}.sweep"
        turned = Linear(((steer, 1.0), *zero))
        network.read(f"{label}.camber[{number}]", (stop.camber,), gauge_of, equation)
        network.read(f"{label}.steer[{number}]", (stop.steer,), plates, turned)


def turned_wheel(side: str, which: str) -> tuple[str, float]:
    """Return which wheel is the inner or outer one on a turn, and the sign of its steer angle.

    Parameters
    ----------
    side : {"left", "right"}
        The side steered to.
    which : {"inner", "outer"}
        Which of both wheels.

    Returns
    -------
    wheel : str
        Name of the wheel.
    sign : float
        1 where it is steered outwards, as the inner wheel is; -1 inwards [-].
    """
    if which == "inner":
        return f"{side}_front", 1.0
    return ("right_front" if side == "left" else "left_front"), -1.0


def _plates_zero(network: Network, job: Job, wheel: str, factor: float = 1.0) -> Terms:
    """Return by how much plates show more than the steer angle, times a factor.

    They show zero as the wheel stood when they were set, which may toe in or out.
    """
    within, name = job.instruments.turn_plates_zero_within, f"plates_zero.{wheel}"
    if not within:
        return ()
    new = name not in network.unknowns
    index = network.unknown(name)
    if new:
        key = f"turn_plates_zero_within.{wheel}"
        network.assume(key, within * RECTANGULAR, ((index, 1.0),))
    return ((index, factor),)


def serves_for_camber(gauge: WheelGauge) -> bool:
    """Say whether the sweep of a wheel stands for its camber reading as well.

    Parameters
    ----------
    gauge : WheelGauge
        Readings at the wheel.

    Returns
    -------
    bool
        True where camber was not read by itself and one stop lies straight ahead.
    """
    near = any(abs(stop.steer) <= STRAIGHT_AHEAD for stop in gauge.sweep)
    return near and not gauge.camber and not gauge.camber_turned


def _add_inclination(
    network: Network, job: Job, wheel: str, stops: tuple[SweepStop, ...], sai: int
) -> None:
    """Add the inclination as given, or as assumed where the sweep cannot tell it."""
    given = job.car.steering_axis_inclination.get(side_of(wheel))
    key = f"steering_axis_inclination.{wheel}"
    if given is not None:
        network.assume(key, GIVEN_SAI_U, ((sai, 1.0),), given)
    elif not sweep_tells_sai(job, stops):
        middle, u = assumed_sai()
        network.assume(key, u, ((sai, 1.0),), middle)


def _shown_caster(job: Job) -> Instrument:
    """Return the uncertainty of a caster that the gauge itself worked out from two cambers."""
    tan_caster, tan_sai = _BY_STEER
    sin_d, cos_d, factor = math.sin(SHOWN_SWEEP), math.cos(SHOWN_SWEEP), factor_of(SHOWN_SWEEP)
    both_stops = math.sqrt(2.0 * ((tan_caster * cos_d) ** 2 + (tan_sai * sin_d) ** 2))
    by_steer = factor * both_stops * job.instruments.turn_plates.u
    by_camber = math.sqrt(2.0) * factor * job.instruments.inclinometer.u
    return Instrument(0.0, math.hypot(by_camber, by_steer))


def _add_floor(network: Network, job: Job, readings: Pass) -> None:
    """Add the floor's differences in height, where they matter."""
    for key, height in readings.floor.items():
        name = "floor_along" if key == "along" else f"floor_across.{key}"
        base = job.car.wheelbase if key == "along" else job.car.track.get(key)
        if name in network.unknowns and base is not None:
            terms = ((network.unknowns[name], base),)
            network.read(f"floor.{key}", (height,), job.instruments.string_rule, Linear(terms))


def _add_assumptions(network: Network, job: Job, readings: Pass) -> None:
    """Add what had to be assumed of gauge, floor and rims."""
    instruments, unknowns, car = job.instruments, dict(network.unknowns), job.car
    if "gauge_zero" in unknowns and not zero_measured(readings):
        u = instruments.gauge_zero_within * RECTANGULAR
        network.assume("gauge_zero_within", u, ((unknowns["gauge_zero"], 1.0),))
    for name, index in unknowns.items():
        kind, _, where = name.partition(".")
        if kind in ("floor_across", "floor_along") and (where or "along") not in readings.floor:
            track = car.track.get(where, USUAL_TRACK)
            base = track if where else car.wheelbase or USUAL_WHEELBASE
            u = instruments.floor_level_within / base * RECTANGULAR
            network.assume(f"floor_level_within.{where or 'along'}", u, ((index, 1.0),))
        if kind == "wobble_up":
            u = instruments.rim_runout * TOTAL_RUNOUT
            network.assume(f"rim_runout.{where}.upright", u, ((index, 1.0),))


def zero_measured(readings: Pass) -> bool:
    """Say whether the gauge's zero error follows from the readings of a pass.

    Parameters
    ----------
    readings : Pass
        One round of readings.

    Returns
    -------
    bool
        True where some wheel was read both ways round.
    """
    return any(gauge.camber and gauge.camber_turned for gauge in readings.gauge.values())
