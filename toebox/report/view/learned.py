"""What one turn does: by thread and arm, by what the passes showed, and where they disagree."""

from __future__ import annotations

from toebox.correct.effects import Effect
from toebox.correct.results import PassCorrection
from toebox.report.blocks import Block, Paragraph, Section, Table
from toebox.report.view.words import towards
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.units import write

CAUSES = (
    "Usual causes: play in a joint, the wheel not settled after turning (roll the car), a jam nut "
    "that turned the rod along, a wrong arm length or thread in the job, or something else turned "
    "than was written, or miscounted. Where nobody knows any more what was turned before a pass, "
    'write "?" in its place: nothing is learned of that turn then.'
)


def learned(correction: PassCorrection) -> Section | None:
    """Say what one turn of each tie rod does.

    Parameters
    ----------
    correction : PassCorrection
        What to turn after the last pass.

    Returns
    -------
    Section or None
        None before anything was turned between two passes; for the summary where the passes
        contradict the arithmetic.
    """
    seen = [rod for rod in correction.rods if rod.effect and rod.effect.observed is not None]
    if not seen:
        return None
    rows = tuple(
        (
            rod.side.capitalize(),
            _value(rod.effect.arithmetic, rod.effect.u_arithmetic),
            _value(rod.effect.observed, rod.effect.u_observed),
            "none" if rod.effect.doubtful else _value(rod.effect.per_turn, rod.effect.u),
        )
        for rod in seen
        if rod.effect
    )
    columns = ("One turn longer", "By thread and arm", "By the passes", "Used")
    blocks: list[Block] = [Table(columns, rows, "llll")]
    apart = [rod.side for rod in seen if rod.effect and rod.effect.disagrees]
    for rod in seen:
        if rod.effect and rod.effect.disagrees:
            blocks.append(Paragraph(_disagreement(rod.side, rod.effect), "strong"))
    if apart:
        blocks.append(Paragraph(CAUSES))
    else:
        blocks.append(Paragraph(_weighing([rod.effect for rod in seen if rod.effect]), "note"))
    return Section("What one turn does", tuple(blocks), summary=bool(apart))


def _weighing(shown: list[Effect]) -> str:
    """Say how what is used follows from the columns before it."""
    known = [effect.arithmetic is not None for effect in shown]
    if not any(known):
        return "Every further pass sharpens this."
    both = "Both" if all(known) else "Where both are known, they"
    return f"{both} are weighted by their uncertainties; every further pass sharpens this."


def _value(value: float | None, u: float | None) -> str:
    if value is None or u is None:
        return "not known"
    return f"{towards(value)} ± {write.degrees(COVERAGE_FACTOR * u)}"


def _disagreement(side: str, effect: Effect) -> str:
    seen, u = effect.observed or 0.0, effect.u_observed or 0.0
    stop = "No turns are told for it until the cause is found; go by rule and tape."
    name = f"{side.capitalize()} tie rod"
    if effect.cause == "sense":
        arm = "ahead of" if seen > 0.0 else "behind"
        return (
            f"{name}: by the passes a longer rod turns its wheel {_way(seen)}; with the steering "
            f"arm {arm} the axle line it turns it {_way(-seen)}. Was the rod turned as written, "
            f"and does the arm lie where the job says? {stop}"
        )
    if effect.cause == "passes":
        return (
            f"{name}: the passes contradict each other about what a turn does, by more than 0.1 % "
            f"of faultless ones do. Was it turned as written before each of them? {stop}"
        )
    text = (
        f"{name}: the passes do not agree with thread and arm, beyond the "
        f"{'99.9' if effect.doubtful else '95'} % interval of the difference."
    )
    if not effect.doubtful:
        return f"{text} What the car did counts from now on."
    if abs(seen) <= COVERAGE_FACTOR * u:
        text += " The toe hardly moved: was this rod turned at all?"
    elif seen * (effect.arithmetic or 0.0) < 0.0:
        text += (
            " The toe went the other way: is the steering arm behind or ahead of the axle line as "
            "the job says, and was the rod turned as written?"
        )
    return f"{text} {stop}"


def _way(change: float) -> str:
    return "towards toe-in" if change > 0.0 else "towards toe-out"
