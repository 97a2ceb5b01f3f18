"""Camber, caster and inclination of simulated cars, on sloping floors, with a gauge that is off."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.effort import examples
from tests.simulate import Noise, SimulatedCar
from toebox.job import loads
from toebox.solve import solve

DEGREE = math.radians(1.0)
GAUGES = ("camber", "camber_turned", "sweep")


def solved(car, what=GAUGES, noise=None, repeats=2):
    return solve(loads(car.to_toml(unit="mm", noise=noise, what=what, repeats=repeats), "invented"))


@pytest.mark.parametrize("seed", range(12))
def test_readings_without_noise_give_the_truth(seed: int) -> None:
    car = SimulatedCar.random(np.random.default_rng(seed))
    # Steer angles are counted from straight ahead, so toe is left out here.
    car = replace(car, gauge_zero=0.3 * DEGREE, toe=dict.fromkeys(car.toe, 0.0))
    found = solved(car).passes[0]
    for wheel, camber in car.camber.items():
        assert found[f"camber.{wheel}"].value == pytest.approx(camber, abs=1e-9 * DEGREE)
    for side in ("left", "right"):
        caster, sai = car.caster[side], car.sai[side]
        assert found[f"caster.{side}_front"].value == pytest.approx(caster, abs=1e-9 * DEGREE)
        name = f"steering_axis_inclination.{side}_front"
        assert found[name].value == pytest.approx(sai, abs=1e-9 * DEGREE)
    cross = car.camber["left_front"] - car.camber["right_front"]
    assert found["cross_camber.front"].value == pytest.approx(cross, abs=1e-9 * DEGREE)
    cross = car.caster["left"] - car.caster["right"]
    assert found["cross_caster.front"].value == pytest.approx(cross, abs=1e-9 * DEGREE)


def test_a_car_in_the_mirror_has_the_mirrored_results() -> None:
    car = replace(SimulatedCar.random(np.random.default_rng(9)), gauge_zero=0.2 * DEGREE)
    found, mirrored = solved(car).passes[0], solved(car.mirrored()).passes[0]
    other = {"left": "right", "right": "left"}
    for name, result in found.results.items():
        if name.startswith("cross_"):
            assert mirrored[name].value == pytest.approx(-result.value, abs=1e-12)
        elif name.startswith(("camber.", "caster.", "steering_axis")):
            swapped = "_".join(other.get(part, part) for part in name.split(".")[1].split("_"))
            twin = mirrored[f"{name.partition('.')[0]}.{swapped}"]
            assert twin.value == pytest.approx(result.value, abs=1e-12)
            assert twin.u == pytest.approx(result.u, rel=1e-9)


def test_toe_hardly_matters_to_camber() -> None:
    car = SimulatedCar.random(np.random.default_rng(5))
    found = solved(car).passes[0]
    for wheel, camber in car.camber.items():
        assert found[f"camber.{wheel}"].value == pytest.approx(camber, abs=0.01 * DEGREE)


@pytest.mark.no_cover
def test_intervals_hold_the_truth() -> None:
    """95 % intervals of noisy rounds of readings hold the truth 93 to 97 times in 100."""
    rng = np.random.default_rng(20)
    inside: dict[str, list[bool]] = {}
    for _ in range(examples(usual=250, thorough=600)):
        car = SimulatedCar.random(rng)
        car = replace(car, gauge_zero=rng.normal(0.0, 0.2 * DEGREE))
        noise = Noise(
            rng,
            inclinometer=(0.0, 0.1 * DEGREE),
            rule=(0.0, 0.0005),
            turn_plates=(0.0, 0.5 * DEGREE),
        )
        text = car.to_toml(unit="mm", noise=noise, what=GAUGES, repeats=2, instruments=INSTRUMENTS)
        found = solve(loads(text, "invented")).passes[0]
        truth = car.truth() | {
            "cross_camber.front": car.camber["left_front"] - car.camber["right_front"],
            "cross_caster.front": car.caster["left"] - car.caster["right"],
            **{f"steering_axis_inclination.{s}_front": car.sai[s] for s in ("left", "right")},
        }
        for name, value in truth.items():
            if name in found.results:
                result = found[name]
                hit = abs(result.value - value) <= 1.959964 * result.u
                inside.setdefault(name.partition(".")[0], []).append(hit)
    shares = {kind: sum(hits) / len(hits) for kind, hits in inside.items()}
    print(shares)
    assert set(shares) == {
        "camber", "caster", "steering_axis_inclination", "cross_camber", "cross_caster"
    }  # fmt: skip
    for kind, share in shares.items():
        assert 0.93 <= share <= 0.97, f"{kind}: {share}"


INSTRUMENTS = """\
[instruments]
string_rule  = { resolution = 0, repeatability = 0.5 }
inclinometer = { resolution = 0, repeatability = 0.1 }
turn_plates  = { resolution = 0, repeatability = 0.5 }
rim_runout   = "1/64 in"
"""
