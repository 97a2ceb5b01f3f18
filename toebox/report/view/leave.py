"""Why nothing is to be turned, and which reading to improve."""

from __future__ import annotations

from toebox.correct.remains import done
from toebox.correct.results import PassCorrection
from toebox.job.model import Goal, Job
from toebox.report.view.words import digits_of, half_width, name_of, no_change, off_by
from toebox.solve.results import PassSolution
from toebox.units import write

CLAMP = (
    "how straight the steering wheel was clamped for the strings; clamp it by a level laid across "
    "the spokes"
)
# What to do about a kind of reading, by the start of its label.
IMPROVE = {
    "string": "the readings from the string; read every rim edge again, valve up and valve down, "
    "with the finest rule you have",
    "string.bars": "the widths between the strings at the bars; read them again",
    "tape.front": "the tape across the front wheels; read it again with the wheels rolled on by "
    "half a turn, to the finest mark",
    "tape.rear": "the tape across the rear wheels; read it again with the wheels rolled on by half "
    "a turn",
    "steering_wheel_off": "the road test; drive it again, both ways, and write every drive as one "
    "more reading in the list",
    "assumed.strings_parallel_within": "the strings being only assumed to be parallel; measure "
    "front_bar_width, rear_bar_width and bar_spacing",
    "assumed.box_square_within": "the strings being only assumed to be square to the car; read "
    "the strings at all four wheels",
    "carried": "its being carried over from the passes before by what was turned, not measured in "
    "this pass; measure it again",
    "adjusters": "what the moves under 'Order of work' do; make them, read toe again and add a "
    "pass",
    "assumed.steering_wheel_straight_within": f"{CLAMP}, and drive the road test again",
    "assumed.rim_runout": "the wobble of the rims; read every rim edge valve up and valve down",
}
# What differs where the steering ratio is not known.
IMPROVE_SHARE = {
    "assumed.steering_wheel_straight_within": f"{CLAMP}, and add car.steering_ratio and a road "
    "test",
}


def leave_step(job: Job, solved: PassSolution, correction: PassCorrection) -> str:
    """Say that both tie rods stay as they are, and why.

    Parameters
    ----------
    job : Job
        Goals and units.
    solved : PassSolution
        Results of the pass.
    correction : PassCorrection
        Without a justified change.

    Returns
    -------
    str
        One step.
    """
    if not correction.judged:
        return (
            "Leave both tie rods: nothing says how they should stand. A goal for the front total "
            "toe would ([goal] front_total_toe)."
        )
    if correction.proven_within:
        names = " and ".join(name_of(name).lower() for name in correction.judged)
        proven = "is proven to be within its goal" if len(correction.judged) == 1 else (
            "are proven to be within their goals"
        )
        return f"Leave both tie rods as they are: {names} {proven}."
    away = ", ".join(_away(job, solved, correction, name) for name in correction.judged)
    if all(no_change(rod.toe_change) for rod in correction.rods):
        return f"Leave both tie rods as they are: nothing is left to change ({away})."
    left = f"what is left to the goals ({away}) {_too_little(correction)}"
    text = f"Leave both tie rods for now: {left}."
    if correction.improve is None:
        return text
    improve = correction.improve
    name, advice = name_of(improve.name).lower(), IMPROVE.get(improve.reading, improve.reading)
    if improve.name == "steering_wheel" and job.car.steering_ratio is None:
        name, advice = "share of either front wheel", IMPROVE_SHARE.get(improve.reading, advice)
    what, _, how = advice.partition("; ")
    share = f"{write.percent(improve.share)} of the uncertainty of the {name}"
    text += f" To know better: {share} comes from {what}"
    if solved.outcome(improve.name) == "not proven":
        return f"{text}; see 'What would settle what is not proven' in the report."
    return f"{text}; {how}." if how else f"{text}."


def _too_little(correction: PassCorrection) -> str:
    """Say why what is left does not justify turning; two goals are judged together."""
    if len(correction.judged) == 1:
        return "is too little, against its uncertainty, to justify turning"
    return "is too little, the two judged together at 95 %, to justify turning"


def kept_words(job: Job, solved: PassSolution, correction: PassCorrection) -> list[str]:
    """Say which goal quantity the turns leave as it is, and why.

    Parameters
    ----------
    job : Job
        Goals and units.
    solved : PassSolution
        Results of the pass.
    correction : PassCorrection
        What to turn.

    Returns
    -------
    list of str
        Sentences; empty where nothing is turned, or everything is put right.
    """
    if not correction.corrected:
        return []
    aways = [_away(job, solved, correction, name) for name in correction.kept]
    rounded = any(rod.turns for rod in correction.rods)
    if rounded and any(rod.limited for rod in correction.rods):
        return [
            f"No change of it is proven, so that none is wanted: {away}. Since a thread ends, the "
            "turns told change it all the same."
            for away in aways
        ]
    but = "; rounded turns move it a little all the same" if rounded else ""
    return [f"Kept as it is, because no change of it is proven: {away}{but}." for away in aways]


def _away(job: Job, solved: PassSolution, correction: PassCorrection, name: str) -> str:
    """Return how far a result is from its goal, with its interval."""
    result = solved.get(name)
    if name in correction.carried:
        return _carried(job, correction, name)
    if result is None:  # the steering wheel, where the steering ratio is not known
        return "how the front wheels share total toe"
    wanted = job.goals.get(name, Goal(0.0)).value
    away = result.value - wanted
    moved, rear, u = correction.wrong_spline, once_set(correction), result.u
    if name == "steering_wheel":
        away = _wheel_before_turning(job, correction, away)
        u = max(u, correction.remains.u_steering_wheel or 0.0)
    half = half_width(u, digits_of(name))
    text = f"{name_of(name).lower()} {off_by(name, away, wanted)} ± {half}"
    if name != "steering_wheel" or not (rear or moved):
        return text
    first = [rear] * bool(rear) + ["once it sits on the right spline"] * moved
    return f"{text} {' and '.join(first)}"


def once_set(correction: PassCorrection) -> str:
    """Say when the line that the car follows is another one; empty where it stays.

    Parameters
    ----------
    correction : PassCorrection
        What to turn after a pass.

    Returns
    -------
    str
        Words that follow on what holds then.
    """
    if correction.line_moved:
        return "once the adjusters are moved"
    return "once the rear wheels are set" if correction.thrust_set else ""


def _carried(job: Job, correction: PassCorrection, name: str) -> str:
    """Return how far a result is from its goal that this pass did not measure."""
    remains = correction.remains
    away, u = remains.total_toe, remains.u_total_toe
    if name == "steering_wheel":
        away, u = remains.steering_wheel, remains.u_steering_wheel
    by_turns = sum(done(rod) for rod in correction.rods)
    if away is not None and name == "steering_wheel":
        away = _wheel_before_turning(job, correction, away)
    elif away is not None:
        away -= by_turns
    number = ""
    if away is not None and u is not None:
        wanted = job.goals.get(name, Goal(0.0)).value
        number = f" {off_by(name, away, wanted)} ± {half_width(u, digits_of(name))}"
    return f"{name_of(name).lower()}{number}, as carried over from the passes before"


def _wheel_before_turning(job: Job, correction: PassCorrection, found: float) -> float:
    """Return how far the steering wheel is from its goal before a front rod is turned [rad].

    Rear wheels that are set first turn the line that the car follows, and a wheel that is moved on
    its spline is off by as much less.
    """
    remains, ratio = correction.remains.steering_wheel, job.car.steering_ratio
    if remains is None or ratio is None:
        return found
    left, right = (done(rod) for rod in correction.rods)
    return remains + ratio * (left - right) / 2.0
