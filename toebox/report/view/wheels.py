"""The rear wheels in words: what to set, or why the front is set to the line they give."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from toebox.correct.reach import toe_moves
from toebox.correct.rear import rear_needs
from toebox.correct.results import PassCorrection, RearCorrection
from toebox.job.model import Goal, Job, axle_of
from toebox.report.blocks import Paragraph, Section
from toebox.report.view.found import IS_MOVED, IS_SET, STAYS, thrust_words
from toebox.report.view.rods import string_words
from toebox.report.view.words import (
    and_,
    both_units,
    digits_of,
    half_width,
    name_of,
    no_change,
    off_by,
    towards,
)
from toebox.solve.results import PassSolution
from toebox.solve.standing import REAR_TOE, UNWRITTEN, Standing
from toebox.units import write

if TYPE_CHECKING:
    from toebox.correct.adjusters import AdjusterPlan, Move

CAUTION = (
    "Strut rods, control arms and their bolts hold the wheels. Take the load off them only as the "
    "maker's manual says, on stands; tighten rubber bushes with the car on its wheels, to the "
    "manual's torque; roll the car to settle it before you read anything."
)


def rear_step(job: Job, wheel: RearCorrection, plan: AdjusterPlan | None) -> str:
    """Say what to do at one rear wheel.

    Parameters
    ----------
    job : Job
        Units.
    wheel : RearCorrection
        What to set.
    plan : AdjusterPlan or None
        What to move at the adjusters of the job; None for a job without.

    Returns
    -------
    str
        One step.
    """
    name = f"{wheel.side.capitalize()} rear wheel"
    if wheel.withheld == "beyond":
        return (
            f"{name}: change nothing. {towards(wheel.toe_change).capitalize()} is asked for, and 3 "
            "degrees at either rear wheel are more than they are meant to be set by: look for a "
            "bent part or a wrong reading first."
        )
    if not wheel.justified and plan is not None and f"toe.{wheel.side}_rear" in plan.moved:
        return f"{name}: read it again after what stands under 'Order of work', which moves it."
    if not wheel.justified:
        half = half_width(wheel.u)
        if no_change(wheel.toe_change):
            return f"{name}: leave it; nothing is left to change (± {half})."
        return (
            f"{name}: leave it; {towards(wheel.toe_change)} (± {half}) is too little, against its "
            "uncertainty or its goal, to justify turning."
        )
    at = toe_moves(plan, f"{wheel.side}_rear") if plan is not None else []
    names = " and ".join(move.adjuster.name for move in at)
    if wheel.withheld == "room":
        why = f"{names} has no room that way, or no step as small"
        if any(move.held for move in at):
            why = (
                "the other rear wheel has no room to go with it, and alone it would put one goal "
                "right at the cost of the other"
            )
        return f"{name}: leave it; {towards(wheel.toe_change)} would be wanted, but {why}."
    if no_change(wheel.change):
        return f"{name}: leave it; it stands where it should."
    return _set(job, wheel, f"{name}, before the front", at)


def _set(job: Job, wheel: RearCorrection, start: str, at: list[Move]) -> str:
    """Say how to set a wheel, at which adjusters, and what its string shows then."""
    text = f"{start}: change its toe by {towards(wheel.change)}"
    names = " and ".join(move.adjuster.name for move in at)
    if at:
        text += f" at {names}"
    if wheel.stop_at_string is not None:
        text += f", until {string_words(wheel.stop_at_string, job)}"
    text += "."
    if any(move.amount for move in at):
        text += (
            " That is the move told under 'Order of work', not one more: the reading decides. "
            "Write down how far you moved it."
        )
    if wheel.reached is None:
        return text
    wanted = towards(wheel.toe_change).capitalize()
    return f"{text} {wanted} would be wanted, had the adjusters of both rear wheels the room."


def rear_again(job: Job, stands: Mapping[str, Standing]) -> list[str]:
    """Ask for the rear wheels, set by hand, where what was read of them holds no longer.

    Parameters
    ----------
    job : Job
        Whether rear toe is set without an adjuster in the job.
    stands : mapping of str to Standing
        Where each setting stands.

    Returns
    -------
    list of str
        One step, or none.
    """
    thrust = stands.get("thrust_angle")
    if not job.rear_unwritten or thrust is None or not thrust.stale:
        return []
    why = f"moved since it was read: {and_(list(thrust.disturbed_by))}"
    if UNWRITTEN in thrust.disturbed_by:
        why = "nothing says what was done there since it was read"
    return [
        "Read the toe of each rear wheel again first, by strings at all four wheels: "
        f"{why}. Whatever is set there later moves the steering wheel."
    ]


def rear_kept(job: Job, solved: PassSolution, correction: PassCorrection) -> list[str]:
    """Say which goal of rear wheels that are to be set is left as it is, and why.

    Parameters
    ----------
    job : Job
        Goals.
    solved : PassSolution
        Results of the pass.
    correction : PassCorrection
        What to turn.

    Returns
    -------
    list of str
        Sentences; empty where nothing is set, or all of it put right.
    """
    if not correction.sets_rear:
        return []
    if any(wheel.reached is not None for wheel in correction.rear):  # the plan's table tells it
        return []
    needed = rear_needs(job, solved) or ()
    names = [n for n in REAR_TOE if n not in needed and (n in job.goals or n == "thrust_angle")]
    said = []
    for name in names:
        result, goal = solved[name], job.goals.get(name, Goal(0.0))
        half = half_width(result.u, digits_of(name))
        away = off_by(name, result.value - goal.value, goal.value)
        said.append(
            "Kept as it is, because no change of it is proven: "
            f"{name_of(name).lower()} {away} ± {half}."
        )
    return said


def where_it_runs(job: Job, solved: PassSolution, correction: PassCorrection) -> Section | None:
    """Say where the rear wheels point, and what can be done about it.

    Parameters
    ----------
    job : Job
        Units and goals.
    solved : PassSolution
        Results of the pass.
    correction : PassCorrection
        What to turn.

    Returns
    -------
    Section or None
        None where the thrust angle was not measured and the axle says nothing.
    """
    then = IS_SET if correction.thrust_set else STAYS
    then = IS_MOVED if correction.line_moved else then
    texts = [thrust_words(solved, then), *_stays(job, solved, correction)]
    blocks = tuple(Paragraph(text) for text in texts if text)
    return Section("Where the car runs", blocks) if blocks else None


def _stays(job: Job, solved: PassSolution, correction: PassCorrection) -> list[str]:
    stays = correction.rear_stays
    if stays is None:
        return []
    outside = [name for name in REAR_TOE if solved.outcome(name) == "outside"]
    if not stays.proven and not outside:
        return [_solid(job, correction)] if stays.solid else []
    said = [_solid(job, correction) if stays.solid else _single(job, outside)]
    if "thrust_angle" not in solved.results:
        return said
    said.append(_line_kept(job))
    return said


def _line_kept(job: Job) -> str:
    """Say what the front wheels are set to, and how the steering wheel stands then."""
    goal, line = job.goals.get("steering_wheel"), "the thrust line that the rear wheels give"
    if goal is None or not goal.value or job.car.steering_ratio is None:
        return (
            f"Each front wheel is set to half of the total toe relative to {line}: the steering "
            "wheel then stands straight, and the car runs straight, if slightly sideways."
        )
    stands = write.off_words(goal.value)
    return (
        f"The front wheels are set relative to {line}, each by its half of the total toe and by "
        f"what the goal of the steering wheel asks for: it then stands {stands} while the car runs "
        "straight, if slightly sideways."
    )


def _single(job: Job, outside: list[str]) -> str:
    text = (
        "The toe of the rear wheels is taken as fixed: the job does not say that it can be "
        "adjusted (car.rear_toe_adjustable)."
    )
    if any((a.setting, axle_of(a.wheel)) == ("toe", "rear") for a in job.adjusters):
        return "By the job the toe of one rear wheel alone can be adjusted."
    if outside:
        text += " It is outside its goal all the same: look for a bent part or a worn bush."
    return text


def _solid(job: Job, correction: PassCorrection) -> str:
    stays = correction.rear_stays
    text = "The rear axle is solid: neither the toe of its wheels nor camber can be adjusted."
    if any(axle_of(adjuster.wheel) == "rear" for adjuster in job.adjusters):
        text = "The rear axle is solid: its wheels are set by what the job has adjusters for alone."
    if stays is None or not stays.proven or stays.thrust is None:
        return text
    behind, ahead = ("right", "left") if stays.thrust > 0.0 else ("left", "right")
    if stays.axle_shift is None:
        text += " Its thrust angle comes from the whole axle standing askew"
    else:
        shift = both_units(abs(stays.axle_shift), job)
        text += f" By its thrust angle its {behind} end stands {shift} behind its {ahead} end"
    if any(axle_of(adjuster.wheel) == "rear" for adjuster in job.adjusters):
        text += "."
    else:
        text += "; only its mountings could change that, where the maker's manual provides for it."
    if stays.shift_by_wheelbases is None or stays.axle_shift is None:
        return text
    other = stays.shift_by_wheelbases
    side = "right" if other > 0.0 else "left"
    text += f" The two wheelbases say {both_units(abs(other), job)}, the {side} end further back"
    if abs(other - stays.axle_shift) > max(0.5 * abs(stays.axle_shift), 0.003):
        return text + ": they do not agree, so the axle may be bent, or the front axle set back."
    return text + ": they agree, so the axle itself is likely straight."
