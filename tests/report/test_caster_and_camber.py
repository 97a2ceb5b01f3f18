"""Words for caster and camber: drift, order of work, what is stale, toe-out on turns."""

from __future__ import annotations

import re

import pytest

from toebox.correct import correct
from toebox.job import loads
from toebox.report.json import result
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.solve import solve

HEAD = """
length_unit = "mm"
[car]
wheelbase = 2600
track = 1500
rim_diameter = 400
tyre_diameter = 600
[instruments]
inclinometer = { resolution = 0.01, repeatability = 0.01 }
turn_plates = { resolution = 0.1, repeatability = 0.1 }
rim_runout = 0.1
"""
GOALS = """
[goal]
caster.left_front = { angle = 4, tolerance = 0.2 }
camber.left_front = { angle = -0.5, tolerance = 0.2 }
"""
ROD = """
[[adjuster]]
wheel = "left_front"
kind = "strut rod"
name = "rod"
gives = "less caster"
thread = "M14x1.5"
lever_arm = 300
room = { lengthen = 2, shorten = 2 }
"""
FLOOR = "floor = { front = 0, along = 0 }\n"


def fronts(left: tuple[float, float], right: tuple[float, float], floor: str = FLOOR) -> str:
    text = f"\n[[pass]]\n{floor}"
    for side, (caster, camber) in (("left", left), ("right", right)):
        text += f"[pass.inclinometer.{side}_front]\ncaster = {caster}\ncamber = {camber}\n"
        text += f"camber_turned = {camber}\n"
    return text


def said(*parts: str) -> str:
    solution = solve(loads("".join(parts), "invented"))
    text = render_text(make_view(solution, correct(solution)), 2000)
    assert "-0.00" not in text
    return text


@pytest.mark.parametrize(
    ("left", "right", "words"),
    [
        ((3, 0), (4, 0), "By caster the car would drift to the left: that side has 1.00° less"),
        ((5, 0), (4, 0), "By caster the car would drift to the right: that side has 1.00° less"),
        ((4, 0.5), (4, -0.5), "By camber the car would drift to the left: that side has 1.00°"),
        ((4, -2), (4, -1), "By camber the car would drift to the right: that side has 1.00°"),
        ((3, 0.5), (4, -0.5), "Both pull to the left."),
        ((3, -0.5), (4, 0.5), "The two pull opposite ways"),
        ((4, 0), (4.05, 0), "Caster differs between the sides by no more than these readings can"),
    ],
)
def test_drift(left, right, words: str) -> None:
    text = said(HEAD, fronts(left, right))
    assert words in text
    assert "crown" in text
    assert "Common practice, no published source" in text


def test_stale_differences_say_nothing_of_drift() -> None:
    turned = '\n[[pass]]\nturned = { rod = "1 shorten" }\n'
    assert "Which way it would drift" not in said(HEAD, ROD, fronts((3, 0), (4, 0)), turned)


def test_order_of_work_names_moves_and_what_to_read_again() -> None:
    text = said(HEAD, GOALS, ROD, fronts((3.7, -0.5), (4, -0.5)))
    lines = text[text.index("Order of work") :].splitlines()[2:6]
    assert lines[0] == (
        "1. Caster. Rod (left front): shorten by 1 turn. Then read again what this moves: caster, "
        "camber and toe (left front); in a job those readings are the next [[pass]], with what you "
        "moved (turned)."
    )
    assert lines[1].startswith("2. Camber. The job has no [[adjuster]] for camber")
    assert lines[2].startswith("3. Front toe, last. Read toe again first, since the steps above")
    assert text.index("Order of work") < text.index("What to do next")
    assert "inner edge" in text
    assert "steering heavier" in text
    assert "head of the bolt" not in lines[0]
    table = text[text.index("What to move\n") :]
    assert re.search(r"rod +shorten by 1 turn +\d\.\d\d turns? ", table)
    assert "Note" not in table[: table.index("What the moves change")]


def test_the_end_of_the_room_is_said() -> None:
    text = said(HEAD, GOALS, ROD, fronts((2, -0.5), (4, -0.5)))
    assert "shorten by 2 turns, the end of its room" in text
    assert "At the end of its room: rod." in text
    assert "out of reach: an adjuster is at its end" in text


def test_no_room_at_all() -> None:
    stuck = ROD.replace("shorten = 2", "shorten = 0")
    text = said(HEAD, GOALS, stuck, fronts((2, -0.5), (4, -0.5)))
    assert "Caster. No room is left at rod." in text


def test_a_stale_setting_is_asked_for_first() -> None:
    turned = '\n[[pass]]\nturned = { rod = "1 shorten" }\n' + FLOOR
    turned += "[pass.inclinometer.left_front]\ncamber = -0.5\ncamber_turned = -0.5\n"
    text = said(HEAD, GOALS, ROD, fronts((3, -0.5), (4, -0.5)), turned)
    assert "Caster. Read left front caster again first: a later turn has moved it" in text
    row = next(line for line in text.splitlines() if line.startswith("Left front caster  3.00"))
    assert "○ stale since pass 2: rod" in row
    assert "(pass 1, stale)" in text
    assert "● valid" in text


def test_an_adjuster_that_does_the_opposite_is_named() -> None:
    turned = 'floor = { front = 0, along = 0 }\nturned = { rod = "2 shorten" }\n'
    again = fronts((2.4, -0.5), (4, -0.5), turned)
    text = said(HEAD, GOALS, ROD, fronts((3, -0.5), (4, -0.5)), again)
    assert "What the passes show of rod (caster) contradicts what was known before" in text
    assert "leave it: effect contradicted" in text
    assert "The passes contradict what was known of rod: leave it until it is clear what" in text
    assert "is not known well enough" not in text


def test_goals_met_are_left() -> None:
    text = said(HEAD, GOALS, ROD, fronts((4, -0.5), (4, -0.5)))
    assert "1. Caster. Leave it: within its goals." in text


def test_rear_toe_comes_before_the_front() -> None:
    goals = "[goal]\nrear_total_toe = { angle = 0.3, tolerance = 0.05 }\n"
    goals += "camber.left_rear = { angle = -1, tolerance = 0.2 }\n"
    cams = "".join(
        f'[[adjuster]]\nwheel = "{side}_rear"\nkind = "cam"\ngives = "toe-in"\neccentricity = 4\n'
        "lever_arm = 200\nsmallest_step = 1\n"
        for side in ("left", "right")
    )
    tape = "[pass.tape.rear]\nfront_edge = 1400\nrear_edge = 1400\n"
    text = said(HEAD, goals, cams, "[instruments.tape]\nresolution = 0.1\n[[pass]]\n", tape)
    step = next(line for line in text.splitlines() if line.startswith("3. Rear toe."))
    assert "left rear cam: turn" in step.lower()
    assert "° clockwise, always seen facing the head of the bolt." in step
    assert "camber and toe (left rear and right rear) and the thrust angle" in step
    later = '[[pass]]\nturned = { "left rear cam" = "8 clockwise" }\n'
    text = said(HEAD, goals, cams, "[[pass]]\n", tape, later)
    assert "Rear toe. Read rear total toe again first: a later turn has moved it, or may" in text
    unset = HEAD.replace("track", "rear_toe_adjustable = true\ntrack")
    text = said(unset, GOALS, fronts((4, -0.5), (4, -0.5)))
    assert "Rear toe. Before the front: the car runs where the rear wheels point." in text


@pytest.mark.parametrize(
    ("unit", "words", "exactly"),
    [
        ("mm", "2 mm more", "2.00 mm"),
        ("°", "2° more", "2.00°"),
        ("in.", "2 in. more", "2.00 in."),
        ("degree", "turn 2° more", "2.00°"),
        ("mark", "2 marks more", "2.00 marks"),
        ("notch", "2 notches more", "2.00 notches"),
    ],
)
def test_a_unit_that_is_a_symbol_has_no_plural(unit: str, words: str, exactly: str) -> None:
    direct = f'kind = "direct"\nunit = "{unit}"\neffect = {{ caster = 0.5 }}\nsmallest_step = 1'
    text = said(
        HEAD, GOALS, f'[[adjuster]]\nwheel = "left_front"\nname = "it"\n{direct}\n',
        fronts((3, -0.5), (4, -0.5)),
    )  # fmt: skip
    row = next(line for line in text.splitlines() if line.startswith("it "))
    assert re.split(r"  +", row)[1:3] == [words, exactly]


@pytest.mark.parametrize(
    ("adjuster", "words"),
    [
        ('kind = "shims"\ngives = "less caster"\nthickness = 2\nlever_arm = 200', "remove 2 shims"),
        ('kind = "direct"\nunit = "notch"\neffect = { caster = 0.5 }\nsmallest_step = 1',
         "2 notches more"),
        ('kind = "direct"\neffect = { caster = -1.0 }', "1 unit less"),
        ('kind = "strut rod"\ngives = "more caster"', "is not known well enough: move it a little"),
        ('kind = "direct"\nunit = "turn"\neffect = { caster = 3.0 }\nsmallest_step = 1',
         "less than half of the smallest step"),
    ],
)  # fmt: skip
def test_each_kind_is_told_in_its_own_words(adjuster: str, words: str) -> None:
    text = said(
        HEAD, GOALS, f'[[adjuster]]\nwheel = "left_front"\nname = "it"\n{adjuster}\n',
        fronts((3, -0.5), (4, -0.5)),
    )  # fmt: skip
    assert words in text[text.index("1. Caster.") : text.index("2. Camber.")]


def test_a_job_with_goals_but_no_reading_asks_for_it() -> None:
    text = said(HEAD, GOALS, ROD, "[[pass]]\nturn.left = { inner = 20, outer = 18 }\n")
    assert "Caster. Read left front caster first: no pass has it." in text
    assert "3. Front toe, last. Read toe; then the tie rods." in text


def test_turns_that_cannot_be_compared() -> None:
    turns = "turn.left = { inner = 20, outer = 18 }\nturn.right = { inner = 25, outer = 21 }\n"
    assert "not turned equally far" in said(HEAD, "[[pass]]\n", turns)
    bare = HEAD.replace("track = 1500\n", "")
    text = said(bare, "[[pass]]\n", turns.splitlines()[0] + "\n")
    assert "needs track, wheelbase" in text


def test_a_job_of_strings_alone_hears_nothing_of_caster() -> None:
    tape = "[[pass]]\n[pass.tape.front]\nfront_edge = 1400\nrear_edge = 1402\n"
    text = said(HEAD, tape)
    assert "Order of work" not in text
    assert "How camber" not in text


def test_toe_out_on_turns_beside_ackermann() -> None:
    """Inner 20 degrees, wheelbase 2.6, track 1.5: outer 16.7416 (ISO 8855:2011, 7.1.9)."""
    turns = "turn.left = { inner = 20, outer = 16.7 }\nturn.right = { inner = 20, outer = 18.5 }\n"
    text = said(HEAD, fronts((4, 0), (4, 0), FLOOR + turns))
    left, right = (
        next(line.split() for line in text.splitlines() if line.startswith(f"To the {side}"))
        for side in ("left", "right")
    )
    assert left[3:6] == ["20.0°", "16.7°", "3.30°"]
    assert left[-1] == right[-1] == "3.26°"
    assert right[5] == "1.50°"
    assert "The sides differ by 1.80°" in text


def test_assumptions_of_gauge_and_floor_are_told() -> None:
    sweep = "sweep = [{ steer = 20, camber = 1.5 }, { steer = -20, camber = -1.5 }]\n"
    bare = f"\n[[pass]]\n[pass.inclinometer.left_front]\ncamber = 0\n{sweep}"
    text = said(HEAD, bare)
    assert "The floor is level within" in text
    assert "from left to right under the front axle, and from front to rear over the" in text
    assert "The inclinometer's zero is right within 0.20°" in text
    assert "The steering axis leans inwards by 5 to 18°" in text
    plates = "turn_plates = { resolution = 0.1, repeatability = 0.1 }\n"
    unstated = said(HEAD.replace(plates, "").replace("inclinometer = {", "tape = {"), bare)
    for name, was, repeat in (
        ("turn plates", "were", "repeat"), ("inclinometer", "was", "repeats")
    ):  # fmt: skip
        assert re.search(rf"The {name} {was} read to \S+ and {repeat} within", unstated), unstated
    given = HEAD.replace("track", "steering_axis_inclination = 12\ntrack")
    text = said(given, bare)
    assert "lean inwards by 12.0° (left) and 12.0° (right), as the job gives it" in text
    shown = "\n[[pass]]\n" + FLOOR + "[pass.inclinometer.left_front]\ncaster = [4, 4.1]\n"
    assert "The gauge that shows caster was swept 20° each way" in said(HEAD, shown)


@pytest.mark.parametrize(("swept", "assumed"), [("left", False), ("right", True), ("both", True)])
def test_inclination_given_on_one_side_alone_is_assumed_on_the_other(swept, assumed) -> None:
    sweep = "sweep = [{ steer = 20, camber = 1.5 }, { steer = -20, camber = -1.5 }]\n"
    given = HEAD.replace("track", "steering_axis_inclination = { left = 12 }\ntrack")
    sides = ("left", "right") if swept == "both" else (swept,)
    text = "\n[[pass]]\n" + "".join(f"[pass.inclinometer.{s}_front]\n{sweep}" for s in sides)
    solution = solve(loads(given + text, "invented"))
    told = " ".join(result(solution, correct(solution))["passes"][0]["assumed"])
    for words in (told, said(given, text)):
        assert "The steering axis leans inwards by 12.0° (left), as the job gives it" in words
        assert ("The steering axis on the right leans inwards by 5 to 18°" in words) == assumed
        assert words.count("5 to 18°") == assumed


@pytest.mark.parametrize(
    ("camber", "words"),
    [
        (-0.5, "2. Camber. Leave it: within its goals."),
        (-2.5, "2. Camber. It is outside its goal, and the job has no [[adjuster]] for camber"),
        (-0.7, "2. Camber. The job has no [[adjuster]] for camber: if it is outside its goal"),
    ],
)
def test_without_an_adjuster_the_goal_tells_what_to_do(camber: float, words: str) -> None:
    assert words in said(HEAD, GOALS, ROD, fronts((4, camber), (4, -0.5)))
