"""Whole jobs with caster, camber and toe, through the command line."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from tests.cli.running import run

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
FIRST, ALL = str(SAMPLES / "caster-as-found.toml"), str(SAMPLES / "caster-and-camber.toml")


@pytest.fixture(scope="module")
def result() -> dict:
    return json.loads(run("solve", "--json", ALL).stdout)


# As the comment at the top of the sample states them (degrees), by pass.
TRUTH = [
    {
        "caster": {"left_front": 2.70, "right_front": 3.40},
        "steering_axis_inclination": {"left_front": 12.4, "right_front": 12.6},
        "camber": {
            "left_front": 0.40, "right_front": -0.15, "left_rear": -1.10, "right_rear": -1.30
        },
        "total_toe": {"front": 0.16},
        "cross_caster": {"front": -0.70},
        "cross_camber": {"front": 0.55, "rear": 0.20},
    },
    {
        "caster": {"left_front": 3.915, "right_front": 3.94},
        "camber": {"left_front": 0.265, "right_front": -0.21},
    },
    {"camber": {"left_front": -0.603, "right_front": -0.634}},
]  # fmt: skip


def test_the_truth_lies_within_the_readings(result: dict) -> None:
    for one, truth in zip(result["passes"], TRUTH, strict=True):
        for kind, wheels in truth.items():
            for wheel, value in wheels.items():
                found = one[kind][wheel]
                assert abs(found["angle_deg"] - value) < 2.6 * found["u_deg"], (kind, wheel)


def test_what_was_not_measured_is_null_and_named(result: dict) -> None:
    _, second, third = result["passes"]
    assert third["caster"] == {"left_front": None, "right_front": None}
    assert "sweep" in third["not_measured"]["caster.left_front"]
    assert second["camber"]["left_rear"] is None
    assert "camber.left_rear" in second["not_measured"]
    assert not any(name.startswith("toe_out") for name in second["not_measured"])


def test_where_every_setting_stands(result: dict) -> None:
    stands = result["standing"]
    assert stands["caster.left_front"] == {
        "pass": 2, "valid": True, "disturbed_in_pass": None, "disturbed_by": []
    }  # fmt: skip
    assert stands["camber.left_front"]["pass"] == 3
    assert stands["camber.left_rear"] == stands["camber.right_rear"]
    assert stands["camber.left_rear"]["pass"] == 1
    toe = stands["total_toe.front"]
    assert (toe["pass"], toe["valid"], toe["disturbed_in_pass"]) == (1, False, 2)
    assert toe["disturbed_by"] == ["left strut rod", "right strut rod"]


def test_the_passes_have_taught_what_the_adjusters_do(result: dict) -> None:
    moves = {move["name"]: move for move in result["adjusters"]["moves"]}
    rod, bolt = moves["left strut rod"]["effects"], moves["left camber bolt"]["effects"]
    assert rod["caster"]["source"] == bolt["camber"]["source"] == "learned"
    assert abs(rod["caster"]["deg_per_unit"] + 0.27) < 2 * rod["caster"]["u_deg"]
    assert abs(bolt["camber"]["deg_per_unit"] - 0.0175) < 2.6 * bolt["camber"]["u_deg"]
    assert {move["direction"] for move in moves.values()} == {"leave"}


def test_what_to_move_as_found() -> None:
    result = json.loads(run("solve", "--json", FIRST).stdout)
    moves = {move["name"]: move for move in result["adjusters"]["moves"]}
    rod = moves["left strut rod"]
    assert (rod["direction"], rod["amount"], rod["at_limit"]) == ("shorten", 4.5, False)
    assert moves["right camber bolt"]["direction"] == "anticlockwise"
    for name, one in result["adjusters"]["remains"].items():
        assert one["needed"], name
        assert abs(one["remains_deg"]) < 0.1, name
    # cot(outer) = cot(20 degrees) + 1520 / 2680 = 3.314641 (ISO 8855:2011, 7.1.9)
    outer = math.degrees(math.atan(1.0 / 3.314641))
    found = result["passes"][0]["toe_out_on_turn"]["left"]
    assert found["ackermann_deg"] == pytest.approx(20.0 - outer, abs=1e-5)


def test_the_report_tells_the_order_of_work(tmp_path: Path) -> None:
    done = run("report", FIRST, "-o", str(tmp_path / "first.pdf"))
    assert done.exit_code == 0
    assert (tmp_path / "first.pdf").read_bytes().startswith(b"%PDF")
    order = done.stdout[: done.stdout.index("What to do next")]
    steps = [order.index(word) for word in ("1. Caster.", "2. Camber.", "3. Front toe, last.")]
    assert steps == sorted(steps)
    assert "shorten by 4 1/2 turns" in order


def test_check_counts_stale_goals_as_not_met() -> None:
    done = run("solve", "--check", ALL)
    assert done.exit_code == 1
    said = done.stderr
    assert "Front total toe: stale, turned since it was read" in said
    assert len(said.splitlines()) == 2  # the steering wheel is the other one


def test_check_takes_the_newest_reading_of_each_goal(tmp_path: Path) -> None:
    text = Path(ALL).read_text("utf-8")
    toe = ("front_total_toe", "steering_wheel")
    kept = [line for line in text.splitlines() if not line.startswith(toe)]
    job = tmp_path / "job.toml"
    job.write_text("\n".join(kept), "utf-8")
    assert run("solve", "--check", str(job)).exit_code == 0
