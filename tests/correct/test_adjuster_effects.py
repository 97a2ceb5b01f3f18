"""What passes teach of adjusters, against the weighted mean worked out by hand (GUM 5.1.2)."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from tests.correct.test_adjuster_plan import CAM, DEGREE, HEAD, ROD, one_pass, solved, strings
from toebox.correct.adjusters import Effect, effects
from toebox.correct.adjusters.effects import by_arithmetic
from toebox.job import loads
from toebox.job.model import WHEELS

PER_DEGREE = math.asin(6 * DEGREE / 300)  # of the cam, camber by a degree at its middle
PER_TURN = math.asin(1.5 / 300)  # of the strut rod, caster by a turn
# Of one camber: the gauge, and the rule that measured the floor.
U_CAMBER = solved(HEAD, one_pass(4.0, 0.2)).passes[0]["camber.left_front"].u
PLAIN = CAM.replace("effect = { caster = 0 }\n", "")


def cam_after(change: float, angle: float, *parts: str, first: str = HEAD) -> dict:
    """Return the effects after turning the cam by an angle [deg] that changed camber so."""
    turned = f'cam = "{angle} clockwise"'
    camber = 0.2 + math.degrees(change)
    return effects(solved(first, PLAIN, *parts, one_pass(4.0, 0.2), one_pass(4.0, camber, turned)))


def mean(values: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Return the mean of values weighted by 1/u^2, and its u."""
    weight = sum(1 / u**2 for _, u in values)
    return sum(value / u**2 for value, u in values) / weight, 1 / math.sqrt(weight)


def check(effect: Effect, value: float, u: float, source: str) -> None:
    assert effect.value == pytest.approx(value, rel=1e-4)
    assert effect.u == pytest.approx(u, rel=1e-4)
    assert effect.source == source


@pytest.mark.parametrize("angle", [2.0, 12.0, 30.0])
def test_an_effect_is_the_mean_of_arithmetic_and_passes(angle: float) -> None:
    """Arithmetic: 20 %. Passes: the u of two cambers, over the sine of the angle."""
    sine = math.sin(math.radians(angle)) / DEGREE
    change = 0.9 * PER_DEGREE * sine
    shown = 0.9 * PER_DEGREE, math.hypot(U_CAMBER, U_CAMBER) / sine
    value, u = mean([(PER_DEGREE, 0.2 * PER_DEGREE), shown])
    learned = "learned" if angle > 11.0 else "arithmetic"  # where u falls to 0.7 of what it was
    check(cam_after(change, angle)["cam", "camber"], value, u, learned)


@pytest.mark.parametrize("angle", [6.0, 12.0])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_contradiction_is_a_move_that_chance_makes_once_in_a_thousand(
    angle: float, sign: float
) -> None:
    """The mean moves from the arithmetic by a random step of variance u^2 before less after."""
    sine = math.sin(math.radians(angle)) / DEGREE
    before, seen = 0.2 * PER_DEGREE, math.hypot(U_CAMBER, U_CAMBER) / sine
    off = 3.29 * math.hypot(before, seen)  # of the passes alone: the two then differ by 3.29 u
    for share, contradicted in ((0.98, False), (1.02, True)):
        change = (PER_DEGREE + sign * share * off) * sine
        assert cam_after(change, angle)["cam", "camber"].contradicted == contradicted


def test_what_was_not_moved_stays_as_it_was() -> None:
    before = effects(solved(HEAD, ROD, PLAIN, one_pass(4.0, 0.2)))
    after = cam_after(12.0 * PER_DEGREE, 12.0, ROD)
    for kind in ("caster", "camber", "toe"):
        was = before["rod", kind]
        check(after["rod", kind], was.value, was.u, was.source)
        assert not after["rod", kind].contradicted


def test_an_effect_stated_as_none_stays_none() -> None:
    passes = one_pass(4.0, 0.2), one_pass(3.0, 0.2, 'cam = "12 clockwise"')
    found = effects(solved(HEAD, CAM, *passes))["cam", "caster"]
    assert (found.value, found.u) == pytest.approx((0.0, 0.0), abs=1e-8)
    assert found.source == "stated"


def test_side_effects_that_nobody_states_are_none_within_a_share_of_the_main_one() -> None:
    """Main effect: as stated, 10 %, else by arithmetic, 20 %. Beside it: none, within 30 %."""
    for text, main, source, share in (
        (PLAIN, PER_DEGREE, "arithmetic", 0.2),
        (CAM.replace("caster = 0", "camber = 0.05"), 0.05 * DEGREE, "stated", 0.1),
    ):
        found = effects(solved(HEAD, text, one_pass(4.0, 0.2)))
        check(found["cam", "camber"], main, share * main, source)
        for kind in ("caster", "toe"):
            check(found["cam", kind], 0.0, 0.3 * main, "unknown")
    blind = PLAIN.replace("eccentricity = 6\n", "")
    for kind in ("camber", "toe"):
        found = effects(solved(HEAD, blind, one_pass(4.0, 0.2)))
        check(found["cam", kind], 0.0, 10 * DEGREE, "unknown")


@pytest.mark.parametrize(("text", "unit"), [(ROD, 1.5), (CAM, 6 * DEGREE)])
def test_a_joint_that_moves_twice_as_far_does_twice_as_much(text: str, unit: float) -> None:
    twice = text.replace("lever_arm = 300", "lever_arm = 300\nratio = 2")
    (adjuster,) = loads(HEAD + twice, "invented").adjusters
    assert abs(by_arithmetic(adjuster) or 0.0) == pytest.approx(math.asin(2 * unit / 300))


def test_passes_that_rest_on_different_assumptions_share_none() -> None:
    """A floor measured in one pass and taken as level in the other does not drop out."""
    level, assumed = one_pass(4.0, 0.2), one_pass(4.0, 0.5, 'cam = "20 clockwise"')
    assumed = assumed.replace("floor = { front = 0, along = 0 }\n", "")
    job = solved(HEAD, PLAIN, level, assumed)
    sine = math.sin(20 * DEGREE) / DEGREE
    both = [solved["camber.left_front"].u for solved in job.passes]
    assert both[1] > 2 * both[0]
    shown = 0.3 * DEGREE / sine, math.hypot(*both) / sine
    value, u = mean([(PER_DEGREE, 0.2 * PER_DEGREE), shown])
    check(effects(job)["cam", "camber"], value, u, "arithmetic")


def test_a_rim_that_was_rolled_on_is_no_common_part() -> None:
    """Read in one position, camber has the run-out of that position, and of another one later.

    3 mm in all at a rim of 400 mm: a sine of amplitude 1.5 mm, and its opposite at the other edge.
    """
    rough = HEAD.replace("rim_runout = 0", "rim_runout = 3")
    once = solved(rough, one_pass(4.0, 0.2)).passes[0]["camber.left_front"].u
    runout = 2.0 * 1.5 / math.sqrt(2.0) / 400.0
    assert once == pytest.approx(math.hypot(U_CAMBER, runout), rel=1e-3)
    sine = math.sin(20 * DEGREE) / DEGREE
    shown = 0.5 * DEGREE / sine, math.hypot(once, once) / sine
    value, u = mean([(PER_DEGREE, 0.2 * PER_DEGREE), shown])
    found = cam_after(0.5 * DEGREE, 20.0, first=rough)["cam", "camber"]
    assert (found.value, found.u) == (pytest.approx(value, rel=1e-3), pytest.approx(u, rel=1e-3))


def test_moves_count_from_the_first_pass_on() -> None:
    """Three passes in one line: the outer two tell, the one in the middle lies on it."""
    passes = one_pass(4.0, 0.2), one_pass(3.8, 0.2, 'rod = "1 lengthen"')
    job = solved(HEAD, ROD, *passes, one_pass(3.6, 0.2, 'rod = "1 lengthen"'))
    u = job.passes[0]["caster.left_front"].u / math.sqrt(2.0)
    value, u = mean([(-PER_TURN, 0.2 * PER_TURN), (-0.2 * DEGREE, u)])
    check(effects(job)["rod", "caster"], value, u, "learned")


RODS = {
    "behind": ('steering_arm = "behind"\narm_length = 130\nouter_thread = "M14x1.5"', 1.5),
    "ahead": ('steering_arm = "ahead"\narm_length = 130\nouter_thread = "M14x1.5-LH"', -1.5),
    "sleeve": ('arm_length = 130\nouter_thread = "M14x1.5"\ninner_thread = "M14x1.5-LH"', 3.0),
    "adapter": ('arm_length = 130\nouter_thread = "M14x1.5"\ninner_thread = "M16x2"', 0.5),
    "no arm": ('outer_thread = "M14x1.5"', None),
    "no thread": ("arm_length = 130", None),
    "no rod": ("", None),
}


@pytest.mark.parametrize("rod", RODS)
def test_a_tie_rod_turned_as_well_takes_its_share_of_what_toe_did(rod: str) -> None:
    """One look, two effects: each takes its part of the surprise, by its variance over all."""
    text, travel = RODS[rod]
    tie_rods = f"[tie_rods]\n{text}\n" if text else ""
    turned = 'rod = "2 lengthen", left = "1 lengthen"'
    job = solved(HEAD, tie_rods, ROD, strings(1.0), strings(1.3, turned))
    before, u_before = -0.3 * DEGREE, 0.03 * DEGREE  # stated, 10 %
    rods = 0.0 if travel is None else math.asin(travel / 130)
    u_rods = 10 * DEGREE if travel is None else 0.2 * abs(rods)
    noise = math.hypot(*(solved["toe.left_front"].u for solved in job.passes))
    variance = (2 * u_before) ** 2 + u_rods**2 + noise**2
    surprise = 0.3 * DEGREE - 2 * before - rods
    gain = 2 * u_before**2 / variance
    u = u_before * math.sqrt(1 - 2 * gain)
    found = effects(job)["rod", "toe"]
    assert found.value == pytest.approx(before + gain * surprise, rel=1e-4)
    assert found.u == pytest.approx(u, rel=1e-4)


def test_strings_set_up_anew_are_no_common_part_of_two_passes() -> None:
    """Their parallelism is drawn anew: the intervals of what they teach hold the truth then too."""
    held = []
    truth = math.radians(0.3) * DEGREE / math.sin(10.0 * DEGREE)  # of a degree at the middle
    cams = "".join(
        f'[[adjuster]]\nname = "{side} cam"\nwheel = "{side}_rear"\nkind = "cam"\n'
        'gives = "toe-in"\n'
        for side in ("left", "right")
    )
    moved = [f'"{side} cam" = "10 clockwise"' for side in ("left", "right")]
    strings = "strings_parallel_within = 6\nstring_rule = { resolution = 0.01 }\nrim_runout = 0\n"
    car = HEAD.partition("inclinometer")[0] + strings
    for number in range(300):
        rng = np.random.default_rng(number)
        passes = []
        for turned in ("", f"turned = {{ {', '.join(moved)} }}"):
            taper = rng.uniform(-6.0, 6.0) / (2.0 * 2600.0)
            by = 400.0 * math.sin(taper + math.radians(0.3) * bool(turned))
            edge = f"{{ front = {100 + by / 2!r}, rear = {100 - by / 2!r} }}"
            wheels = "".join(f"string.{w} = {edge}\n" for w in WHEELS)
            passes.append(f"[[pass]]\n{turned}\n{wheels}")
        effect = effects(solved(car, cams, *passes))["left cam", "toe"]
        held.append(abs(effect.value - truth) <= 2.0 * effect.u)
    assert np.mean(held) > 0.93


def test_a_move_left_open_teaches_nothing() -> None:
    first = one_pass(4.0, 0.2)
    before = effects(solved(HEAD, PLAIN, first))
    opened = one_pass(4.0, 1.2, 'cam = "?"')
    after = effects(solved(HEAD, PLAIN, first, opened))
    assert {key: effect._replace(lost=False) for key, effect in after.items()} == before
    assert all(effect.lost and not effect.known for effect in after.values())  # of a cam
    # Moves after it count from what was read then.
    moved = one_pass(4.0, 1.5, 'cam = "20 clockwise"')
    later = effects(solved(HEAD, PLAIN, first, opened, moved))["cam", "camber"]
    alone = effects(solved(HEAD, PLAIN, one_pass(4.0, 1.2), moved))["cam", "camber"]
    check(later, alone.value, alone.u, alone.source)
    assert later != before["cam", "camber"]


def test_a_change_that_no_move_explains_teaches_nothing() -> None:
    first, second = one_pass(4.0, 0.2), one_pass(4.0, 0.5, 'cam = "20 clockwise"')
    taught = effects(solved(HEAD, PLAIN, first, second))["cam", "camber"]
    bent = one_pass(4.0, 2.5, 'cam = "not moved"')
    found = effects(solved(HEAD, PLAIN, first, second, bent))["cam", "camber"]
    check(found, taught.value, taught.u, taught.source)
