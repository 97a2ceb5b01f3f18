"""One tie rod in words: turns, flats, degrees, the way to rotate, readings to stop at, thread."""

from __future__ import annotations

from toebox.correct.engagement import LARGE_IMBALANCE, End
from toebox.correct.results import PassCorrection, RodCorrection
from toebox.job.model import Job, TieRod
from toebox.report.blocks import Table
from toebox.report.view.words import both_units, finely, half_width, no_change, own_unit, towards
from toebox.units import write

SEEN = "seen from the middle of the car, looking outwards along the rod"
MANY_TURNS = 4.0  # common practice, no published source


def amount_of(rod: RodCorrection) -> str:
    """Return how far to turn a rod: turns, flats and degrees.

    Parameters
    ----------
    rod : RodCorrection
        With turns.

    Returns
    -------
    str
        For example ``1/2 turn (3 flats, 180°)``.
    """
    turns = abs(rod.turns or 0.0)
    return f"{write.turns(turns)} ({write.flats(turns)}, {write.signed(360.0 * turns, 0)}°)"


def way_of(rod: RodCorrection) -> str:
    """Return the way to rotate: ``clockwise`` or ``anticlockwise``; empty where not known."""
    return {True: "clockwise", False: "anticlockwise", None: ""}[rod.clockwise]


def part_of(tie_rod: TieRod) -> str:
    """Return what is turned: the rod, a sleeve with opposite hands, or a differential adapter."""
    outer, inner = tie_rod.outer_thread, tie_rod.inner_thread
    if outer is None or inner is None:
        return "rod"
    return "sleeve" if outer.left_hand != inner.left_hand else "adapter"


def rod_step(job: Job, correction: PassCorrection, rod: RodCorrection) -> str:
    """Say what to do at one tie rod.

    Parameters
    ----------
    job : Job
        Units and threads.
    correction : PassCorrection
        What to turn after the pass.
    rod : RodCorrection
        One of its rods.

    Returns
    -------
    str
        One step.
    """
    name = f"{rod.side.capitalize()} tie rod"
    if refused := _refused(rod):
        return f"{name}: {refused}"
    if rod.withheld == "effect":
        text = (
            f"{name}: find out first why turning it did not do {_expected(rod)} (see What one turn "
            f"does). Its wheel still wants {towards(rod.toe_change)}; go by the readings"
        )
    elif rod.turns is None and not rod.to_set and no_change(rod.toe_change):
        return f"{name}: leave it; its wheel stands where it should."
    elif rod.direction == "leave" and rod.limited:
        return f"{name}: leave it; {towards(rod.toe_change)} would take more thread than it has."
    elif rod.direction == "leave":
        return f"{name}: leave it; {towards(rod.toe_change)} {_why_left(job, correction, rod)}."
    else:
        text = f"{name}: {_turn(job, rod)}"
    if rod.turns and any(end.short or rod.uncounted for end in rod.ends):
        text += ". Read first what is said below about its thread"
    return " ".join([f"{text}.", *_stops(job, correction, rod)])


def _refused(rod: RodCorrection) -> str:
    """Say why a rod is not to be turned by anything told here; empty where that is not so."""
    if rod.withheld == "beyond":
        return (
            f"do not turn it. {towards(rod.toe_change).capitalize()} is more than tie rods are "
            "meant to make: look for a bent part or a wrong reading first."
        )
    if rod.withheld == "other":
        return "do not turn it before the fault at the other one is found."
    if rod.withheld == "rear":
        return (
            "do not turn it before the fault at the rear wheels is found; the front ones are set "
            "along their line."
        )
    if rod.withheld != "effect":
        return ""
    if any(not end.holds for end in rod.ends):
        return (
            f"do not turn it. Find out first why turning it did not do {_expected(rod)} (see What "
            "one turn does), and how much thread it has left."
        )
    if not rod.to_set:
        return (
            "leave it; its wheel stands where it should. Find out all the same why turning it did "
            f"not do {_expected(rod)} (see What one turn does)."
        )
    return ""


def _expected(rod: RodCorrection) -> str:
    """Say against what the passes speak."""
    cause = rod.effect.cause if rod.effect else ""
    if cause == "passes":
        return "the same in every pass"
    return "what its arm must do" if cause == "sense" else "what thread and arm say"


def _why_left(job: Job, correction: PassCorrection, rod: RodCorrection) -> str:
    """Say why a rod is left of which a change is wanted."""
    step = job.tie_rods.get(rod.side, TieRod()).smallest_turn
    if rod.exact_turns is not None and abs(rod.exact_turns) < step / 2.0:
        return "is less than half of the smallest turn"
    if not any(other.turns for other in correction.rods):
        return "by itself, without the other rod, would put one goal right at the cost of another"
    return "is better made by the other rod alone, as turns are rounded"


def _turn(job: Job, rod: RodCorrection) -> str:
    """Say what to turn, and how far."""
    if rod.turns is None and rod.length_change is not None:
        return f"{rod.direction} it by {finely(abs(rod.length_change), job)}"
    if rod.turns is None:
        return f"change the toe of its wheel by {towards(rod.toe_change)}"
    text = f"{rod.direction} it by {amount_of(rod)}"
    if rod.clockwise is not None:
        text += f": turn the {part_of(job.tie_rods[rod.side])} {way_of(rod)}, {SEEN}"
    if rod.limited:
        text += f". {write.turns(abs(rod.exact_turns or 0.0))} would be wanted, but the thread ends"
    return text


def _stops(job: Job, correction: PassCorrection, rod: RodCorrection) -> list[str]:
    """Say what rule and tape read when a rod is turned far enough."""
    told = []
    if rod.stop_at_string is not None:
        words = string_words(rod.stop_at_string, job)
        when = "As a rough check," if correction.turns_surer else "Stop when"
        told.append(f"{when} {words}.")
    if rod.stop_at_tape is not None and correction.tape_across is not None:
        when = "Done as told" if correction.by_turns else "With both rods right"
        first = rod.side == "left" and all(other.to_set for other in correction.rods)
        if first or any(other.refused for other in correction.rods):
            when = "With this rod turned"
        if correction.turns_surer and rod.stop_at_string is None:
            when = f"As a rough check, {when[0].lower()}{when[1:]}"
        told.append(f"{when}, {tape_words(job, rod.stop_at_tape, correction.tape_across)}.")
    return told


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
        For example ``the rim's front edge reads 3/64 in more than its rear edge on the string``.
    """
    size = own_unit(abs(front_minus_rear), job)
    if size == own_unit(0.0, job):
        return "the rim's front and rear edges read the same on the string"
    more = "front edge reads" if front_minus_rear > 0.0 else "rear edge reads"
    less = "rear edge" if front_minus_rear > 0.0 else "front edge"
    return f"the rim's {more} {size} more than its {less} on the string"


def tape_words(job: Job, rear_minus_front: float, across: float) -> str:
    """Say what the tape across the front wheels shows, rear against front edge.

    Parameters
    ----------
    job : Job
        For unit and fraction.
    rear_minus_front : float
        Rear reading minus front reading [m].
    across : float
        How far apart the two points of one wheel are [m].

    Returns
    -------
    str
        For example ``the tape reads 1/16 in more at the rear edge than at the front edge``.
    """
    size = own_unit(abs(rear_minus_front), job)
    where = f"points {own_unit(across, job)} apart"
    if size == own_unit(0.0, job):
        return f"the tape reads the same at both edges ({where})"
    word = "more" if rear_minus_front > 0.0 else "less"
    return f"the tape reads {size} {word} at the rear edge than at the front edge ({where})"


def rod_table(job: Job, correction: PassCorrection) -> Table:
    """Return both rods as a table.

    Parameters
    ----------
    job : Job
        For the unit.
    correction : PassCorrection
        What to turn after a pass, rods included.

    Returns
    -------
    Table
        Change of toe and length, exact and rounded turns, as far as known.
    """
    rods = correction.rods
    columns = ["Tie rod", "Toe change", "95 %"]
    rows = [
        [rod.side.capitalize(), towards(rod.toe_change), f"± {half_width(rod.u)}"] for rod in rods
    ]
    doubted = any(rod.effect is not None and rod.effect.against_arm for rod in rods)
    if not doubted and all(rod.length_change is not None for rod in rods):
        columns.append("Length")
        for row, rod in zip(rows, rods, strict=True):
            row.append(_length_words(rod.length_change or 0.0, job))
    if any(rod.exact_turns is not None for rod in rods):
        columns += ["Exactly", "Turn"]
        for row, rod in zip(rows, rods, strict=True):
            exact = rod.exact_turns
            row.append("" if exact is None else _exactly(abs(exact)))
            row.append(_turns_word(rod))
    return Table(tuple(columns), tuple(tuple(row) for row in rows), "l" * len(columns))


def _turns_word(rod: RodCorrection) -> str:
    if rod.direction == "leave":
        return "leave"
    if rod.turns is None:
        return "by its readings"
    turns = write.turns(abs(rod.turns))
    against = rod.turns * (rod.exact_turns or 0.0) < 0.0  # it makes up for the other rod
    return f"{turns} {'longer' if rod.turns > 0.0 else 'shorter'}" if against else turns


def _exactly(turns: float) -> str:
    text = write.signed(turns, 2)
    return f"{text} {'turn' if float(text) <= 1.0 else 'turns'}"


def _length_words(length: float, job: Job) -> str:
    size = finely(abs(length), job)
    if size == finely(0.0, job):
        return size
    return f"{size} {'longer' if length > 0.0 else 'shorter'}"


def engagement_table(job: Job, correction: PassCorrection) -> Table | None:
    """Return the thread engaged at every end, before and after; None where none is known.

    Parameters
    ----------
    job : Job
        For unit and fraction.
    correction : PassCorrection
        What to turn after a pass.

    Returns
    -------
    Table or None
        One row an end.
    """
    rows = tuple(
        (
            f"{rod.side.capitalize()}, {end.end} end",
            "not known" if rod.uncounted else own_unit(end.before, job),
            "not known" if rod.by_reading or rod.uncounted else own_unit(end.after, job),
            own_unit(end.diameter, job),
            _enough(rod, end),
        )
        for rod in correction.rods
        for end in rod.ends
    )
    columns = ("Tie rod", "Now", "Then", "One diameter", "")
    return Table(columns, rows, "lrrrl", "Thread engaged") if rows else None


def _enough(rod: RodCorrection, end: End) -> str:
    if rod.uncounted:
        return "▽ measure it"
    if end.short:
        return "■ less than one diameter"
    return "▽ stop before one diameter" if rod.by_reading else "● enough"


def engagement_words(job: Job, correction: PassCorrection) -> list[str]:
    """Say what is wrong with the thread that stays engaged.

    Parameters
    ----------
    job : Job
        For unit and fraction.
    correction : PassCorrection
        What to turn after a pass.

    Returns
    -------
    list of str
        Warnings; empty where nothing is wrong, or nothing is known.
    """
    said = _uncounted(correction)
    for rod in correction.rods:
        said += [_short(job, rod, end) for end in rod.ends if end.short]
        if rod.limited:
            said.append(_limited(correction, rod))
        if abs(rod.turns or 0.0) > MANY_TURNS:
            said.append(
                f"{write.turns(abs(rod.turns or 0.0)).capitalize()} are a lot for the {rod.side} "
                "tie rod: check arm length, threads and readings before you turn."
            )
    uneven = correction.imbalance
    if uneven is not None and abs(uneven) > LARGE_IMBALANCE:
        less = "right" if uneven > 0.0 else "left"
        why = (
            "The gear is likely off centre: count the turns of the steering wheel to each lock "
            "(turns_to_lock)."
            if correction.gear is None and not correction.gear_centred
            else "Compare both rods, arms and joints: one may be bent, or not the maker's part."
        )
        ends = ", both ends together" if len(correction.rods[0].ends) > 1 else ""
        said.append(
            f"The {less} tie rod has {both_units(abs(uneven), job)} less thread engaged than the "
            f"other one{' then' if correction.to_turn else ''}{ends}. {why}"
        )
    return said


def _uncounted(correction: PassCorrection) -> list[str]:
    """Ask to measure the thread of rods that were turned uncounted, where it matters now."""
    uncounted = [rod for rod in correction.rods if rod.uncounted and rod.ends]
    rods = [r for r in uncounted if r.to_set or r.limited or any(end.short for end in r.ends)]
    if not rods:
        return []
    which = "both tie rods have" if len(rods) > 1 else f"the {rods[0].side} tie rod has"
    return [
        f"Measure how much thread {which} engaged before you turn anything, and leave at least one "
        "diameter: it is not known, since nothing says what was turned. Who knows it after all "
        "writes it under turned of that pass (or not turned); else a new job that begins with the "
        "last readings counts on from what was measured."
    ]


def _limited(correction: PassCorrection, rod: RodCorrection) -> str:
    """Say that a thread ends before its wheel is where it is wanted."""
    others = [other for other in correction.rods if other.side != rod.side]
    helped = any(other.turns and not other.withheld for other in others)
    makes_up = "; the other rod makes up for what it can" if helped else ""
    return (
        f"The {rod.side} tie rod can be turned only as far as its thread allows (half a diameter "
        f"at the least{makes_up}). Find out why it is so: a bent part, a gear off centre or a "
        "wrong part."
    )


def _short(job: Job, rod: RodCorrection, end: End) -> str:
    now, then = (both_units(length, job) for length in (end.before, end.after))
    counted = " by the turns counted" * rod.uncounted
    has = f"has {now} of thread engaged now{counted}"
    if own_unit(end.before, job) != own_unit(end.after, job):
        has += f" and would have {then}"
    text = (
        f"The {end.end} end of the {rod.side} tie rod {has}, less than one diameter of "
        f"{both_units(end.diameter, job)}. Common practice asks for one diameter at the least; the "
        "maker's manual governs."
    )
    if rod.turns and end.after < end.before:
        text += " Where the manual does not allow so little, do not turn this rod."
    return text
