"""What changed between two passes without a turn that would change it is doubted."""

from __future__ import annotations

import numpy as np
import pytest

from tests.report.test_over_passes import CAMS, edge
from tests.report.test_told import CAR, GOALS, RODS, strings, tape, told
from tests.simulate import SimulatedCar
from tests.solve.simulated import job_of, noise, pass_of
from toebox.job import loads
from toebox.solve import solve

FIRST = "[[pass]]\n" + strings(edge(0.1), edge(0.1))


def doubts(*parts: str) -> tuple[str, ...]:
    return solve(loads("".join(parts), "invented")).job.doubts


def later(right: float, turned: str = "") -> str:
    return f"[[pass]]\n{turned}" + strings(edge(0.1), edge(right))


def test_a_turn_that_was_left_out_is_asked_for() -> None:
    (doubt,) = doubts(CAR, GOALS, RODS, FIRST, later(0.5))
    assert doubt == (
        "pass[2]: total toe front: not as before, by more than the readings allow for, though the "
        "job tells of no turn that moves that; was one left out of turned, or is a reading a slip?"
    )
    text = told(CAR, GOALS, RODS, FIRST, later(0.5))
    assert "Look first at what the report lists under 'Values that look unusual'." in text
    assert f"- {doubt}" in text


def test_a_pass_whose_own_readings_do_not_fit_is_named_first() -> None:
    """0.6 degrees by the strings, 0.2 by the tape and all later readings: no turn was left out."""
    slipped = "[[pass]]\n" + strings(edge(0.3), edge(0.3)) + tape(600.0 * edge(0.2) / 400.0)
    (doubt,) = doubts(CAR, GOALS, RODS, slipped, later(0.1))
    assert "look first at pass[1], where readings do not fit" in doubt
    assert "left out" not in doubt


def test_what_a_turn_explains_is_not_doubted() -> None:
    turned = 'turned = { right = "1/2 lengthen" }\n'
    assert doubts(CAR, GOALS, RODS, FIRST, later(0.5, turned)) == ()
    assert doubts(CAR, GOALS, RODS, FIRST, later(0.12)) == ()
    assert doubts(CAR, GOALS, RODS, FIRST, later(0.5, turned.replace("right", "left"))) == ()


def test_it_is_compared_with_the_pass_that_read_it_last() -> None:
    between = "[[pass]]\ninclinometer.left_front.camber = 0\n"
    (doubt,) = doubts(CAR, GOALS, RODS, FIRST, between, later(0.5))
    assert doubt.startswith("pass[3]: total toe front: not as before")
    turned = between + 'turned = { right = "1/2 lengthen" }\n'
    assert doubts(CAR, GOALS, RODS, FIRST, turned, later(0.5)) == ()


def test_rear_wheels_are_set_without_a_word_where_they_can_be() -> None:
    rear = "[[pass]]\n" + strings(edge(0.1), edge(0.1), (edge(0.4), edge(-0.4)))
    (doubt,) = doubts(CAR, GOALS, FIRST, rear)
    assert doubt.startswith("pass[2]: toe left rear and toe right rear: not as before")
    assert doubts(CAR.replace("adjustable = false", "adjustable = true"), GOALS, FIRST, rear) == ()
    # With an adjuster for each of them the passes tell what was moved.
    assert len(doubts(CAR, GOALS, CAMS, FIRST, rear)) == 2  # the flag is doubted too
    moved = rear.replace("[[pass]]\n", '[[pass]]\nturned = { "left cam" = "20 clockwise", '
                         '"right cam" = "20 anticlockwise" }\n')  # fmt: skip
    assert len(doubts(CAR, GOALS, CAMS, FIRST, moved)) == 1


def road(degrees: int, more: str = "") -> str:
    """A pass of the tape and the road test alone."""
    return f'[[pass]]\n{more}steering_wheel_off = "{degrees} right"\n' + tape(0.5)


def test_a_steering_wheel_may_have_been_moved_after_its_turns_were_counted() -> None:
    locks = 'turns_to_lock = { left = "1 3/8", right = "1 5/8" }\n'
    assert len(doubts(CAR, GOALS, RODS, road(5), road(15))) == 1
    assert doubts(CAR, GOALS, RODS, road(5, locks), road(15)) == ()
    assert doubts(CAR, GOALS, RODS, road(5, locks), road(5), road(15)) == ()


def test_a_steering_wheel_clamped_otherwise_is_no_turn() -> None:
    """Both wheels stand further to one side: the sum is the same, and so is the car."""
    again = "[[pass]]\n" + strings(edge(0.3), edge(-0.1))
    assert doubts(CAR, GOALS, RODS, FIRST, again) == ()


def test_a_tape_alone_shows_that_something_was_turned() -> None:
    taped = "[[pass]]\n" + tape(0.5), "[[pass]]\n" + tape(8.0)
    (doubt,) = doubts(CAR, GOALS, RODS, *taped)
    assert doubt.startswith("pass[2]: total toe front: not as before")
    rear = [one.replace("tape.front", "tape.rear") for one in taped]
    (doubt,) = doubts(CAR, GOALS, RODS, *rear)
    assert doubt.startswith("pass[2]: total toe rear: not as before")
    free = CAR.replace("adjustable = false", "adjustable = true")
    assert doubts(free, GOALS, RODS, *rear) == ()
    camber = [f"[[pass]]\ninclinometer.left_rear.camber = {found}\n" for found in (-1, -3)]
    assert len(doubts(free, GOALS, *camber)) == 1


@pytest.mark.no_cover
@pytest.mark.parametrize("count", [300])
def test_the_same_car_measured_twice_is_hardly_ever_doubted(count: int) -> None:
    """Five settings, each in one case of a thousand: with what was assumed in common, fewer."""
    false = 0
    for number in range(count):
        rng = np.random.default_rng(number)
        car = SimulatedCar.random(rng)
        what = ("string", "bars", "road_test")
        job = job_of(car, rng, 2, what)
        again = pass_of(car.readings(noise(rng), 2, what), "again")
        false += bool(solve(job._replace(passes=(*job.passes, again))).job.doubts)
    assert false <= 6  # of 300 with a chance of 0.005 each: more than 6 in one of a thousand
