"""Implausible values are told in words, and plausible ones are not."""

from __future__ import annotations

import math
import re

import pytest

from toebox.geometry.sweep import camber_at
from toebox.job import loads
from toebox.job.model import AXLES

CAR = """length_unit = "in"
[car]
wheelbase = "100"
rim_diameter = "16"
tyre_diameter = "24"
track = "57"
[[pass]]
label = "as found"
"""
BARS = "string.front_bar_width = 67\nstring.rear_bar_width = {}\nstring.bar_spacing = 170"


def box(left_front: float, right_front: float, left_rear: float, right_rear: float) -> str:
    distances = {
        "left_front": left_front,
        "right_front": right_front,
        "left_rear": left_rear,
        "right_rear": right_rear,
    }
    return "\n".join(f"string.{w} = {{ front = {d}, rear = {d} }}" for w, d in distances.items())


@pytest.mark.parametrize(
    ("readings", "doubt"),
    [
        (
            'string.left_front = { front = "4", rear = "5" }',
            "string.left_front: front and rear differ as by more than 3 degrees of toe;"
            " is one of them a slip?",
        ),
        (
            'string.left_front = { front = "4", rear = "10.2" }',
            "string.left_front: front and rear differ as by more than 3 degrees of toe;"
            " was one of them read in another unit?",
        ),
        (
            'string.left_rear = { front = ["4", "4 5/16"], rear = "4" }',
            "string.left_rear.front: the repeated readings differ much; is one of them a slip?",
        ),
        (
            'tape.front = { front_edge = "57", rear_edge = "60" }',
            "tape.front: front and rear edge differ as by more than 6 degrees;"
            " is one of them a slip?",
        ),
        (
            'tape.rear = { front_edge = "78", rear_edge = "78 1/8" }',
            "tape.rear: the tape differs from car.track by more than the width of a tyre",
        ),
        (
            'tape.front = { front_edge = "57" }',
            "tape.front: only one edge was read; toe needs front_edge and rear_edge",
        ),
        (
            BARS.format(50),
            "string.front_bar_width: very different from rear_bar_width",
        ),
        (
            "string.front_bar_width = 67\nstring.bar_spacing = 170",
            "string: only one bar width was read; taper needs both",
        ),
        (
            box(4, 16, 16, 4),
            "string: the strings stand more than 3 degrees askew to the car; is it so?",
        ),
        (
            'wheelbase_left = "103"',
            "wheelbase_left: differs from car.wheelbase by more than 60 mm (2 3/8 in)",
        ),
        (
            'steering_wheel_off = "6 left"',
            "steering_wheel_off: read, but not used: needs car.steering_ratio",
        ),
        (
            "inclinometer.left_rear.camber = 8",
            "inclinometer.left_rear.camber: more than 6 degrees; is it so?",
        ),
        (
            "inclinometer.left_front.sweep = [{ steer = 0, camber = 0 }]",
            "inclinometer.left_front.sweep: the stops lie within 5 degrees of steer;"
            " caster needs them far apart",
        ),
        (
            'string.left_front = { rear = "4" }',
            "string.left_front: only its rear edge was read; toe needs front and rear",
        ),
        (
            "inclinometer.left_front = { camber = [-1.5, -0.7], camber_turned = 0.5 }",
            "inclinometer.left_front.camber_turned: so different from camber that the gauge's zero "
            "would be off by more than half a degree; write how the wheel leans both times, not "
            "the sign that the turned gauge shows",
        ),
        (
            "inclinometer.left_front.caster = -2.5",
            "inclinometer.left_front: caster would be about −2 degrees; steer is positive outwards "
            "at either wheel, camber with the top out; is one turned round?",
        ),
        (
            "inclinometer.left_front.caster = 1\ninclinometer.right_front.caster = 5.2",
            "inclinometer: caster differs by more than 4 degrees from side to side; steer is "
            "positive outwards at either wheel, camber with the top out; is one turned round?",
        ),
        (
            "inclinometer.left_front.caster = [2, 5]",
            "inclinometer.left_front.caster: the repeated readings differ much;"
            " is one of them a slip?",
        ),
    ],
)
def test_doubt(readings: str, doubt: str) -> None:
    assert loads(CAR + readings, "job").doubts == (f"pass[1].{doubt}",)


def test_steering_wheel_far_off() -> None:
    text = 'length_unit = "in"\ncar.steering_ratio = 16\n[[pass]]\nsteering_wheel_off = "60 left"'
    wanted = "pass[1].steering_wheel_off: more than 45 degrees; is the steering wheel on the right"
    assert loads(text, "job").doubts == (f"{wanted} spline?",)


def test_a_solid_axle_has_no_adjusters() -> None:
    text = 'length_unit = "in"\n[car]\nrear_axle = "solid"\nrear_toe_adjustable = true'
    wanted = "car.rear_toe_adjustable: true, but a solid axle has no such adjuster: taken as false"
    assert loads(text, "job").doubts == (wanted,)


@pytest.mark.parametrize("left, doubts", [("1/2", 1), ("1 1/2", 0), ("5", 0), ("5 3/4", 1)])
def test_few_or_many_turns_from_lock_to_lock(left: str, doubts: int) -> None:
    text = f'length_unit = "in"\n[[pass]]\nturns_to_lock = {{ left = "{left}", right = "1 1/4" }}'
    assert len(loads(text, "job").doubts) == doubts


def test_unusual_thread() -> None:
    text = 'length_unit = "in"\n[tie_rods.left]\nouter_thread = "M14x1.75"'
    (doubt,) = loads(text, "job").doubts
    assert doubt.startswith("tie_rods.left.outer_thread: M14x1.75 is unusual")


@pytest.mark.parametrize(
    "readings",
    [
        'string.left_front = { front = "4", rear = "4 3/4" }',
        'string.left_rear = { front = ["4", "4 1/8"], rear = "4" }',
        'tape.front = { front_edge = "57", rear_edge = "58" }',
        'tape.front = { front_edge = "68", rear_edge = "68" }',
        BARS.format("'66 1/2'"),
        box(4, 8, 5, 7),
        'wheelbase_left = "101"',
        "inclinometer.left_rear.camber = -5",
        "inclinometer.left_front = { camber = [-1.5, -0.7], camber_turned = -0.6 }",
        "inclinometer.left_front.caster = -1.5\ninclinometer.right_front.caster = 2",
    ],
)
def test_no_doubt(readings: str) -> None:
    assert loads(CAR + readings, "job").doubts == ()


def sweep(side: str, *stops: tuple[float, float]) -> str:
    told = ", ".join(f"{{ steer = {steer!r}, camber = {camber!r} }}" for steer, camber in stops)
    return f"inclinometer.{side}_front.sweep = [{told}]\n"


@pytest.mark.parametrize("turned", ["steer", "camber", ""])
@pytest.mark.parametrize("caster", [3.0, 6.0])
@pytest.mark.parametrize("inclination", [8.0, 12.0])
@pytest.mark.parametrize("stops", [(20.0, 0.0, -20.0), (18.0, -22.0)])
def test_a_sweep_with_a_sign_turned_round_is_doubted(
    turned: str, caster: float, inclination: float, stops: tuple[float, ...]
) -> None:
    """Both wheels of a real axle; at one of them a whole column has the other sign."""
    axis = [math.radians(angle) for angle in (caster, inclination, -0.7)]
    pairs = [(s, math.degrees(camber_at(*axis, math.radians(s)))) for s in stops]
    signs = {"steer": (-1.0, 1.0), "camber": (1.0, -1.0), "": (1.0, 1.0)}[turned]
    wrong = [(signs[0] * steer, signs[1] * camber) for steer, camber in pairs]
    doubts = loads(CAR + sweep("left", *pairs) + sweep("right", *wrong), "job").doubts
    assert bool(doubts) == (turned != "")
    if turned and len(stops) == 3:  # uneven stops hide some of it in the inclination
        alone, sides = doubts
        assert "inclinometer.right_front: caster would be about −" in alone
        assert "inclinometer: caster differs by more than 4 degrees" in sides


@pytest.mark.parametrize(("caster", "turned"), [(4.0, "both"), (1.0, "camber"), (1.0, "both")])
@pytest.mark.parametrize("stops", [(20.0, 0.0, -20.0), (21.0, 2.0, -20.0), (20, 10, 0, -10, -20)])
def test_an_axis_that_would_lean_outwards_is_doubted(
    caster: float, turned: str, stops: tuple[float, ...]
) -> None:
    """Caster is not wrong enough to tell, or with both signs turned round not wrong at all."""
    axis = [math.radians(angle) for angle in (caster, 12.0, -0.7)]
    pairs = [(s, math.degrees(camber_at(*axis, math.radians(s)))) for s in stops]
    steer = -1.0 if turned == "both" else 1.0
    (doubt,) = loads(CAR + sweep("left", *((steer * s, -c) for s, c in pairs)), "job").doubts
    assert "inclinometer.left_front: the steering axis would lean outwards by about 12" in doubt
    assert "camber with the top out; is one turned round, or both?" in doubt
    assert loads(CAR + sweep("left", *pairs), "job").doubts == ()


@pytest.mark.parametrize("off", [(-0.15, 0.15, -0.15), (0.15, -0.15, 0.15)])
def test_cambers_that_are_a_little_off_turn_no_axis_outwards(off: tuple[float, ...]) -> None:
    axis = [math.radians(angle) for angle in (4.0, 6.0, -0.7)]
    for reach in (20.0, 12.0):
        stops = zip((reach, 0.0, -reach), off, strict=True)
        pairs = [(s, math.degrees(camber_at(*axis, math.radians(s))) + o) for s, o in stops]
        assert loads(CAR + sweep("left", *pairs), "job").doubts == ()


def test_a_turn_before_anything_was_read_is_doubted() -> None:
    told = 'turned = { left = "1/2 lengthen" }\ntape.front = { front_edge = 57, rear_edge = 57 }\n'
    rods = '[tie_rods]\nouter_thread = "M14x1.5"\n'
    text = CAR.replace("[[pass]]", rods + "[[pass]]") + told
    wanted = "nothing was read before it; do the passes stand in the order of the work?"
    assert loads(text, "job").doubts == (f"pass[1].turned: {wanted}",)
    first = CAR.replace("[[pass]]", rods + "[[pass]]")
    first += "tape.front = { front_edge = 57, rear_edge = 57 }\n"
    assert loads(f"{first}[[pass]]\n{told}", "job").doubts == ()
    assert loads(text.replace("1/2 lengthen", "not turned"), "job").doubts == ()


COPY = """[[pass]]
label = "rods turned"
turned = { left = "1/2 lengthen", right = "not turned" }
tape.front = { front_edge = ["57", "57"], rear_edge = ["57 1/16", "57 1/8"], across = 24 }
"""


@pytest.mark.parametrize(
    ("old", "new", "doubted"),
    [
        ("", "", True),
        ('"rods turned"', '"a week later"', True),
        ("1/2 lengthen", "1/3 lengthen", True),  # only what was turned was written anew
        ("1/2 lengthen", "not turned", False),  # in both: twice the same, nothing turned
        ('"57 1/8"', '"57 5/32"', False),
        ('rear_edge = ["57 1/16", "57 1/8"]', 'rear_edge = "57 1/16"', False),
        ('front_edge = ["57", "57"], rear_edge = ["57 1/16", "57 1/8"]', 'front_edge = "57"', None),
    ],
)
def test_a_pass_that_was_copied_is_doubted(old: str, new: str, doubted: bool | None) -> None:
    """None: in both passes so few numbers that they may well be read alike twice."""
    first = COPY.replace(old, new) if doubted is None or "not turned" in new else COPY
    again = COPY.replace(old, new)
    doubts = loads(CAR + 'tape.front = { front_edge = "58" }\n' + first + again, "t").doubts
    said = (
        "pass[3]: the same readings as in the pass before, number for number, though something was "
        "turned; is it a copy that was not written anew?"
    )
    assert (said in doubts) == bool(doubted)


def test_rear_wheels_that_read_the_same_after_a_tie_rod_was_turned_are_no_copy() -> None:
    """A tape read to 1 mm shows no flat at the front, one time in ten of two honest ones."""
    tape = "tape.{} = {{ front_edge = 57, rear_edge = 57, across = 24 }}\n"
    turned = 'turned = { left = "1/6 lengthen", right = "not turned" }\n'
    first = f"[[pass]]\n{tape.format('front')}{tape.format('rear')}"
    text = CAR.partition("[[pass]]")[0] + first + first.replace("[[pass]]\n", f"[[pass]]\n{turned}")
    assert not [one for one in loads(text, "t").doubts if "copy" in one]
    twice = text.replace("_edge = 57,", '_edge = ["57", "57"],')
    assert [one for one in loads(twice, "t").doubts if "copy" in one]


def test_turns_that_leave_the_total_toe_leave_the_tape_as_it_was() -> None:
    turned = COPY.replace("not turned", "1/2 shorten")
    text = CAR + 'tape.front = { front_edge = "58" }\n' + 2 * turned
    assert not [one for one in loads(text, "t").doubts if "copy" in one]


def test_readings_that_are_still_to_be_taken_are_no_copy() -> None:
    later = re.sub(r"\[.*?\]", '["?", "?"]', COPY.partition("\n")[2])
    text = CAR + 'tape.front = { front_edge = "58" }\n' + 2 * f"[[pass]]\n{later}"
    assert not [one for one in loads(text, "t", plans=True).doubts if "copy" in one]


@pytest.mark.parametrize(("given", "doubted"), [("M14", True), ("M14-LH", True), ("M14x2", False)])
def test_a_thread_without_its_pitch_is_doubted(given: str, doubted: bool) -> None:
    text = f'length_unit = "in"\ntie_rods.outer_thread = "{given}"\n'
    said = "tie_rods.outer_thread: no pitch given, so the coarse one of ISO 261 is taken, 2 mm"
    assert any(one.startswith(said) for one in loads(text, "job").doubts) is doubted


def test_thread_engaged_without_its_thread() -> None:
    rods = "[tie_rods]\nleft.outer_engaged = 1\nright.outer_engaged = 1\n"
    thread = 'right.outer_thread = "M14x1.5"\n'
    only = "tie_rods.left.outer_engaged: read, but not used: needs outer_thread"
    assert loads(CAR.partition("[[pass]]")[0] + rods + thread, "job").doubts == (only,)


@pytest.mark.parametrize(
    ("rim", "tyre", "said"),
    [
        ("14", "15", "less than 18 in (457 mm), as no car's tyre is; is it the size of the rim?"),
        ("15", "17.9", "less than 18 in (457 mm)"),
        ("22", "23.9", "hardly more than car.rim_diameter; the tyre is measured over its tread"),
        ("15", "18.1", ""),  # a low tyre of a small car
        ("22", "24.5", ""),
    ],
)
def test_the_size_of_a_rim_as_that_of_the_tyre(rim: str, tyre: str, said: str) -> None:
    car = f'length_unit = "in"\ncar.rim_diameter = "{rim}"\ncar.tyre_diameter = "{tyre}"\n'
    doubts = loads(car, "job").doubts
    assert len(doubts) == bool(said)
    assert all(doubt.startswith(f"car.tyre_diameter: {said}") for doubt in doubts)
    alone = loads(f'length_unit = "in"\ncar.tyre_diameter = {{ front = "{tyre}" }}', "job").doubts
    assert bool(alone) == (float(tyre) < 18.0)


def edges(front: tuple[float, float], rear: tuple[float, float]) -> str:
    """Return string readings whose wheels toe in by so many degrees, left and right."""
    lines = []
    for axle, toes in (("front", front), ("rear", rear)):
        for side, toe in zip(("left", "right"), toes, strict=True):
            apart = 16.0 * math.sin(math.radians(toe)) / 2.0  # across the rim of CAR
            edge = f"{{ front = {4.0 + apart!r}, rear = {4.0 - apart!r} }}"
            lines.append(f"string.{side}_{axle} = {edge}")
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize(
    ("front", "rear", "word"),
    [
        ((2.3, 2.1), (2.15, 2.4), "in"),  # rear edges read at the tyre, front ones at the rim
        ((-2.3, -2.1), (-2.15, -2.4), "out"),
        ((1.6, 1.6), (1.6, 1.6), "in"),
        ((1.2, 1.2), (1.2, 1.2), ""),
        ((-1.2, -1.2), (-1.2, -1.2), ""),
        ((2.3, 2.1), (0.1, 0.2), ""),  # one axle alone may stand so after work on it
        ((2.3, 2.1), (-2.3, -2.1), ""),
        ((2.5, -2.5), (2.5, -2.5), ""),  # a box that stands askew
    ],
)
def test_all_wheels_turned_the_same_way(
    front: tuple[float, float], rear: tuple[float, float], word: str
) -> None:
    doubts = loads(CAR + edges(front, rear), "job").doubts
    assert len(doubts) == bool(word)
    said = f"pass[1].string: front and rear wheels would toe {word} by more than 3 degrees"
    assert all(doubt.startswith(said) for doubt in doubts)
    assert all("lip, not tyre), or were the two exchanged?" in doubt for doubt in doubts)


def test_strings_that_are_known_not_to_be_parallel_turn_no_wheel() -> None:
    """Bars as wide as to open the strings by 1.5 degrees each: the wheels stand at 0.1."""
    wider = 67.0 + 170.0 * 2.0 * math.tan(math.radians(1.45))
    bars = f"string.front_bar_width = {wider!r}\n" + BARS.format(67).partition("\n")[2]
    readings = edges((1.55, 1.55), (1.55, 1.55))
    assert loads(CAR + readings + bars, "job").doubts == ()
    assert len(loads(CAR + readings, "job").doubts) == 1


@pytest.mark.parametrize(
    ("inner", "outer", "doubted"),
    [("20", "18.1", False), ("18.1", "20", True), ("20", "20", False), ("20", "20.5", False)],
)
def test_the_inner_wheel_turned_less_than_the_outer(inner: str, outer: str, doubted: bool) -> None:
    readings = f"turn.left = {{ inner = {inner}, outer = {outer} }}\n"
    said = "the inner wheel turned less than the outer; are they exchanged?"
    wanted = (f"pass[1].turn.left: {said}",) if doubted else ()
    assert loads(CAR + readings, "job").doubts == wanted


@pytest.mark.parametrize(
    ("tracks", "gaps", "side"),
    [
        ("track = 57\n", (6.3, 7.9), "left"),  # 40 mm nearer in front, the axles alike
        ("track = 57\n", (6.3, 6.9), ""),
        ("track = { front = 57, rear = 54 }\n", (6.3, 7.8), ""),  # as a narrower axle stands
        ("track = { front = 57, rear = 54 }\n", (6.3, 6.3), "left"),
        ("", (6.3, 7.9), ""),  # of unknown tracks more may be the car's own
        ("", (6.3, 8.4), "left"),
    ],
)
def test_a_box_that_is_taken_as_square_is_doubted_by_the_gaps_to_one_side(
    tracks: str, gaps: tuple[float, float], side: str
) -> None:
    """Tracks that differ by 3 in let the strings of a square box stand 1.5 in apart."""
    car = re.sub(r"track = [^\n]*\n", tracks, CAR)
    wheels = zip(("left_front", "left_rear"), gaps, strict=True)
    read = "".join(f"string.{w} = {{ front = {gap}, rear = {gap} }}\n" for w, gap in wheels)
    doubts = loads(car + read, "job").doubts
    assert len(doubts) == bool(side)
    assert all(f"pass[1].string: by the gaps on the {side} they run" in doubt for doubt in doubts)
    right = [f"string.right_{axle}" for axle in AXLES]  # all four measure how it stands
    rims = "".join(f"{wheel} = {{ front = 7, rear = 7 }}\n" for wheel in right)
    assert loads(car + read + rims, "job").doubts == ()
    hubs = "".join(f"{wheel}.hub = 7\n" for wheel in right)
    assert loads(car + read + hubs, "job").doubts == ()


@pytest.mark.parametrize(("wider", "doubted"), [(0.0, True), (2.4, False), (-2.4, True)])
def test_strings_that_open_as_the_bars_tell_do_not_stand_askew(wider: float, doubted: bool) -> None:
    """100 in of wheelbase, bars 140 in apart: 2.4 in wider in front is 0.86 in at each side."""
    car = re.sub(r"track = [^\n]*\n", "track = 57\n", CAR)
    gaps = {"left_front": 7.87, "left_rear": 7.0}
    read = "".join(f"string.{w} = {{ front = {g}, rear = {g} }}\n" for w, g in gaps.items())
    bars = f"front_bar_width = {70 + wider}", "rear_bar_width = 70", "bar_spacing = 140"
    found = loads(car + read + "".join(f"string.{line}\n" for line in bars), "job").doubts
    assert any("they run more than" in doubt for doubt in found) == doubted
