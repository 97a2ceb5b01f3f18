"""What is told, done to rigid bodies: every hand, end, arm, side and direction.

A rigid rod is turned clockwise or anticlockwise as told, seen from the middle of the car; the
rigid wheel must then stand where it was wanted, and rule and tape must read what was told.
"""

from __future__ import annotations

import itertools
import math

import pytest

from tests.mechanisms import Screw
from tests.mechanisms import TieRod as RigidRod
from tests.simulate import Perfect, SimulatedCar
from tests.solve.simulated import job_of
from toebox.correct import correct
from toebox.correct.results import PassCorrection
from toebox.job.model import SIDES, Goal, Job, TieRod
from toebox.solve import solve
from toebox.units import read_thread

ARM, FINE = 0.13, 0.01
OUTER = ("M14x1.5", "M14x1.5-LH", "5/8-18", "5/8-18-LH")
# None swivels; the others make sleeves (opposite hands) and adapters (equal hands).
INNER = (None, "M14x2", "M14x2-LH")
CASES = [
    pytest.param(outer, inner, behind, goal, id=f"{outer} {inner} {place} goal {goal}")
    for outer, inner, (behind, place), goal in itertools.product(
        OUTER, INNER, ((True, "behind"), (False, "ahead")), (0.8, -0.8)
    )
]
CAR = SimulatedCar(
    toe={"left_front": 0.004, "right_front": -0.003, "left_rear": 0.002, "right_rear": 0.001},
    camber=dict.fromkeys(("left_front", "right_front", "left_rear", "right_rear"), -0.01),
    yaw=0.003,
    taper=0.001,
)


def job(rod: TieRod, total: float) -> Job:
    goals = {"total_toe.front": Goal(total, 0.0002), "steering_wheel": Goal(0.0, 0.0005)}
    return job_of(CAR, goals=goals, tie_rods=dict.fromkeys(SIDES, rod))


def rigid(rod: TieRod, side: str) -> RigidRod:
    screws = [
        Screw(thread.pitch, thread.left_hand) if thread else Screw(0.0, False)
        for thread in (rod.outer_thread, rod.inner_thread)
    ]
    return RigidRod(side, *screws, rod.arm_behind, ARM)


def done(rod: TieRod, told: PassCorrection, sides: tuple[str, ...] = SIDES) -> SimulatedCar:
    """Return the car after turning the rods of some sides as told."""
    changes = {}
    for correction in told.rods:
        if correction.side in sides:
            body = rigid(rod, correction.side)
            assert correction.turns is not None
            clockwise = abs(correction.turns) * (1.0 if correction.clockwise else -1.0)
            lengthening = body.lengthening(clockwise)
            assert (lengthening > 0.0) == (correction.direction == "lengthen")
            changes[f"{correction.side}_front"] = body.toe_after(lengthening)
    return CAR.adjusted(**changes)


@pytest.mark.parametrize("outer, inner, behind, goal", CASES)
def test_doing_as_told_makes_it_right(
    outer: str, inner: str | None, behind: bool, goal: float
) -> None:
    rod = TieRod(
        behind,
        ARM,
        outer_thread=read_thread(outer),
        inner_thread=read_thread(inner) if inner else None,
        outer_engaged=0.04,
        inner_engaged=0.04,
        smallest_turn=FINE,
    )
    total = math.radians(goal)
    told = correct(solve(job(rod, total)))[-1]
    after = done(rod, told)
    truth = after.truth()
    # A hundredth of a turn is at most 0.015 degrees; the rigid car differs from the formulas by
    # camber and second order, some 0.005 degrees.
    assert truth["total_toe.front"] == pytest.approx(total, abs=math.radians(0.02))
    assert truth["steering_wheel"] == pytest.approx(0.0, abs=math.radians(0.02 * 16.0))
    strings = after.string_readings(Perfect(), 1, hub=False)
    for correction in told.rods:
        read = strings[f"{correction.side}_front"]
        assert correction.stop_at_string == pytest.approx(
            read["front"][0] - read["rear"][0], abs=0.00015
        )
    for side, car in (("left", done(rod, told, ("left",))), ("right", after)):
        tape = car.tape_readings(Perfect(), "front")
        read_now = tape["rear_edge"][0] - tape["front_edge"][0]
        stop = next(r.stop_at_tape for r in told.rods if r.side == side)
        assert stop == pytest.approx(read_now, abs=0.0003)
    assert told.stop_at_tape == told.rods[1].stop_at_tape


@pytest.mark.parametrize("outer, inner", list(itertools.product(OUTER, INNER)))
def test_thread_engaged_is_what_the_screws_travelled(outer: str, inner: str | None) -> None:
    rod = TieRod(
        True,
        ARM,
        outer_thread=read_thread(outer),
        inner_thread=read_thread(inner) if inner else None,
        outer_engaged=0.04,
        inner_engaged=0.035 if inner else None,
    )
    told = correct(solve(job(rod, math.radians(0.8))))[-1]
    for correction in told.rods:
        body = rigid(rod, correction.side)
        assert correction.turns is not None
        clockwise = abs(correction.turns) * (1.0 if correction.clockwise else -1.0)
        gained = sum(end.before - end.after for end in correction.ends)
        assert gained == pytest.approx(body.lengthening(clockwise), abs=1e-12)
        assert [end.end for end in correction.ends] == ["outer", "inner"][: 1 + (inner is not None)]


def test_flats_and_degrees_are_the_same_turn() -> None:
    rod = TieRod(True, ARM, outer_thread=read_thread("M14x1.5"))
    told = correct(solve(job(rod, math.radians(0.8))))[-1]
    for correction in told.rods:
        assert correction.turns
        assert correction.flats == pytest.approx(6.0 * correction.turns)
        assert correction.degrees == pytest.approx(360.0 * correction.turns)
        assert correction.flats == pytest.approx(round(correction.flats), abs=1e-9)


def test_without_threads_the_length_is_told_and_without_an_arm_the_toe() -> None:
    told = correct(solve(job(TieRod(True, ARM), math.radians(0.8))))[-1]
    for correction in told.rods:
        assert correction.turns is None
        assert correction.length_change == pytest.approx(ARM * math.sin(correction.toe_change))
        assert correction.direction == ("lengthen" if correction.toe_change > 0 else "shorten")
    bare = job(TieRod(), math.radians(0.8))._replace(tie_rods={})
    told = correct(solve(bare))[-1]
    assert [(r.direction, r.turns, r.to_set) for r in told.rods] == [(None, None, True)] * 2
    assert all(r.stop_at_string is not None for r in told.rods)
