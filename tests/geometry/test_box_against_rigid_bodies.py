"""Toe, yaw, taper, tape, thrust line and camber against cars built by rigid rotations."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.simulate import AXLES, SIDES, WHEELS, Perfect, SimulatedCar
from toebox.geometry import box, camber, thrust, toe

THOUSANDTH = math.radians(1e-3)
CARS = [SimulatedCar.random(np.random.default_rng(seed)) for seed in range(60)]
NAMES = [f"car {seed}" for seed in range(60)]


def read_box(car: SimulatedCar) -> tuple[dict, dict, float, float]:
    """Return front and rear readings by wheel, yaw and taper, as the closed forms find them."""
    readings = car.readings(repeats=1)
    strings = readings["string"]
    edges = {w: (strings[w]["front"][0], strings[w]["rear"][0]) for w in WHEELS}
    centres = {w: box.rim_centre(*edges[w]) for w in WHEELS}
    shift = {a: box.axle_shift(centres[f"left_{a}"], centres[f"right_{a}"]) for a in AXLES}
    yaw = box.box_yaw(shift["front"], shift["rear"], car.wheelbase)
    taper = box.box_taper(
        strings["front_bar_width"], strings["rear_bar_width"], strings["bar_spacing"]
    )
    return edges, shift, yaw, taper


@pytest.mark.parametrize("car", CARS, ids=NAMES)
def test_string_readings_give_toe_yaw_and_taper(car: SimulatedCar) -> None:
    edges, _, yaw, taper = read_box(car)
    assert taper == pytest.approx(car.taper, abs=1e-12)
    assert yaw == pytest.approx(car.yaw, abs=THOUSANDTH / 2)
    for wheel in WHEELS:
        angle = box.string_angle(*edges[wheel], car.rim_diameter)
        found = box.wheel_toe(angle, yaw, taper, wheel.split("_")[0])
        assert found == pytest.approx(car.toe[wheel], abs=THOUSANDTH / 2)
        with_true_box = box.wheel_toe(angle, car.yaw, car.taper, wheel.split("_")[0])
        assert with_true_box == pytest.approx(car.toe[wheel], abs=1e-12)


@pytest.mark.parametrize("car", CARS[:20], ids=NAMES[:20])
def test_the_readings_are_foretold(car: SimulatedCar) -> None:
    edges, shift, yaw, taper = read_box(car)
    for axle in AXLES:
        gap = sum(box.rim_centre(*edges[f"{side}_{axle}"]) for side in SIDES) / 2
        for side in SIDES:
            wheel = f"{side}_{axle}"
            angles = car.toe[wheel], yaw, taper
            told = box.string_readings(*angles, gap, shift[axle], car.rim_diameter, side)
            assert told == pytest.approx(edges[wheel], abs=2e-6)


def test_string_readings_and_toe_are_inverses() -> None:
    for side in SIDES:
        front, rear = box.string_readings(0.01, 0.006, -0.002, 0.1, 0.02, 0.4, side)
        angle = box.string_angle(front, rear, 0.4)
        assert box.wheel_toe(angle, 0.006, -0.002, side) == pytest.approx(0.01, abs=1e-15)


def test_sine_gives_yaw_nearer_than_the_tangent() -> None:
    car = SimulatedCar(yaw=math.radians(2.0), track={"front": 1.5, "rear": 1.5})
    _, shift, yaw, _ = read_box(car)
    assert yaw == pytest.approx(car.yaw, abs=1e-12)
    tangent = math.atan((shift["front"] - shift["rear"]) / car.wheelbase)
    assert tangent - car.yaw == pytest.approx(-(car.yaw**3) / 2, rel=0.01)


@pytest.mark.parametrize("car", CARS, ids=NAMES)
def test_tape_gives_total_toe(car: SimulatedCar) -> None:
    for axle in AXLES:
        tape = car.tape_readings(Perfect(), axle)
        front, rear, across = tape["front_edge"][0], tape["rear_edge"][0], tape["across"]
        left, right = car.toe[f"left_{axle}"], car.toe[f"right_{axle}"]
        total = box.total_toe_from_tape(front, rear, across)
        assert total == pytest.approx(left + right, abs=THOUSANDTH)
        told = box.tape_readings(left, right, (front + rear) / 2, across)
        assert told == pytest.approx((front, rear), abs=2e-6)
        assert thrust.stop_at_tape(left, right, across) == pytest.approx(rear - front, abs=3e-6)


def test_the_tape_misses_what_its_documentation_says() -> None:
    left, right = math.radians(2.0), math.radians(0.0)
    front, rear = box.tape_readings(left, right, 1.5, 0.6)
    half_difference = (left - right) / 2
    missed = (left + right) - box.total_toe_from_tape(front, rear, 0.6)
    assert missed == pytest.approx((left + right) * half_difference**2 / 2, rel=1e-3)


@pytest.mark.parametrize("car", CARS, ids=NAMES)
def test_thrust_line_and_steering_wheel(car: SimulatedCar) -> None:
    toes = car.toe
    angle = thrust.thrust_angle(toes["left_rear"], toes["right_rear"])
    assert angle == pytest.approx(car.thrust(), abs=1e-12)
    fronts = toes["left_front"], toes["right_front"]
    off = thrust.steering_wheel_off(car.steering_ratio, angle, *fronts)
    assert off == pytest.approx(car.steering_wheel_off(), abs=1e-10)
    left, right = thrust.front_relative_toe(sum(fronts), off, car.steering_ratio)
    assert left + angle == pytest.approx(fronts[0], abs=1e-12)
    assert right - angle == pytest.approx(fronts[1], abs=1e-12)


@pytest.mark.parametrize("car", CARS[:20], ids=NAMES[:20])
def test_wanted_toe_sets_total_and_steering_wheel_and_the_string_shows_it(
    car: SimulatedCar,
) -> None:
    _, _, yaw, taper = read_box(car)
    goal = math.radians(0.2)
    wanted = dict(zip(SIDES, thrust.wanted_front_toe(goal, car.thrust()), strict=True))
    changes = {f"{s}_front": wanted[s] - car.toe[f"{s}_front"] for s in SIDES}
    done = car.adjusted(**changes)
    assert done.steering_wheel_off() == pytest.approx(0.0, abs=1e-10)
    assert sum(done.toe[f"{s}_front"] for s in SIDES) == pytest.approx(goal, abs=1e-15)
    edges = read_box(done)[0]
    for side in SIDES:
        stop = thrust.stop_at_string(wanted[side], yaw, taper, car.rim_diameter, side)
        front, rear = edges[f"{side}_front"]
        assert stop == pytest.approx(front - rear, abs=2e-6)


def test_setback_is_what_the_car_has() -> None:
    car = SimulatedCar(setback=0.006)
    bases = car.wheelbases()
    assert thrust.setback(bases["left"], bases["right"]) == pytest.approx(0.006, abs=1e-15)
    angle = thrust.setback_angle(bases["left"], bases["right"], 1.5)
    left, right = car.centre("left_front"), car.centre("right_front")
    assert angle == pytest.approx(math.atan2(*(left - right)[:2]), abs=1e-15)


def test_a_solid_axle_set_askew_steers_the_rear() -> None:
    turn = math.radians(0.3)  # to the right, seen from above
    half = 0.74 * np.array([math.sin(turn), math.cos(turn)])  # the left end goes forward
    left, right = 2.6 - half[0], 2.6 + half[0]
    assert thrust.axle_shift_thrust(left, right, 1.48) == pytest.approx(turn, abs=1e-13)
    skewed = SimulatedCar(toe=dict(zip(WHEELS, (0, 0, turn, -turn), strict=True)))
    assert skewed.thrust() == pytest.approx(turn, abs=1e-13)


@pytest.mark.parametrize("car", CARS[:20], ids=NAMES[:20])
def test_camber_on_a_sloping_floor(car: SimulatedCar) -> None:
    # The closed form knows the slope across the car alone.
    car = replace(car, gauge_zero=math.radians(0.3), floor_pitch=0.0)
    for wheel in WHEELS:
        side, axle = wheel.split("_")
        gauge = car.gauge_camber(wheel), car.gauge_camber(wheel, turned=True)
        level, zero = camber.turned_gauge(*gauge)
        assert zero == pytest.approx(car.gauge_zero, abs=1e-14)
        slope = camber.floor_slope(car.floor(axle), car.track[axle])
        assert slope == pytest.approx(car.floor_roll, abs=2e-7)  # setback tips the axle's ends
        found = camber.camber_to_floor(level, car.floor_roll, side)
        assert found == pytest.approx(car.camber[wheel], abs=abs(car.floor_roll) * 1e-3)


def test_rim_wobble_cancels_over_the_valve_positions() -> None:
    car = SimulatedCar.random(np.random.default_rng(7))

    class Wobbling(Perfect):
        def wobble(self) -> tuple[float, float]:
            return 1e-3, 0.7

    true = car.string_readings(Perfect(), 1, hub=False)
    for repeats in (2, 3, 4):
        rows = car.string_readings(Wobbling(), repeats, hub=False)
        for wheel in WHEELS:
            for end in ("front", "rear"):
                mean = np.mean(rows[wheel][end])
                assert mean == pytest.approx(true[wheel][end][0], abs=2e-7)
                assert np.ptp(rows[wheel][end]) > 1e-4
    rows = car.string_readings(Wobbling(), 2, hub=False)["left_front"]
    errors = [rows[end][0] - np.mean(rows[end]) for end in ("front", "rear")]
    assert errors[0] == pytest.approx(-errors[1], abs=2e-7)
    assert abs(errors[0]) == pytest.approx(1e-3 * math.cos(0.7), rel=1e-3)


def test_repeats_and_cross_differences() -> None:
    assert camber.mean_camber((0.01, 0.02, 0.06)) == pytest.approx(0.03)
    assert camber.cross_difference(0.01, 0.03) == pytest.approx(-0.02)
    with pytest.raises(ValueError, match="no camber reading"):
        camber.mean_camber(())


def test_toe_as_angle_distance_and_slip() -> None:
    for degrees in (-3.0, -0.1, 0.0, 0.15, 2.0):
        angle = math.radians(degrees)
        assert toe.toe_angle(toe.toe_distance(angle, 0.6), 0.6) == pytest.approx(angle, abs=1e-16)
        assert toe.toe_from_side_slip(toe.side_slip(angle)) == pytest.approx(angle, abs=1e-16)


def test_a_sliding_plate_moves_by_the_tangent() -> None:
    # Drive one metre in small steps; the tread carries the plate along the wheel's own plane.
    angle, steps = math.radians(2.0), 1000
    heading = np.array([math.cos(angle), math.sin(angle)])
    plate = sum((heading / heading[0] / steps)[1] for _ in range(steps))
    assert toe.side_slip(angle) == pytest.approx(plate, rel=1e-12)


@pytest.mark.parametrize(
    ("distance", "across"), [(0.7, 0.6), (-0.7, 0.6), (0.0, 0.0), (0.1, -0.6), (math.nan, 0.6)]
)
def test_no_angle_where_there_is_no_triangle(distance: float, across: float) -> None:
    with pytest.raises(ValueError, match="wanted a length above zero to take it across"):
        toe.toe_angle(distance, across)


def test_limits_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"bar spacing 0\.0: wanted a number above zero"):
        box.box_taper(1.9, 1.9, 0.0)
    with pytest.raises(ValueError, match="steering ratio nan: wanted a number above zero"):
        thrust.front_relative_toe(0.0, 0.1, math.nan)
    with pytest.raises(ValueError, match=r"track -1\.5: wanted a number above zero"):
        thrust.setback_angle(2.6, 2.6, -1.5)
    with pytest.raises(ValueError, match="side 'middle': wanted 'left' or 'right'"):
        box.wheel_toe(0.0, 0.0, 0.0, "middle")


def test_arrays_give_what_numbers_give() -> None:
    toes = np.radians([-1.0, 0.0, 0.5])
    distances = toe.toe_distance(toes, 0.6)
    assert distances.shape == (3,)
    assert toe.toe_angle(distances, 0.6) == pytest.approx(toes, abs=1e-16)
    for one, distance in zip(toes.tolist(), distances, strict=True):
        assert toe.toe_distance(one, 0.6) == pytest.approx(distance, abs=1e-18)
    grid = toe.toe_distance(toes[:, None], np.array([0.4, 0.6]))
    assert grid.shape == (3, 2)
    front, rear = box.string_readings(toes, 0.001, 0.002, 0.1, 0.0, 0.4, "left")
    angles = box.wheel_toe(box.string_angle(front, rear, 0.4), 0.001, 0.002, "left")
    assert angles == pytest.approx(toes, abs=1e-15)
    assert box.box_taper(np.array([1.9, 1.91]), 1.9, 5.0).shape == (2,)
    with pytest.raises(ValueError, match="wanted a length above zero"):
        toe.toe_angle(np.array([0.1, 0.7]), 0.6)
