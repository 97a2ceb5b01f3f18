"""Before measuring, in words: what can be proven, and what would help most."""

from __future__ import annotations

import math

from toebox import __version__
from toebox.job.model import Job
from toebox.report.blocks import Block, Paragraph, Points, Section, Table, View
from toebox.report.view.basis import assumed, not_measured, unusual
from toebox.report.view.cautions import cautions
from toebox.report.view.helps import help_words
from toebox.report.view.words import SHAPES, digits_of, name_of, own_unit, with_interval
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.foresee import LIKELY, Forecast, Help, Prospect, readings_planned
from toebox.solve.results import Result
from toebox.units import write

UNLIKELY = 0.5
MOST_NAMED = 4  # results that one line of help tells of
HOW_TO_PLAN = (
    'Values are not looked at: write "?" for a reading that you mean to take, ["?", "?"] for one '
    "that you mean to take with the valve up and again with the valve down."
)
CHANCE = (
    "Chance: how likely it is that a car standing exactly on its goal will be proven to be within "
    "it, that is, with the whole 95 % interval (k = 2) inside the tolerance."
)
PROVEN = {
    "within": "proven to be within",
    "outside": "proven to be outside",
    "not proven": "not proven to be within",
}
HOLDS = (
    "What a pass before tells holds until something that moves it is turned; this plan does not "
    "read it again. To know it better, plan its readings too."
)
EVENLY = (
    "Each line is tried alone, against your plan as it stands, and ranked by all goals together."
)


def make_forecast(forecast: Forecast) -> View:
    """Put a forecast into words.

    Parameters
    ----------
    forecast : Forecast
        What planned readings will give.

    Returns
    -------
    View
        What can be proven first, what would help next, details after.
    """
    job, solved = forecast.job, forecast.solved
    number = readings_planned(solved.readings)
    sections = (
        _goals(forecast),
        _helps(forecast),
        _results(forecast),
        assumed(job._replace(tie_rods={}), solved)._replace(heading="What this assumes"),
        _named("What will not be known", not_measured(solved, forecast.known)),
        unusual(job),
        cautions(),
    )
    return View(
        title=job.title,
        subtitle=(
            f"Before measuring: {number} reading{'s' * (number != 1)} planned, "
            f"{solved.label}. {HOW_TO_PLAN}",
        ),
        sections=tuple(section for section in sections if section is not None),
        footer=f"toebox {__version__}",
        date=job.date,
    )


def _named(heading: str, section: Section | None) -> Section | None:
    return section and section._replace(heading=heading)


def half_words(
    name: str, half: float, across: float | None, job: Job, *, first: bool = False
) -> str:
    """Return the half-width of an interval, also as a distance where it has a diameter.

    Parameters
    ----------
    name : str
        Dotted name of the result.
    half : float
        Half-width [rad] ([m] for setback).
    across : float or None
        Diameter [m].
    job : Job
        For unit and fraction.
    first : bool
        Whether the distance comes first.

    Returns
    -------
    str
        For example ``± 0.15° (± 1/16 in across 23 3/4 in)``.
    """
    if name == "setback":
        return f"± {_small(half, job)}"
    angle = write.plus_minus(math.degrees(half), digits_of(name))
    if across is None:
        return angle
    distance = f"± {_small(across * math.sin(half), job)} across {own_unit(across, job)}"
    return f"{distance} ({angle})" if first else f"{angle} ({distance})"


def _small(metres: float, job: Job) -> str:
    """Return a length in the user's unit, never as nothing."""
    text = own_unit(metres, job)
    if text != own_unit(0.0, job):
        return text
    least = 0.0001 if job.length_unit == "mm" else 0.0254 / job.smallest_fraction
    return f"under {own_unit(least, job)}"


def _half_of(result: Result, across: float | None, job: Job) -> str:
    return half_words(result.name, COVERAGE_FACTOR * result.u, across, job)


def _goals(forecast: Forecast) -> Section:
    """Say for each goal whether it can be proven."""
    known = _known(forecast)
    if not forecast.prospects and not known:
        text = "The job has no goal with a tolerance, so there is nothing to prove yet: see [goal]."
        return Section("What you will be able to prove", (Paragraph(text),), summary=True)
    items = [
        _prospect(name, p.result, p, forecast.job)
        for name, p in forecast.prospects.items()
        if p.result is not None
    ]
    blocks: tuple[Block, ...] = (
        Points((*items, *_unknown(forecast), *known)),
        *([Paragraph(CHANCE, "note")] if forecast.prospects else []),
        *([Paragraph(HOLDS, "note")] if known else []),
    )
    return Section("What you will be able to prove", blocks, summary=True)


def _known(forecast: Forecast) -> list[str]:
    """Say which goals need no reading of the plan, since a pass before tells how they stand."""
    found = []
    for name, stand in forecast.known.items():
        if stand.decision is not None:
            found.append(
                f"{SHAPES[stand.outcome]} {name_of(name)} is known from pass {stand.number + 1}: "
                f"{with_interval(stand.result, forecast.job)}, {PROVEN[stand.outcome]} its goal."
            )
    return found


def _unknown(forecast: Forecast) -> list[str]:
    """Say which goals the plan says nothing of, together where the same would help."""
    by_need: dict[str, list[str]] = {}
    for name, prospect in forecast.prospects.items():
        if prospect.result is None:
            need = forecast.solved.not_measured.get(name, "no reading for it is planned")
            by_need.setdefault(need, []).append(name_of(name))
    return [
        f"■ Not known at all will be: {', '.join(names)}: {need}."
        for need, names in by_need.items()
    ]


def _prospect(name: str, result: Result, prospect: Prospect, job: Job) -> str:
    goal = prospect.goal
    across, first = goal.across or result.across, goal.across is not None
    known = half_words(name, prospect.half_width, across, job, first=first)
    tolerance = half_words(name, goal.tolerance or 0.0, across, job, first=first)
    return (
        f"{_shape(prospect)} {name_of(name)} will be known to {known}; your goal's tolerance is "
        f"{tolerance}: {_verdict(prospect)}."
    )


def _shape(prospect: Prospect) -> str:
    return "●" if prospect.chance >= LIKELY else "◇" if prospect.chance > 0.0 else "■"


def _chance(prospect: Prospect) -> str:
    """Return a chance in per cent; never as certain."""
    return write.percent(min(prospect.chance, 1.0 - 1e-9))


def _verdict(prospect: Prospect) -> str:
    """Say what a chance means."""
    if prospect.chance <= 0.0:
        return "it cannot be proven, however well the car stands"
    chance = _chance(prospect)
    if prospect.chance < UNLIKELY:
        return f"it can be proven with luck only (chance {chance} for a car exactly on goal)"
    if prospect.chance < LIKELY:
        return f"it can be proven as a rule (chance {chance} for a car exactly on goal)"
    return f"it can be proven (chance {chance} for a car exactly on goal)"


def _helps(forecast: Forecast) -> Section | None:
    """Rank what would help."""
    heading = "What would help most"
    if not forecast.helps:
        text = "Nothing that toebox knows of would make these intervals noticeably smaller."
        return Section(heading, (Paragraph(text),), summary=True)
    rows = [
        (str(n), help_words(one.steps[0], forecast.job), *_gain(one, forecast))
        for n, one in enumerate(forecast.helps, start=1)
    ]
    numbers = _numbers(forecast)
    if forecast.together is not None:
        words = f"{numbers} at once"
        rows.append(("", words, *_gain(forecast.together, forecast)))
    columns = ("", "Do this", "Then it will be known to", "Can then be proven")
    blocks: list[Block] = [Table(columns, tuple(rows), "rlll"), Paragraph(EVENLY, "note")]
    if forecast.prospects:
        blocks.insert(0, Paragraph(_takes(forecast, numbers), "strong"))
    return Section(heading, tuple(blocks), summary=True)


def _numbers(forecast: Forecast) -> str:
    """Return the numbers of the changes that are tried together, in words."""
    if forecast.together is None:
        return ""
    ranks = {one.steps[0].kind: n for n, one in enumerate(forecast.helps, start=1)}
    numbers = sorted(ranks[step.kind] for step in forecast.together.steps)
    return ", ".join(map(str, numbers[:-1])) + f" and {numbers[-1]}"


def _takes(forecast: Forecast, numbers: str) -> str:
    """Say what it takes to prove every goal that no pass before tells of."""
    every = "every goal that the plan is for" if _known(forecast) else "every goal"
    if all(prospect.chance >= LIKELY for prospect in forecast.prospects.values()):
        return "Your plan will do as it stands; this would make it surer."
    alone = next((n for n, one in enumerate(forecast.helps, start=1) if one.enough), None)
    if alone is not None:
        return f"To prove {every}, number {alone} alone will do."
    together = forecast.together
    if together is not None and together.enough:
        return f"To prove {every}, do {numbers} at once."
    best = together or forecast.helps[0]
    short = [
        f"{name_of(name)} (chance {_chance(prospect)})"
        for name, prospect in best.prospects.items()
        if prospect.chance < LIKELY
    ]
    even = f"Even {numbers} do" if numbers else "Even number 1 does"
    return f"{even} not make sure of: {', '.join(short)}."


def _gain(one: Help, forecast: Forecast) -> tuple[str, str]:
    """Return the intervals that a change gives, and which goals it brings within reach."""
    before = forecast.solved.results
    parts = []
    for name in one.helped[:MOST_NAMED]:
        half = _half_of(one.results[name], None, forecast.job)
        was = _half_of(before[name], None, forecast.job) if name in before else "not known"
        parts.append(f"{name_of(name)} {half}, was {was}")
    if len(one.helped) > MOST_NAMED:
        parts.append(f"and {len(one.helped) - MOST_NAMED} more")
    proven = [
        f"{name_of(name)} (chance {_chance(prospect)})"
        for name, prospect in one.prospects.items()
        if prospect.chance >= UNLIKELY > forecast.prospects[name].chance
    ]
    return "; ".join(parts), "; ".join(proven)


def _results(forecast: Forecast) -> Section:
    """List the expected interval of every result."""
    rows = []
    for name, result in forecast.solved.results.items():
        cells = ("", "")
        if prospect := forecast.prospects.get(name):
            tolerance = half_words(name, prospect.goal.tolerance or 0.0, None, forecast.job)
            cells = (tolerance, _chance(prospect))
        rows.append((name_of(name), _half_of(result, result.across, forecast.job), *cells))
    columns = ("Result", "Expected 95 % interval", "Tolerance", "Chance")
    return Section("What every result will be known to", (Table(columns, tuple(rows), "lllr"),))
