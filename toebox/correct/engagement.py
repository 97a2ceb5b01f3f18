"""Thread engaged at the ends of a tie rod: before, after, and how far a rod may be turned."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import NamedTuple

from toebox.correct.rods import clockwise_turns
from toebox.geometry.linkage import engagement_after
from toebox.job.model import TieRod
from toebox.units.thread import Thread

# No turn is told that leaves less than this share of the thread's diameter: as little as a thin
# nut holds, which is made to lock and not to carry (heights of ISO 4035, from memory).
LEAST_SHARE = 0.5
# From this difference between left and right on, the gear is likely off centre (common practice,
# no published source; about two turns of a usual thread) [m].
LARGE_IMBALANCE = 0.003


class End(NamedTuple):
    """Thread engaged at one end of a tie rod.

    Parameters
    ----------
    end : str
        ``outer`` (towards the wheel) or ``inner``.
    before : float
        Length of thread engaged now [m].
    after : float
        The same after the turns [m].
    diameter : float
        Nominal diameter of the thread [m].
    """

    end: str
    before: float
    after: float
    diameter: float

    @property
    def short(self) -> bool:
        """Return whether less than one diameter is engaged, before or after."""
        return min(self.before, self.after) < self.diameter - 1e-9

    @property
    def holds(self) -> bool:
        """Return whether as much is engaged now as a turn may leave."""
        return self.before >= LEAST_SHARE * self.diameter - 1e-9

    @property
    def least(self) -> float:
        """Return the engagement below which no turn may lead [m]."""
        return min(LEAST_SHARE * self.diameter, self.before)


def ends(rod: TieRod, turns: float = 0.0) -> tuple[End, ...]:
    """Return the threaded ends of a tie rod whose engagement is known.

    Parameters
    ----------
    rod : TieRod
        Threads and their engagement now.
    turns : float, optional
        Turns, lengthening positive [-].

    Returns
    -------
    tuple of End
        Outer, then inner; empty where no engagement was given.
    """
    clockwise = clockwise_turns(rod, turns)
    if clockwise is None:
        return ()
    found = []
    for end, thread, engaged in _threads(rod):
        after = engagement_after(engaged, thread.pitch, thread.left_hand, clockwise, end)
        found.append(End(end, engaged, after, thread.diameter))
    return tuple(found)


def _threads(rod: TieRod) -> Iterator[tuple[str, Thread, float]]:
    if rod.outer_thread is not None and rod.outer_engaged is not None:
        yield "outer", rod.outer_thread, rod.outer_engaged
    if rod.inner_thread is not None and rod.inner_engaged is not None:
        yield "inner", rod.inner_thread, rod.inner_engaged


def allowed(rod: TieRod) -> tuple[float, float]:
    """Return the turns between which every end keeps enough thread.

    Parameters
    ----------
    rod : TieRod
        Threads and their engagement now.

    Returns
    -------
    low, high : float
        Turns, lengthening positive; infinite where nothing limits them [-].
    """
    low, high = -math.inf, math.inf
    for end in ends(rod, 1.0):
        per_turn = end.after - end.before
        if per_turn < 0.0:
            high = min(high, (end.before - end.least) / -per_turn)
        elif per_turn > 0.0:
            low = max(low, (end.least - end.before) / per_turn)
    return low, high


def turned(rod: TieRod, turns: float) -> TieRod:
    """Return a tie rod with the engagement that it has after turning.

    Parameters
    ----------
    rod : TieRod
        Threads and their engagement before.
    turns : float
        Turns, lengthening positive [-].

    Returns
    -------
    TieRod
        The same rod, its engagement changed; never below zero.
    """
    if not turns:
        return rod
    after = {end.end: max(end.after, 0.0) for end in ends(rod, turns)}
    return rod._replace(
        outer_engaged=after.get("outer", rod.outer_engaged),
        inner_engaged=after.get("inner", rod.inner_engaged),
    )


def tells_length(rod: TieRod) -> bool:
    """Return whether the thread engaged, as far as it is known, tells how long a rod is.

    Parameters
    ----------
    rod : TieRod
        Threads and their engagement.

    Returns
    -------
    bool
        False where both ends are threaded with equal hands and one engagement is not known: what
        one end gains, the other loses.
    """
    outer, inner = rod.outer_thread, rod.inner_thread
    if outer is None or inner is None or outer.left_hand != inner.left_hand:
        return True
    return rod.outer_engaged is not None and rod.inner_engaged is not None


def imbalance(left: tuple[End, ...], right: tuple[End, ...]) -> float | None:
    """Return how much more thread is engaged in the left rod than in the right one, after turning.

    Parameters
    ----------
    left, right : tuple of End
        Ends of the two rods.

    Returns
    -------
    float or None
        Sum over the ends that are known on both sides, left minus right [m]; None where none is.
    """
    other = {end.end: end for end in right}
    pairs = [(end, other[end.end]) for end in left if end.end in other]
    return sum(a.after - b.after for a, b in pairs) if pairs else None
