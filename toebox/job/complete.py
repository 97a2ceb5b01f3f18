"""From what the schema read to a job: defaults, values that need each other, what is missing."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from toebox.job.adjusters import moves, named, within_reach
from toebox.job.defaults import instruments
from toebox.job.doubts import doubt
from toebox.job.layout import written
from toebox.job.lines import Path
from toebox.job.model import (
    AXLES,
    SIDES,
    Adjuster,
    Car,
    Goal,
    Instruments,
    Job,
    Pass,
    Tape,
    TieRod,
    axle_of,
    both_rear_toes,
)
from toebox.job.notes import Notes
from toebox.job.schema import JOB
from toebox.job.values import PLANNED

_LARGEST_TOE = math.radians(5.0)
_COARSEST, _FINEST = 16, 128  # denominators of printed inches
_USUAL_FRACTION = 64


def complete(notes: Notes, document: Mapping[str, Any], source: str) -> Job | None:
    """Read a whole document.

    Parameters
    ----------
    notes : Notes
        Takes up every fault and doubt.
    document : mapping
        As the TOML reader gave it.
    source : str
        Name of the file, for messages.

    Returns
    -------
    Job or None
        None where there are faults; they are in `notes` then.
    """
    unit = document.get("length_unit", PLANNED)
    notes.unit_known = unit in ("in", "mm")
    if notes.unit_known:
        notes.unit = unit
    found = JOB.values(notes, document, ())
    if unit == PLANNED:  # not there, or left open: no length has a meaning
        notes.missing(("length_unit",), JOB.keys["length_unit"].wanted)
    car = found.get("car", Car())
    _check_tyres(notes, car)
    passes = found.get("pass", ())
    if _all_read(notes, passes, document.get("pass")):
        passes = tuple(_pass(notes, car, number, one) for number, one in enumerate(passes))
    adjusters = found.get("adjuster", ())
    if _all_read(notes, adjusters, document.get("adjuster")):
        named(notes, adjusters)
        passes = tuple(_moved(notes, adjusters, number, one) for number, one in enumerate(passes))
    car = _rear(notes, car, adjusters, document.get("car", {}))
    equipment = instruments(found.get("instruments", {}), notes.unit)
    job = Job(
        title=found.get("title", "Wheel alignment"),
        source=source,
        length_unit=notes.unit,
        date=found.get("date"),
        car=car,
        instruments=equipment,
        goals=dict(_goals(notes, car, found.get("goal", {}))),
        tie_rods=_tie_rods(notes, found.get("tie_rods", {})),
        passes=passes,
        adjusters=tuple(within_reach(adjuster) for adjuster in adjusters),
        smallest_fraction=_smallest_fraction(equipment),
    )
    if notes:
        return None
    doubt(notes, job)
    return job._replace(doubts=tuple(notes.doubts))


def _all_read(notes: Notes, found: tuple[Any, ...], given: Any) -> bool:
    """Return whether no fault took a part of a list away and shifted the places of the rest."""
    return not notes or len(found) == (len(given) if isinstance(given, list) else 0)


def _check_tyres(notes: Notes, car: Car) -> None:
    """Check that the tyres are larger than the rims inside them."""
    for axle in AXLES:
        if car.tyre_diameter.get(axle, math.inf) <= car.rim_diameter.get(axle, 0.0):
            wanted = "a tyre diameter larger than the rim diameter"
            notes.missing(("car", "tyre_diameter"), wanted)


def _rear(
    notes: Notes, car: Car, adjusters: tuple[Adjuster, ...], given: Mapping[str, Any]
) -> Car:
    """Return the car with rear wheels that can be set where the job has adjusters for them."""
    rear = [adjuster for adjuster in adjusters if axle_of(adjuster.wheel) == "rear"]
    if not both_rear_toes(rear):
        return car
    if car.rear_axle == "solid":
        sentence = '"solid", but each of its wheels has an adjuster for toe: taken as "independent"'
        notes.doubt(("car", "rear_axle"), sentence)
        car = car._replace(rear_axle="independent")
    if given.get("rear_toe_adjustable") is False:
        sentence = "false, but each rear wheel has an adjuster for its toe: taken as true"
        notes.doubt(("car", "rear_toe_adjustable"), sentence)
    return car._replace(rear_toe_adjustable=True)


def _pass(notes: Notes, car: Car, number: int, readings: Pass) -> Pass:
    """Check that a pass has what its readings need; fill in what follows from the car."""
    path = ("pass", number)
    for wheel, strings in readings.string.items():
        if strings.front or strings.rear:
            if car.wheelbase is None:
                notes.missing(("car", "wheelbase"), "the wheelbase: the string readings need it")
            _needs_rim(notes, car, axle_of(wheel))
        fronts, rears = len(strings.front), len(strings.rear)
        if fronts != rears and min(fronts, rears) > 1:
            wanted = "as many readings at the front edge as at the rear edge"
            notes.missing((*path, "string", wheel), wanted)
    if (readings.front_bar_width or readings.rear_bar_width) and readings.bar_spacing is None:
        notes.missing(
            (*path, "string", "bar_spacing"), "the distance between the bars: their widths need it"
        )
    for key in readings.floor:
        if key == "along":
            if car.wheelbase is None:
                notes.missing(("car", "wheelbase"), "the wheelbase: floor.along needs it")
        elif key not in car.track:
            wanted = f"the track of the {key} axle: floor.{key} needs it"
            notes.missing(("car", "track", key) if car.track else ("car", "track"), wanted)
    tapes = {
        axle: _tape(notes, car, (*path, "tape", axle), tape) for axle, tape in readings.tape.items()
    }
    return readings._replace(label=readings.label or f"pass {number + 1}", tape=tapes)


def _moved(notes: Notes, adjusters: tuple[Adjuster, ...], number: int, readings: Pass) -> Pass:
    """Tell in one pass what was turned at tie rods from what was moved at adjusters."""
    path = ("pass", number, "turned")
    if path in notes.left_open:
        names = (*SIDES, *(adjuster.name for adjuster in adjusters))
        each = written(dict.fromkeys(names, PLANNED))
        notes.fault(path, PLANNED, f"each by its own, as far as it is open: {each}")
    turned, moved = moves(notes, adjusters, readings.turned, path)
    unknown = frozenset(str(key) for *outer, key in notes.left_open if tuple(outer) == path)
    return readings._replace(turned=turned, moved=moved, turns_unknown=unknown)


def _needs_rim(notes: Notes, car: Car, axle: str) -> None:
    if axle in car.rim_diameter or notes.faulty(("car", "rim_diameter", axle)):
        return
    path = ("car", "rim_diameter", axle) if car.rim_diameter else ("car", "rim_diameter")
    notes.missing(path, f"the distance between the two rim points read at each {axle} wheel")


def _tape(notes: Notes, car: Car, path: Path, tape: Tape) -> Tape:
    """Fill in the diameter that a tape was read across."""
    axle = str(path[-1])
    if tape.across is not None:
        return tape
    if axle not in car.tyre_diameter:
        _needs_across(notes, path, axle, "how far apart its front and rear points are")
    return tape._replace(across=car.tyre_diameter.get(axle))


def _needs_across(notes: Notes, path: Path, axle: str, wanted: str) -> None:
    if not notes.faulty(("car", "tyre_diameter", axle)):
        tyre = ("car", "tyre_diameter")
        if tyre in notes.left_open:
            notes.missing(tyre, "the diameter of the tyre: toe as a distance is taken across it")
        else:
            notes.missing((*path, "across"), f"{wanted} (or car.tyre_diameter)")


def _goals(notes: Notes, car: Car, found: Mapping[str, Any]) -> Iterator[tuple[str, Goal]]:
    """Yield the goals by the names of results."""
    for key, goal in found.items():
        if key in ("camber", "caster"):
            for wheel, one in goal.items():
                yield f"{key}.{wheel}", _angle_goal(one)
        elif key.startswith("cross_"):
            yield f"{key}.front", _angle_goal(goal)
        elif key.endswith("_total_toe"):
            axle = key.partition("_")[0]
            toe = _toe_goal(notes, car, axle, goal)
            if toe is not None:
                yield f"total_toe.{axle}", toe
        else:
            yield key, _angle_goal(goal)


def _angle_goal(found: Mapping[str, float]) -> Goal:
    return Goal(found["angle"], found.get("tolerance"))


def _toe_goal(notes: Notes, car: Car, axle: str, found: Mapping[str, float]) -> Goal | None:
    """Return a total-toe goal as an angle, whichever way it was given."""
    if "angle" in found:
        return _angle_goal(found)
    path = ("goal", f"{axle}_total_toe")
    across = found.get("across", car.tyre_diameter.get(axle))
    if across is None:
        _needs_across(notes, path, axle, "the diameter that this distance is taken across")
        return None
    tolerance = found.get("tolerance")
    value = math.asin(found["distance"] / across)
    if abs(value) > _LARGEST_TOE:
        wanted = "a total toe within 5 degrees across its diameter"
        notes.missing((*path, "distance"), wanted)
    return Goal(value, None if tolerance is None else math.asin(tolerance / across), across)


def _tie_rods(notes: Notes, found: Mapping[str, Any]) -> dict[str, TieRod]:
    """Return the tie rods by side: what holds for both, overridden key by key."""
    both = {key: value for key, value in found.items() if key not in SIDES}
    rods = {}
    for side in SIDES:
        values = {**both, **found.get(side, {})}
        if values:
            stated = "steering_arm" in values
            behind = values.pop("steering_arm", True)
            rods[side] = TieRod(arm_behind=behind, arm_side_stated=stated, **values)
            own = "inner_thread" in found.get(side, {})
            path = ("tie_rods", side, "inner_thread") if own else ("tie_rods", "inner_thread")
            _check_threads(notes, path, rods[side])
    return rods


def _check_threads(notes: Notes, path: Path, rod: TieRod) -> None:
    """Refuse a rod whose two threads move alike: turning it would change nothing."""
    outer, inner = rod.outer_thread, rod.inner_thread
    if inner is None:
        return
    if outer is None:
        notes.missing((*path[:-1], "outer_thread"), "the thread of the outer end as well")
    elif outer.left_hand == inner.left_hand and abs(outer.pitch - inner.pitch) < 1e-9:
        wanted = (
            "another pitch or hand than outer_thread: with both alike, turning the rod does not "
            "change its length (leave it out where the inner end swivels)"
        )
        notes.missing(path, wanted)


def _smallest_fraction(equipment: Instruments) -> int:
    """Return the denominator for printed inches: that of the finest resolution stated."""
    stated = [
        getattr(equipment, name).resolution / 0.0254
        for name in ("string_rule", "tape")
        if name in equipment.stated
    ]
    finest = min((step for step in stated if step > 0.0), default=1.0 / _USUAL_FRACTION)
    denominator = _COARSEST
    while denominator < _FINEST and denominator * finest < 0.999:
        denominator *= 2
    return denominator
