"""Rear wheels that cannot be brought where they are wanted: the front follows where they end.

Every expected number is worked out here from what is told, by sums of toes alone.
"""

from __future__ import annotations

import math

import pytest

from tests.correct.test_own_setting import ASKEW, REAR
from tests.report.test_told import CAR, data, strings, told
from tests.report.test_working import check_lines, check_tables, lines_of, worked
from toebox.job import loads

GOALS = """
[goal]
rear_total_toe = { angle = 0.4, tolerance = 0.05 }
front_total_toe = { angle = 0.1, tolerance = 0.05 }
"""
STUCK = "room = { clockwise = 0, anticlockwise = 0 }"
ROOMS = {
    "one has none": ("room = { anticlockwise = 0 }", ""),
    "one has too little": ("room = { anticlockwise = 8 }", ""),
    "neither has any": (STUCK, STUCK),
    "both have too little": ("room = { anticlockwise = 5 }", "room = { clockwise = 10 }"),
}


def rear(rooms: tuple[str, str], adjusters: str = REAR) -> str:
    for side, room in zip(("left", "right"), rooms, strict=True):
        adjusters = adjusters.replace(f'name = "{side} cam"', f'name = "{side} cam"\n{room}')
    return adjusters


def toes(found: dict) -> dict[str, float]:
    """Toe of each wheel once all is done as told [deg]."""
    told_of = found["corrections"]
    after = {wheel: toe["angle_deg"] for wheel, toe in found["toe"].items()}
    for side in ("left", "right"):
        after[f"{side}_front"] += told_of[side]["toe_change_deg"]
        after[f"{side}_rear"] += told_of[f"{side}_rear"]["expected_change_deg"]
    return after


@pytest.mark.parametrize("rooms", [*ROOMS.values(), ("", "")], ids=[*ROOMS, "room enough"])
def test_the_front_is_set_along_the_line_that_the_rear_ends_at(rooms: tuple[str, str]) -> None:
    found = data(CAR, GOALS, rear(rooms), ASKEW)
    after = toes(found)
    thrust = (after["left_rear"] - after["right_rear"]) / 2.0
    assert (after["left_front"] - after["right_front"]) / 2.0 == pytest.approx(thrust, abs=1e-6)
    assert after["left_front"] + after["right_front"] == pytest.approx(0.1, abs=1e-6)
    enough = rooms == ("", "")
    assert (abs(thrust) < 1e-6) == enough
    assert found["turning"]["remains"]["steering_wheel_deg"] == pytest.approx(0.0, abs=1e-6)
    for side, sign in (("left", 1.0), ("right", -1.0)):
        wheel = found["corrections"][f"{side}_rear"]
        stop = 400.0 * math.sin(math.radians(after[f"{side}_rear"]))
        shown = wheel["stop_at"]["string_front_minus_rear_mm"]
        if wheel["withheld"] is None:
            assert shown == pytest.approx(stop, abs=2e-3)
            assert wheel["expected_change_deg"] * sign < 0.0
        else:
            assert (wheel["withheld"], wheel["expected_change_deg"]) == ("room", 0.0)


@pytest.mark.parametrize("rooms", ROOMS.values(), ids=ROOMS)
def test_no_reading_is_told_that_a_wheel_cannot_reach(rooms: tuple[str, str]) -> None:
    text = told(CAR, GOALS, rear(rooms), ASKEW)
    freely = told(CAR, GOALS, rear(("", "")), ASKEW)
    assert "change its toe by 0.23° towards toe-out at left cam" in freely
    assert "change its toe by 0.23° towards toe-out" not in text
    assert "0.23° towards toe-out would be wanted" in text
    if rooms == ROOMS["neither has any"]:
        assert "rear wheel, before the front: change" not in text
        assert "Then read again what this moves" not in text
    else:
        assert "0.34° towards toe-in would be wanted, had the adjusters of both" in text


def test_nothing_is_tightened_where_nothing_was_loosened() -> None:
    """The front stands along the line that the rear gives: nothing at all is to be turned."""
    along = "[[pass]]\n" + strings(2.0, -2.0, (3.0, -1.0))
    tight = told(CAR, rear((STUCK, STUCK)), along)
    assert "Right rear wheel: leave it; " in tight
    assert "Tighten what was loosened" not in tight
    assert "Roll the car" not in tight
    assert "Tighten the jam nuts" in told(CAR, rear(("", "")), along)


def test_where_the_car_runs_names_the_line_that_the_front_is_set_to() -> None:
    kept, until = "and the front wheels are set to that line", "until they are set; the front"
    for rooms in (("", ""), ROOMS["one has too little"]):
        text = told(CAR, GOALS, rear(rooms), ASKEW)
        assert (kept in text, until in text) == (False, True)
    text = told(CAR, GOALS, rear((STUCK, STUCK)), ASKEW)
    assert (kept in text, until in text) == (True, False)


def test_an_unproven_effect_makes_the_front_less_sure() -> None:
    """How far a cam goes is less sure than where a wheel stands: that widens the front's change."""
    free = data(CAR, GOALS, rear(("", "")), ASKEW)["corrections"]["left"]["u_deg"]
    partly = data(CAR, GOALS, rear(ROOMS["one has too little"]), ASKEW)["corrections"]["left"]
    none = data(CAR, GOALS, rear(ROOMS["neither has any"]), ASKEW)["corrections"]["left"]["u_deg"]
    assert partly["u_deg"] > max(free, none)


def test_a_wheel_without_a_step_as_small_stays_and_the_front_knows() -> None:
    coarse = REAR.replace("effect = { toe = 0.02 }", "effect = { toe = 0.2 }", 1)
    found = data(CAR, GOALS, coarse, ASKEW)
    left, right = (found["corrections"][f"{side}_rear"] for side in ("left", "right"))
    assert (left["withheld"], left["expected_change_deg"]) == ("room", 0.0)
    assert (right["withheld"], right["expected_change_deg"]) == (None, right["toe_change_deg"])
    after = toes(found)
    thrust = (after["left_rear"] - after["right_rear"]) / 2.0
    assert (after["left_front"] - after["right_front"]) / 2.0 == pytest.approx(thrust, abs=1e-6)


@pytest.mark.parametrize("rooms", ROOMS.values(), ids=ROOMS)
def test_the_working_follows(rooms: tuple[str, str]) -> None:
    _, sections = worked(loads("".join((CAR, GOALS, rear(rooms), ASKEW)), "invented"))
    assert check_lines(lines_of(sections)) > 10
    assert check_tables(sections) >= 1


@pytest.mark.parametrize("apart", [0.0, 0.4])
def test_one_rear_wheel_alone_is_not_turned_for_the_total_toe(apart: float) -> None:
    """The other one has no room: the car would run askew for it, more than it does."""
    goals = GOALS.replace("angle = 0.4", "angle = 1.4")
    stuck = rear((STUCK, ""))
    text = told(CAR, goals, stuck, "[[pass]]\n", strings(0.7, 0.7, (1.0 - apart, 1.0 + apart)))
    assert "Left rear wheel: leave it; " in text
    assert "but the other rear wheel has no room to go with it" in text
    assert "right cam (right rear): turn" not in text.lower()
    found = data(CAR, goals, stuck, "[[pass]]\n", strings(0.7, 0.7, (1.0 - apart, 1.0 + apart)))
    after = toes(found)
    before = found["toe"]["left_rear"]["angle_deg"] - found["toe"]["right_rear"]["angle_deg"]
    assert after["left_rear"] - after["right_rear"] == pytest.approx(before, abs=1e-9)
    free = told(CAR, goals, REAR, "[[pass]]\n", strings(0.7, 0.7, (1.0 - apart, 1.0 + apart)))
    assert "right cam (right rear): turn" in free.lower()


def test_advice_for_one_rear_wheel_alone_does_not_go_back_and_forth() -> None:
    """One notch more for the thrust angle, one notch less for the total toe, and so on."""
    notch = (
        '[[adjuster]]\nwheel = "{}_rear"\nkind = "direct"\nname = "{} cam"\nunit = "notch"\n'
        "effect = {{ toe = 0.1 }}\nsmallest_step = 1\n{}"
    )
    stuck = notch.format("left", "left", "room = { more = 0, less = 0 }\n")
    job = CAR, stuck, notch.format("right", "right", "")
    goals = (
        "[goal]\nrear_total_toe = { angle = 0.2, tolerance = 0.1 }\n"
        "thrust_angle = { angle = 0, tolerance = 0.1 }\n"
    )
    right = -0.095
    for _ in range(6):
        edges = (400.0 * math.sin(math.radians(toe)) for toe in (0.425, right))
        found = data(*job, goals, "[[pass]]\n", strings(0.35, 0.35, tuple(edges)))
        wheel = found["corrections"]["right_rear"]
        if wheel["withheld"] or not wheel["justified"]:
            break
        right += wheel["expected_change_deg"]
    else:
        pytest.fail("there is always one notch more to turn")


@pytest.mark.parametrize("blind", [True, False], ids=["effect unknown", "effect known"])
def test_without_room_a_wheel_stays_whatever_is_known_of_its_effect(blind: bool) -> None:
    cams = REAR.replace("effect = { toe = 0.02 }\n", "") if blind else REAR
    found = data(CAR, GOALS, rear((STUCK, STUCK), cams), ASKEW)
    for side in ("left_rear", "right_rear"):
        wheel = found["corrections"][side]
        assert (wheel["withheld"], wheel["expected_change_deg"]) == ("room", 0.0)
    after = toes(found)
    thrust = (after["left_rear"] - after["right_rear"]) / 2.0
    assert (after["left_front"] - after["right_front"]) / 2.0 == pytest.approx(thrust, abs=1e-6)


@pytest.mark.parametrize(("room", "stays"), [("anticlockwise = 0", True), ("clockwise = 0", False)])
def test_room_counts_the_way_that_is_wanted(room: str, stays: bool) -> None:
    """The left wheel is to go towards toe-out: anticlockwise, where clockwise gives toe-in."""
    cams = REAR.replace("effect = { toe = 0.02 }\n", "")
    found = data(CAR, GOALS, rear((f"room = {{ {room} }}", ""), cams), ASKEW)
    left = found["corrections"]["left_rear"]
    assert left["toe_change_deg"] < 0.0
    assert (left["withheld"] == "room") == stays
    used = rear((f"room = {{ {room.replace(' 0', ' 8')} }}", ""), cams)
    moved = '[[pass]]\nturned = { "left cam" = "8 anticlockwise" }\n'
    later = data(CAR, GOALS, used, ASKEW, moved, ASKEW.removeprefix("[[pass]]\n"))
    assert (later["corrections"]["left_rear"]["withheld"] == "room") == stays


def test_an_adjuster_at_one_wheel_alone_may_lack_room_too() -> None:
    car = CAR.replace("adjustable = false", "adjustable = true")
    one = REAR[: REAR.index("[[adjuster]]", 5)].replace("name =", f"{STUCK}\nname =")
    found = data(car, GOALS, one, ASKEW)
    left, right = (found["corrections"][f"{side}_rear"] for side in ("left", "right"))
    assert (left["withheld"], right["withheld"]) == ("room", None)
    after = toes(found)
    thrust = (after["left_rear"] - after["right_rear"]) / 2.0
    assert abs(thrust) > 0.05
    assert (after["left_front"] - after["right_front"]) / 2.0 == pytest.approx(thrust, abs=1e-6)
