"""From which part of a step on an adjuster is moved: what is less would be taken back."""

from __future__ import annotations

import math
from collections.abc import Sequence

from toebox.correct.adjusters.results import Effect, Outcome
from toebox.estimate import Array
from toebox.job.model import Adjuster
from toebox.solve.decide import COVERAGE_FACTOR

MISSED = 0.1  # of a tolerance: what is missed by less is met
# What a setting of one wheel is of a goal, where it is not all of it; the sign is no matter here.
_SHARE = {"thrust_angle": 0.5}


def least_part(adjuster: Adjuster, effect: Effect, outcome: Outcome) -> float:
    """Return the part of a smallest step from which on a whole one is worth while.

    Parameters
    ----------
    adjuster : Adjuster
        With its smallest step.
    effect : Effect
        What one of its units does to its own setting.
    outcome : Outcome
        The goal of that setting, and how it stands.

    Returns
    -------
    float
        Half, and more where the step would bring the setting nearer by less than is known: the
        next pass would tell to take it back. A whole step is always worth while, and so is one
        from outside the tolerance to within it [-].
    """
    step, off = adjuster.smallest_step * abs(effect.value), abs(outcome.wanted)
    tolerance = outcome.goal.tolerance
    if not step or (tolerance is not None and abs(off - step) <= tolerance < off):
        return 0.5
    known = math.hypot(outcome.standing.result.u, adjuster.smallest_step * effect.u)
    return min(0.5 + 0.5 * known / step, 1.0)


def pulled(
    adjusters: Sequence[Adjuster],
    effects: Array,
    cost: Array,
    left: Array,
    outcomes: Sequence[Outcome],
) -> dict[str, list[Outcome]]:
    """Return the goals between which each adjuster stands at its best place.

    Parameters
    ----------
    adjusters : sequence of Adjuster
        Those of one axle.
    effects : ndarray, shape (m, n)
        Effect of each on each goal, over its tolerance; rows beyond the goals do not matter [-].
    cost : ndarray, shape (m,)
        Square of each miss, over its tolerance [-].
    left : ndarray, shape (m,)
        What is left of each wanted change, over its tolerance [-].
    outcomes : sequence of Outcome
        The goals.

    Returns
    -------
    dict of str to list of Outcome
        By the adjuster's name, those for its own setting; empty where none is missed, or all pull
        the same way and but for its room it would go there.
    """
    found: dict[str, list[Outcome]] = {}
    for n, adjuster in enumerate(adjusters):
        rows = [
            row
            for row, outcome in enumerate(outcomes)
            if cost[row] > MISSED**2 and effects[row, n] and outcome.kind == adjuster.setting
        ]
        ways = {bool(effects[row, n] * left[row] > 0.0) for row in rows}
        found[adjuster.name] = [outcomes[row] for row in rows] if len(ways) > 1 else []
    return found


def least_between(adjuster: Adjuster, effect: Effect, outcomes: Sequence[Outcome]) -> float:
    """Return the same for a setting between goals that it cannot all meet.

    Parameters
    ----------
    adjuster : Adjuster
        With its smallest step.
    effect : Effect
        What one of its units does to its own setting.
    outcomes : sequence of Outcome
        The goals, such as those for thrust angle and rear total toe, or for the caster of a wheel
        and for its difference to the other one, and how they stand.

    Returns
    -------
    float
        So many steps as are proven: where it stands best follows the noise of all their readings,
        and each pass would tell to move it a little [-].

    Notes
    -----
    The best place is the mean of what the goals want, weighted by 1 over their tolerances squared.
    """
    step = adjuster.smallest_step * abs(effect.value)
    weight = square = 0.0
    for outcome in outcomes:
        share = _SHARE.get(outcome.name, 1.0) / outcome.tolerance
        weight += share**2
        square += (share * outcome.standing.result.u / outcome.tolerance) ** 2
    return COVERAGE_FACTOR * math.sqrt(square) / weight / step if step else 0.5
