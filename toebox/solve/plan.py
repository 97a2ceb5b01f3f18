"""A plan of readings: which will be taken, with what; their values are not looked at.

A plan is turned into a job with nominal readings, those of a car with no toe in a square box, and
solved like any other. So a forecast rests on the very equations that will judge the readings.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

from toebox.geometry.sweep import camber_at
from toebox.job.model import (
    Instrument,
    Job,
    Pass,
    Reading,
    SweepStop,
    Turn,
    WheelGauge,
    WheelStrings,
    side_of,
)
from toebox.solve.gauge import USUAL_WHEELBASE
from toebox.solve.results import PassSolution

# Sizes of a middling car, only to stand where a reading will be: an uncertainty hardly
# depends on them. Common practice, no published source.
STRING, HUB, TAPE, BAR = 0.1, 0.13, 1.45, 1.7  # [m]
CASTER, INCLINATION = math.radians(4.0), math.radians(12.5)
INNER, OUTER = math.radians(20.0), math.radians(18.5)  # both front wheels, steered


INSTRUMENTS = ("string_rule", "tape", "inclinometer", "turn_plates", "road_test", "turns_to_lock")


class Plan(NamedTuple):
    """A car with its instruments, the readings to be taken, and in how many whole rounds."""

    job: Job
    readings: Pass
    rounds: int = 1

    def solve(self) -> PassSolution:
        """Solve the nominal readings of this plan, the mean of all its rounds."""
        from toebox.solve import solve_pass

        return solve_pass(self._averaged(), nominal(self.job, self.readings))

    def _averaged(self) -> Job:
        """Return the job with every reading as sure as the mean of its rounds."""
        if self.rounds == 1:
            return self.job
        root = math.sqrt(self.rounds)
        instruments = self.job.instruments
        olds = {name: getattr(instruments, name) for name in INSTRUMENTS}
        new: Mapping[str, Any] = {
            name: Instrument(old.resolution / root, old.repeatability / root)
            for name, old in olds.items()
        }
        return self.job._replace(instruments=instruments._replace(**new))


def nominal(job: Job, readings: Pass) -> Pass:
    """Return a pass with the same readings, each as a straight car would give it.

    Parameters
    ----------
    job : Job
        For what is known of the car.
    readings : Pass
        Readings taken or planned; their number counts, their values do not.

    Returns
    -------
    Pass
        Readings of a car without toe or camber, square in a parallel box.
    """
    wheelbase = job.car.wheelbase or USUAL_WHEELBASE
    return readings._replace(
        string={wheel: _strings(strings) for wheel, strings in readings.string.items()},
        front_bar_width=_each(readings.front_bar_width, BAR),
        rear_bar_width=_each(readings.rear_bar_width, BAR),
        tape={
            axle: tape._replace(
                front_edge=_each(tape.front_edge, TAPE), rear_edge=_each(tape.rear_edge, TAPE)
            )
            for axle, tape in readings.tape.items()
        },
        steering_wheel_off=_each(readings.steering_wheel_off, 0.0),
        wheelbase_left=_each(readings.wheelbase_left, wheelbase),
        wheelbase_right=_each(readings.wheelbase_right, wheelbase),
        gauge={
            wheel: _gauge(gauge, job.car.steering_axis_inclination.get(side_of(wheel), INCLINATION))
            for wheel, gauge in readings.gauge.items()
        },
        floor=dict.fromkeys(readings.floor, 0.0),
        turn={
            side: Turn(_each(turn.inner, INNER), _each(turn.outer, OUTER))
            for side, turn in readings.turn.items()
        },
        turned={},
    )


def _each(reading: Reading, value: float) -> Reading:
    return (value,) * len(reading)


def _strings(strings: WheelStrings) -> WheelStrings:
    front, rear = _each(strings.front, STRING), _each(strings.rear, STRING)
    return WheelStrings(front, rear, _each(strings.hub, HUB))


def _gauge(gauge: WheelGauge, inclination: float) -> WheelGauge:
    stops = tuple(
        SweepStop(stop.steer, camber_at(CASTER, inclination, 0.0, stop.steer))
        for stop in gauge.sweep
    )
    return gauge._replace(
        camber=_each(gauge.camber, 0.0),
        camber_turned=_each(gauge.camber_turned, 0.0),
        caster=_each(gauge.caster, CASTER),
        sweep=stops,
    )
