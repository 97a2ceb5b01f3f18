"""What passes teach of tie rods, against the weighted mean by hand (GUM 5.1.2).

A tape sees the sum of both toes, a road test their difference over the steering ratio: what two
of them show is one equation for two effects, so each takes its part of the surprise.
"""

from __future__ import annotations

import math

import pytest

from tests.correct.adjusted import effects_of
from toebox.correct.effects import Effect, Known, Learning
from toebox.job import loads
from toebox.solve import solve
from toebox.solve.results import Solution

HEAD = """
length_unit = "mm"
car = { wheelbase = 2600, steering_ratio = 16, rim_diameter = 400, tyre_diameter = 600 }
instruments.tape = { resolution = 0, repeatability = 0.2 }
instruments.road_test = { resolution = 0, repeatability = 1 }
"""
RODS = """
[tie_rods]
steering_arm = "behind"
arm_length = 130
arm_length_within = 20
outer_thread = "M14x1.5"
"""
ARITHMETIC = 1.5 / 130
U_ARITHMETIC = ARITHMETIC * 20 / math.sqrt(3.0) / 130
FACTORS = {"tape": (1.0, 1.0), "road test": (-8.0, 8.0)}  # of the two toes in what is read


def one_pass(kind: str, read: float, turned: str = "") -> str:
    """Return a pass that reads a total toe or a steering wheel [rad]."""
    text = "[[pass]]\n" + (f"turned = {{ {turned} }}\n" if turned else "")
    if kind == "tape":
        edges = f"front_edge = 1400, rear_edge = {1400 + 1200 * math.sin(read / 2)!r}"
        return f"{text}tape.front = {{ {edges}, across = 600 }}\n"
    side = "right" if read >= 0 else "left"
    return f'{text}steering_wheel_off = "{abs(math.degrees(read))!r} {side}"\n'


def solved(*parts: str) -> Solution:
    return solve(loads("".join(parts), "invented"))


def learned(*parts: str) -> dict[str, Effect]:
    solution = solved(*parts)
    return effects_of(solution)


def way(turns: float) -> str:
    return f'"{abs(turns)} {"lengthen" if turns >= 0 else "shorten"}"'


def both(left: float, right: float) -> str:
    return f"left = {way(left)}, right = {way(right)}"


@pytest.mark.parametrize("kind", FACTORS)
@pytest.mark.parametrize("turns", [(2.0, 0.0), (0.0, -1.0), (2.0, 1.0), (-1.0, 3.0)])
def test_two_passes_and_the_arithmetic(kind: str, turns: tuple[float, float]) -> None:
    factors = [factor * count for factor, count in zip(FACTORS[kind], turns, strict=True)]
    change = 1.1 * ARITHMETIC * sum(factors)
    readings = one_pass(kind, 0.01), one_pass(kind, 0.01 + change, both(*turns))
    solution = solved(HEAD, RODS, *readings)
    name = "total_toe.front" if kind == "tape" else "steering_wheel"
    first, second = (one[name] for one in solution.passes)
    seen, noise = second.value - first.value, math.hypot(first.u, second.u)
    variance = noise**2 + U_ARITHMETIC**2 * sum(f**2 for f in factors)
    surprise = seen - ARITHMETIC * sum(factors)
    found = effects_of(solution)
    for side, factor, partner in zip(("left", "right"), factors, factors[::-1], strict=True):
        gain = factor * U_ARITHMETIC**2 / variance
        effect = found[side]
        assert effect.per_turn == pytest.approx(ARITHMETIC + gain * surprise, rel=1e-6)
        assert effect.u == pytest.approx(U_ARITHMETIC * math.sqrt(1 - gain * factor), rel=1e-6)
        assert (effect.arithmetic, effect.u_arithmetic) == pytest.approx(
            (ARITHMETIC, U_ARITHMETIC)
        )
        if not factor:
            assert (effect.observed, effect.u_observed) == (None, None)
        else:
            alone = (seen - partner * ARITHMETIC) / factor
            u_alone = math.hypot(noise, partner * U_ARITHMETIC) / abs(factor)
            assert effect.observed == pytest.approx(alone, rel=1e-6)
            assert effect.u_observed == pytest.approx(u_alone, rel=1e-6)
        assert (effect.disagrees, effect.doubtful) == (False, False)


def test_thread_and_arm_alone() -> None:
    """Thread over arm; a longer rod gives toe-out where the arm points ahead."""
    tape = one_pass("tape", 0.01)
    ahead = RODS.replace('"behind"', '"ahead"')
    sleeve = RODS + 'inner_thread = "M14x1.5-LH"\n'
    for rods, value in ((RODS, ARITHMETIC), (ahead, -ARITHMETIC), (sleeve, 2.0 * ARITHMETIC)):
        for effect in learned(HEAD, rods, tape).values():
            assert effect.per_turn == effect.arithmetic == pytest.approx(value)
            u = abs(value) * U_ARITHMETIC / ARITHMETIC
            assert effect.u == effect.u_arithmetic == pytest.approx(u)
            assert (effect.observed, effect.u_observed, effect.disagrees) == (None, None, False)
    for missing in ("arm_length = 130\narm_length_within = 20\n", 'outer_thread = "M14x1.5"\n'):
        assert learned(HEAD, RODS.replace(missing, ""), tape) == {}


@pytest.mark.parametrize("turns", [2.0, -3.0])
@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("loose", [False, True])
def test_tape_and_road_test_together_tell_of_each_wheel(
    side: str, turns: float, loose: bool
) -> None:
    """Three values of one effect: by arithmetic, by the sum, and by the difference; their mean.

    Where the rear can be adjusted it may have been, so that the road test teaches nothing.
    """
    factor = -8.0 if side == "left" else 8.0
    changes = {"tape": 1.05 * ARITHMETIC * turns, "road test": 0.9 * ARITHMETIC * turns * factor}

    def read(times: float, turned: str = "") -> str:
        road = one_pass("road test", 0.02 + times * changes["road test"], turned)
        return road + one_pass("tape", 0.01 + times * changes["tape"]).partition("\n")[2]

    car = HEAD.replace("ratio = 16", f"ratio = 16, rear_toe_adjustable = {str(loose).lower()}")
    solution = solved(car, RODS, read(0.0), read(1.0, f"{side} = {way(turns)}"))
    assert "toe.left_front" not in solution.passes[0].results
    values = [(ARITHMETIC, U_ARITHMETIC)]
    for kind, name, by in (
        ("tape", "total_toe.front", turns),
        ("road test", "steering_wheel", turns * factor),
    )[: 1 if loose else 2]:
        noise = math.hypot(*(one[name].u for one in solution.passes))
        values.append((changes[kind] / by, noise / abs(by)))
    weight = sum(1 / u**2 for _, u in values)
    effect = effects_of(solution)[side]
    best = sum(value / u**2 for value, u in values) / weight
    assert effect.per_turn == pytest.approx(best, rel=1e-4)
    assert effect.u == pytest.approx(1 / math.sqrt(weight), rel=1e-4)


PRECISE = HEAD.replace("repeatability = 0.2", "repeatability = 0.002")


@pytest.mark.parametrize(
    "arm, ratio, disagrees, doubtful",
    [
        (20, 1.15, False, False),
        (20, 1.20, True, False),  # two standard uncertainties of the arm are 17.8 %
        (20, 0.80, True, False),
        (20, 0.85, False, False),
        (1, 2.45, True, False),
        (1, 2.55, True, True),
        (1, 0.41, True, False),
        (1, 0.39, True, True),
        (1, -1.0, True, True),
        (60, 2.55, True, True),
        (125, 0.35, False, False),  # an arm that is hardly known can hardly be contradicted
    ],
)
def test_when_passes_and_arithmetic_disagree(
    arm: float, ratio: float, disagrees: bool, doubtful: bool
) -> None:
    """Beyond 95 % of their difference what the car did counts; beyond 2.5 to 1 nothing does."""
    rods = RODS.replace("within = 20", f"within = {arm}")
    change = 2.0 * ratio * ARITHMETIC
    found = learned(
        PRECISE, rods, one_pass("tape", 0.0), one_pass("tape", change, 'left = "2 lengthen"')
    )
    left = found["left"]
    assert (left.disagrees, left.doubtful) == (disagrees, doubtful)
    assert left.observed == pytest.approx(ratio * ARITHMETIC, rel=1e-4)
    if disagrees and not doubtful:
        assert (left.per_turn, left.u) == (left.observed, left.u_observed)
    else:
        assert left.u < (left.u_observed or 0.0)
    assert (found["right"].disagrees, found["right"].doubtful) == (False, False)


@pytest.mark.parametrize("share, known", [(1.9, False), (2.1, True), (-1.9, False), (-2.1, True)])
def test_without_thread_and_arm_passes_must_prove_an_effect(share: float, known: bool) -> None:
    """More than its own 95 % interval."""
    u = solved(HEAD, one_pass("tape", 0.0)).passes[0]["total_toe.front"].u
    change = share * u * math.sqrt(2.0)
    found = learned(
        HEAD, one_pass("tape", 0.0), one_pass("tape", change, 'left = "3 lengthen"')
    )
    assert set(found) == ({"left"} if known else set())
    if known:
        left = found["left"]
        assert left.per_turn == left.observed == pytest.approx(change / 3)
        assert left.u == left.u_observed == pytest.approx(u * math.sqrt(2.0) / 3)
        assert (left.arithmetic, left.u_arithmetic) == (None, None)


def test_turns_add_up_over_passes_and_a_gap_starts_anew() -> None:
    """Total toe at 0, 1 and 3 turns in one line; a pass that tells no turns is a new start."""
    one, two = 'left = "1 lengthen"', 'left = "2 lengthen"'
    line = (
        one_pass("tape", 0.0),
        one_pass("tape", 0.012, one),
        one_pass("tape", 0.036, two),
    )
    u = solved(HEAD, line[0]).passes[0]["total_toe.front"].u
    left = learned(HEAD, *line)["left"]
    assert left.per_turn == pytest.approx(0.012)
    spread = math.sqrt(sum((n - 4 / 3) ** 2 for n in (0, 1, 3)))  # of a straight line
    assert left.u == pytest.approx(u / spread, rel=2e-4)
    gap = one_pass("tape", 0.1), one_pass("tape", 0.112, one), one_pass("tape", 0.136, two)
    again = learned(HEAD, *line, *gap)["left"]
    assert again.per_turn == pytest.approx(0.012)
    assert again.u == pytest.approx(u / spread / math.sqrt(2.0), rel=2e-3)


def test_turns_before_the_first_pass_teach_nothing() -> None:
    turned = 'left = "1 lengthen"'
    first = learned(HEAD, RODS, one_pass("tape", 0.5, turned))
    assert first == learned(HEAD, RODS, one_pass("tape", 0.5))
    both_told = one_pass("tape", 0.0, turned), one_pass("tape", 0.012, turned)
    later = learned(HEAD, *both_told)["left"]
    assert later.observed == pytest.approx(0.012)


def test_a_pass_after_an_adjuster_was_moved_starts_anew() -> None:
    """Camber screws move toe as well: nobody knows how much of the change is theirs."""
    screw = '[[adjuster]]\nwheel = "left_front"\nkind = "direct"\nname = "screw"\n'
    screw += "effect = { camber = 0.1 }\n"
    moved = 'left = "1 lengthen", screw = "1 more"'
    readings = one_pass("tape", 0.0), one_pass("tape", 0.1, moved)
    assert learned(HEAD, RODS, screw, *readings)["left"].observed is None
    still = readings[0], one_pass("tape", 0.012, moved.replace("1 more", "0 more"))
    assert learned(HEAD, RODS, screw, *still)["left"].observed == pytest.approx(0.012)


def strings(left: float, right: float) -> str:
    """Return readings whose front and rear edges differ so much at each front wheel [mm]."""
    wheels = {"left_front": left, "right_front": right, "left_rear": 1.0, "right_rear": -2.0}
    lines = [f"{w} = {{ front = {100 + more}, rear = 100 }}" for w, more in wheels.items()]
    return "\n".join(["[[pass]]", "[pass.string]", *lines, ""])


def known_of(solution: Solution) -> Known:
    learning = Learning(solution.job)
    for one in solution.passes:
        learning.add(one)
    return learning.known()


@pytest.mark.parametrize("loose", [False, True])
def test_what_the_last_pass_does_not_read_is_told_by_the_one_before_and_the_turns(
    loose: bool,
) -> None:
    car = HEAD.replace("ratio = 16", f"ratio = 16, rear_toe_adjustable = {str(loose).lower()}")
    nothing = "tape.rear = { front_edge = 1400, rear_edge = 1401, across = 600 }\n"
    last = f"[[pass]]\nturned = {{ {both(2.0, -1.0)} }}\n{nothing}"
    solution = solved(car, RODS, strings(3.0, 1.0), last)
    first = solution.passes[0]
    found = known_of(solution)
    changes = 2.0 * ARITHMETIC, -1.0 * ARITHMETIC
    u_turning = math.hypot(2.0 * U_ARITHMETIC, 1.0 * U_ARITHMETIC)
    total = first["total_toe.front"]
    assert found.total is not None
    assert found.total == pytest.approx(
        (total.value + sum(changes), math.hypot(total.u, u_turning)), rel=1e-5
    )
    if loose:  # the rear wheels may point anywhere by now
        assert found.difference is None
        return
    sides = [f"toe_to_thrust.{side}_front" for side in ("left", "right")]
    left, right = (first[name].value for name in sides)
    gradient = (first.gradients[sides[0]] - first.gradients[sides[1]]) / 2.0
    u_before = first.estimate.standard_uncertainty(gradient)
    assert found.difference == pytest.approx(
        ((left - right + changes[0] - changes[1]) / 2, math.hypot(u_before, u_turning / 2)),
        rel=1e-5,
    )


def test_nothing_is_carried_over_where_turns_are_unknown_or_doubtful() -> None:
    tape = one_pass("tape", 0.0)
    assert known_of(solved(HEAD, RODS, tape, tape)) == Known(learned(HEAD, RODS, tape))
    wrong = known_of(
        solved(PRECISE, RODS, tape, one_pass("tape", -0.05, 'left = "2 lengthen"'))
    )
    assert wrong.effects["left"].doubtful
    assert (wrong.total, wrong.difference) == (None, None)
    # Turned by nothing: what was read before still holds.
    still = solved(HEAD, RODS, tape, one_pass("tape", 0.0, both(0.0, 0.0)))
    u = still.passes[0]["total_toe.front"].u
    assert known_of(still).total == pytest.approx((0.0, u / math.sqrt(2.0)), abs=1e-12)


@pytest.mark.parametrize("open_side", ["left", "right"])
def test_a_turn_left_open_teaches_nothing(open_side: str) -> None:
    """Whoever leaves one side open ("?") has turned it or not: nobody knows what the other did."""
    other = {"left": "right", "right": "left"}[open_side]
    turned = f'{open_side} = "?", {other} = "2 lengthen"'
    first, second = one_pass("tape", 0.0), one_pass("tape", 0.05, turned)
    assert learned(HEAD, RODS, first, second) == learned(HEAD, RODS, first)
    # What is turned after that counts again, from the readings before it.
    third = both(2.0, 0.0)
    later = learned(HEAD, RODS, first, second, one_pass("tape", 0.08, third))
    alone = learned(HEAD, RODS, one_pass("tape", 0.05), one_pass("tape", 0.08, third))
    assert later["left"].per_turn == pytest.approx(alone["left"].per_turn, rel=1e-9)
    assert later["left"].u == pytest.approx(alone["left"].u, rel=1e-9)


def test_a_change_that_no_turn_explains_teaches_nothing() -> None:
    """Two turns do as the arithmetic says; then half of that is gone, "not turned": a kerb."""
    passes = one_pass("tape", 0.0), one_pass("tape", 2 * ARITHMETIC, both(2.0, 0.0))
    still = 'left = "not turned", right = "not turned"'
    taught, after = learned(HEAD, RODS, *passes), one_pass("tape", ARITHMETIC, still)
    found = learned(HEAD, RODS, *passes, after)
    assert found["left"].per_turn == pytest.approx(taught["left"].per_turn, rel=1e-9)
    assert found["left"].u == pytest.approx(taught["left"].u, rel=1e-9)
    # The same reading again is as good as one more of that pass.
    again = learned(HEAD, RODS, *passes, one_pass("tape", 2 * ARITHMETIC, still))
    assert again["left"].u < taught["left"].u
