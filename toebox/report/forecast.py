"""A forecast as plain data for JSON: schema `toebox.forecast/1`, degrees and millimetres."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from toebox.job.model import Goal
from toebox.report.json import GOAL_KEYS, MILLIMETRES
from toebox.report.view.basis import assumption_words
from toebox.report.view.helps import help_words
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.foresee import Forecast, Help, readings_planned
from toebox.solve.results import Result

SCHEMA = "toebox.forecast/1"


def forecast_result(forecast: Forecast) -> dict[str, Any]:
    """Return a forecast as plain data.

    Parameters
    ----------
    forecast : Forecast
        What planned readings will give.

    Returns
    -------
    dict
        Results by their dotted names; ``half_width_95_*`` belongs to k = 2.
    """
    job = forecast.job
    return {
        "schema": SCHEMA,
        "title": job.title,
        "source": job.source,
        "label": forecast.solved.label,
        "readings_planned": readings_planned(forecast.solved.readings),
        "expected": _expected(forecast.solved.results),
        "goals": _goals(forecast),
        "help": [_help(one, forecast) for one in forecast.helps],
        "together": _help(forecast.together, forecast) if forecast.together else None,
        "assumed": list(assumption_words(job, forecast.solved)),
        "not_measured": dict(forecast.solved.not_measured),
        "doubts": list(job.doubts),
    }


def _goals(forecast: Forecast) -> dict[str, dict[str, Any]]:
    """Return the goals that the plan is for, and those that a pass before tells of already."""
    told = {
        name: _goal(prospect.goal, prospect.chance) for name, prospect in forecast.prospects.items()
    }
    for name, stand in forecast.known.items():
        if stand.decision is not None:
            found = _goal(forecast.job.goals[name], None)
            told[name] = {**found, "known_from_pass": stand.number + 1, "known": stand.outcome}
    return {GOAL_KEYS.get(name, name): goal for name, goal in told.items()}


def _goal(goal: Goal, chance: float | None) -> dict[str, Any]:
    return {
        "tolerance_deg": math.degrees(goal.tolerance or 0.0),
        "can_be_proven": None if chance is None else chance > 0.0,
        "probability_proven_on_goal": chance,
    }


def _expected(results: Mapping[str, Result]) -> dict[str, dict[str, float]]:
    return {name: _interval(result) for name, result in results.items()}


def _interval(result: Result) -> dict[str, float]:
    half = COVERAGE_FACTOR * result.u
    if result.name == "setback":
        return {"u_mm": result.u * MILLIMETRES, "half_width_95_mm": half * MILLIMETRES}
    data = {"u_deg": math.degrees(result.u), "half_width_95_deg": math.degrees(half)}
    if result.across is not None:
        data["half_width_95_mm"] = result.across * math.sin(half) * MILLIMETRES
        data["across_mm"] = result.across * MILLIMETRES
    return data


def _help(one: Help, forecast: Forecast) -> dict[str, Any]:
    return {
        "kinds": [step.kind for step in one.steps],
        "words": [help_words(step, forecast.job) for step in one.steps],
        "helps": list(one.helped),
        "expected": _expected({name: one.results[name] for name in one.helped}),
        "probability_proven_on_goal": {
            GOAL_KEYS.get(name, name): prospect.chance for name, prospect in one.prospects.items()
        },
    }
