"""Results in one line each, as they become known while readings are typed in."""

from __future__ import annotations

import math

from toebox.job.model import Job
from toebox.report.view.words import distance_of, name_of, with_interval
from toebox.solve.decide import COVERAGE_FACTOR
from toebox.solve.results import PassSolution

_LEFT_OUT = ("box", "toe_to_thrust", "setback")
# Less surely known than this, half of a wheel's readings are still to come [rad].
_TOE = math.radians(1.0)
_TOO_WIDE = {
    "steering_wheel": math.radians(10.0),
    "toe": _TOE,
    "total_toe": _TOE,
    "thrust_angle": _TOE,
}


def known(solved: PassSolution, job: Job) -> dict[str, str]:
    """Say each result of a pass in a line, but for those that mean nothing yet.

    Parameters
    ----------
    solved : PassSolution
        Results so far.
    job : Job
        For the user's unit.

    Returns
    -------
    dict
        By name of the result, for example ``Front total toe: 0.15° toe-in ± 0.04° (1/16 in
        (1.6 mm) across 23 3/4 in)``.
    """
    lines = {}
    for name, result in solved.results.items():
        kind = name.partition(".")[0]
        if kind in _LEFT_OUT or COVERAGE_FACTOR * result.u > _TOO_WIDE.get(kind, math.inf):
            continue
        text = f"{name_of(name)}: {with_interval(result, job)}"
        distance = distance_of(result, job) if "toe" in name else ""
        lines[name] = f"{text}, {distance}" if distance else text
    return lines
