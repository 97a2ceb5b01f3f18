"""What to measure in place of an assumption that does not fit: reading it again is no way out."""

from __future__ import annotations

from collections.abc import Iterable

from toebox.job.model import Pass
from toebox.report.view.words import and_

ASSUMED = "assumed."
# Common practice, no published source.
ACTS = {
    "steering_wheel_straight_within": (
        "clamp the steering wheel straight and read the front strings again"
    ),
    "strings_parallel_within": (
        "measure the widths between the strings at both bars (front_bar_width, rear_bar_width, "
        "bar_spacing)"
    ),
    "box_square_within": "read the strings at all four wheels",
    "gauge_zero_within": (
        "read camber with the inclinometer turned end for end as well (camber_turned)"
    ),
    "floor_level_within.front": (
        "measure how much higher the floor is under one front wheel than under the other "
        "(floor.front)"
    ),
    "floor_level_within.rear": (
        "measure how much higher the floor is under one rear wheel than under the other "
        "(floor.rear)"
    ),
    "floor_level_within.along": (
        "measure how much higher the floor is under the front wheels than under the rear wheels "
        "(floor.along)"
    ),
    "turn_plates_zero_within": (
        "set the {wheel} turn plate to zero with the wheel along the car and read it again"
    ),
    "steering_axis_inclination": (
        "look the steering-axis inclination up again (steering_axis_inclination)"
    ),
}
OR_SWEEP = ", or sweep the {wheel} wheel with stops 20° out, straight and 20° in"


def in_place_of(labels: Iterable[str], readings: Pass) -> list[str]:
    """Say what to do in place of assumptions, run-outs of several rims in one.

    Parameters
    ----------
    labels : iterable of str
        Labels of observations; those that are no assumption are passed over.
    readings : Pass
        What was read: a rim in one position, or in several.

    Returns
    -------
    list of str
        Orders, without a full stop.
    """
    keys = [label.removeprefix(ASSUMED) for label in labels if label.startswith(ASSUMED)]
    acts = [_act(key, readings) for key in keys if not key.startswith("rim_runout.")]
    acts += _rims([key for key in keys if key.startswith("rim_runout.")], readings)
    return list(dict.fromkeys(acts))


def _act(key: str, readings: Pass) -> str:
    name, _, wheel = key.partition(".")
    words = ACTS[key] if key in ACTS else ACTS[name]
    if name == "steering_axis_inclination" and len(readings.gauge[wheel].sweep) < 3:
        words += OR_SWEEP
    return words.format(wheel=wheel.replace("_", " "))


def _rims(keys: list[str], readings: Pass) -> list[str]:
    """Say how to take the run-out of rims out, or where that is done, to state it as it is."""
    turned: dict[bool, list[str]] = {}
    for key in keys:
        _, wheel, *rest = key.split(".")
        turned.setdefault(_several(readings, wheel, "upright" in rest), []).append(wheel)
    said = []
    if True in turned:
        rims = _wheels(turned[True], "rim")
        wobble = "wobble" if " and " in rims else "wobbles"
        said.append(f"see by how much {rims} {wobble}, and state it (rim_runout)")
    if False in turned:
        wheels = _wheels(turned[False], "wheel")
        said.append(f"read {wheels} once more, turned on by half a turn")
    return said


def _wheels(names: list[str], what: str) -> str:
    words = [f"the {name.replace('_', ' ')} {what}" for name in dict.fromkeys(names)]
    return and_(words)


def _several(readings: Pass, wheel: str, upright: bool) -> bool:
    """Return whether a rim was read in more than one position."""
    if upright:
        gauge = readings.gauge.get(wheel)
        return gauge is not None and max(len(gauge.camber), len(gauge.camber_turned)) > 1
    strings = readings.string.get(wheel)
    return strings is not None and min(len(strings.front), len(strings.rear)) > 1
