"""A rim that wobbles: what the rule shows with the valve up and down once the rods are turned."""

from __future__ import annotations

import math

import pytest

from tests.correct.test_every_combination import ARM, CAR, FINE, done, job
from tests.simulate import Perfect
from tests.solve.simulated import pass_of
from toebox.correct import correct
from toebox.job.model import SIDES, Instrument, TieRod
from toebox.solve import solve
from toebox.units import read_thread

ROD = TieRod(True, ARM, outer_thread=read_thread("M14x1.5"), smallest_turn=FINE)


class Wobbling(Perfect):
    """Perfect readings of rims that all wobble alike, highest 40 degrees before the valve is up."""

    def wobble(self) -> tuple[float, float]:
        return 0.0004, math.radians(40.0)


def told(repeats: int, runout: float = 0.001, rule: float = 1e-6):
    planned = job(ROD, math.radians(0.8))
    instruments = planned.instruments._replace(rim_runout=runout, string_rule=Instrument(0.0, rule))
    readings = CAR.readings(Wobbling(), repeats, ("string", "bars", "tape", "road_test"))
    return correct(solve(planned._replace(instruments=instruments, passes=(pass_of(readings),))))[0]


def test_the_rule_shows_what_was_told_with_the_valve_up_and_down() -> None:
    correction = told(2)
    read = done(ROD, correction).string_readings(Wobbling(), 2, hub=False)
    for rod in correction.rods:
        edges = read[f"{rod.side}_front"]
        shown = [front - rear for front, rear in zip(edges["front"], edges["rear"], strict=True)]
        assert rod.stop_at_valve == pytest.approx(shown, abs=0.00015)
        assert abs(shown[0] - shown[1]) > 0.001  # a wobble that matters
        assert sum(rod.stop_at_valve) / 2.0 == pytest.approx(rod.stop_at_string, abs=1e-12)


def test_where_reading_is_coarse_a_wobble_counts_less_than_it_seems() -> None:
    """Least squares weigh what was seen of it against the run-out that was stated."""
    rule, runout = 0.0004, 0.0008
    for rod in told(2, runout, rule).rods:
        fine = next(one for one in told(2).rods if one.side == rod.side)
        seen = fine.stop_at_valve[0] - fine.stop_at_valve[1]
        assumed = (runout / math.sqrt(8.0)) ** 2
        share = assumed / (assumed + rule**2 / 4.0)
        assert rod.stop_at_valve[0] - rod.stop_at_valve[1] == pytest.approx(share * seen, rel=0.01)


@pytest.mark.parametrize("repeats", [1, 3])
def test_other_positions_than_up_and_down_have_means_alone(repeats) -> None:
    assert [rod.stop_at_valve for rod in told(repeats).rods] == [None] * len(SIDES)
