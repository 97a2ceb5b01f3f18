"""Rims that wobble more than is stated of them, by what they read in several positions."""

from __future__ import annotations

import math
from collections.abc import Sequence

from toebox.job.model import WHEELS, Job, Reading, WheelStrings
from toebox.reliability import DOUBTFUL_ABOVE
from toebox.solve.results import PassSolution


def wobbling(job: Job, passes: Sequence[PassSolution]) -> tuple[str, ...]:
    """Say which rims wobble more than the job states, or than is taken where it states nothing.

    Parameters
    ----------
    job : Job
        How much a rim may run out, and how well the rule is read.
    passes : sequence of PassSolution
        In their order.

    Returns
    -------
    tuple of str
        A sentence that names them all; empty where no rim is proven to, at 3.29 standard
        deviations, or no wheel was read in one position alone: nothing rests on it then.
    """
    if not any(map(_rests_on_it, passes)):
        return ()
    proven = job.instruments.rim_runout / 2.0
    names = [
        wheel.replace("_", " ")
        for wheel in WHEELS
        if any(_least(job, one.readings.string.get(wheel)) > proven for one in passes)
    ]
    if not names:
        return ()
    rims, wobble = ("rim", "wobbles") if len(names) == 1 else ("rims", "wobble")
    return (
        f"instruments.rim_runout: {' and '.join(names)}: the {rims} {wobble} more than that, as "
        "the positions read show; state as much as it is, since a rim read in one position rests "
        "on it",
    )


def _rests_on_it(solved: PassSolution) -> bool:
    """Return whether a pass rests on what is stated of rims: one was read in one position."""
    read = solved.readings.string.values()
    return any(min(len(strings.front), len(strings.rear)) == 1 for strings in read)


def _least(job: Job, strings: WheelStrings | None) -> float:
    """Return what half of a rim's run-out is at least [m]; nothing where it was read once."""
    if strings is None or len(strings.front) != len(strings.rear) or len(strings.front) < 2:
        return 0.0
    both = tuple((f - r) / 2.0 for f, r in zip(strings.front, strings.rear, strict=True))
    u = job.instruments.string_rule.u / math.sqrt(2.0)
    size, spread = _swing(both)
    return size - DOUBTFUL_ABOVE * u * spread


def _swing(values: Reading) -> tuple[float, float]:
    """Return the swing of values over one turn, and its u for values of u = 1.

    Of two positions, opposite each other, it is what their phase shows of it.
    """
    count = len(values)
    share = 1.0 / count if count == 2 else 2.0 / count
    phases = [2.0 * math.pi * n / count for n in range(count)]
    pairs = list(zip(values, phases, strict=True))
    cosine = share * sum(value * math.cos(phase) for value, phase in pairs)
    sine = share * sum(value * math.sin(phase) for value, phase in pairs)
    return math.hypot(cosine, sine), math.sqrt(share)
