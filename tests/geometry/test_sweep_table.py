"""Camber in a sweep at chosen angles, computed by rotation in three dimensions beforehand.

Degrees, printed to 6 decimals: caster, inclination, camber straight ahead, steer angle, camber
steered out, camber steered in.
"""

from __future__ import annotations

import math

import pytest

from toebox.geometry.sweep import camber_at, solve_sweep, sweep_factor

HALF_A_UNIT = 5e-7
TABLE = [
    (5, 12, -0.5, 20, 1.954496, -1.476249),
    (3, 8, 0.5, 20, 2.016772, -0.041691),
    (7, 13, -1, 20, 2.209896, -2.596018),
    (-1, 7, 0.25, 20, 0.332261, 1.017293),
    (10, 14, -2, 20, 2.317364, -4.553649),
    (5, 12, -0.5, 10, 0.555546, -1.183230),
]
FACTORS = [(10, 2.879385), (15, 1.931852), (20, 1.461902), (25, 1.183101), (30, 1.0)]


@pytest.mark.parametrize(("caster", "sai", "straight", "steer", "out", "into"), TABLE)
def test_camber_and_back_to_caster(
    caster: float, sai: float, straight: float, steer: float, out: float, into: float
) -> None:
    angles = [math.radians(x) for x in (caster, sai, straight)]
    stops = [math.radians(steer), math.radians(-steer)]
    cambers = [math.degrees(camber_at(*angles, stop)) for stop in stops]
    assert cambers == pytest.approx([out, into], abs=HALF_A_UNIT)
    printed = [math.radians(out), math.radians(into)]
    found = solve_sweep(stops, printed, math.radians(1e-6), sai=angles[1])
    assert math.degrees(found.caster) == pytest.approx(caster, abs=HALF_A_UNIT * 5)


@pytest.mark.parametrize(("steer", "factor"), FACTORS)
def test_first_order_factor(steer: float, factor: float) -> None:
    assert sweep_factor(math.radians(steer)) == pytest.approx(factor, abs=HALF_A_UNIT)
