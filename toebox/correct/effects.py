"""What one turn of a tie rod does to the toe: by arithmetic, by what the passes showed, by both.

Arithmetic says that a turn changes the toe by thread travel over arm length. What was turned
between two passes, and how the results changed, says it too. Both are weighted by their
uncertainties in one least-squares fit over all passes (GUM 5.1.2, annex H.3), so a pass may hold
whatever readings it likes: what it determines of the front wheels and the thrust line counts.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

import numpy as np

from toebox.correct.gear import GearCentre
from toebox.correct.rods import COUNT_U, arm_uncertainty, lengthening_per_turn
from toebox.estimate import Array, Estimate, fit
from toebox.job.model import SIDES, Job, TieRod, axle_of
from toebox.reliability import DOUBTFUL_ABOVE, scatter_limit
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.equations import RECTANGULAR
from toebox.solve.parts import parts_of
from toebox.solve.results import PassSolution
from toebox.solve.unexplained import parted

# Beyond this ratio to the arithmetic, what was observed is no worn thread or misread arm any more:
# something else is wrong (common practice, no published source).
LARGEST_RATIO = 2.5
LEAST_U = 1e-9  # keeps readings stated as perfect from dividing by zero [rad]
# What the front of a pass may be told by, the plainest first.
TOLD_BY = (
    "toe.left_front",
    "toe.right_front",
    "thrust_angle",
    "toe_to_thrust.left_front",
    "toe_to_thrust.right_front",
    "total_toe.front",
    "steering_wheel",
)
# What a turn usually does: 1.5 mm over 140 mm (common practice, no published source) [rad].
USUAL_EFFECT = 1.5 / 140.0
# More than this of them never tell more: two toes and the thrust line stand behind them all.
AT_MOST = 3


class Effect(NamedTuple):
    """The change of a wheel's toe for one turn that lengthens its tie rod.

    Parameters
    ----------
    per_turn : float
        Best value, towards toe-in positive [rad]; strictly, the sine of the change.
    u : float
        Its standard uncertainty [rad].
    arithmetic : float or None
        From thread and arm alone [rad]; None where either is not given.
    u_arithmetic : float or None
        Its standard uncertainty [rad].
    observed : float or None
        From the passes alone, as far as they tell it [rad].
    u_observed : float or None
        Its standard uncertainty [rad].
    disagrees : bool
        Whether the two differ by more than the 95 % interval of their difference; beyond
        `LARGEST_RATIO` or in sign, by more than the 99.9 % interval.
    doubtful : bool
        Whether they disagree so much that no turns should be worked out before the cause is found.
    cause : str
        Why it is doubtful: ``arithmetic``; where there is none, ``sense``, since the steering arm
        lies on the other side for that, or ``passes``, since those contradict each other.
    """

    per_turn: float
    u: float
    arithmetic: float | None = None
    u_arithmetic: float | None = None
    observed: float | None = None
    u_observed: float | None = None
    disagrees: bool = False
    doubtful: bool = False
    cause: str = ""

    @property
    def against_arm(self) -> bool:
        """Return whether the passes show the opposite of what the side of the arm says."""
        turned_round = (self.observed or 0.0) * (self.arithmetic or 0.0) < 0.0
        return self.cause == "sense" or (self.doubtful and turned_round)


Value = tuple[float, float]  # a value and its standard uncertainty


class Known(NamedTuple):
    """What thread, arm and all passes up to now tell of the front.

    Parameters
    ----------
    effects : mapping of str to Effect
        What a turn does, by side.
    total : tuple of float or None
        Front total toe now and its standard uncertainty, from earlier passes and what was
        turned since [rad]; None where that does not tell it.
    difference : tuple of float or None
        Half the difference of the front toes, left minus right, relative to the thrust line,
        likewise [rad].
    count_again : bool
        Whether the last count of turns to the locks told to move the steering wheel on its spline.
    gear_centred : bool
        Whether it found the gear in its middle: no turn of a tie rod changes that.
    """

    effects: Mapping[str, Effect]
    total: Value | None = None
    difference: Value | None = None
    count_again: bool = False
    gear_centred: bool = False


def _arithmetic(rod: TieRod) -> Value | None:
    """Return the effect of a turn by thread and arm, with its uncertainty by that of the arm."""
    per_turn = lengthening_per_turn(rod)
    if per_turn is None or rod.arm_length is None:
        return None
    value = abs(per_turn) / rod.arm_length * (1.0 if rod.arm_behind else -1.0)
    return value, abs(value) * arm_uncertainty(rod) / rod.arm_length


def _seen(observed: Value, sense: int, contradicted: bool) -> Effect | None:
    """Return what the passes alone tell; None where that is nothing, or hardly of that sign."""
    value, u = observed
    against = value * sense < 0.0
    if abs(value) <= (DOUBTFUL_ABOVE if against else COVERAGE_FACTOR) * u:
        return None
    cause = "sense" if against else "passes" if contradicted else ""
    wrong = bool(cause)
    return Effect(value, u, None, None, value, u, disagrees=wrong, doubtful=wrong, cause=cause)


def _combined(prior: Value, observed: Value | None, both: Value | None) -> Effect:
    """Put the two together; where they disagree, what the car did counts."""
    if observed is None or both is None:
        return Effect(*prior, *prior)
    value, u = observed
    off = abs(value - prior[0]) / math.hypot(u, prior[1])
    wild = not 1.0 / LARGEST_RATIO < value / prior[0] < LARGEST_RATIO
    disagrees = off > (DOUBTFUL_ABOVE if wild else COVERAGE_FACTOR)
    best = observed if disagrees and not wild else both
    doubtful = disagrees and wild
    return Effect(*best, *prior, *observed, disagrees, doubtful, "arithmetic" * doubtful)


def _sense(rod: TieRod | None) -> int:
    """Return the sign of what a longer rod does to the toe; 0 where the job does not say."""
    if rod is None or not rod.arm_side_stated:
        return 0
    return 1 if rod.arm_behind else -1


class Learning:
    """Weighted equations of all passes: ``result = toes at the start + effect * turns``.

    Parameters
    ----------
    job : Job
        Tie rods and car.
    """

    def __init__(self, job: Job) -> None:
        self.job = job
        self.priors = {side: _arithmetic(job.tie_rods[side]) for side in job.tie_rods}
        self.rear = [a.name for a in job.adjusters if axle_of(a.wheel) == "rear"]
        self.linked = False  # whether it is known for two passes what was turned between them
        self.told = False  # whether anything was turned there
        self.passes: list[PassSolution] = []
        # Passes to come, and whether front and rear stand as no turn that is known left them.
        self.waiting: list[tuple[PassSolution, bool, bool]] = []
        self.rows: list[dict[str, float]] = []
        self.miscounts: list[dict[str, float]] = []  # what turns miscounted change in each row
        self.counted: list[str] = []  # columns of the turns of this round: what each is wrong by
        self.values: list[float] = []
        self.driven = False  # whether a pass that is joined to the last one has a road test
        self.round = 0  # passes that are joined by known turns
        self.thrust = 0  # thrust angles that there were: another one where the rear may be moved
        self.wheel_moved = False  # whether the last pass told to move the steering wheel
        self.count_again = False  # whether the last count of turns to the locks told to move it
        self.gear_centred = False  # whether that count found the gear in its middle
        self.turned = dict.fromkeys(SIDES, 0.0)

    def add(self, solved: PassSolution) -> None:
        """Add a pass, with what was turned before it."""
        self.passes.append(solved)
        front = self._parted("total_toe.front", "steering_wheel")
        rear = self._parted("toe.left_rear", "toe.right_rear")
        self.waiting.append((solved, front or self.wheel_moved, rear))
        if solved.readings.rods_counted:
            self.linked = True
            turned = any(done.lengthen for done in solved.readings.turned.values())
            self.told = self.told or turned

    def _parted(self, *names: str) -> bool:
        """Return whether one of these settings changed before the last pass as no turn explains."""
        later = len(self.passes) > 1
        return later and any(parted(self.job, self.passes, name) for name in names)

    def told_gear(self, gear: GearCentre | None) -> None:
        """Take up what was told of the gear after the last pass that was added."""
        self.wheel_moved = gear is not None and gear.wrong_spline
        if gear is not None:
            self.count_again = gear.wrong_spline
            self.gear_centred = not gear.wrong_spline and not gear.waits

    def known(self) -> Known:
        """Return what is known of the front after the last pass that was added."""
        effects = self.effects()
        if not self.linked or any(effect.doubtful for effect in effects.values()):
            return Known(effects, None, None, self.count_again, self.gear_centred)
        self._build()
        total = self._told(self._terms("total_toe.front"), self.priors)
        difference = self._told(self._terms("steering_wheel", -1.0), self.priors)
        known = total, self._as_clamped(difference)
        return Known(effects, *known, self.count_again, self.gear_centred)

    def _as_clamped(self, difference: Value | None) -> Value | None:
        """Return a difference no surer than one clamp of the steering wheel.

        Who clamps it by eye is off the same way in every pass: without a road test their mean is
        no better for that.
        """
        within = self.job.instruments.steering_wheel_straight_within
        if difference is None or self.driven:
            return difference
        return difference[0], max(difference[1], within * RECTANGULAR / self.job.car.least_ratio)

    def _build(self) -> None:
        """Make the equations of the passes that were added."""
        for solved, front, rear in self.waiting:
            self._add(solved, front, rear)
        self.waiting = []

    def effects(self) -> dict[str, Effect]:
        """Return what a turn does on each side, as far as arithmetic and passes tell."""
        if self.told:
            self._build()
        found = {}
        for side in SIDES:
            prior = self.priors.get(side)
            terms = {f"effect.{side}": 1.0}
            both = self._told(terms, self.priors) if self.told else prior
            others = {name: value for name, value in self.priors.items() if name != side}
            observed = self._told(terms, {}) or self._told(terms, others) if self.told else None
            if prior is not None:
                found[side] = _combined(prior, observed, both)
            elif observed is not None:
                sense = _sense(self.job.tie_rods.get(side))
                if seen := _seen(observed, sense, self._contradicted()):
                    found[side] = seen
        return found

    def _contradicted(self) -> bool:
        """Return whether the passes scatter more about one effect than 0.1 % of faultless ones.

        Turns that were counted a little wrong are no contradiction.
        """
        rows = [row | more for row, more in zip(self.rows, self.miscounts, strict=True)]
        names = dict.fromkeys(column for row in self.miscounts for column in row)
        rows += [{name: 1.0 / self._count_u(_side_of(name))} for name in names]
        columns = list(dict.fromkeys(column for row in rows for column in row))
        estimate = _solve(_table(rows, columns), np.array([*self.values, *[0.0] * len(names)]))
        freedom = estimate.degrees_of_freedom
        return freedom > 0 and estimate.scatter > scatter_limit(freedom)

    def _add(self, solved: PassSolution, front: bool, rear: bool) -> None:
        """Add the equations of a pass."""
        turned = solved.readings.turned
        # Adjusters move toe as well, and a steering wheel that is moved on its spline turns both
        # front wheels as they are read, with the spokes straight.
        if not turned or any(solved.readings.moved.values()) or front:
            self.round += 1
            self.turned = dict.fromkeys(SIDES, 0.0)
            self.counted = []
            self.driven = False
        self.driven = self.driven or bool(solved.readings.steering_wheel_off)
        for side, done in turned.items():
            self.turned[side] += done.lengthen
            if done.lengthen:
                self.counted.append(f"count.{len(self.rows)}.{side}")
        moved = any(solved.readings.moved.get(name) for name in self.rear)
        if moved or rear or self.job.rear_unwritten:
            self.thrust += 1
        names, terms = self._independent(solved)
        if names:
            spread = np.array([solved.gradients[name] for name in names]) @ solved.estimate.gain
            whiten = _whitening(spread @ spread.T)
            values = whiten @ np.array([solved[name].value for name in names])
            miscounted = [self._miscounted(term) for term in terms]
            for weights, value in zip(whiten, values, strict=True):
                self.rows.append(_weighted(weights, terms))
                self.miscounts.append(_weighted(weights, miscounted))
                self.values.append(float(value))

    def _miscounted(self, term: Mapping[str, float]) -> dict[str, float]:
        """Return what of a result it is when each turn of this round was miscounted [rad]."""
        return {
            column: term[toe]
            for column in self.counted
            if (toe := f"toe.{_side_of(column)}.{self.round}") in term
        }

    def _independent(self, solved: PassSolution) -> tuple[list[str], list[dict[str, float]]]:
        """Return the results of a pass that tell of the front, none twice, with their terms."""
        names: list[str] = []
        terms: list[dict[str, float]] = []
        for name in (name for name in TOLD_BY if name in solved.results):
            if len(names) == AT_MOST:
                break
            ratio = self.job.car.least_ratio if name == "steering_wheel" else 1.0
            term = self._terms(name, ratio)
            if self._adds(terms, term):
                names.append(name)
                terms.append(term)
        return names, terms

    def _adds(self, terms: list[dict[str, float]], term: Mapping[str, float]) -> bool:
        """Tell whether a further result is not already told by those before it."""
        columns = sorted({column for row in (*terms, term) for column in row})
        table = _table([*terms, term], columns)
        table /= np.linalg.norm(table, axis=1)[:, None]
        return int(np.linalg.matrix_rank(table, 1e-9)) > len(terms)

    def _count_u(self, side: str) -> float:
        """Return by how much a toe is uncertain since a turn was counted [rad]."""
        rod = self.job.tie_rods.get(side, TieRod())
        return COUNT_U * rod.smallest_turn * USUAL_EFFECT

    def _terms(self, name: str, scale: float = 1.0) -> dict[str, float]:
        """Return a result, times a scale, as factors of named unknowns."""
        toes = {toe: scale * part for toe, part in parts_of(name).items()}
        left, right = (toes.get(f"toe.{side}_front", 0.0) for side in SIDES)
        terms = {
            f"toe.left.{self.round}": left,
            f"toe.right.{self.round}": right,
            f"thrust.{self.thrust}": 2.0 * toes.get("toe.left_rear", 0.0),
            "effect.left": left * self.turned["left"],
            "effect.right": right * self.turned["right"],
        }
        return {column: factor for column, factor in terms.items() if factor}

    def _told(self, terms: Mapping[str, float], priors: Mapping[str, Value | None]) -> Value | None:
        """Return a sum of unknowns, given some of the arithmetic; None where it is not told."""
        rows, values = list(self.rows), list(self.values)
        for name, prior in priors.items():
            if prior is not None:
                rows.append({f"effect.{name}": 1.0 / prior[1]})
                values.append(prior[0] / prior[1])
        columns = list(dict.fromkeys(column for row in rows for column in row))
        if any(factor and name not in columns for name, factor in terms.items()):
            return None
        estimate = _solve(_table(rows, columns), np.array(values))
        gradient = np.array([terms.get(column, 0.0) for column in columns])
        if not estimate.determined(gradient):
            return None
        return float(gradient @ estimate.x), estimate.standard_uncertainty(gradient)


def _side_of(column: str) -> str:
    return column.rpartition(".")[2]


def _weighted(weights: Array, terms: Sequence[Mapping[str, float]]) -> dict[str, float]:
    """Return the sum of weighted terms, by their columns."""
    row: dict[str, float] = {}
    for weight, term in zip(weights, terms, strict=True):
        for column, factor in term.items():
            row[column] = row.get(column, 0.0) + float(weight) * factor
    return row


def _whitening(covariance: Array) -> Array:
    """Return the matrix that makes results of this covariance independent, each of u = 1."""
    variances, directions = np.linalg.eigh(covariance)
    return np.asarray(directions.T / np.sqrt(np.maximum(variances, LEAST_U**2))[:, None])


def _table(rows: Sequence[Mapping[str, float]], columns: Sequence[str]) -> Array:
    return np.array([[row.get(column, 0.0) for column in columns] for row in rows])


def _solve(table: Array, values: Array) -> Estimate:
    """Solve linear equations whose values all have the standard uncertainty one."""
    return fit(lambda x: (table @ x, table), values, np.ones(len(values)), np.zeros(table.shape[1]))
