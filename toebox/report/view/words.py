"""Names and numbers of results in words: the sign is never printed without its word."""

from __future__ import annotations

import math

from toebox.job.model import Goal, Job
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import Decision, Result
from toebox.units import write
from toebox.units.table import INCH

# What is told beside the goals wherever not every result is.
MAIN = ("total_toe.front", "steering_wheel", "thrust_angle", "total_toe.rear")
FINEST = 512  # denominator for inches finer than any rule
SHAPES = {"within": "●", "outside": "■", "not proven": "◇", "not measured": "▽"}

KINDS = {
    "toe": "{} toe",
    "total_toe": "{} total toe",
    "toe_to_thrust": "{} toe to the thrust line",
    "camber": "{} camber",
    "caster": "{} caster",
    "steering_axis_inclination": "{} steering-axis inclination",
    "cross_camber": "{} cross-camber",
    "cross_caster": "{} cross-caster",
    "toe_out_on_turn": "Toe-out turning {}",
}
ASSUMPTIONS = {
    "rim_runout": "assumption: rim run-out",
    "strings_parallel_within": "assumption: strings parallel",
    "box_square_within": "assumption: box square to the car",
    "floor_level_within": "assumption: floor level",
    "gauge_zero_within": "assumption: zero of the inclinometer",
    "steering_axis_inclination": "assumption: steering-axis inclination",
    "steering_wheel_straight_within": "assumption: steering wheel clamped straight",
    "turn_plates_zero_within": "assumption: zero of the turn plates",
}
SINGLE = {
    "thrust_angle": "Thrust angle",
    "steering_wheel": "Steering wheel",
    "box.yaw": "Car in the box",
    "box.taper": "Strings",
    "setback": "Setback",
}


SIGNS = {
    "toe": ("toe-in", "toe-out"),
    "total_toe": ("toe-in", "toe-out"),
    "toe_to_thrust": ("toe-in", "toe-out"),
    "thrust_angle": ("right", "left"),
    "steering_wheel": ("right", "left"),
    "camber": ("top out", "top in"),
    "cross_camber": ("left more", "right more"),
    "cross_caster": ("left more", "right more"),
}


def name_of(name: str) -> str:
    """Return the name of a result in plain words.

    Parameters
    ----------
    name : str
        Dotted name, as in `toebox.solve.results`.

    Returns
    -------
    str
        With a capital first letter.

    Examples
    --------
    >>> name_of("toe.left_front")
    'Left front toe'
    """
    if name in SINGLE:
        return SINGLE[name]
    kind, _, where = name.partition(".")
    return KINDS[kind].format(where.replace("_", " ")).capitalize()


def value_of(name: str, value: float, job: Job) -> str:
    """Return the value of a result with its unit and the word for its sign.

    Parameters
    ----------
    name : str
        Dotted name of the result.
    value : float
        Its value [rad] ([m] for setback).
    job : Job
        For the user's unit.

    Returns
    -------
    str
        For example ``0.15° toe-in``.
    """
    kind = name.partition(".")[0]
    if kind in {"toe", "total_toe", "toe_to_thrust"}:
        return write.toe_words(value)
    if kind == "thrust_angle":
        return write.side_words(value)
    if kind == "steering_wheel":
        return write.off_words(value)
    if kind == "camber":
        return write.camber_words(value)
    if kind == "caster":
        return write.caster_words(value, 2)
    if name == "box.yaw":
        words = ("points left of the box axis", "points right of the box axis", "stands square")
        return _either(value, *words)
    if name == "box.taper":
        words = ("each string opens forwards", "each string closes forwards", "parallel")
        return _either(value, *words)
    if name == "setback":
        return _setback(value, job)
    if kind in {"cross_camber", "cross_caster"}:
        return _either(value, "more on the left", "more on the right", "left as right")
    return write.degrees(value)


def _setback(value: float, job: Job) -> str:
    """Return how far one front wheel stands behind the other [m]."""
    size = both_units(abs(value), job)
    if size == both_units(0.0, job):
        return f"{size}, level"
    return f"{size}, {'right' if value > 0.0 else 'left'} front wheel further back"


def _either(value: float, positive: str, negative: str, neither: str) -> str:
    """Return a magnitude with the word for its sign, or for what prints as zero."""
    text = write.degrees(abs(value))
    if text == write.degrees(0.0):
        return f"{text} ({neither})"
    return f"{text}, {positive if value > 0.0 else negative}"


def towards(change: float) -> str:
    """Return a change of toe with the word for its sign.

    Parameters
    ----------
    change : float
        Towards toe-in positive [rad].

    Returns
    -------
    str
        For example ``0.25° towards toe-in``.
    """
    size = write.degrees(abs(change))
    if no_change(change):
        return f"{size} (no change)"
    return f"{size} towards toe-{'in' if change > 0.0 else 'out'}"


def no_change(change: float) -> bool:
    """Return whether a change of toe [rad] prints as zero."""
    return write.degrees(abs(change)) == write.degrees(0.0)


def signs_of(name: str) -> tuple[str, str]:
    """Return the words for a positive and a negative value of a setting.

    Parameters
    ----------
    name : str
        Dotted name of the result.

    Returns
    -------
    tuple of str
        For example ``("toe-in", "toe-out")``.
    """
    kind = name.partition(".")[0]
    return SIGNS.get(kind, ("more", "less"))


def off_by(name: str, difference: float, wanted: float = 0.0) -> str:
    """Return how far a result is from its goal, in the words of its kind.

    Parameters
    ----------
    name : str
        Dotted name of the result: a toe, the thrust angle or the steering wheel.
    difference : float
        Value minus goal [rad].
    wanted : float, optional
        The goal: a side means from the middle where that is 0, and else from the goal [rad].

    Returns
    -------
    str
        For example ``0.05° too far in``.
    """
    size = write.degrees(abs(difference), digits_of(name))
    if size == write.degrees(0.0, digits_of(name)):
        return f"{size} off" + " its goal" * bool(wanted)
    if name.partition(".")[0] == "total_toe":
        return f"{size} too far {'in' if difference > 0.0 else 'out'}"
    side = "right" if difference > 0.0 else "left"
    return f"{size} further {side} than its goal" if wanted else f"{size} to the {side}"


def wheel_off(away: float, goal: Goal | None) -> str:
    """Return how far the steering wheel will be from its goal; off centre where that is straight.

    Parameters
    ----------
    away : float
        Value minus goal [rad].
    goal : Goal or None
        Of the steering wheel.

    Returns
    -------
    str
        For example ``0.4° to the left``, or ``0.4° further left than its goal``.
    """
    wanted = goal.value if goal is not None else 0.0
    return off_by("steering_wheel", away, wanted) if wanted else write.off_words(away)


def digits_of(name: str) -> int:
    """Return how many decimals of a degree a result is printed with.

    Parameters
    ----------
    name : str
        Dotted name of the result.

    Returns
    -------
    int
        Decimals [-].
    """
    return 1 if name == "steering_wheel" else 2


def interval_of(result: Result, job: Job) -> str:
    """Return the half-width of the 95 % interval (k = 2), rounded up where it would print as 0.

    Parameters
    ----------
    result : Result
        Value and standard uncertainty.
    job : Job
        For the user's unit.

    Returns
    -------
    str
        For example ``± 0.10°``.
    """
    if result.name == "setback":
        return f"± {both_units(COVERAGE_FACTOR * result.u, job)}"
    return f"± {half_width(result.u, digits_of(result.name))}"


def with_interval(result: Result, job: Job) -> str:
    """Return a result with its unit, the word for its sign and its interval.

    Parameters
    ----------
    result : Result
        Any result.
    job : Job
        For unit and fraction.

    Returns
    -------
    str
        For example ``0.15° toe-in ± 0.04°``.
    """
    return f"{value_of(result.name, result.value, job)} {interval_of(result, job)}"


def half_width(u: float, digits: int = 2) -> str:
    """Return the half-width of the 95 % interval (k = 2) of an angle, rounded up from nothing.

    Parameters
    ----------
    u : float
        Standard uncertainty [rad].
    digits : int, optional
        Digits after the point.

    Returns
    -------
    str
        For example ``0.10°``; ``0.01°`` for what is less: known well is not known exactly.
    """
    half = COVERAGE_FACTOR * u
    text = write.degrees(half, digits)
    if half > 0.0 and text == write.degrees(0.0, digits):
        return write.degrees(math.radians(10.0**-digits), digits)
    return text


def own_unit(metres: float, job: Job) -> str:
    """Return a length in the user's own unit.

    Parameters
    ----------
    metres : float
        Length [m].
    job : Job
        For unit and fraction.

    Returns
    -------
    str
        For example ``3/64 in``.
    """
    return write.length(metres, job.length_unit, job.smallest_fraction)


def as_given(metres: float, job: Job) -> str:
    """Return a length that was given, not read: in no other number, however coarse the rule.

    Parameters
    ----------
    metres : float
        Length [m].
    job : Job
        For the unit.

    Returns
    -------
    str
        In a job in inches a fraction where the length is one, else millimetres or inches with the
        digits that it has: ``1/64 in``, ``0.25 mm``, ``0.003 in``.
    """
    inches, hundredths = metres / float(INCH), 1e5 * metres
    if job.length_unit == "in" and _whole(inches * FINEST):
        return write.inches(metres, FINEST)
    if job.length_unit == "in" and (_whole(1e3 * inches) or not _whole(10.0 * hundredths)):
        return f"{inches:.4g} in"
    if abs(hundredths - round(hundredths)) > 0.01 * abs(hundredths):
        return f"{1e3 * metres:.3g} mm"
    return f"{write.millimetres(metres, 2, tag=False).removesuffix('0').removesuffix('.0')} mm"


def _whole(number: float) -> bool:
    return abs(number - round(number)) < 1e-6


def finely(metres: float, job: Job) -> str:
    """Return a length too small for a rule, in the user's own unit with the other in brackets.

    Parameters
    ----------
    metres : float
        Length [m].
    job : Job
        For the unit.

    Returns
    -------
    str
        For example ``0.021 in (0.53 mm)`` or ``0.53 mm (0.021 in)``.
    """
    inches = f"{write.signed(metres / float(INCH), 3)} in"
    millimetres = write.millimetres(metres, 2)
    if job.length_unit == "in":
        return f"{inches} ({millimetres})"
    return f"{millimetres} ({inches})"


def both_units(metres: float, job: Job) -> str:
    """Return a length in the user's own unit with the other in brackets.

    Parameters
    ----------
    metres : float
        Length [m].
    job : Job
        For unit and fraction.

    Returns
    -------
    str
        For example ``3/64 in (1.2 mm)``.
    """
    other = "mm" if job.length_unit == "in" else "in"
    return f"{own_unit(metres, job)} ({write.length(metres, other, job.smallest_fraction)})"


def distance_of(result: Result, job: Job) -> str:
    """Return a toe as a distance, its diameter named.

    Parameters
    ----------
    result : Result
        A toe or a total toe.
    job : Job
        For unit and fraction.

    Returns
    -------
    str
        For example ``1/16 in (1.6 mm) across 23 3/4 in``; empty where no diameter is known.
    """
    if result.across is None:
        return ""
    metres = result.across * math.sin(abs(result.value))
    return f"{both_units(metres, job)} across {own_unit(result.across, job)}"


def goal_words(name: str, goal: Goal, job: Job) -> str:
    """Return a goal with its tolerance, and as a distance where it was given as one.

    Parameters
    ----------
    name : str
        Dotted name of the result.
    goal : Goal
        Wanted value and tolerance.
    job : Job
        For unit and fraction.

    Returns
    -------
    str
        For example ``0.15° toe-in ± 0.08° (1/16 in ± 1/32 in across 23 3/4 in)``.
    """
    text = value_of(name, goal.value, job)
    if goal.tolerance is not None:
        text += f" ± {write.degrees(goal.tolerance, digits_of(name))}"
    if goal.across is None:
        return text
    distance = as_given(goal.across * math.sin(abs(goal.value)), job)
    if goal.tolerance is not None:
        distance += f" ± {as_given(goal.across * math.sin(goal.tolerance), job)}"
    return f"{text} ({distance} across {own_unit(goal.across, job)})"


def outcome_words(decision: Decision) -> str:
    """Return a decision as shape, word and probability.

    Parameters
    ----------
    decision : Decision
        Outcome and probability.

    Returns
    -------
    str
        For example ``◇ not proven (67 % likely within)``.
    """
    text = f"{SHAPES[decision.outcome]} {decision.outcome}"
    if decision.outcome == "not proven":
        text += f" ({write.percent(decision.probability_within)} likely within)"
    return text


def reading_words(label: str) -> str:
    """Return the label of a reading in plain words.

    Parameters
    ----------
    label : str
        Label of an observation.

    Returns
    -------
    str
        For example ``string, left front wheel, front edge (reading 2)``.

    Examples
    --------
    >>> reading_words("string.left_front.front[2]")
    'string, left front wheel, front edge (reading 2)'
    >>> reading_words("tape.front.rear_edge")
    'tape, front axle, rear edge'
    """
    path, _, repeat = label.partition("[")
    parts = path.split(".")
    words = [part.replace("_", " ") for part in parts]
    if parts[0] == "assumed":
        where = f", {words[2]}" if len(words) > 2 else ""
        return f"{ASSUMPTIONS[parts[1]]}{where}"
    if parts[0] == "string" and len(parts) == 3:
        words[1] += " wheel"
        words[2] += "" if parts[2] == "hub" else " edge"
    if parts[0] == "tape":
        words[1] += " axle"
    if parts[0] == "inclinometer":
        words[1] += " wheel"
    text = ", ".join(words)
    which = "stop" if ".sweep." in label else "reading"
    return f"{text} ({which} {repeat.rstrip(']')})" if repeat else text


def and_(words: list[str]) -> str:
    """Return words as they are enumerated: ``a, b and c``."""
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]


def capital(text: str) -> str:
    """Return words with a capital first letter."""
    return text[:1].upper() + text[1:]
