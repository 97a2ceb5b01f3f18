"""What is told where little is known, where it is not safe, and where words could mislead."""

from __future__ import annotations

import pytest

from tests.correct.test_adjuster_plan import CAM, HEAD, ROD, one_pass, solved
from tests.report.test_told import CAR, GOALS, RODS, data, strings, tape, told
from toebox.correct import correct
from toebox.correct.adjusters import plan_adjusters
from toebox.job import loads
from toebox.job.keys import HINTS
from toebox.report.text import render_text
from toebox.report.view.helps import WORDS as HELPS
from toebox.report.view.whole import make_view
from toebox.solve import solve

ENDS = RODS.replace("arm_length = 130\n", "")
ASKEW = "[[pass]]\n" + strings(-2.0, 2.0)


def test_thread_engaged_is_not_foretold_where_nobody_knows_the_turns() -> None:
    """Without the arm's length only the reading says how far to turn."""
    found = data(CAR, GOALS, ENDS, ASKEW)
    for side in ("left", "right"):
        assert found["corrections"][side]["turns"] is None
        end = found["corrections"][side]["engagement"]["outer"]
        assert (end["before_mm"], end["after_mm"]) == (30.0, None)
        assert end["below_one_diameter"] is None
    assert found["turning"]["engagement_left_minus_right_mm"] is None
    text = told(CAR, GOALS, ENDS, ASKEW)
    assert "▽ stop before one diameter" in text
    assert "● enough" not in text
    short = ENDS.replace("outer_engaged = 30", "outer_engaged = 13")
    end = data(CAR, GOALS, short, ASKEW)["corrections"]["left"]["engagement"]["outer"]
    assert (end["after_mm"], end["below_one_diameter"]) == (None, True)
    known = data(CAR, GOALS, RODS, ASKEW)["corrections"]["left"]["engagement"]["outer"]
    assert known["after_mm"] != 30.0
    assert known["below_one_diameter"] is False
    assert "● enough" in told(CAR, GOALS, RODS, ASKEW)


@pytest.mark.parametrize(("engaged", "unsafe"), [(6.9, True), (7.1, False)])
@pytest.mark.parametrize("readings", [strings(-2.0, 2.0), strings(0.6, 0.6)])
def test_thread_that_is_not_safe_to_drive_on_is_the_first_step(
    engaged: float, unsafe: bool, readings: str
) -> None:
    rods = RODS.replace("outer_engaged = 30", f"outer_engaged = {engaged}")
    text = told(CAR, GOALS, rods, f"[[pass]]\n{readings}")
    steps = text[text.index("What to do next") :]
    assert ("1. Stop: the outer end of the left tie rod has 6.9 mm" in steps) == unsafe
    assert ("The car is not safe to drive: find out why before anything else." in text) == unsafe
    assert "less than one diameter of 14.0 mm" in text


def told_of(*parts: str) -> str:
    solution = solved(*parts)
    return render_text(make_view(solution, correct(solution)), 2000)


CASTER = "[goal]\ncaster.left_front = { angle = 4, tolerance = 0.3 }\n"
CAMBER = "camber.left_front = { angle = -0.5, tolerance = 0.2 }\n"


def test_what_comes_first_is_said_where_the_steps_for_toe_begin() -> None:
    first = "First do what stands under 'Order of work'. It moves toe: read it again in a new pass"
    taped = one_pass(3.0, -0.5) + tape(2.0)
    moves = told_of(HEAD, CASTER, "front_total_toe.angle = 0\n", ROD, taped)
    assert moves.index("What to do next") < moves.index(first)
    right = taped.replace("caster = 3.0", "caster = 4.0")
    assert first not in told_of(HEAD, CASTER, "front_total_toe.angle = 0\n", ROD, right)
    assert first not in told_of(HEAD, CASTER, ROD, one_pass(3.0, -0.5))  # nothing follows


def test_a_cam_is_said_to_stand_at_its_middle_unless_the_job_says_where() -> None:
    said = "Cam stood at its middle before anything was moved (position 0, or not stated)"
    assert said in told_of(HEAD, CASTER, CAMBER, ROD, CAM, one_pass(3.0, -0.5))
    placed = CAM.replace("lever_arm", "position = 20\nlever_arm")
    assert said not in told_of(HEAD, CASTER, CAMBER, ROD, placed, one_pass(3.0, -0.5))
    assert "Rod stood at its middle" not in told_of(HEAD, CASTER, ROD, one_pass(3.0, -0.5))


@pytest.mark.parametrize(("moved", "said"), [("?", True), ("1 shorten", False)])
def test_a_move_that_nobody_counted_leaves_the_room_in_doubt(moved: str, said: bool) -> None:
    free = ROD.replace("room = { lengthen = 3, shorten = 6 }\n", "")
    for rod, told_so in ((ROD, said), (free, False)):
        later = one_pass(3.2, -0.5, f'rod = "{moved}"')
        words = told_of(HEAD, CASTER, rod, one_pass(3.0, -0.5), later)
        assert ("Rod may have been moved where a pass leaves it open" in words) == told_so


@pytest.mark.parametrize(
    ("turned", "lost"), [('cam = "?"', True), ('cam = "80 anticlockwise"', False)]
)
def test_a_cam_is_not_moved_where_nobody_knows_where_it_stands(turned: str, lost: bool) -> None:
    """Beyond its top the same turn does the opposite: 6 / 300 times the sine of its angle."""
    cam = CAM + "room = { clockwise = 90, anticlockwise = 90 }\n"
    goal = "[goal]\ncamber.left_front = { angle = -1.6, tolerance = 0.2 }\n"
    parts = HEAD, goal, cam, one_pass(3.0, 0.5), one_pass(3.0, -0.63, turned)
    words = told_of(*parts)
    assert ("Where cam stands is not known, since a pass does not say how far" in words) == lost
    assert ("leave it: effect unknown where it stands" in words) == lost
    (move,) = plan_adjusters(solved(*parts)).moves
    assert (move.known, move.amount) == ((False, 0.0) if lost else (True, -10.0))
    assert move.at_limit != lost


@pytest.mark.parametrize(
    ("turned", "said"),
    [
        ('right = "1/2 shorten"', "Pass 2 says nothing of the left tie rod: taken as not turned."),
        ('left = "1/2 shorten", right = "?"', ""),
        ('left = "1/2 shorten", right = "not turned"', ""),
    ],
)
def test_a_rod_that_a_pass_does_not_name_is_said_to_be_taken_as_not_turned(turned, said) -> None:
    later = f"[[pass]]\nturned = {{ {turned} }}\n" + strings(-1.0, 2.0)
    text = told(CAR, GOALS, RODS, ASKEW, later)
    assert (said or "taken as not turned") in text if said else "taken as not turned" not in text


def test_what_is_written_as_not_known_is_not_asked_for_again() -> None:
    first = "[[pass]]\n" + tape(3.0)
    asked = "Write first what was turned before this pass"
    open_ = '[[pass]]\nturned = { left = "?", right = "?" }\n'
    assert asked not in told(CAR, GOALS, RODS, first, open_ + tape(1.0))
    assert asked in told(CAR, GOALS, RODS, first, "[[pass]]\n" + tape(1.0))


def test_one_setting_or_several_are_to_be_read_again() -> None:
    moved = one_pass(3.5, -0.5, 'rod = "1 shorten"').partition("[pass.inc")[0]
    parts = HEAD, CASTER, CAMBER, ROD, CAM, one_pass(3.0, -0.5), moved
    text = told_of(*parts)
    assert "Read left front caster again first: a later turn has moved it, or may have." in text
    both = CASTER + "caster.right_front = { angle = 4, tolerance = 0.3 }\n"
    right = ROD.replace("left_front", "right_front").replace('"rod"', '"other"')
    first = one_pass(3.0, -0.5) + "[pass.inclinometer.right_front]\ncaster = 3\n"
    last = moved.replace('"1 shorten"', '"1 shorten", other = "1 shorten"')
    text = told_of(HEAD, both, ROD, right, first, last)
    wanted = "Read left front caster and right front caster again first: a later turn has moved"
    assert f"{wanted} them, or may have." in text


def test_what_is_kept_may_still_be_moved_by_rounding() -> None:
    goals = GOALS.replace("tolerance = 4", "tolerance = 1").replace("0.12", "0.3")
    car = CAR.replace("repeatability = 0.1 }\ntape", "repeatability = 0.4 }\ntape")
    text = told(car, goals, RODS, "[[pass]]\n", strings(-0.7, -0.5), tape(0.0))
    kept = next(line for line in text.splitlines() if "Kept as it is, because no change" in line)
    assert kept.endswith("; rounded turns move it a little all the same.")


def test_a_goal_narrower_than_its_interval_is_said_to_be_so() -> None:
    """Nearer the middle of such a goal nothing could be proven either."""
    narrow = "[goal]\nfront_total_toe = { angle = 0, tolerance = 0.005 }\n"
    text = told(CAR, narrow, "[[pass]]\n", tape(0.0))
    assert "the goal is narrower than that, so that these readings prove nothing within it" in text
    assert "only nearer the middle of its goal" not in text
    wide = "[goal]\nfront_total_toe = { angle = 0, tolerance = 0.1 }\n"
    text = told(CAR, wide, "[[pass]]\n", tape(1.0))
    assert "too near for measuring to settle; only nearer the middle of its goal could" in text
    assert "the goal is narrower" not in text


def test_a_list_counts_as_steps_of_a_turn_and_every_word_on_it_says_so() -> None:
    def half(readings: str, runout: str) -> float:
        job = (
            'length_unit = "mm"\ncar.rim_diameter = 400\ncar.track = 1500\n'
            f'instruments.rim_runout = "{runout}"\n'
            "instruments.inclinometer = { resolution = 0.1, repeatability = 0.1 }\n"
            f'[[pass]]\nlabel = "x"\ninclinometer.left_rear.camber = {readings}\n'
        )
        return solve(loads(job, "list.toml")).passes[0].results["camber.left_rear"].u

    assert half("-1.0", "3 mm") > 1.5 * half("-1.0", "0.1 mm")
    assert half("[-1.0, -1.0, -1.0]", "3 mm") == pytest.approx(
        half("[-1.0, -1.0, -1.0]", "0.1 mm"), rel=1e-2
    )
    assert "rolled on by an equal part of a turn" in HINTS["pass.inclinometer.camber"]
    assert "rolled on half a turn" in HELPS["gauge_again"]


@pytest.mark.parametrize(
    ("unit", "size", "words"),
    [
        ("in", "1/64 in", "1/64 in"),
        ("in", "0.1 mm", "0.1 mm"),
        ("in", "0.25 mm", "0.25 mm"),
        ("in", "0.003 in", "0.003 in"),
        ("in", "0.05 in", "0.05 in"),
        ("in", "0.125 mm", "0.125 mm"),
        ("mm", "0.015 mm", "0.015 mm"),
        ("mm", "0.05 mm", "0.05 mm"),
        ("mm", "2 mm", "2 mm"),
        ("mm", "1/64 in", "0.4 mm"),
    ],
)
def test_a_size_that_was_stated_is_told_as_it_was_stated(unit: str, size: str, words: str) -> None:
    """No 0.1 mm as 0 in, nor 0.05 mm as 0.1 mm."""
    wheels = ("left_front", "right_front", "left_rear", "right_rear")
    text = told(
        f'length_unit = "{unit}"\n',
        '[car]\nwheelbase = "2500 mm"\ntrack = "1500 mm"\nrim_diameter = "400 mm"\n',
        f'[instruments]\nrim_runout = "{size}"\n',
        "[[pass]]\n[pass.string]\n",
        *(f'{wheel} = {{ front = "100 mm", rear = "100 mm" }}\n' for wheel in wheels),
        f'[tie_rods]\narm_length = "130 mm"\narm_length_within = "{size}"\n',
    )
    assert f"No rim runs out sideways by more than {words} from" in text
    assert f"The steering arm is 130 mm long within {words}; " in text
