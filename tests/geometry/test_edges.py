"""The very edges of what the closed forms take, and what they say beyond."""

from __future__ import annotations

import math

import numpy as np
import pytest

from toebox.geometry import _elementary as elementary
from toebox.geometry.camber import gauge_reading, mean_camber
from toebox.geometry.linkage import shortening_per_turn, turns_for
from toebox.geometry.sweep import (
    camber_at,
    camber_slopes,
    count_distinct,
    solve_sweep,
    sweep_factor,
)
from toebox.geometry.toe import side_slip, toe_angle


def test_floats_and_arrays_go_the_same_way() -> None:
    angles = np.array([0.1, -0.2, 0.3])
    for name in ("sin", "cos", "tan", "atan"):
        function = getattr(elementary, name)
        assert function(angles) == pytest.approx([function(float(a)) for a in angles], abs=1e-15)
        assert function(0.25) == getattr(math, name)(0.25)


def test_a_distance_as_large_as_what_it_is_taken_across_is_a_right_angle() -> None:
    assert toe_angle(0.6, 0.6) == pytest.approx(math.pi / 2)
    with pytest.raises(ValueError, match=r"wanted a length .* at least as large as the distance$"):
        toe_angle(0.600001, 0.6)


@pytest.mark.parametrize("value", [0.0, -1.0, math.inf, math.nan])
def test_what_must_be_positive_must_be_finite_too(value: float) -> None:
    with pytest.raises(ValueError, match=r"^wheelbase .*: wanted a number above zero$"):
        elementary.require_positive("wheelbase", value)
    elementary.require_positive("wheelbase", 2.6)


def test_side_slip_of_a_small_angle_is_its_tangent() -> None:
    assert side_slip(math.radians(0.5)) == pytest.approx(math.tan(math.radians(0.5)), rel=1e-4)


def test_a_rod_whose_inner_end_swivels_shortens_by_one_pitch() -> None:
    assert shortening_per_turn(0.0015, False) == 0.0015
    assert shortening_per_turn(0.0015, False, 0.0015, True) == 0.003
    assert shortening_per_turn(0.0015, False, 0.0015 - 2e-9) == pytest.approx(2e-9)
    with pytest.raises(ValueError, match=r"^turning this rod does not change its length: both"):
        shortening_per_turn(0.0015, False, 0.0015)
    with pytest.raises(ValueError, match=r"^pitch below zero: wanted the hand of the thread"):
        shortening_per_turn(-0.0015, False)
    with pytest.raises(ValueError, match=r"^no turning changes this length: wanted"):
        turns_for(0.001, 0.0)


def test_the_factor_of_a_sweep_at_the_edge_of_its_range() -> None:
    assert sweep_factor(math.pi / 2) == pytest.approx(0.5)
    assert sweep_factor(math.radians(80)) == pytest.approx(0.5 / math.sin(math.radians(80)))


def test_stops_less_than_a_degree_apart_are_one() -> None:
    assert count_distinct([0.0, math.radians(1.0), math.radians(2.5)]) == 2
    assert count_distinct([0.0, math.radians(1.01)]) == 2


STOPS = [math.radians(d) for d in (-65.0, 0.0, 65.0)]


def test_a_sweep_may_go_far_but_not_to_a_right_angle() -> None:
    found = solve_sweep(STOPS, [camber_at(0.1, 0.2, 0.0, d) for d in STOPS], 0.001)
    assert found.caster == pytest.approx(0.1, abs=1e-12)
    for wrong in (math.pi / 2, 2.0, -math.pi / 2):
        with pytest.raises(ValueError, match=r"^wanted steer angles and cambers within a right an"):
            solve_sweep([wrong, 0.0, 0.3], [0.0, 0.0, 0.0], 0.001)
    with pytest.raises(ValueError, match=r"^wanted u_camber and u_sai above zero, and u_steer not"):
        solve_sweep(STOPS, [0.0, 0.0, 0.0], 0.0)
    with pytest.raises(ValueError, match=r"^wanted at least two stops, more than a degree of"):
        solve_sweep([0.0, 0.001], [0.0, 0.0], 0.001)
    with pytest.raises(ValueError, match=r"^no camber reading: wanted at least one$"):
        mean_camber([])


def test_whole_numbers_will_do_for_readings() -> None:
    assert solve_sweep([-1, 0, 1], [0, 0, 0], 0.001).caster == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("caster", [2.0, 25.0])
@pytest.mark.parametrize("sai", [8.0, 28.0])
def test_the_uncertainties_of_a_sweep_by_plain_differences(caster: float, sai: float) -> None:
    """GUM 5.1.2 with derivatives found by moving one camber reading at a time."""
    stops = [math.radians(d) for d in (-25.0, -10.0, 0.0, 12.0, 25.0)]
    cambers = [camber_at(math.radians(caster), math.radians(sai), -0.01, d) for d in stops]
    u, step = math.radians(0.1), 1e-7

    def solved(moved: int | None) -> np.ndarray:
        shown = [g + step * (n == moved) for n, g in enumerate(cambers)]
        found = solve_sweep(stops, shown, u)
        return np.array([found.caster, found.sai_used])

    slopes = np.array([(solved(n) - solved(None)) / step for n in range(len(stops))])
    by_hand = u * np.sqrt((slopes**2).sum(axis=0))
    found = solve_sweep(stops, cambers, u)
    assert found.u_caster == pytest.approx(by_hand[0], rel=2e-3)
    assert found.u_sai == pytest.approx(by_hand[1], rel=2e-3)


def test_how_the_slip_of_the_steer_angle_enters() -> None:
    """The same, moving steer angles: their effect depends on caster and inclination."""
    stops = [math.radians(d) for d in (-20.0, 0.0, 20.0)]
    cambers = [camber_at(0.12, 0.22, 0.0, d) for d in stops]
    u_steer, step = math.radians(2.0), 1e-6

    def solved(moved: int | None) -> float:
        read = [d + step * (n == moved) for n, d in enumerate(stops)]
        return solve_sweep(read, cambers, 1e-6, u_steer).caster

    slopes = [(solved(n) - solved(None)) / step for n in range(3)]
    by_hand = u_steer * math.sqrt(sum(slope**2 for slope in slopes))
    found = solve_sweep(stops, cambers, 1e-6, u_steer)
    assert found.u_caster == pytest.approx(by_hand, rel=5e-3)


def test_a_gauge_lying_flat_shows_a_right_angle_and_no_more() -> None:
    shown, _ = gauge_reading(math.pi / 2, 0.0, 0.0, 0.0, "left")
    assert shown == pytest.approx(math.pi / 2)
    assert camber_slopes(0.1, 0.2, 0.01, 0.3)[0] == pytest.approx(camber_at(0.1, 0.2, 0.01, 0.3))
