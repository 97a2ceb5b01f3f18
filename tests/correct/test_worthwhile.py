"""From which part of a step on an adjuster is moved, through a whole job."""

from __future__ import annotations

import itertools

import pytest

from tests.report.test_told import told
from toebox.correct import correct
from toebox.job import loads
from toebox.report.json import result
from toebox.solve import solve

HEAD = """
length_unit = "mm"
[car]
wheelbase = 2500
rim_diameter = 400
[instruments]
inclinometer = {{ resolution = 0.1, repeatability = {} }}
[goal]
camber.left_front = {{ angle = -1, tolerance = {} }}
"""
SHIMS = """
[[adjuster]]
wheel = "left_front"
kind = "direct"
name = "{}"
gives = "top out"
unit = "shim"
effect = {{ camber = {}, toe = 0, caster = 0 }}
smallest_step = 1
"""
READ = """
[[pass]]
[pass.inclinometer.left_front]
camber = [{0}, {0}]
camber_turned = [{0}, {0}]
"""
NO_STEP = "Camber. One step would bring it no nearer by more than the readings tell: leave it."


def amounts(*parts: str) -> dict[str, float]:
    solution = solve(loads("".join(parts), "invented"))
    moves = result(solution, correct(solution))["adjusters"]["moves"]
    return {move["name"]: move["amount"] for move in moves}


@pytest.mark.parametrize(
    ("camber", "tolerance", "amount"),
    [
        (-0.70, 0.35, 0.0),  # 0.30 of 0.5 off, within its tolerance: nearer by 0.10 alone
        (-0.70, 0.25, 1.0),  # from outside to within
        (-0.60, 0.45, 1.0),  # 0.40 of 0.5: nearer by 0.30
        (-0.78, 0.15, 0.0),  # less than half a step, and no better on the other side
    ],
)
def test_a_step_that_hardly_serves_is_not_told(
    camber: float, tolerance: float, amount: float
) -> None:
    job = HEAD.format(0.12, tolerance), SHIMS.format("shims", 0.5), READ.format(camber)
    assert amounts(*job) == {"shims": amount}


def test_why_is_told() -> None:
    job = HEAD.format(0.12, 0.35), SHIMS.format("shims", 0.5), READ.format(-0.70)
    text = told(*job)
    assert NO_STEP in text
    assert "no step is worth while" not in text  # it is within its tolerance
    assert "out of reach" not in text
    sharp = HEAD.replace("[goal]", "rim_runout = 0\nfloor_level_within = 0\n[goal]")
    less = told(sharp.format(0.05, 0.05), SHIMS.format("shims", 0.5), READ.format(-0.8))
    assert "What is missing is less than half of the smallest step: leave it." in less
    assert "no step is worth while" in less
    assert "out of reach" not in less


def test_the_order_of_adjusters_in_the_file_is_no_matter() -> None:
    """The coarse one has the room; the fine one, for the same camber, has none."""
    fine = SHIMS.format("fine", 0.1) + "room = { more = 0, less = 0 }\n"
    fine = fine.replace('unit = "shim"', 'unit = "notch"')
    coarse = SHIMS.format("coarse", 0.5)
    found = [
        amounts(HEAD.format(0.05, 0.3), *order, READ.format(-0.66))
        for order in itertools.permutations((fine, coarse))
    ]
    assert found[0] == found[1]
    assert found[0] == {"fine": 0.0, "coarse": 1.0}


def test_another_wheel_s_uncertainty_is_no_matter() -> None:
    """The right wheel is read once, the gauge not turned: it is known far less surely."""
    both = HEAD.format(0.05, 0.35) + "camber.right_front = { angle = -1, tolerance = 3 }\n"
    right = SHIMS.format("on the right", 0.5).replace("left_front", "right_front")
    blurred = "[pass.inclinometer.right_front]\ncamber = -0.2\n"
    job = both, SHIMS.format("on the left", 0.5), right, READ.format(-0.63), blurred
    assert amounts(*job)["on the left"] == 1.0
