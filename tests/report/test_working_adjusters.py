"""The working of adjusters: every line comes out again, the last ones are what the report tells."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from tests.report.test_working import check_lines, lines_of, worked
from toebox.correct.adjusters import plan_adjusters
from toebox.job import load, loads
from toebox.report.view.words import name_of

SAMPLE = Path(__file__).parents[2] / "samples" / "caster-as-found.toml"
SHIMS = """
length_unit = "mm"
[instruments]
inclinometer = { resolution = 0.01, repeatability = 0.01 }
[goal]
camber.left_front = { angle = -0.5, tolerance = 0.2 }
[[adjuster]]
wheel = "left_front"
kind = "shims"
gives = "top out"
thickness = 1.5
lever_arm = 220
[[adjuster]]
wheel = "left_front"
kind = "direct"
name = "plate"
effect = { camber = 0.6 }
room = { more = 1 }
[[pass]]
[pass.inclinometer.left_front]
camber = -2.5
camber_turned = -2.5
"""


def adjusters_of(job) -> tuple[object, list[str]]:
    solution, sections = worked(job)
    ours = [s for s in sections if s.heading.endswith("the adjusters of caster and camber")]
    assert len(ours) == 1
    return solution, lines_of(ours)


@pytest.mark.parametrize("job", [load(SAMPLE), loads(SHIMS, "invented")], ids=["rods", "shims"])
def test_the_lines_come_out_and_give_what_is_told(job) -> None:
    solution, lines = adjusters_of(job)
    assert check_lines(lines) == len(lines) > 1
    told = {o.name: o for o in plan_adjusters(solution).outcomes}
    checked = 0
    for name, outcome in told.items():
        start = f"{name_of(name)} then: "
        for line in lines:
            if line.startswith(start):
                value = float(line.rpartition(" = ")[2].partition("°")[0])
                then = math.degrees(outcome.goal.value + outcome.remains)
                assert value == pytest.approx(then, abs=2e-3)
                checked += 1
    assert checked == sum(not name.startswith("cross_") for name in told)


def test_nothing_to_move_needs_no_working() -> None:
    _, sections = worked(load(SAMPLE.with_name("caster-and-camber.toml")))
    assert not [s for s in sections if "adjusters" in s.heading]


BOTH_AXLES = """
length_unit = "mm"
[goal]
caster.left_front = { angle = 6, tolerance = 0.3 }
camber.right_rear = { angle = -1.5, tolerance = 0.2 }
[[adjuster]]
wheel = "left_front"
kind = "direct"
name = "front cam"
effect = { caster = 0.3 }
[[adjuster]]
wheel = "right_rear"
kind = "direct"
name = "rear cam"
effect = { camber = 0.25 }
[[pass]]
[pass.inclinometer]
left_front = { caster = 3 }
right_rear = { camber = 0.5 }
"""


def test_caster_in_front_is_worked_out_beside_a_move_at_the_rear() -> None:
    """Ten units of 0.3 degrees more caster, eight of 0.25 degrees towards top in."""
    _, lines = adjusters_of(loads(BOTH_AXLES, "invented"))
    assert check_lines(lines) == len(lines)
    then = [line.rpartition(" = ")[2] for line in lines if " then: " in line]
    assert then == ["6.00000° (top rearwards)", "-1.50000° (top in)"]
