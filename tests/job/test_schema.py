"""Every key of the job file: read to metres and radians, in every way it may be written."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

import pytest

from toebox.job import loads, templates
from toebox.job.model import Goal, Instrument, Job, SweepStop, Tape, Turned, WheelStrings
from toebox.job.schema import JOB, places
from toebox.job.values import List, Repeated, Table

INCH = 0.0254
CAR = 'car = { wheelbase = "100", rim_diameter = "16", tyre_diameter = "24" }\n'


def job(text: str, unit: str = "in") -> Job:
    return loads(f'length_unit = "{unit}"\n{text}', "job")


def degrees(*values: float) -> Any:
    return pytest.approx([math.radians(value) for value in values], abs=1e-15)


def inches(*values: float) -> Any:
    return pytest.approx([value * INCH for value in values], abs=1e-15)


@pytest.fixture(scope="module")
def full() -> Job:
    return loads(templates.text("full"), "full")


def test_title_date_and_unit(full: Job) -> None:
    assert (full.title, full.source) == ("Example: everything", "full")
    assert (full.date, full.length_unit) == (date(2026, 4, 18), "in")
    assert (full.doubts, full.smallest_fraction) == ((), 64)


def test_car(full: Job) -> None:
    car = full.car
    assert car.wheelbase == pytest.approx(101.375 * INCH)
    assert list(car.rim_diameter.values()) == inches(15.875, 15.875)
    assert list(car.tyre_diameter.values()) == inches(23.75, 23.75)
    assert list(car.track.items()) == [
        ("front", pytest.approx(57.5 * INCH)),
        ("rear", pytest.approx(57 * INCH)),
    ]
    assert (car.steering_ratio, car.steering_wheel_splines) == (16.5, 36)
    assert list(car.steering_axis_inclination.values()) == degrees(12.5, 12.5)
    assert (car.rear_toe_adjustable, car.rear_axle) == (True, "independent")


def test_instruments(full: Job) -> None:
    read = full.instruments
    assert read.string_rule == Instrument(INCH / 64, INCH / 64)
    assert read.tape == Instrument(INCH / 16, INCH / 32)
    assert read.inclinometer == Instrument(math.radians(0.1), math.radians(0.1))
    assert read.turn_plates == Instrument(math.radians(0.5), math.radians(0.25))
    assert read.road_test == Instrument(0.0, math.radians(2))
    assert read.turns_to_lock == Instrument(math.radians(22.5), math.radians(10))
    assert (read.rim_runout, read.strings_parallel_within) == (INCH / 32, INCH / 8)
    assert read.box_square_within == INCH / 8
    assert read.stated == set(JOB.keys["instruments"].keys)  # type: ignore[attr-defined]


def test_goals_by_names_of_results(full: Job) -> None:
    across = 23.75 * INCH
    toe = math.asin((1 / 16) / 23.75)
    wanted = {
        "total_toe.front": Goal(toe, toe, across),
        "total_toe.rear": Goal(math.radians(1 / 6), math.radians(1 / 6)),
        "thrust_angle": Goal(0.0, math.radians(0.1)),
        "steering_wheel": Goal(0.0, math.radians(2)),
        "camber.left_front": Goal(math.radians(-0.5), math.radians(0.5)),
        "camber.right_front": Goal(math.radians(-0.5), math.radians(0.5)),
        "camber.left_rear": Goal(math.radians(-1.2), math.radians(0.5)),
        "camber.right_rear": Goal(math.radians(-1.2), math.radians(0.5)),
        "caster.left_front": Goal(math.radians(4), math.radians(0.75)),
        "caster.right_front": Goal(math.radians(4), math.radians(0.75)),
        "cross_camber.front": Goal(0.0, math.radians(0.5)),
        "cross_caster.front": Goal(0.0, math.radians(0.5)),
    }
    assert full.goals.keys() == wanted.keys()
    for name, goal in wanted.items():
        read = full.goals[name]
        assert [read.value, read.tolerance] == pytest.approx([goal.value, goal.tolerance])
        assert read.across == pytest.approx(goal.across)


def test_tie_rods(full: Job) -> None:
    left, right = full.tie_rods["left"], full.tie_rods["right"]
    assert left.arm_behind
    assert left.arm_length == pytest.approx(5.25 * INCH)
    assert left.outer_thread is not None
    assert left.inner_thread is not None
    assert (left.outer_thread.pitch, left.inner_thread.left_hand) == (0.0015, True)
    assert [left.outer_engaged, left.inner_engaged] == inches(1.125, 1.0625)
    assert [right.outer_engaged, right.inner_engaged] == inches(1, 1.125)
    assert left.smallest_turn == 1 / 6
    same = right._replace(outer_engaged=left.outer_engaged, inner_engaged=left.inner_engaged)
    assert same == left


def test_readings(full: Job) -> None:
    (one,) = full.passes
    assert (one.label, one.turned) == ("as found", {})
    assert one.steering_wheel_off == degrees(-5)
    assert one.wheelbase_left == inches(101.375)
    assert one.wheelbase_right == inches(101.3125)
    assert list(one.floor.values()) == inches(1 / 16, 0, 1 / 8)
    assert list(one.string) == ["left_front", "right_front", "left_rear", "right_rear"]
    assert one.string["left_front"].front == inches(4.625, 4.5625)
    assert one.string["left_front"].rear == inches(4.515625, 4.53125)
    assert one.string["left_front"].hub == inches(5.734375)
    assert (one.front_bar_width, one.rear_bar_width) == (inches(67.0625), inches(66.9375))
    assert one.bar_spacing == pytest.approx(172 * INCH)
    assert one.tape["front"].front_edge == inches(57.5)
    assert one.tape["rear"].rear_edge == inches(57)
    assert one.tape["rear"].across == pytest.approx(23.75 * INCH)


def test_gauge(full: Job) -> None:
    gauge = full.passes[0].gauge
    assert gauge["left_front"].camber == degrees(-0.6, -0.7)
    assert gauge["left_front"].camber_turned == degrees(-0.5)
    assert gauge["right_rear"].camber == degrees(-1.3)
    assert gauge["right_front"].sweep == (
        SweepStop(math.radians(20), math.radians(1.8)),
        SweepStop(0.0, math.radians(-0.4)),
        SweepStop(math.radians(-20), math.radians(-1.3)),
    )


def leaves(table: Table, path: str = "") -> set[str]:
    """Return every key of the schema that holds a value, lists and shared values as one."""
    found: set[str] = set()
    for key, kind in table.keys.items():
        inner = kind.kind if isinstance(kind, List | Repeated) else kind
        if isinstance(inner, Table):
            found |= leaves(inner, f"{path}{key}.")
        else:
            found.add(path + key)
    return found


def test_full_template_shows_every_key() -> None:
    text = templates.text("full")
    for leaf in leaves(JOB):
        key = leaf.rpartition(".")[2]
        assert f"{key} = " in text or f"[goal.{key}]" in text or f"[pass.tape.{key}]" in text, leaf


@pytest.mark.parametrize(
    ("given", "wanted"),
    [
        ('"6 left"', [-6]),
        ('{ angle = 6, toward = "right" }', [6]),
        ('{ angle = "0°30\'", toward = "Left" }', [-0.5]),
        ('["6 left", "5 left", { angle = 4, toward = "left" }]', [-6, -5, -4]),
        ("0", [0]),
        ('"straight"', [0]),
        ("{ angle = 0 }", [0]),
    ],
)
def test_steering_wheel_off(given: str, wanted: list[float]) -> None:
    text = f"[car]\nsteering_ratio = 16\n[[pass]]\nsteering_wheel_off = {given}"
    assert job(text).passes[0].steering_wheel_off == degrees(*wanted)


@pytest.mark.parametrize(
    ("given", "turns"),
    [("1/2 lengthen", 0.5), ("3 flats shorten", -0.5), ("not turned", 0.0)],
)
def test_turned(given: str, turns: float) -> None:
    one = job(f'[[pass]]\nturned = {{ left = "{given}" }}').passes[0]
    assert one.turned == {"left": Turned(turns)}


@pytest.mark.parametrize(
    ("given", "angle"),
    [
        ('{ distance = "1/16" }', math.asin(1 / 16 / 24)),
        ('{ distance = "-1/16" }', -math.asin(1 / 16 / 24)),
        ('{ distance = "1/16 toe-out" }', -math.asin(1 / 16 / 24)),
        ('{ distance = "1.5 mm toe-in", across = "600 mm" }', math.asin(1.5 / 600)),
        ('{ angle = "0.1 toe-out" }', math.radians(-0.1)),
        ('{ distance = "1/16 toe out" }', -math.asin(1 / 16 / 24)),
        ('{ distance = "1/16 in Toe in" }', math.asin(1 / 16 / 24)),
        ('{ angle = "0°06\'" }', math.radians(0.1)),
    ],
)
def test_toe_goals(given: str, angle: float) -> None:
    goal = job(f"{CAR}[goal]\nrear_total_toe = {given}").goals["total_toe.rear"]
    assert goal.value == pytest.approx(angle, abs=1e-12)
    assert goal.tolerance is None


def test_words_for_signs() -> None:
    text = """
[pass.inclinometer.left_front]
camber = ["0.5 top in", "0.5 deg top out", -0.5]
sweep = [{ steer = "20 out", camber = "1 top out" }, { steer = "20° in", camber = "1 top in" }]
"""
    gauge = job(f"[[pass]]{text}").passes[0].gauge["left_front"]
    assert gauge.camber == degrees(-0.5, 0.5, -0.5)
    assert [stop.steer for stop in gauge.sweep] == degrees(20, -20)
    assert [stop.camber for stop in gauge.sweep] == degrees(1, -1)


def test_tape_across_follows_from_the_tyre() -> None:
    tape = job(f'{CAR}[[pass]]\ntape.front = {{ front_edge = "57", rear_edge = "57" }}')
    assert tape.passes[0].tape["front"] == Tape((57 * INCH,), (57 * INCH,), 0.6096)


def test_numbers_count_in_the_length_unit() -> None:
    text = """car = { wheelbase = 2600, rim_diameter = "16 in" }
pass = [{ string = { left_front = { front = 100.5, rear = ["101", "4 in"] } } }]"""
    read = job(text, "mm")
    assert read.car.wheelbase == pytest.approx(2.6)
    assert read.passes[0].string["left_front"] == WheelStrings((0.1005,), (0.101, 0.1016))


def test_one_tie_rod_alone() -> None:
    assert job("[tie_rods.left]\narm_length = 5").tie_rods.keys() == {"left"}
    assert job("").tie_rods == {}


def test_a_job_may_lack_nearly_everything() -> None:
    bare = job("")
    assert (bare.title, bare.date, bare.passes) == ("Wheel alignment", None, ())
    assert job("[[pass]]\n[[pass]]\nlabel = 'x'\n").passes[0].label == "pass 1"


@pytest.mark.parametrize("given", ["2026-04-18", '"2026-04-18"', "2026-04-18T07:30:00Z"])
def test_dates(given: str) -> None:
    assert job(f"date = {given}").date == date(2026, 4, 18)


def test_places_of_keys_that_stand_in_one_table_only() -> None:
    found = places(JOB)
    assert found["wheelbase"] == "[car]"
    assert found["front_bar_width"] == "[pass.string]"
    assert found["steering_wheel_off"] == "[[pass]]"
    assert "camber" not in found
