"""Values that can be read but are hardly meant: a wrong unit, a swapped digit, a skipped line.

The limits are common practice, no published source: wide enough that a bent car passes,
narrow enough that an inch read for a centimetre does not.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

from toebox.job.lines import Path
from toebox.job.mixed_units import another_unit
from toebox.job.model import (
    AXLES,
    SIDES,
    WHEELS,
    Car,
    Job,
    Pass,
    Reading,
    Tape,
    WheelStrings,
    numbers_in,
)
from toebox.job.notes import Notes
from toebox.job.sweeps import TOO_NEAR, of_caster, too_near
from toebox.units.thread import unusual

_LARGEST_TOE = math.sin(math.radians(3.0))
_LARGEST_TOTAL = math.radians(3.0)  # at both axles alike
_LARGEST_YAW = math.tan(math.radians(3.0))
_LARGEST_CAMBER = math.radians(6.0)
_LARGEST_OFF = math.radians(45.0)
_LENGTH_SPREAD = 0.0064  # [m]
_ANGLE_SPREADS = {"camber": 1.0, "camber_turned": 1.0, "caster": 2.0}  # [degrees]
_GAUGE_ZERO = math.radians(0.5)  # a digital gauge is hardly ever further off
_OFF_SPREAD = math.radians(10.0)
_WHEELBASE_SPREAD = 0.06  # setback or a slip of the tape [m]
_TYRE_WIDTH = 0.35  # a tape between edges differs from the track by no more [m]
_PLATES = math.radians(1.0)  # how far turn plates may be off
_FEW_ALIKE = 4  # so many numbers are hardly read alike twice after a turn
_LITTLE = 1e-6  # of an adjuster's unit
_LEAST_TYRE = 18 * 0.0254  # from memory: the smallest tyres of cars measure about 19 in [m]
_LEAST_SIDEWALLS = 0.050  # that a tyre measures more than its rim [m]
_ASKEW, _UNKNOWN_TRACKS = (0.020, "20 mm (25/32 in)"), (0.050, "50 mm (2 in)")  # [m]
_LOCKS = (2.0, 7.0)  # turns of the steering wheel from lock to lock
_UNIT_SLIPS = (2.54, 10.0, 25.4)  # inches read as cm, cm as mm, inches as mm

_unusual = lru_cache(maxsize=64)(unusual)

Doubts = Iterator[tuple[Path, str]]


def doubt(notes: Notes, job: Job) -> None:
    """Note whatever in a job is implausible.

    Parameters
    ----------
    notes : Notes
        Takes up the doubts.
    job : Job
        A job without faults.
    """
    for of in (_of_car, _of_tie_rods, _of_adjusters, _of_goals):
        for path, sentence in of(job):
            notes.doubt(path, sentence)
    for number, readings in enumerate(job.passes):
        if number == 0 and _anything_turned(readings):
            sentence = "nothing was read before it; do the passes stand in the order of the work?"
            notes.doubt(("pass", 0, "turned"), sentence)
        if number and _copied(readings, job.passes[number - 1]):
            notes.doubt(("pass", number), _COPIED)
        for path, sentence in _of_pass(job.car, readings):
            notes.doubt(("pass", number, *path), sentence)


def _anything_turned(readings: Pass) -> bool:
    turned = [rod.lengthen for rod in readings.turned.values()]
    return any(turned) or any(readings.moved.values())


def _copied(readings: Pass, before: Pass) -> bool:
    """Return whether a pass is the one before it, number for number, though something was turned.

    Of tie rods only what they move counts: rear wheels may well read the same twice.
    """
    if not _anything_turned(readings):
        return False
    read, other = (
        one._replace(label="", turned={}, moved={}, turns_unknown=frozenset())
        for one in (readings, before)
    )
    if read != other:
        return False
    alike = read if any(readings.moved.values()) else _moved_by_rods(readings)
    return sum(not math.isnan(value) for value in numbers_in(alike)) >= _FEW_ALIKE


def _moved_by_rods(read: Pass) -> tuple[object, ...]:
    """Return the readings of a pass that the turns of the tie rods before it must have changed."""
    turns = {side: read.turned[side].lengthen if side in read.turned else 0.0 for side in SIDES}
    left, right = turns.values()
    strings = [read.string.get(f"{side}_front") for side, turn in turns.items() if turn]
    tapes = [read.tape.get("front")] if left + right else []
    edges = [(tape.front_edge, tape.rear_edge) for tape in tapes if tape]
    return (*strings, *edges, read.steering_wheel_off if left != right else ())


_COPIED = (
    "the same readings as in the pass before, number for number, though something was turned; is "
    "it a copy that was not written anew?"
)


def _of_car(job: Job) -> Doubts:
    car = job.car
    if car.rear_axle == "solid" and car.rear_toe_adjustable:
        path = ("car", "rear_toe_adjustable")
        yield path, "true, but a solid axle has no such adjuster: taken as false"
    for axle, tyre in car.tyre_diameter.items():
        if tyre < _LEAST_TYRE:
            yield ("car", "tyre_diameter"), _RIM_SIZE
            break
        if tyre <= car.rim_diameter.get(axle, 0.0) + _LEAST_SIDEWALLS:
            yield ("car", "tyre_diameter"), _NO_SIDEWALLS
            break


_RIM_SIZE = "less than 18 in (457 mm), as no car's tyre is; is it the size of the rim?"
_NO_SIDEWALLS = (
    "hardly more than car.rim_diameter; the tyre is measured over its tread, at its largest; is "
    "one of the two a slip?"
)


def _of_tie_rods(job: Job) -> Doubts:
    for side, rod in job.tie_rods.items():
        for key, thread in (("outer_thread", rod.outer_thread), ("inner_thread", rod.inner_thread)):
            if thread is not None and (sentence := _unusual(thread)):
                yield ("tie_rods", side, key), sentence
        for end, thread, engaged in (
            ("outer", rod.outer_thread, rod.outer_engaged),
            ("inner", rod.inner_thread, rod.inner_engaged),
        ):
            if engaged is not None and thread is None:
                needs = f"read, but not used: needs {end}_thread"
                yield ("tie_rods", side, f"{end}_engaged"), needs


def _of_adjusters(job: Job) -> Doubts:
    for number, adjuster in enumerate(job.adjusters):
        path = ("adjuster", number)
        threads = (("thread", adjuster.thread), ("second_thread", adjuster.second_thread))
        for key, thread in threads:
            if thread is not None and (sentence := _unusual(thread)):
                yield (*path, key), sentence
        stands, (low, high) = 0.0, adjuster.limits
        for place, readings in enumerate(job.passes, start=1):
            stands += readings.moved.get(adjuster.name, 0.0)
            if not low - _LITTLE <= stands <= high + _LITTLE:
                yield path, f"pass {place} moves it beyond its room; is one of the two a slip?"
                break


def _of_goals(job: Job) -> Doubts:
    wheel = job.goals.get("steering_wheel")
    if wheel is not None and wheel.value and job.car.steering_ratio is None:
        yield ("goal", "steering_wheel"), "read, but not used: needs car.steering_ratio"
    for kind in ("camber", "caster"):
        names = (f"cross_{kind}.front", f"{kind}.left_front", f"{kind}.right_front")
        goals = [job.goals[name] for name in names if name in job.goals]
        if len(goals) < len(names):
            continue
        cross, left, right = goals
        apart = abs(left.value - right.value - cross.value)
        if apart > sum(goal.tolerance or 0.0 for goal in goals) + _LITTLE:
            sentence = f"not what the {kind} goals of the two sides differ by: no car meets all"
            yield ("goal", f"cross_{kind}"), sentence


def _of_pass(car: Car, readings: Pass) -> Doubts:
    for wheel, strings in readings.string.items():
        rim = car.rim_diameter.get(wheel.partition("_")[2])
        for key, sentence in _of_wheel(strings, rim):
            yield ("string", wheel, *key), sentence
    yield from another_unit(readings.string)
    yield from _of_all_edges(car, readings)
    for axle, tape in readings.tape.items():
        for key, sentence in _of_tape(tape, car.track.get(axle)):
            yield ("tape", axle, *key), sentence
    yield from _of_box(car, readings)
    yield from _of_square(car, readings)
    yield from _of_wheelbases(car, readings)
    yield from _of_road_test(car, readings.steering_wheel_off)
    yield from _of_turns_to_lock(readings)
    yield from _of_turns(readings)
    yield from _of_gauges(readings)


def _of_wheel(strings: WheelStrings, rim: float | None) -> Doubts:
    for key in ("front", "rear", "hub"):
        yield from _of_repeats((key,), getattr(strings, key), _LENGTH_SPREAD)
    if bool(strings.front) != bool(strings.rear):
        read = "front" if strings.front else "rear"
        yield (), f"only its {read} edge was read; toe needs front and rear"
    if not strings.front or not strings.rear or rim is None:
        return
    front, rear = _mean(strings.front), _mean(strings.rear)
    if abs(front - rear) > rim * _LARGEST_TOE:
        yield (), "front and rear differ as by more than 3 degrees of toe" + _slip(front, rear)


def _slip(one: float, other: float) -> str:
    """Return a guess at the slip behind two readings that should be nearly equal."""
    ratio = max(one, other) / min(one, other)
    if any(abs(ratio / slip - 1.0) < 0.03 for slip in _UNIT_SLIPS):
        return "; was one of them read in another unit?"
    return "; is one of them a slip?"


def _of_tape(tape: Tape, track: float | None) -> Doubts:
    for key in ("front_edge", "rear_edge"):
        yield from _of_repeats((key,), getattr(tape, key), _LENGTH_SPREAD)
    if not tape.front_edge or not tape.rear_edge or tape.across is None:
        yield (), "only one edge was read; toe needs front_edge and rear_edge"
        return
    front, rear = _mean(tape.front_edge), _mean(tape.rear_edge)
    if abs(front - rear) > tape.across * 2.0 * _LARGEST_TOE:
        yield (), "front and rear edge differ as by more than 6 degrees" + _slip(front, rear)
    elif track is not None and abs((front + rear) / 2.0 - track) > _TYRE_WIDTH:
        yield (), "the tape differs from car.track by more than the width of a tyre"


def _of_box(car: Car, readings: Pass) -> Doubts:
    """Doubt bars of very different width, and a box that stands very askew."""
    front, rear = readings.front_bar_width, readings.rear_bar_width
    for key in ("front_bar_width", "rear_bar_width"):
        yield from _of_repeats(("string", key), getattr(readings, key), _LENGTH_SPREAD)
    if front and rear and readings.bar_spacing:
        if abs(_mean(front) - _mean(rear)) > readings.bar_spacing * _LARGEST_TOE:
            yield ("string", "front_bar_width"), "very different from rear_bar_width"
    elif front or rear:
        yield ("string",), "only one bar width was read; taper needs both"
    shifts = [shift for axle in AXLES if (shift := _shift(readings, axle)) is not None]
    if len(shifts) == 2 and abs(shifts[0] - shifts[1]) > (car.wheelbase or 0.0) * _LARGEST_YAW:
        yield ("string",), "the strings stand more than 3 degrees askew to the car; is it so?"


def _of_all_edges(car: Car, readings: Pass) -> Doubts:
    """Doubt rims that all look turned the same way: edges that are not the same part of the rim."""
    totals = [total for axle in AXLES if (total := _total(car, readings, axle)) is not None]
    if len(totals) == len(AXLES):
        for word, sign in (("in", 1.0), ("out", -1.0)):
            if all(sign * total > _LARGEST_TOTAL for total in totals):
                yield ("string",), f"front and rear wheels would toe {word} {_ALIKE}"


_ALIKE = (
    "by more than 3 degrees at either axle; were front and rear edge read at the same part of the "
    "rim (lip, not tyre), or were the two exchanged?"
)


def _total(car: Car, readings: Pass, axle: str) -> float | None:
    """Return total toe of an axle by its strings, roughly; None where not all was read [rad]."""
    rim, wheels = car.rim_diameter.get(axle), [f"{side}_{axle}" for side in SIDES]
    if rim is None or not all(map(readings.both_edges, wheels)):
        return None
    strings = [readings.string[wheel] for wheel in wheels]
    found = sum(_mean(one.front) - _mean(one.rear) for one in strings) / rim
    return found - _opening(readings)


def _opening(readings: Pass) -> float:
    """Return the angle between the strings, open forwards, as the bars tell it; else none [rad]."""
    if not (readings.bar_spacing and readings.bars_measured):
        return 0.0
    wider = _mean(readings.front_bar_width) - _mean(readings.rear_bar_width)
    return wider / readings.bar_spacing


def _of_square(car: Car, readings: Pass) -> Doubts:
    """Doubt a box that is taken as square to the car against the gaps on one side of it."""
    if set(readings.string) >= set(WHEELS):  # then how it stands is measured
        return
    (most, words), narrower = _UNKNOWN_TRACKS, 0.0
    if len(car.track) == len(AXLES):
        (most, words), narrower = _ASKEW, (car.track["rear"] - car.track["front"]) / 2.0
    narrower += (car.wheelbase or 0.0) * _opening(readings) / 2.0
    for side in SIDES:
        wheels = [f"{side}_{axle}" for axle in AXLES]
        if all(map(readings.both_edges, wheels)):
            front, rear = (readings.string[wheel].gap or 0.0 for wheel in wheels)
            if abs(front - rear - narrower) > most:
                askew = f"by the gaps on the {side} they run more than {words} askew to the car"
                yield ("string",), f"{askew}; set them square, or read all four wheels"


def _shift(readings: Pass, axle: str) -> float | None:
    """Return how far an axle stands from the middle of the box, where both sides were read."""
    wheels = [f"{side}_{axle}" for side in SIDES]
    if not all(map(readings.both_edges, wheels)):
        return None
    left, right = (readings.string[wheel].gap or 0.0 for wheel in wheels)
    return (right - left) / 2.0


def _of_wheelbases(car: Car, readings: Pass) -> Doubts:
    for side in SIDES:
        reading: Reading = getattr(readings, f"wheelbase_{side}")
        yield from _of_repeats((f"wheelbase_{side}",), reading, _LENGTH_SPREAD)
        if reading and car.wheelbase and abs(_mean(reading) - car.wheelbase) > _WHEELBASE_SPREAD:
            yield (f"wheelbase_{side}",), "differs from car.wheelbase by more than 60 mm (2 3/8 in)"


def _of_road_test(car: Car, off: Reading) -> Doubts:
    path = ("steering_wheel_off",)
    if off and car.steering_ratio is None:
        yield path, "read, but not used: needs car.steering_ratio"
    if any(abs(angle) > _LARGEST_OFF for angle in off):
        yield path, "more than 45 degrees; is the steering wheel on the right spline?"
    yield from _of_repeats(path, off, _OFF_SPREAD)


def _of_turns_to_lock(readings: Pass) -> Doubts:
    if readings.turns_to_lock and not _LOCKS[0] < sum(readings.turns_to_lock.values()) < _LOCKS[1]:
        yield ("turns_to_lock",), "less than 2 or more than 7 turns from lock to lock; is it so?"


def _of_turns(readings: Pass) -> Doubts:
    for side, turn in readings.turn.items():
        if _mean(turn.inner) < _mean(turn.outer) - _PLATES:
            yield ("turn", side), "the inner wheel turned less than the outer; are they exchanged?"


def _of_gauges(readings: Pass) -> Doubts:
    for wheel, gauge in readings.gauge.items():
        for key, spread in _ANGLE_SPREADS.items():
            path = ("inclinometer", wheel, key)
            yield from _of_repeats(path, getattr(gauge, key), math.radians(spread))
        if any(abs(camber) > _LARGEST_CAMBER for camber in gauge.camber):
            yield ("inclinometer", wheel, "camber"), "more than 6 degrees; is it so?"
        if gauge.sweep and too_near(gauge.sweep):
            yield ("inclinometer", wheel, "sweep"), TOO_NEAR
        if gauge.camber and gauge.camber_turned:
            apart = abs(gauge.camber[0] - _mean(gauge.camber_turned))
            if apart / 2.0 > _GAUGE_ZERO:
                yield ("inclinometer", wheel, "camber_turned"), _TURNED
    yield from of_caster(readings.gauge)


_TURNED = (
    "so different from camber that the gauge's zero would be off by more than half a degree; write "
    "how the wheel leans both times, not the sign that the turned gauge shows"
)


def _of_repeats(path: Path, reading: Reading, spread: float) -> Doubts:
    if len(reading) > 1 and max(reading) - min(reading) > spread:
        yield path, "the repeated readings differ much; is one of them a slip?"


def _mean(reading: Reading) -> float:
    return sum(reading) / len(reading)
