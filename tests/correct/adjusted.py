"""Simulated cars whose tie rods are really turned: what is told is done, then measured again."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from tests.mechanisms import Screw
from tests.mechanisms import TieRod as RigidRod
from tests.simulate import SIDES, SimulatedCar
from tests.solve.simulated import job_of, noise, pass_of
from toebox.correct import PassCorrection, correct
from toebox.correct.effects import Effect, Learning
from toebox.job.model import Goal, Job, TieRod, Turned
from toebox.solve import solve
from toebox.solve.results import Solution
from toebox.units import read_thread

THREAD = read_thread("M14x1.5")
STRINGS = ("string", "bars", "tape", "road_test")
ARM = 0.13335  # 5 1/4 in, as samples/string-box.toml says
# Goals of samples/string-box.toml.
GOALS = {
    "total_toe.front": Goal(math.asin(1 / 16 / 23.75), math.asin(1 / 16 / 23.75)),
    "steering_wheel": Goal(0.0, math.radians(2.0)),
}


def effects_of(solution: Solution) -> dict[str, Effect]:
    """Return what a turn does on each side, as far as all passes of a job tell."""
    learning = Learning(solution.job)
    for solved in solution.passes:
        learning.add(solved)
    return learning.effects()


@dataclass
class Garage:
    """One car between strings, its real steering arms, and the job that is kept of it."""

    car: SimulatedCar
    rng: np.random.Generator
    arms: Mapping[str, float]  # how long they are in truth [m]
    behind: bool = True
    lengthened: dict[str, float] = field(default_factory=lambda: dict.fromkeys(SIDES, 0.0))
    passes: int = 1

    def job(self, what: tuple[str, ...] = STRINGS) -> Job:
        """Return the job with its first pass; the arms are those of the sample."""
        rod = TieRod(self.behind, ARM, outer_thread=THREAD, outer_engaged=0.030)
        return job_of(self.car, self.rng, 2, what, goals=GOALS, tie_rods=dict.fromkeys(SIDES, rod))

    def now(self) -> SimulatedCar:
        """Return the car with its rods as they are turned now."""
        changes = {}
        for side, length in self.lengthened.items():
            rod = RigidRod(side, Screw(0.0015, False), Screw(0.0, False), self.behind)
            changes[f"{side}_front"] = replace(rod, arm_length=self.arms[side]).toe_after(length)
        return self.car.adjusted(**changes)

    def lengthen(self, turns: Mapping[str, float]) -> None:
        """Turn the rods."""
        for side, count in turns.items():
            self.lengthened[side] += count * THREAD.pitch

    def turn(self, job: Job, turns: Mapping[str, float], what: tuple[str, ...] = STRINGS) -> Job:
        """Turn the rods, measure again, and add the pass to the job."""
        self.lengthen(turns)
        readings = self.now().readings(noise(self.rng), 2, what)
        self.passes += 1
        added = pass_of(readings, f"pass {self.passes}")._replace(
            turned={side: Turned(count) for side, count in turns.items()},
        )
        return job._replace(passes=(*job.passes, added))


def told(job: Job) -> PassCorrection:
    """Return what to turn after the last pass of a job."""
    return correct(solve(job))[-1]


def turns_of(correction: PassCorrection) -> dict[str, float]:
    """Return the turns of a correction by side."""
    return {rod.side: rod.turns or 0.0 for rod in correction.rods}


def within(car: SimulatedCar) -> bool:
    """Tell whether the car's true total toe and steering wheel are within the goals."""
    truth = car.truth()
    return all(abs(truth[n] - goal.value) <= (goal.tolerance or 0.0) for n, goal in GOALS.items())
