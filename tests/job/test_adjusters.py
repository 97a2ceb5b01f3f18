"""[[adjuster]] and what the passes moved: values, words, and faults told in plain words."""

from __future__ import annotations

import math
import tomllib

import pytest

from toebox.errors import FaultyInput
from toebox.job import loads
from toebox.job.offers import next_pass
from toebox.solve.foresee import foresee

HEAD = 'length_unit = "mm"\n'
ROD = """
[[adjuster]]
wheel = "left_front"
kind = "strut rod"
name = "rod"
gives = "less caster"
thread = "M14x1.5"
second_thread = "M14x1.5-LH"
lever_arm = 300
ratio = 1.2
effect = { camber = 0.05, toe = 0 }
smallest_step = "1/4"
room = { lengthen = 3 }
"""
CAM = """
[[adjuster]]
wheel = "right_rear"
kind = "cam"
gives = "toe-in"
eccentricity = 5
position = -20
lever_arm = 300
"""
DIRECT = """
[[adjuster]]
wheel = "right_front"
kind = "direct"
name = "plate"
unit = "notch"
effect = { caster = -0.5, camber = 0.1 }
"""
SHIMS = """
[[adjuster]]
wheel = "left_front"
kind = "shims"
name = "shims"
gives = "top in"
thickness = "1/16 in"
lever_arm = 235
"""
ALL = HEAD + ROD + CAM + DIRECT + SHIMS


def faults(text: str) -> list[str]:
    with pytest.raises(FaultyInput, match="wanted") as raised:
        loads(text, "invented")
    return [str(fault) for fault in raised.value.faults]


def moved(text: str) -> dict[str, float]:
    job = loads(f"{ALL}\n[[pass]]\nturned = {{ {text} }}\n", "invented")
    return dict(job.passes[0].moved)


def test_every_kind_is_read() -> None:
    rod, cam, direct, shims = loads(ALL, "invented").adjusters
    assert (rod.wheel, rod.setting, rod.sense, rod.unit) == ("left_front", "caster", -1.0, "turn")
    assert rod.room == (None, 3.0)
    assert rod.effect == {"camber": math.radians(0.05), "toe": 0.0}
    assert rod.thread is not None
    assert rod.second_thread is not None
    assert rod.second_thread.left_hand
    assert (rod.ratio, rod.smallest_step, rod.lever_arm) == (1.2, 0.25, 0.3)
    assert cam.name == "right rear cam"
    assert (cam.setting, cam.ways) == ("toe", ("clockwise", "anticlockwise"))
    assert cam.room == pytest.approx((70.0, 110.0))  # a quarter turn from its middle either way
    assert (direct.unit, direct.setting, direct.ways) == ("notch", "caster", ("more", "less"))
    assert (shims.setting, shims.sense, shims.smallest_step) == ("camber", -1.0, 1.0)
    assert shims.thickness == pytest.approx(0.0015875)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ('rod = "1 1/2 lengthen"', {"rod": 1.5}),
        ('rod = "3 flats shorten"', {"rod": -0.5}),
        ('rod = "90 deg lengthen"', {"rod": 0.25}),
        ('"right rear cam" = "30 anticlockwise"', {"right rear cam": -30.0}),
        ('"right rear cam" = "1/4 turn clockwise"', {"right rear cam": 90.0}),
        ('"right rear cam" = "30° counterclockwise"', {"right rear cam": -30.0}),
        ('shims = "2 shims add"', {"shims": 2.0}),
        ('shims = "1 remove"', {"shims": -1.0}),
        ('plate = "2 more", rod = "not turned"', {"plate": 2.0, "rod": 0.0}),
        ("plate = 0", {"plate": 0.0}),
    ],
)
def test_moves(text: str, wanted: dict[str, float]) -> None:
    assert moved(text) == pytest.approx(wanted)


def test_tie_rods_stand_beside_adjusters() -> None:
    text = ALL + '[[pass]]\nturned = { left = "1/2 shorten", rod = "1 lengthen" }\n'
    one = loads(text, "invented").passes[0]
    assert one.turned["left"].lengthen == -0.5
    assert dict(one.moved) == {"rod": 1.0}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (ALL + '[[pass]]\nturned = { rodd = "1 lengthen" }', "wanted: rod"),
        (ALL + '[[pass]]\nturned = { rod = "1" }', '"1 lengthen" or "1 shorten" (turn)'),
        (ALL + '[[pass]]\nturned = { rod = "1 add" }', '"1 lengthen" or "1 shorten" (turn)'),
        (ALL + '[[pass]]\nturned = { shims = "1 turn add" }', '"1 add" or "1 remove" (shim)'),
        (ALL + '[[pass]]\nturned = { rod = "-1 lengthen" }', "no sign beside the word"),
        (ALL + "[[pass]]\nturned = { rod = 2 }", '"1 lengthen" or "1 shorten" (turn)'),
        (HEAD + ROD.replace('gives = "less caster"\n', ""), "what lengthening it gives"),
        (HEAD + SHIMS.replace('gives = "top in"\n', ""), "adding a shim"),
        (HEAD + ROD + 'thickness = "1"\n', 'no such key for kind = "strut rod"'),
        (HEAD + ROD.replace("lengthen = 3", "clockwise = 3"), '"lengthen" or "shorten" for kind'),
        (HEAD + DIRECT.replace("effect = { caster = -0.5, camber = 0.1 }", ""), "its effect"),
        (HEAD + CAM.replace("toe-in", "more caster"), "rear wheels have no caster"),
        (HEAD + ROD.replace("less caster", "toe-in"), "set at the tie rods"),
        (HEAD + DIRECT.replace("caster = -0.5", "toe = -0.5"), "set at the tie rods"),
        (HEAD + DIRECT.replace("right_front", "left_rear"), "rear wheels have no caster"),
        (HEAD + ROD + ROD, "a name of its own"),
        (HEAD + ROD.replace('"rod"', '"left"'), "a name of its own"),
        (HEAD + ROD.replace('kind = "strut rod"\n', ""), '"strut rod" or "control-arm link"'),
        (HEAD + ROD.replace("M14x1.5-LH", "14"), "a thread such as"),
        (HEAD + ROD.replace("M14x1.5-LH", "M16x1.5"), "turning changes nothing"),
    ],
)
def test_faults(text: str, said: str) -> None:
    found = faults(text)
    assert len(found) == 1, found
    assert said in found[0]


def test_doubts() -> None:
    unusual = ROD.replace('thread = "M14x1.5"', 'thread = "M14x1.7"', 1)
    beyond = 2 * '[[pass]]\nturned = { rod = "2 lengthen" }\n'
    job = loads(HEAD + unusual + beyond, "invented")
    assert len(job.doubts) == 3
    assert job.doubts[2].startswith("pass[1].turned: nothing was read before it;")
    assert job.doubts[0].startswith("adjuster[1].thread: M14x1.7 is unusual")
    assert job.doubts[1].startswith("adjuster[1]: pass 2 moves it beyond its room")
    assert loads(ALL, "invented").doubts == ()


def test_a_fault_names_its_line() -> None:
    text = HEAD + ROD.replace("ratio = 1.2", "ratio = 50")
    assert faults(text) == [
        "line 11: adjuster[1].ratio: given 50; wanted: a number from 0.1 to 10"
    ]


@pytest.mark.parametrize("words", ["not moved", "not turned", "No turn", "none"])
def test_what_was_not_moved_is_written_as_for_a_tie_rod(words: str) -> None:
    assert moved(f'rod = "{words}"') == {"rod": 0.0}
    (said,) = faults(f'{ALL}\n[[pass]]\nturned = {{ rod = "1 sideways" }}\n')
    assert '"1 lengthen" or "1 shorten" (turn); "not moved" if it was not' in said


def test_a_move_left_open_counts_as_left_out() -> None:
    assert moved('rod = "?", plate = "2 more"') == {"plate": 2.0}
    said = faults(f'{ALL}\n[[pass]]\nturned = {{ left = "?", bolt = "?" }}\n')
    assert len(said) == 1
    assert "turned.bolt" in said[0]
    assert "unknown key" in said[0]


def test_all_that_was_turned_is_left_open_name_by_name() -> None:
    """Of one "?" for all of it nobody could tell whether a new adjuster is meant too."""
    (said,) = faults(f'{ALL}\n[[pass]]\nturned = "?"\n')
    assert 'turned: given "?"; wanted: each by its own, as far as it is open: { left = "?"' in said


def test_the_next_pass_can_be_foreseen_as_it_is_written() -> None:
    """Readings, tie rods and adjusters are all still open in it."""
    text = f"{ALL}\n[[pass]]\n[pass.inclinometer]\nleft_front.camber = -0.2\n"
    text += next_pass(tomllib.loads(text), "later")
    assert text.count('"?"') == 2 + 4 + 1
    solved = foresee(loads(text, "invented", plans=True)).solved
    assert set(solved.results) == {"camber.left_front"}
    assert (dict(solved.readings.turned), dict(solved.readings.moved)) == ({}, {})
