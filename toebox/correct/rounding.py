"""Both sides rounded together: what total toe and steering wheel are left with decides."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import NamedTuple

from toebox.correct.rods import toe_from_turns, turns_for_toe

Pair = tuple[float, float]
# Roundings are equally good where what they leave differs by less than this share of a tolerance.
ALIKE = 0.1


class Side(NamedTuple):
    """One rod to be turned.

    Parameters
    ----------
    wanted : float
        Change of toe to make [rad].
    ideal : float
        Change of toe that would bring every goal to its middle, what is kept because no change
        of it is proven included: it decides which way to round [rad].
    per_turn : float
        Change of toe for one turn that lengthens [rad].
    step : float
        Smallest turn that can be set [-].
    low, high : float
        Turns between which the thread allows it [-].
    """

    wanted: float
    ideal: float
    per_turn: float
    step: float
    low: float = -math.inf
    high: float = math.inf

    def made(self, turns: float) -> float:
        """Return the change of toe that turns make [rad]."""
        return toe_from_turns(self.per_turn, turns)

    def near(self, change: float, reach: int) -> list[float]:
        """Return turns that can be set and make about a change of toe, so many each way."""
        exact = min(max(turns_for_toe(self.per_turn, change), self.low), self.high)
        below = math.floor(exact / self.step + 1e-9)
        turns = (n * self.step for n in range(below - reach + 1, below + reach + 1))
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
    pairs = dict.fromkeys(_candidates(left, right, ratio, tolerances))
    lefts, rights = (
        {turns: side.ideal - side.made(turns) for turns in {pair[place] for pair in pairs}}
        for place, side in enumerate((left, right))
    )

    def cost(pair: Pair) -> float:
        a, b = lefts[pair[0]], rights[pair[1]]
        return math.hypot((a + b) / tolerances[0], ratio * (a - b) / 2.0 / tolerances[1])

    costs = {pair: cost(pair) for pair in pairs}
    best = sorted(costs, key=costs.__getitem__)
    alike = [pair for pair in best if costs[pair] <= costs[best[0]] + ALIKE]
    if imbalance is None or len(alike) == 1:
        return best[0]
    return min(alike, key=lambda pair: round(abs(imbalance(*pair)), 9))


def _candidates(left: Side, right: Side, ratio: float, tolerances: Pair) -> Iterator[Pair]:
    """Yield pairs of turns: those near the wanted on one side, the best answer on the other."""
    total, wheel = 1.0 / tolerances[0] ** 2, (ratio / 2.0 / tolerances[1]) ** 2
    pull = (wheel - total) / (wheel + total)  # what the other side should leave for one left here
    # Where one goal is kept as found, rounding must not creep after it.
    reach = 2 if (left.wanted, right.wanted) == (left.ideal, right.ideal) else 1
    for turns in left.near(left.wanted, reach):
        answer = right.wanted - pull * (left.wanted - left.made(turns))
        yield from ((turns, other) for other in right.near(answer, reach))
    for turns in right.near(right.wanted, reach):
        answer = left.wanted - pull * (right.wanted - right.made(turns))
        yield from ((other, turns) for other in left.near(answer, reach))
