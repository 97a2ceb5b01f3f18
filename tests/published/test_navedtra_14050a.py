"""NAVEDTRA 14050A: set toe first, then centre the steering wheel by equal turns of both tie rods.

Turning both rods by the same amount, one longer and one shorter, leaves total toe alone and moves
the steering wheel.
"""

from __future__ import annotations

import math
import re

import pytest

from tests.job_text import INSTRUMENTS
from tests.mechanisms import Screw, TieRod
from tests.simulate import SIDES, WHEELS, SimulatedCar
from toebox.correct import correct
from toebox.geometry.linkage import toe_change
from toebox.geometry.thrust import front_relative_toe
from toebox.job import loads
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.solve import solve

WAYS = {
    "road test": ("road_test",),
    "road test and tape": ("road_test", "tape"),
    "strings": ("string", "bars"),
}
RODS = """
[tie_rods]
steering_arm = "{arm}"
arm_length = "130 mm"
outer_thread = "M14x1.5"
"""
TOLD = re.compile(
    r"(Left|Right) tie rod: (lengthen|shorten) it by .*?(\d+)°\): turn the rod (anti)?clockwise"
)


def test_equal_turns_centre_the_steering_wheel_and_keep_toe() -> None:
    toes = (0.004, -0.001, 0.0, 0.002)
    car = SimulatedCar(toe=dict(zip(WHEELS, toes, strict=True)))
    total = car.toe["left_front"] + car.toe["right_front"]
    left, right = front_relative_toe(total, car.steering_wheel_off(), car.steering_ratio)
    longer = 0.13 * (right - left) / 2.0  # left rod; the right one is shortened by as much
    centred = car.adjusted(
        left_front=toe_change(0.13, longer, arm_behind=True),
        right_front=toe_change(0.13, -longer, arm_behind=True),
    )
    assert centred.steering_wheel_off() == pytest.approx(0.0, abs=1e-6)
    assert abs(car.steering_wheel_off()) > 0.02
    after = centred.toe["left_front"] + centred.toe["right_front"]
    assert after == pytest.approx(total, abs=1e-15)


@pytest.mark.parametrize("arm", ["behind", "ahead"])
@pytest.mark.parametrize("crooked", ["left", "right"])
@pytest.mark.parametrize("way", WAYS)
def test_what_is_told_turns_both_rods_equally_and_centres_the_wheel(
    way: str, crooked: str, arm: str
) -> None:
    more, less = 0.005, -0.002
    toes = (more, less) if crooked == "left" else (less, more)
    car = SimulatedCar(toe=dict(zip(WHEELS, (*toes, 0.001, 0.001), strict=True)))
    off = car.steering_wheel_off()
    assert (off < math.radians(-3.0)) if crooked == "left" else (off > math.radians(3.0))
    often = INSTRUMENTS.replace("repeatability = 2.0", "repeatability = 0.5")
    job = car.to_toml(what=WAYS[way], instruments=often, extra=RODS.format(arm=arm))
    solution = solve(loads(job, "navedtra.toml"))
    corrections = correct(solution)

    turns = {rod.side: rod.exact_turns or 0.0 for rod in corrections[-1].rods}
    assert turns["left"] == pytest.approx(-turns["right"], rel=1e-3)
    assert 0.2 < abs(turns["left"]) < 0.6
    rods = {
        side: TieRod(side, Screw(0.0015, False), Screw(0.0, False), arm == "behind")
        for side in SIDES
    }
    exactly = {side: rods[side].toe_after(0.0015 * turns[side]) for side in SIDES}
    after = car.adjusted(**{f"{side}_front": change for side, change in exactly.items()})
    assert after.steering_wheel_off() == pytest.approx(0.0, abs=math.radians(0.02))
    assert sum(exactly.values()) == pytest.approx(0.0, abs=2e-5)

    # The words alone, done by a rigid rod with a right-hand thread: to half a flat the same.
    text = " ".join(render_text(make_view(solution, corrections), summary=True).split())
    told = {side.lower(): (what, int(by), anti) for side, what, by, anti in TOLD.findall(text)}
    assert {told[side][0] for side in SIDES} == {"lengthen", "shorten"}
    assert told["left"][1] == told["right"][1]
    done = {}
    for side, (what, by, anti) in told.items():
        longer = rods[side].lengthening((-by if anti else by) / 360.0)
        assert (longer > 0.0) == (what == "lengthen")
        done[f"{side}_front"] = rods[side].toe_after(longer)
    half_a_flat = car.steering_ratio * math.asin(0.0015 / 12.0 / 0.13)
    assert abs(car.adjusted(**done).steering_wheel_off()) < 1.02 * half_a_flat < abs(off) / 3.0
    assert sum(done.values()) == pytest.approx(0.0, abs=2e-5)
