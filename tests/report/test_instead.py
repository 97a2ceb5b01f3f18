"""Where an assumption does not fit, what is told is what to measure in its place.

The jobs are invented; what each must say follows from what the job format takes.
"""

from __future__ import annotations

import re
import tomllib

import pytest

from tests.cli.running import run
from tests.report.test_told import told
from toebox.correct import correct
from toebox.job import loads
from toebox.job.keys import HINTS
from toebox.job.model import Pass, SweepStop, WheelGauge, WheelStrings
from toebox.report.json import result
from toebox.report.view.instead import in_place_of
from toebox.report.view.sheet import make_sheet
from toebox.report.view.words import ASSUMPTIONS
from toebox.solve import solve

KEYS = {part for path in HINTS for part in path.split(".")}
HEAD = """
length_unit = "mm"
car = { wheelbase = 2600, rim_diameter = 400, tyre_diameter = 600, steering_ratio = 16 }
goal.front_total_toe = { angle = 0.15, tolerance = 0.1 }
goal.steering_wheel = { angle = 0, tolerance = 3 }
[instruments]
string_rule = { resolution = 0.25, repeatability = 0.15 }
tape = { resolution = 0.5, repeatability = 0.3 }
road_test = { repeatability = 2 }
rim_runout = 0.5
strings_parallel_within = 3
steering_wheel_straight_within = 1
[tie_rods]
steering_arm = "behind"
arm_length = 130
outer_thread = "M14x1.5"
outer_engaged = 25
[[pass]]
"""
BARS = (
    "measure the widths between the strings at both bars (front_bar_width, rear_bar_width, "
    "bar_spacing)"
)
CLAMP = "clamp the steering wheel straight and read the front strings again"


def strings(left: float, right: float, opening: float = 0.0) -> str:
    """Return readings of rims whose front edges are further from the strings by so much."""
    by = {"left_front": left, "right_front": right, "left_rear": 0.0, "right_rear": 0.0}
    rows = [
        f"{wheel} = {{ front = [{100 + one + opening}, {100 + one + opening}], rear = [100, 100] }}"
        for wheel, one in by.items()
    ]
    return "[pass.string]\n" + "\n".join(rows) + "\n"


def tape(times: int) -> str:
    return f"[pass.tape.front]\nfront_edge = {[1400.0] * times}\nrear_edge = {[1400.0] * times}\n"


def on_the_sheet(*parts: str) -> str:
    text = "".join(parts)
    solution = solve(loads(text, "invented"))
    return repr(make_sheet(tomllib.loads(text), solution, correct(solution)))


def steps(text: str) -> str:
    return text.partition("What to do next")[2].partition("\n2. ")[0]


# 12 degrees at the steering wheel are 0.75 at each front wheel: 5.2 mm of 400.
CLAMPED = (HEAD, 'steering_wheel_off = ["0 left", "0 left", "0 left"]\n', strings(5.2, -5.2))


def test_a_steering_wheel_that_was_not_straight_is_clamped_anew() -> None:
    text = told(*CLAMPED)
    assert f"1. Before you turn anything, {CLAMP}; if that changes nothing, look at the" in text
    assert f"Group 1: {CLAMP}; if that changes nothing, look at the road test" in text
    assert "read it again" not in text
    assert "read again: assumption" not in text


def test_strings_that_are_not_parallel_are_measured_at_both_bars() -> None:
    """Tape read once: it may be that; read twice: it is the strings, and the bars tell."""
    open_by = strings(0.0, 0.0, opening=2.1)  # 0.3 degrees of 400 mm at each rim
    once, twice = (told(HEAD, open_by, tape(times)) for times in (1, 2))
    assert f"if that changes nothing, {BARS}" in steps(once)
    assert f"if that changes nothing, {BARS}." in once.partition("Group 1: ")[2]
    assert f"1. Before you turn anything, {BARS}." in twice
    assert f"Group 1: {BARS}." in twice
    assert "again" not in steps(twice)


def test_measured_in_its_place_it_fits() -> None:
    """Bars 4000 mm apart, each string opening by 0.3 degrees: 42 mm wider at the front."""
    bars = "front_bar_width = 1741.9\nrear_bar_width = 1700\nbar_spacing = 4000\n"
    text = told(HEAD, strings(0.0, 0.0, opening=2.1) + bars, tape(2))
    assert "Readings that do not fit" not in text


def test_of_a_reading_and_an_assumption_either_is_said_to_be_looked_at() -> None:
    text = told(HEAD, 'steering_wheel_off = "9.7 right"\n', strings(0.0, 0.0))
    assert "read all of them again" not in text.lower()
    for place in (steps(text), text.partition("Group 1: ")[2].partition("\n\n")[0]):
        assert CLAMP in place
        assert "read steering wheel off again" in place


@pytest.mark.parametrize("job", [CLAMPED, (HEAD, strings(0.0, 0.0, opening=2.1), tape(2))])
def test_the_sheet_says_it_as_the_report_does(job: tuple[str, ...]) -> None:
    said = on_the_sheet(*job)
    assert CLAMP in said or BARS in said
    assert "read again: assumption" not in said


def test_json_names_the_assumption_among_what_settles_a_group() -> None:
    text = "".join((HEAD, 'steering_wheel_off = "9.7 right"\n', strings(0.0, 0.0)))
    solution = solve(loads(text, "invented"))
    doubts = result(solution, correct(solution))["passes"][-1]["doubtful"]
    assert {d["reading"] for d in doubts} == {
        "steering_wheel_off",
        "assumed.steering_wheel_straight_within",
    }
    assert doubts[0]["settled_by"] == ["assumed.steering_wheel_straight_within"]


ONCE = Pass(
    "once",
    string={"left_front": WheelStrings((0.1,), (0.1,)), "left_rear": WheelStrings((0.1,), (0.1,))},
    gauge={"left_front": WheelGauge((0.0,))},
)
TWICE = Pass(
    "twice",
    string={"left_front": WheelStrings((0.1, 0.1), (0.1, 0.1))},
    gauge={"left_front": WheelGauge((0.0, 0.0))},
)


@pytest.mark.parametrize("name", ASSUMPTIONS)
def test_every_assumption_has_something_to_be_done_in_its_place(name: str) -> None:
    places = ("front", "rear", "along") if name == "floor_level_within" else ("left_front",)
    for place in places:
        (act,) = in_place_of([f"assumed.{name}.{place}"], ONCE)
        assert "assum" not in act
        assert "{" not in act
        for key in re.findall(r"[a-z]+_[a-z_]+|floor\.[a-z]+", act):
            assert key.partition(".")[0] in KEYS


def test_rims_are_told_in_one_and_readings_are_passed_over() -> None:
    labels = [
        "assumed.rim_runout.left_front",
        "tape.front.rear_edge",
        "assumed.rim_runout.left_rear",
    ]
    assert in_place_of(labels, ONCE) == [
        "read the left front wheel and the left rear wheel once more, turned on by half a turn"
    ]
    assert in_place_of(["tape.front.rear_edge"], ONCE) == []


@pytest.mark.parametrize("end", ["", ".quarter", ".upright"])
def test_a_rim_read_in_several_positions_is_stated_as_it_is(end: str) -> None:
    label = f"assumed.rim_runout.left_front{end}"
    (again,), (state,) = in_place_of([label], ONCE), in_place_of([label], TWICE)
    assert "half a turn" in again
    assert state == "see by how much the left front rim wobbles, and state it (rim_runout)"


def test_a_wobbling_rim_read_in_two_positions_is_told_so() -> None:
    """Front edges 6 mm apart by half a turn: 6 mm from peak to peak, 0.5 mm stated."""
    wobbles = strings(0.0, 0.0).replace(
        "left_rear = { front = [100.0, 100.0], rear = [100, 100] }",
        "left_rear = { front = [103, 97], rear = [97, 103] }",
    )
    text = told(HEAD, wobbles)
    assert "see by how much the left rear rim wobbles, and state it (rim_runout)" in steps(text)


def test_a_steering_wheel_off_by_many_turns_is_not_told_in_degrees() -> None:
    """A string at one rim read 60 mm wrong, tape twice: whatever is named, none can be it alone."""
    text = told(HEAD, strings(60.0, 0.0), tape(2))
    row = next(line for line in text.splitlines() if line.startswith("1 b"))
    assert "assumption: steering wheel clamped straight  would be off by more than 360°" in row
    assert f"if that changes nothing, {CLAMP}" in text


# --- ways of measuring that disagree although no single reading is beyond doubt ---

NARROW = (HEAD, 'steering_wheel_off = "7.1 right"\n', strings(0.0, 0.0))
LOOK = "Look first at what the report lists under 'Whether the ways of measuring agree'"
CAMBER = "[[pass]]\n[pass.inclinometer.left_front]\ncamber = -0.5\n"


def test_ways_that_disagree_are_told_before_anything_is_turned() -> None:
    text = told(*NARROW)
    assert "Readings that do not fit" not in text
    assert f"1. {LOOK}, before you turn anything: strings and road test disagree on the" in text
    row = next(line for line in text.splitlines() if "■ disagree" in line)
    assert "by 7.1° ± 4.2°. Put it right" in steps(text)
    assert "7.1° ± 4.2°" in row
    assert LOOK in on_the_sheet(*NARROW)


@pytest.mark.parametrize("off", ["6.4 right", "9.7 right"])
def test_where_they_agree_or_a_reading_is_doubted_it_is_not_said(off: str) -> None:
    """6.4 degrees barely agree; of 9.7 the road test itself is named."""
    text = told(HEAD, f'steering_wheel_off = "{off}"\n', strings(0.0, 0.0))
    assert LOOK not in text
    assert ("barely agree" in text) == (off == "6.4 right")
    assert ("1. Before you turn anything, find out" in text) == (off == "9.7 right")


def test_the_section_told_of_is_there_where_the_last_pass_read_no_toe() -> None:
    text = told(*NARROW, CAMBER)
    assert LOOK in text
    assert "■ disagree" in text


def test_a_steering_wheel_centred_without_a_job_has_the_section_too() -> None:
    given = ["--mm", "--off", "10.5 right", "--ratio", "16", "--wheelbase", "2600", "--rim", "400"]
    for wheel in ("left_front", "right_front", "left_rear", "right_rear"):
        given += ["--string", wheel, "100", "100"]
    text = " ".join(run("centre", *given).stdout.split())
    assert "Readings that do not fit" not in text
    here = "Look first at what stands under 'Whether the ways of measuring agree'"
    assert here in text
    assert "Put it right and ask again" in text
    assert "■ disagree" in text.partition(here)[2]


def test_a_wheel_that_was_swept_at_three_stops_is_not_to_be_swept_so_again() -> None:
    label = "assumed.steering_axis_inclination.left_front"
    stops = tuple(SweepStop(steer, 0.0) for steer in (-0.35, 0.0, 0.35))
    for count, said in ((2, True), (3, False)):
        swept = Pass("swept", gauge={"left_front": WheelGauge(sweep=stops[:count])})
        (act,) = in_place_of([label], swept)
        assert act.startswith("look the steering-axis inclination up again")
        assert ("or sweep the left front wheel" in act) is said
