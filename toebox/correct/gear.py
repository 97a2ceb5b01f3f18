"""The middle of the steering gear, and whether the steering wheel sits on the right spline."""

from __future__ import annotations

import math
from typing import NamedTuple

from toebox.job.model import Job, Pass
from toebox.reliability import DOUBTFUL_ABOVE
from toebox.solve.decide import COVERAGE_FACTOR

TURN = 2.0 * math.pi


class GearCentre(NamedTuple):
    """Where the steering gear stands while the steering wheel's spokes are straight.

    Parameters
    ----------
    off : float
        The gear's angle from its middle with the spokes straight, clockwise positive [rad].
    u : float
        Its standard uncertainty [rad].
    lock_to_lock : float
        Turns of the steering wheel from lock to lock [-].
    step : float or None
        One tooth of the steering wheel's spline [rad]; None where not given.
    teeth : int
        Teeth by which the steering wheel should be moved, to the right positive; 0 where the
        count does not prove it wrong [-].
    moved : float
        By how much the steering wheel should be moved, clockwise positive: whole teeth where
        the spline is known [rad].
    waits : str
        Why it is left on a wrong spline for now: ``thread`` (a tie rod could not be turned as far
        as that asks for), ``met`` (its goal is proven to be met, and the count is no more than
        likely), or empty.
    """

    off: float
    u: float
    lock_to_lock: float
    step: float | None
    teeth: int
    moved: float
    waits: str = ""

    @property
    def certain(self) -> bool:
        """Return whether the count proves a wrong spline beyond 99.9 %."""
        return abs(self.off) > DOUBTFUL_ABOVE * self.u

    def left(self, why: str) -> GearCentre:
        """Return the same with the steering wheel left where it is.

        Parameters
        ----------
        why : str
            As `waits`.

        Returns
        -------
        GearCentre
            Nothing to be moved.
        """
        return self._replace(teeth=0, moved=0.0, waits=why)

    @property
    def wrong_spline(self) -> bool:
        """Return whether the steering wheel is to be moved on its spline."""
        return self.moved != 0.0


def gear_centre(job: Job, readings: Pass) -> GearCentre | None:
    """Work out where the gear stands from the turns to each lock.

    Parameters
    ----------
    job : Job
        Steering-wheel splines, and how well turns are counted.
    readings : Pass
        With ``turns_to_lock``, counted from the steering wheel's spokes straight.

    Returns
    -------
    GearCentre or None
        None where the turns were not counted.

    Notes
    -----
    With the spokes straight, more turns to the left lock than to the right one mean that the gear
    stands to the right of its middle, by half the difference. The steering wheel counts as being
    on the wrong spline where this is more than its 95 % interval and more than half a tooth.
    """
    counted = readings.turns_to_lock
    if not counted:
        return None
    off = (counted["left"] - counted["right"]) / 2.0 * TURN
    u = job.instruments.turns_to_lock.u / math.sqrt(2.0)
    splines = job.car.steering_wheel_splines
    step = TURN / splines if splines else None
    wrong = abs(off) > COVERAGE_FACTOR * u
    teeth = round(off / step) if wrong and step else 0  # none up to half a tooth
    moved = teeth * step if step else (off if wrong else 0.0)
    return GearCentre(off, u, counted["left"] + counted["right"], step, teeth, moved)
