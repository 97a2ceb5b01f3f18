"""Both sides rounded together: what total toe and steering wheel are left with decides."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from toebox.correct.rods import toe_from_turns, turns_for_toe

Pair = tuple[float, float]
# Roundings are equally good where what they leave differs by less than this share of a tolerance.
ALIKE = 0.1


@dataclass(frozen=True, slots=True)
class Side:
    """One rod to be turned.

    Parameters
    ----------
    wanted : float
        Wanted change of toe [rad].
    per_turn : float
        Change of toe for one turn that lengthens [rad].
    step : float
        Smallest turn that can be set [-].
    low, high : float
        Turns between which the thread allows it [-].
    """

    wanted: float
    per_turn: float
    step: float
    low: float = -math.inf
    high: float = math.inf

    def left_over(self, turns: float) -> float:
        """Return the change of toe that turns leave to be wanted [rad]."""
        return self.wanted - toe_from_turns(self.per_turn, turns)

    def near(self, change: float) -> list[float]:
        """Return turns that can be set and make about a change of toe, two each way."""
        exact = min(max(turns_for_toe(self.per_turn, change), self.low), self.high)
        below = math.floor(exact / self.step)
        turns = (n * self.step for n in range(below - 1, below + 3))
        return [n for n in turns if self.low - 1e-9 <= n <= self.high + 1e-9] or [0.0]


def round_jointly(
    left: Side,
    right: Side,
    ratio: float,
    tolerances: Pair,
    imbalance: Callable[[float, float], float] | None = None,
) -> Pair:
    """Round both sides together so that total toe and steering wheel end nearest their goals.

    Parameters
    ----------
    left, right : Side
        What is wanted and what is possible on each side.
    ratio : float
        Overall steering ratio [-].
    tolerances : tuple of float
        Of total toe and of the steering wheel: the scales of what remains [rad].
    imbalance : callable, optional
        Gives the difference in thread engaged [m], left minus right, after so many turns; among
        roundings that are equally good the smallest difference is taken.

    Returns
    -------
    tuple of float
        Turns left and right, lengthening positive [-].

    Notes
    -----
    Where the thread stops one side short, the other side makes up for as much of it as serves
    both goals: it is solved anew for each turn of the first.
    """

    def cost(pair: Pair) -> float:
        a, b = left.left_over(pair[0]), right.left_over(pair[1])
        return math.hypot((a + b) / tolerances[0], ratio * (a - b) / 2.0 / tolerances[1])

    pairs = sorted(_candidates(left, right, ratio, tolerances), key=cost)
    if imbalance is None:
        return pairs[0]
    alike = [pair for pair in pairs if cost(pair) <= cost(pairs[0]) + ALIKE]
    return min(alike, key=lambda pair: round(abs(imbalance(*pair)), 9))


def _candidates(left: Side, right: Side, ratio: float, tolerances: Pair) -> Iterator[Pair]:
    """Yield pairs of turns: those near the wanted on one side, the best answer on the other."""
    total, wheel = 1.0 / tolerances[0] ** 2, (ratio / 2.0 / tolerances[1]) ** 2
    pull = (wheel - total) / (wheel + total)  # what the other side should leave for one left here
    for turns in left.near(left.wanted):
        answer = right.wanted - pull * left.left_over(turns)
        yield from ((turns, other) for other in right.near(answer))
    for turns in right.near(right.wanted):
        answer = left.wanted - pull * right.left_over(turns)
        yield from ((other, turns) for other in left.near(answer))
