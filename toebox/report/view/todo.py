"""What to do next: which tie rod, which way, how far, and the readings to stop at."""

from __future__ import annotations

from toebox.correct.results import PassCorrection, RearCorrection, RodCorrection
from toebox.job.model import Job
from toebox.report.blocks import Block, Figure, Paragraph, Section, Steps, Table
from toebox.report.drawing import RotationData
from toebox.report.view.words import both_units, own_unit, reading_words
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution
from toebox.units import write

TURNING_CAUTION = (
    "Tie rods hold the wheels. Leave at least one thread diameter engaged, keep both ends' flats "
    "in line and the boots untwisted, tighten jam nuts and clamps to the torque in the maker's "
    "manual, and try the brakes and steering at walking pace first."
)
SEEN = "seen from the middle of the car, looking outwards along the rod"


def todo(job: Job, solved: PassSolution, correction: PassCorrection) -> Section:
    """Say what to do after a pass.

    Parameters
    ----------
    job : Job
        Units and tie rods.
    solved : PassSolution
        Results of the pass.
    correction : PassCorrection
        What to turn.

    Returns
    -------
    Section
        For the top of page one.
    """
    blocks: list[Block] = []
    if not correction.rods:
        missing = solved.not_measured.get("total_toe.front", "")
        text = f"Nothing can be said about the tie rods yet: front total toe {missing}."
        blocks.append(Paragraph(text, "strong"))
        return Section("What to do next", tuple(blocks), summary=True)
    blocks.append(Steps(tuple(_steps(job, solved, correction))))
    blocks += [_way(rod) for rod in correction.rods if rod.justified and rod.turns]
    blocks.append(_table(correction))
    blocks += [Paragraph(text, "note") for text in _notes(job, correction)]
    blocks.append(Paragraph(TURNING_CAUTION, "caution"))
    return Section("What to do next", tuple(blocks), summary=True)


def _steps(job: Job, solved: PassSolution, correction: PassCorrection) -> list[str]:
    steps = []
    if solved.doubtful:
        first = [d for d in solved.doubtful if d.group == 1]
        names = "; or ".join(reading_words(d.reading) for d in first)
        steps.append(f"Read again before you turn anything: {names}. It does not fit the others.")
    if correction.wheel_far_off:
        steps.append(
            "The steering wheel is far off centre. Centre the steering gear first (count the turns "
            "from lock to lock); only if the gear is centred and the wheel still crooked, move the "
            "wheel on its spline by the maker's manual. Then measure again."
        )
    steps += [_rear_step(job, wheel) for wheel in correction.rear]
    if correction.to_turn:
        steps.append("Clamp the steering wheel straight. Mark both tie rods, loosen the jam nuts.")
    steps += [_rod_step(job, rod) for rod in correction.rods]
    if correction.to_turn:
        steps.append(
            "Tighten the jam nuts, roll the car back and forward to settle it, measure again and "
            "add the readings as the next [[pass]]."
        )
    return steps


def _rear_step(job: Job, wheel: RearCorrection) -> str:
    name = f"{wheel.side.capitalize()} rear wheel"
    if not wheel.justified:
        return f"{name}: leave it; {_too_small(wheel.toe_change, wheel.u)}."
    text = f"{name}, before the front: change its toe by {_towards(wheel.toe_change)}"
    if wheel.stop_at_string is not None:
        text += f", until {string_words(wheel.stop_at_string, job)}"
    return text + "."


def _rod_step(job: Job, rod: RodCorrection) -> str:
    name = f"{rod.side.capitalize()} tie rod"
    if not rod.justified:
        return f"{name}: leave it; {_too_small(rod.toe_change, rod.u)}."
    if rod.direction == "leave" and rod.turns is not None:
        return (
            f"{name}: leave it; {_towards(rod.toe_change)} would be less than half of the smallest "
            "turn."
        )
    if rod.turns is not None:
        way = "clockwise" if rod.clockwise else "anticlockwise"
        text = f"{name}: {rod.direction} it by {write.turns(abs(rod.turns))}: turn {way}, {SEEN}"
    elif rod.length_change is not None:
        change = both_units(abs(rod.length_change), job)
        text = f"{name}: {rod.direction} it by {change}"
    else:
        text = f"{name}: change the toe of its wheel by {_towards(rod.toe_change)}"
    if rod.stop_at_string is not None:
        text += f". Stop when {string_words(rod.stop_at_string, job)}"
    return text + "."


def _way(rod: RodCorrection) -> Figure:
    way = "clockwise" if rod.clockwise else "anticlockwise"
    label = f"{rod.direction}: {write.turns(abs(rod.turns or 0.0))}, {way}"
    return Figure("rotation", RotationData(rod.side, rod.clockwise, label), "")


def _towards(change: float) -> str:
    return f"{write.degrees(abs(change))} towards toe-{'in' if change > 0.0 else 'out'}"


def _too_small(change: float, u: float) -> str:
    half = write.degrees(COVERAGE_FACTOR * u)
    return f"{_towards(change)} is less than these readings can prove (± {half})"


def string_words(front_minus_rear: float, job: Job) -> str:
    """Say what the rule shows on the string, front against rear edge of the rim.

    Parameters
    ----------
    front_minus_rear : float
        Front reading minus rear reading [m].
    job : Job
        For unit and fraction.

    Returns
    -------
    str
        For example ``its front edge reads 3/64 in more than its rear edge``.
    """
    size = own_unit(abs(front_minus_rear), job)
    if size == own_unit(0.0, job):
        return "its front and rear edges read the same on the string"
    more = "front edge reads" if front_minus_rear > 0.0 else "rear edge reads"
    less = "rear edge" if front_minus_rear > 0.0 else "front edge"
    return f"its {more} {size} more than its {less} on the string"


def _table(correction: PassCorrection) -> Table:
    columns = ["Tie rod", "Toe change", "95 %"]
    rows = [
        [rod.side.capitalize(), _towards(rod.toe_change), f"± {write.degrees(2.0 * rod.u)}"]
        for rod in correction.rods
    ]
    if all(rod.length_change is not None for rod in correction.rods):
        columns += ["Length"]
        for row, rod in zip(rows, correction.rods, strict=True):
            length = rod.length_change or 0.0
            word = "longer" if length > 0.0 else "shorter"
            row.append(f"{write.millimetres(abs(length), 2)} {word}")
    if all(rod.turns is not None for rod in correction.rods):
        columns += ["Exactly", "Turn"]
        for row, rod in zip(rows, correction.rods, strict=True):
            row.append(f"{write.signed(abs(rod.exact_turns or 0.0), 2)} turn")
            row.append(write.turns(abs(rod.turns or 0.0)) if rod.justified else "leave")
    return Table(tuple(columns), tuple(tuple(row) for row in rows), "l" * len(columns))


def _notes(job: Job, correction: PassCorrection) -> list[str]:
    notes = []
    if correction.stop_at_tape is not None and correction.tape_across is not None:
        notes.append(_tape_words(job, correction.stop_at_tape, correction.tape_across))
    remains = correction.remains
    if correction.to_turn:
        left = []
        if remains.total_toe is not None:
            left.append(f"{write.toe_words(remains.total_toe)} of total toe")
        if remains.steering_wheel is not None:
            left.append(f"the steering wheel {write.off_words(remains.steering_wheel)}")
        if left:
            notes.append(f"Turned as told, this should remain to the goals: {', '.join(left)}.")
    if correction.split_assumed:
        notes.append(
            "Both rods get the same share because nothing says where the steering wheel stands: "
            "this holds only if it is straight now. A road test would tell."
        )
    if correction.total_kept:
        notes.append("Total toe is kept as it is: the job has no goal for it, or no reading.")
    if not job.tie_rods:
        notes.append("With [tie_rods] in the job (arm length, threads) turns would be given too.")
    return notes


def _tape_words(job: Job, rear_minus_front: float, across: float) -> str:
    size = own_unit(abs(rear_minus_front), job)
    where = f"points {own_unit(across, job)} apart"
    if size == own_unit(0.0, job):
        return f"The tape across the front wheels reads the same at both edges then ({where})."
    word = "more" if rear_minus_front > 0.0 else "less"
    return (
        f"The tape across the front wheels reads {size} {word} at the rear edge than at the front "
        f"edge then ({where})."
    )
