"""A simulated car's readings as a Job, without the detour through a file."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import Any

import numpy as np

from tests.simulate import INCH, Noise, SimulatedCar
from toebox.job.model import (
    AXLES,
    Car,
    Instrument,
    Instruments,
    Job,
    Pass,
    Tape,
    WheelStrings,
)

RNG_KEY = 20260418
STRING_BOX = ("string", "hub", "bars", "tape", "road_test")
# As stated in samples/string-box.toml.
RULE, TAPE = (INCH / 64, INCH / 128), (INCH / 32, INCH / 64)
ROAD_TEST, RUNOUT = (0.0, math.radians(2.0)), INCH / 32
INSTRUMENTS = Instruments(
    string_rule=Instrument(*RULE),
    tape=Instrument(*TAPE),
    inclinometer=Instrument(math.radians(0.1), math.radians(0.1)),
    turn_plates=Instrument(math.radians(0.5), math.radians(0.5)),
    road_test=Instrument(*ROAD_TEST),
    rim_runout=RUNOUT,
    strings_parallel_within=INCH / 4,
    box_square_within=INCH / 4,
    floor_level_within=INCH / 4,
    gauge_zero_within=math.radians(0.2),
    stated=frozenset({"string_rule", "tape", "road_test", "rim_runout"}),
)


def noise(rng: np.random.Generator) -> Noise:
    """Return noise as the instruments of the sample state it."""
    return Noise(rng, rule=RULE, tape=TAPE, road_test=ROAD_TEST, runout=RUNOUT)


@cache
def cars(count: int) -> tuple[SimulatedCar, ...]:
    """Return the same random cars at every call."""
    rng = np.random.default_rng(RNG_KEY)
    return tuple(SimulatedCar.random(rng) for _ in range(count))


def pass_of(readings: Mapping[str, Any], label: str = "as found") -> Pass:
    """Return what `SimulatedCar.readings` gives as a pass."""
    string = readings.get("string", {})
    wheels = {w: r for w, r in string.items() if isinstance(r, Mapping)}
    off = readings.get("steering_wheel_off")
    return Pass(
        label=label,
        string={w: WheelStrings(**{k: tuple(v) for k, v in r.items()}) for w, r in wheels.items()},
        front_bar_width=tuple(string[k] for k in ("front_bar_width",) if k in string),
        rear_bar_width=tuple(string[k] for k in ("rear_bar_width",) if k in string),
        bar_spacing=string.get("bar_spacing"),
        tape={
            axle: Tape(tuple(t["front_edge"]), tuple(t["rear_edge"]), t["across"])
            for axle, t in readings.get("tape", {}).items()
        },
        steering_wheel_off=() if off is None else (off,),
    )


def hubs_and_tapes_twice(first: Pass, second: Pass) -> Pass:
    """Return readings whose rims were read twice, with hubs and tapes of a second round added."""
    string = {
        wheel: WheelStrings(s.front, s.rear, s.hub + second.string[wheel].hub)
        for wheel, s in first.string.items()
    }
    tape = {
        axle: Tape(
            t.front_edge + second.tape[axle].front_edge,
            t.rear_edge + second.tape[axle].rear_edge,
            t.across,
        )
        for axle, t in first.tape.items()
    }
    return first._replace(string=string, tape=tape)


def job_of(
    car: SimulatedCar,
    rng: np.random.Generator | None = None,
    repeats: int = 1,
    what: tuple[str, ...] = STRING_BOX,
    **changes: Any,
) -> Job:
    """Return a job with one pass of readings, exact where no `rng` is given."""
    readings = car.readings(noise(rng) if rng else None, repeats, what)
    job = Job(
        title="Invented car",
        source="invented.toml",
        length_unit="in",
        date=None,
        car=Car(
            wheelbase=car.wheelbase,
            rim_diameter=dict.fromkeys(AXLES, car.rim_diameter),
            tyre_diameter=dict.fromkeys(AXLES, car.tyre_diameter),
            steering_ratio=car.steering_ratio,
        ),
        instruments=INSTRUMENTS,
        goals={},
        tie_rods={},
        passes=(pass_of(readings),),
    )
    return job._replace(**changes)
