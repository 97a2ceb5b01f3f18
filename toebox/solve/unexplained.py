"""Settings that two passes tell of differently, though the job tells of no turn that moves them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from toebox.job.model import Job
from toebox.reliability import DOUBTFUL_ABOVE
from toebox.solve.results import PassSolution
from toebox.solve.standing import disturbers, left_open, unwritten

# The toe of a front wheel alone depends on how straight the steering wheel was clamped.
COMPARED = ("total_toe.", "toe.left_rear", "toe.right_rear", "camber.", "caster.", "steering_wheel")
LEFT_OUT = "was one left out of turned, or is a reading a slip?"


def unexplained(job: Job, passes: Sequence[PassSolution]) -> tuple[str, ...]:
    """Say which settings changed between two passes without a turn that would change them.

    Parameters
    ----------
    job : Job
        Its adjusters; what was turned.
    passes : sequence of PassSolution
        In their order.

    Returns
    -------
    tuple of str
        A sentence for each pass that differs from when its settings were last read by more than
        chance would, in one setting of a thousand: 3.29 standard deviations.
    """
    found = []
    for number in range(1, len(passes)):
        names = [name for name in passes[number].results if name.startswith(COMPARED)]
        if "toe.left_rear" in names:  # one cause is told once
            names = [name for name in names if name != "total_toe.rear"]
        changed = [name for name in names if _changed(job, passes[: number + 1], name)]
        if changed:
            words = " and ".join(name.replace("_", " ").replace(".", " ") for name in changed)
            found.append(
                f"pass[{number + 1}]: {words}: not as before, by more than the readings allow "
                "for, though the job tells of no turn that moves that; "
                f"{_slipped(passes[: number + 1], changed) or LEFT_OUT}"
            )
    return tuple(found)


def _slipped(passes: Sequence[PassSolution], names: Sequence[str]) -> str:
    """Name the passes before whose own readings do not fit: a slip there would explain it all."""
    before = {_before(passes, name) for name in names}
    slipped = [f"pass[{n + 1}]" for n, one in enumerate(passes) if n in before and one.doubtful]
    if not slipped:
        return ""
    where = " and ".join(slipped)
    return f"look first at {where}, where readings do not fit: a slip there may be all that it is"


def _before(passes: Sequence[PassSolution], name: str) -> int | None:
    """Return the number of the pass that read a setting of the last one before it, from 0."""
    return next((n for n in range(len(passes) - 2, -1, -1) if name in passes[n].results), None)


def parted(job: Job, passes: Sequence[PassSolution], name: str) -> bool:
    """Return whether what was read of a setting before tells nothing of it in the last pass.

    Parameters
    ----------
    job : Job
        Its adjusters; what was turned.
    passes : sequence of PassSolution
        In their order.
    name : str
        Name of the setting.

    Returns
    -------
    bool
        Whether nobody knows what was turned since, or no turn explains how it changed.
    """
    last = passes[-1]
    if unwritten(job, last, name):
        return True
    return name in last.results and _changed(job, passes, name)


def _changed(job: Job, passes: Sequence[PassSolution], name: str) -> bool:
    """Return whether a setting of the last pass differs from when it was last read."""
    before = _before(passes, name)
    if before is None:
        return False
    wheel, toe = name == "steering_wheel", "toe." in name
    if job.rear_unwritten and (wheel or (toe and "rear" in name)):
        return False
    # By strings it stands as it was clamped; only the road tells how it does while driving.
    if wheel and not all(passes[n].readings.steering_wheel_off for n in (before, -1)):
        return False
    since = [solved.readings for solved in passes[before + 1 :]]
    if any(any(disturbers(job, told, name)) or left_open(job, told, name) for told in since):
        return False
    # Whoever counts turns to the locks may move the steering wheel on its spline.
    if wheel and any(solved.readings.turns_to_lock for solved in passes[:-1]):
        return False
    old, new = passes[before][name], passes[-1][name]
    return abs(new.value - old.value) > DOUBTFUL_ABOVE * math.hypot(new.u, old.u)
