"""The job as the program knows it: frozen, in metres and radians, faults already told.

Wheels are named ``left_front right_front left_rear right_rear``, axles ``front rear``,
sides ``left right``. A reading is a tuple: one number, or the same reading repeated with
the wheel turned by equal steps of a revolution. An empty tuple means that it was not read.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from types import MappingProxyType
from typing import Any, NamedTuple

from toebox.units.thread import Thread

SIDES = ("left", "right")
AXLES = ("front", "rear")
WHEELS = ("left_front", "right_front", "left_rear", "right_rear")

Reading = tuple[float, ...]
EMPTY: Mapping[str, Any] = MappingProxyType({})


def side_of(wheel: str) -> str:
    """Return the side of a wheel: ``left`` or ``right``."""
    return wheel.partition("_")[0]


def axle_of(wheel: str) -> str:
    """Return the axle of a wheel: ``front`` or ``rear``."""
    return wheel.partition("_")[2]


class Instrument(NamedTuple):
    """How finely and how repeatably an instrument was read.

    Parameters
    ----------
    resolution : float
        Smallest step read [m] or [rad]; 0 where it does not matter.
    repeatability : float
        Standard deviation of the same reading repeated [m] or [rad].
    """

    resolution: float
    repeatability: float

    @property
    def u(self) -> float:
        """Standard uncertainty of one reading [m] or [rad] (GUM 4.3.7, 5.1.2)."""
        return math.hypot(self.resolution / math.sqrt(12.0), self.repeatability)


# Turns of the steering wheel counted to a sixteenth [rad].
COUNTED_TURNS = Instrument(math.radians(22.5), math.radians(10.0))


class Instruments(NamedTuple):
    """The instruments of a job; `stated` names those that the file gave itself."""

    string_rule: Instrument
    tape: Instrument
    inclinometer: Instrument
    turn_plates: Instrument
    road_test: Instrument
    rim_runout: float
    strings_parallel_within: float
    box_square_within: float
    floor_level_within: float
    gauge_zero_within: float
    stated: frozenset[str]
    turns_to_lock: Instrument = COUNTED_TURNS
    steering_wheel_straight_within: float = 0.0  # 0: exactly straight while it was clamped [rad]
    turn_plates_zero_within: float = 0.0  # 0: exactly where the wheel points along the car [rad]


QUICK_RATIO = 12.0  # few cars steer quicker (common practice, no published source) [-]


class Car(NamedTuple):
    """What is known of the car; None or an absent key where it was not given."""

    wheelbase: float | None = None
    rim_diameter: Mapping[str, float] = EMPTY  # axle -> [m]
    tyre_diameter: Mapping[str, float] = EMPTY  # axle -> [m]
    track: Mapping[str, float] = EMPTY  # axle -> [m]
    steering_ratio: float | None = None
    steering_axis_inclination: Mapping[str, float] = EMPTY  # side -> [rad]
    steering_wheel_splines: int | None = None
    rear_toe_adjustable: bool = False
    rear_axle: str = "independent"  # or "solid"

    @property
    def rear_toe_settable(self) -> bool:
        """Return whether the toe of each rear wheel can be set; never at a solid axle."""
        return self.rear_toe_adjustable and self.rear_axle != "solid"

    @property
    def least_ratio(self) -> float:
        """Return the steering ratio, or that of a quick steering where it is not known [-]."""
        return self.steering_ratio or QUICK_RATIO


class Goal(NamedTuple):
    """A wanted value with its tolerance.

    Parameters
    ----------
    value : float
        Wanted angle [rad].
    tolerance : float or None
        Half-width of the goal band [rad]; None where none was given.
    across : float or None
        Diameter that a goal given as a distance was taken across [m].
    """

    value: float
    tolerance: float | None = None
    across: float | None = None


class TieRod(NamedTuple):
    """One front tie rod and its steering arm."""

    arm_behind: bool = True
    arm_length: float | None = None
    arm_length_within: float | None = None  # half-width of a rectangle [m]
    outer_thread: Thread | None = None
    inner_thread: Thread | None = None  # None: the inner end swivels
    outer_engaged: float | None = None  # before the first pass [m]
    inner_engaged: float | None = None
    smallest_turn: float = 1.0 / 6.0  # [turn]
    arm_side_stated: bool = True  # False: nothing says where the arm lies; behind is assumed


class Adjuster(NamedTuple):
    """Something that sets caster, camber or rear toe at one wheel.

    A move counts in `unit`, positive for the first word of `ways`. The size of its effect on
    `setting` follows from thread, cam or shim and the lever arm, or is told in `effect`.

    Parameters
    ----------
    wheel : str
        At which wheel.
    kind : str
        ``strut rod``, ``control-arm link``, ``cam``, ``shims`` or ``direct``.
    name : str
        By which the passes tell what was moved.
    unit : str
        ``turn``, ``degree``, ``shim`` or the job's own.
    ways : tuple of str
        Words for a positive and a negative move.
    setting : str
        ``caster``, ``camber`` or ``toe``: the one that it is for.
    sense : float
        +1 where a positive move makes that setting more positive, else -1 [-].
    effect : mapping of str to float
        Stated change of a setting for one unit [rad].
    room : tuple of (float or None)
        How far it can still go the negative and the positive way, in units [-].
    smallest_step : float
        Least move that can be set, in units [-].
    thread, second_thread : Thread or None
        Threads of a rod or link; the second where both ends turn.
    eccentricity : float or None
        Of a cam: middle of the bolt to middle of the disc [m].
    position : float
        Of a cam at the first pass: angle clockwise from its middle [rad].
    thickness : float or None
        Of one shim [m].
    lever_arm : float or None
        From the joint that moves to the one that stays, square to the movement [m].
    ratio : float
        How far that joint moves for one that the adjuster moves [-].
    """

    wheel: str
    kind: str
    name: str
    unit: str
    ways: tuple[str, str]
    setting: str
    sense: float = 1.0
    effect: Mapping[str, float] = EMPTY
    room: tuple[float | None, float | None] = (None, None)
    smallest_step: float = 1.0
    thread: Thread | None = None
    second_thread: Thread | None = None
    eccentricity: float | None = None
    position: float = 0.0
    thickness: float | None = None
    lever_arm: float | None = None
    ratio: float = 1.0

    @property
    def limits(self) -> tuple[float, float]:
        """Return between which sums of all moves it stays, in units [-]."""
        less, more = self.room
        return -math.inf if less is None else -less, math.inf if more is None else more


def both_rear_toes(adjusters: Iterable[Adjuster]) -> bool:
    """Return whether the toe of either rear wheel can be set.

    Parameters
    ----------
    adjusters : iterable of Adjuster
        Those of a job.

    Returns
    -------
    bool
        True where there is one for each.
    """
    return {a.wheel for a in adjusters if a.setting == "toe"} >= {f"{side}_rear" for side in SIDES}


class WheelStrings(NamedTuple):
    """Readings from the string to one wheel [m]."""

    front: Reading = ()
    rear: Reading = ()
    hub: Reading = ()

    @property
    def gap(self) -> float | None:
        """Return how far the rim stands from its string by what was read of it, if anything."""
        means = [sum(edge) / len(edge) for edge in (self.front, self.rear) if edge]
        return sum(means) / len(means) if means else None


class Tape(NamedTuple):
    """Tape readings across one axle [m]."""

    front_edge: Reading = ()
    rear_edge: Reading = ()
    across: float | None = None


class SweepStop(NamedTuple):
    """One stop of a sweep: steer angle (outwards positive) and camber there [rad]."""

    steer: float
    camber: float


class WheelGauge(NamedTuple):
    """Inclinometer readings at one wheel [rad]; `camber_turned` with the gauge end for end."""

    camber: Reading = ()
    camber_turned: Reading = ()
    sweep: tuple[SweepStop, ...] = ()
    caster: Reading = ()  # a gauge that shows caster directly


class Turn(NamedTuple):
    """Turn plates with the steering turned to one side [rad]: the inner and the outer wheel."""

    inner: Reading = ()
    outer: Reading = ()


class Turned(NamedTuple):
    """What was turned on one tie rod before a pass: turns, positive lengthens the rod."""

    lengthen: float


class Pass(NamedTuple):
    """One round of readings."""

    label: str
    string: Mapping[str, WheelStrings] = EMPTY  # by wheel
    front_bar_width: Reading = ()
    rear_bar_width: Reading = ()
    bar_spacing: float | None = None
    tape: Mapping[str, Tape] = EMPTY  # by axle
    steering_wheel_off: Reading = ()  # clockwise (right) positive [rad]
    wheelbase_left: Reading = ()
    wheelbase_right: Reading = ()
    gauge: Mapping[str, WheelGauge] = EMPTY  # by wheel
    # Floor under the left wheel above that under the right one, by axle; `along`: floor under
    # the front wheels above that under the rear wheels [m].
    floor: Mapping[str, float] = EMPTY
    turn: Mapping[str, Turn] = EMPTY  # by the side steered to
    turned: Mapping[str, Turned] = EMPTY  # by side
    moved: Mapping[str, float] = EMPTY  # adjusters by name, in their units
    turns_unknown: frozenset[str] = frozenset()  # sides, and adjusters by name, given as "?"
    # Turns of the steering wheel from its spokes straight to each lock, by side.
    turns_to_lock: Mapping[str, float] = EMPTY

    def both_edges(self, wheel: str) -> bool:
        """Return whether both rim edges of a wheel were read from its string."""
        strings = self.string.get(wheel)
        return strings is not None and bool(strings.front and strings.rear)

    def unread(self) -> Pass:
        """Return the pass without any reading: its name, and what was turned before it."""
        told = {key: getattr(self, key) for key in ("turned", "moved", "turns_unknown")}
        return Pass(self.label, **told)

    @property
    def rods_counted(self) -> bool:
        """Return whether it is known what was turned at both tie rods, if only that nothing was."""
        return bool(self.turned) and self.turns_unknown.isdisjoint(SIDES)

    @property
    def bars_measured(self) -> bool:
        """Return whether the widths at both bars tell how the strings run to each other."""
        return bool(self.bar_spacing and self.front_bar_width and self.rear_bar_width)


def numbers_in(values: object) -> Iterator[float]:
    """Yield every number within a pass, or a part of one; NaN for a reading still to be taken."""
    if isinstance(values, Mapping):
        values = tuple(values.values())
    if isinstance(values, tuple):
        for value in values:
            yield from numbers_in(value)
    elif isinstance(values, float):
        yield values


class Job(NamedTuple):
    """A whole job: car, instruments, goals, tie rods and passes."""

    title: str
    source: str
    length_unit: str  # "in" or "mm"
    date: date | None
    car: Car
    instruments: Instruments
    goals: Mapping[str, Goal]  # by result name: "total_toe.front", "camber.left_front", ...
    tie_rods: Mapping[str, TieRod]  # by side; empty where none was given
    passes: tuple[Pass, ...]
    doubts: tuple[str, ...] = ()  # implausible values, in words
    adjusters: tuple[Adjuster, ...] = ()
    smallest_fraction: int = 64  # denominator to which inches are printed

    def moved(self, adjuster: str) -> float:
        """Return how far an adjuster was moved before all passes together, in its units [-]."""
        return sum(one.moved.get(adjuster, 0.0) for one in self.passes)

    @property
    def rear_unwritten(self) -> bool:
        """Return whether the rear wheels may be set without a pass telling of it."""
        return self.car.rear_toe_settable and not both_rear_toes(self.adjusters)
