"""The rear: set first where it can be, told as it stands where not."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from tests.simulate import Perfect, SimulatedCar
from tests.solve.simulated import job_of
from toebox.correct import correct
from toebox.correct.results import PassCorrection
from toebox.job.model import Goal, Job
from toebox.report.json import result
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.solve import solve

CROOKED = SimulatedCar(
    toe={"left_front": 0.006, "right_front": 0.002, "left_rear": 0.010, "right_rear": -0.004},
    yaw=0.002,
    taper=0.001,
)
GOALS = {
    "total_toe.front": Goal(0.002, 0.001),
    "total_toe.rear": Goal(0.004, 0.001),
    "thrust_angle": Goal(0.0, 0.001),
    "steering_wheel": Goal(0.0, 0.02),
}


def job(car: SimulatedCar = CROOKED, **car_changes: Any) -> Job:
    made = job_of(car, repeats=2, goals=GOALS)
    return made._replace(car=made.car._replace(**car_changes))


def told(job: Job) -> PassCorrection:
    return correct(solve(job))[-1]


def words(job: Job) -> str:
    solution = solve(job)
    return " ".join(render_text(make_view(solution, correct(solution)), 100).split())


def test_rear_wheels_are_set_to_half_each_and_the_front_to_the_line_they_then_give() -> None:
    found = told(job(rear_toe_adjustable=True))
    assert [wheel.justified for wheel in found.rear] == [True, True]
    changes = {f"{wheel.side}_rear": wheel.toe_change for wheel in found.rear}
    changes |= {f"{rod.side}_front": rod.toe_change for rod in found.rods}
    after = CROOKED.adjusted(**changes)
    truth = after.truth()
    assert truth["total_toe.rear"] == pytest.approx(0.004, abs=2e-4)
    assert truth["thrust_angle"] == pytest.approx(0.0, abs=2e-4)
    assert truth["total_toe.front"] == pytest.approx(0.002, abs=2e-4)
    assert truth["steering_wheel"] == pytest.approx(0.0, abs=4e-3)
    strings = after.string_readings(Perfect(), 1, hub=False)
    for wheel in found.rear:
        read = strings[f"{wheel.side}_rear"]
        assert wheel.stop_at_string == pytest.approx(read["front"][0] - read["rear"][0], abs=2e-4)
    assert found.rear_stays is None


def test_where_the_rear_stays_the_front_is_set_to_the_thrust_line() -> None:
    found = told(job())
    assert found.rear == ()
    after = CROOKED.adjusted(**{f"{r.side}_front": r.toe_change for r in found.rods})
    truth = after.truth()
    assert truth["total_toe.front"] == pytest.approx(0.002, abs=2e-4)
    assert truth["steering_wheel"] == pytest.approx(0.0, abs=4e-3)
    half, thrust = 0.001, truth["thrust_angle"]
    assert after.toe["left_front"] == pytest.approx(half + thrust, abs=2e-4)
    assert after.toe["right_front"] == pytest.approx(half - thrust, abs=2e-4)
    text = words(job())
    assert "not say that it can be adjusted (car.rear_toe_adjustable)" in text
    assert "look for a bent part or a worn bush" in text
    assert "relative to the thrust line" in text


def test_a_rear_that_is_right_is_left() -> None:
    straight = SimulatedCar(
        toe={"left_front": 0.003, "right_front": 0.003, "left_rear": 0.002, "right_rear": 0.002}
    )
    found = told(job(straight, rear_toe_adjustable=True))
    assert [wheel.justified for wheel in found.rear] == [False, False]
    assert "leave it" in words(job(straight, rear_toe_adjustable=True))


@pytest.mark.parametrize("turn", [0.004, -0.006])
def test_a_solid_axle_that_stands_askew(turn: float) -> None:
    """A rigid axle is turned about the vertical, to the right where `turn` is positive."""
    track = 1.48
    ends = Rotation.from_rotvec([0.0, 0.0, -turn]).apply([[0, track / 2, 0], [0, -track / 2, 0]])
    bases = {
        f"wheelbase_{side}": (float(CROOKED.wheelbase - end[0]),)
        for side, end in zip(("left", "right"), ends, strict=True)
    }
    toes = {"left_front": 0.0, "right_front": 0.0, "left_rear": turn, "right_rear": -turn}
    solid = job(
        SimulatedCar(toe=toes),
        rear_axle="solid",
        rear_toe_adjustable=True,  # a slip of the job: no solid axle has it
        track={"rear": track},
    )
    solid = solid._replace(passes=(solid.passes[0]._replace(**bases),))
    found = told(solid)
    assert found.rear == ()
    stays = found.rear_stays
    assert stays is not None
    assert stays.solid
    assert stays.proven
    behind = float(ends[0][0] - ends[1][0])
    assert stays.axle_shift == pytest.approx(behind, abs=2e-4)
    assert stays.shift_by_wheelbases == pytest.approx(behind, abs=1e-12)
    text = words(solid)
    side = "right" if turn > 0 else "left"
    assert "The rear axle is solid" in text
    assert f"its {side} end stands" in text
    assert "they agree" in text
    assert np.sign(found.rods[0].toe_change - found.rods[1].toe_change) == np.sign(turn)
    even = solid.passes[0]._replace(wheelbase_left=(2.6,), wheelbase_right=(2.6,))
    assert "they do not agree" in words(solid._replace(passes=(even,)))


def test_a_solid_axle_without_track_or_thrust() -> None:
    stays = told(job(rear_axle="solid")).rear_stays
    assert stays is not None
    assert stays.axle_shift is None
    assert "whole axle standing askew" in words(job(rear_axle="solid"))
    taped = job(rear_axle="solid")._replace(
        passes=(job_of(CROOKED, what=("tape",)).passes[0],),
    )
    stays = told(taped).rear_stays
    assert stays is not None
    assert stays.thrust is None
    assert math.isfinite(told(taped).rods[0].toe_change)


@pytest.mark.parametrize(("longer", "side"), [(0.004, "right"), (-0.004, "left")])
def test_what_the_wheelbases_say_of_a_solid_axle_stands_apart(longer: float, side: str) -> None:
    """Thrust 0.006 over a track of 1.48 m: 8.9 mm; by the wheelbases the right is `longer`."""
    toes = {"left_front": 0.0, "right_front": 0.0, "left_rear": 0.006, "right_rear": -0.006}
    solid = job(SimulatedCar(toe=toes), rear_axle="solid", track={"rear": 1.48})
    bases = {"wheelbase_left": (2.6,), "wheelbase_right": (2.6 + longer,)}
    solid = solid._replace(passes=(solid.passes[0]._replace(**bases),))
    text = words(solid)
    assert re.search(r"By its thrust angle its right end stands \S+ in \(8\.9 mm\) behind", text)
    assert re.search(rf"The two wheelbases say \S+ in \(4\.0 mm\), the {side} end", text)
    solution = solve(solid)
    stays = result(solution, correct(solution))["passes"][-1]["turning"]["rear_stays"]
    assert stays["axle_shift_mm"] == pytest.approx(8.9, abs=0.2)
    assert stays["axle_shift_by_wheelbases_mm"] == pytest.approx(1000.0 * longer)


def test_the_front_waits_where_a_rear_wheel_is_bent_or_misread() -> None:
    """A line that nobody believes is none to set the front wheels along."""
    bent = replace(CROOKED, toe={**CROOKED.toe, "right_rear": math.radians(4.0)})
    found = told(job(bent, rear_toe_adjustable=True))
    assert [wheel.withheld for wheel in found.rear] == ["beyond"] * 2
    assert [(rod.withheld, rod.turns, rod.to_set) for rod in found.rods] == [
        ("rear", None, False)
    ] * 2
    assert not found.to_turn
    text = words(job(bent, rear_toe_adjustable=True))
    for side in ("Left", "Right"):
        assert f"{side} tie rod: do not turn it before the fault at the rear wheels" in text
    # Nobody is told of that fault where the rear is not to be set: the car runs as it does.
    assert all(not rod.withheld for rod in told(job(bent)).rods)
