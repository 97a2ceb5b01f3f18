"""Adjusters as tables: what to move, what that should give, what else it changes."""

from __future__ import annotations

from toebox.correct.adjusters import AdjusterPlan, Effect, Effects, Move, Outcome
from toebox.job.model import Job
from toebox.report.blocks import Block, Paragraph, Section, Table
from toebox.report.view.moving import BEFORE_TOE, counted, is_for, kind_of, move_words
from toebox.report.view.words import and_, digits_of, half_width, name_of, value_of
from toebox.units import write

PRICES = (
    "The goals are your own; toebox recommends none. Common practice, no published source: more "
    "caster steadies the car and makes the steering heavier; camber with the top in helps in bends "
    "and wears the inner edge of the tyre."
)


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
    return Section("What the adjusters are to do", tuple(blocks), summary=True)


def _moves(plan: AdjusterPlan, effects: Effects) -> Table:
    rows = []
    for move in plan.moves:
        adjuster = move.adjuster
        effect = effects[adjuster.name, adjuster.setting]
        size = f"{write.degrees(abs(effect.value), 3)} ± {half_width(effect.u, 3)}"
        where = " at its middle" if adjuster.kind == "cam" else ""
        rows.append(
            (
                adjuster.name,
                _told(move, effect),
                counted(write.signed(abs(move.exact), 2), adjuster.unit)
                if move.known and not (move.by_reading or move.waits)
                else "",
                f"{size} {adjuster.setting}{where}" if move.known else "",
                effect.source,
            )
        )
    columns = ("Adjuster", "Move", "Exactly", "One unit gives", "Known by")
    return Table(columns, tuple(rows), "llrll", "What to move")


def _told(move: Move, effect: Effect) -> str:
    if move.waits:
        return f"wait: read {move.adjuster.setting} again"
    if move.by_reading and move.known:
        return "by its reading"
    return move_words(move) if move.known else _told_without(move, effect)


def _told_without(move: Move, effect: Effect) -> str:
    """Say what to do where it is not known what a move does: rear toe is set by its reading."""
    by = "by its reading" if move.adjuster.setting == "toe" else "leave it"
    return f"{by}: effect {_unknown(effect)}"


def _unknown(effect: Effect) -> str:
    if effect.lost:
        return "unknown where it stands"
    return "contradicted" if effect.contradicted else "unknown"


def _outcomes(job: Job, plan: AdjusterPlan) -> Table:
    rows = [
        [
            name_of(outcome.name),
            value_of(outcome.name, outcome.standing.result.value, job),
            value_of(outcome.name, outcome.goal.value, job),
            f"{value_of(outcome.name, outcome.goal.value + outcome.remains, job)} "
            f"± {half_width(outcome.u, digits_of(outcome.name))}",
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
        met = outcome.standing.outcome == "within"
        return "within already" if met else "no change proven"
    ours = [move for move in plan.moves if is_for(move, outcome)]
    if any(move.beyond for move in ours):
        far = "more than adjusters are meant for"
        return far if outcome.beyond else "waits for the other wheel"
    tolerance = outcome.goal.tolerance
    if tolerance is None or abs(outcome.remains) <= tolerance:
        return ""
    if any(move.waits for move in ours):
        return "waits for what is to be read again"
    if any(not move.known for move in ours):
        waits = "waits" if kind_of(outcome.name) in BEFORE_TOE else "by the readings"
        return f"{waits}: effect not known"
    if any(move.at_limit for move in ours):
        return "out of reach: an adjuster is at its end"
    return "out of reach" if any(move.amount for move in ours) else "no step is worth while"


def _side_effects(plan: AdjusterPlan) -> Table:
    rows = tuple(
        (
            name_of(name),
            _change_words(name, change),
            f"± {half_width(u, 2)}",
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
    }[kind_of(name)]
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
                f"What the passes show of {adjuster.name} ({and_(kinds)}) contradicts what was "
                "known before. Look again at what was turned and which way, at 'gives', and at the "
                "sizes in the job; or a reading is a slip, something slips in the car, or the "
                "gauge was set to zero anew between the passes (turn it end for end in each)."
            )
    return notes


def _notes(plan: AdjusterPlan) -> list[str]:
    notes = []
    limited = [m.adjuster.name for m in plan.moves if m.at_limit]
    if limited:
        one = len(limited) == 1
        notes.append(
            f"At the end of {'its' if one else 'their'} room: {and_(limited)}. What remains cannot "
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
