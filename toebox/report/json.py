"""A solved job as the result contract `toebox.result/1`: degrees, millimetres, inches."""

from __future__ import annotations

import math
from typing import Any

from toebox.correct.results import PassCorrection, RodCorrection
from toebox.job.model import AXLES, SIDES, WHEELS, Job
from toebox.report.view.basis import assumption_words
from toebox.solve.results import PassSolution, Result, Solution

SCHEMA = "toebox.result/1"
MILLIMETRES = 1000.0
INCH = 0.0254
FRONT = ("left_front", "right_front")
GROUPS = {
    "toe": WHEELS,
    "total_toe": AXLES,
    "toe_to_thrust": FRONT,
    "camber": WHEELS,
    "caster": FRONT,
    "steering_axis_inclination": FRONT,
    "cross_camber": AXLES,
    "cross_caster": ("front",),
    "toe_out_on_turn": SIDES,
}
GOAL_KEYS = {
    "total_toe.front": "front_total_toe",
    "total_toe.rear": "rear_total_toe",
    "cross_camber.front": "cross_camber",
    "cross_caster.front": "cross_caster",
}


def result(solution: Solution, corrections: tuple[PassCorrection, ...]) -> dict[str, Any]:
    """Return a solved job as plain data for JSON.

    Parameters
    ----------
    solution : Solution
        A solved job.
    corrections : tuple of PassCorrection
        What to turn after each pass.

    Returns
    -------
    dict
        Schema ``toebox.result/1``; a quantity not determined is None.
    """
    pairs = zip(solution.passes, corrections, strict=True)
    return {
        "schema": SCHEMA,
        "title": solution.job.title,
        "source": solution.job.source,
        "date": solution.job.date.isoformat() if solution.job.date else None,
        "passes": [_pass(solution.job, solved, correction) for solved, correction in pairs],
        "doubts": list(solution.job.doubts),
    }


def _pass(job: Job, solved: PassSolution, correction: PassCorrection) -> dict[str, Any]:
    data: dict[str, Any] = {"label": solved.label}
    for group, members in GROUPS.items():
        data[group] = {member: _angle(solved.get(f"{group}.{member}")) for member in members}
    data["thrust_angle"] = _angle(solved.get("thrust_angle"))
    data["steering_wheel"] = _steering_wheel(solved.get("steering_wheel"))
    data["box"] = _box(solved)
    data["setback"] = _length(solved.get("setback"))
    data["decisions"] = {
        GOAL_KEYS.get(name, name): {
            "outcome": d.outcome,
            "probability_within": d.probability_within,
        }
        for name, d in solved.decisions.items()
    }
    data["corrections"] = _corrections(correction)
    data["assumed"] = list(assumption_words(job, solved))
    data["doubtful"] = [
        {
            "reading": d.reading,
            "standardised_residual": d.standardised_residual,
            "group": d.group,
        }
        for d in solved.doubtful
    ]
    data["not_measured"] = dict(solved.not_measured)
    return data


def _angle(found: Result | None) -> dict[str, float] | None:
    if found is None:
        return None
    data = {"angle_deg": math.degrees(found.value), "u_deg": math.degrees(found.u)}
    if found.across is not None:
        distance = found.across * math.sin(found.value)
        data["distance_mm"] = distance * MILLIMETRES
        data["distance_in"] = distance / INCH
        data["across_mm"] = found.across * MILLIMETRES
    return data


def _steering_wheel(found: Result | None) -> dict[str, float] | None:
    if found is None:
        return None
    return {"off_centre_deg": math.degrees(found.value), "u_deg": math.degrees(found.u)}


def _length(found: Result | None) -> dict[str, float] | None:
    if found is None:
        return None
    return {
        "distance_mm": found.value * MILLIMETRES,
        "distance_in": found.value / INCH,
        "u_mm": found.u * MILLIMETRES,
    }


def _box(solved: PassSolution) -> dict[str, float | None]:
    data: dict[str, float | None] = {}
    for key in ("yaw", "taper"):
        found = solved.get(f"box.{key}")
        data[f"{key}_deg"] = math.degrees(found.value) if found else None
        data[f"u_{key}_deg"] = math.degrees(found.u) if found else None
    return data


def _corrections(correction: PassCorrection) -> dict[str, Any]:
    data: dict[str, Any] = {"left": None, "right": None}
    data |= {rod.side: _rod(rod, correction) for rod in correction.rods}
    for wheel in correction.rear:
        data[f"{wheel.side}_rear"] = {
            "toe_change_deg": math.degrees(wheel.toe_change),
            "u_deg": math.degrees(wheel.u),
            "justified": wheel.justified,
            "stop_at": _stop("string_front_minus_rear_mm", wheel.stop_at_string),
        }
    return data


def _rod(rod: RodCorrection, correction: PassCorrection) -> dict[str, Any]:
    way = None if rod.clockwise is None else ("clockwise" if rod.clockwise else "anticlockwise")
    length = rod.length_change
    return {
        "toe_change_deg": math.degrees(rod.toe_change),
        "u_deg": math.degrees(rod.u),
        "justified": rod.justified,
        "length_change_mm": None if length is None else length * MILLIMETRES,
        "exact_turns": None if rod.exact_turns is None else abs(rod.exact_turns),
        "turns": None if rod.turns is None else abs(rod.turns),
        "direction": rod.direction,
        "rotation": way,
        "stop_at": _stop("string_front_minus_rear_mm", rod.stop_at_string)
        | _stop("tape_rear_minus_front_mm", correction.stop_at_tape),
    }


def _stop(key: str, metres: float | None) -> dict[str, float]:
    return {} if metres is None else {key: metres * MILLIMETRES}
