"""Joint rounding: against every pair of turns there is."""

from __future__ import annotations

import math

import numpy as np
import pytest

from toebox.correct.rounding import Side, round_jointly

PER_TURN = 0.0015 / 0.13
STEP = 1 / 6


def cost(left: Side, right: Side, pair: tuple[float, float], ratio: float, tol: object) -> float:
    total, wheel = tol  # type: ignore[misc]
    a, b = (s.ideal - math.asin(t * s.per_turn) for s, t in zip((left, right), pair, strict=True))
    return math.hypot((a + b) / total, ratio * (a - b) / 2 / wheel)


@pytest.mark.parametrize("limits", [False, True])
def test_no_pair_of_turns_leaves_less(limits: bool) -> None:
    rng = np.random.default_rng(4)
    for _ in range(60):
        a, b = rng.uniform(-0.02, 0.02, 2)
        signs = rng.choice([-1.0, 1.0])
        bounds = [sorted((-rng.uniform(0, 3), rng.uniform(0, 3))) if limits else (-9, 9)] * 2
        left = Side(a, a, PER_TURN * signs, STEP, *bounds[0])
        right = Side(b, b, PER_TURN * signs * rng.uniform(0.8, 1.2), STEP, *bounds[1])
        ratio, tol = rng.uniform(12, 20), (rng.uniform(5e-4, 4e-3), rng.uniform(0.01, 0.08))
        found = round_jointly(left, right, ratio, tol)
        steps = [
            [n * STEP for n in range(-60, 61) if s.low - 1e-9 <= n * STEP <= s.high + 1e-9]
            for s in (left, right)
        ]
        best = min(cost(left, right, (p, q), ratio, tol) for p in steps[0] for q in steps[1])
        assert cost(left, right, found, ratio, tol) == pytest.approx(best, abs=1e-9)
        for side, turns in zip((left, right), found, strict=True):
            assert side.low - 1e-9 <= turns <= side.high + 1e-9
            assert turns / STEP == pytest.approx(round(turns / STEP), abs=1e-9)


def test_rounding_alone_would_leave_more() -> None:
    """Two rods each 0.4 of a flat short: apart nothing is turned, together one flat is."""
    wanted = math.asin(0.45 * STEP * PER_TURN)
    left = right = Side(wanted, wanted, PER_TURN, STEP)
    tolerances = (math.radians(0.05), math.radians(20.0))
    assert sorted(round_jointly(left, right, 16.0, tolerances)) == pytest.approx([0.0, STEP])


def test_what_is_kept_decides_only_which_way_to_round() -> None:
    """The steering wheel stays as found, but is not turned further off by rounding."""
    share = 0.5 * STEP * PER_TURN
    off = 0.8 * STEP * PER_TURN
    tolerances = (math.radians(0.1), math.radians(2.0))
    for sign in (1.0, -1.0):
        left = Side(share, share + sign * off, PER_TURN, STEP)
        right = Side(share, share - sign * off, PER_TURN, STEP)
        found = round_jointly(left, right, 16.0, tolerances)
        assert found == pytest.approx((STEP, 0.0) if sign > 0 else (0.0, STEP))


def test_among_equals_the_threads_are_evened() -> None:
    wanted = math.asin(0.5 * STEP * PER_TURN)
    left = right = Side(wanted, wanted, PER_TURN, STEP)
    tolerances = (math.radians(0.05), math.radians(2.0))

    def uneven(a: float, b: float) -> float:
        return 0.001 + 0.0015 * (b - a)  # lengthening takes thread from its own side

    assert round_jointly(left, right, 16.0, tolerances, uneven) == pytest.approx((STEP, 0.0))
