"""The order of work: caster, camber, rear toe, front toe; after each what must be read again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from toebox.correct.adjusters import AdjusterPlan, Effects, Move
from toebox.job.model import WHEELS, Job
from toebox.report.blocks import Block, Paragraph, Section, Steps
from toebox.report.view.moving import BEFORE_TOE, kind_of, move_words
from toebox.report.view.staying import hindered, outside_without, why_left
from toebox.report.view.wheels import CAUTION
from toebox.report.view.words import and_, capital, name_of
from toebox.solve.results import Solution
from toebox.solve.standing import REAR_TOE, Standing, touched

WRITE = "in a job those readings are the next [[pass]], with what you moved (turned)"


def order(
    solution: Solution,
    stands: Mapping[str, Standing],
    plan: AdjusterPlan,
    effects: Effects,
    rods_told: bool,
    first: Sequence[str] = (),
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
    rods_told : bool
        Whether the steps that follow say anything of the tie rods.
    first : sequence of str
        Steps before all others.

    Returns
    -------
    Section
        For a job that says something about caster or camber.
    """
    job = solution.job
    items = [*first, *(_step(kind, job, stands, plan, effects) for kind in BEFORE_TOE)]
    items += [*_rear_step(job, stands, plan), _toe_step(stands, plan, rods_told)]
    blocks: list[Block] = [Steps(tuple(items))]
    if plan.to_turn:
        blocks.append(Paragraph(CAUTION, "caution"))
    return Section("Order of work", tuple(blocks), summary=True)


def _step(
    kind: str, job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan, effects: Effects
) -> str:
    """Say what to do about caster or camber, and what must be read again after it."""
    moves = [m for m in plan.moves if m.amount and m.adjuster.setting == kind]
    missing = [name for name in plan.to_measure if kind_of(name) == kind]
    parts = []
    if missing:
        parts.append(_read_first(missing, stands))
    if moves:
        parts.append(_moves_told(moves))
        parts.append(f"Then read again what this moves: {_again(moves)}; {WRITE}")
    parts += hindered(kind, plan, effects)
    if not parts:
        parts.append(why_left(kind, job, stands, plan, effects))
    parts += outside_without(kind, job, stands, plan)
    return f"{kind.capitalize()}. " + ". ".join(parts) + "."


def _moves_told(moves: list[Move]) -> str:
    seen = "seen facing the head of the bolt"
    if all(move.adjuster.kind == "cam" for move in moves):
        told = "; ".join(f"{_where(move)}: {move_words(move)}" for move in moves)
        return f"{capital(told)}, always {seen}"
    ways = {move.adjuster.name: f", {seen}" for move in moves if move.adjuster.kind == "cam"}
    return capital(
        "; ".join(f"{_where(m)}: {move_words(m)}{ways.get(m.adjuster.name, '')}" for m in moves)
    )


def _where(move: Move) -> str:
    name, wheel = move.adjuster.name, move.adjuster.wheel.replace("_", " ")
    return name if wheel in name.lower() else f"{name} ({wheel})"


def _read_first(names: list[str], stands: Mapping[str, Standing]) -> str:
    stale = [name_of(name).lower() for name in names if name in stands and stands[name].stale]
    valid = [name_of(name).lower() for name in names if name in stands and not stands[name].stale]
    never = [name_of(name).lower() for name in names if name not in stands]
    parts = []
    if stale:
        it = "it" if len(stale) == 1 else "them"
        parts.append(f"read {and_(stale)} again first: a later turn has moved {it}, or may have")
    if valid:
        parts.append(
            f"read {and_(valid)} first, by strings along the rear wheels: they are set by their "
            "readings"
        )
    if never:
        parts.append(f"read {and_(never)} first: no pass has it")
    return capital("; ".join(parts))


def _again(moves: Iterable[Move]) -> str:
    """Name what moves with adjusters."""
    names = {name for move in moves for name in touched(move.adjuster)}
    wheels = [wheel for wheel in WHEELS if any(name.endswith(wheel) for name in names)]
    kinds = [
        kind
        for kind in ("caster", "camber", "toe")
        if any(name.startswith(f"{kind}.") for name in names)
    ]
    where = and_([wheel.replace("_", " ") for wheel in wheels])
    return f"{and_(kinds)} ({where})"


def _rear_step(
    job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan
) -> list[str]:
    moves = [m for m in plan.moves if m.adjuster.setting == "toe"]
    if not moves and not job.car.rear_toe_settable:
        return []
    turned = [m for m in moves if m.amount]
    missing = [name for name in plan.to_measure if kind_of(name) not in BEFORE_TOE]
    parts = [_read_first(missing, stands)] if missing else []
    if turned:
        parts.append(_moves_told(turned))
        moved = f"{_again(turned)} and the thrust angle"
        parts.append(f"Then read again what this moves: {moved}; {WRITE}")
    if not parts:
        parts.append(_rear_words(job, stands, plan))
    return ["Rear toe. " + ". ".join(parts) + "."]


def _rear_words(job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan) -> str:
    """Say what there is to do about rear toe where no adjuster is to be moved for it."""
    if job.rear_unwritten and "thrust_angle" in stands and stands["thrust_angle"].stale:
        return "Read it again first: what it was may hold no longer"
    ours = [outcome for outcome in plan.outcomes if outcome.name in REAR_TOE]
    if ours and not any(outcome.needed for outcome in ours):
        return "Leave it: no reading proves that it should change"
    if ours and not job.car.rear_toe_settable:
        return "Leave it: no move of the one wheel that can be set is proven to serve its goals"
    why = "efore the front: the car runs where the rear wheels point"
    return f"As told under 'What to do next', b{why}" if "thrust_angle" in stands else f"B{why}"


def _toe_step(stands: Mapping[str, Standing], plan: AdjusterPlan, rods_told: bool) -> str:
    total = stands.get("total_toe.front")
    if total is not None and total.stale:
        text = "Read toe again first: a later turn has moved it, or may have"
    elif plan.rear_first:
        text = "Read toe with that of the rear wheels, which it follows; then the tie rods"
    elif plan.moves_front_toe:
        text = "Read toe again first, since the steps above move it"
    elif not rods_told:
        where = "" if total is None else ", at all four wheels"
        text = f"Read toe{where}; then the tie rods"
    elif any(name.startswith("toe.") for name in plan.moved):
        text = (
            "As told under 'What to do next', for the line that the rear wheels are then expected "
            "to give; surer once toe is read again"
        )
    elif total is None:
        text = "Read toe; then the tie rods"
    else:
        text = "As told under 'What to do next'"
    return f"Front toe, last. {text}."
