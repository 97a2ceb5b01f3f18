"""What is not proven is told with what would settle it, and that does settle it."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from tests.cli.running import ROOT, run
from tests.solve.simulated import cars, job_of
from toebox.job.model import Goal
from toebox.solve import solve_pass
from toebox.solve.decide import decide
from toebox.solve.results import Result
from toebox.solve.settle import margin_of, settle

DEGREE = math.radians(1.0)
NAME = "total_toe.front"


def job_with(off: float, tolerance: float, **options):
    """Return a job whose front total toe lies `off` degrees from its goal."""
    job = job_of(cars(1)[0], **options)
    value = solve_pass(job, job.passes[0])[NAME].value
    goal = Goal(value - off * DEGREE, tolerance * DEGREE)
    return job._replace(goals={NAME: goal})


@pytest.mark.parametrize("value", [0.9, 0.5, 0.0, -0.7, 1.1, 1.3, 2.0])
@pytest.mark.parametrize("u", [0.02, 0.2, 0.6])
def test_the_uncertainty_needed_is_the_largest_that_decides(value: float, u: float) -> None:
    goal = Goal(0.0, 1.0)
    margin = margin_of(Result(NAME, value, u), goal)
    just, over = (Result(NAME, value, margin.u_needed * by) for by in (0.999, 1.001))
    wanted = "within" if margin.inside else "outside"
    assert margin.inside == (abs(value) <= 1.0)
    assert decide(just, goal).outcome == wanted
    assert decide(over, goal).outcome == "not proven"


def test_rounds_are_enough_and_no_more_than_enough() -> None:
    for u in (0.1, 0.27, 0.5, 0.61, 0.74):
        margin = margin_of(Result(NAME, 0.5, u), Goal(0.0, 1.0))
        assert u / math.sqrt(margin.rounds) <= margin.u_needed * (1 + 1e-9)
        if margin.rounds > 1:
            assert u / math.sqrt(margin.rounds - 1) > margin.u_needed
    assert margin_of(Result(NAME, 0.999, 0.2), Goal(0.0, 1.0)).rounds is None
    assert margin_of(Result(NAME, 1.0, 0.2), Goal(0.0, 1.0)).rounds is None
    # What was assumed stays: 0.2 of 0.3, so that only the rest is averaged.
    margin = margin_of(Result(NAME, 0.5, 0.3), Goal(0.0, 1.0), u_assumed=0.2)
    read = math.sqrt(0.3**2 - 0.2**2)
    assert math.hypot(0.2, read / math.sqrt(margin.rounds)) <= margin.u_needed
    assert math.hypot(0.2, read / math.sqrt(margin.rounds - 1)) > margin.u_needed
    assert margin_of(Result(NAME, 0.5, 0.3), Goal(0.0, 1.0), u_assumed=0.26).rounds is None
    with pytest.raises(ValueError, match="no tolerance"):
        margin_of(Result(NAME, 1.0, 0.2), Goal(0.0))


def test_a_step_that_is_named_settles_it() -> None:
    """Rims read in one position: reading both positions is one of the steps that suffice."""
    job = job_with(off=0.04, tolerance=0.12, repeats=1)
    solved = solve_pass(job, job.passes[0])
    assert solved.decisions[NAME].outcome == "not proven"
    found = settle(job, solved, NAME)
    assert found.enough
    for step, u in found.steps:
        assert u <= found.margin.u_needed
        again = step.plan.solve()[NAME]
        assert (
            decide(Result(NAME, solved[NAME].value, again.u), job.goals[NAME]).outcome == "within"
        )


def test_the_best_step_is_named_where_none_suffices() -> None:
    job = job_with(off=0.10, tolerance=0.12, repeats=2)
    solved = solve_pass(job, job.passes[0])
    found = settle(job, solved, NAME)
    assert not found.enough
    assert len(found.steps) == 1
    assert found.margin.u_needed < found.steps[0][1] < solved[NAME].u


def test_driving_again_really_proves_it() -> None:
    """Solve with the road test driven four times as told: it is proven."""
    wheel = "steering_wheel"
    job = job_of(cars(1)[0], what=("tape", "road_test"))
    before = solve_pass(job, job.passes[0])[wheel]
    goals = {wheel: Goal(before.value, 1.5 * before.u)}
    job = job._replace(goals=goals)
    solved = solve_pass(job, job.passes[0])
    assert solved.decisions[wheel].outcome == "not proven"
    found = settle(job, solved, wheel)
    assert [step.kind for step, _ in found.steps] == ["strings", "road_test_again"]
    (off,) = job.passes[0].steering_wheel_off
    driven = job.passes[0]._replace(steering_wheel_off=(off,) * 4)
    assert solve_pass(job, driven).decisions[wheel].outcome == "within"


def test_the_report_and_the_json_say_it(tmp_path) -> None:
    text = (ROOT / "samples" / "tape-and-road-test.toml").read_text(encoding="utf-8")
    path = tmp_path / "job.toml"
    path.write_text(text.replace("tolerance = 2", "tolerance = 3.5"), encoding="utf-8")
    said = " ".join(run("solve", path).stdout.split())
    assert "What would settle what is not proven" in said
    assert "would prove that it is met, if it stays there" in said
    (only,) = json.loads(run("solve", "--json", path).stdout)["passes"]
    wheel = only["decisions"]["steering_wheel"]
    assert wheel["outcome"] == "not proven"
    assert 0.0 < wheel["u_needed_deg"] < only["steering_wheel"]["u_deg"]
    assert wheel["rounds_needed"] >= 2


@pytest.mark.parametrize(("runout", "takes_out"), [("0", False), ("1/32", True)])
def test_reading_rims_twice_is_told_for_what_it_does(
    tmp_path: Path, runout: str, takes_out: bool
) -> None:
    """Where rims are stated to run true there is nothing to take out: the mean of two helps."""
    text = (ROOT / "samples" / "crooked-box.toml").read_text(encoding="utf-8")
    assert text.count('rim_runout = "0"') == 1
    path = tmp_path / "job.toml"
    changed = text.replace('rim_runout = "0"', f'rim_runout = "{runout}"')
    path.write_text(changed, encoding="utf-8")
    said = " ".join(run("solve", path).stdout.split())
    assert "ead every rim edge twice, valve up and" in said
    assert ("takes out the rim's run-out" in said) == takes_out
    assert ("the mean of two readings is surer" in said) != takes_out
