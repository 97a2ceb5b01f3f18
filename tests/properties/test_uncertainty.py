"""Uncertainties scale with those of the readings, and no further reading makes one larger."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.effort import examples
from tests.properties.drawn import WHAT, job_from, thinned
from toebox.job.model import Instrument, Instruments, Job, Pass
from toebox.solve import PassSolution, solve_pass
from toebox.solve.gauge import serves_for_camber
from toebox.solve.plan import nominal

pytestmark = pytest.mark.no_cover
CLOSE = 1e-9
# With all of these the network has no constant of its own: every uncertainty is the file's.
NO_SWEEP = ("string", "hub", "bars", "tape", "road_test", "wheelbases", "camber", "camber_turned")


def scaled(instruments: Instruments, factor: float) -> Instruments:
    """Return instruments whose every uncertainty is larger by a factor."""
    changes = {}
    for name, value in instruments._asdict().items():
        if isinstance(value, Instrument):
            changes[name] = Instrument(value.resolution * factor, value.repeatability * factor)
        elif isinstance(value, float):
            changes[name] = value * factor
    return instruments._replace(**changes)


@settings(max_examples=examples(40))
@given(seed=st.integers(0, 2**32), factor=st.floats(0.05, 20.0))
def test_scaling_every_uncertainty_scales_every_interval(seed: int, factor: float) -> None:
    job = job_from(seed, what=NO_SWEEP)
    readings = thinned(job.passes[0], np.random.default_rng(seed))
    wider = job._replace(instruments=scaled(job.instruments, factor))
    one, two = solve_pass(job, readings), solve_pass(wider, readings)
    assert set(one.results) == set(two.results)
    for name, result in one.results.items():
        assert two[name].value == pytest.approx(result.value, abs=1e-9), name
        assert two[name].u == pytest.approx(factor * result.u, rel=1e-6), name


def straight(seed: int, what: tuple[str, ...] = WHAT) -> tuple[Job, Pass]:
    """Return a random car and the readings that it would give if it stood straight."""
    job = job_from(seed, noise=False, what=what)
    return job, nominal(job, job.passes[0])


def additions(readings: Pass, whole: Pass) -> list[Pass]:
    """Return the pass with one more reading, for each reading that it lacks."""
    found = []
    for key in ("wheelbase_left", "wheelbase_right", "steering_wheel_off"):
        if not getattr(readings, key):
            found.append(readings._replace(**{key: getattr(whole, key)}))
    for table in ("string", "tape", "gauge"):
        for name, full in getattr(whole, table).items():
            present = getattr(readings, table)
            now = present.get(name) or _emptied(full)
            for field, more in full._asdict().items():
                if isinstance(more, tuple) and more and not getattr(now, field):
                    part = now._replace(**{field: more})
                    found.append(readings._replace(**{table: {**present, name: part}}))
    return found


def _emptied(part):
    return part._replace(**{k: () for k, v in part._asdict().items() if isinstance(v, tuple)})


def assert_no_larger(before: PassSolution, after: PassSolution) -> None:
    for name, result in before.results.items():
        assert name in after.results, name
        assert after[name].u <= result.u * (1.0 + CLOSE), name


def only_added(before: PassSolution, after: PassSolution) -> bool:
    """Tell whether the new reading took nothing's place.

    A measurement takes the place of an assumption, and a camber reading that of a sweep which
    stood in for one: what was assumed, or zeroed at one stop, may seem better and yet be wrong.
    """
    kept = {o.label for o in after.network.observations if o.assumed}
    assumed = {o.label for o in before.network.observations if o.assumed} <= kept
    stood_in = [w for w, gauge in before.readings.gauge.items() if serves_for_camber(gauge)]
    return assumed and all(serves_for_camber(after.readings.gauge[w]) for w in stood_in)


@settings(max_examples=examples(40))
@given(seed=st.integers(0, 2**32))
def test_a_further_reading_never_makes_an_uncertainty_larger(seed: int) -> None:
    """Readings of a straight car, so that all fits are linearised at one place."""
    job, whole = straight(seed)
    rng = np.random.default_rng(seed)
    readings = thinned(whole, rng)
    choices = additions(readings, whole)
    before = solve_pass(job, readings)
    for richer in [choices[i] for i in rng.permutation(len(choices))[:4]]:
        after = solve_pass(job, richer)
        if only_added(before, after):
            assert_no_larger(before, after)


@settings(max_examples=examples(25))
@given(seed=st.integers(0, 2**32))
def test_repeating_every_string_reading_never_makes_an_uncertainty_larger(seed: int) -> None:
    job, twice = straight(seed, what=("string", "hub", "bars", "tape", "road_test"))
    once = twice._replace(string={w: _first_of_each(s) for w, s in twice.string.items()})
    assert_no_larger(solve_pass(job, once), solve_pass(job, twice))


def _first_of_each(strings):
    return strings._replace(front=strings.front[:1], rear=strings.rear[:1], hub=strings.hub[:1])


@settings(max_examples=examples(25))
@given(seed=st.integers(0, 2**32), finer=st.floats(0.1, 1.0))
def test_a_finer_instrument_never_makes_an_uncertainty_larger(seed: int, finer: float) -> None:
    job, whole = straight(seed)
    readings = thinned(whole, np.random.default_rng(seed))
    before = solve_pass(job, readings)
    for name in ("string_rule", "tape", "road_test", "inclinometer"):
        instrument: Instrument = getattr(job.instruments, name)
        better = Instrument(instrument.resolution * finer, instrument.repeatability * finer)
        assert_no_larger(before, solve_pass(_with(job, name, better), readings))


def _with(job: Job, name: str, instrument: Instrument) -> Job:
    return job._replace(instruments=job.instruments._replace(**{name: instrument}))


def test_a_mean_of_four_has_half_the_uncertainty() -> None:
    """GUM 4.2.3, on the simplest result there is: setback, with the left wheelbase read once."""
    job = job_from(1, what=("wheelbases",))
    (length,), (other,) = job.passes[0].wheelbase_left, job.passes[0].wheelbase_right
    u = job.instruments.tape.u
    for left, right, expected in (((length,), (other,), 2.0), ((length,) * 4, (other,) * 4, 0.5)):
        found = solve_pass(job, Pass("drawn", wheelbase_left=left, wheelbase_right=right))
        assert found["setback"].u == pytest.approx(u * math.sqrt(expected), rel=1e-12)
