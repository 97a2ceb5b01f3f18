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


def test_turns_that_can_be_set_near_a_change() -> None:
    """Flats around 2.6 flats: one or two each way, within the thread, or none at all."""

    def near(reach: int, low: float = -math.inf, high: float = math.inf, n: float = 2.6):
        side = Side(0.0, 0.0, PER_TURN, STEP, low * STEP, high * STEP)
        return [turns / STEP for turns in side.near(math.asin(n * STEP * PER_TURN), reach)]

    assert near(1) == pytest.approx([2, 3])
    assert near(2) == pytest.approx([1, 2, 3, 4])
    assert near(1, n=-2.6) == pytest.approx([-3, -2])
    assert near(1, n=3.0) == pytest.approx([3, 4])
    assert near(2, high=3) == pytest.approx([1, 2, 3])
    assert near(2, low=2) == pytest.approx([2, 3, 4])
    assert near(1, high=1) == pytest.approx([1])
    assert near(1, low=4) == pytest.approx([4, 5])
    assert near(1, low=0, high=0) == pytest.approx([0])
    assert near(1, low=0.2, high=0.8) == [0.0]


@pytest.mark.parametrize("ratio, tolerance", [(16.0, 2.0), (4.0, 20.0), (20.0, 0.5)])
@pytest.mark.parametrize("limit", [1.0, 0.0])
def test_the_other_side_makes_up_for_a_side_that_its_thread_stops(
    ratio: float, tolerance: float, limit: float
) -> None:
    """Against every turn of the free side, whichever side is the free one."""
    tolerances = math.radians(0.05), math.radians(tolerance)
    wanted = math.asin(3.3 * PER_TURN)
    stopped = Side(wanted, wanted, PER_TURN, STEP, high=limit)
    free = Side(wanted / 2, wanted / 2, 1.1 * PER_TURN, STEP)
    tried = [(limit, n * STEP) for n in range(-60, 60)]
    best = min(cost(stopped, free, pair, ratio, tolerances) for pair in tried)
    found = round_jointly(stopped, free, ratio, tolerances)
    assert cost(stopped, free, found, ratio, tolerances) <= best + 1e-9
    found = round_jointly(free, stopped, ratio, tolerances)
    assert cost(free, stopped, found, ratio, tolerances) <= best + 1e-9
    assert found[1] <= limit + 1e-9


@pytest.mark.parametrize("seed", range(12))
def test_no_pair_in_reach_leaves_less(seed: int) -> None:
    rng = np.random.default_rng(seed)
    sides = []
    for change in rng.uniform(-0.01, 0.01, 2):
        low, high = -rng.uniform(0, 1), rng.uniform(0, 1)
        per_turn = PER_TURN * rng.choice([-1.0, 1.0]) * rng.uniform(0.8, 1.2)
        sides.append(Side(change, change, per_turn, STEP, low, high))
    ratio, tolerances = rng.uniform(12, 20), (rng.uniform(5e-4, 4e-3), rng.uniform(0.01, 0.08))
    found = round_jointly(*sides, ratio, tolerances)
    turns = [[n * STEP for n in range(-6, 7) if s.low <= n * STEP <= s.high] for s in sides]
    best = min(cost(*sides, (p, q), ratio, tolerances) for p in turns[0] for q in turns[1])
    assert cost(*sides, found, ratio, tolerances) == pytest.approx(best, abs=1e-9)


def test_threads_are_evened_only_among_roundings_that_are_alike() -> None:
    """A tenth of a tolerance more may be left for it, not more."""
    wanted = math.asin(3.0 * STEP * PER_TURN)
    side = Side(wanted, wanted, PER_TURN, STEP)

    def uneven(a: float, b: float) -> float:
        return 1.0 + a - b

    for wide, turns in ((25.0, (2 * STEP, 4 * STEP)), (10.0, (3 * STEP, 3 * STEP))):
        tolerances = math.radians(0.05), math.radians(wide)
        assert round_jointly(side, side, 16.0, tolerances, uneven) == pytest.approx(turns)
        assert round_jointly(side, side, 16.0, tolerances) == pytest.approx((3 * STEP, 3 * STEP))


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_rounding_does_not_creep_after_what_is_kept(sign: float) -> None:
    """Half a flat a side is wanted; the steering wheel is kept, though four flats off."""
    share, off = 0.5 * STEP * PER_TURN, 4.0 * STEP * PER_TURN
    left = Side(share, share + sign * off, PER_TURN, STEP)
    right = Side(share, share - sign * off, PER_TURN, STEP)
    found = round_jointly(left, right, 16.0, (math.radians(0.1), math.radians(2.0)))
    assert found == pytest.approx((STEP, 0.0) if sign > 0 else (0.0, STEP))
