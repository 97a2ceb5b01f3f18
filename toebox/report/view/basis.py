"""What the results rest on: assumptions, and what was not measured."""

from __future__ import annotations

import math
from collections.abc import Collection

from toebox.correct.rods import USUAL_ARM_WITHIN
from toebox.job.model import QUICK_RATIO, SIDES, WHEELS, Job, axle_of, side_of
from toebox.report.blocks import Block, Paragraph, Points, Section
from toebox.report.view.words import as_given, capital, name_of
from toebox.solve.gauge import GIVEN_SAI_U, SHOWN_SWEEP
from toebox.solve.results import PassSolution
from toebox.units import write

STRAIGHT, PLATES = "steering_wheel_straight_within", "turn_plates_zero_within"
INSTRUMENTS = {
    "string_rule": "the string rule",
    "tape": "the tape",
    "road_test": "the road test",
    "inclinometer": "the inclinometer",
    "turn_plates": "the turn plates",
}
# Sentences for what is taken to lie within a size that [instruments] gives.
_WITHIN = {
    "strings_parallel_within": (
        "The strings are parallel within {within} {over}{stated}: the widths at both bars were not "
        "measured."
    ),
    "box_square_within": (
        "The strings run square to the car within {within} over the wheelbase{stated}: not all "
        "four wheels have string readings."
    ),
    "rim_runout": (
        "No rim runs out sideways by more than {within} from peak to peak{stated}; a wheel read in "
        "one position carries that in full, valve up and down cancels it."
    ),
    STRAIGHT: (
        "The steering wheel was clamped straight within {within} while the front wheels were read "
        "on the strings{over}."
    ),
    PLATES: "The turn plates show zero within {within} of where a wheel points along the car.",
    "floor_level_within": (
        "The floor is level within {within} {over}{stated}: its height was not read there "
        "(pass.floor). A slope across changes camber and cross-camber, a slope along changes "
        "caster on both sides alike."
    ),
    "gauge_zero_within": (
        "The inclinometer's zero is right within {within}{stated}, and it was held the same way "
        "round at every wheel, so that its error is the same at all of them: no wheel was read "
        "with the gauge turned end for end (camber_turned)."
    ),
}
_ANGLES = {STRAIGHT: 1, PLATES: 1, "gauge_zero_within": 2}  # of those: printed decimals [degrees]
SHOWN_CASTER = (
    f"The gauge that shows caster was swept {write.degrees(SHOWN_SWEEP, 0)} each way; its "
    "uncertainty follows from that of the inclinometer and the turn plates."
)


def assumed(job: Job, solved: PassSolution) -> Section:
    """List what had to be assumed.

    Parameters
    ----------
    job : Job
        Instruments and units.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    Section
        One point an assumption.
    """
    points = assumption_words(job, solved)
    text = "Nothing beyond the stated instruments."
    blocks: tuple[Block, ...] = (Points(points) if points else Paragraph(text),)
    return Section("What was assumed", blocks)


UNUSUAL = "Values that look unusual"


def unusual(job: Job) -> Section | None:
    """List the values of a job that can be read but are hardly meant.

    Parameters
    ----------
    job : Job
        With its doubts.

    Returns
    -------
    Section or None
        None where nothing is doubted.
    """
    return Section(UNUSUAL, (Points(job.doubts),), summary=True) if job.doubts else None


def assumption_words(job: Job, solved: PassSolution) -> tuple[str, ...]:
    """Return every assumption of a pass as a sentence.

    Parameters
    ----------
    job : Job
        Instruments and units.
    solved : PassSolution
        Results of the pass.

    Returns
    -------
    tuple of str
        In the order of `PassSolution.assumed`, then what is in no interval.
    """
    stated = tuple(_assumption(key, job, solved) for key in solved.assumed)
    parts = stated + _arms(job) + _cams(job)
    return parts + _one_rod(job) + _uncounted(job) + _straight(job, solved)


def _straight(job: Job, solved: PassSolution) -> tuple[str, ...]:
    """Return what is taken of the steering, and is in no interval."""
    found = []
    if "steering_wheel" in solved.results and "steering_wheel" not in job.goals:
        found.append(
            "The steering wheel is to stand straight while the car runs straight: the job has no "
            "goal for it."
        )
    instruments = job.instruments
    if not getattr(instruments, STRAIGHT) and (rests := _rests_on_straight(job, solved)):
        found.append(
            "The steering wheel stood exactly straight while the front wheels were read on the "
            f"strings{_as_stated(job, STRAIGHT)}: each degree that it did not is {rests}, and in "
            f"no interval{_puts(job, STRAIGHT)}."
        )
    swept = any(gauge.sweep for gauge in solved.readings.gauge.values())
    if swept and not getattr(instruments, PLATES):
        found.append(
            f"The turn plates show zero where a wheel points along the car{_as_stated(job, PLATES)}"
            ": shown zero by a wheel that toes in or out by 1°, they put caster wrong by about "
            f"0.2°, and that is in no interval{_puts(job, PLATES)}."
        )
    return tuple(found)


def _rests_on_straight(job: Job, solved: PassSolution) -> str:
    """Say what a degree of the steering wheel while the strings were read would put wrong."""
    read = [wheel for wheel in WHEELS if solved.readings.both_edges(wheel)]
    if "steering_wheel" in solved.results and len(read) == len(WHEELS):
        return "up to a degree in what is told of it"
    if not any(axle_of(wheel) == "front" for wheel in read):
        return ""
    least = "" if job.car.steering_ratio else "up to "
    degree = write.degrees(math.radians(1.0) / job.car.least_ratio, 2)
    return f"{least}{degree} in the toe of each front wheel and what rests on it"


def _quick(job: Job) -> str:
    """Say how a doubt about the steering wheel counts at the front wheels without its ratio."""
    if job.car.steering_ratio is not None:
        return ""
    return (
        "; without car.steering_ratio that counts as with a quick steering, "
        f"{QUICK_RATIO:g} to 1"
    )


def _as_stated(job: Job, key: str) -> str:
    return ", as stated" if key in job.instruments.stated else ""


def _puts(job: Job, key: str) -> str:
    """Name the key that would put something into the intervals."""
    return "" if key in job.instruments.stated else f" ({key} puts it there)"


def _cams(job: Job) -> tuple[str, ...]:
    """Return what is taken of cams: where they stand."""
    names = [a.name for a in job.adjusters if a.kind == "cam" and not a.position]
    return tuple(
        f"{capital(name)} stood at its middle before anything was moved (position 0, "
        "or not stated): from elsewhere the same turn does less, or the other way."
        for name in names
    )


def _one_rod(job: Job) -> tuple[str, ...]:
    """Return what is taken of a tie rod where a pass tells of the other one alone."""
    found = []
    for number, readings in enumerate(job.passes[1:], start=2):
        named = set(readings.turned) | (readings.turns_unknown & set(SIDES))
        if len(named) == 1:
            (other,) = set(SIDES) - named
            found.append(f"Pass {number} says nothing of the {other} tie rod: taken as not turned.")
    return tuple(found)


def _uncounted(job: Job) -> tuple[str, ...]:
    """Return what is taken of adjusters that were moved, and nobody counted how far."""
    opened = frozenset[str]().union(*(readings.turns_unknown for readings in job.passes[1:]))
    return tuple(
        f"{capital(a.name)} may have been moved where a pass leaves it open: the room that is left "
        "is counted as if it had not been. Look before you move it."
        for a in job.adjusters
        if a.name in opened and a.kind != "cam" and a.room != (None, None)
    )


def _arms(job: Job) -> tuple[str, ...]:
    """Return what is taken of the steering arms: their length, and where they lie."""
    sizes = {(rod.arm_length, rod.arm_length_within) for rod in job.tie_rods.values()}
    arms = [
        f"The steering arm is {as_given(length, job)} long within {_within(within, job)}; "
        "what passes show of a turn is weighted against it."
        for length, within in sizes
        if length is not None
    ]
    sides = {
        "The tie rods lie behind the front axle line (steering_arm was not stated); if they lie "
        "ahead of it, every turn goes the other way, but where passes have shown what a turn does."
        for rod in job.tie_rods.values()
        if rod.arm_length is not None and not rod.arm_side_stated
    }
    return (*sorted(arms), *sides)


def _within(stated: float | None, job: Job) -> str:
    if stated is None:
        return f"{100.0 * USUAL_ARM_WITHIN:.0f} % (not stated)"
    return as_given(stated, job)


def _assumption(key: str, job: Job, solved: PassSolution) -> str:
    stated = "" if key in job.instruments.stated else " (not stated: a cautious value)"
    if key in _WITHIN:
        size = getattr(job.instruments, key)
        within = write.degrees(size, _ANGLES[key]) if key in _ANGLES else as_given(size, job)
        return _WITHIN[key].format(within=within, over=_over(key, job, solved), stated=stated)
    if key == "steering_axis_inclination":
        return _inclination(job, solved)
    if key == "shown_caster":
        return SHOWN_CASTER
    return f"{_instrument(key, job)}{stated}."


def _over(key: str, job: Job, solved: PassSolution) -> str:
    """Say over what strings were taken to be parallel, or the floor to be level, and the like."""
    if key == STRAIGHT:
        return _quick(job)
    if key == "floor_level_within":
        return _floor_over(solved)
    return "between the bars" if solved.readings.bar_spacing else "over the wheelbase"


def _floor_over(solved: PassSolution) -> str:
    """Say where the floor was taken to be level."""
    where = [
        o.label.rpartition(".")[2]
        for o in solved.network.observations
        if o.assumed.startswith("floor_level_within")
    ]
    parts = []
    axles = " and ".join(key for key in where if key != "along")
    if axles:
        parts.append(f"from left to right under the {axles} axle{'s' * ('and' in axles)}")
    if "along" in where:
        parts.append("from front to rear over the wheelbase")
    return ", and ".join(parts)


def _inclination(job: Job, solved: PassSolution) -> str:
    """Say at which wheels the inclination is as given, and at which it was assumed."""
    given, sentences = job.car.steering_axis_inclination, []
    if given:
        axis = "axes lean" if len(given) > 1 else "axis leans"
        angles = " and ".join(f"{write.degrees(a, 1)} ({side})" for side, a in given.items())
        sentences.append(
            f"The steering {axis} inwards by {angles}, as the job gives it, within "
            f"{write.degrees(GIVEN_SAI_U, 1)} (standard deviation); this is weighed together with "
            "the sweeps."
        )
    entered = [o.assumed.partition(".") for o in solved.network.observations]
    sides = [side_of(wheel) for key, _, wheel in entered if key == "steering_axis_inclination"]
    assumed = [side for side in sides if side not in given]
    if assumed:
        where = f" on the {assumed[0]}" if given else ""
        sentences.append(
            f"The steering axis{where} leans inwards by 5 to 18° (common practice, no published "
            "source): two stops of a sweep cannot tell; the doubt is in the interval of caster."
        )
    return " ".join(sentences)


def _instrument(key: str, job: Job) -> str:
    instrument = getattr(job.instruments, key)
    show = write.degrees if key in {"road_test", "inclinometer", "turn_plates"} else None
    sizes = [
        show(value, 1) if show else as_given(value, job)
        for value in (instrument.resolution, instrument.repeatability)
    ]
    name = INSTRUMENTS[key].capitalize()
    was, repeat = ("were", "repeat") if key == "turn_plates" else ("was", "repeats")
    read = f" {was} read to {sizes[0]} and" if instrument.resolution else ""
    return f"{name}{read} {repeat} within {sizes[1]} (standard deviation)"


def not_measured(solved: PassSolution, known: Collection[str] = ()) -> Section | None:
    """List what the readings cannot give, and what would.

    Parameters
    ----------
    solved : PassSolution
        Results of the pass.
    known : collection of str
        Results that an earlier pass gave and nothing has disturbed since.

    Returns
    -------
    Section or None
        None where everything was measured.
    """
    by_need: dict[str, list[str]] = {}
    for name, need in solved.not_measured.items():
        if name not in known:
            by_need.setdefault(need, []).append(name_of(name))
    if not by_need:
        return None
    points = tuple(f"{', '.join(names)}: {need}." for need, names in by_need.items())
    return Section("What was not measured", (Points(points),))
