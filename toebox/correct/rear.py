"""The rear wheels, where their toe can be adjusted: they come before the front."""

from __future__ import annotations

from toebox.correct.results import RearCorrection
from toebox.geometry.thrust import stop_at_string
from toebox.job.model import SIDES, Goal, Job
from toebox.solve.decide import COVERAGE_FACTOR
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
    names = [f"toe.{side}_rear" for side in SIDES]
    if not job.car.rear_toe_adjustable or any(name not in solved.results for name in names):
        return ()
    return tuple(_rear(job, solved, side) for side in SIDES)


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


def _rear(job: Job, solved: PassSolution, side: str) -> RearCorrection:
    sign = 1.0 if side == "left" else -1.0
    name, goal = f"toe.{side}_rear", job.goals.get("total_toe.rear")
    half = (goal.value if goal else solved["total_toe.rear"].value) / 2.0
    wanted = half + sign * thrust_goal(job)
    gradient = solved.gradients[name]
    if goal is None:
        gradient = gradient - solved.gradients["total_toe.rear"] / 2.0
    change = wanted - solved[name].value
    u = solved.estimate.standard_uncertainty(gradient)
    yaw, taper = solved.get("box.yaw"), solved.get("box.taper")
    rim, stop = job.car.rim_diameter.get("rear"), None
    if yaw is not None and taper is not None and rim is not None:
        stop = float(stop_at_string(wanted, yaw.value, taper.value, rim, side))
    return RearCorrection(side, change, u, abs(change) > COVERAGE_FACTOR * u, wanted, stop)
