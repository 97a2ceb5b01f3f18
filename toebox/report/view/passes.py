"""Before and after: every setting from pass to pass, as numbers and as a small plot."""

from __future__ import annotations

import math

from toebox.job.model import Job
from toebox.report.blocks import Block, Figure, Section, Table
from toebox.report.drawing import SettingPoint, SettingsData
from toebox.report.view.words import interval_of, name_of, value_of
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution, Solution

ALWAYS = ("total_toe.front", "steering_wheel", "thrust_angle", "total_toe.rear")


def passes(solution: Solution) -> Section | None:
    """Show how the settings came nearer their goals.

    Parameters
    ----------
    solution : Solution
        A solved job.

    Returns
    -------
    Section or None
        None for a job of one pass.
    """
    if len(solution.passes) < 2:
        return None
    job = solution.job
    names = [n for n in dict.fromkeys((*job.goals, *ALWAYS)) if _measured(solution, n)]
    rows = tuple(
        (name_of(name), str(number), solved.label, *_cells(solved, name, job))
        for name in names
        for number, solved in enumerate(solution.passes, start=1)
    )
    table = Table(("Setting", "Pass", "Label", "Found", "95 %"), rows, "llllr")
    blocks: list[Block] = [table]
    blocks += [_plot(solution, name) for name in names if name in job.goals]
    return Section("From pass to pass", tuple(blocks))


def _measured(solution: Solution, name: str) -> bool:
    return any(name in solved.results for solved in solution.passes)


def _cells(solved: PassSolution, name: str, job: Job) -> tuple[str, str]:
    result = solved.get(name)
    if result is None:
        return "not measured", ""
    return value_of(name, result.value, job), interval_of(result, job)


def _plot(solution: Solution, name: str) -> Figure:
    goal = solution.job.goals[name]
    tolerance = goal.tolerance
    points = tuple(_point(solved, name, solution.job) for solved in solution.passes)
    data = SettingsData(
        name=name_of(name),
        unit="degrees",
        points=points,
        goal_low=math.degrees(goal.value - tolerance) if tolerance is not None else None,
        goal_high=math.degrees(goal.value + tolerance) if tolerance is not None else None,
    )
    return Figure("settings", data, f"{name_of(name)} from pass to pass, with its goal band.")


def _point(solved: PassSolution, name: str, job: Job) -> SettingPoint:
    result = solved.get(name)
    if result is None:
        return SettingPoint(solved.label, None)
    half = math.degrees(COVERAGE_FACTOR * result.u)
    return SettingPoint(
        solved.label, math.degrees(result.value), half, value_of(name, result.value, job)
    )
