"""What would settle a goal that the readings do not prove."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from toebox.job.model import EMPTY, Job, Pass
from toebox.report.blocks import Points, Section
from toebox.report.view.budget import kind_words
from toebox.report.view.words import digits_of, half_width, interval_of, name_of
from toebox.solve.budget import budget, kind_of
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution
from toebox.solve.standing import Standing
from toebox.units import write

if TYPE_CHECKING:
    from toebox.solve.improve import Step
    from toebox.solve.settle import Margin, Settling


_ROLLED = ("string", "inclinometer")  # read at the rims, in several positions of the wheel
HARDLY = 0.01  # of a variance: what contributes less is not worth repeating


def settling(
    job: Job, solved: PassSolution, stands: Mapping[str, Standing] = EMPTY
) -> Section | None:
    """Say for every goal that is not proven what would settle it.

    Parameters
    ----------
    job : Job
        Car, instruments and goals.
    solved : PassSolution
        Results of the last pass.
    stands : mapping of str to Standing, optional
        Where every setting stands, for differences that no pass has.

    Returns
    -------
    Section or None
        None where every goal is proven to be met or not.
    """
    names = [n for n, d in solved.decisions.items() if d.outcome == "not proven"]
    known = [(name, stand) for name, stand in stands.items() if stand.over_passes]
    between = [name for name, stand in known if stand.outcome == "not proven"]
    if not names and not between:
        return None
    from toebox.solve.settle import settle

    points = [_words(job, solved, name, settle(job, solved, name)) for name in names]
    points += [
        f"{name_of(name)}: known to {interval_of(stands[name].result, job)} from the newest values "
        "of both wheels. Read in one pass, floor and gauge would count less: read both again."
        for name in between
    ]
    return Section("What would settle what is not proven", (Points(tuple(points)),), summary=True)


def _words(job: Job, solved: PassSolution, name: str, found: Settling) -> str:
    margin, digits = found.margin, digits_of(name)
    apart = [solved[name].u, *(u for _, u in found.steps[:1] if not found.enough)]
    fine = max(_finely(margin, u, digits) for u in apart)
    known = f"± {half_width(solved[name].u, fine)}"
    start = f"{name_of(name)}: {_place(margin, fine)}, known to {known}"
    if not found.enough and margin.rounds is None:
        return f"{start}: {_hopeless(job, solved, name)}.{_nearest(found, fine, job)}"
    needed = write.plus_minus(math.degrees(COVERAGE_FACTOR * margin.u_needed), fine)
    proven = "prove that it is met" if margin.inside else "prove that it is missed"
    steps = [_step(step, u, digits, job) for step, u in found.steps]
    rounds = _rounds(margin, solved, name)
    if found.enough:
        ways = "; or ".join([*steps, rounds] if rounds else steps)
        return f"{start}. {needed} would {proven}, if it stays there: {ways}."
    nearest = _nearest(found, fine, job)
    return f"{start}. {needed} would {proven}, if it stays there: {rounds}.{nearest}"


def _finely(margin: Margin, u: float, usual: int) -> int:
    """Return with how many decimals an interval is told apart from what would be needed."""
    halves = [COVERAGE_FACTOR * math.degrees(each) for each in (margin.u_needed, u)]
    tried = range(usual, usual + 3)
    apart = (d for d in tried if len({write.plus_minus(half, d) for half in halves}) > 1)
    return next(apart, usual)


def _hopeless(job: Job, solved: PassSolution, name: str) -> str:
    """Say why neither one step nor whole rounds would settle it."""
    tolerance = job.goals[name].tolerance or 0.0
    if tolerance >= COVERAGE_FACTOR * solved[name].u:
        near = "too near for measuring to settle"
        return f"{near}; only nearer the middle of its goal could it be proven"
    return (
        "the goal is narrower than that, so that these readings prove nothing within it, wherever "
        "it stands; a wider goal or finer readings could"
    )


def _nearest(found: Settling, digits: int, job: Job) -> str:
    """Name the step that comes nearest."""
    if not found.steps:
        return ""
    (step, u), *_ = found.steps
    return f" Nearest by one step: {_step(step, u, digits, job)}."


def _place(margin: Margin, digits: int) -> str:
    """Say where a value lies."""
    size = write.degrees(margin.margin, digits)
    if size == write.degrees(0.0, digits):
        return "on the limit of its goal"
    return f"{size} {'inside' if margin.inside else 'outside'} the limit of its goal"


def _step(step: Step, u: float, digits: int, job: Job) -> str:
    """Return a step as the middle of a sentence, with the interval that it would give."""
    from toebox.report.view.helps import help_words

    words = help_words(step, job)
    half = write.plus_minus(math.degrees(COVERAGE_FACTOR * u), digits)
    return f"{words[0].lower()}{words[1:]} ({half})"


def _rounds(margin: Margin, solved: PassSolution, name: str) -> str:
    """Say how to take the readings of several rounds so that a job can hold them.

    A list is the same reading with the wheel turned on by equal parts: so many positions as all
    rounds together have. Of several instruments only those are named that the result rests on.
    """
    rounds, positions = margin.rounds, _positions(solved.readings)
    if rounds is None:
        return ""
    if not positions:
        return f"take every reading {rounds} times as often and write them as lists"
    kinds = [s.reading for s in budget(solved, solved.gradients[name], kind_of) if s.share > HARDLY]
    read = [kind for kind in kinds if not kind.startswith("assumed.")]
    if not any(kind.startswith(_ROLLED) for kind in read):
        words = "; ".join(map(kind_words, read))
        return f"take {rounds} times as many readings ({words}) and write them as lists"
    places = rounds * positions
    return (
        f"read every rim in {places} positions, each 1/{places} of a turn on from the last, "
        f"everything else {rounds} times as often, and write the readings as lists (the stops of a "
        "sweep as more stops, what takes no list as its mean)"
    )


def _positions(readings: Pass) -> int:
    """Return in how many positions the rims were read; 0 where none was."""
    edges = [edge for one in readings.string.values() for edge in (one.front, one.rear)]
    cambers = [gauge.camber for gauge in readings.gauge.values()]
    return max((len(one) for one in (*edges, *cambers)), default=0)
