"""What to do next: which tie rod, which way, how far, and the readings to stop at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from toebox.correct.results import PassCorrection, RodCorrection
from toebox.correct.stopping import check_within
from toebox.correct.stops import read_once, wobble_proven
from toebox.correct.wanted import TOTAL
from toebox.job.model import Job, axle_of
from toebox.report.blocks import Block, Figure, Paragraph, Section, Steps
from toebox.report.drawing import RotationData
from toebox.report.view.basis import UNUSUAL
from toebox.report.view.cautions import WHEN_TURNING
from toebox.report.view.gear import before_steps, clamp_words, spline_steps
from toebox.report.view.leave import kept_words, leave_step, once_set
from toebox.report.view.rods import (
    amount_of,
    engagement_table,
    engagement_words,
    rod_step,
    rod_table,
    string_words,
    way_of,
)
from toebox.report.view.slips import first_doubt, look_first
from toebox.report.view.wheels import CAUTION, rear_kept, rear_step
from toebox.report.view.words import (
    and_,
    both_units,
    half_width,
    name_of,
    off_by,
    own_unit,
    wheel_off,
)
from toebox.solve.results import PassSolution, Solution
from toebox.units import write

if TYPE_CHECKING:
    from toebox.correct.adjusters import AdjusterPlan

HEADING = "What to do next"
SPLINE_NEEDS = {
    "ratio": "the steering wheel is to be moved on its spline, and how far that turns the front "
    "wheels is known only with the car's steering_ratio",
    "road test": "the steering wheel is to be moved on its spline, and nothing in this pass says "
    "where it stands while the car runs straight; a road test (steering_wheel_off) would",
}

TOE_LATER = (
    "First do what stands under 'Order of work'. It moves toe: read it again in a new pass then. "
    "What to do at the tie rods follows from those readings; by what was read up to now turn none."
)

REAR_FIRST = (
    "First read what stands under 'Order of work': the front is set along the line of the rear "
    "wheels. By what was read up to now turn no tie rod."
)

LOOK_FIRST = f"Look first at what the report lists under '{UNUSUAL}'."

AS_CLAMPED = (
    "Leave the steering wheel clamped as it was when the strings were last read; if it has been "
    "loose since, clamp it straight and read the strings again before you turn anything"
)


def todo(
    job: Job,
    solved: PassSolution,
    correction: PassCorrection,
    plan: AdjusterPlan | None = None,
    first: Sequence[str] = (),
) -> Section:
    """Say what to do after a pass.

    Parameters
    ----------
    job : Job
        Units and tie rods.
    solved : PassSolution
        Results of the pass.
    correction : PassCorrection
        What to turn.
    plan : AdjusterPlan or None, optional
        What to move at the adjusters, for rear toe; None for a job without.
    first : sequence of str
        Steps before all others, as of `first_of_all`.

    Returns
    -------
    Section
        For the top of page one.
    """
    if not correction.rods:
        return Section(HEADING, _without_rods(job, solved, correction, plan, first), summary=True)
    if plan is not None and plan.rods_wait:
        return Section(HEADING, _toe_later(job, correction, plan, first), summary=True)
    blocks: list[Block] = [Steps(tuple(_steps(job, solved, correction, plan, first)))]
    blocks += [_way(rod) for rod in correction.rods if _turns(rod)]
    blocks += [Paragraph(text, "strong") for text in engagement_words(job, correction)]
    blocks += _cautions(correction, plan)
    if not correction.judged:
        return Section(HEADING, tuple(blocks), summary=True)
    blocks.append(rod_table(job, correction))
    table = engagement_table(job, correction)
    if correction.to_turn and table is not None:
        blocks.append(table)
    blocks += [Paragraph(text, "note") for text in _notes(job, solved, correction)]
    return Section(HEADING, tuple(blocks), summary=True)


def _without_rods(
    job: Job,
    solved: PassSolution,
    correction: PassCorrection,
    plan: AdjusterPlan | None,
    first: Sequence[str],
) -> tuple[Block, ...]:
    """Say what can be said where nothing is known of the front wheels."""
    missing = solved.not_measured.get("total_toe.front", "")
    why = SPLINE_NEEDS.get(correction.spline_needs, f"front total toe {missing}")
    text = f"Nothing can be said about the tie rods yet: {why}."
    steps = [*first, *_before(job, solved, correction, plan), *_closing(job, correction)]
    told = [Steps(tuple(steps))] if steps else []
    return (Paragraph(text, "strong"), *told, *_cautions(correction, plan))


def _toe_later(
    job: Job, correction: PassCorrection, plan: AdjusterPlan, first: Sequence[str]
) -> tuple[Block, ...]:
    """Tell nothing of the tie rods where what comes before them moves toe."""
    steps = [*first, *(rear_step(job, wheel, plan) for wheel in correction.rear)]
    rear = PassCorrection(rear=correction.rear)
    told = [Steps(tuple(steps + _closing(job, rear)))] if steps else []
    text = TOE_LATER if plan.to_turn else REAR_FIRST
    return (Paragraph(text, "strong"), *told, *_cautions(rear, plan))


def _cautions(correction: PassCorrection, plan: AdjusterPlan | None) -> list[Paragraph]:
    if not _anything(correction):
        return []
    told = plan is not None and plan.to_turn  # the order of work has it then
    rear = (CAUTION,) if correction.sets_rear and not told else ()
    texts = (*rear, *WHEN_TURNING)
    return [Paragraph(text, "caution") for text in texts]


def _anything(correction: PassCorrection) -> bool:
    """Return whether anything is to be turned, front or rear."""
    return correction.to_turn or correction.sets_rear


def _steps(
    job: Job,
    solved: PassSolution,
    correction: PassCorrection,
    plan: AdjusterPlan | None,
    first: Sequence[str],
) -> list[str]:
    steps = [*first, *_before(job, solved, correction, plan)]
    if not any(rod.justified for rod in correction.rods):
        return [*steps, leave_step(job, solved, correction), *_closing(job, correction)]
    if correction.to_turn:
        steps += _where_arms_lie(job, correction)
        steps.append(_clamp(solved, correction))
    steps += [rod_step(job, correction, rod) for rod in correction.rods]
    return steps + _closing(job, correction)


def _before(
    job: Job, solved: PassSolution, correction: PassCorrection, plan: AdjusterPlan | None
) -> list[str]:
    """Say what comes before the tie rods: what was turned, the gear, the rear wheels."""
    rear = [rear_step(job, wheel, plan) for wheel in correction.rear]
    return [*_unwritten(job, solved, correction), *before_steps(job, correction), *rear]


def first_of_all(
    solution: Solution, correction: PassCorrection, by: int, plan: AdjusterPlan | None = None
) -> list[str]:
    """Say what to look at before anything is turned.

    Parameters
    ----------
    solution : Solution
        A solved job.
    correction : PassCorrection
        What to turn at the tie rods.
    by : int
        Number of the pass that tells it, the first is 0.
    plan : AdjusterPlan or None, optional
        What to move, by the readings of this and other passes; None for a job without adjusters.

    Returns
    -------
    list of str
        Steps: ends of tie rods that hardly hold, readings that do not fit, values that look
        unusual.
    """
    steps = _unsafe(solution.job, correction)
    moved = plan.outcomes if plan is not None and plan.to_turn else ()
    for number in sorted({by, *(outcome.standing.number for outcome in moved)}):
        solved = solution.passes[number]
        if number == by:
            steps += look_first(solution.job, solved)
        elif solved.doubtful:
            steps.append(f"In the pass {solved.label!r}. {first_doubt(solved)}")
    if solution.job.doubts and _matters(solution.passes[by], correction, plan):
        steps.append(_unusual(solution.job.doubts))
    return steps


def _unusual(doubts: Sequence[str]) -> str:
    """Point to the values that look unusual; a single one is told on the spot."""
    if len(doubts) > 1:
        return LOOK_FIRST
    end = "" if doubts[0].endswith("?") else "."
    return f"{LOOK_FIRST} It is this one: {doubts[0]}{end}"


def _matters(solved: PassSolution, correction: PassCorrection, plan: AdjusterPlan | None) -> bool:
    """Return whether anything is wanted to be changed, or a goal proven to be missed."""
    wanted = any(rod.justified for rod in correction.rods) or _anything(correction)
    moved = plan is not None and plan.to_turn
    return wanted or moved or any(solved.outcome(goal) == "outside" for goal in solved.decisions)


def _unwritten(job: Job, solved: PassSolution, correction: PassCorrection) -> list[str]:
    """Ask what was turned before this pass, where that would tell what it does not measure."""
    later = bool(job.passes) and solved.readings is not job.passes[0]
    readings = solved.readings
    told = readings.turned or readings.moved or readings.turns_unknown
    unread = correction.split_assumed or (correction.total_kept and "total_toe.front" in job.goals)
    if not (later and unread) or told:
        return []
    return [
        "Write first what was turned before this pass (turned), or that nothing was (not turned): "
        "then what the passes before it found of the front wheels counts still."
    ]


def _unsafe(job: Job, correction: PassCorrection) -> list[str]:
    """Name ends with too little thread to drive on."""
    return [
        f"Stop: the {end.end} end of the {rod.side} tie rod has {both_units(end.before, job)} of "
        f"thread engaged{' by the turns counted' * rod.uncounted}, less than half a diameter. The "
        "car is not safe to drive: find out why before anything else."
        for rod in correction.rods
        for end in rod.ends
        if not end.holds
    ]


def _closing(job: Job, correction: PassCorrection) -> list[str]:
    """Say how to end: tighten, then move the steering wheel on its spline, settle, measure."""
    settle = (
        "Roll the car back, then forward by a full turn of its wheels, so that it settles, and "
        "measure again; in a job those readings are the next [[pass]]"
    )
    spline, tighten = spline_steps(correction), []
    moved = correction.sets_rear and any(axle_of(a.wheel) == "rear" for a in job.adjusters)
    if correction.to_turn:
        loose = ", and what was loosened at the rear wheels" if correction.sets_rear else ""
        tighten = [f"Tighten the jam nuts or clamps{loose}."]
        settle += f", with what you turned{' and moved' * moved}"
    elif correction.sets_rear:
        tighten = ["Tighten what was loosened at the rear wheels."]
        settle += ", with what you moved" * moved
    if spline:
        return [*tighten, *spline, f"{settle}."]
    return [f"{tighten[0]} {settle}."] if tighten else []


def _where_arms_lie(job: Job, correction: PassCorrection) -> list[str]:
    """Ask for what decides which way a turn goes, where nothing says it."""
    guessed = [
        rod
        for rod in correction.rods
        if rod.direction in ("lengthen", "shorten") and _is_guessed(job, rod)
    ]
    if not guessed:
        return []
    return [
        "Look first where the tie rods meet the wheels. Nothing says so (steering_arm): the turns "
        "below are for tie rods behind the front axle line. If they lie ahead of it, every turn "
        "goes the other way."
    ]


def _is_guessed(job: Job, rod: RodCorrection) -> bool:
    """Return whether neither the job nor a pass says which way a turn moves the wheel."""
    seen = rod.effect is not None and rod.effect.observed is not None
    return not seen and rod.side in job.tie_rods and not job.tie_rods[rod.side].arm_side_stated


def _clamp(solved: PassSolution, correction: PassCorrection) -> str:
    gear = correction.gear
    what = AS_CLAMPED if solved.clamped else "Clamp the steering wheel straight"
    if gear and gear.wrong_spline:
        what = clamp_words(gear)
    sides = [rod.side for rod in correction.rods if rod.to_set]
    if len(sides) == 1:
        side = sides[0]
        loosen = f"the {side} tie rod ({side} as the driver sits) and loosen its jam nuts or clamps"
    else:
        loosen = (
            "both tie rods (left and right as the driver sits) and loosen their jam nuts or clamps"
        )
    return f"{what}. Mark {loosen}. Count what you turn."


def _turns(rod: RodCorrection) -> bool:
    return rod.clockwise is not None and rod.to_set


def _way(rod: RodCorrection) -> Figure:
    label = f"{rod.direction}: {amount_of(rod)}, {way_of(rod)}"
    return Figure("rotation", RotationData(rod.side, rod.clockwise, label), "")


def _notes(job: Job, solved: PassSolution, correction: PassCorrection) -> list[str]:
    notes = rear_kept(job, solved, correction) + kept_words(job, solved, correction)
    if correction.to_turn:
        notes += _remaining(job, solved, correction)
    if _anything(correction):
        notes += _means(job, solved, correction)
    for name in correction.carried:
        notes.append(
            f"{name_of(name)} was not measured in this pass: it is carried over from the passes "
            "before by what was turned since. Measure it again to be sure."
        )
    if correction.split_assumed:
        when = once_set(correction) or "now"
        goal = job.goals.get("steering_wheel")
        where = "is straight"
        if goal is not None and goal.value:
            where = f"stands at its goal, {write.off_words(goal.value)},"
        notes.append(
            "Both rods get the same share because nothing in this pass says where the steering "
            f"wheel stands: this holds only if it {where} {when}. {_would_tell(job, solved)}"
        )
    if correction.total_kept:
        why = "no reading in this pass" if TOTAL in job.goals else "no goal for it"
        notes.append(f"Total toe is kept as it is: there is {why}.")
    if not job.tie_rods:
        notes.append(
            "With the arm length and threads of the tie rods (in a job: [tie_rods]) turns would be "
            "given too."
        )
    return notes


def _would_tell(job: Job, solved: PassSolution) -> str:
    """Say what would tell how the steering wheel stands."""
    if solved.readings.steering_wheel_off and job.car.steering_ratio is None:
        return "The road test would tell with the car's steering_ratio."
    return "A road test would tell."


def _means(job: Job, solved: PassSolution, correction: PassCorrection) -> list[str]:
    """Say that readings to stop at are means, and what the rule shows at one position."""
    rods = [r for r in correction.rods if r.to_set and r.stop_at_string is not None]
    once = [f"{rod.side}_front" for rod in rods]
    once += [f"{wheel.side}_rear" for wheel in correction.rear if wheel.to_set]
    read = [wheel for wheel in once if wheel in solved.readings.string]
    if any(read_once(solved, wheel) for wheel in read):
        every = all(read_once(solved, wheel) for wheel in read)
        which = "the wheels" if every else "wheels that were read in one position"
        return [
            f"On the string, the readings to stop at are for {which} as they stood then: till then "
            "roll the car by whole turns of the wheels only."
        ]
    strings = [solved.readings.string[f"{rod.side}_front"] for rod in rods]
    if all(len(edges.front) < 2 for edges in strings):
        return []
    text = "On the string, the readings to stop at are means, as the rims were read"
    if any(rod.stop_at_valve is None for rod in rods):
        return [f"{text}: of all positions. At one of them a rim that wobbles reads more or less."]
    true = [rod for rod in rods if not wobble_proven(job, solved, f"{rod.side}_front")]
    told = [f"{text}: of valve up and valve down."]
    if true:
        which = "Both front rims run" if len(true) > 1 else f"The {true[0].side} front rim runs"
        told.append(
            f"{which} so true that valve up and valve down differ by no more than readings do: "
            "stop at the same reading in both."
        )
    return [*told, *(_wobble(job, rod) for rod in rods if rod not in true)]


def _wobble(job: Job, rod: RodCorrection) -> str:
    """Say what the rule shows at one wheel with the valve up, and with the valve down."""
    up, down = (string_words(stop, job) for stop in rod.stop_at_valve or (0.0, 0.0))
    wheel = f"{rod.side.capitalize()} front wheel"
    if up == down:
        return f"{wheel}: its rim wobbles so little that the reading is the same for both."
    return f"{wheel}: its rim wobbles. With the valve up stop when {up}; with it down, when {down}."


def _check(job: Job, solved: PassSolution, correction: PassCorrection) -> str:
    """Say what a reading beside turns that are surer is for."""
    told = [rod for rod in correction.rods if rod.turns]
    within = max(check_within(job, solved, rod) or 0.0 for rod in told)
    string = all(rod.stop_at_string is not None for rod in told)
    return (
        "Go by the turns: one reading at the stop tells less surely how the wheels stand. A check "
        f"on the {'string' if string else 'tape'} that differs by less than "
        f"{own_unit(within, job)} changes nothing; look for the cause where it differs by more."
    )


def _remaining(job: Job, solved: PassSolution, correction: PassCorrection) -> list[str]:
    remains, left = correction.remains, []
    if remains.total_toe is not None and remains.u_total_toe is not None:
        half = half_width(remains.u_total_toe)
        if not correction.total_kept:
            left.append(f"total toe {off_by(TOTAL, remains.total_toe)} (± {half})")
        elif write.degrees(abs(remains.total_toe)) != write.degrees(0.0):
            left.append(f"a change of total toe by {write.toe_words(remains.total_toe)}")
    if remains.steering_wheel is not None and remains.u_steering_wheel is not None:
        half = half_width(remains.u_steering_wheel, 1)
        where = wheel_off(remains.steering_wheel, job.goals.get("steering_wheel"))
        once = " once it is moved on its spline" if correction.wrong_spline else ""
        left.append(f"the steering wheel {where}{once} (± {half})")
    if not left:
        return []
    rest = f"this should remain to the goals: {', '.join(left)}."
    rounded = [rod for rod in correction.rods if rod.turns]
    reads = any(rod.stop_at_string is not None or rod.stop_at_tape is not None for rod in rounded)
    if not reads or correction.by_turns:
        return [f"Done as told, {rest}"]
    if correction.turns_surer:
        return [f"Done as told, {rest} {_check(job, solved, correction)}"]
    kept = [name_of(name).lower() for name in correction.kept]
    are = f"leave the {and_(kept)} as found" if kept else "are those of the goals"
    return [
        f"By these turns alone, rounded as they are, {rest} The readings to stop at {are}: where "
        "the two differ, go by the readings."
    ]
