"""What one unit of each adjuster does: by arithmetic, as stated, and as the passes have shown.

Arithmetic and stated effects come with an uncertainty of their own. Over the passes each setting
is ``at the start + sum of (effect * moved so far)``; a weighted fit of that line, with what was
known before as further rows, gives the effects as learned (GUM 5.1.2). What the readings of two
passes have in common, such as a gauge's zero or a floor taken as level, drops out of a change.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from toebox.correct.adjusters.results import Effect
from toebox.correct.rods import lengthening_per_turn, shortening
from toebox.estimate import Array
from toebox.geometry.adjuster import cam_movement, tilt_by_movement, tilt_by_shims
from toebox.geometry.linkage import toe_change
from toebox.job.model import Adjuster, TieRod, axle_of, side_of
from toebox.reliability import DOUBTFUL_ABOVE
from toebox.solve.results import PassSolution, Solution
from toebox.solve.standing import FRONT, REAR, uncounted
from toebox.solve.unexplained import parted

# Standard uncertainties of effects, relative to them. Common practice, no published source:
# lever arms are read off a car with a tape, and joints do not move square to them.
ARITHMETIC_U, STATED_U = 0.2, 0.1
# A side effect that nobody stated: none, within this share of the main effect.
SIDE_EFFECT_U = 0.3
UNKNOWN_U = math.radians(10.0)
# The passes have taught something where they shrink an uncertainty to this share or less.
LEARNED_SHARE = 0.7
# Strings are mostly set up anew for a pass, and the car is rolled: how they stand, and where a rim
# wobbles most, is no common part.
SET_UP_ANEW = (
    "assumed.strings_parallel_within",
    "assumed.box_square_within",
    "assumed.rim_runout",
    "assumed.steering_wheel_straight_within",
    "assumed.turn_plates_zero_within",
)
_ONE_DEGREE = math.radians(1.0)

Effects = Mapping[tuple[str, str], Effect]
"""By name of adjuster and kind of setting (``caster``, ``camber``, ``toe``)."""


def motion(adjuster: Adjuster, moved: float, amount: float) -> float:
    """Return a move in units of equal effect.

    Parameters
    ----------
    adjuster : Adjuster
        Which one.
    moved : float
        How far it stands from where it stood at first, in its units [-].
    amount : float
        The move, in its units [-].

    Returns
    -------
    float
        The same; for a cam the degrees at its middle that would do as much [-].
    """
    if adjuster.kind != "cam":
        return amount
    position = adjuster.position + math.radians(moved)
    return float(cam_movement(1.0 / _ONE_DEGREE, position, math.radians(amount)))


def amount_of(adjuster: Adjuster, moved: float, even: float) -> float:
    """Return the move that `motion` makes `even` of.

    Parameters
    ----------
    adjuster : Adjuster
        Which one.
    moved : float
        How far it stands from where it stood at first, in its units [-].
    even : float
        Move in units of equal effect [-].

    Returns
    -------
    float
        Move in its own units; of a cam, no further than a quarter turn from its middle [-].
    """
    if adjuster.kind != "cam":
        return even
    position = adjuster.position + math.radians(moved)
    sine = math.sin(position) + even * _ONE_DEGREE
    return math.degrees(math.asin(max(-1.0, min(1.0, sine))) - position)


def by_arithmetic(adjuster: Adjuster) -> float | None:
    """Return what one unit does to the setting that an adjuster is for.

    Parameters
    ----------
    adjuster : Adjuster
        With thread, cam or shims and the lever arm.

    Returns
    -------
    float or None
        Change for one unit the positive way [rad]; None where a size is missing.
    """
    if adjuster.lever_arm is None:
        return None
    lever, ratio, sense = adjuster.lever_arm, adjuster.ratio, adjuster.sense
    if adjuster.thread is not None:
        advance = abs(shortening(adjuster.thread, adjuster.second_thread))
        return sense * float(tilt_by_movement(advance * ratio, lever))
    if adjuster.eccentricity is not None:
        return sense * float(tilt_by_movement(adjuster.eccentricity * _ONE_DEGREE * ratio, lever))
    if adjuster.thickness is not None:
        return sense * float(tilt_by_shims(adjuster.thickness * ratio, lever))
    return None


def effects(solution: Solution) -> Effects:
    """Return what one unit of every adjuster does to caster, camber and toe of its wheel.

    Parameters
    ----------
    solution : Solution
        A solved job.

    Returns
    -------
    mapping of (str, str) to Effect
        By name of adjuster and kind of setting.
    """
    found: dict[tuple[str, str], Effect] = {}
    job = solution.job
    for wheel in dict.fromkeys(adjuster.wheel for adjuster in job.adjusters):
        adjusters = [adjuster for adjuster in job.adjusters if adjuster.wheel == wheel]
        lost = [_lost(solution, adjuster) for adjuster in adjusters]
        kinds = ["caster"] * (axle_of(wheel) == "front") + ["camber", "toe"]
        for kind in kinds:
            before = [_before(adjuster, kind) for adjuster in adjusters]
            after = _learned(solution, wheel, kind, adjusters, before)
            for adjuster, effect, gone in zip(adjusters, after, lost, strict=True):
                found[adjuster.name, kind] = effect._replace(lost=gone)
    return found


def _lost(solution: Solution, adjuster: Adjuster) -> bool:
    """Return whether it is a cam that may stand anywhere: the same turn may do the opposite."""
    wheels = FRONT if axle_of(adjuster.wheel) == "front" else REAR
    return adjuster.kind == "cam" and uncounted(solution.passes, adjuster.name, wheels)


def _before(adjuster: Adjuster, kind: str) -> Effect:
    """Return an effect before any pass has taught something."""
    stated = adjuster.effect.get(kind)
    if stated is not None:
        return Effect(stated, STATED_U * abs(stated), "stated")
    main = adjuster.effect.get(adjuster.setting, by_arithmetic(adjuster))
    if main is None:
        return Effect(0.0, UNKNOWN_U, "unknown")
    if kind == adjuster.setting:
        return Effect(main, ARITHMETIC_U * abs(main), "arithmetic")
    return Effect(0.0, SIDE_EFFECT_U * abs(main), "unknown")


@dataclass
class _History:
    """One setting over the passes: what was read, and how far everything stood by then."""

    values: list[float]
    u: list[float]
    moved: list[list[float]]  # a row for each reading
    stretch: list[int]  # number of the stretch of passes that known moves join, for each reading


def _learned(
    solution: Solution,
    wheel: str,
    kind: str,
    adjusters: list[Adjuster],
    before: list[Effect],
) -> list[Effect]:
    """Fit the line of one setting over the passes, with what was known before as rows."""
    history = _history(solution, wheel, kind, adjusters)
    if not any(any(row) for row in history.moved):
        return before
    known = [(effect.value, max(effect.u, 1e-9)) for effect in before]
    if kind == "toe" and axle_of(wheel) == "front":
        known.append(_of_tie_rod(solution.job.tie_rods.get(side_of(wheel))))
    starts = np.equal.outer(history.stretch, sorted(set(history.stretch)))  # a zero for each
    rows = np.column_stack([starts, np.array(history.moved)])
    priors = np.column_stack([np.zeros((len(known), starts.shape[1])), np.eye(len(known))])
    u = np.array([*history.u, *(each for _, each in known)])
    wanted = np.array([*history.values, *(value for value, _ in known)])
    table = np.vstack([rows, priors]) / u[:, None]
    solved, covariance = _solve(table, wanted / u)
    return [
        _updated(effect, float(solved[n]), math.sqrt(covariance[n, n]))
        for n, effect in enumerate(before, start=starts.shape[1])
    ]


def _solve(table: Array, wanted: Array) -> tuple[Array, Array]:
    """Solve equations of unit weight; return unknowns and their covariance."""
    scale = np.linalg.norm(table, axis=0)
    q, r = np.linalg.qr(table / scale)
    inverse = np.linalg.inv(r) / scale[:, None]
    return inverse @ (q.T @ wanted), inverse @ inverse.T


def _updated(before: Effect, value: float, u: float) -> Effect:
    """Return an effect after the fit; how far it moved tells whether both can be true."""
    moved_by = math.sqrt(max(before.u**2 - u**2, 0.0))
    contradicted = abs(value - before.value) > DOUBTFUL_ABOVE * moved_by > 0.0
    if u > LEARNED_SHARE * before.u:
        return Effect(value, min(u, before.u), before.source, contradicted)
    return Effect(value, u, "learned", contradicted)


def _history(solution: Solution, wheel: str, kind: str, adjusters: list[Adjuster]) -> _History:
    """Collect the passes that measured a setting, with all that was moved up to each."""
    name = f"{kind}.{wheel}"
    # One front toe alone depends on how straight the steering wheel was clamped.
    told_by = "total_toe.front" if kind == "toe" and axle_of(wheel) == "front" else name
    read = [solved for solved in solution.passes if name in solved.results]
    alike = len({_assumed(solved, name) for solved in read}) == 1
    history, stretch = _History([], [], [], []), 0
    stands, rod = dict.fromkeys((a.name for a in adjusters), 0.0), 0.0
    for number, solved in enumerate(solution.passes, start=1):
        stretch += parted(solution.job, solution.passes[:number], told_by)
        for adjuster in adjusters:
            stands[adjuster.name] += solved.readings.moved.get(adjuster.name, 0.0)
        turned = solved.readings.turned.get(side_of(wheel))
        rod += turned.lengthen if turned and axle_of(wheel) == "front" else 0.0
        if name in solved.results:
            row = [motion(adjuster, 0.0, stands[adjuster.name]) for adjuster in adjusters]
            row += [rod] * (kind == "toe" and axle_of(wheel) == "front")
            history.moved.append(row)
            history.values.append(solved[name].value)
            u = _own_u(solved, name) if alike else solved[name].u
            history.u.append(max(u, 1e-9))
            history.stretch.append(stretch)
    return history


def _parts(solved: PassSolution, name: str) -> list[tuple[str, float]]:
    """Return assumption (empty for a reading) and contribution of each observation."""
    parts = solved.contributions(name)
    return [(one.label if one.assumed else "", part) for one, part in parts]


def _assumed(solved: PassSolution, name: str) -> frozenset[str]:
    """Return the assumptions that a result rests on noticeably."""
    least = 1e-3 * solved[name].u
    return frozenset(label for label, part in _parts(solved, name) if label and abs(part) > least)


def _own_u(solved: PassSolution, name: str) -> float:
    """Return the uncertainty of a result by all that is not the same in the next pass."""
    parts = _parts(solved, name)
    own = (part for label, part in parts if not label or label.startswith(SET_UP_ANEW))
    return math.hypot(*own)


def _of_tie_rod(rod: TieRod | None) -> tuple[float, float]:
    """Return what a turn of the tie rod does to toe, and its uncertainty."""
    per_turn = lengthening_per_turn(rod) if rod is not None else None
    if rod is None or per_turn is None or rod.arm_length is None:
        return 0.0, UNKNOWN_U
    value = float(toe_change(rod.arm_length, abs(per_turn), rod.arm_behind))
    return value, ARITHMETIC_U * abs(value)
