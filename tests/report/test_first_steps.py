"""The steps in an order that is safe and saves work: doubts first, tight nuts before the spline."""

from __future__ import annotations

import pytest

from tests.report.test_told import CAR, GOALS, RODS, strings, told
from toebox.job import loads
from toebox.report.view.known import known
from toebox.solve import solve

LOOK = "Look first at what the report lists under 'Values that look unusual'."
PASS = "[[pass]]\n"
TURNED = 'turned = { left = "1 lengthen", right = "1 lengthen" }\n'
SWEPT = """[goal.caster]
left_front = { angle = 4, tolerance = 0.5 }
[[pass]]
inclinometer.left_front.sweep = [
    { steer = "20 out", camber = -1.0 }, { steer = "20 in", camber = 1.75 },
]
"""


def first(text: str) -> str:
    """Return the first step of the first list."""
    return text[text.index("1. ") + 3 :].partition("\n")[0]


def test_what_looks_unusual_comes_before_a_gear_that_only_seems_off() -> None:
    """One wheel read in inches: nothing is turned, and the steering wheel is nowhere near there."""
    inches = strings(-2.0, 3.0).replace(
        "right_rear = { front = [100.0, 100.0]", "right_rear = { front = [3.94, 3.94]"
    )
    text = told(CAR, GOALS, RODS, PASS, inches)
    assert "do not turn it" in text
    assert first(text).startswith(LOOK)
    assert text.index(LOOK) < text.index("The steering wheel is far off centre")
    assert "The tie rods below are right only if" not in text
    assert "If the gear is not in its middle now, the steering wheel sits on" in text


def test_what_looks_unusual_comes_before_the_manual_is_asked() -> None:
    """Caster of less than nothing: its sweep is turned round, and no adjuster could mend it."""
    text = told(CAR, SWEPT)
    assert "is one turned round?" in text
    assert first(text).startswith(LOOK)
    assert text.count(LOOK) == 1
    assert f"{LOOK} It is this one: pass[1].inclinometer.left_front: caster would be about" in text
    right = SWEPT.replace('"20 out"', '"20 left"').replace('"20 in"', '"20 out"')
    right = right.replace('"20 left"', '"20 in"')
    assert LOOK not in told(CAR, right)


def test_nuts_are_tight_before_the_steering_wheel_comes_off() -> None:
    """A wheel on the wrong spline is moved last, but not over loose rods."""
    counted = "turns_to_lock = { left = 1.625, right = 1.375 }\n"
    text = told(CAR, GOALS, RODS, PASS, counted, strings(4.0, -3.0))
    last = [
        text.index(words)
        for words in (
            "Right tie rod: ",
            "Tighten the jam nuts or clamps.\n",
            "the wheels set and the nuts tight, move the steering wheel on its spline",
            "Roll the car back, then forward by a full turn of its wheels",
        )
    ]
    assert last == sorted(last)


@pytest.mark.parametrize(
    ("by", "said"),
    [
        (0.0, "The toe hardly moved: was this rod turned at all?"),
        (-5.0, "The toe went the other way"),
    ],
)
def test_a_rod_that_did_not_move_is_not_said_to_have_gone_the_other_way(by, said) -> None:
    text = told(CAR, GOALS, RODS, PASS, strings(-2.0, -2.0), PASS, TURNED, strings(by - 2, by - 2))
    assert "No turns are told for it until the cause is found" in text
    for words in ("The toe hardly moved", "The toe went the other way"):
        assert (words in text) == said.startswith(words)


def test_a_step_of_the_rule_is_no_wobble() -> None:
    true, left = strings(-3.0, -3.0), "left_front = {{ front = [{}, {}]"
    step, more = (
        true.replace(left.format(98.5, 98.5), left.format(98.5 + by, 98.5 - by))
        for by in (0.1, 0.6)
    )
    alike = "so true that valve up and valve down differ by no more than readings do: stop at the"
    assert f"Both front rims run {alike}" in told(CAR, GOALS, RODS, PASS, step)
    text = told(CAR, GOALS, RODS, PASS, more)
    assert f"The right front rim runs {alike}" in text
    assert "Left front wheel: its rim wobbles." in text


def test_half_a_wheel_is_not_told_as_known() -> None:
    """One edge of the fourth wheel gives its axle's toe within 4 degrees: no news while typing."""
    whole = strings(-3.0, -3.0)
    half = whole.replace(", rear = [100.0, 100.0] }\nfront_bar", " }\nfront_bar")
    toes = {"total_toe.rear", "thrust_angle"}
    for read, told_of in ((half, set()), (whole, toes)):
        job = loads(CAR + PASS + read, "invented")
        (solved,) = solve(job).passes
        assert toes <= set(solved.results)
        assert toes & set(known(solved, job)) == told_of
