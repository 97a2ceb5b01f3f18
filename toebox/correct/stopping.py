"""Who turns a rod till rule or tape read as told: how surely, and whether the turns are surer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from toebox.correct.results import Remainder, RodCorrection
from toebox.correct.rods import COUNT_U, toe_from_turns
from toebox.correct.turning import Scales
from toebox.job.model import Job, TieRod
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution

EDGES = math.sqrt(2.0)  # two readings make a difference
# Turns are told to be surer where the readings would miss the goals by so much more, squared.
SURER = 1.5


class Stopped(NamedTuple):
    """How surely one reading at the stop sets the front wheels.

    Parameters
    ----------
    total : float
        Standard uncertainty of the total toe [rad].
    half : float
        That of half the difference of the toes [rad].
    """

    total: float
    half: float


def stopped(job: Job, solved: PassSolution, rods: Sequence[RodCorrection]) -> Stopped:
    """Return how surely rods that are turned till the rule reads as told set their wheels.

    Parameters
    ----------
    job : Job
        Instruments and rim diameters.
    solved : PassSolution
        Results of the pass.
    rods : sequence of RodCorrection
        Those that are set so, with their readings.

    Returns
    -------
    Stopped
        By the strings where they tell, as the steps say, else by the tape. That shows the wheels
        one after the other: the second reading has the error of the first one in it.
    """
    if not rods:
        return Stopped(0.0, 0.0)
    return _by_string(job, rods) or _by_tape(job, solved, rods) or Stopped(0.0, 0.0)


def _by_string(job: Job, rods: Sequence[RodCorrection]) -> Stopped | None:
    rim = job.car.rim_diameter.get("front")
    if not rim or any(rod.stop_at_string is None for rod in rods):
        return None
    each = job.instruments.string_rule.u * EDGES / rim * math.sqrt(len(rods))
    return Stopped(each, each / 2.0)


def _by_tape(job: Job, solved: PassSolution, rods: Sequence[RodCorrection]) -> Stopped | None:
    tape = solved.readings.tape.get("front")
    if tape is None or not tape.across or any(rod.stop_at_tape is None for rod in rods):
        return None
    each = job.instruments.tape.u * EDGES / tape.across
    return Stopped(each, each / 2.0 * (math.sqrt(5.0) if len(rods) > 1 else 1.0))


def _miscounted(job: Job, rod: RodCorrection) -> float:
    """Return by how much a toe is uncertain since turns are counted by somebody [rad]."""
    step = job.tie_rods.get(rod.side, TieRod()).smallest_turn
    return COUNT_U * step * abs(rod.effect.per_turn) if rod.effect else 0.0


def check_within(job: Job, solved: PassSolution, rod: RodCorrection) -> float | None:
    """Return by how much a reading may differ from that told, where the turns are surer.

    Parameters
    ----------
    job : Job
        Instruments and rim diameters.
    solved : PassSolution
        Results of the pass.
    rod : RodCorrection
        A rod with turns.

    Returns
    -------
    float or None
        The 95 % interval, of the two readings and of the toe that the turns make, and what those
        are rounded by [m]: of the edges on the string, else of those on the tape; None without.
    """
    if rod.effect is None or not rod.turns:
        return None
    made = math.hypot(rod.u, abs(rod.turns) * rod.effect.u)
    rounded = abs(toe_from_turns(rod.effect.per_turn, rod.turns) - rod.toe_change)
    rim, tape = job.car.rim_diameter.get("front"), solved.readings.tape.get("front")
    if rod.stop_at_string is not None and rim:
        u = math.hypot(EDGES * job.instruments.string_rule.u, rim * made)
        return COVERAGE_FACTOR * u + rim * rounded
    if rod.stop_at_tape is None or tape is None or not tape.across:
        return None
    u = EDGES * math.hypot(job.instruments.tape.u, tape.across * made)
    return COVERAGE_FACTOR * u + tape.across * rounded


def turns_surer(
    job: Job, solved: PassSolution, rods: Sequence[RodCorrection], left: Remainder
) -> bool:
    """Return whether turns bring the wheels nearer to their goals than one reading each.

    Parameters
    ----------
    job : Job
        Instruments, goals and steering ratio.
    solved : PassSolution
        Results of the pass.
    rods : sequence of RodCorrection
        Left and right, with turns and readings.
    left : Remainder
        What the turns are expected to leave.

    Returns
    -------
    bool
        False where not both tell, or where the readings are those of the turns; of strings and
        tape the better counts.
    """
    to_set = [rod for rod in rods if rod.to_set]
    if not to_set or any(rod.held for rod in rods) or not all(rod.turns for rod in to_set):
        return False
    both = _by_string(job, to_set), _by_tape(job, solved, to_set)
    ways = [one for one in both if one is not None]
    if not ways or left.total_toe is None or left.u_total_toe is None:
        return False
    found = Stopped(min(one.total for one in ways), min(one.half for one in ways))
    scales = Scales.of(job)
    miscounted = math.hypot(*(_miscounted(job, rod) for rod in to_set))
    turns = (left.total_toe**2 + left.u_total_toe**2 + miscounted**2) / scales.tolerances[0] ** 2
    reading = found.total**2 / scales.tolerances[0] ** 2
    if left.steering_wheel is not None and left.u_steering_wheel is not None:
        wheel = left.steering_wheel**2 + left.u_steering_wheel**2
        wheel += (scales.ratio * miscounted / 2.0) ** 2
        turns += wheel / scales.tolerances[1] ** 2
        reading += (scales.ratio * found.half) ** 2 / scales.tolerances[1] ** 2
    return SURER * turns < reading
