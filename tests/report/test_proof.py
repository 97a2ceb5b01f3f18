"""What the report says of slips, budgets and checks: plain words, no number without its unit."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from tests.simulate import INCH
from tests.solve.simulated import RNG_KEY, STRING_BOX, cars, job_of
from toebox.correct import correct
from toebox.job import loads
from toebox.job.model import Instrument, Job, Pass
from toebox.reliability import HARDLY_CHECKED
from toebox.report.blocks import Points, Section, Table
from toebox.report.text import render_text
from toebox.report.view.budget import full_budget, kind_words
from toebox.report.view.slips import doubtful, first_doubt, unnoticed
from toebox.report.view.whole import make_view
from toebox.report.view.words import reading_words
from toebox.solve import solve
from toebox.solve.budget import kind_of
from toebox.solve.results import Solution
from toebox.solve.slips import checks

NOTICED = "Slips that would be noticed"
NO_ROAD_TEST = ("string", "hub", "bars", "tape")


def slipped(
    what: tuple[str, ...] = NO_ROAD_TEST,
    repeats: int = 1,
    wheel: str = "left_front",
    passes: int = 1,
    by: float = INCH / 4,
) -> Job:
    """Return a noisy job with a slip in the front edge of one wheel, in its first pass."""
    job = job_of(cars(1)[0], np.random.default_rng(RNG_KEY), repeats, what)
    clean = job.passes[0]
    strings = clean.string[wheel]
    wrong = strings._replace(front=(strings.front[0] + by, *strings.front[1:]))
    first = clean._replace(string={**clean.string, wheel: wrong})
    later = [clean._replace(label=f"pass {n}") for n in range(2, passes + 1)]
    return job._replace(passes=(first, *later))


def section(job: Job, heading: str) -> str:
    """Return a section of the whole report as running text; empty where there is none."""
    solution = solve(job)
    view = make_view(solution, correct(solution))
    found = [s for s in view.sections if s.heading == heading]
    text = render_text(view._replace(sections=tuple(found), footer=""), 100)
    return " ".join(text.split()) if found else ""


def tables(found: Section) -> list[Table]:
    return [block for block in found.blocks if isinstance(block, Table)]


def test_a_pair_is_named_together_with_what_settles_it() -> None:
    said = section(slipped(), "Readings that do not fit")
    assert "string, left front wheel, front edge" in said
    assert "string, right front wheel, rear edge" in said
    assert "in too large" in said
    assert "in too small" in said
    assert "to settle which it is, one reading is enough: read string," in said


def test_what_the_results_would_be_without_it() -> None:
    solution = solve(slipped(repeats=2, what=STRING_BOX))
    found = doubtful(solution)
    assert found is not None
    assert found.summary
    named, without = tables(found)
    assert len(named.rows) == 1
    assert without.columns == ("Result", "As it stands", "Without 1")
    clean = solve(job_of(cars(1)[0], np.random.default_rng(RNG_KEY), 2, STRING_BOX))
    total = next(row for row in without.rows if row[0] == "Front total toe")
    true = np.degrees(clean.passes[0]["total_toe.front"].value)
    stands, left_out = (float(cell.partition("°")[0]) for cell in total[1:])
    assert abs(left_out - abs(true)) < 0.05 < abs(stands - abs(true))


def test_a_slip_in_an_earlier_pass_is_told_too() -> None:
    said = section(slipped(repeats=2, what=STRING_BOX, passes=2), "Readings that do not fit")
    assert said.count("Did not fit in the pass 'as found'") == 1
    assert "string, left front wheel, front edge (reading 1)" in said


def test_the_first_step_is_to_read_again() -> None:
    said = section(slipped(), "What to do next")
    assert "1. Before you turn anything, find out which of these does not fit the others" in said
    assert "until then the steps below still rest on it." in " ".join(said.split())
    alone = section(slipped(repeats=2, what=STRING_BOX), "What to do next")
    assert "read again: string, left front wheel, front edge (reading 1)." in alone


def test_clean_readings_have_no_such_section() -> None:
    assert section(job_of(cars(1)[0], repeats=2), "Readings that do not fit") == ""


def test_instruments_worse_than_stated_are_told() -> None:
    """Half of the sample's resolution and repeatability stated: all scatter about twice as much."""
    job = job_of(cars(1)[0], np.random.default_rng(RNG_KEY), 2)
    finer = {
        name: Instrument(given.resolution / 3, given.repeatability / 3)
        for name in ("string_rule", "tape", "road_test")
        for given in [getattr(job.instruments, name)]
    }
    boast = job._replace(instruments=job.instruments._replace(rim_runout=INCH / 96, **finer))
    said = section(boast, "Readings that do not fit")
    assert "times as much as their instruments allow" in said
    assert 2.0 < solve(boast).passes[0].estimate.scatter < 4.0
    assert solve(job).passes[0].estimate.scatter < 1.5


def test_every_reading_has_its_smallest_slip() -> None:
    job = job_of(cars(1)[0], repeats=2)
    found = unnoticed(solve(job).passes[0], job)
    assert found is not None
    (table,) = tables(found)
    assert len(table.rows) == 8 + 4 + 4 + 2 + 1
    for _, slip, again in table.rows:
        unit = "°" if slip.endswith("°") else " in"
        assert slip.endswith(unit)
        assert again.endswith(unit)


def test_what_the_others_hardly_check_is_said_with_the_reading_that_would() -> None:
    """Bar widths beside strings and tapes are hardly checked, beside strings alone not at all."""
    job = job_of(cars(1)[0])
    checked = {c.reading: c.redundancy for c in checks(solve(job).passes[0])}
    assert 0.0 < checked["string.front_bar_width"] < HARDLY_CHECKED
    said = section(job, NOTICED)
    named = said.partition("The others hardly check ")[2].partition(": less than")[0]
    hardly = [r for r, redundancy in checked.items() if redundancy < HARDLY_CHECKED]
    assert named.split("; ") == [reading_words(reading) for reading in hardly]
    assert "string, front bar width" in named
    assert "What catches it is the same reading, taken once more" in said
    assert '"none"' not in said
    unseen = section(job_of(cars(1)[0], repeats=2, what=("string", "hub", "bars")), NOTICED)
    assert 'Nothing checks the readings with "none"' in unseen
    assert "hardly check" not in unseen
    assert "What catches it is the same reading, taken once more" in unseen


def test_nothing_is_said_where_every_reading_is_checked() -> None:
    job = job_of(cars(1)[0], repeats=2, what=("string", "hub", "tape", "road_test"))
    said = section(job, NOTICED)
    assert "Smallest slip noticed" in said
    assert "once more:" not in said


@pytest.mark.parametrize(
    ("what", "sizes"), [(("tape",), 1), (("tape", "road_test"), 2)], ids=["tape", "and road test"]
)
def test_where_nothing_is_checked_it_says_so(what: tuple[str, ...], sizes: int) -> None:
    job = job_of(cars(1)[0], what=what)
    said = section(job, NOTICED)
    assert "would go unseen: nothing checks them" in said
    assert said.count(" or ") == sizes - 1
    assert "Read each of them once more" in said


def test_assumptions_are_named_in_words() -> None:
    job = slipped(what=("string", "tape"), by=INCH / 3)
    solution = solve(job)
    labels = {d.reading for d in solution.passes[0].doubtful}
    assert any(label.startswith("assumed.") for label in labels)
    said = section(job, "Readings that do not fit")
    assert "assumption: rim run-out, left front" in said
    assert "would be 25/64 in" in said  # a third of an inch and more of run-out
    assert " in in all" in said
    assert "roll the car on by half a turn of the wheel" in said


def test_what_no_car_has_is_no_suspect() -> None:
    """No rim runs out by an inch: the slip is in one of the readings, and these are named still."""
    job = slipped(what=("string", "tape"), by=INCH)
    said = section(job, "Readings that do not fit")
    assert "string, left front wheel, front edge" in said
    assert "run-out" not in said
    named = {d.reading for d in solve(job).passes[0].doubtful if d.group == 1}
    assert "string.left_front.front" in named


def test_budgets_name_every_kind_in_words() -> None:
    job = job_of(cars(1)[0], repeats=2)
    solution: Solution = solve(job)
    solved = solution.passes[0]
    for observation in solved.network.observations:
        assert "_" not in kind_words(kind_of(observation))
    full = full_budget(job, solved)
    assert full is not None
    assert len(tables(full)) == len(solved.results)
    for table in tables(full):
        shares = [float(row[2].removesuffix(" %")) for row in table.rows]
        assert sum(shares) == pytest.approx(100.0, abs=0.05 * len(shares) + 0.01)
        *listed, last = shares
        assert listed == sorted(listed, reverse=True) or table.rows[-1][0] != "all others"
        assert last <= 100.0


def test_a_pass_without_any_reading_has_neither() -> None:
    job = job_of(cars(1)[0], what=("tape",))
    nothing = job._replace(passes=(*job.passes, Pass("pencil mislaid")))
    last = solve(nothing).passes[-1]
    assert unnoticed(last, nothing) is None
    assert full_budget(nothing, last) is None
    assert all(not isinstance(b, Points) for b in getattr(doubtful(solve(nothing)), "blocks", ()))


def test_readings_stated_as_perfect_and_contradictory_are_still_answered() -> None:
    """Resolution and repeatability 0, an edge off by 1/4 in: named, not given up."""
    job = slipped(repeats=4, what=STRING_BOX)
    perfect = job.instruments._replace(string_rule=Instrument(0.0, 0.0))
    said = section(job._replace(instruments=perfect), "Readings that do not fit")
    assert "string, left front wheel, front edge (reading 1)" in said


TWICE = """
length_unit = "mm"
car = { wheelbase = 2600, rim_diameter = 400, tyre_diameter = 600, steering_ratio = 16 }
instruments.string_rule = { resolution = 0.5, repeatability = 0.5 }
instruments.tape = { resolution = 0.5, repeatability = 0.5 }
instruments.rim_runout = 0.1
goal.front_total_toe = { angle = 0.2, tolerance = 0.1 }
[[pass]]
tape.front = { front_edge = %s, rear_edge = %s }
steering_wheel_off = "%s"
[pass.string]
left_front = { front = %s, rear = 100 }
right_front = { front = %s, rear = 100 }
left_rear = { front = 100, rear = 100 }
right_rear = { front = 100, rear = 100 }
"""


def told(*readings: object) -> str:
    solution = solve(loads(TWICE % readings, "job"))
    return " ".join(render_text(make_view(solution, correct(solution)), 100).split())


def test_edges_written_down_the_wrong_way_round() -> None:
    exchanged = told(1400, 1412, "0 left", 96, 96)  # 4 / 400 is 12 / 600 over two wheels
    assert "agree with the front and rear edges of one of them exchanged" in exchanged
    only_wrong = told(1400, 1412, "0 left", 104, 98)
    assert "\u25a0 disagree" in only_wrong
    assert "exchanged" not in only_wrong
    assert "exchanged" not in told(1412, 1400, "0 left", 96, 96)


def test_left_and_right_written_down_the_wrong_way_round() -> None:
    # 6 mm of 400 at each wheel: mean steer 0.86 degrees, 13.7 at the steering wheel.
    assert "agree with left and right of one of them exchanged" in told(
        1400, 1400, "13.7 right", 106, 94
    )
    assert "exchanged" not in told(1400, 1400, "13.7 left", 106, 94)


def test_a_large_group_is_named_in_part_where_it_is_asked_for() -> None:
    text = TWICE.replace('steering_wheel_off = "%s"\n', "") % (1400, 1412, 96, 96)
    solution = solve(loads(text, "job"))
    size = sum(d.group == 1 for d in solution.passes[0].doubtful)
    assert size > 4
    words = first_doubt(solution.passes[0])
    names, _, rest = words.partition(f"; or {size - 4} more (see Readings that do not fit)")
    assert names.count("; or ") == 3
    assert rest.startswith(". To settle which it is, ")


def test_a_doubtful_gauge_reading_is_shown_by_what_it_moves() -> None:
    """The gauge turned end for end says another zero at one wheel than at the three others."""
    readings = "".join(
        f"[pass.inclinometer.{wheel}]\ncamber = -0.5\n"
        f"camber_turned = {-4.5 if wheel == 'left_front' else -0.5}\n"
        for wheel in ("left_front", "right_front", "left_rear", "right_rear")
    )
    head = 'length_unit = "mm"\n[car]\nwheelbase = 2500\ntrack = 1500\nrim_diameter = 400\n'
    floor = "[[pass]]\nfloor = { front = 0, along = 0 }\n"
    solution = solve(loads(head + floor + readings, "invented"))
    section = doubtful(solution)
    assert section is not None
    _, without = tables(section)
    assert without.columns[:2] == ("Result", "As it stands")
    assert "Left front camber" in [row[0] for row in without.rows]
    for row in without.rows:
        assert "camber" in row[0]
        assert len(set(row[1:])) > 1, row


@pytest.mark.parametrize("middle", [1.0, 1.01, 1.1, 1.113])
@pytest.mark.parametrize("beyond", [-1e-4, 1e-4, 0.004])
def test_what_is_not_proven_is_not_told_as_if_it_were(middle: float, beyond: float) -> None:
    """A camber as far inside its limit as it is known to, but for a little, in print as well."""
    text = (
        'length_unit = "mm"\n[goal]\ncamber.left_front = { angle = 0, tolerance = %r }\n[[pass]]\n'
        "inclinometer.left_front.camber = %r\n"
    )
    u = solve(loads(text % (1.0, 0.0), "invented")).passes[0]["camber.left_front"].u
    half = 2.0 * math.degrees(u)
    told = section(
        loads(text % (middle + half, middle + beyond), "invented"),
        "What would settle what is not proven",
    )
    if beyond < 0.0:  # the whole interval lies within the goal
        assert told == ""
        return
    words = r": (\S+)° inside the limit .*, known to ± (\S+)°. ± (\S+)° would prove"
    found = re.search(words, told)
    assert found is not None
    inside, known, needed = map(float, found.groups())
    assert inside < known
    assert needed < known
