"""centre: what it tells, what it refuses, and that it agrees with a job of the same readings."""

from __future__ import annotations

import json
import re

import pytest

from tests.cli.running import run
from toebox.correct import correct
from toebox.job import loads
from toebox.report.json import result
from toebox.solve import solve

RODS = ("--arm", "5 1/4", "--thread", "M14x1.5")
STRINGS = (
    *("--mm", "--wheelbase", "2600", "--rim", "400", "--ratio", "16"),
    *("--string", "left_front", "106", "100", "--string", "right_front", "98", "104"),
    *("--string", "left_rear", "104", "104", "--string", "right_rear", "103", "103"),
)


def answer(*words: str) -> dict[str, object]:
    done = run("centre", *words, "--json")
    assert done.exit_code == 0, done.output
    (one,) = json.loads(done.stdout)["passes"]
    return dict(one)


def rods(found: dict[str, object]) -> list[dict[str, float]]:
    corrections = found["corrections"]
    assert isinstance(corrections, dict)
    return [corrections["left"], corrections["right"]]


def test_road_test_alone() -> None:
    """6 degrees to the left over 16.5: NAVEDTRA 14050A centres by equal turns of both tie rods."""
    left, right = rods(answer("--off", "6 left", "--ratio", "16.5"))
    assert left["toe_change_deg"] == pytest.approx(-6 / 16.5)
    assert right["toe_change_deg"] == pytest.approx(6 / 16.5)
    text = run("centre", "--off", "6 left", "--ratio", "16.5").stdout
    assert "0.36° towards toe-out" in text
    assert "Clamp the steering wheel straight" in text
    assert "Caution" in text


def test_turns_of_both_rods_are_equal_and_opposite() -> None:
    left, right = rods(answer("--off", "10 right", "--ratio", "16.5", *RODS))
    assert (left["direction"], right["direction"]) == ("lengthen", "shorten")
    assert left["turns"] == right["turns"] == pytest.approx(1.0)
    ahead = rods(answer("--off", "10 right", "--ratio", "16.5", *RODS, "--ahead"))
    assert [rod["direction"] for rod in ahead] == ["shorten", "lengthen"]


def test_strings_alone_and_together_with_the_road_test() -> None:
    alone = answer(*STRINGS)
    wheel = alone["steering_wheel"]
    assert isinstance(wheel, dict)
    # 6 mm over 400 mm on each side, one in, one out: 0.859 degrees, times the ratio of 16.
    assert wheel["off_centre_deg"] == pytest.approx(-13.75, abs=0.02)
    both = answer(*STRINGS, "--off", "14 left")["steering_wheel"]
    assert isinstance(both, dict)
    assert both["u_deg"] < min(wheel["u_deg"], 2.0)
    assert -14.0 < both["off_centre_deg"] < -13.75


def test_each_drive_is_one_more_reading() -> None:
    one = answer("--off", "6 left", "--ratio", "16")["steering_wheel"]
    two = answer("--off", "6 left", "--off", "4 left", "--ratio", "16")["steering_wheel"]
    assert isinstance(one, dict)
    assert isinstance(two, dict)
    assert two["off_centre_deg"] == pytest.approx(-5.0)
    assert two["u_deg"] == pytest.approx(one["u_deg"] / 2**0.5)


def test_it_says_what_a_job_says() -> None:
    job = """
length_unit = "in"
car.steering_ratio = 16.5
instruments.road_test.repeatability = 2
[tie_rods]
arm_length = "5 1/4"
outer_thread = "M14x1.5"
[tie_rods.left]
outer_engaged = "1"
[tie_rods.right]
outer_engaged = "7/8"
[[pass]]
label = "as found"
steering_wheel_off = "9 left"
tape.front = { front_edge = "57 3/8", rear_edge = "57 1/2", across = "24 1/2" }
"""
    solution = solve(loads(job, "job"))
    (wanted,) = json.loads(json.dumps(result(solution, correct(solution))))["passes"]
    found = answer(
        *("--off", "9 left", "--ratio", "16.5", *RODS, "--engaged", "1", "7/8"),
        *("--tape", "57 3/8", "57 1/2", "--across", "24 1/2"),
    )
    assert found == wanted


def test_the_gear_comes_before_the_spline() -> None:
    done = run(
        *("centre", "--off", "40 right", "--ratio", "15", "--splines", "36"),
        *("--turns-to-lock", "1 1/2", "1 3/4"),
    )
    text = " ".join(done.stdout.split())
    assert "from either lock, 1 5/8 turns back" in text
    assert "by 4 teeth to the left (40.0°)" in text
    assert text.index("middle of the steering gear") < text.index("move the steering wheel")
    assert "Set the tie rods first" not in text  # they are left
    assert "miscounted" not in text


def test_locks_a_whole_turn_apart_are_likelier_miscounted() -> None:
    done = run(
        *("centre", "--off", "7 left", "--ratio", "16", "--splines", "36", *RODS),
        *("--turns-to-lock", "1 1/2", "2 1/2"),
    )
    text = " ".join(done.stdout.split())
    assert "So much is likelier a turn miscounted: count again before anything else." in text


@pytest.mark.parametrize(
    "words, said",
    [
        ((), 'Give the road test (--off "6 left"), or strings (--string).'),
        (("--off", "6 left"), "Give the steering ratio as well, such as --ratio 16.5."),
        (("--string", "front_left", "4", "4"), "--string front_left: wanted left_front"),
    ],
)
def test_what_is_missing_is_a_wrong_usage(words: tuple[str, ...], said: str) -> None:
    done = run("centre", *words)
    assert done.exit_code == 2
    assert said in done.stderr
    assert done.stdout == ""


def test_all_faults_are_told_at_once_by_the_names_of_the_options() -> None:
    done = run(
        *("centre", "--off", "6", "--ratio", "165", "--arm", "x", "--thread", "M14x1,5"),
        *("--engaged", "1", "y", "--turns-to-lock", "0", "1", "--rim", "2"),
        *("--string", "left_front", "a", "4", "--tape", "57", "z", "--splines", "2.5"),
    )
    assert done.exit_code == 3
    assert done.stdout == ""
    for option in (
        *("--off", "--ratio", "--arm", "--thread", "--engaged", "--turns-to-lock", "--rim"),
        *("--string left_front", "--tape", "--splines"),
    ):
        assert f"toebox: centre: {option}: given" in done.stderr


def words_of(*words: str) -> str:
    done = run("centre", *words)
    assert done.exit_code == 0, done.output
    return " ".join(done.stdout.split())


def test_the_default_of_repeats_is_named_as_assumed() -> None:
    six = ("--off", "6 left", "--ratio", "16.5")
    taken = words_of(*six)
    assert "What was assumed" in taken
    assert "The road test (--repeats) repeats within 2.0° (standard deviation) (not stated" in taken
    assert "Nothing beyond the stated instruments" not in taken
    stated = words_of(*six, "--repeats", "2")
    assert "Nothing beyond the stated instruments." in stated
    assert answer(*six) == answer(*six, "--repeats", "2")
    assert "--repeats" not in words_of(*STRINGS)


def test_a_tape_with_its_points_gives_toe_as_a_distance() -> None:
    text = words_of(
        *("--off", "6 left", "--ratio", "16.5", "--mm"),
        *("--tape", "1300", "1302", "--across", "600"),
    )
    # 2 mm between points 600 mm apart.
    assert "0.19° toe-in ± 0.28° 2.0 mm (5/64 in) across 600.0 mm" in text


@pytest.mark.parametrize("off", ["1 left", "6 left", "70 right"])
@pytest.mark.parametrize(
    "more",
    [
        (),
        ("--arm", "5 1/4"),
        RODS,
        ("--tape", "57 1/8", "57", "--across", "24"),
        ("--turns-to-lock", "1 1/2", "1 3/4", "--splines", "36"),
    ],
)
def test_it_speaks_of_its_options_and_not_of_keys_of_a_job(off: str, more: tuple[str, ...]) -> None:
    text = words_of("--off", off, "--ratio", "16.5", *more)
    assert not re.search(r"\[|\b[a-z]+_[a-z_]+|\bjob\b|in the list|next pass", text), text


def test_a_slip_and_rear_wheels_are_told_without_keys_of_a_job() -> None:
    text = words_of(*STRINGS, "--off", "3 left")
    assert "Put it right and ask again" in text
    assert "The toe of the rear wheels counts as not adjustable here" in text
    assert "steering_arm" not in words_of(*STRINGS, "--arm", "130", "--thread", "M14x1.5")


@pytest.mark.parametrize("nasty", ['"', "\\", "'''", "\n[car]\n", "\x7f", "\x1b[31m", "é½", "]"])
def test_no_text_leaves_its_option(nasty: str) -> None:
    done = run("centre", "--off", f"6 left{nasty}", "--ratio", "16")
    assert done.exit_code == 3
    assert "--off" in done.stderr
    assert "\x1b" not in done.stderr
