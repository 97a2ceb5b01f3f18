"""Why adjusters stay as they are."""

from __future__ import annotations

from collections.abc import Mapping

from toebox.correct.adjusters import AdjusterPlan, Effects, Move, Outcome, least_part
from toebox.job.model import Job
from toebox.report.view.moving import is_for, kind_of
from toebox.report.view.words import and_, capital, name_of
from toebox.solve.standing import Standing, basic_settings
from toebox.units import write


def why_left(
    kind: str, job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan, effects: Effects
) -> str:
    """Say why nothing is to be moved for caster or camber.

    Parameters
    ----------
    kind : str
        ``caster`` or ``camber``.
    job : Job
        Goals and adjusters.
    stands : mapping of str to Standing
        Where each setting stands.
    plan : AdjusterPlan
        What to move.
    effects : mapping
        What one unit of each adjuster does.

    Returns
    -------
    str
        Words without a full stop.
    """
    goals = [name for name in job.goals if kind_of(name) == kind]
    if not goals:
        return f"The job has no goal for {kind}: leave it"
    if not any(adjuster.setting == kind for adjuster in job.adjusters):
        moves = any(kind_of(name) == kind for name in plan.moved)
        return _no_adjuster(kind, [None if moves else stands.get(name) for name in goals])
    ours = [outcome for outcome in plan.outcomes if kind_of(outcome.name) == kind]
    if not ours:
        return "Nothing to move: the adjusters of the job are for other wheels"
    if not any(outcome.needed for outcome in ours):
        met = all(outcome.standing.outcome == "within" for outcome in ours)
        return f"Leave it: {'within its goals' if met else 'no reading proves a goal missed'}"
    needed = [outcome for outcome in ours if outcome.needed]
    if all(_by_the_other_wheel(outcome, job, stands, plan) for outcome in needed):
        return "Leave what can be set: only the difference between the sides misses its goal"
    if all(_short_by(outcome, plan, effects) <= 0.0 for outcome in needed):
        if all(_short_by(outcome, plan, effects, half=True) <= 0.0 for outcome in needed):
            return "What is missing is less than half of the smallest step: leave it"
        return "One step would bring it no nearer by more than the readings tell: leave it"
    return (
        "Leave it: no move brings the goals of the axle nearer in all, since they pull against "
        "each other or no room is left"
    )


def hindered(kind: str, plan: AdjusterPlan, effects: Effects) -> list[str]:
    """Say what keeps adjusters from where they are wanted: too much, no room, unknown effects.

    Parameters
    ----------
    kind : str
        ``caster`` or ``camber``.
    plan : AdjusterPlan
        What to move.
    effects : mapping
        What one unit of each adjuster does.

    Returns
    -------
    list of str
        Words without full stops; empty where nothing does.
    """
    ours = [o for o in plan.outcomes if kind_of(o.name) == kind and o.needed]
    moves = [m for m in plan.moves if any(is_for(m, outcome) for outcome in ours) and not m.waits]
    said = []
    if any(move.beyond for move in moves):
        said.append(_too_far([o for o in ours if any(m.beyond and is_for(m, o) for m in moves)]))
    stuck = [m.adjuster.name for m in moves if m.at_limit and not m.amount and not m.beyond]
    if stuck:
        said.append(f"No room is left at {and_(stuck)}")
    unknown = [m for m in moves if not m.known and not m.beyond]
    if unknown:
        said.append(_unknown_words(kind, unknown, effects))
    return said


def outside_without(
    kind: str, job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan
) -> list[str]:
    """Name what is outside its goal at wheels without an adjuster, where others have one.

    Parameters
    ----------
    kind : str
        ``caster`` or ``camber``.
    job : Job
        Goals and adjusters.
    stands : mapping of str to Standing
        Where each setting stands.
    plan : AdjusterPlan
        What to move.

    Returns
    -------
    list of str
        A sentence without its full stop; empty where there is nothing to say.
    """
    if not any(adjuster.setting == kind for adjuster in job.adjusters):
        return []  # then all is said already
    planned = {outcome.name for outcome in plan.outcomes}
    names = [
        name_of(name).lower()
        for name in job.goals
        if kind_of(name) == kind and name not in planned and _outside(stands.get(name))
    ]
    if not names:
        return []
    one = len(names) == 1
    missed, these = ("is outside its goal", "it") if one else ("are outside their goals", "them")
    return [
        f"{capital(and_(names))} {missed}, and no [[adjuster]] of the job is for {these}: ask "
        "what the maker's manual allows"
    ]


def _outside(stand: Standing | None) -> bool:
    """Return whether a goal is proven to be missed as things stand."""
    return stand is not None and not stand.stale and stand.outcome == "outside"


def _no_adjuster(kind: str, found: list[Standing | None]) -> str:
    """Say what there is to do about caster or camber that the job tells no way to change."""
    outcomes = ["" if stand is None or stand.stale else stand.outcome for stand in found]
    if all(outcome == "within" for outcome in outcomes):
        return "Leave it: within its goals"
    ask = "ask what the maker's manual allows, before toe"
    if "outside" in outcomes:
        return f"It is outside its goal, and the job has no [[adjuster]] for {kind}: {ask}"
    return f"The job has no [[adjuster]] for {kind}: if it is outside its goal, {ask}"


def _unknown_words(kind: str, unknown: list[Move], effects: Effects) -> str:
    names = and_([m.adjuster.name for m in unknown])
    if any(effects[m.adjuster.name, kind].lost for m in unknown):
        one = len(unknown) == 1
        return (
            f"Where {names} {'stands' if one else 'stand'} is not known, since a pass does not say "
            "how far it was moved, and past its top a cam does the opposite: look, write the move "
            'into that pass (turned; "not moved" if it was not), and make the report anew. '
            "Who does not know it begins a new job with the last readings and, as position, where "
            "the cam stands"
        )
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


def _by_the_other_wheel(
    outcome: Outcome, job: Job, stands: Mapping[str, Standing], plan: AdjusterPlan
) -> bool:
    """Return whether a difference misses its goal by a wheel that has no adjuster."""
    if not outcome.name.startswith("cross_"):
        return False
    planned = {one.name for one in plan.outcomes}
    names = [name for name in basic_settings(outcome.name) if name in job.goals]
    return any(name not in planned and _outside(stands.get(name)) for name in names)


def _short_by(
    outcome: Outcome, plan: AdjusterPlan, effects: Effects, *, half: bool = False
) -> float:
    """Return by how much a missing change exceeds what no step is worth while for [rad]."""
    least = [0.0]
    for adjuster in (m.adjuster for m in plan.moves if is_for(m, outcome)):
        effect = effects[adjuster.name, adjuster.setting]
        part = 0.5 if half else least_part(adjuster, effect, outcome)
        least.append(part * adjuster.smallest_step * abs(effect.value))
    return abs(outcome.wanted) - max(least)


def _too_far(outcomes: list[Outcome]) -> str:
    """Say that so much is wanted that a bent part or a wrong reading is likelier."""
    worst = max(outcomes, key=lambda outcome: abs(outcome.wanted))
    size = write.degrees(abs(worst.wanted), 2)
    slip = ", such as a sweep with the steer angles of one wheel the wrong way round"
    return (
        f"Move nothing for it: {name_of(worst.name).lower()} would have to change by {size}, more "
        "than adjusters are meant to make. Look for a bent part or a wrong reading first"
        + slip * (kind_of(worst.name) == "caster")
    )
