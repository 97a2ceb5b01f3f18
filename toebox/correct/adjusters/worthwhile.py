"""From which part of a step on an adjuster is moved: what is less would be taken back."""

from __future__ import annotations

import math
from collections.abc import Sequence

from toebox.correct.adjusters.results import Effect, Outcome
from toebox.job.model import Adjuster
from toebox.solve.decide import COVERAGE_FACTOR

# Weight of rear toe where a goal has no tolerance (common practice, no published source).
USUAL_TOE_TOLERANCE = math.radians(0.1)
# What the toe of one rear wheel is of each goal; the sign is no matter here.
_SHARE = {"thrust_angle": 0.5, "total_toe.rear": 1.0}


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


def least_between(adjuster: Adjuster, effect: Effect, outcomes: Sequence[Outcome]) -> float:
    """Return the same for the toe of one rear wheel, between two goals that it cannot both meet.

    Parameters
    ----------
    adjuster : Adjuster
        With its smallest step.
    effect : Effect
        What one of its units does to toe.
    outcomes : sequence of Outcome
        The goals for thrust angle and rear total toe, and how they stand.

    Returns
    -------
    float
        So many steps as are proven: where the wheel stands best follows the noise of both readings,
        and each pass would tell to move it a little [-].

    Notes
    -----
    The best place is the mean of what both goals want, weighted by 1 over their tolerances squared.
    """
    step = adjuster.smallest_step * abs(effect.value)
    weight = square = 0.0
    for outcome in outcomes:
        tolerance = outcome.goal.tolerance or USUAL_TOE_TOLERANCE
        share = _SHARE[outcome.name] / tolerance
        weight += share**2
        square += (share * outcome.standing.result.u / tolerance) ** 2
    return COVERAGE_FACTOR * math.sqrt(square) / weight / step if step else 0.5
