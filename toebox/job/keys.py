"""Every key of the job file in the order of the schema, with a few words on what belongs there.

The printed sheet and the questions on the terminal both ask in this order and in these words.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from toebox.job.model import AXLES, SIDES, WHEELS
from toebox.job.schema import JOB, OneOf
from toebox.job.values import Kind, List, Shared, Table

# Keyed by path without wheels and sides, and without axles where both mean the same.
HINTS = {
    "title": "the car and the occasion, in your own words",
    "date": "year-month-day",
    "length_unit": "for lengths written without a unit",
    "car.wheelbase": "front hub to rear hub",
    "car.rim_diameter": "between the two points of the rim that the rule is held to",
    "car.tyre_diameter": "toe as a distance is printed across this diameter",
    "car.track": "between the middles of the tyres of an axle",
    "car.steering_ratio": "degrees at the steering wheel for one degree at a front wheel",
    "car.steering_axis_inclination": "from the maker's data, if known",
    "car.steering_wheel_splines": "teeth under the steering wheel, if you have counted them",
    "car.rear_toe_adjustable": "can the toe of the rear wheels be adjusted?",
    "car.rear_axle": "one beam from wheel to wheel, or wheels that move each for itself",
    "instruments.string_rule": "the rule held to the strings",
    "instruments.tape": "the tape across the car",
    "instruments.inclinometer": "the gauge for camber",
    "instruments.turn_plates": "the scales of the turn plates",
    "instruments.road_test": "the steering wheel while driving, in degrees",
    "instruments.turns_to_lock": "counting the turns of the steering wheel, in degrees",
    "instruments.rim_runout": "how much a rim wobbles sideways as it turns, in all",
    "instruments.strings_parallel_within": "counts only where the bars were not measured",
    "instruments.box_square_within": "counts only where one axle has no string readings",
    "instruments.floor_level_within": "counts only where the floor was not read",
    "instruments.gauge_zero_within": "degrees; counts only where the gauge was not turned",
    "instruments.steering_wheel_straight_within": "degrees it may be off while clamped for strings",
    "instruments.turn_plates_zero_within": "degrees off where the wheel points along the car",
    "goal.front_total_toe": "both front wheels together",
    "goal.rear_total_toe": "both rear wheels together",
    "goal.thrust_angle": "where the rear wheels point; as a rule 0",
    "goal.steering_wheel": "driving straight; as a rule 0",
    "goal.camber": "lean of the wheel",
    "goal.caster": "lean of the steering axis; rearwards at the top is positive",
    "goal.cross_camber": "left minus right",
    "goal.cross_caster": "left minus right",
    "tie_rods.steering_arm": "where the tie rod lies, seen from the front axle line",
    "tie_rods.arm_length": "steering axis to tie-rod joint, square to the tie rod",
    "tie_rods.arm_length_within": "how far off that length may be",
    "tie_rods.outer_thread": "such as M14x1.5 or 5/8-18; -LH if left-handed",
    "tie_rods.inner_thread": "only where the inner end is threaded too",
    "tie_rods.outer_engaged": "length of thread screwed in before the first turn",
    "tie_rods.inner_engaged": "length of thread screwed in before the first turn",
    "tie_rods.smallest_turn": "least part of a turn you can set; one flat is 1/6",
    "adjuster.wheel": "at which wheel",
    "adjuster.kind": "what is turned, or that you give its effect directly",
    "adjuster.name": "by which the passes tell what you turned",
    "adjuster.gives": "what lengthening it, turning it clockwise or adding a shim gives",
    "adjuster.thread": "such as M14x1.5 or 5/8-18; -LH if left-handed",
    "adjuster.second_thread": "only where both ends turn",
    "adjuster.eccentricity": "of a cam: middle of the bolt to middle of the disc",
    "adjuster.position": "of a cam: degrees clockwise from its middle, facing the head of its "
    "bolt, as found",
    "adjuster.thickness": "of one shim",
    "adjuster.lever_arm": "from the joint that moves to the joint that stays, as a rule from the "
    "lower to the upper end of the steering axis",
    "adjuster.ratio": "how far that joint moves for 1 at the adjuster; 1 if left out",
    "adjuster.unit": "your own word for one unit, such as notch",
    "adjuster.effect": "degrees for one unit; for its main setting it replaces the arithmetic",
    "adjuster.smallest_step": "least part of a unit you can set; one flat is 1/6 of a turn",
    "adjuster.room": "how far it can still go each way, as found",
    "pass.label": "such as: as found, after the first adjustment",
    "pass.turned": "what you turned before this pass, or not turned",
    "pass.steering_wheel_off": "while the car runs straight on a level road; drive it both ways",
    "pass.turns_to_lock": "of the steering wheel, from its spokes straight to each lock",
    "pass.wheelbase_left": "hub to hub on the left side",
    "pass.wheelbase_right": "hub to hub on the right side",
    "pass.floor": "how much higher the floor is under the left wheel; minus: lower",
    "pass.floor.along": "how much higher the floor is under the front wheels; minus: lower",
    "pass.turn": "on turn plates: what both show with the steering turned to this side",
    "pass.turn.inner": "turn plate of the wheel on the inside of the turn",
    "pass.turn.outer": "turn plate of the other wheel at the same moment",
    "pass.string.front": "string to the front edge of the rim",
    "pass.string.rear": "string to the rear edge of the rim",
    "pass.string.hub": "string to the hub face, if you like",
    "pass.string.front_bar_width": "between the strings at the front bar",
    "pass.string.rear_bar_width": "between the strings at the rear bar",
    "pass.string.bar_spacing": "from bar to bar",
    "pass.tape.front_edge": "between the marks at the front of both tyres",
    "pass.tape.rear_edge": "between the same marks at the rear",
    "pass.tape.across": "mark to mark on one tyre, or slot to slot on one toe plate",
    "pass.inclinometer.camber": "wheel straight ahead; each next one rolled on by an equal part "
    "of a turn",
    "pass.inclinometer.camber_turned": "the wheel as for the first, the gauge turned end for end",
    "pass.inclinometer.sweep": "on turn plates, the rear on blocks as high: steer, read camber",
    "pass.inclinometer.caster": "if the gauge shows it: no sweep needed",
}


class Key(NamedTuple):
    """One key of the job file.

    Parameters
    ----------
    path : tuple of str
        Its tables and its name, ``("car", "rim_diameter", "front")``; without the numbers of
        passes and of places in lists.
    kind : Kind
        How the schema reads it.
    """

    path: tuple[str, ...]
    kind: Kind

    def __str__(self) -> str:
        """Return the path with dots."""
        return ".".join(self.path)


def keys() -> tuple[Key, ...]:
    """Return every key of the job file.

    Returns
    -------
    tuple of Key
        In the order of the schema. A key that may be given for several names at once stands
        once for each; one that belongs to two kinds of a table (a tolerance) stands twice.
    """
    return tuple(_leaves(JOB, ()))


def hint(path: tuple[str, ...]) -> str:
    """Say in a few words what belongs under a key or in a table.

    Parameters
    ----------
    path : tuple of str
        As in `Key`.

    Returns
    -------
    str
        Without a full stop; empty where the name says it all.

    Examples
    --------
    >>> hint(("pass", "string", "left_front", "hub"))
    'string to the hub face, if you like'
    """
    general = [part for part in path if part not in WHEELS and part not in SIDES]
    found = HINTS.get(".".join(general))
    if found is None:
        found = HINTS.get(".".join(part for part in general if part not in AXLES), "")
    return found


def _leaves(kind: Kind, path: tuple[str, ...]) -> Iterator[Key]:
    """Yield the keys of one kind."""
    if isinstance(kind, Table):
        for name, part in kind.keys.items():
            yield from _leaves(part, (*path, name))
    elif isinstance(kind, Shared):
        yield from _leaves(kind.table, path)
    elif isinstance(kind, List):
        yield from _leaves(kind.kind, path)
    elif isinstance(kind, OneOf):
        for table in kind.kinds.values():
            yield from _leaves(table, path)
    else:
        yield Key(path, kind)
