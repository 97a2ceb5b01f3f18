"""Which way unequal caster and camber would make the car drift, and toe-out on turns."""

from __future__ import annotations

import math
from collections.abc import Mapping

from toebox.geometry.turning import outer_angle
from toebox.job.model import SIDES, Job, Pass
from toebox.report.blocks import Block, Paragraph, Section, Table
from toebox.report.view.words import value_of
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution, Result, Solution
from toebox.solve.standing import Standing
from toebox.units import write

CROWN = (
    "Common practice, no published source. A road that falls away to one side (its crown) pulls "
    "down the slope and masks both: try a level road, in both directions. Tyres pull as well: swap "
    "the front ones from side to side and see whether the drift changes sides."
)


def drift(stands: Mapping[str, Standing]) -> Section | None:
    """Say which way the car would drift.

    Parameters
    ----------
    stands : mapping of str to Standing
        Where each setting stands.

    Returns
    -------
    Section or None
        None where neither cross-caster nor cross-camber of the front wheels is known.
    """
    sides, lines = [], []
    for kind in ("caster", "camber"):
        stand = stands.get(f"cross_{kind}.front")
        if stand is not None and not stand.stale:
            side, text = _one(kind, stand.result)
            sides += [side] * bool(side)
            lines.append(text)
    if not lines:
        return None
    if len(set(sides)) == 2:
        lines.append("The two pull opposite ways; which is stronger depends on the car.")
    elif len(sides) == 2:
        lines.append(f"Both pull to the {sides[0]}.")
    blocks: tuple[Block, ...] = (Paragraph(" ".join(lines)), Paragraph(CROWN, "note"))
    return Section("Which way it would drift", blocks)


def _one(kind: str, cross: Result) -> tuple[str, str]:
    """Return the side to which a difference pulls (empty where unproven), and a sentence."""
    size = write.degrees(abs(cross.value))
    half = write.degrees(COVERAGE_FACTOR * cross.u)
    if abs(cross.value) <= COVERAGE_FACTOR * cross.u:
        return "", (
            f"{kind.capitalize()} differs between the sides by no more than these readings can "
            f"prove ({size} ± {half})."
        )
    more, less = ("left", "right") if cross.value > 0.0 else ("right", "left")
    if kind == "caster":
        return less, (
            f"By caster the car would drift to the {less}: that side has {size} less positive "
            f"caster (± {half})."
        )
    return more, (
        f"By camber the car would drift to the {more}: that side has {size} more positive camber, "
        f"its top further out (± {half})."
    )


def turning_circle(solution: Solution) -> Section | None:
    """Compare toe-out on turns with the Ackermann relation.

    Parameters
    ----------
    solution : Solution
        A solved job.

    Returns
    -------
    Section or None
        None where no pass has turn-plate angles of both wheels.
    """
    solved = next((s for s in reversed(solution.passes) if s.readings.turn), None)
    if solved is None:
        return None
    job, rows = solution.job, []
    for side in SIDES:
        result = solved.get(f"toe_out_on_turn.{side}")
        if result is not None:
            inner = _mean(solved.readings, side, "inner")
            relation = ackermann(job, inner)
            rows.append(
                (
                    f"To the {side}",
                    write.degrees(inner, 1),
                    write.degrees(_mean(solved.readings, side, "outer"), 1),
                    value_of(result.name, result.value, job),
                    f"± {write.degrees(COVERAGE_FACTOR * result.u)}",
                    write.degrees(relation) if relation is not None else "needs track, wheelbase",
                )
            )
    columns = ("Steered", "Inner wheel", "Outer wheel", "Toe-out", "95 %", "By Ackermann")
    words = [_compared(solved)]
    words.append(
        "For information: cot(outer) - cot(inner) = track / wheelbase (ISO 8855:2011, 7.1.9), the "
        "track taken between the tyres. Many cars depart from it on purpose; the maker's figure "
        "governs. It cannot be adjusted: a difference from side to side points to a bent steering "
        "arm, or to a steering gear that is not centred."
    )
    notes = tuple(Paragraph(text, "note") for text in words if text)
    return Section("Toe-out on turns", (Table(columns, tuple(rows), "lrrrrr"), *notes))


def ackermann(job: Job, inner: float) -> float | None:
    """Return the toe-out on a turn by the Ackermann relation.

    Parameters
    ----------
    job : Job
        Track and wheelbase of the car.
    inner : float
        Steer angle of the inner wheel [rad].

    Returns
    -------
    float or None
        Inner minus outer angle [rad]; None where the car's sizes are not given.
    """
    track, wheelbase = job.car.track.get("front"), job.car.wheelbase
    if track is None or wheelbase is None:
        return None
    return inner - float(outer_angle(inner, wheelbase, track))


def _mean(readings: Pass, side: str, which: str) -> float:
    values = getattr(readings.turn[side], which)
    return float(sum(values) / len(values))


def _compared(solved: PassSolution) -> str:
    """Compare the two sides, where both inner angles are alike."""
    left, right = (solved.get(f"toe_out_on_turn.{side}") for side in SIDES)
    if left is None or right is None:
        return ""
    inner = [_mean(solved.readings, side, "inner") for side in SIDES]
    if abs(inner[0] - inner[1]) > math.radians(1.0):
        return "The two sides were not turned equally far, so they cannot be compared."
    difference, u = abs(left.value - right.value), math.hypot(left.u, right.u)
    half = write.degrees(COVERAGE_FACTOR * u)
    if difference <= COVERAGE_FACTOR * u:
        size = write.degrees(difference)
        return f"Both sides agree as far as these readings tell ({size} ± {half})."
    return (
        f"The sides differ by {write.degrees(difference)} (± {half}): look for a bent steering arm "
        "and check that the gear is centred."
    )
