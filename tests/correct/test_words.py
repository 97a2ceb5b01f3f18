"""What a report says of turning, and what it must not say."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest

from toebox.correct import correct
from toebox.job import load, loads
from toebox.report.json import result
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.report.view.words import interval_of
from toebox.solve import solve

ROOT = Path(__file__).resolve().parents[2]
TAPE = """
length_unit = "in"
car = { tyre_diameter = 24, steering_ratio = 16 }
instruments.tape = { resolution = "1/64", repeatability = "1/64" }
[tie_rods]
arm_length = "5 1/4"
outer_thread = "M14x1.5"
"""
GOAL = '[goal]\nfront_total_toe = { distance = "1/16", tolerance = "1/16" }\n'
PASS = '[[pass]]\ntape.front = { front_edge = "57", rear_edge = "57 1/2" }\n'


def report(text: str) -> str:
    solution = solve(loads(text, "job"))
    return " ".join(render_text(make_view(solution, correct(solution)), 100).split())


def test_the_cautions_stand_where_turns_are_told() -> None:
    text = report(TAPE + GOAL + PASS)
    assert "shorten it by" in text
    told = text[text.index("What to do next") : text.index("What was found")]
    for words in (
        "one thread diameter",
        "flats of both ends in line",
        "joints free of twist",
        "boot is wound up",
        "jam nuts and clamps to the torque in the maker's manual",
        "where the manual puts it",
        "first drive slow",
        "under a car that only a jack holds",
        "Read with the car back on its wheels",
        "the steering from lock to lock: nothing may rub or bind",
    ):
        assert words in told


def test_flats_degrees_way_and_place_are_told() -> None:
    text = report(TAPE + GOAL + PASS)
    turn = r"shorten it by (\S+) turn \((\d) flats, (\d+)°\): turn the rod clockwise"
    found = re.search(turn, text)
    assert found is not None
    top, bottom = map(int, found[1].split("/"))
    assert (int(found[2]), int(found[3])) == (6 * top // bottom, 360 * top // bottom)
    assert "seen from the middle of the car, looking outwards along the rod" in text


def test_the_tape_tells_both_stops_in_order() -> None:
    text = report(TAPE + GOAL + PASS)
    # 1/2 in found, 1/16 in wanted, half of the change at each wheel: 9/32 in between.
    assert "With this rod turned, the tape reads 9/32 in more at the rear edge" in text
    assert "With both rods right, the tape reads 1/16 in more at the rear edge" in text
    assert text.index("9/32 in more") < text.index("1/16 in more at the rear edge than")


@pytest.mark.parametrize(
    "goal, readings",
    [
        ("", PASS),
        (
            GOAL,
            '[[pass]]\nsteering_wheel_off = "20 left"\ntape.front = { front_edge = "57" }\n',
        ),
    ],
    ids=["no goal", "only one edge"],
)
def test_no_tape_stop_without_a_goal_or_a_reading(goal: str, readings: str) -> None:
    assert "the tape reads" not in report(TAPE + goal + readings)


def test_samples_and_templates_tell_turns_as_json() -> None:
    for path in [*(ROOT / "samples").glob("*.toml"), *(ROOT / "templates").glob("*.toml")]:
        solution = solve(load(path))
        data = json.loads(json.dumps(result(solution, correct(solution)), allow_nan=False))
        for one in data["passes"]:
            for side in ("left", "right"):
                rod = one["corrections"][side]
                assert rod is None or rod["direction"] in ("lengthen", "shorten", "leave", None)
                if rod and rod["turns"] is not None:
                    assert rod["flats"] == pytest.approx(6 * rod["turns"])
                    assert rod["rotation_deg"] == pytest.approx(360 * rod["turns"])
            assert set(one["turning"]) >= {"corrected", "remains", "gear_centre", "rear_stays"}


STRINGS = """
length_unit = "mm"
car = { wheelbase = 2600, rim_diameter = 400, tyre_diameter = 600, steering_ratio = 16 }
instruments.string_rule = { resolution = 0.1, repeatability = 0.1 }
instruments.rim_runout = 0.1
goal.front_total_toe = { angle = 0.2, tolerance = 0.1 }
goal.steering_wheel = { angle = 0, tolerance = 2 }
tie_rods = { arm_length = 130, outer_thread = "M14x1.5" }
"""


def strings(left: float, right: float) -> str:
    """Return a pass whose front wheels read so much more at their front edge [mm]."""
    wheels = {"left_front": left, "right_front": right, "left_rear": 0.0, "right_rear": 0.0}
    rows = [
        f"{wheel} = {{ front = [{100 + more}, {100 + more}], rear = [100, 100] }}"
        for wheel, more in wheels.items()
    ]
    return "\n".join(["[[pass]]", "[pass.string]", *rows, ""])


def test_more_than_tie_rods_are_made_for_is_not_turned() -> None:
    text = report(STRINGS + strings(20.5, 20.0))
    assert "Left tie rod: do not turn it. 2.8" not in text
    text = report(STRINGS + strings(24.0, 24.0))
    assert "Left tie rod: do not turn it. 3.34° towards toe-out is more than tie rods" in text
    assert "look for a bent part" in text
    assert "Clamp the steering wheel" not in text


def test_many_turns_ask_for_another_look() -> None:
    assert "are a lot for the left tie rod" in report(STRINGS + strings(20.0, 20.0))


def test_a_rod_that_rounds_to_nothing_is_left() -> None:
    text = report(STRINGS + strings(4.0, 0.9))
    assert "Right tie rod: leave it;" in text
    assert "less than half of the smallest turn" in text


def test_edges_that_should_read_the_same() -> None:
    goal = STRINGS.replace("angle = 0.2", "angle = 0")
    text = report(goal + strings(4.0, 4.0))
    assert "the rim's front and rear edges read the same on the string" in text


def test_no_goal_at_all_says_so() -> None:
    text = report(TAPE + PASS)
    assert "Leave both tie rods: nothing says how they should stand" in text


def test_a_reading_with_one_edge_on_the_tape_gives_no_tape_stop() -> None:
    text = STRINGS + strings(4.0, 4.0) + "[pass.tape.front]\nfront_edge = 1400\n"
    assert "the tape reads" not in report(text)
    assert "on the string" in report(text)


def test_what_is_kept_is_told() -> None:
    road = '[[pass]]\nsteering_wheel_off = ["12 left", "12 left"]\n'
    tape = 'tape.front = { front_edge = "57", rear_edge = "57 1/16" }\n'
    text = report(TAPE + GOAL + road + tape)
    assert "Kept as it is, because no change of it is proven: front total toe 0.00° off" in text


def test_a_rear_wheel_with_its_reading() -> None:
    adjustable = STRINGS.replace("ratio = 16", "ratio = 16, rear_toe_adjustable = true")
    straight = "left_rear = { front = [100.0, 100.0]"
    crooked = strings(0.0, 0.0).replace(straight, straight.replace("100.0", "104.0"))
    text = report(adjustable + crooked)
    assert "Left rear wheel, before the front: change its toe by" in text
    assert "on the string" in text


def test_only_the_rod_that_is_turned_is_loosened() -> None:
    text = report(STRINGS + strings(4.0, 0.9))
    assert "Mark the left tie rod (left as the driver sits) and loosen its jam nuts" in text
    assert "both tie rods (left and right" not in text
    both = report(STRINGS + strings(4.0, 4.0))
    assert "Mark both tie rods (left and right as the driver sits) and loosen their" in both


def test_nothing_left_to_change_is_said_as_such() -> None:
    adjustable = STRINGS.replace("ratio = 16", "ratio = 16, rear_toe_adjustable = true")
    both = 400 * math.sin(math.radians(0.1))
    text = report(adjustable + strings(both, both))
    assert "Left rear wheel: leave it; nothing is left to change (±" in text
    narrow = STRINGS.replace("tolerance = 0.1", "tolerance = 0.01")
    text = report(narrow + strings(both, both))
    assert (
        "Leave both tie rods as they are: nothing is left to change (front total toe 0.00°" in text
    )
    assert "(no change) is too little" not in text


def test_a_short_thread_is_told_where_the_turn_is_told() -> None:
    engaged = STRINGS.replace('x1.5"', 'x1.5", outer_engaged = 12')
    text = report(engaged + strings(-4.0, -4.0))
    turn, first, stop = (
        text.index(words)
        for words in (
            "lengthen it by",
            "Read first what is said below about its thread",
            "Stop when",
        )
    )
    assert turn < first < stop
    assert "Read first" not in report(engaged.replace("= 12", "= 30") + strings(-4.0, -4.0))


def test_stops_are_means_where_a_rim_was_read_twice() -> None:
    twice = report(STRINGS + strings(4.0, 4.0))
    assert "the readings to stop at are means" in twice
    assert "Both front rims run so true that valve up and valve down differ by no more" in twice
    left = "left_front = { front = ["
    askew = strings(4.0, 4.0).replace(f"{left}104.0, ", f"{left}107.0, ")
    assert (
        "Left front wheel: its rim wobbles. With the valve up stop when the rim's front edge reads"
    ) in report(STRINGS + askew)
    once = re.sub(r"\[(\d+\.\d), \d+\.\d\]", r"\1", strings(4.0, 4.0)).replace("[100, 100]", "100")
    assert "the readings to stop at are means" not in report(STRINGS + once)


def test_zero_has_its_word() -> None:
    text = report(STRINGS + strings(4.0, 4.0))
    assert "0.00° (stands square)" in text
    assert "(parallel)" not in text  # nothing was read at the bars
    bars = "front_bar_width = 1700\nrear_bar_width = 1700\nbar_spacing = 4000\n"
    assert "0.00° (parallel)" in report(STRINGS + strings(4.0, 4.0) + bars)
    setback = "wheelbase_left = 2600\nwheelbase_right = 2600\n"
    text = report(STRINGS + strings(4.0, 4.0).replace("[pass.string]", setback + "[pass.string]"))
    assert "0.0 mm (0 in), level" in text


def test_more_than_one_turn_is_turns() -> None:
    text = report(STRINGS + strings(20.0, 0.0))
    assert re.search(r"\b[1-9]\d*\.\d\d turns\b", text)
    assert not re.search(r"\b[2-9]\d*\.\d\d turn\b(?!s)", text)


def test_where_the_arms_lie_is_asked_where_nothing_says_it() -> None:
    guessed = report(TAPE + GOAL + PASS)
    assert guessed.index("Look first where the tie rods") < guessed.index("Clamp the steering")
    assert "every turn goes the other way" in guessed[guessed.index("What was assumed") :]
    for side in ("behind", "ahead"):
        stated = TAPE.replace("arm_length", f'steering_arm = "{side}"\narm_length')
        text = report(stated + GOAL + PASS)
        assert "Look first where" not in text
        assert "goes the other way" not in text
        assert ("shorten it by" if side == "behind" else "lengthen it by") in text


def test_what_is_known_well_is_not_known_exactly() -> None:
    def half(resolution: float) -> str:
        text = STRINGS.replace("0.1, repeatability = 0.1", f"{resolution}, repeatability = 0")
        bars = "front_bar_width = 1700\nrear_bar_width = 1700\nbar_spacing = 4000\n"
        rule = f"instruments.tape = {{ resolution = {resolution}, repeatability = 0 }}\n"
        found = report(rule + text.replace("runout = 0.1", "runout = 0") + strings(4.0, 4.0) + bars)
        table = re.search(r"Strings 0\.00° \(parallel\) ± (\d\.\d\d)°", found)
        assert table is not None
        return table[1]

    assert half(0.01) == "0.01"  # 0.00008 degrees
    assert half(3.0) == "0.02"
    solution = solve(loads(STRINGS + strings(4.0, 4.0), "job"))
    exact = solution.passes[0]["thrust_angle"]._replace(u=0.0)
    assert interval_of(exact, solution.job) == "± 0.00°"


REAR_ALONE = (
    STRINGS.replace("ratio = 16", "ratio = 16, rear_toe_adjustable = true")
    + """
goal.rear_total_toe = { angle = 0.2, tolerance = 0.1 }
instruments.tape = { resolution = 0.1, repeatability = 0.1 }
[[pass]]
tape.rear = { front_edge = 1400, rear_edge = 1430 }
[pass.string]
left_rear = { front = [104, 104], rear = [100, 100] }
right_rear = { front = [100, 100], rear = [100, 100] }
"""
)


def test_rear_wheels_alone_are_told_without_the_front() -> None:
    text = report(REAR_ALONE)
    assert "Nothing can be said about the tie rods yet" in text
    told = text[: text.index("Against the goals")]
    assert "Before you turn anything" in told  # the tape says otherwise than the strings
    assert "Left rear wheel, before the front: change its toe by" in told
    assert "Roll the car back, then forward by a full turn of its wheels" in told
    assert "torque in the maker's manual" in told


def test_without_a_goal_no_change_is_tabled() -> None:
    text = report(TAPE + PASS)
    told = text[: text.index("What was found")]
    assert "nothing says how they should stand" in told
    assert "± 0.00°" not in told
    assert "Both rods get the same share" not in told


def test_without_a_thread_the_length_is_told_finely() -> None:
    bare = re.sub(r"outer_thread.*\n", "", TAPE)
    text = report(bare + GOAL + PASS)
    # 7/32 in of 24 in at each wheel: 5 1/4 in x 7/32 / 24 = 0.0479 in
    assert "Left tie rod: shorten it by 0.048 in (1.22 mm)." in text
    assert text.index("Look first where the tie rods") < text.index("Left tie rod: shorten")


def test_unusual_values_are_looked_at_before_anything_is_turned() -> None:
    coarse = TAPE.replace("M14x1.5", "M14")
    text = report(coarse + GOAL + PASS)
    look = "1. Look first at what the report lists under 'Values that look unusual'."
    assert look in text
    assert "tie_rods.outer_thread: no pitch given" in text[text.index(look) + len(look) :]
    assert "Look first at what" not in report(TAPE + GOAL + PASS)
    met = PASS.replace("57 1/2", "57 1/16")
    assert "Look first at what" not in report(coarse + GOAL + met)
