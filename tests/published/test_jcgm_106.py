"""JCGM 106:2012, clauses 7 and 8.3: probability of conformity, and guard bands.

The worked examples of the probability of conformity are quoted from memory and confirmed by
arithmetic. A guard band of the expanded uncertainty, k = 2, is the rule of ISO 14253-1 (from
memory). The normal probabilities beside them are those of any table.
"""

from __future__ import annotations

import math

import pytest
from scipy import stats

from tests.printed import printed
from toebox.job.model import Goal
from toebox.solve.decide import decide, probability_between
from toebox.solve.results import Result

FROM_MEMORY = [
    # value, u, lower limit, upper limit, printed probability
    (-5.47, 0.05, -math.inf, -5.40, "0.9192"),  # one upper limit
    (13.6, 1.8, 12.5, 16.3, "0.6626"),  # an interval
]


@pytest.mark.parametrize(("value", "u", "low", "high", "text"), FROM_MEMORY)
def test_conformance_probability(
    value: float, u: float, low: float, high: float, text: str
) -> None:
    wanted = printed(text, f"probability of conformity of {value}, u {u}", "7")
    assert probability_between(value, u, low, high) == wanted
    reference = stats.norm(value, u)
    assert reference.cdf(high) - reference.cdf(low) == wanted


def decided(value: float, u: float, low: float, high: float) -> tuple[str, float]:
    goal = Goal((low + high) / 2, (high - low) / 2)
    decision = decide(Result("total_toe.front", value, u), goal)
    assert decision is not None
    return decision.outcome, decision.probability_within


def test_the_interval_of_the_example_is_not_proven() -> None:
    outcome, probability = decided(13.6, 1.8, 12.5, 16.3)
    assert outcome == "not proven"
    assert probability == pytest.approx(0.6626, abs=5e-5)


def test_at_a_guard_band_of_2_u_the_probability_is_that_of_2_sigma() -> None:
    """Far from the other limit: 0.9772, the normal distribution function of 2, by any table."""
    low, high, u = -100.0, 0.0, 1.0
    for value, outcome in ((-2.0, "within"), (-1.999, "not proven"), (2.0, "not proven")):
        assert decided(value, u, low, high)[0] == outcome
    assert decided(2.001, u, low, high)[0] == "outside"
    assert decided(-2.0, u, low, high)[1] == pytest.approx(0.97725, abs=5e-6)
    assert decided(2.0, u, low, high)[1] == pytest.approx(0.02275, abs=5e-6)


def test_where_the_tolerance_is_no_wider_than_the_interval_nothing_is_proven_within() -> None:
    """A guarded interval that is empty: 4 u wide, only its middle; narrower, no value at all."""
    assert decided(0.0, 0.5, -1.0, 1.0)[0] == "within"
    for step in range(-40, 41):
        assert decided(step / 10.0, 0.501, -1.0, 1.0)[0] != "within"


@pytest.mark.parametrize("sign", [1, -1])
def test_both_limits_alike(sign: int) -> None:
    inner, outer = decided(sign * 0.3, 0.1, -0.5, 0.5), decided(-sign * 0.3, 0.1, -0.5, 0.5)
    assert inner[0] == outer[0] == "within"
    assert inner[1] == pytest.approx(outer[1])


def test_no_uncertainty_decides_by_the_value_alone() -> None:
    assert decided(0.5, 0.0, -0.5, 0.5) == ("within", 1.0)
    assert decided(0.51, 0.0, -0.5, 0.5) == ("outside", 0.0)
    assert decide(Result("thrust_angle", 0.0, 1.0), Goal(0.0)) is None
