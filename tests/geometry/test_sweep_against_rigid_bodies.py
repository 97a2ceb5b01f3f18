"""Caster, inclination and camber in a sweep against a wheel turned about an inclined axis."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest

from tests.mechanisms import Knuckle
from toebox.geometry.sweep import camber_at, solve_sweep, sweep_factor

BILLIONTH = math.radians(1e-9)
SMALL = math.radians(1e-6)
GRID = list(itertools.product((-3, 0, 4.5, 12), (2, 9, 18), (-4, -0.5, 3)))


def knuckle(side: str, caster: float, sai: float, camber: float) -> Knuckle:
    """Return a knuckle from angles in degrees."""
    return Knuckle(side, *(math.radians(x) for x in (caster, sai, camber)))


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("angles", GRID, ids=str)
def test_camber_follows_the_rotation(side: str, angles: tuple[float, float, float]) -> None:
    body = knuckle(side, *angles)
    for degrees in (-30, -10, 0, 10, 20, 30):
        steer = math.radians(degrees)
        told = camber_at(body.caster, body.sai, body.camber_straight, steer)
        assert told == pytest.approx(body.camber(steer), abs=BILLIONTH)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("angles", GRID, ids=str)
@pytest.mark.parametrize("stops", [(10, 0, -10), (20, 0, -20), (30, 12, -25), (5, 30, -30, 10)])
def test_three_or_more_stops_give_the_axis(
    side: str, angles: tuple[float, float, float], stops: tuple[float, ...]
) -> None:
    body = knuckle(side, *angles)
    steer = [math.radians(d) for d in stops]
    found = solve_sweep(steer, [body.camber(d) for d in steer], u_camber=SMALL, u_steer=SMALL)
    assert found.caster == pytest.approx(body.caster, abs=BILLIONTH)
    assert found.sai == pytest.approx(body.sai, abs=BILLIONTH)
    assert found.camber(0.0) == pytest.approx(body.camber_straight, abs=BILLIONTH)
    assert found.residuals == pytest.approx([0.0] * len(steer), abs=BILLIONTH)


@pytest.mark.parametrize("angles", GRID, ids=str)
@pytest.mark.parametrize("stops", [(10, -10), (30, -30), (20, -12), (25, 0), (0, -15)])
def test_two_stops_and_a_known_inclination_give_caster(
    angles: tuple[float, float, float], stops: tuple[float, float]
) -> None:
    body = knuckle("left", *angles)
    steer = [math.radians(d) for d in stops]
    found = solve_sweep(steer, [body.camber(d) for d in steer], SMALL, sai=body.sai)
    assert found.caster == pytest.approx(body.caster, abs=BILLIONTH)
    assert found.sai == pytest.approx(body.sai, abs=1e-15)
    assert found.u_sai == pytest.approx(math.radians(1.0), rel=1e-6)
    assert found.camber(0.0) == pytest.approx(body.camber_straight, abs=BILLIONTH)


def test_an_unknown_inclination_is_carried_as_doubt() -> None:
    body = knuckle("left", 6, 14, -1)
    u_tangent = math.radians(13) / math.sqrt(12) / math.cos(math.radians(11.5)) ** 2
    for stops in ((20, -20), (25, -15), (20, 0), (10, 30)):
        out, into = (math.radians(d) for d in stops)
        found = solve_sweep([out, into], [body.camber(out), body.camber(into)], SMALL)
        assert found.sai is None
        assert found.u_sai is None
        first_order = (math.cos(out) - math.cos(into)) / (math.sin(out) - math.sin(into))
        expected = abs(first_order) * u_tangent
        assert found.u_caster == pytest.approx(expected, abs=math.radians(0.15)), stops
        assert abs(found.caster - body.caster) <= 2.0 * found.u_caster + math.radians(0.01)


def test_the_doubt_is_what_the_range_of_inclination_does() -> None:
    body = knuckle("right", 6, 11.5, -1)
    steer = [math.radians(d) for d in (25, -15)]
    cambers = [body.camber(d) for d in steer]
    low, high = (
        solve_sweep(steer, cambers, SMALL, sai=math.radians(sai)).caster for sai in (5, 18)
    )
    found = solve_sweep(steer, cambers, SMALL)
    assert found.u_caster == pytest.approx(abs(high - low) / math.sqrt(12.0), rel=0.02)


def test_equal_angles_in_and_out_hide_the_inclination() -> None:
    steer = [math.radians(20), math.radians(-20)]
    for angles in GRID:
        body = knuckle("left", *angles)
        found = solve_sweep(steer, [body.camber(d) for d in steer], SMALL)
        assert found.caster == pytest.approx(body.caster, abs=math.radians(0.16))
    level = knuckle("left", 0, 14, 0)
    found = solve_sweep(steer, [level.camber(d) for d in steer], SMALL)
    assert found.caster == pytest.approx(0.0, abs=BILLIONTH)
    assert found.u_caster == pytest.approx(
        math.sqrt(2.0) * sweep_factor(steer[0]) * SMALL, rel=0.01
    )


@pytest.mark.parametrize("sai", [None, 0.2])
@pytest.mark.parametrize("stops", [(20, -20), (20, 0, -20), (25, 10, -5, -20), (20, 20, -20, -20)])
def test_stated_uncertainty_is_the_scatter_of_many_trials(
    stops: tuple[float, ...], sai: float | None
) -> None:
    rng = np.random.default_rng(11)
    body = Knuckle("left", math.radians(5), 0.2, math.radians(-0.5))
    steer = np.radians(stops)
    true = np.array([body.camber(d) for d in steer])
    u_camber, u_steer, u_sai = math.radians(0.1), math.radians(0.4), math.radians(1.0)
    casters, inclinations, stated = [], [], []
    for _ in range(600):
        known = None if sai is None else sai + rng.normal(0, u_sai)
        found = solve_sweep(
            steer + rng.normal(0, u_steer, steer.size),
            true + rng.normal(0, u_camber, steer.size),
            u_camber, u_steer, sai=known, u_sai=u_sai,
        )  # fmt: skip
        casters.append(found.caster)
        inclinations.append(found.sai_used)
        stated.append((found.u_caster, found.u_sai))
    assert np.std(casters) == pytest.approx(np.mean([s[0] for s in stated]), rel=0.1)
    assert np.mean(casters) == pytest.approx(body.caster, abs=4 * np.std(casters) / 600**0.5 + 1e-3)
    if stated[0][1] is not None:
        assert np.std(inclinations) == pytest.approx(np.mean([s[1] for s in stated]), rel=0.1)


def test_inclination_from_twenty_degrees_is_weak_and_says_so() -> None:
    body = knuckle("left", 5, 12, -0.5)
    steer = [math.radians(d) for d in (20, 0, -20)]
    found = solve_sweep(steer, [body.camber(d) for d in steer], math.radians(0.1))
    assert found.u_sai is not None
    assert math.degrees(found.u_sai) == pytest.approx(2.0, abs=0.2)
    assert math.degrees(found.u_caster) == pytest.approx(0.2, abs=0.02)


def test_a_known_inclination_joins_three_stops_by_its_weight() -> None:
    body = knuckle("left", 5, 12, -0.5)
    steer = [math.radians(d) for d in (20, 0, -20)]
    cambers = [body.camber(d) for d in steer]
    alone = solve_sweep(steer, cambers, math.radians(0.1))
    wrong = math.radians(13)
    both = solve_sweep(steer, cambers, math.radians(0.1), sai=wrong, u_sai=math.radians(1))
    assert both.u_sai is not None
    assert alone.u_sai is not None
    assert both.u_sai < min(alone.u_sai, math.radians(1))
    assert body.sai < both.sai < wrong


def test_a_slip_at_one_stop_shows_in_the_residuals() -> None:
    body = knuckle("left", 5, 12, -0.5)
    steer = [math.radians(d) for d in (20, 10, 0, -10, -20)]
    cambers = [body.camber(d) for d in steer]
    cambers[2] += math.radians(1.0)
    residuals = solve_sweep(steer, cambers, math.radians(0.1)).residuals
    assert int(np.argmax(np.abs(residuals))) == 2
    assert residuals[2] > 0


def test_order_of_stops_does_not_matter() -> None:
    steer, cambers = [0.3, -0.35, 0.1, -0.2], [0.03, -0.02, 0.004, -0.01]
    one = solve_sweep(steer, cambers, 0.002, 0.005)
    other = solve_sweep(steer[::-1], cambers[::-1], 0.002, 0.005)
    assert other.caster == pytest.approx(one.caster, abs=1e-14)
    assert other.covariance == pytest.approx(one.covariance, rel=1e-9)


def test_first_order_factor_is_near_the_exact_answer() -> None:
    body = knuckle("left", 5, 12, -0.5)
    steer = math.radians(20)
    difference = body.camber(steer) - body.camber(-steer)
    assert sweep_factor(steer) * difference == pytest.approx(body.caster, abs=math.radians(0.02))


@pytest.mark.parametrize("steer", [0.0, -0.3, 1.6, math.nan])
def test_the_factor_needs_a_steer_angle(steer: float) -> None:
    with pytest.raises(ValueError, match="wanted an angle above 0, at most a right angle"):
        sweep_factor(steer)


@pytest.mark.parametrize(
    ("steer", "camber", "options", "message"),
    [
        ([0.3, 0.3], [0.0, 0.0], {}, "at least two stops, more than a degree"),
        ([0.3, 0.31, 0.305], [0.0, 0.0, 0.0], {}, "at least two stops, more than a degree"),
        ([0.3], [0.0], {}, "at least two stops, more than a degree"),
        ([], [], {}, "at least two stops, more than a degree"),
        ([0.3, -0.3], [0.0], {}, "2 steer angles and 1 cambers"),
        ([[0.3, -0.3]], [[0.0, 0.0]], {}, "wanted one camber per stop"),
        ([0.3, -0.3], [0.0, 0.0], {"u_camber": 0.0}, "u_camber and u_sai above zero"),
        ([0.3, -0.3], [0.0, 0.0], {"u_steer": -1.0}, "u_steer not below zero"),
        ([0.3, -0.3], [0.0, 0.0], {"sai": 0.2, "u_sai": 0.0}, "u_camber and u_sai above zero"),
        ([0.3, math.nan], [0.0, 0.0], {}, "within a right angle"),
        ([0.3, -0.3], [0.0, math.inf], {}, "within a right angle"),
    ],
)
def test_what_cannot_be_solved_is_refused(
    steer: list, camber: list, options: dict, message: str
) -> None:
    with pytest.raises(ValueError, match=message):
        solve_sweep(steer, camber, **{"u_camber": 0.001, **options})


def test_a_wheel_that_cannot_steer_so_far_is_refused() -> None:
    with pytest.raises(ValueError, match="no rotation about this axis"):
        camber_at(0.0, math.radians(60), math.radians(30), math.radians(80))
