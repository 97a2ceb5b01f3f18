"""Which value of a setting counts, and what makes it stale."""

from __future__ import annotations

import math

import pytest

from toebox.job import loads
from toebox.solve import solve
from toebox.solve.standing import basic_settings, standing, touched

HEAD = """
length_unit = "mm"
[car]
wheelbase = 2600
track = 1500
tyre_diameter = 600
rim_diameter = 400
steering_ratio = 16
[[adjuster]]
wheel = "left_front"
kind = "strut rod"
name = "rod"
gives = "less caster"
thread = "M14x1.5"
lever_arm = 300
[[adjuster]]
wheel = "right_front"
kind = "cam"
name = "cam"
gives = "top out"
eccentricity = 5
lever_arm = 300
effect = { caster = 0 }
"""
CAMBER = "[pass.inclinometer]\n" + "".join(
    f"{wheel}.camber = -0.5\n" for wheel in ("left_front", "right_front", "left_rear", "right_rear")
)
SWEEP = "sweep = [{ steer = 20, camber = 1.5 }, { steer = -20, camber = -1.5 }]\n"
SWEEPS = "".join(f"[pass.inclinometer.{s}_front]\n{SWEEP}" for s in ("left", "right"))
TAPE = "[pass.tape.front]\nfront_edge = 1400\nrear_edge = 1402\n"


def stands(*passes: str):
    text = "".join(f"\n[[pass]]\n{text}" for text in passes)
    return standing(solve(loads(HEAD + text, "invented")))


def stale(found) -> set[str]:
    return {name for name, stand in found.items() if stand.stale}


def test_the_newest_reading_counts() -> None:
    found = stands(CAMBER, SWEEPS, CAMBER.replace("-0.5", "-0.4"), TAPE)
    assert found["camber.left_rear"].number == 2
    assert found["caster.left_front"].number == 1
    assert found["total_toe.front"].number == 3
    assert stale(found) == set()


def test_a_rod_disturbs_all_of_its_own_wheel_and_nothing_else() -> None:
    turned = 'turned = { rod = "1 shorten" }\n'
    found = stands(CAMBER, SWEEPS, TAPE, turned)
    assert stale(found) == {
        "camber.left_front", "cross_camber.front", "caster.left_front", "cross_caster.front",
        "total_toe.front",
    }  # fmt: skip
    stand = found["camber.left_front"]
    assert (stand.number, stand.disturbed_in, stand.disturbed_by) == (0, 3, ("rod",))


def test_what_is_stated_as_no_effect_disturbs_nothing() -> None:
    found = stands(CAMBER, SWEEPS, 'turned = { cam = "10 clockwise" }\n')
    assert stale(found) == {"camber.right_front", "cross_camber.front"}


def test_a_difference_is_that_of_the_newest_values_of_both_wheels() -> None:
    """Only the wheel whose adjuster was turned is read again: the other one is valid as it was."""
    again = 'turned = { cam = "10 clockwise" }\n[pass.inclinometer]\nright_front.camber = -0.2\n'
    found = stands(CAMBER, again)
    left, right, cross = (
        found[name] for name in ("camber.left_front", "camber.right_front", "cross_camber.front")
    )
    assert (left.number, right.number, cross.number, cross.stale) == (0, 1, 1, False)
    assert cross.result.value == pytest.approx(math.radians(-0.3), abs=1e-4)
    # The same floor may lean both readings: no more is known than that both add up at the worst.
    assert cross.result.u == pytest.approx(left.result.u + right.result.u)
    unread = stands(CAMBER, 'turned = { cam = "10 clockwise" }\n' + TAPE)
    assert unread["cross_camber.front"].stale
    # Nothing was turned, but one wheel was read anew: its newest value is the one that counts.
    anew = stands(CAMBER, again.replace('"10 clockwise"', '"not turned"'))["cross_camber.front"]
    assert (anew.number, anew.stale) == (1, False)
    assert anew.result.value == pytest.approx(math.radians(-0.3), abs=1e-4)
    apart = "[pass.inclinometer]\n{}.camber = -0.5\n"
    never = stands(apart.format("left_rear"), apart.format("right_rear"))
    assert never["cross_camber.rear"].result.value == pytest.approx(0.0, abs=1e-4)
    goal = "goal.cross_camber = { angle = 0, tolerance = 3 }\n"
    text = goal + HEAD + "".join(f"\n[[pass]]\n{one}" for one in (CAMBER, again))
    decision = standing(solve(loads(text, "invented")))["cross_camber.front"].decision
    assert decision is not None
    assert decision.outcome == "within"


def test_a_tie_rod_disturbs_toe_and_steering_wheel_alone() -> None:
    first = 'steering_wheel_off = "5 left"\n' + TAPE + CAMBER
    found = stands(first, 'turned = { left = "1/2 shorten", right = "not turned" }\n')
    assert stale(found) == {"total_toe.front", "steering_wheel"} | {
        name for name in found if name.startswith("toe_to_thrust.left")
    }
    assert found["total_toe.front"].disturbed_by == ("left tie rod",)


def test_turning_before_a_reading_does_not_disturb_it() -> None:
    found = stands(CAMBER, 'turned = { rod = "1 shorten" }\n' + CAMBER)
    assert stale(found) == set()
    assert found["camber.left_front"].number == 1


def test_not_turned_disturbs_nothing() -> None:
    found = stands(CAMBER, 'turned = { rod = "not turned", cam = 0 }\n')
    assert stale(found) == set()


ROAD = 'steering_wheel_off = "5 left"\n'


def test_front_wheels_read_anew_make_stale_what_nobody_wrote_of() -> None:
    """Whoever reads toe again has turned something, or writes that nothing was."""
    found = stands(ROAD + TAPE + CAMBER, TAPE)
    relative = {f"toe_to_thrust.{side}_front" for side in ("left", "right")}
    assert stale(found) == {"steering_wheel", *relative}
    assert found["steering_wheel"].disturbed_by == ("nothing says what was turned",)
    assert found["steering_wheel"].why == "nothing says what was turned since it was read"
    written = 'turned = { left = "not turned" }\n'
    assert stale(stands(ROAD + TAPE, written + TAPE)) == set()
    assert stale(stands(ROAD + TAPE, 'turned = { cam = "not moved" }\n' + TAPE)) == set()
    # Camber read anew says nothing of the tie rods, and the first toe reading of none before.
    assert stale(stands(ROAD + TAPE, CAMBER)) == set()
    assert stale(stands(CAMBER, ROAD + TAPE)) == set()


def test_the_first_of_several_turns_is_told() -> None:
    turn = 'turned = { rod = "1 shorten", cam = "5 clockwise" }\n'
    found = stands(CAMBER, turn, turn)
    cross = found["cross_camber.front"]
    assert (cross.disturbed_in, cross.disturbed_by) == (1, ("rod", "cam"))


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("thrust_angle", {"toe.left_rear", "toe.right_rear"}),
        ("setback", {"caster.left_front", "caster.right_front"}),
        ("steering_axis_inclination.left_front", {"caster.left_front", "camber.left_front"}),
        ("cross_camber.rear", {"camber.left_rear", "camber.right_rear"}),
        ("toe_out_on_turn.left", set()),
    ],
)
def test_what_settings_are_made_of(name: str, parts: set[str]) -> None:
    assert basic_settings(name) == parts


def test_an_adjuster_moves_its_own_setting_whatever_is_stated() -> None:
    """An effect of 0 may be what the user knows of it; passes may show another."""
    text = """
        length_unit = "mm"
        [[adjuster]]
        wheel = "left_rear"
        kind = "direct"
        gives = "toe-in"
        unit = "mark"
        effect = { toe = 0, camber = 0 }
        [[pass]]
    """
    (adjuster,) = loads(text, "job").adjusters
    assert touched(adjuster) == {"toe.left_rear"}


@pytest.mark.parametrize(
    ("turned", "moved"),
    [
        ('left = "?", right = "1/2 lengthen"', {"toe.left_front", "toe.right_front"}),
        ('left = "?", right = "not turned"', {"toe.left_front"}),
        ('rod = "?", cam = "not moved"', {"caster.left_front", "camber.left_front"}),
        ('rod = "not moved", cam = "?"', {"camber.right_front"}),
    ],
)
def test_what_is_left_open_may_have_been_turned(turned: str, moved: set[str]) -> None:
    strings = "string.{}_front = {{ front = 100, rear = 100 }}\n"
    toes = strings.format("left") + strings.format("right")
    before = toes, CAMBER, SWEEPS
    found = stands(*before, f"turned = {{ {turned} }}\n{TAPE}")
    own = {name for name in stale(found) if name.startswith(("toe.", "camber.", "caster."))}
    assert own >= moved
    assert {name for name in own if name[:3] != "toe"} == {n for n in moved if n[:3] != "toe"}
    assert any("nothing says what was turned" in found[name].disturbed_by for name in moved)
    # A pass that reads nothing tells it as well.
    found = stands(*before, f"turned = {{ {turned.replace('1/2 lengthen', '?')} }}\n")
    assert stale(found) >= moved
