"""The readings to stop at: on the string for each wheel, on the tape after each rod."""

from __future__ import annotations

import math
from collections.abc import Mapping

from toebox.correct.remains import done
from toebox.correct.results import RodCorrection
from toebox.geometry.thrust import stop_at_string, stop_at_tape
from toebox.job.model import SIDES, Job
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution


def stop_at_wheel(job: Job, solved: PassSolution, wanted: float | None, wheel: str) -> float | None:
    """Return front minus rear edge on the string when a wheel is right.

    Of a rim that was read in one position alone the wobble found there counts in: the reading is
    for the wheel as it stood then. Of several positions it is their mean.

    Parameters
    ----------
    job : Job
        Rim diameters.
    solved : PassSolution
        How the strings stand to the car.
    wanted : float or None
        Wanted toe relative to the centreline [rad].
    wheel : str
        Name of the wheel.

    Returns
    -------
    float or None
        Front reading minus rear reading [m]; None where not both edges of this rim were read: its
        toe may be known far less surely then than what is to be changed.
    """
    side, _, axle = wheel.partition("_")
    rim, wheelbase = job.car.rim_diameter.get(axle), job.car.wheelbase
    if wanted is None or rim is None or wheelbase is None:
        return None
    if not solved.readings.both_edges(wheel):
        return None
    yaw = math.asin(
        (_estimated(solved, "shift.front") - _estimated(solved, "shift.rear")) / wheelbase
    )
    mean = float(stop_at_string(wanted, yaw, _estimated(solved, "taper"), rim, side))
    return mean + more_than_mean(solved, wheel)


def _estimated(solved: PassSolution, unknown: str) -> float:
    """Return an unknown of the box or of a rim, read or assumed [m] or [rad]."""
    return float(solved.estimate.x[solved.network.unknowns[unknown]])


def more_than_mean(solved: PassSolution, wheel: str) -> float:
    """Return what front minus rear edge shows more than its mean, the wheel as it was read.

    Parameters
    ----------
    solved : PassSolution
        With string readings at this wheel.
    wheel : str
        Name of the wheel.

    Returns
    -------
    float
        For a rim that was read in one position alone [m]; zero for a mean of several.
    """
    return 2.0 * wobble_of(solved, wheel) if read_once(solved, wheel) else 0.0


def read_once(solved: PassSolution, wheel: str) -> bool:
    """Return whether both edges of a rim were read in one position alone.

    Parameters
    ----------
    solved : PassSolution
        With string readings at this wheel.
    wheel : str
        Name of the wheel.

    Returns
    -------
    bool
        True for one reading of each edge.
    """
    strings = solved.readings.string[wheel]
    return len(strings.front) == len(strings.rear) == 1


def wobble_of(solved: PassSolution, wheel: str) -> float:
    """Return what a rim that wobbles adds to its front edge in the first position read [m].

    Parameters
    ----------
    solved : PassSolution
        With string readings at this wheel.
    wheel : str
        Name of the wheel.

    Returns
    -------
    float
        As estimated; the rear edge reads as much less.
    """
    return _estimated(solved, f"wobble.{wheel}")


def wobble_proven(job: Job, solved: PassSolution, wheel: str) -> bool:
    """Return whether readings with the valve up and with the valve down prove that a rim wobbles.

    Parameters
    ----------
    job : Job
        With its string rule.
    solved : PassSolution
        With two readings at each edge of this rim.
    wheel : str
        Name of the wheel.

    Returns
    -------
    bool
        True where front minus rear edge differs between the two beyond its 95 % interval.
    """
    strings = solved.readings.string[wheel]
    (front_up, front_down), (rear_up, rear_down) = strings.front, strings.rear
    apart = front_up - rear_up - (front_down - rear_down)
    return abs(apart) > COVERAGE_FACTOR * 2.0 * job.instruments.string_rule.u  # of four readings


def _with_string(job: Job, solved: PassSolution, rod: RodCorrection) -> RodCorrection:
    """Add what the string shows when the wheel of a rod is right."""
    wheel = f"{rod.side}_front"
    stop = stop_at_wheel(job, solved, rod.wanted_toe, wheel)
    at_valve = None if stop is None else _at_valve(solved, wheel, stop)
    return rod._replace(stop_at_string=stop, stop_at_valve=at_valve)


def _at_valve(solved: PassSolution, wheel: str, mean: float) -> tuple[float, float] | None:
    """Return what the string shows at one wheel with the valve up and with the valve down.

    What the wobble of a rim adds to its front edge, it takes from its rear edge; half a turn on
    it is the other way round.
    """
    strings = solved.readings.string[wheel]
    if not len(strings.front) == len(strings.rear) == 2:
        return None
    wobble = wobble_of(solved, wheel)
    return mean + 2.0 * wobble, mean - 2.0 * wobble


def with_stops(
    job: Job,
    solved: PassSolution,
    rods: tuple[RodCorrection, ...],
    steered: Mapping[str, float],
) -> tuple[tuple[RodCorrection, ...], float | None]:
    """Add the readings to stop at.

    Parameters
    ----------
    job : Job
        Rim diameters.
    solved : PassSolution
        Results of the pass.
    rods : tuple of RodCorrection
        Left and right, in the order in which they are turned.
    steered : mapping of str to float
        By how much the toe of each front wheel differs from what was read because the steering
        is clamped elsewhere while the rods are turned, by side [rad].

    Returns
    -------
    rods : tuple of RodCorrection
        With their readings.
    tape : float or None
        Rear minus front edge on the tape when both are right, whether they are to be set or left
        [m]; None where total toe was not measured, or not with a tape.
    """
    rods = tuple(_with_string(job, solved, rod) for rod in rods)
    tape, total = solved.readings.tape.get("front"), solved.get("total_toe.front")
    if tape is None or tape.across is None or total is None:
        return rods, None
    if not tape.front_edge or not tape.rear_edge:
        return rods, None
    toes = [_found(solved, side, total.value) + steered[side] for side in SIDES]
    by_turns = any(rod.held for rod in rods)
    stopped, final = [], None
    for index, rod in enumerate(rods):
        if by_turns or rod.wanted_toe is None:
            toes[index] += done(rod) if by_turns else rod.toe_change * rod.to_set
        elif rod.to_set:
            toes[index] = rod.wanted_toe
        final = float(stop_at_tape(toes[0], toes[1], tape.across))
        stopped.append(rod._replace(stop_at_tape=final))
    if not by_turns and not any(rod.to_set for rod in rods):  # both stay, right or not
        right = [toe + rod.toe_change for toe, rod in zip(toes, rods, strict=True)]
        final = float(stop_at_tape(right[0], right[1], tape.across))
    return tuple(stopped), final


def _found(solved: PassSolution, side: str, total: float) -> float:
    """Return the toe of a front wheel; half of the total where only that is known."""
    toe = solved.get(f"toe.{side}_front")
    return toe.value if toe is not None else total / 2.0
