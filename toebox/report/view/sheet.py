"""A sheet for pencil: what to see to, where to hold the rule, and a box for every key."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from toebox.correct.results import PassCorrection, RodCorrection
from toebox.correct.stops import more_than_mean
from toebox.job.adjusters import NOT_MOVED
from toebox.job.reader import still_to_come
from toebox.job.so_far import NO_READINGS, is_read
from toebox.job.values import PLANNED
from toebox.report.blocks import Block, Figure, Paragraph, Points
from toebox.report.sheet import Beside, Form, Part, Sheet, SheetBlock, Ticks
from toebox.report.view import sheet_forms as forms
from toebox.report.view.blanks import Blanks
from toebox.report.view.cautions import CAUTIONS
from toebox.report.view.rods import string_words, tape_words
from toebox.report.view.whole import what_next
from toebox.solve.results import Solution

TITLE = "Sheet for the readings"
HOW = (
    "Fill in what you measure and leave out the rest. The names in bold are the keys of the job "
    "file, in its order and words.",
    "Left and right as the driver sits. Lengths as the rule shows them, such as 3 15/16 in or "
    "101.5; angles in degrees, such as 0.15, or in degrees and minutes, such as 0°09′.",
)
BEFORE = (
    "Tyres: pressures as the maker says, tyres cold; the same size and about the same wear on both "
    "wheels of an axle.",
    "Load: as the car is driven; nothing heavy on one side.",
    "Play: joints, tie-rod ends and wheel bearings are tight. Whatever is loose or bent is mended "
    "before anything is measured.",
    "Floor: level under all four tyres, or its heights are written down below.",
    "Settled: rolled forward a full turn of the wheels, rocked at both ends, free on its wheels; "
    "chocked, the brakes not dragging.",
    "Steering: straight and clamped, after the road test and before strings, tape and gauge. On "
    "turn plates it is freed for the sweep alone; the rear wheels then stand on blocks as high as "
    "the plates.",
)
STRINGS_KEPT = (
    "With car and strings left where they stood in the last pass, a wheel {} when (as the "
    "mean of valve up and valve down)"
)


class _Step(NamedTuple):
    """One step of measuring: the keys that it gives, and what stands on the sheet."""

    heading: str
    keys: tuple[str, ...]
    instrument: str
    pictures: tuple[str, ...]
    forms: Callable[[Blanks], tuple[Form, ...]]


STEPS = (
    _Step(
        "Steering wheel", ("steering_wheel_off", "turns_to_lock"), "road_test", ("off",), forms.road
    ),
    _Step("Wheelbase", ("wheelbase_left", "wheelbase_right"), "", ("sides",), forms.wheelbases),
    _Step("Floor", ("floor",), "", ("slope",), forms.floor),
    _Step("Turn plates", ("turn",), "turn_plates", ("plates",), forms.turn),
    _Step("Strings", ("string",), "string_rule", ("rule", "valves", "settle"), forms.strings),
    _Step("Tape", ("tape",), "tape", ("hub_height", "tape", "toe_plates"), forms.tape),
    _Step(
        "Inclinometer", ("inclinometer",), "inclinometer", ("gauge", "sweep"), forms.inclinometer
    ),
)

def make_sheet(
    written: Mapping[str, Any] | None = None,
    solution: Solution | None = None,
    corrections: tuple[PassCorrection, ...] = (),
) -> Sheet:
    """Make a sheet: blank, or for the next pass of a job.

    Parameters
    ----------
    written : mapping or None
        The job file as it was written; None for a blank sheet.
    solution : Solution or None
        The job solved, where it has results.
    corrections : tuple of PassCorrection
        What to turn after each of its passes.

    Returns
    -------
    Sheet
        Every key of the job file has a box. For a job, the readings that it uses come first,
        and what it knows already is filled in.
    """
    if written is None:
        return _blank()
    make = Blanks(_next(written))
    last = f" after: {solution.passes[-1].label}" if solution is not None else ""
    date = solution.job.date if solution is not None else None
    used = [step for step in STEPS if _used(step, written)]
    measure = _measure(written)
    if measure:  # what was told then is not to be done twice
        solution, corrections = None, ()
    parts = [
        *(measure or _turning(solution, corrections)),
        *_before(make, apart=False),
        *(_part(step, make, _right_when(step, solution, corrections)) for step in used),
        *_known(make, apart=True),
        *(_part(step, make, (), "Also possible: ") for step in STEPS if step not in used),
        *_rest(make),
    ]
    title = written.get("title", PLANNED)
    which = "next" if solution is not None or len(_passes(written)) > 1 else "first"
    told = (f"Sheet for the {which} pass{last}.", *HOW)
    return Sheet(TITLE if title == PLANNED else str(title), told, tuple(parts), date)


def _blank() -> Sheet:
    """Return a sheet with nothing filled in, in the order of the job file."""
    make = Blanks({})
    known = _known(make, apart=False)
    readings = [*_before(make, apart=True), *(_part(step, make, ()) for step in STEPS)]
    return Sheet(TITLE, HOW, (*known, *readings, *_rest(make)))


def _known(make: Blanks, *, apart: bool) -> list[Part]:
    """Return the parts that are filled in once for a car."""
    return [
        Part("The job", forms.the_job(make), apart),
        Part("Car [car]", (_strip("wheelbase", "diameters", "track"), *forms.car(make))),
        Part("Instruments [instruments]", forms.instruments(make), not apart),
        Part("Goals [goal]", (_strip("toe", "thrust", "camber"), *forms.goals(make))),
        Part("Tie rods [tie_rods]", (_strip("arm", "threads"), *forms.tie_rods(make)), whole=True),
        Part(
            "Adjusters [[adjuster]]",
            (_strip("lever", "cam"), *forms.adjusters(make)),
            whole=True,
        ),
    ]


def _before(make: Blanks, *, apart: bool) -> list[Part]:
    """Return what to see to before measuring, and the name of the pass."""
    cautions = [Paragraph(text, "caution") for text in CAUTIONS[:2]]
    begin = Beside(_strip("clamp"), forms.begin(make))
    return [
        Part("Before measuring", (Ticks(BEFORE), *cautions), apart),
        Part("This pass [[pass]]", (begin,)),
    ]


def _part(step: _Step, make: Blanks, right_when: tuple[Block, ...], before: str = "") -> Part:
    """Return one step of measuring."""
    made = step.forms(make)
    table = f" [pass.{step.keys[0]}]" if len(step.keys) == 1 and len(made[0].groups) > 1 else ""
    blocks: tuple[SheetBlock, ...] = (_strip(*step.pictures), *right_when, *made)
    if len(step.pictures) == 1:
        blocks = (Beside(_strip(*step.pictures), made[0]), *right_when, *made[1:])
    if step.keys[0] == "string":
        blocks = (Figure("setup", None, ""), *blocks)
    whole = step.keys != ("string",)
    return Part(f"{before}{step.heading}{table}", blocks, whole=whole)


def _strip(*names: str) -> Figure:
    """Return a row of small pictures."""
    return Figure("steps", names, "")


def _rest(make: Blanks) -> list[Part]:
    """Return a part for readings that no step has."""
    return [Part("More readings", (form,)) for form in forms.others(make.rest("pass"))]


def _turning(solution: Solution | None, corrections: tuple[PassCorrection, ...]) -> list[Part]:
    """Return what to do before the next pass."""
    if solution is None:
        return []
    sections = what_next(solution, corrections)
    return [Part(section.heading, section.blocks) for section in sections if section is not None]


def _right_when(
    step: _Step, solution: Solution | None, corrections: tuple[PassCorrection, ...]
) -> tuple[Block, ...]:
    """Say what the rule and the tape read when the front wheels that are to be set are right."""
    if solution is None or not corrections[-1].to_turn:
        return ()
    correction = corrections[-1]
    job = solution.job
    if step.keys == ("tape",):
        if correction.stop_at_tape is None or correction.tape_across is None:
            return ()
        if any(rod.refused for rod in correction.rods):
            return ()
        words = tape_words(job, correction.stop_at_tape, correction.tape_across)
        when = "Done as told" if correction.by_turns else "With both front wheels right"
        return (Paragraph(f"{when}, {words}.", "strong"),)
    if step.keys != ("string",):
        return ()
    if _moved_first(solution):
        return ()
    points = tuple(
        f"{rod.side.capitalize()} front wheel: {string_words(_mean(solution, rod), job)}."
        for rod in correction.rods
        if rod.stop_at_string is not None and not rod.refused
    )
    when = STRINGS_KEPT.format("stands as told" if correction.by_turns else "is right")
    return (Paragraph(f"{when}:", "strong"), Points(points)) if points else ()


def _moved_first(solution: Solution) -> bool:
    """Return whether adjusters that move front toe are to be moved before the rods are turned."""
    if not solution.job.adjusters:
        return False
    from toebox.correct.adjusters import plan_adjusters

    return plan_adjusters(solution).rods_wait


def _mean(solution: Solution, rod: RodCorrection) -> float:
    """Return the reading to stop at as the mean of all positions: the car is rolled by then."""
    more = more_than_mean(solution.passes[-1], f"{rod.side}_front")
    return (rod.stop_at_string or 0.0) - more


def _next(written: Mapping[str, Any]) -> dict[str, Any]:
    """Return what is known before the next pass: all but the readings; of those what stays."""
    across = {}
    for readings in _passes(written):
        tapes = readings.get("tape")
        for axle, tape in tapes.items() if isinstance(tapes, Mapping) else ():
            if "across" in tape:
                across[axle] = {"across": tape["across"]}
    begun = {"turned": done} if (done := _turned(written)) else {}
    if _half_read(written):
        begun = {**_passes(written)[-1], **begun}
    return {**written, "pass": {"tape": across, **begun}}


def _turned(written: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return what the last pass says was turned before it, where its readings are still open."""
    last = _passes(written)[-1:]
    read = last and not still_to_come(last[0]) and set(last[0]) - NO_READINGS
    turned = last[0].get("turned") if last and not read else None
    told = turned if isinstance(turned, Mapping) else {}
    return {name: way for name, way in told.items() if way != PLANNED}


def _measure(written: Mapping[str, Any]) -> list[Part]:
    """Say why nothing is to be turned before this pass is measured; empty where nothing is."""
    turned = _turned(written)
    moved = any(str(told).lower() not in {*NOT_MOVED, "0"} for told in turned.values())
    if _half_read(written):
        text = (
            "The job has some readings of this pass, and others are open: take those, or leave "
            "them out of the job, before you turn anything."
        )
    elif moved:
        told = "; ".join(f"{name}: {way}" for name, way in turned.items())
        text = (
            f"The job says what was turned since ({told}): measure before you turn anything more."
        )
    else:
        return []
    return [Part("What to do next", (Paragraph(text, "strong"),))]


def _half_read(written: Mapping[str, Any]) -> bool:
    """Return whether the last pass has readings, and others that are open."""
    return any(still_to_come(one) and is_read(one) for one in _passes(written)[-1:])


def _passes(written: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Return the passes of a job file; not what stands in the place of one."""
    return [one for one in written.get("pass", ()) if isinstance(one, Mapping)]


def _used(step: _Step, written: Mapping[str, Any]) -> bool:
    """Tell whether a job uses a kind of reading; one without passes, by its instruments."""
    passes = _passes(written)
    if passes:
        return any(key in readings for readings in passes for key in step.keys)
    stated = written.get("instruments", {})
    return not stated or step.instrument in stated
