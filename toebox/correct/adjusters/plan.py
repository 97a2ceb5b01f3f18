"""From goals and effects to moves: bounded least squares, rounded to what can be set.

Each axle is worked out at once, since cross-camber and cross-caster tie its two wheels. A goal
counts by its tolerance. Nothing is moved for what is within its own 95 % interval: a change for the
sake of another goal that brings it nearer is welcome, one away from its goal or past it counts in
full. A wheel none of whose goals needs a change is left.
So is an adjuster whose own setting has no goal or no valid reading: it is not there to mend another
setting by a side effect. One whose own setting needs no change moves only where its wheel is set
anyway, and it is proven to be off its goal's middle or disturbed by a side effect that is known.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from toebox.correct.adjusters.bounded import Flags, bounded_least_squares, costs, round_together
from toebox.correct.adjusters.effects import Effects, amount_of, effects, motion
from toebox.correct.adjusters.judged import jointly, needed, off
from toebox.correct.adjusters.results import USUAL_TOLERANCE, AdjusterPlan, Move, Outcome
from toebox.correct.adjusters.worthwhile import least_between, least_part, pulled
from toebox.correct.reach import within_reach
from toebox.correct.rear import rear_corrections, rear_needs, thrust_goal
from toebox.estimate import Array
from toebox.job.model import AXLES, Adjuster, Goal, axle_of, both_rear_toes
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.parts import parts_of
from toebox.solve.results import PassSolution, Solution
from toebox.solve.standing import FRONT, REAR_TOE, Standing, basic_settings, standing

# Of several ways to the goals the one with the smallest moves is taken.
_LEAST_MOVES = 1e-3
_LITTLE = 1e-4  # of a tolerance: what smallest moves give away
TELL_TOE = ("total_toe.front", "steering_wheel", "total_toe.rear")
# Up to so many adjusters of an axle are rounded with two candidates each way, more with one.
_MOST_SPARE = 6


def plan_adjusters(solution: Solution) -> AdjusterPlan:
    """Work out how far to move every adjuster after the last pass.

    Parameters
    ----------
    solution : Solution
        A solved job.

    Returns
    -------
    AdjusterPlan
        Empty for a job without adjusters.
    """
    job = solution.job
    if not job.adjusters:
        return AdjusterPlan()
    stands = standing(solution)
    known = effects(solution)
    moved = {a.name: job.moved(a.name) for a in job.adjusters}
    moves: dict[str, Move] = {}
    outcomes: list[Outcome] = []
    to_measure: list[str] = []
    rear_first = False
    for axle in AXLES:
        adjusters = [a for a in job.adjusters if axle_of(a.wheel) == axle]
        if adjusters:
            problem = _Axle(solution, adjusters, known, moved)
            found, missing = problem.outcomes(stands)
            unread = problem.unread(stands)
            missing += [name for name in unread if name not in missing]
            # Of a tape behind alone the front does not hang on: nothing tells of the line.
            rear_first = rear_first or (bool(unread) and "thrust_angle" in stands)
            to_measure += missing
            stale = _kinds(name for name in missing if name in stands or name in unread)
            of_axle = problem.moves(found, problem.wrong(stands), stale)
            if any(problem.by_readings(name, stands) for name in REAR_TOE):
                of_axle = [m._replace(by_reading=m.adjuster.setting == "toe") for m in of_axle]
            after = problem.after(found, of_axle)
            if both_rear_toes(adjusters) and any(_spoilt(one) for one in after):
                of_axle = [_held(move) for move in of_axle]
                after = problem.after(found, of_axle)
            moves |= {move.adjuster.name: move for move in of_axle}
            outcomes += after
    ordered = tuple(moves[a.name] for a in job.adjusters)
    return AdjusterPlan(
        ordered, tuple(outcomes), _changes(ordered, known, moved), tuple(to_measure), rear_first
    )


@dataclass(frozen=True)
class _Axle:
    """The adjusters of one axle and what they are to put right."""

    solution: Solution
    adjusters: list[Adjuster]
    effects: Effects
    moved: Mapping[str, float]

    def goals(self, stands: Mapping[str, Standing]) -> Iterator[tuple[str, Goal]]:
        """Yield the goals that these adjusters are for.

        Rear wheels whose toe can be set on both sides are set along the car, goal or not, where the
        thrust angle was read: just as `toebox.correct.rear` sets them. Where it can be, but the job
        has an adjuster for one of them alone, both are set by their readings.
        """
        settable = {f"{adjuster.setting}.{adjuster.wheel}" for adjuster in self.adjusters}
        goals = self.solution.job.goals
        if both_rear_toes(self.adjusters) and "thrust_angle" in stands:
            goals = {"thrust_angle": Goal(thrust_goal(self.solution.job)), **goals}
        for name, goal in goals.items():
            basic = basic_settings(name)
            by_rods = any(part in FRONT for part in basic)
            if basic & settable and not by_rods and not self.by_readings(name, stands):
                yield name, goal

    def by_readings(self, name: str, stands: Mapping[str, Standing]) -> bool:
        """Return whether rear wheels are set by readings.

        So they are where one of them has no adjuster here, or one whose effect is not known.

        Parameters
        ----------
        name : str
            ``thrust_angle`` or ``total_toe.rear``; False for any other.
        stands : mapping of str to Standing
            Where each setting stands.

        Returns
        -------
        bool
            True where both toes were read.
        """
        job, stand = self.solution.job, stands.get(name)
        if name not in REAR_TOE or not job.car.rear_toe_settable:
            return False
        if both_rear_toes(self.adjusters):
            return self._blind_behind
        return stand is not None and rear_needs(job, self.solution.passes[stand.number]) is not None

    @property
    def _blind_behind(self) -> bool:
        """Return whether both rear wheels have an adjuster, and it is not known what one does."""
        known = all(self._known(one) for one in self.adjusters if one.setting == "toe")
        return both_rear_toes(self.adjusters) and not known

    def unread(self, stands: Mapping[str, Standing]) -> list[str]:
        """Return what must be read of rear wheels that are set by readings, before they are set.

        Parameters
        ----------
        stands : mapping of str to Standing
            Where each setting stands.

        Returns
        -------
        list of str
            Empty where the last pass that tells of toe has that of both, or no change is needed.
        """
        job, passes = self.solution.job, self.solution.passes
        if not (self._blind_behind and job.car.rear_toe_settable):
            return []
        goals = {"thrust_angle": Goal(thrust_goal(job)), **job.goals}
        told = [(name, stands.get(name)) for name in REAR_TOE if name in goals]
        if all(stand is None for _, stand in told):
            return []
        if any(stand is not None and stand.stale for _, stand in told):
            return [name for name, stand in told if stand is None or stand.stale]
        both = [n for n, one in enumerate(passes) if rear_needs(job, one) is not None]
        telling = [n for n, one in enumerate(passes) if any(t in one.results for t in TELL_TOE)]
        last = both[-1:]
        to_set = last and last != telling[-1:] and self._sets_rear(passes[last[0]])
        return [
            name
            for name, stand in told
            if stand and needed(goals[name], stand) and (to_set or stand.number not in last)
        ]

    def _sets_rear(self, solved: PassSolution) -> bool:
        """Return whether a pass tells to set a rear wheel by its reading."""
        job = self.solution.job
        rear = within_reach(job, solved, rear_corrections(job, solved), None)
        return any(wheel.to_set for wheel in rear)

    def outcomes(self, stands: Mapping[str, Standing]) -> tuple[list[Outcome], list[str]]:
        """Return the goals whose settings are known now, and those to be measured first."""
        known, missing = [], []
        for name, goal in self.goals(stands):
            stand = stands.get(name)
            if stand is None or stand.stale:
                missing.append(name)
            else:
                known.append((name, goal, stand))
        beyond = jointly(len(known))
        return [Outcome(*one, self._is_needed(*one, beyond)) for one in known], missing

    def _is_needed(self, name: str, goal: Goal, stand: Standing, beyond: float) -> bool:
        """Return whether the readings justify a change; rear toes are judged as a pair."""
        if name in REAR_TOE:
            of_pair = rear_needs(self.solution.job, self.solution.passes[stand.number])
            if of_pair is not None:
                return name in of_pair
        return needed(goal, stand, beyond)

    def wrong(self, stands: Mapping[str, Standing]) -> set[str]:
        """Return the settings of single wheels that miss their own goal, adjuster or not."""
        pairs = ((name, goal, stands.get(name)) for name, goal in self.solution.job.goals.items())
        return {n for n, goal, s in pairs if s and not s.stale and needed(goal, s)}

    def moves(self, outcomes: list[Outcome], wrong: set[str], stale: set[str]) -> list[Move]:
        """Return the best moves, rounded; none for a kind of setting that is to be read again."""
        low, high = self._bounds(outcomes, wrong, stale)
        a, b, content = self._equations(outcomes)
        even = bounded_least_squares(a, b, low, high, content)
        made = a @ even
        wants = a.T @ np.where(content, 0.0, b - made)  # what would go further, had it room
        little = _LITTLE * np.linalg.norm(a, axis=0)
        ends = (even <= low) & (wants < -little) | (even >= high) & (wants > little)
        between = pulled(self.adjusters, a, costs(made, b, content), b - made, outcomes)
        steps, far = self._steps(even, outcomes, between), _beyond(outcomes)
        grids = [
            self._grid(n, even[n], low[n], high[n]) if steps[a.setting, a.wheel] else [0.0]
            for n, a in enumerate(self.adjusters)
        ]
        evens = [
            [motion(adjuster, self.moved[adjuster.name], amount) for amount in grid]
            for adjuster, grid in zip(self.adjusters, grids, strict=True)
        ]
        chosen = round_together(a, b, even.tolist(), evens, content)
        return [
            Move(
                adjuster,
                self._amount(n, float(even[n])),
                grids[n][chosen[n]],
                at_limit=bool(low[n] < high[n] and ends[n]),
                known=self._known(adjuster),
                beyond=adjuster.setting in far,
                waits=adjuster.setting in stale,
            )
            for n, adjuster in enumerate(self.adjusters)
        ]

    def _steps(
        self, even: Array, outcomes: list[Outcome], between: Mapping[str, list[Outcome]]
    ) -> dict[tuple[str, str], bool]:
        """Return whether any whole step is wanted of all that set the same at one wheel.

        Where none is, nothing is opened for the sake of another setting's rounding.
        """
        by_name = {outcome.name: outcome for outcome in outcomes}
        parts: dict[tuple[str, str], float] = {}
        least: dict[tuple[str, str], float] = {}
        for n, adjuster in enumerate(self.adjusters):
            own = adjuster.setting, adjuster.wheel
            part = abs(self._amount(n, float(even[n]))) / adjuster.smallest_step
            parts[own] = parts.get(own, 0.0) + part
            if part:
                from_on = self._least(adjuster, by_name, between[adjuster.name])
                least[own] = min(least.get(own, math.inf), from_on)
        return {own: part > 0.5 and part >= least[own] for own, part in parts.items()}

    def _least(
        self, adjuster: Adjuster, outcomes: Mapping[str, Outcome], between: list[Outcome]
    ) -> float:
        """Return the part of a step of an adjuster from which on it is moved."""
        effect = self.effects[adjuster.name, adjuster.setting]
        if between and adjuster.setting != "toe":  # both rear wheels are judged as a pair
            return least_between(adjuster, effect, between)
        own = outcomes.get(f"{adjuster.setting}.{adjuster.wheel}")
        if own is not None:
            return least_part(adjuster, effect, own)
        pair = [outcomes[name] for name in REAR_TOE if name in outcomes]
        if both_rear_toes(self.adjusters) or len(pair) < len(REAR_TOE):
            return 0.5
        return least_between(adjuster, effect, pair)

    def after(self, outcomes: list[Outcome], moves: list[Move]) -> list[Outcome]:
        """Return the goals with what the rounded moves are expected to make of them."""
        changes = _changes(tuple(moves), self.effects, self.moved)
        after = []
        for outcome in outcomes:
            change, variance = 0.0, outcome.standing.result.u**2
            for basic, factor in parts_of(outcome.name).items():
                value, u = changes.get(basic, (0.0, 0.0))
                change += factor * value
                variance += (factor * u) ** 2
            after.append(outcome._replace(change=change, u=math.sqrt(variance)))
        return after

    def _known(self, adjuster: Adjuster) -> bool:
        return self.effects[adjuster.name, adjuster.setting].known

    def _amount(self, number: int, even: float) -> float:
        adjuster = self.adjusters[number]
        return amount_of(adjuster, self.moved[adjuster.name], even) + 0.0

    def _bounds(
        self, outcomes: list[Outcome], wrong: set[str], stale: set[str]
    ) -> tuple[Array, Array]:
        """Return how far each adjuster may go; 0 where it is to be left."""
        low, high = np.zeros(len(self.adjusters)), np.zeros(len(self.adjusters))
        free = [one for one in self._free(outcomes, wrong) if one.setting not in stale]
        for n, adjuster in enumerate(self.adjusters):
            if adjuster in free:
                low[n], high[n] = self._room(adjuster)
        return low, high

    def _room(self, adjuster: Adjuster) -> tuple[float, float]:
        """Return how far an adjuster can go still, back and ahead."""
        moved, (least, most) = self.moved[adjuster.name], adjuster.limits
        back, ahead = max(moved - least, 0.0), max(most - moved, 0.0)
        return motion(adjuster, moved, -back), motion(adjuster, moved, ahead)

    def _can_serve(self, adjuster: Adjuster, own: Outcome | None) -> bool:
        """Return whether an adjuster has the room to bring its own setting to its goal."""
        if own is None or not own.needed:
            return True
        effect = self.effects[adjuster.name, adjuster.setting].value
        left = min(abs(own.wanted - end * effect) for end in (0.0, *self._room(adjuster)))
        reached = any(end * effect / own.wanted >= 1.0 for end in self._room(adjuster))
        return reached or left <= (own.goal.tolerance or 0.0)

    def _free(self, outcomes: list[Outcome], wrong: set[str]) -> list[Adjuster]:
        """Return the adjusters that may be moved.

        Those whose own setting needs a change; at wheels that are set, those too whose setting is
        proven to be off its goal, if within its tolerance, or is disturbed by others.
        """
        far = _beyond(outcomes)
        standing = {basic for outcome in outcomes for basic in parts_of(outcome.name)}
        able = [
            (adjuster, own)
            for adjuster in self.adjusters
            if (own := f"{adjuster.setting}.{adjuster.wheel}") in standing
            and adjuster.setting not in far
            and self._known(adjuster)
        ]
        by_name = {outcome.name: outcome for outcome in outcomes}
        serving = {own for one, own in able if self._can_serve(one, by_name.get(own))}
        needed = self._to_set(outcomes, wrong, serving)
        first = [adjuster for adjuster, own in able if own in needed]
        wheels = {adjuster.wheel for adjuster in first}
        off = {outcome.name for outcome in outcomes if _proven(outcome)}
        return [
            adjuster
            for adjuster, own in able
            if own in needed
            or (own in off and adjuster.wheel in wheels)
            or any(self._disturbs(other, adjuster) for other in first)
        ]

    def _disturbs(self, other: Adjuster, adjuster: Adjuster) -> bool:
        """Return whether one adjuster is known to move the setting that another one is for."""
        effect = self.effects.get((other.name, adjuster.setting))
        known = effect is not None and effect.known and effect.value != 0.0
        return known and other.wheel == adjuster.wheel

    def _to_set(self, outcomes: list[Outcome], wrong: set[str], able: set[str]) -> set[str]:
        """Return the settings of single wheels that are to be changed.

        A wheel that is within its own goal is not taken out of it for its difference to one that
        misses its own and cannot be set.
        """
        settings: set[str] = set()
        for outcome in outcomes:
            terms = set(parts_of(outcome.name)) if outcome.needed else set()
            for basic in terms:
                stuck = ((terms - {basic}) & wrong) - able
                own = basic in self.solution.job.goals and basic not in wrong
                if not (own and stuck):
                    settings.add(basic)
        return settings

    def _equations(self, outcomes: list[Outcome]) -> tuple[Array, Array, Flags]:
        """Return effects, wanted changes, and which goals ask for none; small moves last.

        Each over its goal's tolerance. What is not proven is not changed for its own sake. For
        the sake of another goal it may come nearer to its own; away from that it counts in full,
        or the answer would hang on where it stands, and the next one would undo it.
        """
        count, far = len(self.adjusters), _beyond(outcomes)
        a, b = np.zeros((len(outcomes), count)), np.zeros(len(outcomes))
        content = np.zeros(len(outcomes), np.bool_)
        for row, outcome in enumerate(outcomes):
            if outcome.kind in far:  # bent or misread: neither mended nor kept by others
                continue
            b[row] = outcome.wanted / outcome.tolerance
            content[row] = not (outcome.needed or _proven(outcome))
            for basic, factor in parts_of(outcome.name).items():
                kind, _, wheel = basic.partition(".")
                for n, adjuster in enumerate(self.adjusters):
                    effect = self.effects.get((adjuster.name, kind))
                    if adjuster.wheel == wheel and effect is not None and effect.known:
                        a[row, n] += factor * effect.value / outcome.tolerance
        size = np.linalg.norm(a, axis=0)
        small = np.diag(_LEAST_MOVES * np.where(size > 0.0, size, 1.0))
        table = np.vstack([a, *self._kept(outcomes), small])
        none = np.zeros(len(table) - len(b))
        return table, np.append(b, none), np.append(content, none > 0.0)

    def _kept(self, outcomes: list[Outcome]) -> list[Array]:
        """Return a row that keeps the rear total toe where it has no goal and thrust has one."""
        names = {outcome.name for outcome in outcomes}
        goals = "thrust_angle" in names and "total_toe.rear" not in names
        if not (goals and both_rear_toes(self.adjusters)):
            return []
        effects = [self.effects[adjuster.name, "toe"] for adjuster in self.adjusters]
        row = [effect.value if effect.known else 0.0 for effect in effects]
        return [np.array(row) / USUAL_TOLERANCE["toe"]]

    def _grid(self, number: int, even: float, low: float, high: float) -> list[float]:
        """Return the moves that can be set near the best one, within the room.

        Two each way, or one where many adjusters would make too many combinations.
        """
        step, exact = self.adjusters[number].smallest_step, self._amount(number, even)
        least, most = self._amount(number, low), self._amount(number, high)
        below = math.floor(exact / step + 1e-9)
        spare = 1 if len(self.adjusters) <= _MOST_SPARE else 0
        near = [n * step for n in range(below - spare, below + 2 + spare)] if low < high else [0.0]
        return [x for x in near if least - 1e-9 <= x <= most + 1e-9] or [0.0]


def _kinds(names: Iterable[str]) -> set[str]:
    """Return the kinds of setting, such as ``camber``, that results are made of."""
    return {basic.partition(".")[0] for name in names for basic in basic_settings(name)}


def _proven(outcome: Outcome) -> bool:
    """Return whether a setting is proven to be off the middle of its goal."""
    return off(outcome.goal, outcome.standing)


def _spoilt(outcome: Outcome) -> bool:
    """Return whether one goal of rear toe would be moved off for the sake of the other."""
    off = abs(outcome.remains) > max(abs(outcome.wanted), COVERAGE_FACTOR * outcome.u)
    return outcome.name in REAR_TOE and off


def _held(move: Move) -> Move:
    """Return a rear wheel's toe that is left, since the other one has no room to go with it."""
    if move.adjuster.setting != "toe":
        return move
    return move._replace(exact=0.0, amount=0.0, held=move.amount != 0.0)


def _beyond(outcomes: list[Outcome]) -> set[str]:
    """Return the settings of which so much is wanted that adjusters are not meant for it."""
    return {outcome.kind for outcome in outcomes if outcome.beyond}


def _changes(
    moves: tuple[Move, ...], known: Effects, moved: Mapping[str, float]
) -> dict[str, tuple[float, float]]:
    """Return what moves do to the settings of single wheels, with standard uncertainties."""
    changes: dict[str, tuple[float, float]] = {}
    for move in moves:
        if not move.amount:
            continue
        even = motion(move.adjuster, moved[move.adjuster.name], move.amount)
        for kind in ("caster", "camber", "toe"):
            effect = known.get((move.adjuster.name, kind))
            if effect is not None:
                name = f"{kind}.{move.adjuster.wheel}"
                value, u = changes.get(name, (0.0, 0.0))
                changes[name] = value + even * effect.value, math.hypot(u, even * effect.u)
    return changes
