"""Before and after: every setting from pass to pass, as numbers and as a small chart."""

from __future__ import annotations

import math

from toebox.job.model import Job
from toebox.report.blocks import Block, Figure, Section, Table
from toebox.report.drawing import SettingPoint, SettingsData
from toebox.report.view.words import MAIN, SHAPES, digits_of, name_of, signs_of, with_interval
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution, Solution
from toebox.units import write

LEGEND = (
    "Passes from left to right; bars: 95 % intervals; shaded, between dashed lines: the goal. "
    + ", ".join(f"{shape} {word}" for word, shape in SHAPES.items())
    + "."
)
MANY = " Of many passes not every one has a mark; the line goes through all."


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
    names = [n for n in dict.fromkeys((*solution.job.goals, *MAIN)) if _measured(solution, n)]
    blocks: list[Block] = [_before_and_after(solution, names)]
    if len(solution.passes) > 2:
        blocks.append(_every_pass(solution, names))
    charts = tuple(_chart(solution, name) for name in names if name in solution.job.goals)
    if charts:
        blocks.append(Figure("runs", charts, LEGEND + MANY * (len(solution.passes) > 16)))
    return Section("Before and after", tuple(blocks))


def _measured(solution: Solution, name: str) -> list[int]:
    """Return the passes that measured a setting, the first being 0."""
    return [n for n, solved in enumerate(solution.passes) if name in solved.results]


def _before_and_after(solution: Solution, names: list[str]) -> Table:
    """Return what the first pass found and what the last one found."""
    rows = tuple(_row(solution, name) for name in names)
    return Table(("Setting", "Before", "After", "Change"), rows, "llll")


def _row(solution: Solution, name: str) -> tuple[str, str, str, str]:
    """Return one setting; passes other than the first and the last are named."""
    first, last = _measured(solution, name)[0], _measured(solution, name)[-1]
    end = len(solution.passes) - 1
    before = _found(solution.passes[first], name, solution.job)
    after = _found(solution.passes[last], name, solution.job)
    if first > 0:
        before += f" (pass {first + 1})"
    if first == last:
        return name_of(name), before, "not measured again", ""
    if last < end:
        after += f" (pass {last + 1})"
    change = solution.passes[last][name].value - solution.passes[first][name].value
    return name_of(name), before, after, _change(name, change)


def _change(name: str, change: float) -> str:
    """Return a change with the word for its sign."""
    size = write.degrees(abs(change), digits_of(name))
    if size == write.degrees(0.0, digits_of(name)):
        return f"{size} (none)"
    if name.startswith("caster"):
        return f"{size} {'more' if change > 0.0 else 'less'}"
    if name.startswith("cross_"):
        return f"{size} towards more on the {'left' if change > 0.0 else 'right'}"
    more, less = signs_of(name)
    if more == "right":
        return f"{size} to the {more if change > 0.0 else less}"
    return f"{size} towards {more if change > 0.0 else less}"


def _found(solved: PassSolution, name: str, job: Job) -> str:
    """Return what a pass found, with its interval."""
    result = solved.get(name)
    return "not measured" if result is None else with_interval(result, job)


def _every_pass(solution: Solution, names: list[str]) -> Table:
    """Return every setting of every pass."""
    rows = tuple(
        (f"{number}: {solved.label}", *(_found(solved, name, solution.job) for name in names))
        for number, solved in enumerate(solution.passes, start=1)
    )
    return Table(("Pass", *map(name_of, names)), rows, "l" * (len(names) + 1))


def _chart(solution: Solution, name: str) -> SettingsData:
    """Return the chart of one setting with a goal."""
    goal, (more, less) = solution.job.goals[name], signs_of(name)
    tolerance = goal.tolerance or 0.0
    return SettingsData(
        name=name_of(name),
        signs=f"degrees; up: {more}, down: {less}",
        points=tuple(_point(solved, name) for solved in solution.passes),
        goal_low=math.degrees(goal.value - tolerance),
        goal_high=math.degrees(goal.value + tolerance),
    )


def _point(solved: PassSolution, name: str) -> SettingPoint:
    """Return one pass of a chart."""
    result = solved.get(name)
    if result is None:
        return SettingPoint(None)
    half = math.degrees(COVERAGE_FACTOR * result.u)
    return SettingPoint(math.degrees(result.value), half, solved.outcome(name))
