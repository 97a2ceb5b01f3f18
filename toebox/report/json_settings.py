"""Adjusters, the state of each setting and toe-out on turns, as parts of the JSON result."""

from __future__ import annotations

import math
from typing import Any

from toebox.correct.adjusters import AdjusterPlan, Move, effects, plan_adjusters
from toebox.job.model import SIDES
from toebox.report.view.drift import ackermann
from toebox.solve.results import PassSolution, Solution
from toebox.solve.standing import Standing, standing


def _over_passes(stand: Standing) -> dict[str, Any]:
    """Return the value of a difference between two passes, which none of them has."""
    if not stand.over_passes:
        return {}
    return {
        "angle_deg": math.degrees(stand.result.value),
        "u_deg": math.degrees(stand.result.u),
        "outcome": stand.outcome or None,
    }


def settings(solution: Solution) -> dict[str, Any]:
    """Return what a job's JSON says of caster and camber beyond each pass.

    Parameters
    ----------
    solution : Solution
        A solved job.

    Returns
    -------
    dict
        ``standing``: the pass each setting's newest value is from, and what disturbed it since;
        ``adjusters``: moves, effects, and what is expected to remain.
    """
    plan = plan_adjusters(solution)
    return {
        "standing": {
            name: {
                "pass": stand.number + 1,
                "valid": not stand.stale,
                "disturbed_in_pass": None if stand.disturbed_in is None else stand.disturbed_in + 1,
                "disturbed_by": list(stand.disturbed_by),
                **_over_passes(stand),
            }
            for name, stand in standing(solution).items()
        },
        "adjusters": {
            "moves": [*_moves(solution, plan)],
            "moves_front_toe": plan.rods_wait,
            "remains": {
                outcome.name: {
                    "found_deg": math.degrees(outcome.standing.result.value),
                    "goal_deg": math.degrees(outcome.goal.value),
                    "needed": outcome.needed,
                    "change_deg": math.degrees(outcome.change),
                    "remains_deg": math.degrees(outcome.remains),
                    "u_deg": math.degrees(outcome.u),
                }
                for outcome in plan.outcomes
            },
            "changes": {
                name: {"angle_deg": math.degrees(change), "u_deg": math.degrees(u)}
                for name, (change, u) in plan.changes.items()
            },
            "measure_first": list(plan.to_measure),
        },
    }


def _withheld(move: Move) -> str | None:
    """Return why no move is told, or that a reading tells it."""
    whys = {"beyond": move.beyond, "stale": move.waits, "reading": move.by_reading}
    return next((why for why, so in whys.items() if so), None)


def _moves(solution: Solution, plan: AdjusterPlan) -> list[dict[str, Any]]:
    known = effects(solution)
    rows = []
    for move in plan.moves:
        adjuster = move.adjuster
        kinds = [kind for kind in ("caster", "camber", "toe") if (adjuster.name, kind) in known]
        rows.append(
            {
                "name": adjuster.name,
                "wheel": adjuster.wheel,
                "setting": adjuster.setting,
                "unit": adjuster.unit,
                "direction": move.way,
                "amount": abs(move.amount),
                "exactly": abs(move.exact),
                "at_limit": move.at_limit,
                "effect_known": move.known,
                "withheld": _withheld(move),
                "effects": {
                    kind: {
                        "deg_per_unit": math.degrees(known[adjuster.name, kind].value),
                        "u_deg": math.degrees(known[adjuster.name, kind].u),
                        "source": known[adjuster.name, kind].source,
                        "contradicted": known[adjuster.name, kind].contradicted,
                    }
                    for kind in kinds
                },
            }
        )
    return rows


def toe_out(solution: Solution, solved: PassSolution) -> dict[str, dict[str, float | None] | None]:
    """Return toe-out on turns of one pass beside the Ackermann relation.

    Parameters
    ----------
    solution : Solution
        A solved job.
    solved : PassSolution
        One of its passes.

    Returns
    -------
    dict
        By the side steered to; None where not measured.
    """
    found: dict[str, dict[str, float | None] | None] = {}
    for side in SIDES:
        result = solved.get(f"toe_out_on_turn.{side}")
        if result is None:
            found[side] = None
            continue
        inner = solved.readings.turn[side].inner
        relation = ackermann(solution.job, sum(inner) / len(inner))
        found[side] = {
            "angle_deg": math.degrees(result.value),
            "u_deg": math.degrees(result.u),
            "ackermann_deg": None if relation is None else math.degrees(relation),
        }
    return found
