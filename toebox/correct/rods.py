"""A tie rod on its own: what its threads do to its length, and its length to the toe."""

from __future__ import annotations

import math

from toebox.geometry.linkage import rod_length_change, shortening_per_turn
from toebox.job.model import TieRod
from toebox.units.thread import Thread

# Half-width of a rectangular distribution: how well an arm is known of which nothing is said
# (common practice, no published source: it is measured past a boot and a bent arm).
USUAL_ARM_WITHIN = 0.15
# Whoever counts turns is off by half of what can be set at the most (common practice, no published
# source): a rectangle, GUM 4.3.7. Over the smallest turn.
COUNT_U = 0.5 / math.sqrt(3.0)


def arm_within(rod: TieRod) -> float:
    """Return within how much the arm length is known, half the width of a rectangle.

    Parameters
    ----------
    rod : TieRod
        With an arm length.

    Returns
    -------
    float
        As stated, else 15 % of the arm length [m].
    """
    if rod.arm_length_within is not None:
        return rod.arm_length_within
    return USUAL_ARM_WITHIN * (rod.arm_length or 0.0)


def arm_uncertainty(rod: TieRod) -> float:
    """Return the standard uncertainty of the arm length (GUM 4.3.7).

    Parameters
    ----------
    rod : TieRod
        With an arm length.

    Returns
    -------
    float
        Standard uncertainty, never quite zero [m].
    """
    return max(arm_within(rod) / math.sqrt(3.0), 1e-6)


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
        along the rod, negative where that shortens [m]; None where no thread was given.
    """
    if rod.outer_thread is None:
        return None
    return -shortening(rod.outer_thread, rod.inner_thread)


def shortening(outer: Thread, inner: Thread | None) -> float:
    """Return how much one turn clockwise shortens a rod with these threads.

    Parameters
    ----------
    outer : Thread
        At the outer end.
    inner : Thread or None
        At the inner end; None where that swivels.

    Returns
    -------
    float
        Negative where that lengthens [m].
    """
    if inner is None:
        return shortening_per_turn(outer.pitch, outer.left_hand)
    return shortening_per_turn(outer.pitch, outer.left_hand, inner.pitch, inner.left_hand)


def clockwise_turns(rod: TieRod, turns: float) -> float | None:
    """Return turns that lengthen as turns clockwise.

    Parameters
    ----------
    rod : TieRod
        Threads and hands.
    turns : float
        Turns, lengthening positive [-].

    Returns
    -------
    float or None
        Turns, clockwise positive, seen from the middle of the car looking outwards along the
        rod [-]; None where no thread was given.
    """
    per_turn = lengthening_per_turn(rod)
    return None if per_turn is None else math.copysign(1.0, per_turn) * turns


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


def toe_from_turns(per_turn: float, turns: float) -> float:
    """Return the change of toe that turns make.

    Parameters
    ----------
    per_turn : float
        Sine of the change of toe for one turn that lengthens (`toebox.correct.effects`) [rad].
    turns : float
        Turns, lengthening positive [-].

    Returns
    -------
    float
        Towards toe-in positive; at most a right angle [rad].
    """
    return math.asin(min(max(turns * per_turn, -1.0), 1.0))


def turns_for_toe(per_turn: float, toe_change: float) -> float:
    """Return the turns for a change of toe.

    Parameters
    ----------
    per_turn : float
        Sine of the change of toe for one turn that lengthens, not zero [rad].
    toe_change : float
        Towards toe-in positive [rad].

    Returns
    -------
    float
        Turns, lengthening positive [-].
    """
    return math.sin(toe_change) / per_turn
