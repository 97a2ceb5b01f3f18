"""What could be done better before measuring, in words for the person who will do it."""

from __future__ import annotations

from toebox.job.model import Instrument, Job
from toebox.report.view.words import as_given
from toebox.solve.improve import Step
from toebox.units import write

# An instrument read more finely; angles are read with the first two.
INSTRUMENTS = {
    "inclinometer": "Use a finer inclinometer",
    "turn_plates": "Use turn plates with a finer scale",
    "string_rule": "Use a finer rule at the strings and hold it steadier",
    "tape": "Use a finer tape, pulled evenly",
}
ANGLES = ("inclinometer", "turn_plates")

_ROAD_TEST = "Drive the road test {runs} times, as often each way, and write down every reading"
WORDS = {
    "both_valve_positions": (
        "Read every rim edge twice, valve up and, the car rolled half a turn, valve down: that "
        "takes out the rim's run-out"
    ),
    "both_valve_positions_averaged": (
        "Read every rim edge twice, valve up and, the car rolled half a turn, valve down: the rims "
        "are stated to run true, but the mean of two readings is surer"
    ),
    "bar_widths": (
        "Measure the width between the strings at both bars (bars {bar_spacing} apart)"
    ),
    "hubs": "Read the string to every hub as well",
    "plates": (
        "Use toe plates with slots {length} apart for the tape, in place of marks on the tyre"
    ),
    "straight_bar": (
        "Hold a straight bar, {length} long, to each rim and read the strings at its ends"
    ),
    "road_test": _ROAD_TEST,
    "road_test_again": _ROAD_TEST,
    "straighter": (
        "Clamp the steering wheel straight within {within} for the strings, by a level laid across "
        "its spokes"
    ),
    "tape_front": "Measure across the front wheels with a tape too (marks {across} apart)",
    "tape_rear": "Measure across the rear wheels with a tape too (marks {across} apart)",
    "strings": (
        "Put strings beside all four wheels and read both rim edges, valve up and valve down, and "
        "the widths at both bars ({rule}; wheelbase {wheelbase}, rim {rim})"
    ),
    "gauge": (
        "Measure camber with the inclinometer, and caster by a sweep 20° out, straight and 20° in, "
        "where a goal asks for it"
    ),
    "floor": (
        "Measure how much higher the floor is under one wheel than under the other, by a hose with "
        "water in it, and write it under floor: front, rear and along"
    ),
    "gauge_again": (
        "Read camber twice, the wheel rolled on half a turn, the gauge turned end for end as well, "
        "and every stop of a sweep twice"
    ),
    "whole_round_again": (
        "Measure the whole round a second time, from scratch, and take the mean of both results"
    ),
}


def help_words(step: Step, job: Job) -> str:
    """Say what to do.

    Parameters
    ----------
    step : Step
        A change of the plan.
    job : Job
        For the user's unit.

    Returns
    -------
    str
        An order, without a full stop.
    """
    if step.kind in INSTRUMENTS:
        better = Instrument(step.facts["resolution"], step.facts["repeatability"])
        return f"{INSTRUMENTS[step.kind]}: {_read_to(better, job, step.kind in ANGLES)}"
    kind = step.kind
    if kind == "both_valve_positions" and not job.instruments.rim_runout:
        kind = "both_valve_positions_averaged"
    facts = {key: _size(key, value, job) for key, value in step.facts.items()}
    rule = f"rule {_read_to(job.instruments.string_rule, job, False)}"
    return WORDS[kind].format(rule=rule, **facts)


def _read_to(instrument: Instrument, job: Job, angle: bool) -> str:
    """Say how finely and how repeatably an instrument is read."""
    resolution, repeatability = (
        write.degrees(x) if angle else as_given(x, job)
        for x in (instrument.resolution, instrument.repeatability)
    )
    return f"read to {resolution}, repeating within {repeatability}"


def _size(key: str, value: float, job: Job) -> str:
    """Return a number, an angle, or a length of which only the size matters."""
    if key == "within":
        return write.degrees(value, 2)
    return f"{value:.0f}" if key == "runs" else write.length(value, job.length_unit, 8, 0)
