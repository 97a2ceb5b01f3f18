"""From wanted changes of toe to turns of both rods: effect, limits and rounding together."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from toebox.correct.effects import Effect
from toebox.correct.engagement import allowed, ends, imbalance, tells_length
from toebox.correct.results import RodCorrection
from toebox.correct.rods import clockwise_turns, turns_for_toe
from toebox.correct.rounding import Side, round_jointly
from toebox.job.model import SIDES, Job, TieRod

USUAL_RATIO = 16.0  # only weighs the rounding where the job gives none
# Weights of the joint rounding where a goal has no tolerance of its own.
USUAL_TOTAL_TOLERANCE = math.radians(0.05)
USUAL_WHEEL_TOLERANCE = math.radians(2.0)
# More than this at one wheel is not worn or misset, it is bent or misread (common practice, no
# published source).
MOST_TOE_CHANGE = math.radians(3.0)


class Scales(NamedTuple):
    """What weighs total toe against the steering wheel: ratio [-] and tolerances [rad]."""

    ratio: float
    tolerances: tuple[float, float]

    @classmethod
    def of(cls, job: Job) -> Scales:
        """Return the scales of a job.

        Parameters
        ----------
        job : Job
            Goals and steering ratio.

        Returns
        -------
        Scales
            With usual values for what the job does not give.
        """

        def tolerance(name: str, usual: float) -> float:
            goal = job.goals.get(name)
            return goal.tolerance if goal is not None and goal.tolerance else usual

        return cls(
            job.car.steering_ratio or USUAL_RATIO,
            (
                tolerance("total_toe.front", USUAL_TOTAL_TOLERANCE),
                tolerance("steering_wheel", USUAL_WHEEL_TOLERANCE),
            ),
        )


def with_turns(
    tie_rods: Mapping[str, TieRod],
    rods: tuple[RodCorrection, ...],
    effects: Mapping[str, Effect],
    scales: Scales,
    astray: bool = False,
    split: bool = False,
) -> tuple[RodCorrection, ...]:
    """Add the turns, rounded jointly, where it is known what a turn does.

    Parameters
    ----------
    tie_rods : mapping of str to TieRod
        By side, with the thread engaged now.
    rods : tuple of RodCorrection
        Left and right.
    effects : mapping of str to Effect
        By side.
    scales : Scales
        Weights of the rounding.
    astray : bool, optional
        Whether the line that the wheels are to be set along is not to be trusted.
    split : bool, optional
        Whether both get the same share since nothing tells them apart.

    Returns
    -------
    tuple of RodCorrection
        Left and right.
    """
    known = {s: tie_rods.get(s, TieRod()) for s in SIDES}
    rods = tuple(_with_effect(rod, effects.get(rod.side), known[rod.side]) for rod in rods)
    rods = _refused(rods, astray, split, known["left"].arm_behind == known["right"].arm_behind)
    sides = tuple(_side(rod, known[rod.side]) for rod in rods)
    turns = _turns(sides, rods, known, scales)
    return tuple(
        _with_ends(rod, known[rod.side], side, count)
        for rod, side, count in zip(rods, sides, turns, strict=True)
    )


def _with_effect(rod: RodCorrection, effect: Effect | None, tie_rod: TieRod) -> RodCorrection:
    withheld, doubtful = "", effect is not None and effect.doubtful
    if rod.justified and doubtful:
        withheld = "effect"
    if rod.justified and abs(rod.toe_change) > MOST_TOE_CHANGE:
        withheld = "beyond"
    exact = None
    if effect is not None and not (rod.justified and doubtful):  # one in doubt gives no number
        exact = turns_for_toe(effect.per_turn, rod.toe_change)
    return rod._replace(effect=effect, exact_turns=exact, withheld=withheld, ends=ends(tie_rod))


def _refused(
    rods: tuple[RodCorrection, ...], astray: bool, split: bool, alike: bool
) -> tuple[RodCorrection, ...]:
    """Withhold the other rod too where one is not to be turned, or its share is not known.

    A bent part or a wrong reading there makes the share of the other one wrong as well; at the rear
    wheels it makes both wrong. Where nothing tells the shares apart, so does a rod that did not do
    what was expected of it. Where one goes against the side of its arm, and the other's is said to
    be the same, nothing is told of that before passes have shown what it does.
    """
    if astray:
        return tuple(rod._replace(withheld="rear") if rod.justified else rod for rod in rods)
    faulty = [rod.refused or (split and rod.withheld == "effect") for rod in rods]
    against = [rod.effect is not None and rod.effect.against_arm for rod in rods]
    unseen = [rod.effect is None or rod.effect.observed is None for rod in rods]
    if alike and any(against) and any(unseen) and not any(faulty):
        faulty = against
    if not any(faulty):
        return rods
    pairs = zip(rods, faulty, strict=True)
    return tuple(rod if own else rod._replace(withheld="other") for rod, own in pairs)


def _side(rod: RodCorrection, tie_rod: TieRod) -> Side | None:
    """Return a rod as something to be turned; None where it is not, or not by turns."""
    if rod.effect is None or rod.withheld or not rod.justified:
        return None
    return Side(
        rod.toe_change, rod.ideal, rod.effect.per_turn, tie_rod.smallest_turn, *allowed(tie_rod)
    )


def _turns(
    sides: tuple[Side | None, ...],
    rods: tuple[RodCorrection, ...],
    tie_rods: Mapping[str, TieRod],
    scales: Scales,
) -> tuple[float | None, ...]:
    """Return the turns of left and right; None where they cannot be told."""
    if any(rod.effect is None or rod.withheld for rod in rods):
        return tuple(None if side is None else _alone(side) for side in sides)
    left, right = sides
    if left is None or right is None:
        return (0.0, 0.0)

    def uneven(left_turns: float, right_turns: float) -> float:
        pair = zip(SIDES, (left_turns, right_turns), strict=True)
        return imbalance(*(ends(tie_rods[side], turns) for side, turns in pair)) or 0.0

    compared = uneven if all(tells_length(tie_rods[side]) for side in SIDES) else None
    return round_jointly(left, right, scales.ratio, scales.tolerances, compared)


def _alone(side: Side) -> float:
    """Return the turns of a rod whose partner is set by its reading alone."""
    return min(side.near(side.wanted, 1), key=lambda turns: abs(side.wanted - side.made(turns)))


def _with_ends(
    rod: RodCorrection, tie_rod: TieRod, side: Side | None, turns: float | None
) -> RodCorrection:
    limited = False
    if side is not None and rod.exact_turns is not None:
        nearest = round(rod.exact_turns / side.step) * side.step
        limited = not side.low - 1e-9 <= nearest <= side.high + 1e-9
    around = clockwise_turns(tie_rod, turns) if turns else None
    return rod._replace(
        turns=turns,
        clockwise=None if around is None else around > 0.0,
        ends=ends(tie_rod, turns or 0.0),
        limited=limited,
    )
