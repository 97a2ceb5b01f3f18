"""The front wheels: half of the total-toe goal each, relative to the thrust line.

Change of the half sum sets total toe, change of the half difference sets the steering wheel::

    d_left  = (T_goal - T) / 2 + (off - off_goal) / ratio
    d_right = (T_goal - T) / 2 - (off - off_goal) / ratio

which equals wanted minus found with wanted = T_goal/2 +- thrust (common practice, no published
source), whichever readings gave total toe and steering wheel.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from toebox.correct.results import PassCorrection, Remainder, RodCorrection
from toebox.correct.rods import (
    USUAL_TOTAL_TOLERANCE,
    USUAL_WHEEL_TOLERANCE,
    exact_turns,
    length_change,
    lengthening_per_turn,
    round_jointly,
    toe_from_turns,
)
from toebox.estimate import Array
from toebox.geometry.thrust import stop_at_string, stop_at_tape
from toebox.job.model import SIDES, Goal, Job, TieRod
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution

USUAL_RATIO = 16.0  # only weighs the rounding where the job gives none
FAR_OFF = math.radians(15.0)  # from here on, centre the gear before turning tie rods
SIGNS = {"left": 1.0, "right": -1.0}


@dataclass(frozen=True)
class _Change:
    """Wanted change of a sum of toes, and its derivative by the unknowns."""

    value: float
    gradient: Array


def front_correction(job: Job, solved: PassSolution, thrust_after: float | None) -> PassCorrection:
    """Work out what to turn at the two front tie rods.

    Parameters
    ----------
    job : Job
        Goals, steering ratio and tie rods.
    solved : PassSolution
        Results of the pass.
    thrust_after : float or None
        Thrust angle that the rear wheels are to be set to first [rad]; None where they stay.

    Returns
    -------
    PassCorrection
        Empty where neither total toe nor steering wheel was measured.
    """
    half_sum = _half_sum(job, solved)
    half_difference = _half_difference(job, solved, thrust_after)
    if half_sum is None and half_difference is None:
        return PassCorrection()
    rods = _with_turns(
        job, tuple(_rod(job, solved, side, half_sum, half_difference) for side in SIDES)
    )
    wheel = solved.get("steering_wheel")
    tape = solved.readings.tape.get("front")
    return PassCorrection(
        rods=rods,
        remains=_remains(job, rods, half_sum is not None, half_difference is not None),
        stop_at_tape=_stop_at_tape(job, solved, rods),
        tape_across=tape.across if tape else None,
        split_assumed=half_difference is None,
        total_kept=half_sum is None or "total_toe.front" not in job.goals,
        wheel_far_off=wheel is not None and abs(wheel.value) > FAR_OFF,
    )


def _half_sum(job: Job, solved: PassSolution) -> _Change | None:
    total, goal = solved.get("total_toe.front"), job.goals.get("total_toe.front")
    if total is None:
        return None
    if goal is None:
        return _Change(0.0, np.zeros_like(solved.gradients[total.name]))
    return _Change((goal.value - total.value) / 2.0, -solved.gradients[total.name] / 2.0)


def _half_difference(
    job: Job, solved: PassSolution, thrust_after: float | None
) -> _Change | None:
    """Return the change of ``(t_left - t_right) / 2``."""
    goal = job.goals.get("steering_wheel", Goal(0.0))
    ratio = job.car.steering_ratio
    offset = goal.value / ratio if ratio else 0.0
    if thrust_after is not None:
        found = _combined(solved, "toe.left_front", "toe.right_front")
        return found and _Change(thrust_after - offset - found[0], -found[1])
    found = _combined(solved, "toe_to_thrust.left_front", "toe_to_thrust.right_front")
    if found:
        return _Change(-offset - found[0], -found[1])
    wheel = solved.get("steering_wheel")
    if wheel is None or ratio is None:
        return None
    return _Change((wheel.value - goal.value) / ratio, solved.gradients[wheel.name] / ratio)


def _combined(solved: PassSolution, left: str, right: str) -> tuple[float, Array] | None:
    """Return half the difference of two results and its derivative by the unknowns."""
    if left not in solved.results or right not in solved.results:
        return None
    value = (solved[left].value - solved[right].value) / 2.0
    return value, (solved.gradients[left] - solved.gradients[right]) / 2.0


def _rod(
    job: Job,
    solved: PassSolution,
    side: str,
    half_sum: _Change | None,
    half_difference: _Change | None,
) -> RodCorrection:
    value, gradient = 0.0, np.zeros(len(solved.network.unknowns))
    for change, factor in ((half_sum, 1.0), (half_difference, SIGNS[side])):
        if change is not None:
            value += factor * change.value
            gradient = gradient + factor * change.gradient
    u = solved.estimate.standard_uncertainty(gradient)
    found = solved.get(f"toe.{side}_front")
    complete = half_sum is not None and half_difference is not None
    wanted = found.value + value if found and complete else None
    return RodCorrection(
        side=side,
        toe_change=value,
        u=u,
        justified=abs(value) > COVERAGE_FACTOR * u,
        length_change=length_change(job.tie_rods[side], value) if job.tie_rods else None,
        stop_at_string=_stop_at_string(job, solved, wanted, f"{side}_front"),
        wanted_toe=wanted,
    )


def _stop_at_string(
    job: Job, solved: PassSolution, wanted: float | None, wheel: str
) -> float | None:
    side, _, axle = wheel.partition("_")
    yaw, taper = solved.get("box.yaw"), solved.get("box.taper")
    rim = job.car.rim_diameter.get(axle)
    if wanted is None or yaw is None or taper is None or rim is None:
        return None
    return float(stop_at_string(wanted, yaw.value, taper.value, rim, side))


def _stop_at_tape(
    job: Job, solved: PassSolution, rods: tuple[RodCorrection, ...]
) -> float | None:
    tape, goal = solved.readings.tape.get("front"), job.goals.get("total_toe.front")
    if tape is None or tape.across is None:
        return None
    left, right = (rod.wanted_toe for rod in rods)
    if left is None or right is None:
        if goal is None:
            return None
        left = right = goal.value / 2.0
    return float(stop_at_tape(left, right, tape.across))


def _with_turns(job: Job, rods: tuple[RodCorrection, ...]) -> tuple[RodCorrection, ...]:
    """Add the turns, rounded jointly, where arm and threads are known."""
    if not job.tie_rods:
        return rods
    left, right = (job.tie_rods[side] for side in SIDES)
    tie_rods: tuple[TieRod, TieRod] = (left, right)
    turns = round_jointly(
        tie_rods,
        (rods[0].toe_change, rods[1].toe_change),
        (rods[0].justified, rods[1].justified),
        job.car.steering_ratio or USUAL_RATIO,
        (
            _tolerance(job, "total_toe.front", USUAL_TOTAL_TOLERANCE),
            _tolerance(job, "steering_wheel", USUAL_WHEEL_TOLERANCE),
        ),
    )
    if turns is None:
        return rods
    return tuple(
        replace(
            rod,
            exact_turns=exact_turns(tie_rod, rod.toe_change),
            turns=turn,
            clockwise=_clockwise(tie_rod, turn),
        )
        for rod, tie_rod, turn in zip(rods, tie_rods, turns, strict=True)
    )


def _clockwise(tie_rod: TieRod, turns: float) -> bool | None:
    per_turn = lengthening_per_turn(tie_rod)
    return None if per_turn is None or turns == 0.0 else (turns > 0.0) == (per_turn > 0.0)


def _tolerance(job: Job, name: str, usual: float) -> float:
    goal = job.goals.get(name)
    return goal.tolerance if goal is not None and goal.tolerance else usual


def _remains(
    job: Job, rods: tuple[RodCorrection, ...], total: bool, wheel: bool
) -> Remainder:
    """Return what the rounded turns leave of total toe and steering wheel."""
    left, right = (
        (toe_from_turns(job.tie_rods[rod.side], rod.turns) or 0.0) - rod.toe_change
        if rod.turns is not None
        else (0.0 if rod.justified else -rod.toe_change)
        for rod in rods
    )
    ratio = job.car.steering_ratio
    return Remainder(
        total_toe=left + right if total else None,
        steering_wheel=-ratio * (left - right) / 2.0 if wheel and ratio else None,
    )
