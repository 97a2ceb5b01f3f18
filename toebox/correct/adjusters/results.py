"""What to turn at adjusters, and what that does: frozen, in radians and the adjusters' units."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import NamedTuple

from toebox.correct.turning import MOST_TOE_CHANGE
from toebox.job.model import EMPTY, Adjuster, Goal
from toebox.solve.standing import FRONT, Standing, touched

# Weights where a goal has no tolerance (common practice, no published source).
USUAL_TOLERANCE = {
    "caster": math.radians(0.5),
    "camber": math.radians(0.5),
    "toe": math.radians(0.1),
}
# More than this at one wheel is not misset: it is bent, or misread, such as steer angles with the
# wrong sign (common practice, no published source).
MOST_CHANGE = {"caster": math.radians(5.0), "camber": math.radians(4.0), "toe": MOST_TOE_CHANGE}


class Effect(NamedTuple):
    """What one unit of an adjuster does to one setting of its wheel.

    Parameters
    ----------
    value : float
        Change for one unit the positive way [rad]; of a cam, for one degree at its middle.
    u : float
        Its standard uncertainty [rad].
    source : str
        ``arithmetic``, ``stated``, ``learned`` or ``unknown``.
    contradicted : bool
        Whether the passes show something else than arithmetic or the job say, beyond 99.9 %.
    lost : bool
        Whether it is that of a cam and nobody knows where that stands: a pass leaves its move open.
    """

    value: float
    u: float
    source: str
    contradicted: bool = False
    lost: bool = False

    @property
    def known(self) -> bool:
        """Return whether it is known well enough to turn by it."""
        return not (self.contradicted or self.lost) and self.u <= 0.5 * abs(self.value)


class Move(NamedTuple):
    """How far to move one adjuster.

    Parameters
    ----------
    adjuster : Adjuster
        Which one.
    exact : float
        Best move, in its units, positive for the first of its words [-].
    amount : float
        The same rounded to what can be set [-].
    at_limit : bool
        Whether it would have to go further than it can.
    known : bool
        Whether its effect is known; False: leave it, or try a small move and measure.
    beyond : bool
        Whether so large a change is wanted that a bent part or a wrong reading is likelier; it is
        left then.
    held : bool
        Whether it is left since the adjuster of the other rear wheel has no room to go with it:
        alone it would spoil one goal for the other.
    waits : bool
        Whether what it sets must be read again first at one of the wheels: it is left until then.
    by_reading : bool
        Whether it is moved till its wheel shows a reading: both rear wheels are set so, and the job
        has an adjuster for one of them alone, or does not know what one does.
    """

    adjuster: Adjuster
    exact: float
    amount: float
    at_limit: bool = False
    known: bool = True
    beyond: bool = False
    held: bool = False
    waits: bool = False
    by_reading: bool = False

    @property
    def way(self) -> str:
        """Return the word for the way to move it; ``leave`` where it stays."""
        if not self.amount:
            return "leave"
        return self.adjuster.ways[0] if self.amount > 0.0 else self.adjuster.ways[1]


class Outcome(NamedTuple):
    """What the moves are expected to make of one goal.

    Parameters
    ----------
    name : str
        Name of the setting.
    goal : Goal
        What is wanted.
    standing : Standing
        What was found, and in which pass.
    needed : bool
        Whether the readings justify a change: beyond the 95 % interval and not proven within.
    change : float
        Expected change by the rounded moves [rad].
    u : float
        Standard uncertainty of what then remains: of the reading and of the effects [rad].
    """

    name: str
    goal: Goal
    standing: Standing
    needed: bool
    change: float = 0.0
    u: float = 0.0

    @property
    def kind(self) -> str:
        """Return the setting that it is about: ``caster``, ``camber`` or ``toe``."""
        kind = self.name.partition(".")[0].removeprefix("cross_")
        return kind if kind in ("caster", "camber") else "toe"

    @property
    def beyond(self) -> bool:
        """Return whether more is wanted than adjusters are meant to make."""
        return self.needed and abs(self.wanted) > MOST_CHANGE[self.kind]

    @property
    def tolerance(self) -> float:
        """Return by what a miss is weighed [rad]."""
        return self.goal.tolerance or USUAL_TOLERANCE[self.kind]

    @property
    def wanted(self) -> float:
        """Return the wanted change [rad]."""
        return self.goal.value - self.standing.result.value

    @property
    def remains(self) -> float:
        """Return what is expected to remain: setting minus goal [rad]."""
        return self.change - self.wanted


class AdjusterPlan(NamedTuple):
    """What to do at the adjusters.

    Parameters
    ----------
    moves : tuple of Move
        One for each adjuster, in the order of the job.
    outcomes : tuple of Outcome
        One for each goal that adjusters can put right and whose setting is known.
    changes : mapping of str to (float, float)
        Expected change of each caster, camber and toe, and its standard uncertainty [rad].
    to_measure : tuple of str
        Settings with a goal that must be measured first: never read, or stale, or to be set by
        readings that the last pass does not have.
    rear_first : bool
        Whether rear wheels that are set by readings are to be read first: the front follows them.
    """

    moves: tuple[Move, ...] = ()
    outcomes: tuple[Outcome, ...] = ()
    changes: Mapping[str, tuple[float, float]] = EMPTY
    to_measure: tuple[str, ...] = ()
    rear_first: bool = False

    @property
    def to_turn(self) -> bool:
        """Return whether any adjuster is to be moved."""
        return any(move.amount for move in self.moves)

    @property
    def moved(self) -> frozenset[str]:
        """Return the toes, cambers and casters that its moves change."""
        return frozenset[str]().union(*(touched(m.adjuster) for m in self.moves if m.amount))

    @property
    def rods_wait(self) -> bool:
        """Return whether nothing can be told of the tie rods before toe is read again."""
        return self.moves_front_toe or self.rear_first

    @property
    def moves_front_toe(self) -> bool:
        """Return whether toe must be read again before a tie rod is turned."""
        return not self.moved.isdisjoint(FRONT)
