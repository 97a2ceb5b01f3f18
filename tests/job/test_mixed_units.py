"""String readings of a whole wheel or axle in another unit are doubted; crooked boxes are not."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.cli.running import run
from tests.simulate import WHEELS, SimulatedCar
from toebox.job import load, loads

GAPS = {  # of a simulated car: front and rear edge [mm]
    "left_front": (104.5, 104.0),
    "right_front": (97.0, 98.0),
    "left_rear": (104.0, 103.5),
    "right_rear": (101.0, 100.5),
}
HEAD = """length_unit = "{}"
[car]
wheelbase = "2600 mm"
rim_diameter = "400 mm"
[[pass]]
[pass.string]
"""
FAR = "far better if {} times as large; was {} read in another unit ({} for millimetres)?"


def doubts(gaps: dict[str, tuple[float, float]], unit: str = "mm") -> tuple[str, ...]:
    lines = [f"{w} = {{ front = {one!r}, rear = {two!r} }}" for w, (one, two) in gaps.items()]
    return loads(HEAD.format(unit) + "\n".join(lines), "job").doubts


def divided(wheels: tuple[str, ...], by: float) -> dict[str, tuple[float, float]]:
    """Return the readings, those of some wheels as a rule of another unit shows them."""
    finer = {w: by if w in wheels else 1.0 for w in GAPS}
    return {w: (one / finer[w], two / finer[w]) for w, (one, two) in GAPS.items()}


@pytest.mark.parametrize("wheel", WHEELS)
@pytest.mark.parametrize(("by", "unit"), [(10.0, "centimetres"), (25.4, "inches")])
def test_a_wheel_in_another_unit(wheel: str, by: float, unit: str) -> None:
    said = f"agrees with the other wheels {FAR.format(f'{by:g}', 'it', unit)}"
    assert doubts(divided((wheel,), by)) == (f"pass[1].string.{wheel}: {said}",)


@pytest.mark.parametrize(("axle", "other"), [("front", "rear"), ("rear", "front")])
def test_an_axle_in_another_unit(axle: str, other: str) -> None:
    said = FAR.format(10, "one axle", "centimetres")
    said = f"the {axle} wheels agree with the {other} ones {said}"
    readings = divided((f"left_{axle}", f"right_{axle}"), 10.0)
    assert f"pass[1].string: {said}" in doubts(readings)


def test_a_wheel_in_a_finer_unit() -> None:
    """An inch job: one wheel in tenths of what the others are in."""
    inches = {w: (one / 254, two / 254) for w, (one, two) in GAPS.items()}
    (doubt,) = doubts({**inches, "left_rear": (4.09, 4.07)}, "in")
    assert doubt.startswith("pass[1].string.left_rear: agrees with the other wheels far better if")
    assert "10 times as small" in doubt


def test_front_wheels_alone() -> None:
    front = {w: GAPS[w] for w in WHEELS[:2]}
    assert doubts(front) == ()
    (doubt,) = doubts({**front, "right_front": (9.7, 9.8)})
    assert doubt.startswith("pass[1].string.right_front: agrees with")


@pytest.mark.parametrize(
    "gaps",
    [
        GAPS,
        {w: (one / 10, two / 10) for w, (one, two) in GAPS.items()},  # a narrow box
        dict(zip(WHEELS, [(60, 60), (140, 140), (60, 60), (140, 140)], strict=True)),  # to a side
        dict(zip(WHEELS, [(40, 40), (120, 121), (100, 99), (60, 61)], strict=True)),  # askew
        dict(zip(WHEELS, [(20, 20), (22, 22), (51, 50), (52, 52)], strict=True)),  # 60 mm narrower
        dict(zip(WHEELS, [(15, 15), (75, 75), (65, 65), (85, 85)], strict=True)),  # both
    ],
)
def test_a_car_that_stands_anyhow_in_its_box(gaps: dict[str, tuple[float, float]]) -> None:
    assert doubts(gaps) == ()


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_simulated_cars_are_not_doubted(unit: str) -> None:
    """Their boxes stand up to a degree askew; axles differ by up to 250 mm in track."""
    rng = np.random.default_rng(3)
    for _ in range(60):
        car = SimulatedCar.random(rng)
        car = replace(car, yaw=2.0 * car.yaw, toe={w: 1.2 * t for w, t in car.toe.items()})
        assert loads(car.to_toml(unit=unit, what=("string",)), "job").doubts == ()


def test_fill_asks_at_the_first_edge_of_the_wheel(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    known = [f"{w} = {{ front = {g[0]}, rear = {g[1]} }}" for w, g in GAPS.items()][:3]
    planned = 'right_rear = { front = "?", rear = "?" }\n'
    job.write_text(HEAD.format("mm") + "\n".join([*known, planned]), "utf-8")
    done = run("fill", job, text="10.1\n101\n10.05\n100.5\nq\n")
    asked = " ".join(done.stderr.split())
    assert "Is that right? agrees with the other wheels far better if 10 times" in asked
    assert load(job).passes[0].string["right_rear"].front == (0.101,)
