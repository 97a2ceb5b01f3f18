"""A forecast holds: solving real or simulated readings reports the intervals that it promised."""

from __future__ import annotations

import math
import re
from pathlib import Path

import numpy as np
import pytest

from tests.solve.simulated import RNG_KEY, cars, job_of
from toebox.errors import FaultyInput, NoResult
from toebox.job import load
from toebox.job.model import Goal, Pass, SweepStop, Tape, Turn, Turned, WheelGauge, WheelStrings
from toebox.job.reader import loads
from toebox.solve import solve_pass
from toebox.solve.decide import decide
from toebox.solve.foresee import LIKELY, TOGETHER, chance_of_proof, foresee, readings_planned
from toebox.solve.plan import Plan, nominal

ROOT = Path(__file__).parents[2]
JOBS = sorted([*(ROOT / "samples").glob("*.toml"), *(ROOT / "templates").glob("*.toml")])
AGREES = 0.05

# What is read, and in how many positions of the wheel.
SETS = {
    "everything": (("string", "hub", "bars", "tape", "road_test"), 2),
    "one valve position": (("string", "hub", "bars", "tape", "road_test"), 1),
    "four valve positions": (("string", "bars"), 4),
    "strings alone": (("string",), 2),
    "tape alone": (("tape",), 1),
    "tape and road test": (("tape", "road_test"), 1),
}


def assert_as_promised(job) -> None:
    forecast = foresee(job)
    solved = solve_pass(job, job.passes[-1])
    assert set(forecast.solved.results) == set(solved.results)
    for name, result in solved.results.items():
        assert forecast.solved[name].u == pytest.approx(result.u, rel=AGREES), name


@pytest.mark.parametrize("path", JOBS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_the_readings_of_samples_and_templates_get_the_promised_intervals(path) -> None:
    assert len(JOBS) >= 10
    assert_as_promised(load(path))


WHOLE = (Pass, WheelStrings, Tape, WheelGauge, Turn)  # what is spoilt field by field


def spoilt(values: object, rng: np.random.Generator) -> object:
    """Return readings that a crooked car and an unsteady hand give in place of nominal ones."""
    if isinstance(values, SweepStop):
        return values._replace(camber=values.camber + rng.normal(0.0, 0.002))
    if isinstance(values, WHOLE):
        return values._replace(**{k: spoilt(v, rng) for k, v in values._asdict().items()})
    if isinstance(values, Turned) or not isinstance(values, tuple | dict):
        return values
    if isinstance(values, dict):
        return {key: spoilt(value, rng) for key, value in values.items()}
    if values and isinstance(values[0], float):
        return tuple(value + rng.normal(0.0, 0.002) for value in values)
    return tuple(spoilt(value, rng) for value in values)


@pytest.mark.no_cover
@pytest.mark.parametrize("path", JOBS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_any_readings_of_a_plan_get_the_promised_intervals(path) -> None:
    """Each reading 2 mm or 0.1 degree from a straight car's, at random, twenty times over.

    What a sweep reports of caster depends a little on the readings themselves (the inclination that
    it finds): single rounds differ by up to 10 %, their middle by less than 2 %.
    """
    rng = np.random.default_rng(RNG_KEY)
    job = load(path)
    straight, forecast = nominal(job, job.passes[-1]), foresee(job).solved
    ratios: dict[str, list[float]] = {}
    for _ in range(20):
        for name, result in solve_pass(job, spoilt(straight, rng)).results.items():
            ratios.setdefault(name, []).append(result.u / forecast[name].u)
    assert set(ratios) == set(forecast.results)
    for name, found in ratios.items():
        widest = 2 * AGREES if "caster" in name else AGREES
        assert found == pytest.approx([1.0] * 20, abs=widest), name
        assert np.median(found) == pytest.approx(1.0, abs=0.02), name


@pytest.mark.parametrize("name", SETS)
def test_simulated_readings_get_the_promised_intervals(name) -> None:
    rng = np.random.default_rng(RNG_KEY)
    what, repeats = SETS[name]
    for car in cars(8):
        assert_as_promised(job_of(car, rng, repeats, what))


def test_the_chance_of_proof_is_how_often_a_car_on_goal_is_proven() -> None:
    """Six hundred tape readings of 120 cars, each with its own toe as its goal."""
    rng = np.random.default_rng(RNG_KEY)
    tolerance, proven, chances = math.radians(0.15), [], []
    for car in 5 * cars(120):
        goal = Goal(car.truth()["total_toe.front"], tolerance)
        job = job_of(car, rng, 1, ("tape",), goals={"total_toe.front": goal})
        result = solve_pass(job, job.passes[0])["total_toe.front"]
        proven.append(decide(result, goal).outcome == "within")
        chances.append(foresee_chance(job))
    expected = np.mean(chances)
    assert 0.2 < expected < 0.98
    assert np.mean(proven) == pytest.approx(expected, abs=3.0 * 0.5 / math.sqrt(len(proven)))


def foresee_chance(job) -> float:
    """Return the forecast chance of the front total toe; one plan each car is enough to ask."""
    plan = Plan(job, job.passes[0]).solve()
    return chance_of_proof(job.goals["total_toe.front"], plan["total_toe.front"])


def text_of(name: str) -> str:
    return (ROOT / "templates" / f"{name}.toml").read_text("utf-8")


def test_a_tape_gives_what_the_guide_says() -> None:
    """JCGM 100:2008 (GUM) 4.3.7: resolution d counts d / sqrt(12); 5.1.2: root sum of squares.

    1/16 in repeated to 1/16 in, twice at each edge, across 23 3/4 in.
    """
    reading = math.hypot(1 / 16 / math.sqrt(12), 1 / 16)
    u = math.sqrt(2) * reading / math.sqrt(2) / 23.75
    result = foresee(loads(text_of("tape-only"), "t")).solved["total_toe.front"]
    assert result.u == pytest.approx(u, rel=1e-6)


def planned(text: str) -> str:
    """Replace every length that a tape or a bar gives by a question mark, repeat for repeat."""
    text = re.sub(r"^((?:front|rear)_edge = )\[.*?\]", r'\1["?", "?"]', text, flags=re.M)
    return re.sub(r'^((?:front_bar_width|rear_bar_width) = )".*?"', r'\1"?"', text, flags=re.M)


def test_a_question_mark_is_a_reading_to_be_taken() -> None:
    text = text_of("tape-only")
    job = loads(planned(text), "plan", plans=True)
    assert all(map(math.isnan, job.passes[0].tape["front"].front_edge))
    assert readings_planned(job.passes[0]) == 4
    u = foresee(job).solved["total_toe.front"].u
    assert u == foresee(loads(text, "read")).solved["total_toe.front"].u


def test_to_solve_a_question_mark_is_a_fault_with_its_line() -> None:
    text = planned(text_of("tape-only"))
    line = text[: text.index('"?"')].count("\n") + 1
    wanted = f"line {line}: pass\\[1\\].tape.front.front_edge\\[1\\]: given .* still to be taken"
    with pytest.raises(FaultyInput, match=wanted):
        loads(text, "plan")


@pytest.mark.parametrize(
    "line, need",
    [
        ('car.wheelbase = "?"\n[[pass]]\nstring.left_front.front = "?"', "car.wheelbase"),
        ('[[pass]]\nstring.front_bar_width = "?"\nstring.bar_spacing = "?"', "bar_spacing"),
        ('car.tyre_diameter = "?"\n[[pass]]\ntape.front.front_edge = "?"', "car.tyre_diameter"),
    ],
)
def test_a_size_that_is_left_open_is_asked_for_where_it_is_needed(line, need) -> None:
    with pytest.raises(FaultyInput, match=rf'{need}: given "\?"; wanted: (the|how)'):
        loads(f'length_unit = "in"\n{line}\n', "plan", plans=True)


def test_every_reading_can_be_planned() -> None:
    text = Path(__file__).with_name("plan.toml").read_text("utf-8")
    job = loads(text, "plan", plans=True)
    assert readings_planned(job.passes[0]) == text.count('"?"')
    results = foresee(job).solved.results
    assert {"toe.left_front", "thrust_angle", "steering_wheel", "setback"} <= set(results)
    assert all(0.0 < result.u < 0.1 for result in results.values())


# What a step promises is what the job gives once it is really written so.
STEPS = {
    "tape": ('"1/16 in", repeatability = "1/16 in"', '"1/32 in", repeatability = "1/32 in"'),
    "plates": ("[pass.tape.front]", '[pass.tape.front]\nacross = "30"'),
}


@pytest.mark.parametrize("kind", STEPS)
def test_a_step_keeps_its_promise_when_the_job_is_written_so(kind) -> None:
    text = text_of("tape-only")
    old, new = STEPS[kind]
    assert old in text
    (promised,) = [h for h in foresee(loads(text, "t")).helps if h.steps[0].kind == kind]
    kept = foresee(loads(text.replace(old, new, 1), "t")).solved
    assert promised.results["total_toe.front"].u == pytest.approx(kept["total_toe.front"].u)


SWEPT = """length_unit = "mm"
car = { wheelbase = 2500, rim_diameter = 400, track = 1500 }
goal.camber.left_front = { angle = "0.5 top in", tolerance = 0.3 }
[[pass]]
floor = { front = 0, along = 0 }
[pass.inclinometer.left_front]
"""


def test_camber_with_the_gauge_turned_is_promised_where_only_a_sweep_was_read() -> None:
    """The gauge's zero, which a sweep carries in full, falls out of camber."""
    stops = [f'{{ steer = {steer}, camber = "?" }}' for steer in ('"20 out"', "0", '"20 in"')]
    once = SWEPT + f"sweep = [{', '.join(stops)}]\n"
    twice = (
        SWEPT
        + f"""camber = ["?", "?"]
camber_turned = ["?", "?"]
sweep = [{", ".join(stop for stop in stops for _ in range(2))}]
"""
    )
    forecast = foresee(loads(once, "plan", plans=True))
    kept = foresee(loads(twice, "plan", plans=True)).solved.results
    (promised,) = [h for h in forecast.helps if h.steps[0].kind == "gauge_again"]
    assert kept["camber.left_front"].u < 0.3 * forecast.solved["camber.left_front"].u
    for name, result in kept.items():
        assert promised.results[name].u == pytest.approx(result.u, rel=1e-6), name


def test_two_whole_rounds_have_a_mean_that_errs_less_by_the_root_of_two() -> None:
    forecast = foresee(loads(text_of("tape-only"), "t"))
    (twice,) = [h for h in forecast.helps if h.steps[0].kind == "whole_round_again"]
    u = forecast.solved["total_toe.front"].u
    assert twice.results["total_toe.front"].u == pytest.approx(u / math.sqrt(2))


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_every_help_helps_and_none_does_harm(path) -> None:
    forecast = foresee(load(path))
    before = forecast.solved.results
    assert forecast.helps
    tried = [*forecast.helps, *filter(None, [forecast.together])]
    for one in tried:
        for name, result in before.items():
            assert one.results[name].u <= result.u * (1 + 1e-9), (one.steps[0].kind, name)
        for name in one.helped:
            assert name not in before or one.results[name].u < before[name].u


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_together_is_for_what_no_single_step_proves(path) -> None:
    """It is left out where the plan or one step is enough, and has no step too many."""
    forecast = foresee(load(path))
    likely = all(p.chance >= LIKELY for p in forecast.prospects.values())
    if forecast.together is None:
        assert likely or any(one.enough for one in forecast.helps) or len(forecast.helps) < 2
        return
    assert 2 <= len(forecast.together.steps) <= TOGETHER
    chances = {n: p.chance for n, p in forecast.together.prospects.items()}
    for one in forecast.helps:
        if one.steps[0].kind in {step.kind for step in forecast.together.steps}:
            assert all(chances[n] >= p.chance - 1e-9 for n, p in one.prospects.items())


def test_the_ranking_is_by_what_comes_nearest_to_the_goals() -> None:
    """With one goal, that is the order of the intervals."""
    forecast = foresee(load(ROOT / "templates" / "tape-only.toml"))
    intervals = [one.results["total_toe.front"].u for one in forecast.helps]
    assert intervals == sorted(intervals)


def test_without_goals_the_usual_results_are_watched() -> None:
    job = load(ROOT / "samples" / "string-box.toml")._replace(goals={})
    forecast = foresee(job)
    assert forecast.prospects == {}
    assert "thrust_angle" in forecast.watched
    assert forecast.helps


def test_a_job_without_readings_has_nothing_to_foresee() -> None:
    with pytest.raises(NoResult, match="no reading is planned"):
        foresee(loads('length_unit = "in"\n[[pass]]\nlabel = "x"', "plan", plans=True))


def test_readings_that_determine_nothing_are_told() -> None:
    text = 'length_unit = "in"\ncar.tyre_diameter = 24\n[[pass]]\ntape.front.front_edge = "?"\n'
    with pytest.raises(NoResult, match="do not give a single result"):
        foresee(loads(text, "plan", plans=True))


def test_strings_can_be_advised_where_only_the_bars_are_measured() -> None:
    """The car's sizes are taken as usual ones for strings, where the job does not give them."""
    bars = '[pass.string]\nfront_bar_width = "71"\nrear_bar_width = "71"\nbar_spacing = "170"\n'
    job = loads(text_of("tape-only") + bars, "bars alone")
    assert job.car.wheelbase is None
    strings = [one for one in foresee(job).helps if one.steps[0].kind == "strings"]
    assert len(strings) == 1
    assert "thrust_angle" in strings[0].results


def test_what_was_turned_is_no_reading_that_is_planned() -> None:
    text = planned(text_of("tape-only"))
    turned = '[[pass]]\nlabel = "later"\nturned = { left = "1 shorten" }\n'
    promised = foresee(loads(text, "plan", plans=True)).solved
    solved = foresee(loads(f"{text}\n{turned}", "plan", plans=True)).solved
    assert solved.label == promised.label == "as found"
    assert solved.results == promised.results
    alone = text[: text.index("\n[[pass]]")] + f"\n{turned}"
    with pytest.raises(NoResult, match="no reading is planned"):
        foresee(loads(alone, "plan", plans=True))


SEVERAL = SWEPT.replace("[[pass]]", """goal.camber.right_front = { angle = 0, tolerance = 0.3 }
goal.caster.left_front = { angle = 4, tolerance = 0.5 }
tie_rods = { steering_arm = "behind", arm_length = 130, outer_thread = "M14x1.5" }
[[adjuster]]
name = "left bolt"
wheel = "left_front"
kind = "direct"
unit = "mm"
gives = "top out"
effect = { camber = 0.2, caster = 0 }
[[pass]]""") + """camber = [-0.5, -0.6]
camber_turned = [-0.5, -0.6]
caster = 4
"""
LATER = """[[pass]]
turned = {}
tape.front = {{ front_edge = '?', rear_edge = '?', across = 600 }}
"""


@pytest.mark.parametrize(
    ("later", "known"),
    [
        (LATER.format("{ left = '1 shorten', right = '?' }"), {"camber": 0, "caster": 0}),
        (LATER.format("{ 'left bolt' = '1 more' }"), {"caster": 0}),
        ("[[pass]]\nturned = { 'left bolt' = '1 more' }\n" + LATER.format("{}"), {"caster": 0}),
        (LATER.format("{}") + "[pass.inclinometer.left_front]\ncamber = '?'\n", {"caster": 0}),
        # Not taken yet: the pass before it still tells.
        (2 * LATER.format("{}"), {"camber": 0, "caster": 0}),
    ],
)
def test_what_a_pass_before_tells_is_not_asked_for_again(later: str, known: dict) -> None:
    forecast = foresee(loads(SEVERAL + later, "plan", plans=True))
    found = {name: stand.number for name, stand in forecast.known.items()}
    assert found == {f"{kind}.left_front": number for kind, number in known.items()}
    assert not set(forecast.known) & set(forecast.prospects)
    assert "camber.right_front" in forecast.prospects
    (gauge,) = [one for one in forecast.helps if one.steps[0].kind == "gauge"]
    assert gauge.helped == tuple(n for n in forecast.prospects if n not in forecast.solved.results)


def test_toes_read_before_are_not_known_once_the_rods_may_have_been_turned() -> None:
    job = load(ROOT / "samples" / "string-box.toml")
    before = job.passes[-1]
    strings = {wheel: read for wheel, read in before.string.items() if wheel != "left_front"}
    again = before._replace(string=strings, tape={}, steering_wheel_off=())
    for turned, known in (({}, False), ({"left": Turned(0.0), "right": Turned(0.0)}, True)):
        forecast = foresee(job._replace(passes=(before, again._replace(turned=turned))))
        assert {"toe.right_front", "thrust_angle"} <= set(forecast.solved.results)
        assert ("toe.left_front" in forecast.known) == known


def test_a_turn_left_open_leaves_nothing_known_from_a_pass_before() -> None:
    """An earlier pass with plans tells what was turned before it, or that nobody says."""
    text = (
        'length_unit = "mm"\ncar.tyre_diameter = 600\n[goal]\n'
        "front_total_toe = { angle = 0.1, tolerance = 0.3 }\n"
        "[[pass]]\ntape.front = { front_edge = 1400, rear_edge = 1402 }\n"
        '[[pass]]\nturned = { left = TURNED, right = "not turned" }\n'
        'inclinometer.left_front.camber = "?"\n[[pass]]\ninclinometer.left_rear.camber = "?"\n'
    )
    for turned, known in (('"not turned"', True), ('"?"', False), ('"1/6 lengthen"', False)):
        job = loads(text.replace("TURNED", turned), "job", plans=True)
        assert ("total_toe.front" in foresee(job).known) == known
