"""Rims that wobble more than the job says are named, and no others."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.simulate import Noise
from tests.solve.simulated import INSTRUMENTS, RNG_KEY, RULE, RUNOUT, cars, job_of, noise, pass_of
from toebox.job.model import WheelStrings
from toebox.solve import solve


def doubts(
    positions: int,
    runout: float,
    wheel: str = "right_rear",
    phase: float = 0.0,
    *,
    once: bool = True,
) -> list[str]:
    """Return what is said of one rim that runs out so, another one read once, no other noise."""
    job = job_of(cars(1)[0], repeats=positions)
    one = job.passes[0]
    swings = [
        runout / 2.0 * math.cos(phase + 2.0 * math.pi * n / positions) for n in range(positions)
    ]
    old = one.string[wheel]
    front = tuple(f + s for f, s in zip(old.front, swings, strict=True))
    rear = tuple(r - s for r, s in zip(old.rear, swings, strict=True))
    string = {**one.string, wheel: WheelStrings(front, rear, old.hub)}
    if once:
        other = string["left_front"]
        string["left_front"] = WheelStrings(other.front[:1], other.rear[:1])
    found = solve(job._replace(passes=(one._replace(string=string),))).job.doubts
    return [doubt for doubt in found if doubt.startswith("instruments.rim_runout")]


@pytest.mark.parametrize("positions", [2, 3, 4])
def test_a_rim_that_wobbles_more_than_stated_is_named(positions: int) -> None:
    rule = INSTRUMENTS.string_rule.u / math.sqrt(2.0)
    share = 1.0 / 2.0 if positions == 2 else 2.0 / positions
    beyond = RUNOUT + 2.0 * 3.29 * rule * math.sqrt(share)
    (doubt,) = doubts(positions, 1.01 * beyond)
    assert doubt.startswith("instruments.rim_runout: right rear: the rim wobbles more than that")
    assert doubts(positions, 0.99 * beyond) == []
    assert doubts(positions, 1.01 * beyond, once=False) == []  # nothing rests on it
    assert bool(doubts(positions, 1.01 * beyond, phase=1.0)) == (positions > 2)


def test_a_rim_read_in_one_position_tells_nothing() -> None:
    assert doubts(1, 10.0 * RUNOUT) == []


def test_all_of_them_are_named_in_one_sentence() -> None:
    rng = np.random.default_rng(RNG_KEY)
    wild = replace(noise(rng), runout=8.0 * RUNOUT)
    job = job_of(cars(1)[0], repeats=4)
    first, second = (pass_of(cars(1)[0].readings(wild, n, ("string",))) for n in (4, 1))
    job = job._replace(passes=(first, second))
    (doubt,) = [d for d in solve(job).job.doubts if d.startswith("instruments.rim_runout")]
    assert ": left front and right front and left rear and right rear: the rims wobble" in doubt


@pytest.mark.no_cover
def test_rims_as_they_are_stated_are_hardly_ever_named() -> None:
    rng = np.random.default_rng(RNG_KEY)
    found = 0
    for car in cars(150):
        for positions in (2, 3):
            stated = Noise(rng, rule=RULE, runout=RUNOUT)
            job = job_of(car, repeats=positions)
            readings = pass_of(car.readings(stated, positions, ("string",)))
            said = solve(job._replace(passes=(readings,))).job.doubts
            found += any(doubt.startswith("instruments.rim_runout") for doubt in said)
    assert found <= 2
