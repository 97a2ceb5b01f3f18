"""The working can be followed: each printed line comes out again, the last ones are the results."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from tests.report.calculator import test_a_calculator_that_can_be_trusted, tokens, work_out
from tests.solve.simulated import RNG_KEY, cars, job_of
from toebox.correct import correct
from toebox.job import load
from toebox.job.model import Goal, TieRod, Turned, WheelStrings
from toebox.job.reader import loads
from toebox.report.blocks import Paragraph, Table
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.report.view.words import name_of
from toebox.report.working import working
from toebox.report.working.sums import Term, asin, atan, number, sin, sqrt, tan, uncertainty
from toebox.solve import solve
from toebox.units.thread import read_thread

__all__ = ["test_a_calculator_that_can_be_trusted"]

ROOT = Path(__file__).parents[2]
JOBS = sorted([*(ROOT / "samples").glob("*.toml"), *(ROOT / "templates").glob("*.toml")])
RESULT = re.compile(r"(-?\d+(?:\.(\d+))?)(°| in| mm)?(?: \(.*\))?")
RESULTS, CHANGES = "what this gives", "what to change"


# How near the working comes to the estimator [degrees]; a hundredth is the last printed digit.
NEAR = {"steering_wheel": 5e-3, "camber": 2e-3, "caster": 2e-3, "cross_caster": 2e-3}
NEAR["steering_axis_inclination"] = 1e-2


def worked(job):
    solution = solve(job)
    return solution, working(solution, correct(solution))


def lines_of(sections) -> list[str]:
    notes = [b for s in sections for b in s.blocks if isinstance(b, Paragraph) and b.kind == "note"]
    return [note.text for note in notes]


def check_lines(lines: list[str]) -> int:
    """Work out every line again; return how many there were to work out."""
    count = 0
    for line in lines:
        parts = line.partition(": ")[2].split(" = ")
        last = RESULT.fullmatch(parts[-1])
        assert last, line
        if len(parts) < 2 or tokens(parts[-2]) is None:
            continue
        half = 0.5 * 10.0 ** -len(last[2] or "")
        assert work_out(parts[-2]) == pytest.approx(float(last[1]), rel=0, abs=half * 1.000001), (
            line
        )
        count += 1
    return count


def tables_of(sections, heading: str) -> list[tuple[str, ...]]:
    return [
        row
        for s in sections
        if heading in s.heading
        for b in s.blocks
        if isinstance(b, Table)
        for row in b.rows
    ]


def number_in(cell: str) -> tuple[float, float]:
    """Return the size at the start of a cell, and the value of its last digit."""
    found = re.match(r"-?(?:(\d+) )?(\d+)/(\d+)|-?(\d+(?:\.(\d+))?)", cell)
    assert found, cell
    if found[3]:
        return float(int(found[1] or 0) + Fraction(int(found[2]), int(found[3]))), 1 / 64
    return abs(float(found[4])), 10.0 ** -len(found[5] or "")


def check_tables(sections) -> int:
    """Compare the working's results with those that are printed, digit for digit."""
    results = [(row[0], row[1], row[3]) for row in tables_of(sections, RESULTS)]
    rows = [*results, *tables_of(sections, CHANGES)]
    for label, by_hand, printed in rows:
        ours, _ = number_in(by_hand)
        theirs, digit = number_in(printed)
        first = printed.partition("(")[0]
        if " in" in by_hand and " mm" in first:
            ours *= 25.4
        if " in" in first:
            digit = 1 / 16
        near = digit if "inclination" in label else 0.5 * digit + 6e-4
        assert ours == pytest.approx(theirs, abs=near), (label, by_hand, printed)
    return len(rows)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_line_comes_out_again(path) -> None:
    assert len(JOBS) >= 10
    lines = lines_of(worked(load(path))[1])
    count = check_lines(lines)
    assert count >= 4
    assert count >= 0.8 * len(lines)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_the_last_lines_are_the_printed_results(path) -> None:
    solution, sections = worked(load(path))
    assert not any("as sums over the readings" in section.heading for section in sections)
    assert check_tables(sections) >= 3
    assert_all_results(solution, sections)


def assert_all_results(solution, sections) -> None:
    """Every result of every pass was worked out, value and uncertainty."""
    for solved in solution.passes:
        own = [s for s in sections if s.heading.startswith(f"Working, {solved.label}:")]
        rows = {label: (by_hand, half) for label, by_hand, half, *_ in tables_of(own, RESULTS)}
        assert set(rows) == {name_of(name) for name in solved.results}
        for name in solved.results.keys() - {"setback"}:
            by_hand, half = rows[name_of(name)]
            ours, doubled = float(RESULT.fullmatch(by_hand)[1]), float(half[2:].rstrip("°"))
            near = NEAR.get(name.partition(".")[0], 5e-4)
            assert ours == pytest.approx(math.degrees(solved[name].value), abs=near), name
            u = math.degrees(solved[name].u)
            assert doubled == pytest.approx(2.0 * u, rel=1e-2, abs=1e-4), name


ROD = TieRod(
    arm_behind=False,
    arm_length=0.13,
    outer_thread=read_thread("M14x1.5"),
    inner_thread=read_thread("M14x1.5-LH"),
)
GOALS = {
    "total_toe.front": Goal(math.radians(0.2), math.radians(0.05), 0.6),
    "steering_wheel": Goal(math.radians(1.0), math.radians(1.0)),
}


def wheels(job, *kept: str):
    """Return a job with the strings of some wheels alone."""
    one = job.passes[0]
    return job._replace(passes=(one._replace(string={w: one.string[w] for w in kept}),))


def uneven(job):
    """Return a job whose left front wheel was read twice in front, once behind."""
    one = job.passes[0]
    old = one.string["left_front"]
    new = WheelStrings((old.front[0], old.front[0] + 0.0003), old.rear[:1], old.hub)
    return job._replace(passes=(one._replace(string={**one.string, "left_front": new}),))


def no_rear_tape(job):
    one = job.passes[0]
    return job._replace(passes=(one._replace(tape={"front": one.tape["front"]}),))


def adjustable(job):
    goals = {**job.goals, "total_toe.rear": Goal(math.radians(0.1)), "thrust_angle": Goal(0.001)}
    return job._replace(goals=goals, car=job.car._replace(rear_toe_adjustable=True))


def little_thread(job):
    """Return a job whose tie rods run out of thread before they are where they should be."""
    ends = {"outer_engaged": 0.0075, "inner_engaged": 0.0075}
    rods = {side: rod._replace(**ends) for side, rod in job.tie_rods.items()}
    goals = {**job.goals, "total_toe.front": Goal(math.radians(1.5), 0.001, 0.6)}
    return job._replace(tie_rods=rods, goals=goals)


def wrong_spline(job):
    one = job.passes[0]
    return job._replace(passes=(one._replace(turns_to_lock={"left": 1.2, "right": 1.8}),))


def learned(job, threads: bool = True):
    """Return a job of two passes, the rods turned between them."""
    first = job.passes[0]
    turned = {"left": Turned(0.5), "right": Turned(-0.25)}
    strings = dict(first.string)
    for wheel, by in (("left_front", -0.0018), ("right_front", 0.0009)):
        old = strings[wheel]
        strings[wheel] = old._replace(front=tuple(x + by for x in old.front))
    second = first._replace(label="again", string=strings, turned=turned)
    rods = job.tie_rods if threads else {}
    return job._replace(tie_rods=rods, passes=(first, second._replace(tape={})))


def hardly_straight(job):
    """Return a job whose steering wheel may have been clamped a little off straight."""
    within = job.instruments._replace(steering_wheel_straight_within=math.radians(3.0))
    return job._replace(instruments=within)


FRONT, REAR = ("left_front", "right_front"), ("left_rear", "right_rear")
EVERYTHING = ("string", "hub", "bars", "tape", "road_test")
PARTIAL = {
    "everything": (EVERYTHING, 1, lambda job: job),
    "everything, valve up and down": (EVERYTHING, 2, lambda job: job),
    "everything, rear first": (EVERYTHING, 2, adjustable),
    "four positions": (EVERYTHING, 4, lambda job: job),
    "strings alone": (("string",), 2, lambda job: job),
    "strings and hubs": (("string", "hub"), 1, lambda job: job),
    "strings and road test": (("string", "road_test"), 2, lambda job: job),
    "tape alone": (("tape",), 1, lambda job: job),
    "tape of the front alone": (("tape",), 1, no_rear_tape),
    "tape and road test": (("tape", "road_test"), 1, no_rear_tape),
    "road test alone": (("road_test",), 1, lambda job: job),
    "front strings": (("string",), 2, lambda job: wheels(job, *FRONT)),
    "front strings and tape": (("string", "tape"), 2, lambda job: wheels(job, *FRONT)),
    "front strings and road test": (("string", "road_test"), 2, lambda job: wheels(job, *FRONT)),
    "rear strings": (("string", "bars"), 1, lambda job: wheels(job, *REAR)),
    "rear strings, tape, road test": (
        ("string", "tape", "road_test"),
        2,
        lambda job: no_rear_tape(wheels(job, *REAR)),
    ),
    "one wheel": (("string",), 1, lambda job: wheels(job, "left_front")),
    "one wheel and tape": (("string", "tape"), 1, lambda job: wheels(job, "right_front")),
    "one side": (("string", "tape"), 2, lambda job: wheels(job, "left_front", "left_rear")),
    "three wheels": (EVERYTHING, 2, lambda job: wheels(job, *FRONT, "left_rear")),
    "uneven repeats": (EVERYTHING, 1, uneven),
    "little thread": (EVERYTHING, 2, little_thread),
    "wrong spline": (EVERYTHING, 2, wrong_spline),
    "clamped a little off": (EVERYTHING, 2, hardly_straight),
    "clamped a little off, rear first": (
        EVERYTHING,
        1,
        lambda job: adjustable(hardly_straight(job)),
    ),
    "clamped a little off, front strings": (
        ("string", "road_test"),
        2,
        lambda job: hardly_straight(wheels(job, *FRONT)),
    ),
    "clamped a little off, wrong spline": (
        EVERYTHING,
        2,
        lambda job: wrong_spline(hardly_straight(job)),
    ),
    "two passes": (EVERYTHING, 2, learned),
    "two passes, clamped a little off": (EVERYTHING, 2, lambda job: learned(hardly_straight(job))),
    "two passes, no threads": (EVERYTHING, 2, lambda job: learned(job, threads=False)),
}


@pytest.mark.parametrize("name", PARTIAL)
def test_any_set_of_readings_can_be_followed(name) -> None:
    what, repeats, change = PARTIAL[name]
    rng = np.random.default_rng(RNG_KEY)
    for number_of, car in enumerate(cars(6)):
        rods = {} if number_of == 0 else {"left": ROD, "right": ROD._replace(arm_behind=True)}
        unit = "mm" if number_of % 2 else "in"
        job = job_of(car, rng, repeats, what, goals=GOALS, tie_rods=rods, length_unit=unit)
        solution, sections = worked(change(job))
        sums = [s for s in sections if "as sums over the readings" in s.heading]
        assert bool(sums) == (name == "uneven repeats"), "a formula fell short of the estimator"
        check_lines(lines_of(sections))
        check_tables(sections)
        assert_all_results(solution, sections)


GAUGED = """
title = "Invented"
length_unit = "mm"
[car]
wheelbase = 2600
rim_diameter = 400
track = 1500
{car}
[instruments]
inclinometer = {{ resolution = 0.1, repeatability = 0.1 }}
turn_plates = {{ resolution = 0.5, repeatability = 0.25 }}
rim_runout = 0.8
[[pass]]
label = "as found"
{floor}
[pass.inclinometer]
"""
THREE = "[{steer='20 out', camber=1.9}, {steer=0, camber=-0.5}, {steer='20 in', camber=-1.4}]"
TWO = "[{steer='20 out', camber=1.9}, {steer='20 in', camber=-1.4}]"
FIVE = (
    "[{steer='20 out', camber=1.9}, {steer='10 out', camber=0.6}, {steer=1, camber=-0.5},"
    " {steer='10 in', camber=-1.1}, {steer='20 in', camber=-1.4}]"
)
FLOOR = "floor = { front = 6, rear = -4, along = 9 }"
INCLINATION = "steering_axis_inclination = 12"
GAUGES = {
    "camber": ("", "", "left_front.camber = -0.5\nright_front.camber = [-0.7, -0.6]"),
    "sloping floor": ("", FLOOR, "left_rear.camber = -0.5\nright_rear.camber = -0.7"),
    "turned gauge": (
        "",
        FLOOR,
        "left_front = { camber = [-0.5, -0.6], camber_turned = -0.8 }\n"
        "left_rear = { camber = -1.1, camber_turned = [-1.2, -1.4] }\n"
        "right_rear.camber = -1.0\nright_front.camber_turned = -0.9",
    ),
    "three stops": ("", "", f"left_front.sweep = {THREE}\nright_front.camber = -1"),
    "three stops on a slope": ("", FLOOR, f"right_front.sweep = {THREE}"),
    "three stops, zero known": (
        "",
        "",
        f"left_front.sweep = {THREE}\nleft_rear = {{ camber = -1.1, camber_turned = -0.7 }}",
    ),
    "inclination given": (INCLINATION, FLOOR, f"left_front.sweep = {THREE}"),
    "two stops": ("", "", f"left_front.sweep = {TWO}\nright_front.sweep = {TWO}"),
    "two stops, inclination given": (INCLINATION, "", f"left_front.sweep = {TWO}"),
    "five stops": ("", "", f"left_front = {{ camber = -0.5, sweep = {FIVE} }}"),
    "shown caster": ("", FLOOR, "left_front.caster = [4.1, 4.2]\nright_front.caster = 3.9"),
    "sweep and shown caster": ("", "", f"left_front = {{ sweep = {THREE}, caster = 4.9 }}"),
}


@pytest.mark.parametrize("zero", ["", "turn_plates_zero_within = 0.3\n"], ids=["", "zero within"])
@pytest.mark.parametrize("name", GAUGES)
def test_any_set_of_gauge_readings_can_be_followed(name, zero) -> None:
    car, floor, readings = GAUGES[name]
    text = GAUGED.format(car=car, floor=floor).replace("rim_runout", f"{zero}rim_runout")
    solution, sections = worked(loads(text + readings, name))
    assert check_lines(lines_of(sections)) >= 2
    assert check_tables(sections) >= 1
    assert_all_results(solution, sections)


NO_CAR = "[{steer='20 out', camber=13}, {steer=0, camber=-0.5}, {steer='20 in', camber=-13}]"
APART = "[{steer='20 out', camber=9}, {steer=0, camber=-0.5}, {steer='20 in', camber=-9}]"
TAPED = "[pass.tape.front]\nfront_edge = 1450\nrear_edge = 1452\nacross = 600\n"


@pytest.mark.parametrize(
    ("readings", "results"),
    [
        (f"left_front = {{ camber = -0.5, sweep = {NO_CAR} }}", {"camber.left_front"}),
        (
            f"left_front = {{ caster = 4, sweep = {NO_CAR} }}\nright_front.caster = 5",
            {"caster.left_front", "caster.right_front", "cross_caster.front"},
        ),
        (f"left_front = {{ camber = -0.5, caster = 4, sweep = {APART} }}", set()),
    ],
)
@pytest.mark.parametrize("floor", ["", FLOOR])
def test_what_the_solver_refuses_is_not_worked_out(readings, results, floor) -> None:
    text = GAUGED.format(car="", floor=floor) + f"{readings}\n{TAPED}"
    solution, sections = worked(loads(text, "refused"))
    assert set(solution.passes[0].results) == {*results, "total_toe.front"}
    check_lines(lines_of(sections))
    assert check_tables(sections) >= 1
    assert_all_results(solution, sections)
    assert not any("inclination" in line for line in lines_of(sections))


def test_shares_of_conditions_are_those_of_the_estimator() -> None:
    """Two ways to least squares: iteration over unknowns, and shares of differences."""
    rng = np.random.default_rng(RNG_KEY)
    for car in cars(20):
        solution, sections = worked(job_of(car, rng, 2, EVERYTHING))
        assert any("several sources" in section.heading for section in sections)
        assert_all_results(solution, sections)


def test_the_working_says_which_way_beside_every_sign() -> None:
    for path in JOBS:
        _, sections = worked(load(path))
        for row in (*tables_of(sections, RESULTS), *tables_of(sections, CHANGES)):
            assert "-0.00000" not in " ".join(row)
            assert not row[1].startswith("-") or row[1].endswith(")"), row
            assert not row[-1].startswith("-"), row


def test_the_working_is_laid_out_after_the_report() -> None:
    solution = solve(load(ROOT / "samples" / "string-box.toml"))
    corrections = correct(solution)
    view = make_view(solution, corrections)
    whole = view._replace(sections=(*view.sections, *working(solution, corrections)))
    for width in (40, 100):
        text = render_text(whole, width)
        assert max(map(len, text.splitlines())) <= width
    first, second = (text.index(f"Working, {p.label}:") for p in solution.passes)
    assert text.index("What to do next") < first < second


def terms() -> tuple[Term, Term]:
    return number(0.25, 2, slopes={"a": 1.0}), number(-0.5, 1, slopes={"b": 1.0})


@pytest.mark.parametrize(
    "make",
    [
        lambda a, b: a + b * (a - b),
        lambda a, b: (a + b) / (b - a) - b,
        lambda a, b: a - (b - a) / (2.0 * b),
        lambda a, b: 1.0 / (b * b),
        lambda a, b: a / (b / a) * b,
        lambda a, b: asin(a) - atan(b) + 2.0 * tan(b),
        lambda a, b: sqrt(a * a + sin(b) * sin(b)),
    ],
)
def test_a_term_reads_as_it_was_worked_out(make) -> None:
    """Brackets are where they must be, and the slopes are those of small steps."""
    a, b = terms()
    term = make(a, b)
    assert work_out(term.text) == pytest.approx(term.value, rel=1e-12)
    step = 1e-6
    for label, (da, db) in {"a": (step, 0.0), "b": (0.0, step)}.items():
        moved = make(replace(a, value=a.value + da), replace(b, value=b.value + db))
        slope = (moved.value - term.value) / step
        assert term.slopes.get(label, 0.0) == pytest.approx(slope, rel=1e-4, abs=1e-4)


def test_the_uncertainty_of_a_term_is_that_of_the_guide() -> None:
    """JCGM 100:2008 (GUM) 5.1.2, equation (10): u of a difference of two readings."""
    a, b = terms()
    assert uncertainty(a - b, {"a": 3.0, "b": 4.0}) == pytest.approx(5.0)
    assert uncertainty(a - a, {"a": 3.0}) == 0.0
