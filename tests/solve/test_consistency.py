"""Two ways of measuring one thing: they agree by themselves, and a planted fault parts them."""

from __future__ import annotations

import json
import math
import re
from functools import cache

import numpy as np
import pytest

from tests.cli.running import ROOT, run
from tests.simulate import INCH
from tests.solve.simulated import RNG_KEY, STRING_BOX, cars, job_of
from toebox.job.model import Job, Pass
from toebox.solve import solve_pass
from toebox.solve.consistency import Comparison, comparisons

NAMES = (
    "total_toe.front",
    "total_toe.rear",
    "steering_wheel",
    "hub_depth.front",
    "hub_depth.rear",
)
JOBS = 400


def compared(job: Job, readings: Pass | None = None) -> dict[str, Comparison]:
    readings = readings or job.passes[0]
    return {c.name: c for c in comparisons(job, solve_pass(job, readings))}


@cache
def noisy() -> list[dict[str, Comparison]]:
    rng = np.random.default_rng(RNG_KEY)
    return [compared(job_of(car, rng, 2)) for car in cars(JOBS)]


def test_exact_readings_agree_exactly():
    for car in cars(10):
        found = compared(job_of(car, repeats=2))
        assert tuple(found) == NAMES
        for name, one in found.items():
            # A tape does not see half the difference of the two toes, 1.5e-4 of the total; camber
            # and yaw tilt the depth of a hub by their cosines, 0.05 mm.
            within = 5e-5 if one.kind == "hub" else 2e-5
            assert one.difference == pytest.approx(0.0, abs=within), name
            assert one.verdict == "agree"
        for axle in ("front", "rear"):
            assert found[f"hub_depth.{axle}"].first == pytest.approx(car.hub_depth[axle], abs=1e-4)


@pytest.mark.no_cover
@pytest.mark.parametrize("name", NAMES)
def test_the_uncertainty_of_a_difference_is_that_of_its_scatter(name: str):
    ratios = [one[name].difference / one[name].u for one in noisy()]
    assert np.mean(ratios) == pytest.approx(0.0, abs=0.15)
    assert np.std(ratios) == pytest.approx(1.0, abs=0.12)
    assert np.mean(np.abs(ratios) <= 2.0) == pytest.approx(0.954, abs=0.03)


@pytest.mark.no_cover
def test_chance_makes_them_disagree_less_than_once_in_a_hundred_jobs():
    jobs = sum(any(c.verdict == "disagree" for c in one.values()) for one in noisy())
    assert jobs < 0.02 * JOBS


def test_a_steering_wheel_that_was_not_clamped_straight():
    """Turned 8 degrees to the right while the strings were read: that is what is told."""
    turned, car = math.radians(8.0), cars(1)[0]
    front = turned / car.steering_ratio
    moved = car.adjusted(left_front=front, right_front=-front)
    job = job_of(moved, repeats=2)
    drive = job_of(car).passes[0].steering_wheel_off
    found = compared(job, job.passes[0]._replace(steering_wheel_off=drive))
    assert found["steering_wheel"].difference == pytest.approx(turned, abs=1e-3)
    assert found["steering_wheel"].verdict == "disagree"
    assert found["total_toe.front"].verdict == "agree"


def test_a_tape_that_sagged_and_a_hub_misread():
    job = job_of(cars(1)[0], repeats=2)
    given = job.passes[0]
    tape = given.tape["front"]
    sagged = tape._replace(rear_edge=tuple(r + INCH / 4 for r in tape.rear_edge))
    hub = given.string["right_rear"]
    misread = hub._replace(hub=tuple(h - INCH / 8 for h in hub.hub))
    found = compared(
        job,
        given._replace(
            tape={**given.tape, "front": sagged},
            string={**given.string, "right_rear": misread},
        ),
    )
    assert {name for name, c in found.items() if c.verdict == "disagree"} == {
        "total_toe.front",
        "hub_depth.rear",
    }
    assert found["hub_depth.rear"].difference == pytest.approx(-INCH / 8, abs=1e-4)


@pytest.mark.parametrize(
    "what", [("tape",), ("string",), ("tape", "road_test"), ("string", "bars")], ids="+".join
)
def test_nothing_measured_twice_is_compared_with_nothing(what: tuple[str, ...]):
    assert compared(job_of(cars(1)[0], what=what)) == {}


def test_strings_and_a_tape_are_compared_where_both_are():
    assert tuple(compared(job_of(cars(1)[0], what=("string", "tape")))) == NAMES[:2]
    assert tuple(compared(job_of(cars(1)[0], what=("string", "road_test")))) == NAMES[2:3]
    assert set(compared(job_of(cars(1)[0], what=STRING_BOX))) == set(NAMES)


def test_the_report_says_what_a_disagreement_usually_means(tmp_path):
    sample = ROOT / "samples" / "string-box.toml"
    assert "as if the wheel had stood" not in run("solve", sample).stdout
    text = sample.read_text(encoding="utf-8")
    job = tmp_path / "job.toml"
    wheel = 'steering_wheel_off = { angle = 9, toward = "left" }'
    job.write_text(re.sub("steering_wheel_off = .*", wheel, text), encoding="utf-8")
    said = " ".join(run("solve", job).stdout.split())
    assert "as if the wheel had stood" in said
    assert "to the left while the strings were read" in said
    (last,) = json.loads(run("solve", "--json", job).stdout)["passes"][1:]
    (wheel,) = [c for c in last["agreement"] if c["compared"] == "steering_wheel"]
    assert wheel["verdict"] == "disagree"
    assert wheel["first"] == "strings"
    assert wheel["second"] == "road test"
    assert wheel["difference_deg"] < -5.0


@pytest.mark.parametrize("repeats", [1, 2])
def test_each_way_is_what_a_job_with_those_readings_alone_gives(repeats: int):
    rng = np.random.default_rng(RNG_KEY)
    for car in cars(10):
        job = job_of(car, rng, repeats, ("string", "bars", "tape", "road_test"))
        given = job.passes[0]
        found = compared(job)
        strings = given._replace(tape={}, steering_wheel_off=())
        tape = Pass("tape alone", tape=given.tape)
        by_strings, by_tape = (solve_pass(job, readings) for readings in (strings, tape))
        for name in NAMES[:3]:  # the curvature between the two solutions aside
            first = by_strings[name]
            assert found[name].first == pytest.approx(first.value, abs=1e-3 * first.u)
            if name in by_tape.results:
                second = by_tape[name]
                assert found[name].second == pytest.approx(second.value, abs=1e-3 * first.u)
                u = math.hypot(first.u, second.u)
                assert found[name].u == pytest.approx(u, rel=1e-3)
