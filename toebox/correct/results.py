"""What to turn: frozen, in metres, radians and turns."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RodCorrection:
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
        Whether the change is larger than its 95 % interval.
    length_change : float or None
        Wanted change of the rod's length, longer positive [m]; None without arm length.
    exact_turns : float or None
        Turns that would make it, lengthening positive [-]; None without threads.
    turns : float or None
        Turns to make, rounded to what can be turned, lengthening positive [-].
    clockwise : bool or None
        Way to rotate, seen from the middle of the car looking outwards along the rod.
    stop_at_string : float or None
        Front minus rear edge on the string when the wheel is right [m].
    wanted_toe : float or None
        The wheel's toe when it is right [rad].
    """

    side: str
    toe_change: float
    u: float
    justified: bool
    length_change: float | None = None
    exact_turns: float | None = None
    turns: float | None = None
    clockwise: bool | None = None
    stop_at_string: float | None = None
    wanted_toe: float | None = None

    @property
    def direction(self) -> str:
        """Return ``lengthen``, ``shorten`` or ``leave``."""
        amount = self.turns if self.turns is not None else self.length_change
        if not self.justified or not amount:
            return "leave"
        return "lengthen" if amount > 0.0 else "shorten"


@dataclass(frozen=True, slots=True)
class RearCorrection:
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
        Whether the change is larger than its 95 % interval.
    wanted_toe : float
        The wheel's toe when it is right [rad].
    stop_at_string : float or None
        Front minus rear edge on the string when the wheel is right [m].
    """

    side: str
    toe_change: float
    u: float
    justified: bool
    wanted_toe: float
    stop_at_string: float | None = None


@dataclass(frozen=True, slots=True)
class Remainder:
    """What the turns are expected to leave.

    Parameters
    ----------
    total_toe : float or None
        Front total toe minus its goal [rad].
    steering_wheel : float or None
        Steering wheel minus its goal, clockwise positive [rad].
    """

    total_toe: float | None
    steering_wheel: float | None


@dataclass(frozen=True, slots=True)
class PassCorrection:
    """What to turn after one pass."""

    rods: tuple[RodCorrection, ...] = ()
    rear: tuple[RearCorrection, ...] = ()
    remains: Remainder = Remainder(None, None)
    stop_at_tape: float | None = None  # rear minus front, front axle [m]
    tape_across: float | None = None  # [m]
    split_assumed: bool = False  # steering wheel taken as straight: nothing says otherwise
    total_kept: bool = False  # no goal for total toe, or not measured: kept as found
    wheel_far_off: bool = False  # centre the gear before turning tie rods

    @property
    def to_turn(self) -> bool:
        """Return whether any rod is to be turned."""
        return any(rod.direction != "leave" for rod in self.rods)
