"""Centring in words: the gear first, then the tie rods, the steering wheel's spline last."""

from __future__ import annotations

import math

from toebox.correct.gear import GearCentre
from toebox.correct.results import PassCorrection
from toebox.job.model import Job
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.units import write

# From here on the counts to both locks differ by half a turn or more (common practice, no published
# source): steering wheels are put on a tooth or two off.
MISCOUNTED = math.radians(90.0)
_WAITS = {
    "thread": "the steering wheel is on the wrong spline. Leave the steering wheel on its spline "
    "for now: were it moved, the thread of a tie rod would end before its wheel is set. Find out "
    "why first; what follows is for the steering wheel as it sits.",
    "met": "the steering wheel may sit on the wrong spline, but it is proven to be within its goal "
    "while the car runs straight. Leave it, and count the turns once more.",
}


def before_steps(job: Job, correction: PassCorrection) -> list[str]:
    """Say what to do about the gear before any tie rod is turned.

    Parameters
    ----------
    job : Job
        Steering-wheel splines.
    correction : PassCorrection
        What to turn.

    Returns
    -------
    list of str
        Steps; empty where the steering wheel is nearly straight and no turns were counted.
    """
    gear = correction.gear
    if gear is not None:
        return [_middle(gear, correction.to_turn and bool(spline_steps(correction)))]
    if correction.count_again:
        return [
            "An earlier pass found the steering wheel on the wrong spline. Count the turns from "
            "its spokes straight to each lock again, and add them to this pass (turns_to_lock): "
            "what is told below about the tie rods is right only if the wheel was moved since, "
            "where that was told."
        ]
    if not correction.wheel_far_off:
        return []
    teeth = job.car.steering_wheel_splines
    tooth = f" One tooth of its spline is {write.degrees(math.tau / teeth, 1)}." if teeth else ""
    below = "The tie rods below are right only if the gear is in its middle now; if it is not, "
    if not correction.to_turn:
        below = "If the gear is not in its middle now, "
    return [
        "The steering wheel is far off centre. Centre the steering gear first: count the turns "
        "from the steering wheel's spokes straight to each lock, and add them to the job "
        f"(turns_to_lock). {below}the steering wheel sits on the wrong spline.{tooth}"
    ]


def _middle(gear: GearCentre, is_moved: bool) -> str:
    """Say where the middle of the gear is, and what the count tells."""
    half = write.turns(gear.lock_to_lock / 2.0)
    text = (
        f"Find the middle of the steering gear: from either lock, {half} back "
        f"({write.signed(gear.lock_to_lock, 2)} turns from lock to lock). "
    )
    interval = f"± {write.degrees(COVERAGE_FACTOR * gear.u, 0)}"
    spokes = f"The spokes stand {write.off_words(-gear.off, 0)} there ({interval})"
    if gear.waits:
        return f"{text}{spokes}: {_WAITS[gear.waits]}"
    if not gear.wrong_spline:
        return text + (
            "With the spokes straight the gear is in its middle as far as the count tells "
            f"({write.off_words(gear.off, 0)}, {interval}): the steering wheel stays on its "
            "spline, the tie rods do the rest."
        )
    then = " Set the tie rods first, then move the wheel." if is_moved else ""
    if abs(gear.off) > MISCOUNTED:
        then = f" So much is likelier a turn miscounted: count again before anything else.{then}"
    return f"{text}{spokes}: the steering wheel is on the wrong spline.{then}"


def clamp_words(gear: GearCentre) -> str:
    """Say how to clamp a steering wheel that is to be moved on its spline afterwards.

    Parameters
    ----------
    gear : GearCentre
        With a steering wheel on the wrong spline.

    Returns
    -------
    str
        Start of a step: the wheel's angle, as many whole teeth from straight as it will be moved.
    """
    teeth = f" ({_teeth(gear)})" if gear.step is not None else ""
    return (
        f"Clamp the steering wheel with its spokes {write.off_words(-gear.moved, 1)}{teeth}: the "
        "gear is in its middle then, as far as the count tells, and the spokes come straight when "
        "the wheel is moved"
    )


def _teeth(gear: GearCentre) -> str:
    return f"{abs(gear.teeth)} {'tooth' if abs(gear.teeth) == 1 else 'teeth'}"


def spline_steps(correction: PassCorrection) -> list[str]:
    """Say what to do about the steering wheel's spline after the tie rods.

    Parameters
    ----------
    correction : PassCorrection
        What to turn.

    Returns
    -------
    list of str
        One step, or none where the wheel sits right or nothing tells.
    """
    gear = correction.gear
    if gear is None or not gear.wrong_spline or correction.spline_needs:
        return []
    if any(rod.refused for rod in correction.rods):
        return []
    side = "right" if gear.moved > 0.0 else "left"
    if gear.step is None:
        how = (
            f"by about {write.degrees(abs(gear.moved), 0)} to the {side} (count its splines: 360° "
            "over their number is one tooth)"
        )
    else:
        how = f"by {_teeth(gear)} to the {side} ({write.degrees(abs(gear.moved), 1)})"
    when = f"With the spokes {write.off_words(-gear.moved, 1)}"
    if correction.to_turn:
        when = "Only now, with the steering still clamped there, the wheels set and the nuts tight"
    return [
        f"{when}, move the steering wheel on its spline {how}. Go by the maker's manual: an airbag "
        "must be made safe first, and the steering-wheel nut has its own torque. In the next pass "
        "count the turns to each lock again."
    ]
