"""Rear wheels whose adjusters cannot bring them where they are wanted, and the front after that."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from toebox.correct.rear import thrust_goal
from toebox.correct.results import LEAST_CHANGE, PassCorrection, RearCorrection
from toebox.correct.stops import stop_at_wheel
from toebox.correct.wanted import AS_FOUND, ThrustAfter
from toebox.job.model import SIDES, Adjuster, Job
from toebox.solve.results import PassSolution

if TYPE_CHECKING:
    from toebox.correct.adjusters import AdjusterPlan, Move

Rear = tuple[RearCorrection, ...]


def within_reach(job: Job, solved: PassSolution, rear: Rear, plan: AdjusterPlan | None) -> Rear:
    """Return what to do at the rear wheels, no further than their adjusters can go.

    Parameters
    ----------
    job : Job
        Rim diameters.
    solved : PassSolution
        Results of the pass.
    rear : tuple of RearCorrection
        What is wanted at both wheels, or empty.
    plan : AdjusterPlan or None
        What to move at the adjusters; None for a job without, or where it is for another pass.

    Returns
    -------
    tuple of RearCorrection
        Where an adjuster of either wheel has too little room, both wheels go where the plan brings
        them: the other wheel makes up for it as far as that serves the goals. A wheel whose
        adjuster has no step as small stays as it is.
    """
    if not all(wheel.justified for wheel in rear):
        return rear
    rear = tuple(_stays(job, solved, one) if _is_stuck(job, one) else one for one in rear)
    if plan is None:
        return rear
    moves = {wheel.side: toe_moves(plan, f"{wheel.side}_rear") for wheel in rear}
    if not all(map(_known, moves.values())):  # both by their readings
        return rear
    short = any(_short(wheel, moves[wheel.side]) for wheel in rear)
    return tuple(
        _as_planned(job, solved, wheel, plan)
        if short or _left(wheel, moves[wheel.side])
        else wheel
        for wheel in rear
    )


def thrust_after(job: Job, rear: Rear) -> ThrustAfter:
    """Return where the rear wheels point once they are set.

    Parameters
    ----------
    job : Job
        The goal.
    rear : tuple of RearCorrection
        What to do at both wheels, or empty.

    Returns
    -------
    ThrustAfter
        As found where nothing turns the line that the car follows.
    """
    if not PassCorrection(rear=rear).thrust_set:
        return AS_FOUND._replace(beyond=any(wheel.withheld == "beyond" for wheel in rear))
    if all(wheel.reached is None for wheel in rear):
        return ThrustAfter(thrust_goal(job), u=_set_by_rule(job))
    left, right = rear
    u = math.hypot(left.u_reached, right.u_reached) / 2.0
    return ThrustAfter(None, (left.change - right.change) / 2.0, u)


def moved_by(plan: AdjusterPlan) -> ThrustAfter:
    """Return where the rear wheels point once adjusters are moved, by no reading.

    Parameters
    ----------
    plan : AdjusterPlan
        What to move.

    Returns
    -------
    ThrustAfter
        The change that its moves are expected to make, side effects among them.
    """
    (left, u_left), (right, u_right) = (
        plan.changes.get(f"toe.{side}_rear", (0.0, 0.0)) for side in SIDES
    )
    return ThrustAfter(None, (left - right) / 2.0, math.hypot(u_left, u_right) / 2.0)


def _set_by_rule(job: Job) -> float:
    """Return how well two rear wheels come to a thrust angle, set by the rule on the strings [rad].

    The difference of two edges has the uncertainty of a reading times the root of two, the mean of
    two wheels that of one over it.
    """
    rim = job.car.rim_diameter.get("rear")
    return job.instruments.string_rule.u / rim if rim else 0.0


def toe_moves(plan: AdjusterPlan, wheel: str) -> list[Move]:
    """Return the moves of the adjusters that are for the toe of a wheel.

    Parameters
    ----------
    plan : AdjusterPlan
        What to move.
    wheel : str
        Name of the wheel.

    Returns
    -------
    list of Move
        In the order of the job.
    """
    return [m for m in plan.moves if (m.adjuster.setting, m.adjuster.wheel) == ("toe", wheel)]


def _is_stuck(job: Job, wheel: RearCorrection) -> bool:
    """Return whether no adjuster of a wheel's toe has any room the way it is wanted to go."""
    name = f"{wheel.side}_rear"
    ours = [a for a in job.adjusters if (a.setting, a.wheel) == ("toe", name)]
    return bool(ours) and all(_room(job, one, wheel.toe_change) <= 0.0 for one in ours)


def _room(job: Job, adjuster: Adjuster, change: float) -> float:
    """Return how far an adjuster can go still the way that changes toe so, in its units."""
    low, high = adjuster.limits
    moved = job.moved(adjuster.name)
    sense = adjuster.effect.get("toe") or adjuster.sense  # toe-in by a positive move, or toe-out
    return high - moved if change * sense > 0.0 else moved - low


def _stays(job: Job, solved: PassSolution, wheel: RearCorrection) -> RearCorrection:
    """Return a wheel that stays where it is."""
    name = f"{wheel.side}_rear"
    wanted = solved[f"toe.{name}"].value
    stop = stop_at_wheel(job, solved, wanted, name)
    return wheel._replace(reached=0.0, wanted_toe=wanted, stop_at_string=stop, withheld="room")


def _known(moves: list[Move]) -> bool:
    return bool(moves) and all(move.known for move in moves)


def _left(wheel: RearCorrection, moves: list[Move]) -> bool:
    """Return whether a wheel that should change is not moved."""
    return abs(wheel.toe_change) > LEAST_CHANGE and not any(move.amount for move in moves)


def _short(wheel: RearCorrection, moves: list[Move]) -> bool:
    """Return whether adjusters have less room than a wheel wants."""
    no_room = _left(wheel, moves) and not any(move.exact for move in moves)
    return no_room or any(move.at_limit for move in moves)


def _as_planned(
    job: Job, solved: PassSolution, wheel: RearCorrection, plan: AdjusterPlan
) -> RearCorrection:
    """Return a wheel that goes where the plan brings it."""
    name = f"{wheel.side}_rear"
    change, u = plan.changes.get(f"toe.{name}", (0.0, 0.0))
    wanted = solved[f"toe.{name}"].value + change
    return wheel._replace(
        reached=change,
        u_reached=u,
        wanted_toe=wanted,
        stop_at_string=stop_at_wheel(job, solved, wanted, name),
        withheld="" if any(move.amount for move in toe_moves(plan, name)) else "room",
    )
