"""The gear's middle and the steering wheel's spline, against a steering column that is turned."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import pytest

from tests.simulate import Perfect, SimulatedCar
from tests.solve.simulated import job_of
from toebox.correct import correct
from toebox.correct.gear import gear_centre
from toebox.job import loads
from toebox.job.model import Goal, Job
from toebox.report.json import result
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.solve import solve

HEAD = """
length_unit = "in"
car.steering_ratio = 16
car.steering_wheel_splines = 36
instruments.road_test = { repeatability = 1 }
instruments.turns_to_lock = { resolution = 5, repeatability = 3 }
[tie_rods]
arm_length = "5 1/4"
outer_thread = "M14x1.5"
smallest_turn = 0.01
[[pass]]
"""


@dataclass(frozen=True)
class Column:
    """A gear that turns from lock to lock, and a steering wheel on one of its teeth.

    Angles of the gear are clockwise from its middle [deg]; the spokes stand at the gear's angle
    less that of the tooth. Tie rods alone say at which angle of the gear the car runs straight.
    """

    tooth: float
    runs_straight_at: float
    lock: float = 540.0

    def spokes(self, gear: float) -> float:
        return gear - self.tooth

    def turns_from_spokes_straight(self) -> tuple[float, float]:
        """Count by turning, a degree at a time, from spokes straight to each lock."""
        counts = []
        for way in (-1.0, 1.0):
            gear, count = self.tooth, 0
            while abs(gear + way) <= self.lock:
                gear, count = gear + way, count + 1
            counts.append(count / 360.0)
        return counts[0], counts[1]

    def job(self) -> Job:
        left, right = self.turns_from_spokes_straight()
        off = self.spokes(self.runs_straight_at)
        side = "right" if off > 0 else "left"
        return loads(
            f'{HEAD}steering_wheel_off = "{abs(off)} {side}"\n'
            f"turns_to_lock = {{ left = {left:.5f}, right = {right:.5f} }}\n",
            "column",
        )

    def put_right(self) -> Column:
        """Return the column after doing all that is told."""
        told = correct(solve(self.job()))[-1]
        assert told.gear is not None
        per_turn = 0.0015 / 0.13335
        toes = [math.asin((rod.turns or 0.0) * per_turn) for rod in told.rods]
        # Front wheels that point further right let the car run straight with the gear further left.
        moved = -16.0 * math.degrees((toes[0] - toes[1]) / 2.0)
        return replace(
            self,
            tooth=self.tooth - math.degrees(told.gear.moved),
            runs_straight_at=self.runs_straight_at + moved,
        )


@pytest.mark.parametrize("tooth", [0.0, 10.0, -10.0, 30.0, -40.0])
@pytest.mark.parametrize("straight", [0.0, 6.0, -15.0, 33.0])
def test_spokes_gear_and_car_end_straight_together(tooth: float, straight: float) -> None:
    after = Column(tooth, straight).put_right()
    # The uncertainty of the count hides less than a tooth; a small crookedness is left unproven.
    assert abs(after.tooth) < 5.0
    assert abs(after.runs_straight_at) < 2.5
    assert abs(after.spokes(after.runs_straight_at)) < 2.5


def test_the_count_tells_the_tooth() -> None:
    job = Column(30.0, 0.0).job()
    gear = gear_centre(job, job.passes[0])
    assert gear is not None
    assert math.degrees(gear.off) == pytest.approx(30.0, abs=0.6)
    assert gear.lock_to_lock == pytest.approx(3.0, abs=0.01)
    assert gear.teeth == 3
    assert math.degrees(gear.moved) == pytest.approx(30.0)
    told = correct(solve(job))[-1]
    assert [rod.direction for rod in told.rods] == ["leave", "leave"]
    text = words(job)
    assert "from either lock, 1 1/2 turns back" in text
    assert "move the steering wheel on its spline by 3 teeth to the right (30.0°)" in text
    assert "airbag" in text


@pytest.mark.parametrize(("repeatability", "waits"), [(10, "met"), (1, "")])
@pytest.mark.parametrize("edge", [0.0, 0.5])
def test_a_steering_wheel_within_its_goal_stays_whatever_the_toe(
    repeatability: int, waits: str, edge: float
) -> None:
    """A count of 22 within 17 degrees, two teeth, sent it to and fro between the passes."""
    goals = (
        "[goal]\nsteering_wheel = { angle = 0, tolerance = 3 }\n"
        "front_total_toe = { angle = 0, tolerance = 0.1 }\n[[pass]]\n"
    )
    resolution = 22.5 if waits else 1
    count = f"{resolution}, repeatability = {repeatability}"
    job = loads(
        HEAD.replace("5, repeatability = 3", count).replace("[[pass]]\n", goals)
        + 'steering_wheel_off = "0.5 left"\nturns_to_lock = { left = "1 3/4", right = "1 5/8" }\n'
        + f'tape.front = {{ front_edge = 57, rear_edge = {57 + edge}, across = "24" }}\n',
        "job",
    )
    told = correct(solve(job))[-1]
    assert told.gear is not None
    assert (told.gear.waits, told.gear.wrong_spline) == (waits, not waits)
    assert told.to_turn == bool(edge or not waits)


def test_a_count_within_its_uncertainty_moves_nothing() -> None:
    job = loads(
        HEAD.replace("5, repeatability = 3", "22.5, repeatability = 10")
        + 'steering_wheel_off = "9 left"\nturns_to_lock = { left = "1 1/2", right = "1 9/16" }\n',
        "job",
    )
    told = correct(solve(job))[-1]
    assert told.gear is not None
    assert not told.gear.wrong_spline
    assert told.rods[0].toe_change == pytest.approx(-math.radians(9.0 / 16.0))
    assert told.rods[1].toe_change == pytest.approx(math.radians(9.0 / 16.0))
    assert "stays on its spline" in words(job)


def test_without_splines_the_angle_is_told() -> None:
    job = Column(40.0, 0.0).job()
    job = job._replace(car=job.car._replace(steering_wheel_splines=None))
    gear = gear_centre(job, job.passes[0])
    assert gear is not None
    assert (gear.teeth, gear.step) == (0, None)
    assert gear.moved == gear.off
    assert "by about 40° to the right (count its splines" in words(job)


def test_without_a_count_a_wheel_far_off_asks_for_one() -> None:
    job = loads(HEAD + 'steering_wheel_off = "25 left"\n', "job")
    assert gear_centre(job, job.passes[0]) is None
    assert correct(solve(job))[-1].wheel_far_off
    text = words(job)
    assert "Centre the steering gear first" in text
    assert "One tooth of its spline is 10.0°" in text
    near = loads(HEAD + 'steering_wheel_off = "9 left"\n', "job")
    assert not correct(solve(near))[-1].wheel_far_off


@pytest.mark.parametrize("left, right", [("1 1/2", "1 5/8"), ("1 5/8", "1 1/2")])
def test_readings_to_stop_at_are_those_with_the_gear_in_its_middle(left: str, right: str) -> None:
    """The strings were read with the spokes straight, the rods are turned with the gear centred."""
    car = SimulatedCar(
        toe={"left_front": 0.006, "right_front": -0.001, "left_rear": 0.003, "right_rear": 0.001},
        yaw=0.002,
    )
    goals = {"total_toe.front": Goal(0.002, 0.001), "steering_wheel": Goal(0.0, 0.02)}
    job = job_of(car, repeats=2, goals=goals)
    head = f'length_unit = "in"\n[[pass]]\nturns_to_lock = {{ left = "{left}", right = "{right}" }}'
    count = loads(head, "count").passes[0].turns_to_lock
    job = job._replace(passes=(job.passes[0]._replace(turns_to_lock=count),))
    told = correct(solve(job))[-1]
    assert told.gear is not None
    assert told.gear.wrong_spline
    # From spokes straight to the gear's middle both wheels turn the other way, over the ratio.
    turn = told.gear.off / car.steering_ratio
    middle = car.adjusted(left_front=-turn, right_front=turn)
    for sides in (("left",), ("left", "right")):
        done = {f"{r.side}_front": r.toe_change for r in told.rods if r.side in sides}
        after = middle.adjusted(**done)
        rod = told.rods[len(sides) - 1]
        read = after.string_readings(Perfect(), 1, hub=False)[f"{rod.side}_front"]
        assert rod.stop_at_string == pytest.approx(read["front"][0] - read["rear"][0], abs=2e-4)
        tape = after.tape_readings(Perfect(), "front")
        gap = tape["rear_edge"][0] - tape["front_edge"][0]
        assert rod.stop_at_tape == pytest.approx(gap, abs=2e-4)
    truth = after.truth()
    assert truth["total_toe.front"] == pytest.approx(0.002, abs=2e-4)
    assert truth["steering_wheel"] == pytest.approx(0.0, abs=5e-3)


def words(job: Job) -> str:
    solution = solve(job)
    return " ".join(render_text(make_view(solution, correct(solution)), 100).split())


@pytest.mark.parametrize(("tooth", "side"), [(-30.0, "right"), (30.0, "left")])
def test_where_the_spokes_stand_with_the_gear_in_its_middle(tooth: float, side: str) -> None:
    """A wheel that sits three teeth too far one way is moved back by as many the other way."""
    column = Column(tooth, 0.0)
    assert (column.spokes(0.0) > 0.0) == (side == "right")
    text = words(column.job())
    assert f"The spokes stand 30° to the {side} there" in text
    other = {"left": "right", "right": "left"}[side]
    assert f"on its spline by 3 teeth to the {other} (30.0°)" in text
    solution = solve(column.job())
    gear = result(solution, correct(solution))["passes"][-1]["turning"]["gear_centre"]
    assert gear["off_centre_deg"] == pytest.approx(tooth, abs=0.1)
    assert gear["move_steering_wheel_deg"] == pytest.approx(tooth, abs=1e-9)
    assert gear["teeth"] == round(tooth / 10.0)
    assert gear["turns_lock_to_lock"] == pytest.approx(3.0, abs=0.01)
