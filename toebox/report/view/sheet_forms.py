"""The forms of a sheet: every key of the job file with a box, in the order of the schema."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from toebox.job.keys import hint
from toebox.job.model import AXLES, SIDES, WHEELS
from toebox.report.sheet import Blank, Form, Group, Line
from toebox.report.view.blanks import Blanks

FRONT, REAR = WHEELS[:2], WHEELS[2:]
VALVES = ("valve up", "valve down")
# Keys of [[adjuster]], those of one line together.
ADJUSTER = (
    ("wheel",),
    ("kind",),
    ("name",),
    ("gives",),
    ("thread", "second_thread"),
    ("eccentricity", "position"),
    ("thickness", "lever_arm"),
    ("ratio", "unit"),
    ("effect.caster", "effect.camber"),
    ("effect.toe",),
    ("smallest_step",),
    ("room.lengthen", "room.shorten"),
    ("room.clockwise", "room.anticlockwise"),
    ("room.add", "room.remove"),
    ("room.more", "room.less"),
)
STOPS = 5  # lines for the stops of a sweep


def plain(lines: Sequence[Line], names: float = 0.42) -> Form:
    """Return a form without headings: one wide box a line, or two beside each other.

    Parameters
    ----------
    lines : sequence of Line
        With one or two boxes each.
    names : float
        Room for the names [part of the width].

    Returns
    -------
    Form
        Of two columns.
    """
    wide = tuple(_wide(line, 2 // len(line.blanks)) for line in lines)
    return Form(wide, (Group("", ("", "")),), names)


def _wide(line: Line, columns: int) -> Line:
    """Return a line whose boxes are so many columns wide."""
    return line._replace(blanks=tuple(blank._replace(wide=columns) for blank in line.blanks))


def the_job(make: Blanks) -> tuple[Form, ...]:
    """Return the forms for title, date and unit."""
    return (plain([make.line("title"), make.line("date"), make.line("length_unit")], 0.3),)


def car(make: Blanks) -> tuple[Form, ...]:
    """Return the forms for the car."""
    lines = (
        make.line("car.wheelbase"),
        make.tagged("car.rim_diameter", *AXLES),
        make.tagged("car.tyre_diameter", *AXLES),
        make.tagged("car.track", *AXLES),
        make.line("car.steering_ratio"),
        make.tagged("car.steering_axis_inclination", *SIDES),
        make.line("car.steering_wheel_splines"),
        make.line("car.rear_toe_adjustable"),
        make.line("car.rear_axle"),
    )
    return (plain((*lines, *make.rest("car"))),)


def instruments(make: Blanks) -> tuple[Form, ...]:
    """Return the forms for the instruments."""
    names = (
        "string_rule",
        "tape",
        "inclinometer",
        "turn_plates",
        "road_test",
        "turns_to_lock",
    )
    how = ("resolution", "repeatability")
    lines = [
        make.line(
            *(f"instruments.{name}.{part}" for part in how),
            name=name,
            said=hint(("instruments", name)),
        )
        for name in names
    ]
    finest = Form(tuple(lines), (Group("", how),), 0.42)
    others = ("rim_runout", "strings_parallel_within", "box_square_within")
    return finest, plain([*(make.line(f"instruments.{o}") for o in others),
                          *make.rest("instruments")])  # fmt: skip


def goals(make: Blanks) -> tuple[Form, ...]:
    """Return the forms for the goals."""
    toes = Form(
        tuple(_toe_goal(make, f"goal.{axle}_total_toe") for axle in AXLES),
        (
            Group("as a distance", ("distance", "across", "tolerance"), (1.7, 1.05, 1.0)),
            Group("or as an angle", ("angle", "tolerance"), (1.5, 1.0)),
        ),
        0.2,
    )
    single = ("thrust_angle", "steering_wheel"), ("cross_camber", "cross_caster")
    angles = Form(
        (
            *(_goal(make, name) for name in single[0]),
            _goals(make, "camber", FRONT, "front wheels: left, right"),
            _goals(make, "camber", REAR, "rear wheels: left, right"),
            _goals(make, "caster", FRONT, "front wheels: left, right"),
            *(_goal(make, name) for name in single[1]),
        ),
        (Group("", ("angle", "tolerance") * 2, (1.4, 1.0) * 2),),
        0.22,
    )
    return toes, angles, *others(make.rest("goal"))


def _goal(make: Blanks, name: str) -> Line:
    """Return a goal with its tolerance."""
    paths = [f"goal.{name}.{part}" for part in ("angle", "tolerance")]
    return make.line(*paths, name=name, said=hint(("goal", name)))


def _goals(make: Blanks, name: str, wheels: Sequence[str], which: str) -> Line:
    """Return the goals of a left and a right wheel."""
    paths = [f"goal.{name}.{wheel}.{part}" for wheel in wheels for part in ("angle", "tolerance")]
    return make.line(*paths, name=name, said=which)


def _toe_goal(make: Blanks, table: str) -> Line:
    """Return a goal for total toe, as a distance or as an angle."""
    parts = (("distance", 0), ("across", 0), ("tolerance", 0), ("angle", 0), ("tolerance", 1))
    blanks = [make.blank(f"{table}.{part}", kind=kind) for part, kind in parts]
    unused = 4 if blanks[0].value else 2  # the tolerance belongs to the one that is given
    blanks[unused] = blanks[unused]._replace(value="")
    path = tuple(table.split("."))
    return Line(path[-1], hint(path), tuple(blanks))


def tie_rods(make: Blanks) -> tuple[Form, ...]:
    """Return the forms for the tie rods."""
    names = (
        "steering_arm",
        "arm_length",
        "arm_length_within",
        "outer_thread",
        "inner_thread",
        "outer_engaged",
        "inner_engaged",
        "smallest_turn",
    )
    tables = ("tie_rods", *(f"tie_rods.{side}" for side in SIDES))
    lines = [make.line(*(f"{table}.{name}" for table in tables)) for name in names]
    heads = (Group("both sides"), Group("left, if it differs"), Group("right, if it differs"))
    return Form(tuple(lines), heads, 0.3, by_group=True), *others(make.rest("tie_rods"))


def adjusters(make: Blanks) -> tuple[Form, ...]:
    """Return the forms for adjusters, two beside each other, and at least one form."""
    given = make.written.get("adjuster", ())
    pairs = [given[n : n + 2] for n in range(0, len(given), 2)] or [()]
    forms = tuple(_two_adjusters(make, pair, 2 * n) for n, pair in enumerate(pairs))
    return forms + others(make.rest("adjuster"))


def _two_adjusters(make: Blanks, given: Sequence[Any], before: int) -> Form:
    """Return the form for two adjusters."""
    both = [make.scoped(adjuster=given[n] if n < len(given) else {}) for n in range(2)]
    lines = []
    for names in ADJUSTER:
        blanks = tuple(one.blank(f"adjuster.{name}") for one in both for name in names)
        said = hint(("adjuster", *names[0].split(".")))
        lines.append(_wide(Line(", ".join(names), said, blanks), 2 // len(names)))
    heads = tuple(Group(f"adjuster {before + n + 1}", ("", "")) for n in range(2))
    return Form(tuple(lines), heads, 0.3, by_group=True)


def begin(make: Blanks) -> Form:
    """Return the form for what a pass is, and what was turned before it."""
    turned = [make.line(f"pass.turned.{side}", name=f"turned, {side}") for side in SIDES]
    names = [one["name"] for one in make.written.get("adjuster", ()) if "name" in one]
    moved = [
        Line(f"turned, {name}", "how far and which way", (Blank(f"pass.turned.{name}"),))
        for name in names
    ]
    return plain((make.line("pass.label"), *turned, *moved))


def road(make: Blanks) -> tuple[Form, ...]:
    """Return the form for the steering wheel: on the road, and from lock to lock."""
    off = make.line("pass.steering_wheel_off", times=2)
    locks = make.tagged("pass.turns_to_lock", *SIDES)
    return (Form((off, locks), (Group("", ("one way", "and back")),), 0.36),)


def wheelbases(make: Blanks) -> tuple[Form, ...]:
    """Return the form for the wheelbase on both sides."""
    return (plain([make.line(f"pass.wheelbase_{side}") for side in SIDES]),)


def floor(make: Blanks) -> tuple[Form, ...]:
    """Return the form for the height of the floor."""
    parts = (*AXLES, "along")
    lines = [make.line(f"pass.floor.{part}", name=f"floor, {part}") for part in parts]
    return (plain(lines, 0.58),)


def turn(make: Blanks) -> tuple[Form, ...]:
    """Return the form for turn plates with the steering turned."""
    lines = [
        make.line(
            *(f"pass.turn.{side}.{wheel}" for wheel in ("inner", "outer")),
            name=f"turn, {side}",
            said=f"steering to the {side}; inner: {side} wheel",
        )
        for side in SIDES
    ]
    return (Form(tuple(lines), (Group("", ("inner", "outer")),), 0.46),)


def strings(make: Blanks) -> tuple[Form, ...]:
    """Return the forms for the strings, laid out like the car from above."""
    bars = [
        make.line("pass.string.front_bar_width"),
        make.line("pass.string.rear_bar_width"),
        make.line("pass.string.bar_spacing"),
    ]
    return _at_wheels(make, FRONT), _at_wheels(make, REAR), plain(bars)


def _at_wheels(make: Blanks, wheels: Sequence[str]) -> Form:
    """Return the form for the string readings of an axle."""
    lines = tuple(
        make.line(*(f"pass.string.{wheel}.{part}" for wheel in wheels), times=2)
        for part in ("front", "rear", "hub")
    )
    return Form(lines, tuple(Group(wheel, VALVES) for wheel in wheels), 0.25, by_group=True)


def tape(make: Blanks) -> tuple[Form, ...]:
    """Return the form for the tape."""
    edges = (
        make.line(*(f"pass.tape.{axle}.{part}" for axle in AXLES), times=2)
        for part in ("front_edge", "rear_edge")
    )
    across = _wide(make.line(*(f"pass.tape.{axle}.across" for axle in AXLES)), 2)
    heads = tuple(Group(axle, ("first", "after half a turn")) for axle in AXLES)
    return (Form((*edges, across), heads, 0.25, by_group=True),)


def inclinometer(make: Blanks) -> tuple[Form, ...]:
    """Return the forms for the inclinometer: front wheels with sweeps, rear wheels without."""
    stops = [_stop(make, number) for number in range(1, STOPS + 1)]
    caster = _wide(make.line(*(f"pass.inclinometer.{wheel}.caster" for wheel in FRONT)), 2)
    front = (*_cambers(make, FRONT), *stops, caster)
    both = "valve up; steer", "valve down; camber"
    swept = tuple(Group(wheel, both) for wheel in FRONT)
    return (
        Form(front, swept, 0.24, by_group=True),
        Form(_cambers(make, REAR), tuple(Group(wheel, VALVES) for wheel in REAR), 0.24, True),
    )


def _stop(make: Blanks, number: int) -> Line:
    """Return the line for one stop of a sweep at both front wheels."""
    said = "steer, then camber" if number > 1 else "on turn plates: steer, then camber"
    paths = [
        f"pass.inclinometer.{wheel}.sweep.{part}" for wheel in FRONT for part in ("steer", "camber")
    ]
    return make.line(*paths, name=f"sweep, stop {number}", said=said)


def _cambers(make: Blanks, wheels: Sequence[str]) -> tuple[Line, ...]:
    """Return the lines for camber, valve up and valve down, at each of two wheels."""
    return tuple(
        make.line(*(f"pass.inclinometer.{wheel}.{part}" for wheel in wheels), times=2)
        for part in ("camber", "camber_turned")
    )


def others(lines: Sequence[Line]) -> tuple[Form, ...]:
    """Return a form for keys that no other form has; none where there are none."""
    return (plain(lines),) if lines else ()
