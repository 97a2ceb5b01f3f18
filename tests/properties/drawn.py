"""Random rounds of readings, thinned out at random; jobs and passes as seen in a mirror."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from tests.simulate import EVERYTHING, Noise, SimulatedCar
from toebox.job import loads
from toebox.job.model import Job, Pass

WHAT = (*EVERYTHING, "camber_turned")
OTHER = {"left": "right", "right": "left"}


def job_from(seed: int, *, noise: bool = True, what: tuple[str, ...] = WHAT) -> Job:
    """Return a random car with every reading, out of a job file.

    Every other one says how straight the steering wheel was clamped.
    """
    rng = np.random.default_rng(seed)
    car = SimulatedCar.random(rng)
    job = loads(car.to_toml(noise=Noise(rng) if noise else None, what=what), "drawn")
    within = math.radians(3.0) if seed % 2 else 0.0
    return job._replace(instruments=job.instruments._replace(steering_wheel_straight_within=within))


def thinned(readings: Pass, rng: np.random.Generator, keep: float = 0.7) -> Pass:
    """Return a pass with some of its readings left out."""

    def some(reading: Any) -> Any:
        return reading if rng.random() < keep else type(reading)()

    def of_each(parts: Mapping[str, Any]) -> dict[str, Any]:
        kept = {name: _thin_fields(part, some) for name, part in parts.items()}
        return {name: part for name, part in kept.items() if rng.random() < keep + 0.1}

    return readings._replace(
        string=of_each(readings.string),
        tape=of_each(readings.tape),
        gauge=of_each(readings.gauge),
        front_bar_width=some(readings.front_bar_width),
        rear_bar_width=some(readings.rear_bar_width),
        steering_wheel_off=some(readings.steering_wheel_off),
        wheelbase_left=some(readings.wheelbase_left),
        wheelbase_right=some(readings.wheelbase_right),
        floor={key: height for key, height in readings.floor.items() if rng.random() < keep},
    )


def _thin_fields(part: Any, some: Any) -> Any:
    found = {k: some(v) for k, v in part._asdict().items() if isinstance(v, tuple)}
    return part._replace(**found)


def other(name: str) -> str:
    """Return a name as seen in a mirror: left and right change places."""
    return ".".join("_".join(OTHER.get(w, w) for w in part.split("_")) for part in name.split("."))


def swapped(by_name: Mapping[str, Any]) -> dict[str, Any]:
    """Return a mapping whose names have changed sides."""
    return {other(name): value for name, value in by_name.items()}


def mirrored(job: Job) -> Job:
    """Return a job as seen in a mirror."""
    passes = tuple(mirrored_pass(readings) for readings in job.passes)
    sai = swapped(job.car.steering_axis_inclination)
    car = job.car._replace(steering_axis_inclination=sai)
    return job._replace(car=car, tie_rods=swapped(job.tie_rods), passes=passes)


def mirrored_pass(readings: Pass) -> Pass:
    """Return a pass as seen in a mirror: sides change places, what points right points left."""
    floor = {k: h if k == "along" else -h for k, h in readings.floor.items()}
    return readings._replace(
        string=swapped(readings.string),
        steering_wheel_off=tuple(-off for off in readings.steering_wheel_off),
        wheelbase_left=readings.wheelbase_right,
        wheelbase_right=readings.wheelbase_left,
        gauge=swapped(readings.gauge),
        floor=floor,
        turn=swapped(readings.turn),
        turned=swapped(readings.turned),
    )
