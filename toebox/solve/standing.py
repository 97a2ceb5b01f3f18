"""Where each setting stands: its newest value, and whether something was turned since."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

from toebox.job.model import SIDES, Adjuster, Goal, Job, Pass, axle_of
from toebox.solve.decide import COVERAGE_FACTOR, decide
from toebox.solve.parts import parts_of
from toebox.solve.results import Decision, PassSolution, Result, Solution

REAR = ("toe.left_rear", "toe.right_rear")
REAR_TOE = ("total_toe.rear", "thrust_angle")  # results that the toes of the rear wheels make
FRONT = ("toe.left_front", "toe.right_front")
CROSS = ("cross_camber.front", "cross_camber.rear", "cross_caster.front")
_SET = ("toe.", "camber.", "caster.")  # what tie rods and adjusters set
UNWRITTEN = "nothing says what was turned"
# Over its standard uncertainty: beyond this, one goal of two is missed beyond their joint 95 %.
BOTH_PROVEN = 2.45


class Standing(NamedTuple):
    """The newest value of one setting.

    Parameters
    ----------
    result : Result
        As measured.
    number : int
        Which pass it comes from, counted from 0 [-].
    decision : Decision or None
        How it stood against its goal then.
    disturbed_in : int or None
        The first later pass before which something was turned that moves it; None where it is
        valid still [-].
    disturbed_by : tuple of str
        What was turned then; `UNWRITTEN` where the pass leaves that open, or reads the front wheels
        anew and does not say.
    over_passes : bool
        Whether it is a difference of two wheels read in two passes, which no pass has.
    """

    result: Result
    number: int
    decision: Decision | None = None
    disturbed_in: int | None = None
    disturbed_by: tuple[str, ...] = ()
    over_passes: bool = False

    @property
    def stale(self) -> bool:
        """Return whether a later turn has disturbed it, or may have."""
        return self.disturbed_in is not None

    @property
    def outcome(self) -> str:
        """Return how it stood against its goal; empty without one, or a tolerance."""
        return self.decision.outcome if self.decision is not None else ""

    @property
    def why(self) -> str:
        """Return in words why it is stale."""
        if UNWRITTEN in self.disturbed_by:
            return "nothing says what was turned since it was read"
        return "turned since it was read"


def standing(solution: Solution) -> dict[str, Standing]:
    """Return where every setting stands that was ever measured.

    Parameters
    ----------
    solution : Solution
        A solved job.

    Returns
    -------
    dict of str to Standing
        By name of result. The strings' own place (``box.*``) is no setting of the car. A
        difference of the sides is that of the newest valid values of both wheels.
    """
    names = dict.fromkeys(name for solved in solution.passes for name in solved.results)
    stands = {name: _one(solution, name) for name in names if not name.startswith("box.")}
    for name in CROSS:
        told = stands.get(name)
        pair = [stands.get(part) for part in sorted(basic_settings(name))]
        newest = _difference(solution, name, pair)
        if newest is not None and (told is None or told.stale or told.number < newest.number):
            stands[name] = newest
    return stands


def _difference(solution: Solution, name: str, pair: list[Standing | None]) -> Standing | None:
    """Return left minus right of two wheels read in two passes; None where either is not valid.

    How their errors go together nobody knows (the same floor, the same gauge), so that the
    uncertainty is the largest that it can be.
    """
    left, right = pair
    if left is None or right is None or left.stale or right.stale:
        return None
    value, u = left.result.value - right.result.value, left.result.u + right.result.u
    result, goal = Result(name, value, u), solution.job.goals.get(name)
    decision = decide(result, goal) if goal is not None else None
    return Standing(result, max(left.number, right.number), decision, over_passes=True)


def _one(solution: Solution, name: str) -> Standing:
    passes = solution.passes
    number = max(n for n, solved in enumerate(passes) if name in solved.results)
    solved: PassSolution = passes[number]
    found = Standing(solved[name], number, solved.decisions.get(name))
    rests_on_rear = solution.job.rear_unwritten and _front_on_rear(name)
    on_rear = solution.job.rear_unwritten and not basic_settings(name).isdisjoint(REAR)
    to_set = on_rear and _rear_to_set(solution.job, solved)
    thrust = solved.get("thrust_angle")
    for later in range(number + 1, len(passes)):
        turned = tuple(disturbers(solution.job, passes[later].readings, name))
        after = passes[later].get("thrust_angle")
        if not turned and unwritten(solution.job, passes[later], name):
            turned = (UNWRITTEN,)
        if not turned and rests_on_rear and _differ(thrust, after):
            turned = ("rear wheels",)
        if not turned and to_set and _reads(passes[later], (*FRONT, *REAR)):
            turned = (UNWRITTEN,)
        if turned:
            return Standing(found.result, number, found.decision, later, turned)
        thrust = thrust or after
    return found


def unwritten(job: Job, solved: PassSolution, name: str) -> bool:
    """Return whether what moves a setting may have been turned before a pass, nobody knows how far.

    Whoever reads the front wheels anew has turned something, or else writes that nothing was.

    Parameters
    ----------
    job : Job
        Its adjusters.
    solved : PassSolution
        The pass.
    name : str
        Name of the setting.

    Returns
    -------
    bool
        Whether that is left open; of the front wheels, whether they are read and nothing is said.
    """
    moves_it = bool(basic_settings(name).intersection(FRONT))
    return left_open(job, solved.readings, name) or (moves_it and silent(solved))


def silent(solved: PassSolution, wheels: Sequence[str] = FRONT) -> bool:
    """Return whether a pass reads some wheels and says nothing of what was turned before it.

    Parameters
    ----------
    solved : PassSolution
        The pass.
    wheels : sequence of str
        Their toes.

    Returns
    -------
    bool
        Not so where it says that nothing was, or that nobody knows.
    """
    told = solved.readings
    return not (told.turned or told.moved or told.turns_unknown) and _reads(solved, wheels)


def uncounted(
    passes: Sequence[PassSolution], name: str, wheels: Sequence[str] = FRONT
) -> bool:
    """Return whether something may have been turned since the first pass, nobody knows how far.

    Parameters
    ----------
    passes : sequence of PassSolution
        In their order.
    name : str
        Side of a tie rod, or name of an adjuster.
    wheels : sequence of str
        Toes that it moves, with those of the other side.

    Returns
    -------
    bool
        Whether a later pass leaves it open, or reads these wheels and says nothing.
    """
    return any(name in one.readings.turns_unknown or silent(one, wheels) for one in passes[1:])


def _reads(solved: PassSolution, wheels: Sequence[str]) -> bool:
    """Return whether a pass tells anything of the toe of some wheels."""
    return any(basic_settings(result).intersection(wheels) for result in solved.results)


def _rear_to_set(job: Job, solved: PassSolution) -> bool:
    """Return whether the rear wheels, which nobody writes of, were to be set after a pass.

    That is so where both were measured, and one of their goals is proven to be missed whatever is
    known of the other.
    """
    if not solved.results.keys() >= set(REAR):
        return False
    wanted = {"thrust_angle": Goal(0.0), **job.goals}
    return any(
        abs(solved[name].value - wanted[name].value) > BOTH_PROVEN * solved[name].u
        and solved.outcome(name) != "within"
        for name in REAR_TOE
        if name in wanted
    )


def _front_on_rear(name: str) -> bool:
    """Return whether a setting is one of the front wheels relative to the rear ones."""
    basic = basic_settings(name)
    return bool(basic.intersection(FRONT) and basic.intersection(REAR))


def _differ(before: Result | None, after: Result | None) -> bool:
    """Return whether two values of a setting differ beyond the 95 % interval of their difference.

    Nobody writes down what was done at rear wheels without an adjuster in the job: another thrust
    angle there tells that they were set.
    """
    if before is None or after is None:
        return False
    return abs(after.value - before.value) > COVERAGE_FACTOR * math.hypot(after.u, before.u)


def disturbers(job: Job, readings: Pass, name: str) -> Iterator[str]:
    """Yield what was turned before a pass and moves a setting.

    Parameters
    ----------
    job : Job
        Its adjusters.
    readings : Pass
        Tells what was turned.
    name : str
        Name of the setting.

    Yields
    ------
    str
        Names of tie rods and adjusters.
    """
    turned = [side for side, done in readings.turned.items() if done.lengthen]
    moved = [adjuster for adjuster, amount in readings.moved.items() if amount]
    return _moving(job, (*turned, *moved), name)


def _moving(job: Job, names: Collection[str], name: str) -> Iterator[str]:
    """Yield which of some tie rods, by side, and adjusters, by name, move a setting."""
    if not names:
        return
    basic = basic_settings(name)
    for side in names:
        if side in SIDES and f"toe.{side}_front" in basic:
            yield f"{side} tie rod"
    for adjuster in job.adjusters:
        if adjuster.name in names and basic & touched(adjuster):
            yield adjuster.name


def left_open(job: Job, readings: Pass, name: str) -> bool:
    """Return whether what was turned before a pass and would move a setting is given as ``"?"``.

    Parameters
    ----------
    job : Job
        Its adjusters.
    readings : Pass
        Tells what was turned.
    name : str
        Name of the setting.

    Returns
    -------
    bool
        Whether a tie rod or an adjuster that moves it is open.
    """
    return any(_moving(job, readings.turns_unknown, name))


def basic_settings(name: str) -> frozenset[str]:
    """Return the toes, cambers and casters that a setting is made of.

    Parameters
    ----------
    name : str
        Name of the setting.

    Returns
    -------
    frozenset of str
        Such as ``toe.left_front``. Setback follows caster, since setting caster moves the wheel
        forwards or back; an inclination follows camber and caster.
    """
    kind, _, where = name.partition(".")
    if kind == "setback":
        return frozenset({"caster.left_front", "caster.right_front"})
    if kind == "steering_axis_inclination":
        return frozenset({f"caster.{where}", f"camber.{where}"})
    return frozenset(part for part in parts_of(name) if part.startswith(_SET))


def touched(adjuster: Adjuster) -> frozenset[str]:
    """Return the toes, cambers and casters that an adjuster moves.

    Parameters
    ----------
    adjuster : Adjuster
        With its stated effects.

    Returns
    -------
    frozenset of str
        Its own, and all others of its wheel but those that the job states an effect of 0 for.
    """
    kinds = ["camber", "toe"] + ["caster"] * (axle_of(adjuster.wheel) == "front")
    moved = [kind for kind in kinds if adjuster.effect.get(kind) != 0.0]
    return frozenset(f"{kind}.{adjuster.wheel}" for kind in (adjuster.setting, *moved))
