"""A solved job as the result contract `toebox.result/1`: degrees, millimetres, inches."""

from __future__ import annotations

import math
from typing import Any

from toebox.correct.effects import Effect
from toebox.correct.engagement import End
from toebox.correct.gear import GearCentre
from toebox.correct.results import PassCorrection, RearStays, RodCorrection
from toebox.job.model import AXLES, WHEELS, Job
from toebox.report.json_settings import settings, toe_out
from toebox.report.view.basis import assumption_words
from toebox.solve.budget import Share, budgets
from toebox.solve.consistency import Comparison, comparisons
from toebox.solve.results import FRONT_WHEELS, Doubtful, PassSolution, Result, Solution
from toebox.solve.settle import margin_of
from toebox.solve.slips import Check, checks, is_angle

SCHEMA = "toebox.result/1"
SMALLEST_SHARE = 1e-4  # of a variance, listed in a budget
MILLIMETRES = 1000.0
INCH = 0.0254
_IN_DEGREES = math.degrees(1.0)
GROUPS = {
    "toe": WHEELS,
    "total_toe": AXLES,
    "toe_to_thrust": FRONT_WHEELS,
    "camber": WHEELS,
    "caster": FRONT_WHEELS,
    "steering_axis_inclination": FRONT_WHEELS,
    "cross_camber": AXLES,
    "cross_caster": ("front",),
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
        "passes": [
            _pass(solution.job, solved, correction)
            | {"toe_out_on_turn": toe_out(solution, solved)}
            for solved, correction in pairs
        ],
        **settings(solution),
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
    data["decisions"] = {_key(name): _decision(job, solved, name) for name in solved.decisions}
    data["corrections"] = _corrections(correction)
    data["turning"] = _turning(correction) | {"clamped_deg": math.degrees(solved.clamped)}
    data["assumed"] = list(assumption_words(job, solved))
    data["doubtful"] = [_doubtful(d) for d in solved.doubtful]
    told = budgets(solved, least=SMALLEST_SHARE)
    data["budget"] = {name: _budget(shares) for name, shares in told.items()}
    data["agreement"] = [_comparison(c) for c in comparisons(job, solved)]
    data["fit"] = {
        "degrees_of_freedom": solved.estimate.degrees_of_freedom,
        "scatter": solved.estimate.scatter,
    }
    data["checks"] = [_check(c) for c in checks(solved)]
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


def _decision(job: Job, solved: PassSolution, name: str) -> dict[str, Any]:
    decision = solved.decisions[name]
    data: dict[str, Any] = {
        "outcome": decision.outcome,
        "probability_within": decision.probability_within,
    }
    if decision.outcome == "not proven":
        margin = margin_of(solved[name], job.goals[name], solved.u_assumed(name))
        data["u_needed_deg"] = math.degrees(margin.u_needed)
        data["rounds_needed"] = margin.rounds
    return data


def _budget(shares: tuple[Share, ...]) -> list[dict[str, Any]]:
    # A whole number over a hundred: rounding to two decimals takes five times as long.
    return [{"reading": s.reading, "per_cent": round(1e4 * s.share) / 100.0} for s in shares]


def _doubtful(doubt: Doubtful) -> dict[str, Any]:
    return {
        "reading": doubt.reading,
        "standardised_residual": doubt.standardised_residual,
        "group": doubt.group,
        **_slip(doubt),
        "settled_by": list(doubt.settled_by),
    }


def _comparison(one: Comparison) -> dict[str, Any]:
    scale, unit = (MILLIMETRES, "mm") if one.kind == "hub" else (_IN_DEGREES, "deg")
    first, second = ("left", "right") if one.kind == "hub" else ("strings", one.kind)
    return {
        "compared": one.name,
        "first": first,
        "second": second,
        f"first_{unit}": one.first * scale,
        f"second_{unit}": one.second * scale,
        f"difference_{unit}": one.difference * scale,
        f"u_difference_{unit}": one.u * scale,
        "verdict": one.verdict,
    }


def _check(check: Check) -> dict[str, Any]:
    scale, unit = _told_in(check.reading)
    slip, bounded = check.smallest_slip, math.isfinite(check.smallest_slip)
    return {
        "reading": check.reading,
        "standardised_residual": check.standardised_residual,
        "redundancy": check.redundancy,
        f"smallest_slip_{unit}": slip * scale if bounded else None,
        f"smallest_slip_if_repeated_{unit}": check.if_repeated * scale,
    }


def _slip(doubt: Doubtful) -> dict[str, float | None]:
    """Return the size of a slip, None where it has no bound."""
    scale, unit = _told_in(doubt.reading)
    return {f"slip_{unit}": doubt.slip * scale if math.isfinite(doubt.slip) else None}


def _told_in(label: str) -> tuple[float, str]:
    """Return in what a reading is told: degrees or millimetres."""
    return (_IN_DEGREES, "deg") if is_angle(label) else (MILLIMETRES, "mm")


def _corrections(correction: PassCorrection) -> dict[str, Any]:
    data: dict[str, Any] = {"left": None, "right": None}
    data |= {rod.side: _rod(rod) for rod in correction.rods}
    for wheel in correction.rear:
        data[f"{wheel.side}_rear"] = {
            "toe_change_deg": math.degrees(wheel.toe_change),
            "u_deg": math.degrees(wheel.u),
            "justified": wheel.justified,
            "withheld": wheel.withheld or None,
            "expected_change_deg": math.degrees(wheel.change) if wheel.justified else 0.0,
            "stop_at": _stop("string_front_minus_rear_mm", wheel.stop_at_string),
        }
    return data


def _turning(correction: PassCorrection) -> dict[str, Any]:
    """Return what concerns both rods together."""
    remains, improve = correction.remains, correction.improve
    return {
        "corrected": [_key(name) for name in correction.corrected],
        "proven_within": correction.proven_within,
        "carried": [_key(name) for name in correction.carried],
        "improve": improve
        and {"result": _key(improve.name), "reading": improve.reading, "share": improve.share},
        "turns_surer": correction.turns_surer,
        "remains": {
            "total_toe_deg": _degrees(remains.total_toe),
            "u_total_toe_deg": _degrees(remains.u_total_toe),
            "steering_wheel_deg": _degrees(remains.steering_wheel),
            "u_steering_wheel_deg": _degrees(remains.u_steering_wheel),
        },
        "engagement_left_minus_right_mm": _millimetres(correction.imbalance),
        "stop_at": _stop("tape_rear_minus_front_mm", correction.stop_at_tape),
        "split_assumed": correction.split_assumed,
        "total_kept": correction.total_kept,
        "spline_needs": correction.spline_needs or None,
        "gear_centre": _gear(correction.gear),
        "count_locks_again": correction.count_again,
        "rear_stays": _rear_stays(correction.rear_stays),
    }


def _rod(rod: RodCorrection) -> dict[str, Any]:
    way = None if rod.clockwise is None else ("clockwise" if rod.clockwise else "anticlockwise")
    return {
        "toe_change_deg": math.degrees(rod.toe_change),
        "u_deg": math.degrees(rod.u),
        "justified": rod.justified,
        "length_change_mm": _millimetres(rod.length_change),
        "exact_turns": None if rod.exact_turns is None else abs(rod.exact_turns),
        "turns": None if rod.turns is None else abs(rod.turns),
        "flats": None if rod.flats is None else abs(rod.flats),
        "rotation_deg": None if rod.degrees is None else abs(rod.degrees),
        "direction": rod.direction,
        "rotation": way,
        "limited_by_thread": rod.limited,
        "withheld": rod.withheld or None,
        "engagement": {end.end: _engagement(rod, end) for end in rod.ends},
        "effect_per_turn": _effect(rod.effect),
        "stop_at": _stop("string_front_minus_rear_mm", rod.stop_at_string)
        | _stops_at_valve(rod)
        | _stop("tape_rear_minus_front_mm", rod.stop_at_tape),
    }


def _engagement(rod: RodCorrection, end: End) -> dict[str, Any]:
    now = None if rod.uncounted else end.before * MILLIMETRES
    then = None if rod.uncounted or rod.by_reading else end.after * MILLIMETRES
    short = True if end.short else None if then is None else False
    return {
        "before_mm": now,
        "after_mm": then,
        "diameter_mm": end.diameter * MILLIMETRES,
        "below_one_diameter": short,
    }


def _stops_at_valve(rod: RodCorrection) -> dict[str, float]:
    up, down = rod.stop_at_valve or (None, None)
    key = "string_front_minus_rear_valve"
    return _stop(f"{key}_up_mm", up) | _stop(f"{key}_down_mm", down)


def _effect(effect: Effect | None) -> dict[str, Any] | None:
    """Return what one turn that lengthens does to the toe, and where that is known from."""
    if effect is None:
        return None
    return {
        "toe_change_deg": math.degrees(effect.per_turn),
        "u_deg": math.degrees(effect.u),
        "arithmetic_deg": _degrees(effect.arithmetic),
        "u_arithmetic_deg": _degrees(effect.u_arithmetic),
        "observed_deg": _degrees(effect.observed),
        "u_observed_deg": _degrees(effect.u_observed),
        "disagrees": effect.disagrees,
    }


def _gear(gear: GearCentre | None) -> dict[str, Any] | None:
    if gear is None:
        return None
    return {
        "off_centre_deg": math.degrees(gear.off),
        "u_deg": math.degrees(gear.u),
        "turns_lock_to_lock": gear.lock_to_lock,
        "move_steering_wheel_deg": math.degrees(gear.moved),
        "teeth": gear.teeth if gear.step is not None else None,
        "waits": gear.waits or None,
    }


def _rear_stays(stays: RearStays | None) -> dict[str, Any] | None:
    if stays is None:
        return None
    return {
        "solid_axle": stays.solid,
        "thrust_angle_proven": stays.proven,
        "axle_shift_mm": _millimetres(stays.axle_shift),
        "axle_shift_by_wheelbases_mm": _millimetres(stays.shift_by_wheelbases),
    }


def _key(name: str) -> str:
    return GOAL_KEYS.get(name, name)


def _degrees(radians: float | None) -> float | None:
    return None if radians is None else math.degrees(radians)


def _millimetres(metres: float | None) -> float | None:
    return None if metres is None else metres * MILLIMETRES


def _stop(key: str, metres: float | None) -> dict[str, float]:
    return {} if metres is None else {key: metres * MILLIMETRES}
