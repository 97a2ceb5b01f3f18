"""What could be done better before measuring: each a change of the plan of readings."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from typing import Any, NamedTuple

from toebox.job.model import (
    AXLES,
    WHEELS,
    Instrument,
    Pass,
    Reading,
    SweepStop,
    Tape,
    WheelGauge,
    WheelStrings,
    axle_of,
)
from toebox.solve.gauge import USUAL_RIM, USUAL_TRACK, USUAL_WHEELBASE
from toebox.solve.plan import Plan

INCH = 0.0254
TURNED_BACK = 2  # positions of a wheel: valve up, valve down
RUNS = 4  # of a road test: both ways, twice
# Finer than this nobody reads by eye, or holds a rule: common practice, no published source.
FINEST = {
    "string_rule": 0.00024,
    "tape": 0.00045,
    "inclinometer": math.radians(0.045),
    "turn_plates": math.radians(0.2),
}
STRAIGHTEST = math.radians(0.25)  # by a level: half a division of 0.5 degrees
PLATE_SLOTS = {"in": (30 * INCH, 36 * INCH), "mm": (0.75, 0.9)}  # [m]
STRAIGHT_BARS = {"in": (24 * INCH, 30 * INCH), "mm": (0.6, 0.75)}  # [m]
SPARE_BAR_SPACING = 1.7  # bars stand a little outside the tyres: in wheelbases
SWEEP = tuple(math.radians(steer) for steer in (20.0, 0.0, -20.0))
# What a goal for such a result asks of the inclinometer.
GAUGED = {"camber": "camber", "cross_camber": "camber", "caster": "sweep", "cross_caster": "sweep"}
USUAL_TYRE = 0.6  # [m]


class Step(NamedTuple):
    """One thing to do better.

    Parameters
    ----------
    kind : str
        What is changed; the words for it are made elsewhere.
    facts : mapping of str to float
        Sizes and numbers that belong to it [unit of the fact].
    plan : Plan
        The plan as it is then.
    """

    kind: str
    facts: Mapping[str, float]
    plan: Plan


Change = Callable[[Plan], Step | None]


def changes() -> Iterator[Change]:
    """Yield every change that may be tried on a plan; each returns None where it does not apply."""
    for name in FINEST:
        yield _finer(name)
    yield _both_valve_positions
    yield _bar_widths
    yield _hubs
    yield _longer("plates", _plates)
    yield _longer("straight_bar", _straight_bar)
    yield _road_test
    yield _straighter
    for axle in AXLES:
        yield _tape_added(axle)
    yield _strings_added
    yield _gauge_added
    yield _floor
    yield _gauge_again
    yield _whole_round_again


def _finer(name: str) -> Change:
    """Halve both resolution and repeatability of an instrument."""

    def change(plan: Plan) -> Step | None:
        old: Instrument = getattr(plan.job.instruments, name)
        new = Instrument(old.resolution / 2.0, old.repeatability / 2.0)
        if max(new.resolution, new.repeatability) < FINEST[name]:
            return None
        facts = {"resolution": new.resolution, "repeatability": new.repeatability}
        return Step(name, facts, _with_instruments(plan, {name: new}))

    return change


def _with_instruments(plan: Plan, new: Mapping[str, Instrument]) -> Plan:
    named: Mapping[str, Any] = new
    instruments = plan.job.instruments._replace(**named)
    return plan._replace(job=plan.job._replace(instruments=instruments))


def _with_strings(plan: Plan, strings: Mapping[str, WheelStrings]) -> Plan:
    return plan._replace(readings=plan.readings._replace(string=strings))


def _again(reading: Reading, times: int) -> Reading:
    return reading[:1] * max(times, len(reading)) if reading else ()


def _both_valve_positions(plan: Plan) -> Step | None:
    """Read every rim edge with the valve up and with the valve down."""
    strings = {
        wheel: old._replace(
            front=_again(old.front, TURNED_BACK), rear=_again(old.rear, TURNED_BACK)
        )
        for wheel, old in plan.readings.string.items()
    }
    if _counts(strings) == _counts(plan.readings.string):
        return None
    return Step("both_valve_positions", {}, _with_strings(plan, strings))


def _counts(strings: Mapping[str, WheelStrings]) -> list[tuple[int, int]]:
    return [(len(s.front), len(s.rear)) for s in strings.values()]


def _bar_widths(plan: Plan) -> Step | None:
    """Measure the box at both bars."""
    readings, wheelbase = plan.readings, plan.job.car.wheelbase
    if (readings.front_bar_width and readings.rear_bar_width) or not readings.string:
        return None
    spacing = readings.bar_spacing or SPARE_BAR_SPACING * (wheelbase or USUAL_WHEELBASE)
    measured = readings._replace(front_bar_width=(0.0,), rear_bar_width=(0.0,), bar_spacing=spacing)
    return Step("bar_widths", {"bar_spacing": spacing}, plan._replace(readings=measured))


def _hubs(plan: Plan) -> Step | None:
    """Read the hub of every wheel that has string readings."""
    old = plan.readings.string
    strings = {wheel: s._replace(hub=s.hub or (0.0,)) for wheel, s in old.items()}
    if all(s.hub for s in old.values()):
        return None
    return Step("hubs", {}, _with_strings(plan, strings))


def _longer(kind: str, lengthen: Callable[[Plan, float], Plan | None]) -> Change:
    """Take a longer base to read across, the first length that is longer than the present one."""

    def change(plan: Plan) -> Step | None:
        lengths = PLATE_SLOTS if kind == "plates" else STRAIGHT_BARS
        for length in lengths[plan.job.length_unit]:
            longer = lengthen(plan, length)
            if longer is not None:
                return Step(kind, {"length": length}, longer)
        return None

    return change


def _plates(plan: Plan, length: float) -> Plan | None:
    tapes = plan.readings.tape
    if not tapes or any((tape.across or 0.0) > 0.95 * length for tape in tapes.values()):
        return None
    longer = {axle: tape._replace(across=length) for axle, tape in tapes.items()}
    return plan._replace(readings=plan.readings._replace(tape=longer))


def _straight_bar(plan: Plan, length: float) -> Plan | None:
    """Return the plan with the rule held to a straight bar on each rim; run-out grows with it."""
    car, instruments = plan.job.car, plan.job.instruments
    axles = {axle_of(wheel) for wheel in plan.readings.string}
    rims = [car.rim_diameter[axle] for axle in axles if axle in car.rim_diameter]
    if not rims or max(rims) > 0.8 * length:
        return None
    longer = {**car.rim_diameter, **dict.fromkeys(axles, length)}
    grown = instruments._replace(rim_runout=instruments.rim_runout * length / min(rims))
    job = plan.job._replace(car=car._replace(rim_diameter=longer), instruments=grown)
    return plan._replace(job=job)


def _road_test(plan: Plan) -> Step | None:
    """Drive the road test more often, or at all."""
    old = plan.readings.steering_wheel_off
    if plan.job.car.steering_ratio is None or len(old) >= RUNS:
        return None
    readings = plan.readings._replace(steering_wheel_off=(0.0,) * RUNS)
    kind = "road_test_again" if old else "road_test"
    return Step(kind, {"runs": RUNS}, plan._replace(readings=readings))


def _straighter(plan: Plan) -> Step | None:
    """Clamp the steering wheel twice as straight for the strings."""
    instruments = plan.job.instruments
    within = instruments.steering_wheel_straight_within / 2.0
    if within < STRAIGHTEST:
        return None
    better = instruments._replace(steering_wheel_straight_within=within)
    job = plan.job._replace(instruments=better)
    return Step("straighter", {"within": within}, plan._replace(job=job))


def _tape_added(axle: str) -> Change:
    """Measure across an axle with a tape, if that is not planned and anybody cares."""

    def change(plan: Plan) -> Step | None:
        cares = axle == "front" or f"total_toe.{axle}" in plan.job.goals
        if axle in plan.readings.tape or not cares:
            return None
        across = plan.job.car.tyre_diameter.get(axle, USUAL_TYRE)
        added = {**plan.readings.tape, axle: Tape((0.0,), (0.0,), across)}
        readings = plan.readings._replace(tape=added)
        return Step(f"tape_{axle}", {"across": across}, plan._replace(readings=readings))

    return change


def _strings_added(plan: Plan) -> Step | None:
    """Put strings beside all four wheels, read in both valve positions, bars measured."""
    old = plan.readings.string
    read = {wheel: strings for wheel, strings in old.items() if plan.readings.both_edges(wheel)}
    if len(read) == len(WHEELS):
        return None
    twice = (0.0,) * TURNED_BACK
    strings = dict.fromkeys(WHEELS, WheelStrings(twice, twice)) | read
    car = plan.job.car
    wheelbase = car.wheelbase or USUAL_WHEELBASE
    rims = {axle: car.rim_diameter.get(axle, USUAL_RIM) for axle in AXLES}
    job = plan.job._replace(car=car._replace(wheelbase=wheelbase, rim_diameter=rims))
    facts = {"wheelbase": wheelbase, "rim": rims["front"]}
    planned = _with_strings(plan._replace(job=job), strings)
    wide = _bar_widths(planned)
    return Step("strings", facts, wide.plan if wide else planned)


def _gauge_added(plan: Plan) -> Step | None:
    """Measure camber and sweep where a goal asks for them and nothing is planned."""
    wanted = {wheel: WheelGauge() for wheel in WHEELS} | dict(plan.readings.gauge)
    for name in plan.job.goals:
        kind, _, where = name.partition(".")
        if kind not in GAUGED:
            continue
        for wheel in WHEELS:
            if where in (wheel, axle_of(wheel)):
                wanted[wheel] = _measured(wanted[wheel], GAUGED[kind])
    gauges = {wheel: gauge for wheel, gauge in wanted.items() if gauge != WheelGauge()}
    if gauges == dict(plan.readings.gauge):
        return None
    return Step("gauge", {}, plan._replace(readings=plan.readings._replace(gauge=gauges)))


def _measured(gauge: WheelGauge, what: str) -> WheelGauge:
    """Return a gauge with camber or a sweep planned, where it has none."""
    if what == "camber":
        return gauge if gauge.camber else gauge._replace(camber=(0.0,))
    if gauge.sweep or gauge.caster:
        return gauge
    return gauge._replace(sweep=tuple(SweepStop(steer, 0.0) for steer in SWEEP))


def _floor(plan: Plan) -> Step | None:
    """Measure how level the floor is under every wheel that is gauged."""
    readings = plan.readings
    wanted = dict.fromkeys(axle_of(wheel) for wheel in readings.gauge)
    if any(gauge.sweep or gauge.caster for gauge in readings.gauge.values()):
        wanted["along"] = None
    missing = [where for where in wanted if where not in readings.floor]
    if not missing:
        return None
    car = plan.job.car
    track = dict.fromkeys(AXLES, USUAL_TRACK) | dict(car.track)
    sized = car._replace(track=track, wheelbase=car.wheelbase or USUAL_WHEELBASE)
    job = plan.job._replace(car=sized)
    floor = {**readings.floor, **dict.fromkeys(missing, 0.0)}
    return Step("floor", {}, plan._replace(job=job, readings=readings._replace(floor=floor)))


def _gauge_again(plan: Plan) -> Step | None:
    """Read camber twice, also with the gauge turned end for end, and every stop of a sweep."""
    gauges = plan.readings.gauge
    better = {wheel: _gauged_again(gauge) for wheel, gauge in gauges.items()}
    if better == dict(gauges):
        return None
    return Step("gauge_again", {}, plan._replace(readings=plan.readings._replace(gauge=better)))


def _gauged_again(gauge: WheelGauge) -> WheelGauge:
    """Return the readings of one wheel twice; a sweep alone gives camber too, straight ahead."""
    camber = gauge.camber or (0.0,) * bool(gauge.sweep)
    return gauge._replace(
        camber=_again(camber, TURNED_BACK),
        camber_turned=_again(gauge.camber_turned or camber, TURNED_BACK),
        caster=_again(gauge.caster, TURNED_BACK),
        sweep=tuple(sorted(2 * gauge.sweep, key=lambda stop: stop.steer)),
    )


def _whole_round_again(plan: Plan) -> Step | None:
    """Take every reading once more, from scratch, and the mean of both rounds."""
    return None if plan.rounds > 1 else Step("whole_round_again", {}, plan._replace(rounds=2))


def empty(readings: Pass) -> bool:
    """Return whether a pass holds no reading at all; what was turned before it is none."""
    return readings == readings.unread()
