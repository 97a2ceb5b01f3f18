"""From a wanted change of toe to turns of a tie rod, rounded to what can be turned."""

from __future__ import annotations

import itertools
import math

from toebox.geometry.linkage import rod_length_change, shortening_per_turn
from toebox.job.model import TieRod

# Weights of the joint rounding where a goal has no tolerance of its own.
USUAL_TOTAL_TOLERANCE = math.radians(0.05)
USUAL_WHEEL_TOLERANCE = math.radians(2.0)


def lengthening_per_turn(rod: TieRod) -> float | None:
    """Return how much one turn clockwise lengthens a tie rod.

    Parameters
    ----------
    rod : TieRod
        Threads and hands.

    Returns
    -------
    float or None
        Lengthening for one turn clockwise, seen from the middle of the car looking outwards
        along the rod, negative where that shortens [m]; None where no thread was given or
        turning changes nothing.
    """
    if rod.outer_thread is None:
        return None
    outer, inner = rod.outer_thread, rod.inner_thread
    shortening = shortening_per_turn(
        outer.pitch,
        outer.left_hand,
        inner.pitch if inner else 0.0,
        inner.left_hand if inner else False,
    )
    return -float(shortening) if abs(shortening) > 1e-9 else None


def length_change(rod: TieRod, toe_change: float) -> float | None:
    """Return the change of rod length for a change of toe; None without arm length.

    Parameters
    ----------
    rod : TieRod
        Steering arm.
    toe_change : float
        Towards toe-in positive [rad].

    Returns
    -------
    float or None
        Longer positive [m].
    """
    if rod.arm_length is None:
        return None
    return float(rod_length_change(rod.arm_length, toe_change, rod.arm_behind))


def toe_from_turns(rod: TieRod, turns: float) -> float | None:
    """Return the change of toe that turns make; None where it cannot be told.

    Parameters
    ----------
    rod : TieRod
        Threads and steering arm.
    turns : float
        Turns, lengthening positive [-].

    Returns
    -------
    float or None
        Towards toe-in positive [rad].
    """
    per_turn = lengthening_per_turn(rod)
    if per_turn is None or rod.arm_length is None:
        return None
    sine = turns * abs(per_turn) / rod.arm_length * (1.0 if rod.arm_behind else -1.0)
    return math.asin(sine) if abs(sine) <= 1.0 else None


def exact_turns(rod: TieRod, toe_change: float) -> float | None:
    """Return the turns for a change of toe, lengthening positive; None where unknown.

    Parameters
    ----------
    rod : TieRod
        Threads and steering arm.
    toe_change : float
        Towards toe-in positive [rad].

    Returns
    -------
    float or None
        Turns [-].
    """
    per_turn, length = lengthening_per_turn(rod), length_change(rod, toe_change)
    return None if per_turn is None or length is None else length / abs(per_turn)


def round_jointly(
    rods: tuple[TieRod, TieRod],
    changes: tuple[float, float],
    movable: tuple[bool, bool],
    ratio: float,
    tolerances: tuple[float, float],
) -> tuple[float, float] | None:
    """Round both sides together so that total toe and steering wheel end nearest their goals.

    Parameters
    ----------
    rods : tuple of TieRod
        Left and right.
    changes : tuple of float
        Wanted toe changes [rad].
    movable : tuple of bool
        Whether each side is to be turned at all.
    ratio : float
        Overall steering ratio [-].
    tolerances : tuple of float
        Of total toe and of the steering wheel, the scales of what remains [rad].

    Returns
    -------
    tuple of float or None
        Turns left and right, lengthening positive [-]; None where they cannot be told.
    """
    candidates = []
    for rod, change, move in zip(rods, changes, movable, strict=True):
        exact = exact_turns(rod, change)
        if exact is None:
            return None
        candidates.append(_near(exact, rod.smallest_turn) if move else [0.0])

    def left_over(turns: tuple[float, ...]) -> float:
        left, right = (
            change - (toe_from_turns(rod, turn) or 0.0)
            for rod, change, turn in zip(rods, changes, turns, strict=True)
        )
        total, wheel = left + right, ratio * (left - right) / 2.0
        return (total / tolerances[0]) ** 2 + (wheel / tolerances[1]) ** 2

    left, right = min(itertools.product(*candidates), key=left_over)
    return left, right


def _near(exact: float, step: float) -> list[float]:
    """Return the steps on either side of an exact number of turns, two each way."""
    below = math.floor(exact / step)
    return [n * step for n in range(below - 1, below + 3)]
