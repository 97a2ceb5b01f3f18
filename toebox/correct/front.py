"""What to turn at the two front tie rods, after one pass and all that went before it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from toebox.correct.effects import Known
from toebox.correct.engagement import imbalance, tells_length, turned
from toebox.correct.gear import GearCentre, gear_centre
from toebox.correct.justify import Change, justified, to_improve
from toebox.correct.remains import done, remains
from toebox.correct.results import PassCorrection, RodCorrection
from toebox.correct.rods import length_change
from toebox.correct.stopping import turns_surer
from toebox.correct.stops import with_stops
from toebox.correct.turning import Scales, with_turns
from toebox.correct.wanted import TOTAL, WHEEL, ThrustAfter, stays_met, wanted
from toebox.job.model import SIDES, Goal, Job, TieRod
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.network import LEFT_RIGHT
from toebox.solve.results import PassSolution
from toebox.solve.standing import uncounted

FAR_OFF = math.radians(15.0)  # from here on, centre the gear before turning tie rods


def front_correction(
    job: Job,
    passes: Sequence[PassSolution],
    known: Known,
    after: ThrustAfter,
) -> PassCorrection:
    """Work out what to turn at the two front tie rods.

    Parameters
    ----------
    job : Job
        Goals, steering ratio and tie rods.
    passes : sequence of PassSolution
        The passes up to now; the last one says how the wheels stand.
    known : Known
        What thread, arm and passes tell of the front.
    after : ThrustAfter
        Where the rear wheels point once they are set.

    Returns
    -------
    PassCorrection
        Empty where neither total toe nor steering wheel was measured.
    """
    gear = gear_centre(job, passes[-1].readings)
    if gear is None or not gear.wrong_spline:
        return _correction(job, passes, known, after, gear)
    if not gear.certain and stays_met(job, passes[-1], after):
        return _correction(job, passes, known, after, gear.left("met"))
    found = _correction(job, passes, known, after, gear)
    if any(rod.limited for rod in found.rods):
        return _correction(job, passes, known, after, gear.left("thread"))
    return found


def _correction(
    job: Job,
    passes: Sequence[PassSolution],
    known: Known,
    after: ThrustAfter,
    gear: GearCentre | None,
) -> PassCorrection:
    """Work out what to turn, the steering wheel moved on its spline as the gear says."""
    solved, moved = passes[-1], gear.moved if gear else 0.0
    total, wheel = wanted(job, solved, known, after, moved)
    if total is None and wheel is None:
        return PassCorrection(gear=gear)
    if needs := _spline_needs(job, gear, wheel):
        return PassCorrection(gear=gear, spline_needs=needs)
    kept = total is None or TOTAL not in job.goals
    judged = tuple(change for change in (None if kept else total, wheel) if change is not None)
    making = justified(judged, solved.estimate)
    tie_rods, steered = _now(job, passes), _steered(job, solved, moved)
    rods = tuple(_rod(tie_rods, solved, steered, side, making, judged) for side in SIDES)
    rods = tuple(rod._replace(uncounted=uncounted(passes, rod.side)) for rod in rods)
    scales, astray = Scales.of(job), after.beyond and wheel is not None
    rods = with_turns(tie_rods, rods, known.effects, scales, astray, wheel is None)
    if any(rod.held for rod in rods):
        rods = tuple(_by_turns(solved, steered, rod) for rod in rods)
    rods, tape = with_stops(job, solved, rods, steered)
    left = remains(job, solved, rods, (total, wheel))
    return PassCorrection(
        rods=rods,
        remains=left,
        turns_surer=turns_surer(job, solved, rods, left),
        corrected=tuple(change.name for change in making),
        judged=tuple(change.name for change in judged),
        improve=None if making else to_improve(judged, solved),
        proven_within=bool(judged) and not making and all(change.met for change in judged),
        gear=gear,
        imbalance=_imbalance(rods, tie_rods),
        stop_at_tape=tape,
        tape_across=solved.readings.tape["front"].across if tape is not None else None,
        carried=tuple(change.name for change in judged if change.carried),
        split_assumed=wheel is None,
        total_kept=kept,
        wheel_far_off=gear is None and not known.gear_centred and _far_off(job, solved),
        gear_centred=gear is None and known.gear_centred,
        count_again=gear is None and known.count_again,
    )


def _spline_needs(job: Job, gear: GearCentre | None, wheel: Change | None) -> str:
    """Return what must be known to move the steering wheel on its spline; empty for nothing."""
    if gear is None or not gear.wrong_spline:
        return ""
    if not job.car.steering_ratio:
        return "ratio"
    return "road test" if wheel is None else ""


def _imbalance(rods: Sequence[RodCorrection], tie_rods: Mapping[str, TieRod]) -> float | None:
    """Return how much more thread the left rod then has, None where that tells nothing."""
    unknown = any(rod.by_reading or rod.uncounted for rod in rods)
    if unknown or not all(map(tells_length, tie_rods.values())):
        return None
    left, right = rods
    return imbalance(left.ends, right.ends)


def _far_off(job: Job, solved: PassSolution) -> bool:
    wheel, wanted = solved.get(WHEEL), job.goals.get(WHEEL, Goal(0.0)).value
    return wheel is not None and abs(wheel.value - wanted) > max(FAR_OFF, COVERAGE_FACTOR * wheel.u)


def _now(job: Job, passes: Sequence[PassSolution]) -> dict[str, TieRod]:
    """Return the tie rods with the thread engaged after all that was turned up to now."""
    rods = {}
    for side, rod in job.tie_rods.items():
        told = (solved.readings.turned.get(side) for solved in passes)
        rods[side] = turned(rod, sum(one.lengthen for one in told if one))
    return rods


def _rod(
    tie_rods: Mapping[str, TieRod],
    solved: PassSolution,
    steered: Mapping[str, float],
    side: str,
    making: tuple[Change, ...],
    judged: tuple[Change, ...],
) -> RodCorrection:
    factor = {WHEEL: LEFT_RIGHT[side], TOTAL: 1.0}
    value, gradient = 0.0, np.zeros(len(solved.network.unknowns))
    carried = math.hypot(*(change.carried for change in making or judged))
    before = math.hypot(*(change.before for change in making or judged))
    for change in making or judged:
        value += factor[change.name] * change.value
        gradient = gradient + factor[change.name] * change.gradient
    found = solved.get(f"toe.{side}_front")
    return RodCorrection(
        side=side,
        toe_change=value,
        u=Change("", value, gradient, carried=carried, before=before).u(solved.estimate),
        justified=bool(making),
        ideal=sum(factor[change.name] * change.value for change in judged),
        length_change=length_change(tie_rods[side], value) if side in tie_rods else None,
        wanted_toe=found.value + steered[side] + value if found else None,
    )


def _steered(job: Job, solved: PassSolution, moved: float) -> dict[str, float]:
    """Return how the toe of each wheel differs where the steering is clamped.

    Toe is that with the spokes straight. While the rods are turned the steering wheel stays
    clamped as it was for the strings, which the readings may tell to be a little off straight. One
    that is to be moved on its spline is clamped anew, as many teeth to the other side, and both
    front wheels stand further to that side.
    """
    ratio = job.car.steering_ratio
    clamped = -moved or solved.clamped
    return {side: LEFT_RIGHT[side] * clamped / ratio if ratio else 0.0 for side in SIDES}


def _by_turns(
    solved: PassSolution, steered: Mapping[str, float], rod: RodCorrection
) -> RodCorrection:
    """Return a rod whose reading to stop at is what its turns make of its wheel.

    Where one rod cannot go where it is wanted, the turns of the other one make up for that.
    """
    found = solved.get(f"toe.{rod.side}_front")
    toe = found.value + steered[rod.side] + done(rod) if found else None
    return rod._replace(wanted_toe=toe)
