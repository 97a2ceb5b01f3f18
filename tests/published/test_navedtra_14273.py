"""NAVEDTRA 14273: caster is measured at 20 degrees in, zero and 20 degrees out."""

from __future__ import annotations

import math

import pytest

from tests.mechanisms import Knuckle
from toebox.geometry.sweep import solve_sweep


@pytest.mark.parametrize("side", ["left", "right"])
def test_these_three_stops_suffice(side: str) -> None:
    knuckle = Knuckle(side, *(math.radians(x) for x in (4.0, 12.5, -0.75)))
    stops = [math.radians(d) for d in (-20.0, 0.0, 20.0)]
    found = solve_sweep(stops, [knuckle.camber(d) for d in stops], math.radians(0.1))
    assert math.degrees(found.caster) == pytest.approx(4.0, abs=1e-9)
    assert found.sai is not None
    assert math.degrees(found.sai) == pytest.approx(12.5, abs=1e-9)
