"""The order of work: caster, camber, rear toe, front toe; after each what must be read again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from toebox.correct.adjusters import AdjusterPlan, Effect, Effects, Move, Outcome
from toebox.job.model import WHEELS, Job
from toebox.report.blocks import Block, Paragraph, Section, Steps, Table
from toebox.report.view.basis import UNUSUAL
from toebox.report.view.words import digits_of, name_of, value_of
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import Solution
from toebox.solve.standing import Standing, touched
from toebox.units import write

BEFORE_TOE = ("caster", "camber")
REAR_TOE = ("total_toe.rear", "thrust_angle")
SOURCES = {
    "arithmetic": "arithmetic",
    "stated": "stated",
    "learned": "learned",
    "unknown": "unknown",
}
PRICES = (
    "The goals are your own; toebox recommends none. Common practice, no published source: more "
    "caster steadies the car and makes the steering heavier; camber with the top in helps in bends "
    "and wears the inner edge of the tyre."
)
CAUTION = (
    "Strut rods, control arms and their bolts hold the wheels. Take the load off them only as the "
    "maker's manual says, on stands; tighten rubber bushes with the car on its wheels, to the "
    "manual's torque; roll the car to settle it before you read anything."
)


def order(
    solution: Solution, stands: Mapping[str, Standing], plan: AdjusterPlan, effects: Effects
) -> Section:
    """Say in which order to set caster, camber and toe, and what to move at the adjusters.

    Parameters
    ----------
    solution : Solution
        A solved job.
    stands : mapping of str to Standing
        Where each setting stands.
    plan : AdjusterPlan
        What to move.
    effects : mapping
        What one unit of each adjuster does.

    Returns
    -------
    Section
        For a job that says something about caster or camber.
    """
    job = solution.job
    items = [f"Look first at what the report lists under '{UNUSUAL}'."] * bool(
        job.doubts and plan.to_turn
    )
    items += [_step(kind, job, stands, plan, effects) for kind in BEFORE_TOE]
    items += [*_rear_step(job, stands, plan), _toe_step(stands, plan)]
    blocks: list[Block] = [Steps(tuple(items))]
    if plan.to_turn:
        blocks.append(Paragraph(CAUTION, "caution"))
    return Section("Order of work", tuple(blocks), summary=True)


def adjusters(job: Job, plan: AdjusterPlan, effects: Effects) -> Section | None:
    """Say what to move at each adjuster, what that should give, and what else it changes.

    Parameters
    ----------
    job : Job
        Its adjusters.
    plan : AdjusterPlan
        What to move.
    effects : mapping
        What one unit of each adjuster does.

    Returns
    -------
    Section or None
        None for a job without adjusters.
    """
    if not job.adjusters:
        return None
    blocks: list[Block] = [_moves(plan, effects)]
    if plan.to_turn or any(outcome.needed for outcome in plan.outcomes):
        blocks.append(_outcomes(job, plan))
    if plan.to_turn:
        blocks.append(_side_effects(plan))
    blocks += [Paragraph(text, "strong") for text in _contradictions(plan, effects)]
    blocks += [Paragraph(text, "note") for text in (*_notes(plan), PRICES)]
    return Section("Adjusters of caster and camber", tuple(blocks), summary=True)


def _kind(name: str) -> str:
    return name.partition(".")[0].removeprefix("cross_")


def _step(
    kind: str, job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan, effects: Effects
) -> str:
    """Say what to do about caster or camber, and what must be read again after it."""
    moves = [m for m in plan.moves if m.amount and m.adjuster.setting == kind]
    missing = [name for name in plan.to_measure if _kind(name) == kind]
    parts = []
    if missing:
        parts.append(_read_first(missing, stands))
    if moves:
        parts.append(_moves_told(moves))
        parts.append(f"Then read again what this moves: {_again(moves)}")
    if not parts:
        parts.append(_leave(kind, job, stands, plan, effects))
    parts += _beyond(kind, job, stands, plan)
    return f"{kind.capitalize()}. " + ". ".join(parts) + "."


def _beyond(
    kind: str, job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan
) -> list[str]:
    """Name what is outside its goal at wheels without an adjuster, where others have one."""
    if not any(adjuster.setting == kind for adjuster in job.adjusters):
        return []  # then all is said already
    planned = {outcome.name for outcome in plan.outcomes}
    names = [
        name_of(name).lower()
        for name in job.goals
        if _kind(name) == kind and name not in planned and _outside(stands.get(name))
    ]
    if not names:
        return []
    one = len(names) == 1
    missed, these = ("is outside its goal", "it") if one else ("are outside their goals", "them")
    return [
        f"{_sentence(_and(names))} {missed}, and no [[adjuster]] of the job is for {these}: ask "
        "what the maker's manual allows"
    ]


def _outside(stand: Standing | None) -> bool:
    """Return whether a goal is proven to be missed as things stand."""
    decision = stand.decision if stand is not None and not stand.stale else None
    return decision is not None and decision.outcome == "outside"


def _moves_told(moves: list[Move]) -> str:
    seen = "seen facing the head of the bolt"
    if all(move.adjuster.kind == "cam" for move in moves):
        told = "; ".join(f"{_where(move)}: {move_words(move)}" for move in moves)
        return f"{_sentence(told)}, always {seen}"
    ways = {move.adjuster.name: f", {seen}" for move in moves if move.adjuster.kind == "cam"}
    return _sentence(
        "; ".join(f"{_where(m)}: {move_words(m)}{ways.get(m.adjuster.name, '')}" for m in moves)
    )


def _where(move: Move) -> str:
    name, wheel = move.adjuster.name, move.adjuster.wheel.replace("_", " ")
    return name if wheel in name.lower() else f"{name} ({wheel})"


def move_words(move: Move) -> str:
    """Say how far to move an adjuster, and which way.

    Parameters
    ----------
    move : Move
        Adjuster and amount.

    Returns
    -------
    str
        Such as ``shorten by 1 1/2 turns`` or ``add 2 shims``; ``leave it``.
    """
    if not move.amount:
        return "leave it"
    size = units_words(abs(move.amount), move.adjuster.unit)
    limit = ", the end of its room" if move.at_limit else ""
    if move.adjuster.unit == "turn":
        return f"{move.way} by {size}{limit}"
    if move.adjuster.unit == "degree":
        return f"turn {size} {move.way}{limit}"
    if move.adjuster.unit == "shim":
        return f"{move.way} {size}{limit}"
    return f"{size} {move.way}{limit}"


def units_words(amount: float, unit: str) -> str:
    """Return an amount in an adjuster's unit.

    Parameters
    ----------
    amount : float
        Not negative [-].
    unit : str
        ``turn``, ``degree``, ``shim`` or the job's own.

    Returns
    -------
    str
        Such as ``1 1/2 turns``, ``30°`` or ``2 shims``.
    """
    if unit == "turn":
        return write.turns(amount)
    digits = 0 if float(amount).is_integer() else 2
    if unit == "degree":
        return write.signed(amount, digits) + "°"
    return f"{write.signed(amount, digits)} {unit if amount == 1.0 else several(unit)}"


def several(unit: str) -> str:
    """Return the name of more than one of an adjuster's unit."""
    return unit + ("es" if unit.endswith(("s", "sh", "ch", "x")) else "s")


def _read_first(names: list[str], stands: Mapping[str, Standing]) -> str:
    stale = [name_of(name).lower() for name in names if name in stands]
    never = [name_of(name).lower() for name in names if name not in stands]
    parts = []
    if stale:
        it = "it" if len(stale) == 1 else "them"
        parts.append(f"read {_and(stale)} again first: a later turn has moved {it}")
    if never:
        parts.append(f"read {_and(never)} first: no pass has it")
    return _sentence("; ".join(parts))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _again(moves: Iterable[Move]) -> str:
    """Name what moves with adjusters."""
    names = {name for move in moves for name in touched(move.adjuster)}
    wheels = [wheel for wheel in WHEELS if any(name.endswith(wheel) for name in names)]
    kinds = [
        kind
        for kind in ("caster", "camber", "toe")
        if any(name.startswith(f"{kind}.") for name in names)
    ]
    where = _and([wheel.replace("_", " ") for wheel in wheels])
    return f"{_and(kinds)} ({where})"


def _no_adjuster(kind: str, found: list[Standing | None]) -> str:
    """Say what there is to do about caster or camber that the job tells no way to change."""
    outcomes = [
        None if stand is None or stand.stale or stand.decision is None else stand.decision.outcome
        for stand in found
    ]
    if all(outcome == "within" for outcome in outcomes):
        return "Leave it: within its goals"
    ask = "ask what the maker's manual allows, before toe"
    if "outside" in outcomes:
        return f"It is outside its goal, and the job has no [[adjuster]] for {kind}: {ask}"
    return f"The job has no [[adjuster]] for {kind}: if it is outside its goal, {ask}"


def _leave(
    kind: str, job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan, effects: Effects
) -> str:
    """Say why nothing is to be moved for caster or camber."""
    goals = [name for name in job.goals if _kind(name) == kind]
    if not goals:
        return f"The job has no goal for {kind}: leave it"
    if not any(adjuster.setting == kind for adjuster in job.adjusters):
        moved = {name for m in plan.moves if m.amount for name in touched(m.adjuster)}
        moves = any(_kind(name) == kind for name in moved)
        return _no_adjuster(kind, [None if moves else stands.get(name) for name in goals])
    ours = [outcome for outcome in plan.outcomes if _kind(outcome.name) == kind]
    if not any(outcome.needed for outcome in ours):
        met = all(_met(outcome) for outcome in ours)
        return f"Leave it: {'within its goals' if met else 'no reading proves a goal missed'}"
    alone = not any(o.needed and not o.name.startswith("cross_") for o in ours)
    if alone and _beyond(kind, job, stands, plan):
        return "Leave what can be set: only the difference between the sides misses its goal"
    if any(m.adjuster.setting == kind and m.beyond for m in plan.moves):
        return _too_far([outcome for outcome in ours if outcome.needed])
    stuck = [m for m in plan.moves if m.adjuster.setting == kind and m.at_limit]
    if stuck:
        return f"No room is left at {_and([m.adjuster.name for m in stuck])}"
    unknown = [m for m in plan.moves if m.adjuster.setting == kind and not m.known]
    if unknown:
        names = _and([m.adjuster.name for m in unknown])
        if any(effects[m.adjuster.name, kind].contradicted for m in unknown):
            these = "it" if len(unknown) == 1 else "them"
            return (
                f"The passes contradict what was known of {names}: leave {these} until it is clear "
                "what was moved and which way"
            )
        does, it = ("does", "it") if len(unknown) == 1 else ("do", "one at a time")
        return (
            f"What {names} {does} is not known well enough: move {it} a little, read again and add "
            "a pass; toebox learns from it"
        )
    return "What is missing is less than half of the smallest step: leave it"


def _too_far(outcomes: list[Outcome]) -> str:
    """Say that so much is wanted that a bent part or a wrong reading is likelier."""
    worst = max(outcomes, key=lambda outcome: abs(outcome.wanted))
    size = write.degrees(abs(worst.wanted), 2)
    slip = ", such as a sweep with the steer angles of one wheel the wrong way round"
    return (
        f"Move nothing for it: {name_of(worst.name).lower()} would have to change by {size}, more "
        "than adjusters are meant to make. Look for a bent part or a wrong reading first"
        + slip * (_kind(worst.name) == "caster")
    )


def _rear_step(
    job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan
) -> list[str]:
    moves = [m for m in plan.moves if m.adjuster.setting == "toe"]
    if not moves and not job.car.rear_toe_adjustable:
        return []
    turned = [m for m in moves if m.amount]
    missing = [name for name in plan.to_measure if _kind(name) not in BEFORE_TOE]
    parts = [_read_first(missing, stands)] if missing else []
    if turned:
        parts.append(_moves_told(turned))
        parts.append(f"Then read again what this moves: {_again(turned)} and the thrust angle")
    if not parts:
        parts.append(_rear_words(stands, plan))
    return ["Rear toe. " + ". ".join(parts) + "."]


def _rear_words(stands: Mapping[str, Standing], plan: AdjusterPlan) -> str:
    """Say what there is to do about rear toe where no adjuster is to be moved for it."""
    ours = [outcome for outcome in plan.outcomes if outcome.name in REAR_TOE]
    if ours and not any(outcome.needed for outcome in ours):
        return "Leave it: no reading proves that it should change"
    why = "efore the front: the car runs where the rear wheels point"
    return f"As told under 'What to do next', b{why}" if "thrust_angle" in stands else f"B{why}"


def _toe_step(stands: Mapping[str, Standing], plan: AdjusterPlan) -> str:
    total = stands.get("total_toe.front")
    moved = {name for m in plan.moves if m.amount for name in touched(m.adjuster)}
    if total is not None and total.stale:
        text = "Read toe again first: a later turn has moved it"
    elif any(name.startswith("toe.") for name in moved):
        text = (
            "Read toe again first, since the steps above move it; any turns told below for the "
            "tie rods hold only for toe as it was read"
        )
    elif total is None:
        text = "Read toe; then the tie rods"
    else:
        text = "As told under 'What to do next'"
    return f"Front toe, last. {text}."


def _and(words: list[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]


def _moves(plan: AdjusterPlan, effects: Effects) -> Table:
    rows = []
    for move in plan.moves:
        adjuster = move.adjuster
        effect = effects[adjuster.name, adjuster.setting]
        size = f"{write.degrees(abs(effect.value), 3)} ± {_half(effect.u, 3)}"
        where = " at its middle" if adjuster.kind == "cam" else ""
        rows.append(
            (
                adjuster.name,
                move_words(move) if move.known else f"leave it: effect {_unknown(effect)}",
                _exactly(abs(move.exact), adjuster.unit) if move.known else "",
                f"{size} {adjuster.setting}{where}" if move.known else "",
                SOURCES[effect.source],
            )
        )
    columns = ("Adjuster", "Move", "Exactly", "One unit gives", "Known by")
    return Table(columns, tuple(rows), "llrll", "What to move")


def _exactly(amount: float, unit: str) -> str:
    text = write.signed(amount, 2)
    if unit == "degree":
        return f"{text}°"
    return f"{text} {unit if text == write.signed(1.0, 2) else several(unit)}"


def _unknown(effect: Effect) -> str:
    return "contradicted" if effect.contradicted else "unknown"


def _half(u: float, digits: int) -> str:
    return write.degrees(COVERAGE_FACTOR * u, digits)


def _outcomes(job: Job, plan: AdjusterPlan) -> Table:
    rows = [
        [
            name_of(outcome.name),
            value_of(outcome.name, outcome.standing.result.value, job),
            value_of(outcome.name, outcome.goal.value, job),
            f"{value_of(outcome.name, outcome.goal.value + outcome.remains, job)} "
            f"± {_half(outcome.u, digits_of(outcome.name))}",
        ]
        for outcome in plan.outcomes
    ]
    columns = ["Setting", "Found", "Wanted", "Expected then, 95 %"]
    notes = [_outcome_note(outcome, plan) for outcome in plan.outcomes]
    if any(notes):
        columns.append("Note")
        rows = [[*row, note] for row, note in zip(rows, notes, strict=True)]
    told = tuple(map(tuple, rows))
    return Table(tuple(columns), told, "l" * len(columns), "What the moves should give")


def _outcome_note(outcome: Outcome, plan: AdjusterPlan) -> str:
    if not outcome.needed:
        return "within already" if _met(outcome) else "no change proven"
    ours = [m for m in plan.moves if outcome.name in REAR_TOE or _is_for(m, outcome)]
    if any(move.beyond for move in ours):
        return "more than adjusters are meant for"
    if any(not move.known for move in ours):
        return "waits: effect not known"
    tolerance = outcome.goal.tolerance
    if tolerance is not None and abs(outcome.remains) > tolerance:
        limited = any(move.at_limit for move in plan.moves)
        return "out of reach: an adjuster is at its end" if limited else "out of reach"
    return ""


def _is_for(move: Move, outcome: Outcome) -> bool:
    return move.adjuster.setting == _kind(outcome.name)


def _met(outcome: Outcome) -> bool:
    """Return whether a goal is proven to be met."""
    decision = outcome.standing.decision
    return decision is not None and decision.outcome == "within"


def _side_effects(plan: AdjusterPlan) -> Table:
    rows = tuple(
        (
            name_of(name),
            _change_words(name, change),
            f"± {_half(u, 2)}",
        )
        for name, (change, u) in plan.changes.items()
    )
    columns = ("Setting", "Expected change", "95 %")
    return Table(columns, rows, "llr", "What the moves change in all")


def _change_words(name: str, change: float) -> str:
    size = write.degrees(abs(change), 2)
    if size == write.degrees(0.0, 2):
        return "none expected"
    more, less = {
        "camber": ("towards top out", "towards top in"),
        "caster": ("more", "less"),
        "toe": ("towards toe-in", "towards toe-out"),
    }[_kind(name)]
    return f"{size} {more if change > 0.0 else less}"


def _contradictions(plan: AdjusterPlan, effects: Effects) -> list[str]:
    """Say where the passes show something else than arithmetic or the job."""
    notes = []
    for adjuster in (move.adjuster for move in plan.moves):
        kinds = [
            kind
            for kind in (*BEFORE_TOE, "toe")
            if (effect := effects.get((adjuster.name, kind))) is not None and effect.contradicted
        ]
        if kinds:
            notes.append(
                f"What the passes show of {adjuster.name} ({_and(kinds)}) contradicts what was "
                "known before. Look again at what was turned and which way, at 'gives', and at the "
                "sizes in the job; or a reading is a slip, or something slips in the car."
            )
    return notes


def _notes(plan: AdjusterPlan) -> list[str]:
    notes = []
    limited = [m.adjuster.name for m in plan.moves if m.at_limit]
    if limited:
        one = len(limited) == 1
        notes.append(
            f"At the end of {'its' if one else 'their'} room: {_and(limited)}. What remains cannot "
            "be set there; something may be bent or worn, or the body has moved."
        )
    if len({m.adjuster.setting for m in plan.moves if m.amount}) > 1:
        notes.append(
            "The moves belong together: those for camber already make up for what those for caster "
            "do to it, and the other way round."
        )
    if any(m.amount for m in plan.moves):
        notes.append(
            "Effects by arithmetic are good to about 20 % (standard deviation), stated ones to "
            "10 %; a side effect that the job does not state is taken as none, within 30 % of the "
            "main one. The next pass shows what really happened, and toebox learns from it."
        )
    return notes
