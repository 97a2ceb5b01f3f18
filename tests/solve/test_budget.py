"""Uncertainty budgets: complete, in order, and what an independent library says."""

from __future__ import annotations

import json
import math

import pytest

from tests.cli.running import ROOT, run
from tests.solve.simulated import cars, job_of
from toebox.job.model import Instrument
from toebox.solve import solve_pass
from toebox.solve.budget import budget, budgets, kind_of

SAMPLE = ROOT / "samples" / "string-box.toml"


@pytest.fixture(scope="module")
def solved():
    job = job_of(cars(1)[0], repeats=2)
    return solve_pass(job, job.passes[0])


def test_shares_add_up_and_contributions_give_the_uncertainty(solved):
    found = budgets(solved)
    assert list(found) == list(solved.results)
    for name, shares in found.items():
        assert sum(s.share for s in shares) == pytest.approx(1.0), name
        assert math.hypot(*(s.u for s in shares)) == pytest.approx(solved[name].u), name
        order = [round(s.share, 9) for s in shares]
        assert order == sorted(order, reverse=True)
        assert all(s.share == pytest.approx((s.u / solved[name].u) ** 2) for s in shares)


def test_repeats_and_assumptions_are_taken_together(solved):
    names = [s.reading for s in budget(solved, solved.gradients["toe.left_front"])]
    assert not any("[" in name for name in names)
    assert len(names) == len(set(names))
    assert {*names[:2]} == {"string.left_front.rear", "string.left_front.front"}
    once = job_of(cars(1)[0], repeats=1)
    shares = budgets(solve_pass(once, once.passes[0]))["toe.left_front"]
    assert shares[0].reading == "assumed.rim_runout"


def test_kinds_of_reading(solved):
    kinds = {kind_of(o) for o in solved.network.observations}
    assert kinds == {
        "string",
        "string.bars",
        "tape.front",
        "tape.rear",
        "steering_wheel_off",
        "assumed.rim_runout",
    }


def test_a_share_is_what_a_perfect_instrument_would_save():
    """Nothing is redundant here, so that taking one uncertainty away leaves the other shares."""
    job = job_of(cars(1)[0], what=("tape", "road_test"))
    before = solve_pass(job, job.passes[0])
    name = "toe_to_thrust.left_front"
    shares = {s.reading: s.share for s in budget(before, before.gradients[name], kind_of)}
    perfect = job.instruments._replace(road_test=Instrument(0.0, 1e-9))
    after = solve_pass(job._replace(instruments=perfect), job.passes[0])
    assert 0.5 < shares["steering_wheel_off"] < 0.99
    saved = 1.0 - (after[name].u / before[name].u) ** 2
    assert saved == pytest.approx(shares["steering_wheel_off"], rel=1e-3)


def test_a_tape_by_hand():
    """Front and rear edge count alike: half of the variance each, u sqrt(2) / across."""
    car = cars(1)[0]
    job = job_of(car, what=("tape",))
    shares = budgets(solve_pass(job, job.passes[0]))["total_toe.front"]
    assert {s.reading: s.share for s in shares} == pytest.approx(
        {"tape.front.front_edge": 0.5, "tape.front.rear_edge": 0.5}
    )
    # The cosine of the toe, some 1e-4, aside.
    by_hand = math.sqrt(2.0) * job.instruments.tape.u / car.tyre_diameter
    assert math.hypot(*(s.u for s in shares)) == pytest.approx(by_hand, rel=1e-3)


def test_the_json_lists_every_reading():
    result = json.loads(run("solve", "--json", SAMPLE).stdout)
    for one in result["passes"]:
        assert {"total_toe.front", "thrust_angle", "steering_wheel"} <= one["budget"].keys()
        for listed in one["budget"].values():
            assert sum(entry["per_cent"] for entry in listed) == pytest.approx(100.0, abs=0.1)
            order = [entry["per_cent"] for entry in listed]
            assert order == sorted(order, reverse=True)


def test_solve_lists_it_on_request():
    short = run("solve", SAMPLE).stdout
    full = run("solve", "--budget", SAMPLE).stdout
    assert "string, left front wheel, rear edge" in full.split("Where the uncertainty")[1]
    assert "Thrust angle ± 0.05° (95 %)" in full
    assert "Thrust angle ± 0.05° (95 %)" not in short
    assert "string readings 97 %" in short
