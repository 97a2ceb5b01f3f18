"""Readings that should be much like another one, and are not: the usual slips of a hand.

The limits are common practice, no published source: wide enough for a bent car, narrow enough
for a unit that was mistaken or a line that was skipped.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from typing import Any

from toebox.job.answers import size_of, spoken
from toebox.job.lines import Path
from toebox.job.model import AXLES, SIDES
from toebox.job.values import PLANNED, Kind

Get = Callable[[Path], Any]
Twin = tuple[Path, str, float]  # where, what it is, how far they may differ [m] or [rad]

_SLIPS = {2.54: "inches for centimetres", 10.0: "centimetres for millimetres",
          25.4: "inches for millimetres", 12.0: "feet for inches"}  # fmt: skip
_NEAR = 0.08
_REPEAT = 0.0064
_EDGES = 0.025
_SIDES = 0.12
_BARS = 0.15
_TAPE, _AXLES = 0.05, 0.30
_WHEELBASES = 0.06
_CAMBER, _TURNED, _STOP, _CASTER = (math.radians(angle) for angle in (3.0, 1.5, 5.0, 4.0))
_ANGLE_REPEAT, _OFF_REPEAT = math.radians(1.0), math.radians(10.0)
_PASSES: dict[str | int, float] = {"string": _SIDES, "tape": _TAPE, "inclinometer": _STOP}
_OTHER = {"left": "right", "right": "left", "front": "rear", "rear": "front"}
_EDGE = {"front": "rear", "rear": "front", "front_edge": "rear_edge", "rear_edge": "front_edge"}


def unlike_twin(value: Any, kind: Kind, path: Path, get: Get, unit: str) -> str:
    """Say whether a reading is very unlike one that it should be like.

    Parameters
    ----------
    value : str or int or float
        The reading, as the file is to hold it.
    kind : Kind
        How the schema reads it.
    path : tuple
        Where it is to stand.
    get : callable
        Returns what stands at a path of the file, or None.
    unit : {"in", "mm"}
        Unit of lengths without one.

    Returns
    -------
    str
        A sentence that names the twin and what it reads; empty where nothing is unusual.
    """
    size = size_of(value, kind, unit)
    if size is None:
        return ""
    for where, words, limit in _twins(path):
        given = get(where)
        if given is None and isinstance(where[-1], int):  # one reading, not a list
            given = get(where[:-1])
        if isinstance(given, list):
            given = given[0] if given else None
        other = None if given in (None, PLANNED) else size_of(given, kind, unit)
        if other is not None and abs(size - other) > limit:
            return f"{words} is {spoken(given)}, this {spoken(value)}; {_guess(size, other)}"
    return ""


def _guess(one: float, other: float) -> str:
    """Return a guess at the slip behind two readings that should be nearly equal."""
    small, large = sorted((abs(one), abs(other)))
    if small:
        for ratio, words in _SLIPS.items():
            if abs(large / small / ratio - 1.0) < _NEAR:
                return f"was one of them read in another unit ({words})?"
    if one * other < 0.0 and large < 1.2 * small:
        return "is the direction of one of them right?"
    return "is one of them a slip?"


def _twins(path: Path) -> Iterator[Twin]:
    """Yield the readings that the one at a path should be like, the nearest kin first."""
    if path[0] == "car":
        yield from _of_car(path)
    if path[0] != "pass":
        return
    before, table = path[:2], path[2]
    names = [part for part in path if isinstance(part, str)]
    angle = table in ("inclinometer", "steering_wheel_off")
    if isinstance(path[-1], int) and path[-1] > 0:
        limit = _OFF_REPEAT if len(names) == 2 else _ANGLE_REPEAT if angle else _REPEAT
        yield (*path[:-1], 0), "The same reading before", limit
    if table == "string":
        yield from _of_string(path)
    elif table == "tape":
        yield from _of_tape(path)
    elif table == "inclinometer":
        yield from _of_gauge(path)
    elif str(table).startswith("wheelbase_"):
        side = _OTHER[str(table).removeprefix("wheelbase_")]
        yield ("car", "wheelbase"), "The car's wheelbase", _WHEELBASES
        yield (*before, f"wheelbase_{side}"), f"The wheelbase at the {side}", _WHEELBASES
    if table in _PASSES and isinstance(path[1], int) and path[1] > 0:
        yield ("pass", path[1] - 1, *path[2:]), "The same in the pass before", _PASSES[table]


def _of_car(path: Path) -> Iterator[Twin]:
    if path[-1] in AXLES:
        other = _OTHER[str(path[-1])]
        yield (*path[:-1], other), f"The one of the {other} axle", _AXLES


def _of_string(path: Path) -> Iterator[Twin]:
    if str(path[3]).endswith("_bar_width"):
        other = _OTHER[str(path[3]).partition("_")[0]]
        yield (*path[:3], f"{other}_bar_width"), f"The width at the {other} bar", _BARS
    if len(path) < 5:
        return
    wheel, key = str(path[3]), str(path[4])
    rest = path[5:]
    if key in _EDGE:
        yield (*path[:4], _EDGE[key], *rest), f"The {_EDGE[key]} edge of this wheel", _EDGES
    yield (*path[:3], _across(wheel), *path[4:]), f"The {_side(wheel)} wheel's", _SIDES


def _of_tape(path: Path) -> Iterator[Twin]:
    axle, key = str(path[3]), str(path[4])
    if key in _EDGE:
        words = _EDGE[key].replace("_", " ")
        yield (*path[:4], _EDGE[key], *path[5:]), f"The {words} of this axle", _TAPE
    other = _OTHER[axle]
    yield (*path[:3], other, *path[4:]), f"That of the {other} axle", _AXLES


def _of_gauge(path: Path) -> Iterator[Twin]:
    wheel, key = str(path[3]), str(path[4])
    if key == "camber_turned":
        yield (*path[:4], "camber"), "The gauge the other way round", _TURNED
    limit = {"sweep": _STOP, "caster": _CASTER}.get(key, _CAMBER)
    yield (*path[:3], _across(wheel), *path[4:]), f"The {_side(wheel)} wheel's", limit


def _across(wheel: str) -> str:
    """Return the wheel at the other side of the axle."""
    side, _, axle = wheel.partition("_")
    return f"{_OTHER[side]}_{axle}"


def _side(wheel: str) -> str:
    return _OTHER[wheel.partition("_")[0]] if wheel.partition("_")[0] in SIDES else ""
