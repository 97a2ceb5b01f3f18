"""A steering wheel that was not quite straight while the strings were read."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.simulate import SimulatedCar
from tests.solve.simulated import INSTRUMENTS, RNG_KEY, STRING_BOX, cars, job_of, noise, pass_of
from toebox.correct import correct
from toebox.correct.adjusters.effects import SET_UP_ANEW
from toebox.job.defaults import ONLY_STATED
from toebox.job.model import QUICK_RATIO, Goal, Instrument, Job, Pass
from toebox.solve import solve, solve_pass
from toebox.solve.improve import changes
from toebox.solve.plan import Plan

DEGREE = math.radians(1.0)
WITHIN = 20.0 * DEGREE
FINE = Instrument(0.0, 1e-6)
SHARP = INSTRUMENTS._replace(
    string_rule=FINE,
    tape=FINE,
    road_test=FINE,
    rim_runout=0.0,
    steering_wheel_straight_within=WITHIN,
)
READ_AS_CLAMPED = tuple(part for part in STRING_BOX if part != "road_test")
FRONT = {"left_front": 1.0, "right_front": -1.0}
ALONE = "assumed.steering_wheel_straight_within"


def clamped(car: SimulatedCar, off: float) -> SimulatedCar:
    """Return the car with its steering wheel held `off` to the right of straight."""
    return car.adjusted(**{w: sign * off / car.steering_ratio for w, sign in FRONT.items()})


def read(car: SimulatedCar, off: float, **changes: object) -> Job:
    """Return a job whose strings and tape were read while the steering wheel was held `off`."""
    job = job_of(car, **changes)
    held = pass_of(clamped(car, off).readings(None, 1, READ_AS_CLAMPED))
    return job._replace(
        passes=(held._replace(steering_wheel_off=job.passes[0].steering_wheel_off),)
    )


@pytest.mark.parametrize("off", [-7.0 * DEGREE, 0.0, 4.0 * DEGREE])
def test_the_road_tells_how_it_was_clamped(off) -> None:
    for car in cars(10):
        solved = solve(read(car, off, instruments=SHARP)).passes[0]
        assert solved.clamped == pytest.approx(off, abs=2e-4)
        for wheel in FRONT:
            assert solved[f"toe.{wheel}"].value == pytest.approx(car.toe[wheel], abs=2e-5)
        assert solved["steering_wheel"].value == pytest.approx(car.steering_wheel_off(), abs=1e-4)


def test_where_the_road_is_silent_it_widens_what_depends_on_it_alone() -> None:
    job = job_of(cars(1)[0], what=READ_AS_CLAMPED)
    straight = solve(job).passes[0]
    within = job.instruments._replace(steering_wheel_straight_within=3.0 * DEGREE)
    held = solve(job._replace(instruments=within)).passes[0]
    u, ratio = 3.0 * DEGREE / math.sqrt(3.0), job.car.steering_ratio or 0.0
    for name, result in straight.results.items():
        wider = {"steering_wheel": u} | {f"toe.{w}": u / ratio for w in FRONT}
        wider |= {f"toe_to_thrust.{wheel}": u / ratio for wheel in FRONT}
        assert held[name].value == pytest.approx(result.value, abs=1e-6)
        by_hand = math.hypot(result.u, wider.get(name, 0.0))
        assert held[name].u == pytest.approx(by_hand, rel=1e-4), name
    assert "steering_wheel_straight_within" in held.assumed
    assert "steering_wheel_straight_within" not in straight.assumed


def test_the_reading_to_stop_at_is_for_the_steering_wheel_as_it_is_clamped() -> None:
    """Set so with the steering wheel held where it was, the car meets both goals on the road."""
    goals = {"total_toe.front": Goal(0.2 * DEGREE), "steering_wheel": Goal(0.0)}
    for car in cars(10):
        off = 5.0 * DEGREE
        job = read(car, off, instruments=SHARP, goals=goals)
        solution = solve(job)
        (told,) = correct(solution)
        held = clamped(car, off)
        for rod in told.rods:
            wheel = f"{rod.side}_front"
            assert rod.stop_at_string is not None
            held = set_by_string(held, wheel, rod.stop_at_string)
        done = clamped(held, -off)
        total = done.toe["left_front"] + done.toe["right_front"]
        assert total == pytest.approx(0.2 * DEGREE, abs=4e-5)
        assert done.steering_wheel_off() == pytest.approx(0.0, abs=4e-4)


def set_by_string(car: SimulatedCar, wheel: str, wanted: float) -> SimulatedCar:
    """Return the car with one wheel turned until its string shows front minus rear edge so."""
    for _ in range(4):
        front, rear = (
            car.readings(None, 1, ("string",))["string"][wheel][end][0] for end in ("front", "rear")
        )
        car = car.adjusted(**{wheel: (wanted - (front - rear)) / car.rim_diameter})
    return car


def test_the_tape_to_stop_at_stays_as_it_is() -> None:
    goals = {"total_toe.front": Goal(0.2 * DEGREE), "steering_wheel": Goal(0.0)}
    car = cars(1)[0]
    (told,) = correct(solve(read(car, 5.0 * DEGREE, instruments=SHARP, goals=goals)))
    assert told.stop_at_tape is not None
    assert told.stop_at_tape == pytest.approx(car.tyre_diameter * 0.2 * DEGREE, rel=1e-3)


def test_nothing_is_assumed_where_nothing_depends_on_it() -> None:
    within = INSTRUMENTS._replace(steering_wheel_straight_within=DEGREE)
    car = cars(1)[0]
    tape = job_of(car, what=("tape", "road_test"), instruments=within)
    assert ALONE not in [o.label for o in solve(tape).passes[0].network.observations]
    whole = job_of(car, instruments=within)
    assert ALONE in [o.label for o in solve(whole).passes[0].network.observations]
    rear = {w: s for w, s in whole.passes[0].string.items() if w.endswith("rear")}
    behind = whole._replace(passes=(whole.passes[0]._replace(string=rear),))
    assert ALONE not in [o.label for o in solve(behind).passes[0].network.observations]


@pytest.mark.no_cover
@pytest.mark.parametrize("road", [True, False])
def test_results_are_off_by_as_much_as_they_say(road) -> None:
    """Clamped anywhere within 3 degrees of straight, the noise as the instruments state it."""
    rng, within = np.random.default_rng(RNG_KEY), 3.0 * DEGREE
    names = ("toe.left_front", "toe.right_front", "toe_to_thrust.left_front", "steering_wheel")
    squares, number = dict.fromkeys(names, 0.0), 400
    for car in cars(number):
        job = job_of(car, instruments=INSTRUMENTS._replace(steering_wheel_straight_within=within))
        held = clamped(car, rng.uniform(-within, within)).readings(noise(rng), 2, READ_AS_CLAMPED)
        one = pass_of(held)
        if road:
            off = rng.normal(car.steering_wheel_off(), job.instruments.road_test.u)
            one = one._replace(steering_wheel_off=(off,))
        solved, truth = solve_pass(job, one), car.truth()
        truth["toe_to_thrust.left_front"] = car.toe["left_front"] - car.thrust()
        for name in names:
            squares[name] += ((solved[name].value - truth[name]) / solved[name].u) ** 2
    rms = {name: math.sqrt(square / number) for name, square in squares.items()}
    assert all(0.9 <= one <= 1.1 for one in rms.values()), rms


@pytest.mark.no_cover
def test_without_a_ratio_it_counts_as_with_a_quick_steering() -> None:
    """Cars of 13 to 18 to 1 whose jobs do not say so, clamped anywhere within 3 degrees."""
    rng, within = np.random.default_rng(RNG_KEY), 3.0 * DEGREE
    instruments = INSTRUMENTS._replace(steering_wheel_straight_within=within)
    hit, number = dict.fromkeys(FRONT, 0), 200
    for car in cars(number):
        assert car.steering_ratio >= QUICK_RATIO
        job = job_of(car, instruments=instruments)
        job = job._replace(car=job.car._replace(steering_ratio=None))
        held = clamped(car, rng.uniform(-within, within)).readings(noise(rng), 2, READ_AS_CLAMPED)
        solved = solve_pass(job, pass_of(held))
        assert "steering_wheel_straight_within" in solved.assumed
        for wheel in FRONT:
            found = solved[f"toe.{wheel}"]
            hit[wheel] += abs(found.value - car.toe[wheel]) <= 2.0 * found.u
    assert all(count / number > 0.95 for count in hit.values()), hit


@pytest.mark.no_cover
def test_without_it_the_same_intervals_hold_too_little() -> None:
    rng = np.random.default_rng(RNG_KEY)
    hit, number = 0, 200
    for car in cars(number):
        off = rng.uniform(-3.0 * DEGREE, 3.0 * DEGREE)
        held = clamped(car, off).readings(noise(rng), 2, READ_AS_CLAMPED)
        job = job_of(car)
        assert job.instruments.steering_wheel_straight_within == 0.0
        found = solve_pass(job, pass_of(held))["steering_wheel"]
        hit += abs(found.value - car.steering_wheel_off()) <= 2.0 * found.u
    assert hit / number < 0.85


def test_a_forecast_offers_to_clamp_it_straighter_as_far_as_a_level_tells() -> None:
    goals = {"steering_wheel": Goal(0.0, DEGREE)}
    for within, offered in ((3.0, True), (0.6, True), (0.4, False), (0.0, False)):
        stated = INSTRUMENTS._replace(steering_wheel_straight_within=within * DEGREE)
        plan = Plan(job_of(cars(1)[0], instruments=stated, goals=goals), Pass("planned"), 1)
        steps = [step for change in changes() if (step := change(plan)) is not None]
        found = [step for step in steps if step.kind == "straighter"]
        assert bool(found) is offered
        for step in found:
            halved = step.plan.job.instruments.steering_wheel_straight_within
            assert halved == pytest.approx(within / 2.0 * DEGREE)


def test_passes_are_clamped_each_anew() -> None:
    """Nothing of it drops out between two passes, as what they share does."""
    assert {f"assumed.{name}" for name in ONLY_STATED} <= set(SET_UP_ANEW)
