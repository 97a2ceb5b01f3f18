"""US Army TM 5-4210-230-14&P-1: casters of both sides within half a degree of each other.

One vehicle's figure, 0 degrees 30 minutes, as a goal: a difference beyond it is told as outside.
"""

from __future__ import annotations

import math

from tests.printed import printed
from toebox.job.model import Goal
from toebox.solve.decide import decide
from toebox.solve.results import Result
from toebox.units import read_angle


def test_half_a_degree_between_the_sides() -> None:
    limit = read_angle("0°30'")
    assert float(limit) == printed("0.5", "largest difference of caster [deg]")
    goal = Goal(0.0, math.radians(limit))
    for degrees, outcome in ((0.2, "within"), (0.45, "not proven"), (-0.7, "outside")):
        found = Result("cross_caster.front", math.radians(degrees), math.radians(0.05))
        decision = decide(found, goal)
        assert decision is not None
        assert decision.outcome == outcome
