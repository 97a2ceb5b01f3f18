"""Every key of the job file: what may stand there, and what the model makes of it.

The tables below are the whole schema, outermost last. Limits are physical: outside them a
value is a slip, not a car. Lengths are written in inches, angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from typing import Any

from toebox.errors import FaultyText
from toebox.job.adjusters import ADJUSTER, Moved
from toebox.job.lines import Path
from toebox.job.model import (
    AXLES,
    SIDES,
    WHEELS,
    Car,
    Pass,
    SweepStop,
    Tape,
    Turn,
    Turned,
    WheelGauge,
    WheelStrings,
)
from toebox.job.notes import Notes
from toebox.job.values import (
    Angle,
    Choice,
    Day,
    Flag,
    Kind,
    Length,
    List,
    Number,
    Parsed,
    Planned,
    Repeated,
    Shared,
    Table,
    Text,
    Threaded,
)
from toebox.units.read import read_toward, read_turns

FRONT_WHEELS = WHEELS[:2]
MOST_PASSES = 200
_MOST_TURNS = 50
TOE_SIGNS = ("toe-in", "toe-out")
CAMBER_SIGNS = ("top out", "top in")
RIGHT_LEFT = ("right", "left")

CAR = Table(
    {
        "wheelbase": Length("40", "240"),
        "rim_diameter": Shared(AXLES, Length("8", "30")),
        "tyre_diameter": Shared(AXLES, Length("15", "60")),
        "track": Shared(AXLES, Length("30", "100")),
        "steering_ratio": Number(5, 40),
        "steering_axis_inclination": Shared(SIDES, Angle(0, 30)),
        "steering_wheel_splines": Number(10, 200, whole=True),
        "rear_toe_adjustable": Flag(),
        "rear_axle": Choice({"independent": "independent", "solid": "solid"}),
    },
    Car,
)


_HOW_WELL = ("resolution", "repeatability")
_LENGTH_INSTRUMENT = Table(dict.fromkeys(_HOW_WELL, Length("0", "1")))
_ANGLE_INSTRUMENT = Table(dict.fromkeys(_HOW_WELL, Angle(0, 30)))
INSTRUMENTS = Table(
    {
        "string_rule": _LENGTH_INSTRUMENT,
        "tape": _LENGTH_INSTRUMENT,
        "inclinometer": _ANGLE_INSTRUMENT,
        "turn_plates": _ANGLE_INSTRUMENT,
        "road_test": _ANGLE_INSTRUMENT,
        "turns_to_lock": _ANGLE_INSTRUMENT,
        "rim_runout": Length("0", "1"),
        "strings_parallel_within": Length("0", "12"),
        "box_square_within": Length("0", "12"),
        "floor_level_within": Length("0", "12"),
        "gauge_zero_within": Angle(0, 10),
        "steering_wheel_straight_within": Angle(0, 45),
        "turn_plates_zero_within": Angle(0, 10),
    }
)

_TIE_ROD: dict[str, Kind] = {
    "steering_arm": Choice({"behind": True, "ahead": False}),
    "arm_length": Length("1", "16"),
    "arm_length_within": Length("0", "8"),
    "outer_thread": Threaded('a thread such as "M14x1.5" or "5/8-18-LH"'),
    "inner_thread": Threaded('a thread such as "M14x1.5-LH" or "5/8-18"'),
    "outer_engaged": Length("0", "8"),
    "inner_engaged": Length("0", "8"),
    "smallest_turn": Number(0.01, 1, such=', such as "1/6"'),
}
TIE_RODS = Table({**_TIE_ROD, **dict.fromkeys(SIDES, Table(_TIE_ROD))})


class OneOf:
    """A table that is of one kind or another, told apart by one of its keys."""

    def __init__(self, kinds: Mapping[str, Table], wanted: str) -> None:
        self.kinds, self.wanted = kinds, wanted

    def __call__(self, notes: Notes, given: Any, path: Path) -> Any:
        """Return what the first kind makes of it whose key is there, or note a fault."""
        if isinstance(given, dict):
            for key, kind in self.kinds.items():
                if key in given:
                    return kind(notes, given, path)
        notes.fault(path, given, self.wanted)
        return None


def _angle_goal(angle: Angle) -> Table:
    tolerance = Angle(0.001, 10)
    return Table({"angle": angle, "tolerance": tolerance}, needed=("angle",))


_TOE_DISTANCE: dict[str, Kind] = {
    "distance": Length("-3", "3", TOE_SIGNS),
    "across": Length("4", "96"),
    "tolerance": Length("0.001", "3"),
}
_TOE_GOAL = OneOf(
    {
        "distance": Table(_TOE_DISTANCE, needed=("distance",)),
        "angle": _angle_goal(Angle(-5, 5, TOE_SIGNS)),
    },
    "a table with distance, across and tolerance, or with angle and tolerance",
)
_CAMBER_GOAL = _angle_goal(Angle(-10, 10, CAMBER_SIGNS))
_CASTER_GOAL = _angle_goal(Angle(-10, 20))
_CROSS_GOAL = _angle_goal(Angle(-10, 10))

GOAL = Table(
    {
        "front_total_toe": _TOE_GOAL,
        "rear_total_toe": _TOE_GOAL,
        "thrust_angle": _angle_goal(Angle(-3, 3, RIGHT_LEFT)),
        "steering_wheel": _angle_goal(Angle(-90, 90, RIGHT_LEFT)),
        "camber": Table(dict.fromkeys(WHEELS, _CAMBER_GOAL)),
        "caster": Table(dict.fromkeys(FRONT_WHEELS, _CASTER_GOAL)),
        "cross_camber": _CROSS_GOAL,
        "cross_caster": _CROSS_GOAL,
    }
)

_RULE = Repeated(Length("0.1", "60"))
_BAR = Repeated(Length("30", "160"))
_AT_WHEEL = Table(dict.fromkeys(("front", "rear", "hub"), _RULE), WheelStrings)
_STRING = Table(
    {
        **dict.fromkeys(WHEELS, _AT_WHEEL),
        "front_bar_width": _BAR,
        "rear_bar_width": _BAR,
        "bar_spacing": Length("40", "480"),
    }
)
_ACROSS_CAR = Repeated(Length("24", "120"))
_TAPE = Table(
    {"front_edge": _ACROSS_CAR, "rear_edge": _ACROSS_CAR, "across": Length("4", "96")}, Tape
)
_CAMBER = Repeated(Angle(-15, 15, CAMBER_SIGNS))
_STOP = Table(
    {"steer": Angle(-60, 60, ("out", "in")), "camber": Planned(Angle(-25, 25, CAMBER_SIGNS))},
    SweepStop,
    needed=("steer", "camber"),
)
_REAR_GAUGE: dict[str, Kind] = {"camber": _CAMBER, "camber_turned": _CAMBER}
_FRONT_GAUGE: dict[str, Kind] = {
    **_REAR_GAUGE,
    "sweep": List(_STOP, 1, 24, "a list of up to 24 stops, each { steer = …, camber = … }"),
    "caster": Repeated(Angle(-10, 20)),
}
_INCLINOMETER = Table(
    {
        wheel: Table(_FRONT_GAUGE if wheel in FRONT_WHEELS else _REAR_GAUGE, WheelGauge)
        for wheel in WHEELS
    }
)
_PLATE = Repeated(Angle(1, 60))
_TURN = Table({"inner": _PLATE, "outer": _PLATE}, Turn, needed=("inner", "outer"))


def _pass(
    string: Mapping[str, Any] | None = None,
    inclinometer: Mapping[str, WheelGauge] | None = None,
    label: str = "",
    **readings: Any,
) -> Pass:
    """Build a pass; the bars stand among the string readings of the wheels."""
    strings = dict(string or {})
    bars = {key: value for key, value in strings.items() if key not in WHEELS}
    wheels = {key: value for key, value in strings.items() if key in WHEELS}
    return Pass(label=label, string=wheels, gauge=inclinometer or {}, **bars, **readings)


class Off:
    """How far the steering wheel stands off centre; clockwise (right) is positive."""

    wanted = 'an angle and a direction: "6 left", or { angle = 6, toward = "left" }'
    table = Table(
        {
            "angle": Planned(Angle(0, 180)),
            "toward": Planned(Choice({"left": -1.0, "right": 1.0})),
        },
        needed=("angle",),
    )

    def __call__(self, notes: Notes, given: Any, path: Path) -> float | None:
        """Return the angle [rad], or None after noting a fault."""
        if isinstance(given, dict):
            return self._pair(notes, given, path)
        if not isinstance(given, (str, int, float)):
            notes.fault(path, given, self.wanted)
            return None
        try:
            angle = math.radians(read_toward(given))
        except FaultyText as faulty:
            notes.fault(path, given, str(faulty))
            return None
        if abs(angle) <= math.pi:
            return angle
        notes.fault(path, given, "an angle up to 180 degrees")
        return None

    def _pair(self, notes: Notes, given: dict[str, Any], path: Path) -> float | None:
        found = self.table(notes, given, path)
        if found is None or ("toward" in given and "toward" not in found):
            return None
        if found["angle"] and "toward" not in given:
            notes.missing((*path, "toward"), self.table.keys["toward"].wanted)
            return None
        return float(found["angle"] * found.get("toward", 1.0))


def _turned(given: Any) -> Turned:
    turns = read_turns(given)
    if abs(turns) > _MOST_TURNS:
        raise FaultyText(f"at most {_MOST_TURNS} turns")
    return Turned(float(turns))


_TURNED = Parsed(_turned, '"1/2 lengthen", "1/6 shorten" or "not turned"')

PASS = Table(
    {
        "label": Text(80),
        "turned": Moved(dict.fromkeys(SIDES, _TURNED)),
        "steering_wheel_off": Repeated(Off()),
        "turns_to_lock": Table(dict.fromkeys(SIDES, Number(0.1, 6)), dict, needed=SIDES),
        "wheelbase_left": Repeated(Length("40", "240")),
        "wheelbase_right": Repeated(Length("40", "240")),
        "floor": Table(dict.fromkeys((*AXLES, "along"), Planned(Length("-6", "6")))),
        "turn": Table(dict.fromkeys(SIDES, _TURN)),
        "string": _STRING,
        "tape": Table(dict.fromkeys(AXLES, _TAPE)),
        "inclinometer": _INCLINOMETER,
    },
    _pass,
)

JOB = Table(
    {
        "title": Text(200),
        "date": Day(),
        "length_unit": Choice({"in": "in", "mm": "mm"}),
        "car": CAR,
        "instruments": INSTRUMENTS,
        "goal": GOAL,
        "tie_rods": TIE_RODS,
        "adjuster": List(ADJUSTER, 0, 24, "at most 24 adjusters, each under its own [[adjuster]]"),
        "pass": List(
            PASS, 0, MOST_PASSES, f"at most {MOST_PASSES} passes, each under its own [[pass]]"
        ),
    }
)


@cache
def places(table: Table = JOB) -> dict[str, str]:
    """Return key -> header of the table it stands under, for keys of one place or two tables.

    Parameters
    ----------
    table : Table
        Where to start.

    Returns
    -------
    dict
        For example ``wheelbase`` -> ``[car]``, ``tape`` -> ``[instruments] or [[pass]]``; empty
        for a key that stands in no table.
    """
    found: dict[str, set[str]] = {}
    _collect(table, "", found)
    few = {key: headers for key, headers in found.items() if len(headers) == 1 or _pair(headers)}
    return {key: " or ".join(sorted(headers)) for key, headers in few.items()}


def _pair(headers: set[str]) -> bool:
    """Return whether these are two tables: outer ones, or the two of the axles or the sides."""
    ends = {header.strip("[]").rpartition(".")[2] for header in headers}
    outer = not any("." in header for header in headers)
    return len(headers) == 2 and (outer or ends in (set(AXLES), set(SIDES)))


def _collect(table: Table, name: str, found: dict[str, set[str]]) -> None:
    for key, kind in table.keys.items():
        inner = kind.kind if isinstance(kind, List) else kind
        tables = [one for one in _kinds(inner) if isinstance(one, Table)]
        header = name or (key if tables else "")
        bracketed = f"[[{header}]]" if header in ("pass", "adjuster") else f"[{header}]"
        found.setdefault(key, set()).add(bracketed if header else "")
        for one in tables:
            _collect(one, f"{name}.{key}".lstrip("."), found)


def _kinds(kind: Kind) -> tuple[Kind, ...]:
    return tuple(kind.kinds.values()) if isinstance(kind, OneOf) else (kind,)
