"""95 % intervals hold the truth in 93 to 97 % of noisy jobs of cars made of rigid bodies.

2,000 jobs when the tests are thorough, else 500.

The noise is drawn as the instruments of each job state it: rounding to the resolution, a normal
deviation of the stated repeatability, and a rim that runs out with a random phase.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping

import numpy as np
import pytest

from tests.effort import examples
from tests.solve.simulated import RNG_KEY, STRING_BOX, cars, job_of
from toebox.solve import solve_pass

pytestmark = pytest.mark.no_cover
JOBS = examples(usual=500, thorough=2_000)
K = 2.0  # as reports state it

# Set-up: what is read, and in how many positions of the wheel.
SET_UPS = {
    "string box, valve up and down": (STRING_BOX, 2),
    "string box, one position": (STRING_BOX, 1),
    "tape alone": (("tape",), 1),
    "tape and road test": (("tape", "road_test"), 1),
}
TOES = ("toe.left_front", "toe.right_front", "toe.left_rear", "toe.right_rear")
TOTALS = ("total_toe.front", "total_toe.rear")
EXPECTED = {
    "string box, valve up and down": (*TOES, *TOTALS, "thrust_angle", "steering_wheel"),
    "string box, one position": (*TOES, *TOTALS, "thrust_angle", "steering_wheel"),
    "tape alone": TOTALS,
    "tape and road test": (*TOTALS, "steering_wheel"),
}
CASES = [(set_up, name) for set_up, names in EXPECTED.items() for name in names]


@functools.cache
def covered(set_up: str) -> Mapping[str, float]:
    """Return the share of jobs whose interval holds the truth, by result."""
    what, repeats = SET_UPS[set_up]
    rng = np.random.default_rng(RNG_KEY)
    hits = dict.fromkeys(EXPECTED[set_up], 0)
    for car in cars(JOBS):
        job, truth = job_of(car, rng, repeats, what), car.truth()
        solved = solve_pass(job, job.passes[0])
        for name in hits:
            hits[name] += abs(solved[name].value - truth[name]) <= K * solved[name].u
    return {name: count / JOBS for name, count in hits.items()}


@pytest.mark.parametrize(("set_up", "name"), CASES)
def test_intervals_cover_the_truth(set_up: str, name: str) -> None:
    assert 0.93 <= covered(set_up)[name] <= 0.97
