"""What to turn: frozen, in metres, radians and turns."""

from __future__ import annotations

import math
from typing import NamedTuple

from toebox.correct.effects import Effect
from toebox.correct.engagement import End
from toebox.correct.gear import GearCentre
from toebox.job.model import SIDES

FLATS = 6  # of a hexagon [-]
LEAST_CHANGE = 1e-9  # nothing smaller is a change [rad]
SMALLEST_TOLD = math.radians(0.005)  # what is less prints as no change of toe or thrust [rad]


class RodCorrection(NamedTuple):
    """What to do at one front tie rod.

    Parameters
    ----------
    side : str
        ``left`` or ``right``.
    toe_change : float
        Wanted change of the wheel's toe, towards toe-in positive [rad].
    u : float
        Standard uncertainty of the wanted change [rad].
    justified : bool
        Whether the readings justify turning the pair of rods (`toebox.correct.justify`).
    ideal : float
        Change of toe that would also put right what is kept because no change of it is proven;
        it decides which way to round [rad].
    length_change : float or None
        Wanted change of the rod's length, longer positive [m]; None without arm length.
    effect : Effect or None
        What a turn does to the toe; None where neither threads nor passes tell.
    exact_turns : float or None
        Turns that would make it, lengthening positive [-]; None without an effect.
    turns : float or None
        Turns to make, rounded to what can be turned and within what the threads allow,
        lengthening positive [-].
    clockwise : bool or None
        Way to rotate, seen from the middle of the car looking outwards along the rod.
    ends : tuple of End
        Thread engaged at each threaded end, before and after.
    limited : bool
        Whether the threads do not allow as many turns as would be wanted.
    withheld : str
        Why no turns are told although the change is justified: ``effect`` (the passes contradict
        the arithmetic), ``beyond`` (more than tie rods are meant to make), ``other`` (that is so at
        the other rod), ``rear`` (at a rear wheel, whose line the front ones follow), or empty.
    stop_at_string : float or None
        Front minus rear edge on the string when the wheel is right, mean of its positions [m].
    stop_at_valve : tuple of float or None
        The same with the valve up and with the valve down, which a rim that wobbles tells apart
        [m]; None where both edges were not read in just these two positions.
    stop_at_tape : float or None
        Rear minus front edge on the tape across the front wheels once this rod is turned, the
        left rod before the right [m].
    wanted_toe : float or None
        The wheel's toe when it is right [rad].
    uncounted : bool
        Whether it may have been turned and nobody knows how far: `ends` are by what was counted.
    """

    side: str
    toe_change: float
    u: float
    justified: bool
    ideal: float
    length_change: float | None = None
    effect: Effect | None = None
    exact_turns: float | None = None
    turns: float | None = None
    clockwise: bool | None = None
    ends: tuple[End, ...] = ()
    limited: bool = False
    withheld: str = ""
    stop_at_string: float | None = None
    stop_at_valve: tuple[float, float] | None = None
    stop_at_tape: float | None = None
    wanted_toe: float | None = None
    uncounted: bool = False

    @property
    def flats(self) -> float | None:
        """Return the turns in flats of a hexagon, lengthening positive [-]."""
        return None if self.turns is None else FLATS * self.turns

    @property
    def degrees(self) -> float | None:
        """Return the turns in degrees of rotation, lengthening positive [deg]."""
        return None if self.turns is None else 360.0 * self.turns

    @property
    def direction(self) -> str | None:
        """Return ``lengthen``, ``shorten``, ``leave``, or None where only the reading tells."""
        if not self.to_set:
            return "leave"
        amount = self.turns if self.turns is not None else self.length_change
        if self.withheld or not amount:
            return None
        return "lengthen" if amount > 0.0 else "shorten"

    @property
    def held(self) -> bool:
        """Return whether thread or rounding keep this wheel from where it is wanted."""
        back = (self.turns or 0.0) * (self.exact_turns or 0.0) < 0.0  # for the other one's rounding
        left = self.justified and not self.withheld and self.turns == 0.0
        return self.limited or left or back

    @property
    def to_set(self) -> bool:
        """Return whether this wheel is to be set, by turns or by its reading alone."""
        nothing = self.turns == 0.0
        if self.turns is None:
            nothing = abs(self.toe_change) < SMALLEST_TOLD
        return self.justified and not self.refused and not nothing

    @property
    def by_reading(self) -> bool:
        """Return whether this rod is to be turned by its reading alone, nobody knows how far."""
        return self.to_set and self.turns is None

    @property
    def refused(self) -> bool:
        """Return whether this wheel is not to be set at all, not by its reading either."""
        gone = self.withheld == "effect" and any(not end.holds for end in self.ends)
        return gone or self.withheld in ("beyond", "other", "rear")


class RearCorrection(NamedTuple):
    """What to do at one rear wheel whose toe can be adjusted.

    Parameters
    ----------
    side : str
        ``left`` or ``right``.
    toe_change : float
        Wanted change of the wheel's toe, towards toe-in positive [rad].
    u : float
        Its standard uncertainty [rad].
    justified : bool
        Whether the readings justify changing the pair of rear wheels.
    wanted_toe : float
        The wheel's toe when it is right, or as far as it goes [rad].
    stop_at_string : float or None
        Front minus rear edge on the string then [m].
    withheld : str
        Why nothing is told: ``beyond`` (more than wheels are meant to be set by, here or at the
        other rear wheel), ``room`` (its adjusters have no room that way, or no step as small), or
        empty.
    reached : float or None
        Change of toe that its adjusters are expected to make, where they or those of the other
        rear wheel stop short of what is wanted [rad]; None where nothing stops them.
    u_reached : float
        Standard uncertainty of that [rad].
    """

    side: str
    toe_change: float
    u: float
    justified: bool
    wanted_toe: float
    stop_at_string: float | None = None
    withheld: str = ""
    reached: float | None = None
    u_reached: float = 0.0

    @property
    def change(self) -> float:
        """Return the change of toe that doing as told makes [rad]."""
        return self.toe_change if self.reached is None else self.reached

    @property
    def to_set(self) -> bool:
        """Return whether this wheel is to be set."""
        return self.justified and not self.withheld


class RearStays(NamedTuple):
    """How a rear axle points whose toe cannot be adjusted.

    Parameters
    ----------
    solid : bool
        Whether it is a solid axle; False: wheels each on its own, without adjusters.
    thrust : float or None
        Thrust angle, to the right positive [rad]; None where not measured.
    proven : bool
        Whether the thrust angle differs from zero beyond its 95 % interval.
    axle_shift : float or None
        How far one end of a solid axle stands ahead of the other: the right end behind the left
        positive [m]; None where track or thrust angle is not known.
    shift_by_wheelbases : float or None
        The same from the two wheelbases, where the front axle is square [m].
    """

    solid: bool
    thrust: float | None
    proven: bool
    axle_shift: float | None = None
    shift_by_wheelbases: float | None = None


class Remainder(NamedTuple):
    """What the turns are expected to leave.

    Parameters
    ----------
    total_toe : float or None
        Front total toe minus its goal [rad]; without a goal, by how much the turns change it; None
        where it has one, and nothing tells how it stands.
    steering_wheel : float or None
        Steering wheel minus its goal, clockwise positive [rad]; None where nothing tells how it
        stands, or without steering ratio.
    u_total_toe, u_steering_wheel : float or None
        Their standard uncertainties: of the readings, of what a turn does, and of the reading at
        which a rod is stopped that is turned by it alone [rad].
    """

    total_toe: float | None
    steering_wheel: float | None
    u_total_toe: float | None = None
    u_steering_wheel: float | None = None


class Improve(NamedTuple):
    """Which reading to improve before a change can be justified.

    Parameters
    ----------
    name : str
        The result that decides, for example ``total_toe.front``.
    reading : str
        Start of the label of the readings (or assumption) that make it most uncertain.
    share : float
        Their share of its variance, 0 to 1 [-].
    """

    name: str
    reading: str
    share: float


class PassCorrection(NamedTuple):
    """What to turn after one pass."""

    rods: tuple[RodCorrection, ...] = ()
    rear: tuple[RearCorrection, ...] = ()
    rear_stays: RearStays | None = None
    remains: Remainder = Remainder(None, None)
    corrected: tuple[str, ...] = ()  # results that the turns put right, of those below
    judged: tuple[str, ...] = ()  # results with a goal that the rods can put right
    carried: tuple[str, ...] = ()  # judged, but not measured in this pass: from those before
    improve: Improve | None = None  # where nothing is justified
    proven_within: bool = False  # nothing is turned because every goal is proven to be met
    gear: GearCentre | None = None
    imbalance: float | None = None  # left minus right thread engaged after the turns [m]
    stop_at_tape: float | None = None  # rear minus front, front axle, both rods set [m]
    tape_across: float | None = None  # [m]
    split_assumed: bool = False  # steering wheel taken as straight: nothing says otherwise
    total_kept: bool = False  # no goal for total toe, or not measured: kept as found
    wheel_far_off: bool = False  # centre the gear before turning tie rods
    gear_centred: bool = False  # an earlier count found the gear in its middle
    count_again: bool = False  # an earlier count told to move the steering wheel: was it moved?
    thrust_by_adjusters: float | None = None  # what their moves are to change it by [rad]
    turns_surer: bool = False  # than one reading at the stop
    spline_needs: str = ""  # what else a steering wheel on the wrong spline asks to be known

    @property
    def kept(self) -> tuple[str, ...]:
        """Return the results with a goal that the turns leave as they are."""
        return tuple(name for name in self.judged if name not in self.corrected)

    @property
    def by_turns(self) -> bool:
        """Return whether both wheels go where their turns bring them, not where they are wanted."""
        return any(rod.held for rod in self.rods)

    @property
    def wrong_spline(self) -> bool:
        """Return whether the steering wheel is to be moved on its spline."""
        return self.gear is not None and self.gear.wrong_spline

    @property
    def sets_rear(self) -> bool:
        """Return whether any rear wheel is to be set."""
        return any(wheel.to_set for wheel in self.rear)

    @property
    def line_moved(self) -> bool:
        """Return whether adjusters change the line that the car follows, as far as it is shown."""
        return abs(self.thrust_by_adjusters or 0.0) > SMALLEST_TOLD

    @property
    def thrust_set(self) -> bool:
        """Return whether the rear wheels are to be set to another thrust angle."""
        if self.line_moved:
            return True
        changes = [wheel.change for wheel in self.rear if wheel.justified]
        return len(changes) == len(SIDES) and abs(changes[0] - changes[1]) > LEAST_CHANGE

    @property
    def to_turn(self) -> bool:
        """Return whether any front wheel is to be set, by turns or by its reading alone."""
        return any(rod.to_set for rod in self.rods)
