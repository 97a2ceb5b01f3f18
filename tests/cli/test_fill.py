"""fill: the questions, what is saved, what is said; answers come on standard input."""

from __future__ import annotations

import random
import re
import tomllib
from pathlib import Path

import pytest

from tests.cli.running import run
from toebox.cli import filling
from toebox.job import load, templates
from toebox.job.blank import blank
from toebox.job.draft import Draft
from toebox.job.model import WHEELS
from toebox.job.offers import offers, take_up
from toebox.job.walk import questions

TAPE = """# a note of mine
title = "Invented saloon"   # the car
length_unit = "in"
[car]
tyre_diameter = "24"
steering_ratio = 16

[goal]
front_total_toe = { distance = "1/16 toe-in", tolerance = "1/16" }

[[pass]]
label = "as found"
[pass.tape.front]
front_edge = "?"            # at hub height
rear_edge = ["?", "?"]
# the end
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_text(TAPE, "utf-8")
    return path


def fill(job: Path, *lines: str, words: tuple[str, ...] = ()):
    done = run("fill", job, *words, text="".join(f"{line}\n" for line in lines))
    assert done.exit_code == 0, done.stderr
    return done


def asked(stderr: str) -> list[str]:
    return re.findall(r"^\[\d+ of \d+\] (.*)$", stderr, re.M)


def flat(text: str) -> str:
    """Return a text on one line: where it was broken depends on the length of paths."""
    return " ".join(text.split())


def tape(job: Path) -> dict:
    return tomllib.loads(job.read_text("utf-8"))["pass"][0]["tape"]["front"]


def test_open_values_are_asked_and_written_in_their_places(job: Path) -> None:
    done = fill(job, "57 1/4", "57-3/8 in", "1457.3 mm")
    assert asked(done.stderr) == [
        "Tape, front axle, front edge",
        "Tape, front axle, rear edge, first",
        "Tape, front axle, rear edge, after half a turn",
    ]
    assert job.read_text("utf-8") == TAPE.replace(
        '"?"            #', '"57 1/4"       #'
    ).replace('["?", "?"]', '["57-3/8 in", "1457.3 mm"]')
    load(job)


def test_results_are_told_as_soon_as_they_are_known_and_summed_up_at_the_end(job: Path) -> None:
    done = fill(job, "57 1/4", "57 3/8", "57 3/8")
    known = re.findall(r"Known now: (.*)", done.stderr)
    assert len(known) == 1
    assert known[0].startswith("Front total toe: 0.30° toe-in ± ")
    assert done.stderr.index("Known now") < done.stderr.index("after half a turn")
    assert "What to do next" in done.stdout
    assert "Front total toe  0.30° toe-in" in done.stdout
    assert "For the whole report: toebox report" in done.stderr


def test_a_result_that_an_answer_puts_right_is_told_anew(job: Path) -> None:
    """Half an inch too much at first; the last word is not the wrong one."""
    done = fill(job, "57 1/4", "57 7/8", "b", "57 3/8", "57 3/8")
    told = re.findall(r"Known (now|better now): Front total toe: ([\d.]+)° toe-in", done.stderr)
    assert [when for when, _ in told] == ["now", "better now"]
    assert float(told[0][1]) > 1.0
    assert told[1][1] == "0.30"


def test_the_car_is_rolled_once_for_each_instrument_and_pass(job: Path) -> None:
    done = fill(job, "57 1/4", "57 3/8", "57 3/8", "1", "not turned", "not turned",
                "57 5/16", "57 3/8", "57 3/8")  # fmt: skip
    roll = "Now roll the car half a turn of the wheels, and read again."
    assert done.stderr.count(roll) == 2
    assert done.stderr.index("first\n") < done.stderr.index(roll)
    assert done.stderr.index(roll) < done.stderr.index("after half a turn\n")


def test_nobody_who_goes_back_is_told_to_roll_the_car(job: Path) -> None:
    fill(job, "57 1/4", "57 3/8", "57 3/8")
    done = fill(job, "1", "b", "b", "", "", "q")
    assert "New pass" in done.stderr
    before = 'Of pass 1 "as found", not the last one: '
    assert f"{before}Tape, front axle, rear edge, after half a turn" in asked(done.stderr)
    assert "Now roll the car" not in done.stderr


def test_what_a_pass_before_leaves_open_is_not_asked_for_under_a_new_one(job: Path) -> None:
    """The answers are those of the new pass, and go there."""
    fill(job, "57 1/4", "57 3/8", "57 3/8")
    fill(job, "1", "s", "s", "57 5/16", "57 3/8", "57 3/8", "2", "")
    done = fill(job, "s", "s", "2", "2", "1/3 shorten", "1/6 lengthen", "q")
    names = asked(done.stderr)
    assert names[2:4] == ["Turned, left tie rod", "Turned, right tie rod"]
    named = 'Of pass 2 "after the first turn", not the last one: Turned, left tie rod'
    assert asked(fill(job, "q").stderr) == [named]
    passes = tomllib.loads(job.read_text("utf-8"))["pass"]
    assert passes[1]["turned"] == {"left": "?", "right": "?"}
    assert passes[2]["turned"] == {"left": "1/3 shorten", "right": "1/6 lengthen"}


def test_windows_line_ends_stay_through_every_kind_of_change(tmp_path: Path) -> None:
    """Values put in place, a list made longer, a pass and a table added: the same to the letter."""
    answers = ("57 1/4", "57 3/8; 57 3/8", "1", "not turned", "not turned",
               "57 5/16", "57 3/8", "57 3/8")  # fmt: skip
    texts = {}
    for end in ("\n", "\r\n"):
        job = tmp_path / f"{len(end)}.toml"
        job.write_text(TAPE, "utf-8", newline=end)
        fill(job, *answers)
        texts[end] = job.read_bytes()
    assert texts["\n"].count(b"[[pass]]") == 2
    assert texts["\r\n"] == texts["\n"].replace(b"\n", b"\r\n")


def test_a_result_is_told_once_although_half_a_reading_hides_it(tmp_path: Path) -> None:
    """With one bar width alone nothing can be solved until bar_spacing is known."""
    draft = Draft(templates.text("string-box"))
    for key in ("front_bar_width", "rear_bar_width", "bar_spacing"):
        draft.set(("pass", 0, "string", key), "?")
    draft.set(("pass", 0, "string", "left_front", "front", 0), "?")
    job = tmp_path / "job.toml"
    job.write_text(draft.text, "utf-8")
    done = fill(job, "4 5/8", "67 1/16", "66 15/16", "172")
    told = re.findall(r"Known now: ([\w ]+):", done.stderr)
    assert len(told) == len(set(told))


def test_what_is_typed_is_checked_at_once(job: Path) -> None:
    done = fill(job, "57 1/0", "146", "57 1/4", "q")
    assert "Not taken. Wanted: a fraction whose lower number is not zero" in done.stderr
    assert "(was it meant in cm?)" in done.stderr
    assert tape(job) == {"front_edge": "57 1/4", "rear_edge": ["?", "?"]}


def test_a_reading_unlike_its_twin_is_asked_about(job: Path) -> None:
    done = fill(job, "57 1/4", "75 1/4", "57 3/8", "60", "", "q")
    assert "Is that right? The front edge of this axle is 57 1/4, this 75 1/4" in done.stderr
    assert "The same reading before is 57 3/8, this 60; is one of them a slip?" in done.stderr
    assert tape(job)["rear_edge"] == ["57 3/8", 60]


def test_back_at_a_doubt_goes_to_the_reading_before(job: Path) -> None:
    """The slip may be in the reading before, to which the doubtful one was compared."""
    done = fill(job, "75 1/4", "57 3/8", "b", "57 1/4", "57 3/8", "q")
    assert asked(done.stderr)[:3] == [
        "Tape, front axle, front edge",
        "Tape, front axle, rear edge, first",
        "Tape, front axle, front edge",
    ]
    assert done.stderr.count("Is that right?") == 1
    assert "Not taken" not in done.stderr
    assert tape(job) == {"front_edge": "57 1/4", "rear_edge": ["57 3/8", "?"]}


@pytest.mark.parametrize("no", ["n", "no", "N"])
def test_no_at_a_doubt_asks_again_without_scolding(job: Path, no: str) -> None:
    done = fill(job, "57 1/4", "75 1/4", no, "57 3/8", "q")
    assert "Enter or y keeps it; n asks again, or type it again; b goes back." in done.stderr
    assert "Type it again; s leaves it open, b goes back to the one before." in done.stderr
    assert "Not taken" not in done.stderr
    assert asked(done.stderr)[1:] == [
        "Tape, front axle, rear edge, first",
        "Tape, front axle, rear edge, after half a turn",
    ]
    assert tape(job) == {"front_edge": "57 1/4", "rear_edge": ["57 3/8", "?"]}


def test_yes_at_a_doubt_keeps_it(job: Path) -> None:
    fill(job, "57 1/4", "75 1/4", "y", "q")
    assert tape(job) == {"front_edge": "57 1/4", "rear_edge": ["75 1/4", "?"]}


def test_skip_at_a_doubt_leaves_the_reading_open(job: Path) -> None:
    done = fill(job, "57 1/4", "75 1/4", "s", "57 3/8", "q")
    assert done.stderr.count("Is that right?") == 1
    assert tape(job) == {"front_edge": "57 1/4", "rear_edge": ["?", "57 3/8"]}


def test_what_readings_on_one_line_are_taken_for_is_said(job: Path) -> None:
    done = fill(job, "57 1/4", "57 3/8; 57 7/16", "")
    assert "Taken as first 57 3/8; after half a turn 57 7/16." in flat(done.stderr)
    assert tape(job)["rear_edge"] == ["57 3/8", "57 7/16"]


def test_the_second_position_takes_one_reading_alone(job: Path) -> None:
    done = fill(job, "57 1/4", "57 3/8", "57 3/8; 57 7/16", "57 7/16", "")
    assert "Not taken. Wanted: one reading: Tape, front axle, rear edge, after half a turn" in flat(
        done.stderr
    )
    assert tape(job)["rear_edge"] == ["57 3/8", "57 7/16"]


def test_somebody_who_never_answers_is_not_asked_for_ever(job: Path) -> None:
    done = fill(job, *["1/0"] * 150)
    assert done.stderr.count("Not taken") == filling.PATIENCE
    fill(job, "57 1/4", "57 3/8", "57 3/8", "")
    done = fill(job, *["x"] * 150)
    assert done.stderr.count("Type a number from") == filling.PATIENCE


def test_a_file_that_stays_faulty_is_not_said_to_have_a_report(job: Path) -> None:
    job.write_text(TAPE.replace('rear_edge = ["?", "?"]', "rear_edge = 57"), "utf-8")
    text = job.read_text("utf-8").replace("steering_ratio = 16", "steering_ratio = 16\nwheels = 4")
    job.write_text(text, "utf-8")
    done = fill(job, "57 1/4", "")
    assert "For the whole report" not in done.stderr
    assert "The file still has faults. Mend them with an editor, or answer" in flat(done.stderr)


def test_other_doubts_of_the_job_are_told_too(job: Path) -> None:
    job.write_text(TAPE.replace("[pass.tape", 'steering_wheel_off = "?"\n[pass.tape'), "utf-8")
    done = fill(job, "60 left", "6 left", "q")
    assert "Is that right? more than 45 degrees" in done.stderr
    assert 'steering_wheel_off = "6 left"' in job.read_text("utf-8")
    assert "needs front_edge and rear_edge" not in done.stderr


def test_back_skip_keep_and_help(job: Path) -> None:
    done = fill(job, "57 1/4", "b", "57 1/8", "b", "", "s", "?", "57 3/8", "", "q")
    assert asked(done.stderr) == [
        "Tape, front axle, front edge",
        "Tape, front axle, rear edge, first",
        "Tape, front axle, front edge",
        "Tape, front axle, rear edge, first",
        "Tape, front axle, front edge",
        "Tape, front axle, rear edge, first",
        "Tape, front axle, rear edge, after half a turn",
    ]
    assert tape(job) == {"front_edge": "57 1/8", "rear_edge": ["?", "57 3/8"]}
    assert "  Now: 57 1/8" in done.stderr
    assert "In the file: pass[1].tape.front.rear_edge[2]" in done.stderr
    assert "1 value is open. To go on: toebox fill" in done.stderr


def test_back_goes_to_the_question_that_was_asked_before(tmp_path: Path) -> None:
    """Not to the instruments between, which are said not to be asked for; and on from there."""
    job = tmp_path / "job.toml"
    job.write_text(blank(templates.text("tape-only")), "utf-8")
    done = fill(job, "My car", "today", "24", "b", "", "b", "b", "", "", "q")
    title, day, tyre, goal = asked(done.stderr)[:4]
    assert (tyre, goal) == ("Car, tyre diameter", "Goal, front total toe, distance")
    assert asked(done.stderr) == [title, day, tyre, goal, tyre, goal, tyre, day, tyre, goal]
    later = fill(job, "b", "b", "q")  # on another day: those that were answered before
    assert asked(later.stderr) == [goal, tyre, "Length unit"]


def test_back_goes_to_each_of_the_readings_on_one_line(job: Path) -> None:
    draft = Draft(TAPE)
    draft.set(("pass", 0, "inclinometer", "left_front", "camber"), "?")
    job.write_text(draft.text, "utf-8")
    done = fill(job, "57 1/4", "57 3/8; 57 5/16", "b", "b", "b", "q")
    edge = "Tape, front axle, rear edge"
    camber = "Gauge, left front wheel, camber"
    assert asked(done.stderr)[1:] == [
        f"{edge}, first",
        camber,
        f"{edge}, after half a turn",
        f"{edge}, first",
        "Tape, front axle, front edge",
    ]


def test_back_at_the_first_question_stays_there(job: Path) -> None:
    done = fill(job, "b", "b", "b", "b", "b", "b", "b", "b", "b", "b", "q")
    assert asked(done.stderr)[-2:] == ["Title", "Title"]
    assert job.read_text("utf-8") == TAPE


def test_enter_on_an_open_value_keeps_nothing(job: Path) -> None:
    done = fill(job, "", "q")
    assert "There is nothing to keep: type it, or s to skip it." in done.stderr
    assert job.read_text("utf-8") == TAPE


def test_it_goes_on_where_it_was_stopped(job: Path) -> None:
    fill(job, "57 1/4", "q")
    done = fill(job, "57 3/8")
    assert asked(done.stderr)[0] == "Tape, front axle, rear edge, first"
    assert "2 of 10 values are open" in flat(done.stderr)


@pytest.mark.parametrize("name", templates.names())
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_what_the_instruments_are_taken_for_is_said_once_and_not_asked(
    tmp_path: Path, name: str, unit: str
) -> None:
    path = tmp_path / "new.toml"
    path.write_text(blank(templates.text(name), unit), "utf-8")
    said = fill(path, *["s"] * 200).stderr
    text = flat(said)
    assert text.count("Instruments as the file has them") == 1
    listed = text.split("Instruments as the file has them")[1].split("If yours differ")[0]
    document = tomllib.loads(path.read_text("utf-8"))
    for instrument, value in document["instruments"].items():
        assert f"{instrument.replace('_', ' ')} " in listed
        for number in value.values() if isinstance(value, dict) else [value]:
            assert re.search(rf" {re.escape(str(number))}(°| mm| in)?[,;.]", listed), number
    assert ("smallest turn 1/6" in listed) == ("smallest_turn" in document.get("tie_rods", {}))
    assert not [q for q in asked(said) if q.startswith("Instruments") or "smallest turn" in q]
    again = fill(path, *["s"] * 200, words=("--again",)).stderr
    assert "as the file has them" not in flat(again)
    assert [q for q in asked(again) if q.startswith("Instruments")]


def test_numbers_without_a_unit_are_said_with_it_and_a_job_without_instruments_says_nothing(
    job: Path,
) -> None:
    assert "as the file has them" not in flat(fill(job, "q").stderr)
    stated = "[instruments]\ntape.resolution = 0.0625\nroad_test.repeatability = 2\n\n[car]"
    job.write_text(TAPE.replace("[car]", stated), "utf-8")
    listed = flat(fill(job, "q").stderr)
    assert "tape read to 0.0625 in; road test repeating within 2°. If yours differ" in listed


def test_what_is_wanted_of_yes_or_no_is_said_as_it_was_asked(job: Path) -> None:
    job.write_text(TAPE.replace("steering_ratio = 16", 'rear_toe_adjustable = "?"'), "utf-8")
    done = fill(job, "perhaps", "q")
    assert done.stderr.count("Wanted: yes or no") == 2
    assert "Not taken. Wanted: yes or no" in done.stderr
    assert "true or false" not in done.stderr


def test_several_readings_on_one_line(job: Path) -> None:
    fill(job, "57 1/4; 57 5/16; 57 1/4", "57 3/8;57 3/8")
    assert tape(job) == {
        "front_edge": ["57 1/4", "57 5/16", "57 1/4"],
        "rear_edge": ["57 3/8", "57 3/8"],
    }


def test_an_answer_can_be_taken_out_again(job: Path) -> None:
    fill(job, "57 1/4", "b", "clear", "q")
    assert job.read_text("utf-8") == TAPE


def test_again_asks_for_everything_and_enter_keeps_it(job: Path) -> None:
    text = TAPE.replace("?", "57 1/4")
    job.write_text(text, "utf-8")
    done = fill(job, *[""] * 10, "", words=("--again",))
    assert len(asked(done.stderr)) == len(questions(tomllib.loads(text))) == 10
    assert job.read_text("utf-8") == text
    assert "Enter keeps what is shown" in done.stderr


def test_a_faulty_value_is_asked_again(job: Path) -> None:
    job.write_text(TAPE.replace('tyre_diameter = "24"', 'tyre_diameter = "240"'), "utf-8")
    done = fill(job, "24", "q")
    assert "Now: 240, but wanted is a length from 15 to 60 in" in done.stderr
    assert tomllib.loads(job.read_text("utf-8"))["car"]["tyre_diameter"] == 24


def test_faults_that_no_question_mends_are_told(job: Path) -> None:
    job.write_text(TAPE.replace("[goal]", "[gaol]"), "utf-8")
    done = fill(job, "57", "57", "57")
    assert "No results yet. The file still needs:" in done.stderr
    assert "gaol: given an unknown key" in done.stderr


def test_changing_the_unit_changes_no_length(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(templates.text("string-box"), "utf-8")
    before = load(job)
    fill(job, "", "", "mm", "q", words=("--again",))
    after = load(job)
    assert (before.length_unit, after.length_unit) == ("in", "mm")
    assert (before.car, before.passes, before.goals) == (after.car, after.passes, after.goals)


def test_a_fraction_in_millimetres_needs_its_unit(job: Path) -> None:
    text = TAPE.replace('"in"', '"mm"').replace('"24"', '"610"').replace('"1/16 toe-in"', "1")
    job.write_text(text.replace('tolerance = "1/16"', "tolerance = 1"), "utf-8")
    done = fill(job, "57 1/4", "57 1/4 in", "1455.5", "q")
    assert "a unit behind a fraction: 57 1/4 in, or 57 1/4 mm" in done.stderr
    assert tape(job) == {"front_edge": "57 1/4 in", "rear_edge": [1455.5, "?"]}


def test_a_goal_may_be_typed_as_an_angle(job: Path) -> None:
    job.write_text(TAPE.replace('"1/16 toe-in"', '"?"'), "utf-8")
    fill(job, "0°10'", "0.1", "q")
    goal = tomllib.loads(job.read_text("utf-8"))["goal"]["front_total_toe"]
    assert goal == {"angle": "0°10'", "tolerance": 0.1}


def test_a_bare_number_out_of_range_is_no_goal_of_the_other_kind(job: Path) -> None:
    """4 in are no toe, and 4 degrees were never meant."""
    job.write_text(TAPE.replace('"1/16 toe-in"', '"?"'), "utf-8")
    done = fill(job, "4", "1/16", "q")
    assert "Not taken. Wanted:" in done.stderr
    goal = tomllib.loads(job.read_text("utf-8"))["goal"]["front_total_toe"]
    assert goal == {"distance": "1/16", "tolerance": "1/16"}
    angle = 'front_total_toe = { angle = "?", tolerance = 0.1 }'
    before = 'front_total_toe = { distance = "1/16 toe-in", tolerance = "1/16" }'
    job.write_text(TAPE.replace(before, angle), "utf-8")
    done = fill(job, "15", "1/16 in toe-in", "1/32", "q")
    assert done.stderr.count("Not taken. Wanted:") == 1
    assert "Taken as a distance: 1/16 in toe-in." in flat(done.stderr)
    goal = tomllib.loads(job.read_text("utf-8"))["goal"]["front_total_toe"]
    assert goal == {"distance": "1/16 in toe-in", "tolerance": "1/32"}


# what is next


def test_a_new_pass_asks_what_was_turned(job: Path) -> None:
    done = fill(job, "57 1/4", "57 3/8", "57 3/8", "1", "1/2 lengthen", "not turned",
                "57 5/16", "57 3/8", "57 3/8")  # fmt: skip
    assert asked(done.stderr)[3:5] == ["Turned, left tie rod", "Turned, right tie rod"]
    assert "In the pass before: 57 1/4" in done.stderr
    passes = tomllib.loads(job.read_text("utf-8"))["pass"]
    assert passes[1] == {
        "label": "after the first turn",
        "turned": {"left": "1/2 lengthen", "right": "not turned"},
        "tape": {"front": {"front_edge": "57 5/16", "rear_edge": ["57 3/8", "57 3/8"]}},
    }
    assert done.stdout.count("What to do next") == 2
    told = done.stderr.index("Known now: Front total toe: 0.15° toe-in")  # 1/16 in across 24 in
    assert done.stderr.index("[15 of ") < told < done.stderr.index("[16 of ")
    assert done.stderr.count("Known now") == 2
    assert job.read_text("utf-8").startswith(TAPE[:60])


def test_more_readings_are_offered(job: Path) -> None:
    done = fill(job, "57 1/4", "57 3/8", "57 3/8", "2", "4", "6 left", "5 left", "", "")
    assert "4  a road test: how far the steering wheel stands off centre" in done.stderr
    assert tomllib.loads(job.read_text("utf-8"))["pass"][0]["steering_wheel_off"] == [
        "6 left",
        "5 left",
    ]
    assert "Known now: Steering wheel" in done.stderr


LOCKS = {"left": 1.4, "right": 1.5}
FLOOR = {"front": "1/16", "rear": 0, "along": "1/8"}
PLATES = {"inner": 20, "outer": 18.5}
HUBS = {wheel: {"hub": "5 47/64"} for wheel in WHEELS}
SHOWN = {"left_front": {"caster": 4.0}, "right_front": {"caster": 4.2}}
BAND = {"angle": 0, "tolerance": 0.1}
LEANS = {"left_front": {"angle": "0.5 top in", "tolerance": 0.3}}
MORE = {  # number, answers, where they stand then
    9: (["4.0", "4.2"], "inclinometer", SHOWN),
    10: (["100", "57", "20", "18.5", "20", "18.5"], "turn", {"left": PLATES, "right": PLATES}),
    11: (["1.4", "1.5"], "turns_to_lock", LOCKS),
    12: (["100", "57", "1/16", "0", "1/8"], "floor", FLOOR),
    13: (["5 47/64"] * 4, "string", HUBS),
    15: (["0", "0.1"], "thrust_angle", BAND),
    16: (["0", "0.1"], "steering_wheel", BAND),
    17: (["0.5 top in", "0.3", *["s"] * 6, "2"], "camber", LEANS),
    19: (["0", "0.1"], "cross_camber", BAND),
}


@pytest.mark.parametrize("number", MORE)
def test_whatever_the_sheet_has_a_box_for_can_be_added(job: Path, number: int) -> None:
    typed, key, expected = MORE[number]
    done = fill(job, "57 1/4", "57 3/8", "57 3/8", "2", str(number), *typed, "")
    document = tomllib.loads(job.read_text("utf-8"))
    found = document["pass"][0] if key in document["pass"][0] else document["goal"]
    assert found[key] == expected
    assert "Not taken" not in done.stderr
    assert "[[adjuster]]; toebox start --from full" in flat(done.stderr)
    assert load(job)


@pytest.mark.parametrize(
    ("number", "typed", "key"),
    [
        (11, ["1.4", "s"], "turns_to_lock"),
        (10, ["100", "57", "20", "18.5", "s", "18.5"], "turn"),
        (15, ["s", "0.1"], "thrust_angle"),
    ],
)
def test_what_means_nothing_without_its_other_half_is_left_out_with_it(
    job: Path, number: int, typed: list[str], key: str
) -> None:
    done = fill(job, "57 1/4", "57 3/8", "57 3/8", "2", str(number), *typed, "2", "")
    document = tomllib.loads(job.read_text("utf-8"))
    left = {**document["goal"], **document["pass"][0]}.get(key)
    assert left == ({"left": PLATES} if key == "turn" else None)
    assert load(job)
    assert "For the whole report" in done.stderr


def test_what_was_not_measured_can_be_left_out(job: Path) -> None:
    done = fill(job, "57 1/4", "57 3/8", "s", "2", "")
    assert "Leave that out: it was not measured (1)" in done.stderr
    assert tape(job) == {"front_edge": "57 1/4", "rear_edge": ["57 3/8"]}
    assert run("solve", job).exit_code == 0


def test_a_job_without_results_is_not_said_to_have_a_report(job: Path) -> None:
    done = fill(job, "s", "s", "s", "2", "")
    assert "For the whole report" not in done.stderr
    end = flat(done.stderr.partition("Saved in")[2])
    assert "No report yet: the readings do not give a single result" in end
    assert "total toe needs tape.front readings" in end
    assert end.endswith(f"To go on: toebox fill {job}")
    assert run("report", job).exit_code == 4


def test_turns_that_are_left_open_stay_open(job: Path) -> None:
    """Left out they would count as not turned, but for the front wheels where those are read."""
    done = fill(job, "57 1/4", "57 3/8", "57 3/8", "1", "s", "s", "57 5/16", "57 3/8", "57 3/8",
                "2", "")  # fmt: skip
    assert "What was turned stays open. Nobody knows it then" in flat(done.stderr)
    turned = tomllib.loads(job.read_text("utf-8"))["pass"][1]["turned"]
    assert turned == {"left": "?", "right": "?"}


def test_one_turn_that_is_left_open_stays_open(job: Path) -> None:
    """Beside one that is told it would count as not turned if it were left out."""
    answers = "57 1/4", "57 3/8", "57 3/8", "1", "s", "1/2 lengthen", "57 5/16", "57 3/8", "57 3/8"
    done = fill(job, *answers, "2", "")
    assert "What was turned stays open. Nobody knows it then" in flat(done.stderr)
    turned = tomllib.loads(job.read_text("utf-8"))["pass"][1]["turned"]
    assert turned == {"left": "?", "right": "1/2 lengthen"}
    assert load(job).passes[1].turns_unknown == {"left"}
    # The summary in fill rests on the same as the report.
    shown = done.stdout.rpartition("What to do next")[2].partition("What was found")[0]
    assert shown.strip()
    assert shown in run("solve", job).stdout


def test_sweeps_come_after_every_camber(tmp_path: Path) -> None:
    """On turn plates and blocks no wheel is rolled half a turn."""
    job = tmp_path / "job.toml"
    job.write_text(blank(templates.text("camber-and-caster"), "in"), "utf-8")
    done = fill(job, *["s"] * 200)
    gauge = [name for name in asked(done.stderr) if name.startswith("Gauge")]
    swept = ["sweep" in name for name in gauge]
    assert sum(swept) == 6
    assert swept == sorted(swept)
    place = done.stderr.index("Now the sweeps: the front wheels on turn plates")
    assert done.stderr.index("valves down, and read again") < place
    assert place < done.stderr.index("Steered: 20 out")
    assert done.stderr.count("Now the sweeps") == 1


def test_a_sweep_says_how_far_to_steer(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    text = templates.text("camber-and-caster").replace("camber = 1.4", 'camber = "?"')
    job.write_text(text, "utf-8")
    done = fill(job, "1.4", "q")
    assert asked(done.stderr) == ["Gauge, left front wheel, sweep, stop 1, camber"]
    assert "  Steered: 20 out (degrees on the turn plate)\n" in done.stderr
    assert "Known now: Left front steering-axis inclination" in done.stderr


def test_a_choice_that_is_none_is_asked_again(job: Path) -> None:
    done = fill(job, "57 1/4", "57 3/8", "57 3/8", "77", "x", "")
    assert done.stderr.count("Type a number from 1 to 3, or press Enter.") == 2


def test_a_job_without_readings_offers_what_can_be_measured(tmp_path: Path) -> None:
    job = tmp_path / "bare.toml"
    job.write_text('length_unit = "mm"\n', "utf-8")
    done = fill(job, "1", "3", "600", "1450; 1450", "1452", "1452", "")
    assert "has no readings yet" in flat(done.stderr)
    assert "Known now: Front total toe: 0.19° toe-in" in done.stderr
    assert load(job).passes[0].label == "as found"


@pytest.mark.no_cover
@pytest.mark.parametrize("name", templates.names())
def test_every_template_can_be_filled_from_end_to_end(tmp_path: Path, name: str) -> None:
    """All values open, each typed as the template has it: the template's own results."""
    draft = Draft(templates.text(name))
    typed = []
    for question in questions(draft.document):
        if question.path != ("length_unit",):
            draft.set(question.path, "?")
            typed.append("yes" if question.given is True else "no" if question.given is False
                         else str(question.given))  # fmt: skip
    job = tmp_path / "job.toml"
    job.write_text(draft.text, "utf-8")
    done = fill(job, *typed)
    refused = re.findall(r"^\[.*\n(?:(?!\[).*\n)*?  Not taken.*", done.stderr, re.M)
    assert refused == []
    assert "Is that right?" not in done.stderr
    assert load(job).passes == load_text(tmp_path, templates.text(name)).passes
    assert re.findall(r"#.*", job.read_text("utf-8")) == re.findall(r"#.*", templates.text(name))


def load_text(folder: Path, text: str):
    (folder / "other.toml").write_text(text, "utf-8")
    return load(folder / "other.toml")


# the file


def test_a_change_by_another_program_is_not_lost(job: Path, monkeypatch) -> None:
    answers = iter(["57 1/4", "57 3/8", "q"])

    def ask() -> str:
        answer = next(answers)
        if answer == "57 3/8":
            text = job.read_text("utf-8").replace("a note of mine", "another note")
            job.write_text(text, "utf-8")
        return answer

    monkeypatch.setattr(filling, "ask", ask)
    done = run("fill", job)
    assert done.exit_code == 0
    assert "was changed meanwhile" in flat(done.stderr)
    assert job.read_text("utf-8").startswith("# another note")
    assert tape(job) == {"front_edge": "57 1/4", "rear_edge": ["57 3/8", "?"]}


def test_a_file_that_cannot_be_written_is_5(job: Path, monkeypatch) -> None:
    from toebox.report import files

    monkeypatch.setattr(files.os, "access", lambda path, mode: mode != files.os.W_OK)
    done = run("fill", job, text="57 1/4\n")
    assert done.exit_code == 5
    assert job.read_text("utf-8") == TAPE


@pytest.mark.parametrize(
    "text, code, said",
    [
        (None, 3, "a file that can be read"),
        ("title = ", 3, "TOML"),
        ("\ufeff" + TAPE, 0, "3 of 10 values are open"),
    ],
)
def test_files_that_are_no_job(tmp_path: Path, text, code, said) -> None:
    job = tmp_path / "x.toml"
    if text is not None:
        job.write_text(text, "utf-8")
    done = run("fill", job, text="")
    assert done.exit_code == code
    assert said in flat(done.stderr)


def test_a_layout_that_cannot_take_a_pass_is_told_and_left_alone(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    text = 'length_unit = "in"\npass = [ { tape.front = { front_edge = 57, across = 24 } } ]\n'
    job.write_text(text, "utf-8")
    done = fill(job, "1")
    assert "Not done: pass cannot be written into this file by a program." in done.stderr
    assert job.read_text("utf-8") == text


def test_a_missing_job_names_start(tmp_path: Path) -> None:
    done = run("fill", tmp_path / "none.toml")
    assert f"toebox start {tmp_path / 'none.toml'}" in done.stderr


def test_standard_input_is_no_job() -> None:
    done = run("fill", "-")
    assert done.exit_code == 2
    assert "give it a file" in done.stderr


TYPED = [
    "b", "s", "q", "?", "", "clear", "1", "2", "3", "4", "5", "yes", "no", "4 5/8", "57 1/4", "101",
    "16", "6 left", "0.5 top in", "1/2 lengthen", "not turned", "M14x1.5", "behind", "in", "mm",
    "4 5/8; 4 9/16", "1;2;3", "0", "-1", "99999", "½", "x" * 70, '"', "\'\'\'", "[", "\\", "é",
    "0°09'", "nan", "1/0", "# no", "a = 1", "117 mm", "\x00", "20 out", "today",
]  # fmt: skip


@pytest.mark.parametrize("seed", range(5))
def test_whatever_is_typed_the_file_can_be_read_and_keeps_its_notes(tmp_path, seed: int) -> None:
    chance = random.Random(seed)
    text = templates.text(chance.choice(templates.names()))
    if seed % 2:
        text = blank(text, chance.choice(["in", "mm"]))
    job = tmp_path / "job.toml"
    job.write_text(text, "utf-8")
    typed = chance.choices(TYPED, k=50)
    done = fill(job, *typed, words=("--again",) if chance.random() < 0.5 else ())
    tomllib.loads(job.read_text("utf-8"))
    assert set(re.findall(r"#.*", text)) <= set(re.findall(r"#.*", job.read_text("utf-8")))
    assert "Not saved" not in done.stderr


def test_hostile_texts_stay_harmless(job: Path) -> None:
    job.write_text(TAPE.replace("Invented saloon", r"\u001b[31mred"), "utf-8")
    done = fill(job, "\x1b[2J57", "57\u202e1/4", "q")
    assert "\x1b" not in done.stderr
    assert "\u202e" not in done.stderr


HALF_READ = """length_unit = "mm"
[car]
wheelbase = 2600
rim_diameter = 400
track = 1500
[[pass]]
[pass.string]
left_front = {{ front = {}, rear = {} }}
right_front = {{ front = 120, rear = 119 }}
left_rear = {{ front = "?", rear = "?" }}
right_rear = {{ front = "?", rear = "?" }}
"""


def half_read(folder: Path, front: float, rear: float) -> Path:
    """Write a job whose left front wheel is read so, and the rear wheels not yet."""
    (job := folder / "job.toml").write_text(HALF_READ.format(front, rear), "utf-8")
    return job


def test_a_doubt_about_another_wheel_names_it(tmp_path: Path) -> None:
    """The left front wheel was read in centimetres: it shows at the left rear one, read right."""
    done = fill(half_read(tmp_path, 8.1, 8.0), "104", "", "103", "100", "99")
    doubt = "Is that right? pass[1].string.left_front: agrees with the other wheels far better"
    assert doubt in flat(done.stderr)


def test_a_box_is_not_doubted_before_its_last_wheel_is_asked_for(tmp_path: Path) -> None:
    job = half_read(tmp_path, 80, 79)
    done = fill(job, "104", "103", "96", "95")
    assert "Is that right?" not in done.stderr
    assert load(job).doubts == ()


@pytest.mark.parametrize("columns", [40, 60, 79])
def test_what_can_be_chosen_stands_beside_its_number(tmp_path: Path, monkeypatch, columns) -> None:
    """A line that is too long goes on under its words, not under its number."""
    monkeypatch.setenv("COLUMNS", str(columns))
    job = tmp_path / "new.toml"
    job.write_text('length_unit = "mm"\n', "utf-8")
    told = fill(job, "1", "", "").stderr
    menu = told.partition("Enter:")[2].partition("nothing.\n")[2].partition("> ")[0]
    lines = [line for line in menu.split("\n") if line]
    numbers = [line[2:4].strip() for line in lines if line[2:4].strip()]
    assert numbers == [str(n) for n in range(1, len(numbers) + 1)]
    assert len(numbers) > 10
    assert all(line[:6] == f"{line[2:4]:>4}  " and len(line) <= columns for line in lines)


@pytest.mark.parametrize("track", ["", 'track = { front = "?", rear = "?" }'])
def test_what_an_answer_needs_cannot_be_left_out(tmp_path: Path, track: str) -> None:
    """A floor that was measured needs the track: left out, the job would be faulty for good."""
    job = tmp_path / "job.toml"
    job.write_text(
        f'length_unit = "mm"\n[car]\nwheelbase = 2600\n{track}\n'
        "[[pass]]\ninclinometer.left_front.camber = -1\n",
        "utf-8",
    )
    if not track:
        names = [offer.name for offer in offers(tomllib.loads(job.read_text("utf-8")))]
        floor = str(1 + names.index("how level the floor is"))
        done = fill(job, "2", floor, "s", "2", "s", "s", "2", "")
        stays = ["track"]
    else:
        text = job.read_text("utf-8").replace("[[pass]]", "[[pass]]\nfloor = { front = 2 }")
        job.write_text(text, "utf-8")
        done, stays = fill(job, "s", "s", "2", ""), ["track.front"]
    for name in stays:
        said = f"car.{name} stays open, since something that is answered needs it: the track of the"
        assert said in flat(done.stderr)
    assert "track.rear stays open" not in flat(done.stderr)
    assert flat(done.stderr).count("Leave that out") == 1  # told, then not
    document = tomllib.loads(job.read_text("utf-8"))
    assert document["car"]["track"] == ({"front": "?"} if track else "?")
    assert document["pass"][0]["floor"] == {"front": 2}
    again = fill(job, "1500")
    assert "Car, track" in again.stderr
    assert load(job).passes[0].floor == {"front": 0.002}


def test_widths_keep_the_distance_of_their_bars_open(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    edges = "{ front = 100, rear = 100 }"
    job.write_text(
        'length_unit = "mm"\n[car]\nwheelbase = 2600\nrim_diameter = 400\n[[pass]]\n'
        f"[pass.string]\nleft_rear = {edges}\nright_rear = {edges}\n"
        'front_bar_width = 1700\nrear_bar_width = 1700\nbar_spacing = "?"\n',
        "utf-8",
    )
    done = fill(job, "s", "2", "")
    assert "pass[1].string.bar_spacing stays open, since something that is" in flat(done.stderr)
    assert tomllib.loads(job.read_text("utf-8"))["pass"][0]["string"]["bar_spacing"] == "?"
    fill(job, "4000")
    assert load(job).passes[0].bar_spacing == 4.0


def test_an_adjuster_that_a_pass_has_moved_is_not_left_out(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(
        'length_unit = "mm"\n[[adjuster]]\nwheel = "left_front"\nkind = "?"\nname = "cam"\n'
        'gives = "top out"\neccentricity = "?"\nlever_arm = 300\n[[pass]]\n'
        'inclinometer.left_front.camber = -1\n[[pass]]\nturned = { cam = "10 clockwise" }\n'
        "inclinometer.left_front.camber = -0.8\n",
        "utf-8",
    )
    done = fill(job, "s", "s", "2", "")
    assert "adjuster[1].kind stays open, since something that is answered" in flat(done.stderr)
    (adjuster,) = tomllib.loads(job.read_text("utf-8"))["adjuster"]
    assert adjuster["kind"] == "?"
    assert "eccentricity" not in adjuster
    fill(job, "cam")
    assert load(job).adjusters[0].kind == "cam"


def test_all_that_was_turned_left_open_at_once_is_asked_for_name_by_name(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    tape = "[pass.tape.front]\nfront_edge = 1400\nrear_edge = 1401\nacross = 600\n"
    job.write_text(f'length_unit = "mm"\n[[pass]]\n{tape}[[pass]]\nturned = "?"\n{tape}', "utf-8")
    done = fill(job, "1", "1/2 lengthen", "not turned", "")
    assert "Answer what the file still needs (1)" in done.stderr
    turned = tomllib.loads(job.read_text("utf-8"))["pass"][1]["turned"]
    assert turned == {"left": "1/2 lengthen", "right": "not turned"}


def test_what_a_file_lacks_can_be_answered(tmp_path: Path) -> None:
    """Written with an editor, or left out: no question stands there for it."""
    job = tmp_path / "job.toml"
    job.write_text(
        'length_unit = "mm"\n[[pass]]\n[pass.tape.front]\nfront_edge = 1400\nrear_edge = 1401\n',
        "utf-8",
    )
    done = fill(job, "1", "600", "")
    assert "1  Answer what the file still needs (1)" in done.stderr
    assert asked(done.stderr)[-1] == "Tape, front axle, across"
    assert load(job).passes[0].tape["front"].across == 0.6
    assert "still needs" not in fill(job, "").stderr


def test_moves_of_adjusters_are_asked_without_tie_rods(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text(
        'length_unit = "mm"\n[[adjuster]]\nwheel = "left_front"\nkind = "cam"\nname = "cam"\n'
        'gives = "top out"\neccentricity = 6\nlever_arm = 300\n[[pass]]\n'
        'inclinometer.left_front.camber = -1\n[[pass]]\nturned = { cam = "?" }\n'
        "inclinometer.left_front.camber = -1\n",
        "utf-8",
    )
    done = fill(job, "10 clockwise", "")
    assert "1 of " in done.stderr
    assert load(job).passes[1].moved == {"cam": 10.0}


def test_a_goal_as_a_distance_asks_what_it_is_taken_across(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text('length_unit = "mm"\n[[pass]]\ninclinometer.left_rear.camber = -1\n', "utf-8")
    draft = Draft(job.read_text("utf-8"))
    rear = next(offer for offer in offers(draft.document) if "rear total toe" in offer.name)
    take_up(draft, rear)
    assert [q.path for q in questions(draft.document) if q.open] == [
        ("car", "tyre_diameter"),
        ("goal", "rear_total_toe", "distance"),
        ("goal", "rear_total_toe", "tolerance"),
    ]
    assert rear not in offers(draft.document)
