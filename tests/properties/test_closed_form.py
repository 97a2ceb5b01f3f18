"""Where there is nothing to adjust, the estimator gives what the closed forms give.

Strings at all four wheels with both bar widths, or a tape alone, determine their unknowns
exactly: whatever numbers are read, least squares may not differ from `toebox.geometry`.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.effort import examples
from tests.solve.simulated import cars, job_of, pass_of
from toebox.geometry import box, thrust
from toebox.job.model import AXLES, WHEELS, Job, Pass, Tape, WheelStrings, axle_of, side_of
from toebox.solve import solve_pass

pytestmark = pytest.mark.no_cover
EXAMPLES = examples(100)
JOB = job_of(cars(1)[0])._replace(passes=())
RIM, WHEELBASE = JOB.car.rim_diameter["front"], JOB.car.wheelbase or 0.0
RATIO, SPACING = JOB.car.steering_ratio or 0.0, 4.3

middle = st.floats(0.05, 0.30)  # string to rim centre [m]
skew = st.floats(-0.01, 0.01)  # front reading minus rear reading [m]
width = st.floats(1.5, 2.2)


@st.composite
def box_readings(draw: st.DrawFn) -> Pass:
    """Return strings at every wheel, whatever they show, and both bars."""
    string = {}
    for wheel in WHEELS:
        centre, across = draw(middle), draw(skew)
        string[wheel] = WheelStrings((centre + across / 2,), (centre - across / 2,))
    front = draw(width)
    return Pass(
        "drawn",
        string=string,
        front_bar_width=(front,),
        rear_bar_width=(front + draw(skew),),
        bar_spacing=SPACING,
    )


def closed_form(readings: Pass) -> dict[str, float]:
    """Return yaw, taper, toes and thrust angle by the closed forms alone."""
    angle, centre = {}, {}
    for wheel, strings in readings.string.items():
        (front,), (rear,) = strings.front, strings.rear
        angle[wheel] = box.string_angle(front, rear, RIM)
        centre[wheel] = box.rim_centre(front, rear)
    shift = {a: box.axle_shift(centre[f"left_{a}"], centre[f"right_{a}"]) for a in AXLES}
    yaw = box.box_yaw(shift["front"], shift["rear"], WHEELBASE)
    (front,), (rear,) = readings.front_bar_width, readings.rear_bar_width
    taper = box.box_taper(front, rear, SPACING)
    toe = {w: box.wheel_toe(angle[w], yaw, taper, side_of(w)) for w in WHEELS}
    run = thrust.thrust_angle(toe["left_rear"], toe["right_rear"])
    off = thrust.steering_wheel_off(RATIO, run, toe["left_front"], toe["right_front"])
    totals = {f"total_toe.{a}": sum(t for w, t in toe.items() if axle_of(w) == a) for a in AXLES}
    named = {"box.yaw": yaw, "box.taper": taper, "thrust_angle": run, "steering_wheel": off}
    return {f"toe.{w}": t for w, t in toe.items()} | totals | named


@settings(max_examples=EXAMPLES)
@given(box_readings())
def test_strings_and_bars(readings: Pass) -> None:
    solved = solve_pass(JOB, readings)
    for name, value in closed_form(readings).items():
        assert solved[name].value == pytest.approx(value, abs=1e-11), name


@settings(max_examples=EXAMPLES)
@given(front=width, toe_in=st.floats(-0.03, 0.03), across=st.floats(0.4, 0.8))
def test_a_tape(front: float, toe_in: float, across: float) -> None:
    readings = Pass("drawn", tape={"front": Tape((front,), (front + toe_in,), across)})
    total = solve_pass(JOB, readings)["total_toe.front"].value
    assert total == pytest.approx(box.total_toe_from_tape(front, front + toe_in, across), abs=1e-11)


@settings(max_examples=EXAMPLES)
@given(
    front=width,
    toe_in=st.floats(-0.015, 0.015),
    across=st.floats(0.4, 0.8),
    off=st.floats(-0.3, 0.3),
)
def test_a_tape_and_a_road_test(front: float, toe_in: float, across: float, off: float) -> None:
    tape = {"front": Tape((front,), (front + toe_in,), across)}
    solved = solve_pass(JOB, Pass("drawn", tape=tape, steering_wheel_off=(off,)))
    total = box.total_toe_from_tape(front, front + toe_in, across)
    wanted = thrust.front_relative_toe(total, off, RATIO)
    # The closed form takes the cosine of half the difference of the two toes as 1.
    half = off / RATIO / 2.0
    close = 1e-11 + abs(total) * half * half
    for side, value in zip(("left", "right"), wanted, strict=True):
        found = solved[f"toe_to_thrust.{side}_front"].value
        assert found == pytest.approx(value, abs=close), side


def readings_in_opposite_positions(bend: float) -> tuple[Pass, Pass]:
    """Return exact readings valve up and down, without and with a rim bent by `bend` [m]."""
    exact = pass_of(cars(1)[0].readings(repeats=2, what=("string", "bars")))
    bent = exact.string["left_front"]
    (f1, f2), (r1, r2) = bent.front, bent.rear
    moved = WheelStrings((f1 + bend, f2 - bend), (r1 - bend, r2 + bend))
    return exact, exact._replace(string={**exact.string, "left_front": moved})


@settings(max_examples=EXAMPLES)
@given(st.floats(-0.003, 0.003))
def test_a_bent_rim_read_in_opposite_positions(bend: float) -> None:
    exact, bent = (solve_pass(JOB, p) for p in readings_in_opposite_positions(bend))
    for name, result in exact.results.items():
        assert bent[name].value == pytest.approx(result.value, abs=1e-11), name


def test_degrees_are_degrees() -> None:
    """One wheel by hand: 0.1 in over a rim of 15.9 in, strings parallel, car square."""
    job: Job = JOB._replace(car=JOB.car._replace(rim_diameter=dict.fromkeys(AXLES, 15.9 * 0.0254)))
    even = WheelStrings((0.1,), (0.1,))
    string = dict.fromkeys(WHEELS, even) | {"left_front": WheelStrings((0.10127,), (0.09873,))}
    readings = Pass("hand", string, (1.8,), (1.8,), SPACING)
    toe = solve_pass(job, readings)["toe.left_front"].value
    assert math.degrees(toe) == pytest.approx(0.36035, abs=5e-6)  # asin(0.1 / 15.9)
