"""The rear wheels: set before the front where they can be adjusted, else told as they stand."""

from __future__ import annotations

import math

from toebox.correct.justify import Change, justified
from toebox.correct.results import RearCorrection, RearStays
from toebox.correct.stops import stop_at_wheel
from toebox.correct.turning import MOST_TOE_CHANGE
from toebox.job.model import SIDES, Goal, Job
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.network import LEFT_RIGHT
from toebox.solve.results import PassSolution


def rear_corrections(job: Job, solved: PassSolution) -> tuple[RearCorrection, ...]:
    """Work out the changes at the rear wheels.

    Parameters
    ----------
    job : Job
        Goals and car.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    tuple of RearCorrection
        Left and right; empty where the rear cannot be adjusted or was not measured.
    """
    if not job.car.rear_toe_settable or not _measured(solved):
        return ()
    wanted = _changes(job, solved)
    making = justified(wanted, solved.estimate)
    rear = tuple(_rear(job, solved, side, making or wanted, bool(making)) for side in SIDES)
    if not making or all(abs(wheel.toe_change) <= MOST_TOE_CHANGE for wheel in rear):
        return rear
    return tuple(wheel._replace(justified=False, withheld="beyond") for wheel in rear)


def rear_needs(job: Job, solved: PassSolution) -> tuple[str, ...] | None:
    """Return which results of the rear wheels' toe the readings justify to change.

    Parameters
    ----------
    job : Job
        Goals and car.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    tuple of str or None
        Of ``thrust_angle`` and ``total_toe.rear``; None where not both toes were measured.
    """
    if not _measured(solved):
        return None
    return tuple(change.name for change in justified(_changes(job, solved), solved.estimate))


def _measured(solved: PassSolution) -> bool:
    """Return whether the toe of either rear wheel was measured."""
    return all(f"toe.{side}_rear" in solved.results for side in SIDES)


def thrust_goal(job: Job) -> float:
    """Return the thrust angle that the rear wheels are set to; zero without a goal.

    Parameters
    ----------
    job : Job
        Goals.

    Returns
    -------
    float
        To the right positive [rad].
    """
    return job.goals.get("thrust_angle", Goal(0.0)).value


def rear_stays(job: Job, solved: PassSolution) -> RearStays | None:
    """Say how a rear axle stands that cannot be adjusted.

    Parameters
    ----------
    job : Job
        The car.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    RearStays or None
        None where the rear can be adjusted.

    Notes
    -----
    A solid axle turned about the vertical points to the right by the thrust angle; over the rear
    track its right end then stands behind its left end by ``track * sin(thrust)``.
    """
    if job.car.rear_toe_settable:
        return None
    thrust, solid = solved.get("thrust_angle"), job.car.rear_axle == "solid"
    track = job.car.track.get("rear")
    proven = thrust is not None and abs(thrust.value) > COVERAGE_FACTOR * thrust.u
    shift = track * math.sin(thrust.value) if solid and track and thrust else None
    left, right = (getattr(solved.readings, f"wheelbase_{side}") for side in SIDES)
    by_wheelbases = None
    if solid and left and right:
        by_wheelbases = sum(right) / len(right) - sum(left) / len(left)
    return RearStays(solid, thrust.value if thrust else None, proven, shift, by_wheelbases)


def _changes(job: Job, solved: PassSolution) -> tuple[Change, ...]:
    """Return the wanted changes of half sum and half difference of the rear toes."""
    thrust, goal = solved["thrust_angle"], job.goals.get("total_toe.rear")
    gradient = -solved.gradients["thrust_angle"]
    value = thrust_goal(job) - thrust.value
    within = solved.outcome("thrust_angle") == "within"
    changes = [Change("thrust_angle", value, gradient, within)]
    if goal is not None:
        name = "total_toe.rear"
        value = (goal.value - solved[name].value) / 2.0
        gradient = -solved.gradients[name] / 2.0
        changes.append(Change(name, value, gradient, solved.outcome(name) == "within"))
    return tuple(changes)


def _rear(
    job: Job, solved: PassSolution, side: str, changes: tuple[Change, ...], making: bool
) -> RearCorrection:
    factors = [LEFT_RIGHT[side] if c.name == "thrust_angle" else 1.0 for c in changes]
    pairs = list(zip(factors, changes, strict=True))
    change = sum(factor * c.value for factor, c in pairs)
    gradient = sum(factor * c.gradient for factor, c in pairs)
    u = solved.estimate.standard_uncertainty(gradient)  # type: ignore[arg-type]  # never empty
    wanted = solved[f"toe.{side}_rear"].value + change
    stop = stop_at_wheel(job, solved, wanted, f"{side}_rear")
    return RearCorrection(side, change, u, making, wanted, stop)
