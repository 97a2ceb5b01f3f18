"""When a change is justified: simulated cars, and the rule against judging each rod alone."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.report.test_told import CAR, GOALS, RODS, data, strings
from tests.simulate import SimulatedCar
from tests.solve.simulated import job_of
from toebox.correct import correct
from toebox.correct.justify import ELLIPSE_OF_TWO, Change, justified, to_improve
from toebox.correct.results import Improve
from toebox.estimate import Estimate, fit
from toebox.job.model import Goal
from toebox.solve import solve

COUNT = 4000
RATIO = 16.0


def estimate_of(u_total: float, u_wheel: float) -> Estimate:
    """Return a fit of half total and half difference, so uncertain."""
    u = np.array([u_total / 2.0, u_wheel / RATIO])
    return fit(lambda x: (x, np.eye(2)), np.zeros(2), u, np.zeros(2))


def after(
    truth: np.ndarray, tolerance: np.ndarray, u: np.ndarray, alone: bool
) -> tuple[np.ndarray, np.ndarray]:
    """Return what is left of total toe and steering wheel [tolerances], and who was turned."""
    rng = np.random.default_rng(11)
    fitted = estimate_of(*u)
    rows = np.eye(2)
    left, turned = [], []
    for true in truth:
        read = true + rng.normal(size=2) * u
        met = np.abs(read) + 2.0 * u <= tolerance
        half = np.array([-read[0] / 2.0, read[1] / RATIO])
        names = ("total_toe.front", "steering_wheel")
        changes = tuple(
            Change(name, float(value), row, bool(within))
            for name, value, row, within in zip(names, half, rows, met, strict=True)
        )
        if alone:
            rods = np.array([half.sum(), half[0] - half[1]])
            u_rod = math.hypot(u[0] / 2.0, u[1] / RATIO)
            rods = np.where(np.abs(rods) > 2.0 * u_rod, rods, 0.0)
            made = np.array([rods.sum() / 2.0, (rods[0] - rods[1]) / 2.0])
        else:
            making = {c.name for c in justified(changes, fitted)}
            made = np.array([h if n in making else 0.0 for n, h in zip(names, half, strict=True)])
        left.append((true + np.array([2.0 * made[0], -RATIO * made[1]])) / tolerance)
        turned.append(bool(np.any(made)))
    return np.array(left), np.array(turned)


TOLERANCE = np.radians([0.15, 2.0])
U = np.radians([0.037, 0.52])  # as samples/string-box.toml is read


def test_cars_that_are_right_are_left_alone() -> None:
    _, turned = after(np.zeros((COUNT, 2)), TOLERANCE, U, alone=False)
    assert turned.mean() < 0.06
    _, turned_alone = after(np.zeros((COUNT, 2)), TOLERANCE, U, alone=True)
    assert turned.mean() < turned_alone.mean()


@pytest.mark.parametrize("wrong", [0, 1], ids=["total toe", "steering wheel"])
def test_what_was_right_stays_right(wrong: int) -> None:
    """One goal missed by three tolerances or so, the other one met."""
    truth = np.zeros((COUNT, 2))
    truth[:, wrong] = 3.0 * TOLERANCE[wrong] * np.random.default_rng(3).normal(size=COUNT)
    left, _ = after(truth, TOLERANCE, U, alone=False)
    other, _ = after(truth, TOLERANCE, U, alone=True)
    upset, upset_alone = ((np.abs(x[:, 1 - wrong]) > 1e-9).mean() for x in (left, other))
    assert upset < 0.06
    assert upset_alone > 0.5
    assert np.sqrt((left**2).sum(axis=1).mean()) < np.sqrt((other**2).sum(axis=1).mean())


def test_two_that_are_wrong_both_become_right() -> None:
    truth = 3.0 * TOLERANCE * np.random.default_rng(3).normal(size=(COUNT, 2))
    left, _ = after(truth, TOLERANCE, U, alone=False)
    assert (np.abs(left) <= 1.0).all(axis=1).mean() > 0.99


def test_the_ellipse_is_that_of_two_normal_variables() -> None:
    """P(chi-squared with two degrees of freedom < x) = 1 - exp(-x/2)."""
    assert -2.0 * math.log(0.05) == pytest.approx(ELLIPSE_OF_TWO, abs=5e-4)


def test_two_doubtful_changes_can_be_proven_together() -> None:
    fitted = estimate_of(2.0, RATIO)  # both of standard uncertainty one
    rows = np.eye(2)
    pair = (
        Change("total_toe.front", 1.9, rows[0]),
        Change("steering_wheel", -1.9, rows[1]),
    )
    assert justified(pair, fitted) == pair
    assert justified(pair[:1], fitted) == ()
    weak = tuple(Change(c.name, c.value * 0.8, c.gradient) for c in pair)
    assert justified(weak, fitted) == ()
    met = tuple(Change(c.name, 9.0, c.gradient, met=True) for c in pair)
    assert justified(met, fitted) == ()
    assert justified((met[0], pair[1]), fitted) == ()
    assert justified((), fitted) == ()


def test_one_wheel_alone_does_not_prove_a_pair() -> None:
    """What both make together is as good as unknown where one wheel is: nothing is turned."""
    fitted = estimate_of(2.0, RATIO)
    # Uncertainties of the left wheel and of the right one; half sum and half difference correlate.
    for left, right, both in ((1.0, 3.0, True), (1.0, 5.0, False), (0.1, 50.0, False)):
        rows = np.array([[left, right], [left, -right]]) / 2.0
        pair = (Change("total_toe.front", 1.9, rows[0]), Change("steering_wheel", 1.9, rows[1]))
        assert not any(justified((change,), fitted) for change in pair)
        assert justified(pair, fitted) == (pair if both else ())


def test_a_wheel_of_which_one_edge_is_read_is_not_turned() -> None:
    """Left front known, right front not: neither total toe nor steering wheel is proven."""
    half = strings(3.0, -3.0).replace(
        "right_front = { front = [98.5, 98.5], rear = [101.5, 101.5] }",
        "right_front = { front = [98.5, 98.5] }",
    )
    assert "rear = [101.5" not in half
    found = data(CAR, GOALS, RODS, "[[pass]]\n", half)
    assert [found["corrections"][s]["justified"] for s in ("left", "right")] == [False, False]
    assert found["turning"]["corrected"] == []
    whole = data(CAR, GOALS, RODS, "[[pass]]\n", strings(3.0, -3.0))
    assert [whole["corrections"][s]["justified"] for s in ("left", "right")] == [True, True]


def test_the_reading_to_improve_is_the_one_that_spoils_the_result() -> None:
    car = SimulatedCar(
        toe={"left_front": 0.0005, "right_front": 0.0005, "left_rear": 0.0, "right_rear": 0.0}
    )
    goals = {"total_toe.front": Goal(0.0, 0.0020), "steering_wheel": Goal(0.0, 0.05)}
    taped = job_of(car, what=("tape",), goals=goals)
    told = correct(solve(taped))[-1]
    assert not any(rod.justified for rod in told.rods)
    assert told.improve is not None
    assert (told.improve.name, told.improve.reading) == ("total_toe.front", "tape.front")
    assert told.improve.share == pytest.approx(1.0)
    both = correct(solve(job_of(car, what=("tape", "road_test"), goals=goals)))[-1]
    assert both.improve is not None
    assert both.improve.reading == "tape.front"
    further = car.adjusted(left_front=0.001, right_front=0.001)
    proven = correct(solve(job_of(further, what=("tape", "road_test"), goals=goals)))[-1]
    assert proven.corrected == ("total_toe.front",)
    assert proven.improve is None


def test_what_is_proven_to_be_met_is_left() -> None:
    car = SimulatedCar()
    goals = {
        "total_toe.front": Goal(0.0, math.radians(0.5)),
        "steering_wheel": Goal(0.0, math.radians(5.0)),
    }
    told = correct(solve(job_of(car, goals=goals)))[-1]
    assert told.proven_within
    assert told.improve is None
    assert {rod.direction for rod in told.rods} == {"leave"}


NONE = np.zeros(2)


def carried(name: str, value: float, u: float, met: bool = False) -> Change:
    """Return a change of which only earlier passes tell."""
    return Change(name, value, NONE, met, carried=u)


def test_what_is_carried_over_counts_by_its_own_variance() -> None:
    """Two changes of 1.8 u lie beyond the ellipse (2 x 3.24 = 6.48), two of 1.7 u (5.78) do not."""
    fitted = estimate_of(2.0, RATIO)
    for u in (0.3, 1.5):
        for share, proven in ((1.8, True), (1.7, False)):
            pair = carried("total_toe.front", share * u, u), carried("steering_wheel", share * u, u)
            assert justified(pair, fitted) == (pair if proven else ())
    mixed = carried("total_toe.front", 0.54, 0.3), Change("steering_wheel", 1.8, np.eye(2)[1])
    assert justified(mixed, fitted) == mixed


def test_the_change_nearest_to_being_proven_is_the_one_to_improve() -> None:
    """The largest share of its own u, whatever its size, among goals that are not met."""
    taped = solve(job_of(SimulatedCar(), what=("tape",))).passes[0]
    small, large = carried("small", 0.0004, 0.0010), carried("large", 0.3, 1.5)
    for pair in ((small, large), (large, small)):
        assert to_improve(pair, taped) == Improve("small", "carried", 1.0)
    met = carried("small", 0.0004, 0.0010, met=True)
    assert to_improve((met, large), taped) == Improve("large", "carried", 1.0)
    assert to_improve((met,), taped) is None
    assert to_improve((), taped) is None
    # What is exactly as wanted, or known exactly, no better reading changes.
    assert to_improve((carried("right", 0.0, 1.0), carried("exact", 0.1, 0.0)), taped) is None
    of_tape = Change("total", 1e-4, taped.gradients["total_toe.front"])
    assert to_improve((of_tape, carried("other", 1e-9, 1.0)), taped) == Improve(
        "total", "tape.front", pytest.approx(1.0)
    )


def test_readings_of_a_kind_are_improved_together() -> None:
    """Eight edges read on strings: one kind, which together hold most of the doubt."""
    job = job_of(SimulatedCar(), what=("string", "bars"))
    one = solve(job._replace(instruments=job.instruments._replace(rim_runout=0.0))).passes[0]
    found = to_improve((Change("total", 1e-4, one.gradients["total_toe.front"]),), one)
    assert found is not None
    assert found.reading == "string"
    assert found.share > 0.5
