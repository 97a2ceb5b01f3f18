"""The front wheels: half of the total-toe goal each, relative to the thrust line.

Change of the half sum sets total toe, change of the half difference sets the steering wheel::

    d_left  = (T_goal - T) / 2 + (off - off_goal) / ratio
    d_right = (T_goal - T) / 2 - (off - off_goal) / ratio

which equals wanted minus found with wanted = T_goal/2 +- thrust (common practice, no published
source), whichever readings gave total toe and steering wheel. A steering wheel that is to be moved
on its spline counts as moved already.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from toebox.correct.effects import Effect
from toebox.correct.engagement import imbalance, turned
from toebox.correct.gear import GearCentre, gear_centre
from toebox.correct.justify import Change, justified, to_improve
from toebox.correct.remains import done, remains
from toebox.correct.results import PassCorrection, RodCorrection
from toebox.correct.rods import length_change
from toebox.correct.stops import with_stops
from toebox.correct.turning import Scales, with_turns
from toebox.estimate import Array
from toebox.job.model import SIDES, Goal, Job, TieRod
from toebox.solve.results import PassSolution

FAR_OFF = math.radians(15.0)  # from here on, centre the gear before turning tie rods
SIGNS = {"left": 1.0, "right": -1.0}


def front_correction(
    job: Job,
    passes: Sequence[PassSolution],
    effects: Mapping[str, Effect],
    thrust_after: float | None,
) -> PassCorrection:
    """Work out what to turn at the two front tie rods.

    Parameters
    ----------
    job : Job
        Goals, steering ratio and tie rods.
    passes : sequence of PassSolution
        The passes up to now; the last one says how the wheels stand.
    effects : mapping of str to Effect
        What a turn does on each side, as far as known.
    thrust_after : float or None
        Thrust angle that the rear wheels are to be set to first [rad]; None where they stay.

    Returns
    -------
    PassCorrection
        Empty where neither total toe nor steering wheel was measured.
    """
    solved = passes[-1]
    gear = gear_centre(job, solved.readings)
    total = _half_sum(job, solved)
    wheel = _half_difference(job, solved, thrust_after, gear)
    if total is None and wheel is None:
        return PassCorrection(gear=gear)
    kept = total is None or "total_toe.front" not in job.goals
    judged = tuple(change for change in (None if kept else total, wheel) if change is not None)
    making = justified(judged, solved.estimate)
    tie_rods = _now(job, passes)
    rods = tuple(_rod(tie_rods, solved, side, making, judged) for side in SIDES)
    rods = with_turns(tie_rods, rods, effects, Scales.of(job))
    rods = tuple(_limited(solved, rod) for rod in rods) if any(r.limited for r in rods) else rods
    rods, tape = with_stops(job, solved, rods)
    met = bool(judged) and all(change.met for change in judged)
    return PassCorrection(
        rods=rods,
        remains=remains(job, solved, rods, (total, wheel)),
        corrected=tuple(change.name for change in making),
        judged=tuple(change.name for change in judged),
        improve=None if making else to_improve(judged, solved),
        proven_within=not making and met,
        gear=gear,
        imbalance=imbalance(*(rod.ends for rod in rods)),
        stop_at_tape=tape,
        tape_across=solved.readings.tape["front"].across if tape is not None else None,
        split_assumed=wheel is None,
        total_kept=kept,
        wheel_far_off=gear is None and _far_off(solved),
    )


def _far_off(solved: PassSolution) -> bool:
    wheel = solved.get("steering_wheel")
    return wheel is not None and abs(wheel.value) > FAR_OFF


def _now(job: Job, passes: Sequence[PassSolution]) -> dict[str, TieRod]:
    """Return the tie rods with the thread engaged after all that was turned up to now."""
    rods = {}
    for side, rod in job.tie_rods.items():
        told = (solved.readings.turned.get(side) for solved in passes)
        rods[side] = turned(rod, sum(one.lengthen for one in told if one))
    return rods


def _half_sum(job: Job, solved: PassSolution) -> Change | None:
    name = "total_toe.front"
    total, goal = solved.get(name), job.goals.get(name)
    if total is None:
        return None
    if goal is None:
        return Change(name, 0.0, np.zeros_like(solved.gradients[name]))
    gradient = -solved.gradients[name] / 2.0
    return Change(name, (goal.value - total.value) / 2.0, gradient, _met(solved, name))


def _half_difference(
    job: Job, solved: PassSolution, thrust_after: float | None, gear: GearCentre | None
) -> Change | None:
    """Return the change of ``(t_left - t_right) / 2``."""
    name, ratio = "steering_wheel", job.car.steering_ratio
    goal = job.goals.get(name, Goal(0.0))
    moved = gear.moved if gear else 0.0
    offset = (goal.value - moved) / ratio if ratio else 0.0
    if thrust_after is not None:
        found = _combined(solved, "toe.left_front", "toe.right_front")
        return found and Change(name, thrust_after - offset - found[0], -found[1])
    met = not moved and _met(solved, name)
    found = _combined(solved, "toe_to_thrust.left_front", "toe_to_thrust.right_front")
    if found:
        return Change(name, -offset - found[0], -found[1], met)
    wheel = solved.get(name)
    if wheel is None or ratio is None:
        return None
    return Change(name, wheel.value / ratio - offset, solved.gradients[name] / ratio, met)


def _met(solved: PassSolution, name: str) -> bool:
    decision = solved.decisions.get(name)
    return decision is not None and decision.outcome == "within"


def _combined(solved: PassSolution, left: str, right: str) -> tuple[float, Array] | None:
    """Return half the difference of two results and its derivative by the unknowns."""
    if left not in solved.results or right not in solved.results:
        return None
    value = (solved[left].value - solved[right].value) / 2.0
    return value, (solved.gradients[left] - solved.gradients[right]) / 2.0


def _rod(
    tie_rods: Mapping[str, TieRod],
    solved: PassSolution,
    side: str,
    making: tuple[Change, ...],
    judged: tuple[Change, ...],
) -> RodCorrection:
    factor = {"steering_wheel": SIGNS[side], "total_toe.front": 1.0}
    value, gradient = 0.0, np.zeros(len(solved.network.unknowns))
    for change in making or judged:
        value += factor[change.name] * change.value
        gradient = gradient + factor[change.name] * change.gradient
    found = solved.get(f"toe.{side}_front")
    return RodCorrection(
        side=side,
        toe_change=value,
        u=solved.estimate.standard_uncertainty(gradient),
        justified=bool(making),
        ideal=sum(factor[change.name] * change.value for change in judged),
        length_change=length_change(tie_rods[side], value) if side in tie_rods else None,
        wanted_toe=found.value + value if found else None,
    )


def _limited(solved: PassSolution, rod: RodCorrection) -> RodCorrection:
    """Return a rod whose reading to stop at is what the thread allows it to reach."""
    found = solved.get(f"toe.{rod.side}_front")
    return replace(rod, wanted_toe=found.value + done(rod) if found else None)


