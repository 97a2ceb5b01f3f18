"""Kinds of readings that a job may still take, and a pass that takes those of the last again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from toebox.job.draft import Draft
from toebox.job.layout import written
from toebox.job.model import AXLES, SIDES, WHEELS
from toebox.job.so_far import SET_UP
from toebox.job.values import PLANNED
from toebox.job.walk import moved_kinds

_PAIR = [PLANNED, PLANNED]
_SWEEP = [
    {"steer": "20 out", "camber": PLANNED},
    {"steer": 0, "camber": PLANNED},
    {"steer": "20 in", "camber": PLANNED},
]

_SIZES = ((("car", "wheelbase"), PLANNED), (("car", "track"), PLANNED))


class Offer(NamedTuple):
    """One kind of readings.

    Parameters
    ----------
    name : str
        What it is.
    gives : str
        What it tells.
    car : tuple
        What must be known of the car for it: paths with what to write.
    readings : tuple
        Its readings: paths within a pass with what to write.
    """

    name: str
    gives: str
    car: tuple[tuple[tuple[str, ...], Any], ...]
    readings: tuple[tuple[tuple[str, ...], Any], ...]


def _tape(axle: str) -> Offer:
    return Offer(
        f"tape or toe plates, {axle} wheels",
        f"total toe of the {axle} wheels",
        ((("car", "tyre_diameter"), PLANNED),),
        tuple((("tape", axle, edge), _PAIR) for edge in ("front_edge", "rear_edge")),
    )


OFFERS = (
    Offer(
        "strings beside all four wheels",
        "each wheel's own toe, the thrust angle, what to turn",
        ((("car", "wheelbase"), PLANNED), (("car", "rim_diameter"), PLANNED)),
        tuple((("string", wheel, edge), _PAIR) for wheel in WHEELS for edge in ("front", "rear")),
    ),
    Offer(
        "the bars that hold the strings",
        "whether the strings run parallel",
        (),
        tuple(
            (("string", key), PLANNED)
            for key in ("front_bar_width", "rear_bar_width", "bar_spacing")
        ),
    ),
    *map(_tape, AXLES),
    Offer(
        "a road test",
        "how far the steering wheel stands off centre",
        ((("car", "steering_ratio"), PLANNED),),
        ((("steering_wheel_off",), _PAIR),),
    ),
    Offer(
        "camber, wheels straight ahead",
        "camber of all four wheels",
        (),
        tuple((("inclinometer", wheel, "camber"), _PAIR) for wheel in WHEELS),
    ),
    Offer(
        "camber again with the gauge turned end for end",
        "the gauge's own error",
        (),
        tuple((("inclinometer", wheel, "camber_turned"), PLANNED) for wheel in WHEELS),
    ),
    Offer(
        "a sweep on turn plates",
        "caster",
        (),
        tuple((("inclinometer", wheel, "sweep"), _SWEEP) for wheel in WHEELS[:2]),
    ),
    Offer(
        "the wheelbase at both sides",
        "setback",
        (),
        tuple(((f"wheelbase_{side}",), PLANNED) for side in SIDES),
    ),
    Offer(
        "caster, by a gauge that shows it",
        "caster without a sweep",
        (),
        tuple((("inclinometer", wheel, "caster"), PLANNED) for wheel in WHEELS[:2]),
    ),
    Offer(
        "turn plates, the steering turned to each side",
        "toe-out on turns",
        _SIZES,
        tuple((("turn", side, plate), PLANNED) for side in SIDES for plate in ("inner", "outer")),
    ),
    Offer(
        "the turns of the steering wheel to each lock",
        "whether it sits on the right spline",
        (),
        tuple((("turns_to_lock", side), PLANNED) for side in SIDES),
    ),
    Offer(
        "how level the floor is",
        "camber and caster on a floor that slopes",
        _SIZES,
        tuple((("floor", where), PLANNED) for where in (*AXLES, "along")),
    ),
    Offer(
        "the string to every hub",
        "how the car stands between the strings, more surely",
        (),
        tuple((("string", wheel, "hub"), PLANNED) for wheel in WHEELS),
    ),
)

TIE_RODS = Offer(
    "the tie rods",
    "how many turns",
    tuple(
        (("tie_rods", key), PLANNED)
        for key in ("steering_arm", "arm_length", "outer_thread", "inner_thread", "outer_engaged")
    ),
    (),
)


def _goal(of: str, gives: str, *tables: tuple[str, ...], size: str = "angle") -> Offer:
    keys = tuple(("goal", *table, key) for table in tables for key in (size, "tolerance"))
    name = f"the goal{'s' * (len(tables) > 1)} for {of}"
    across = (("car", "tyre_diameter"),) if size == "distance" else ()
    wanted = tuple((key, PLANNED) for key in (*across, *keys))
    return Offer(name, f"what is right, {gives}", wanted, ())


_DATA, _ZERO = "from the maker's data", "as a rule 0"
GOALS = (
    _goal("front total toe", _DATA, ("front_total_toe",), size="distance"),
    _goal("rear total toe", _DATA, ("rear_total_toe",), size="distance"),
    _goal("the thrust angle", _ZERO, ("thrust_angle",)),
    _goal("the steering wheel", _ZERO, ("steering_wheel",)),
    _goal("camber", _DATA, *(("camber", wheel) for wheel in WHEELS)),
    _goal("caster", _DATA, *(("caster", wheel) for wheel in WHEELS[:2])),
    _goal("front cross-camber, left minus right", _DATA, ("cross_camber",)),
    _goal("front cross-caster, left minus right", _DATA, ("cross_caster",)),
)
ALL = (*OFFERS, *GOALS, TIE_RODS)


def offers(document: Mapping[str, Any]) -> list[Offer]:
    """Return what the last pass of a job does not take yet.

    Parameters
    ----------
    document : mapping
        As the TOML reader gave it.

    Returns
    -------
    list of Offer
        The most telling first.
    """
    passes = document.get("pass") or [{}]
    return [offer for offer in ALL if _missing(offer, document, passes[-1])]


def _missing(offer: Offer, document: Mapping[str, Any], last: Mapping[str, Any]) -> bool:
    if offer.readings:
        return all(_at(last, path) is None for path, _ in offer.readings)
    if offer is TIE_RODS:
        return offer.car[0][0][0] not in document
    return all(_at(document, path[:2]) is None for path, _ in offer.car if path[0] == "goal")


def _at(found: Any, path: tuple[str, ...]) -> Any:
    for part in path:
        found = found.get(part) if isinstance(found, Mapping) else None
    return found


def take_up(draft: Draft, offer: Offer) -> None:
    """Write ``"?"`` for everything that an offer takes into the last pass of a job.

    Parameters
    ----------
    draft : Draft
        The job; a pass is added where it has none.
    offer : Offer
        One of `offers`.
    """
    if offer.readings and not draft.document.get("pass"):
        draft.add_pass('[[pass]]\nlabel = "as found"\n')
    for path, value in offer.car:
        if draft.get(path) is None and not _part_of_value(draft, path):
            draft.set(path, value)
    number = len(draft.document.get("pass", ())) - 1
    for path, value in offer.readings:
        if draft.get(("pass", number, *path)) is None:
            draft.set(("pass", number, *path), value)


def _part_of_value(draft: Draft, path: tuple[str, ...]) -> bool:
    """Tell whether a path leads into a value that stands there already."""
    return any(
        not isinstance(found, Mapping)
        for n in range(1, len(path))
        if (found := draft.get(path[:n])) is not None
    )


def next_pass(document: Mapping[str, Any], label: str) -> str:
    """Return a further pass that takes the readings of the last one again.

    Parameters
    ----------
    document : mapping
        A job with at least one pass.
    label : str
        What the new pass is called.

    Returns
    -------
    str
        TOML: ``"?"`` for each reading; what is set up, not read, stays as it is.
    """
    last = document["pass"][-1]
    lines = ["[[pass]]", f"label = {written(label)}"]
    lines.append(f"turned = {written(dict.fromkeys((*SIDES, *moved_kinds(document)), PLANNED))}")
    tables = []
    for name, given in last.items():
        if name in _ONCE:
            continue
        again = _again(given)
        if name in ("string", "tape", "inclinometer") and isinstance(again, Mapping):
            tables.append(f"[pass.{name}]")
            tables += [f"{key} = {written(value)}" for key, value in again.items()]
        else:
            lines.append(f"{name} = {written(again)}")
    return "\n".join([*lines, *tables, ""])


_ONCE = ("label", "turned", "wheelbase_left", "wheelbase_right", "turn")


def _again(given: Any) -> Any:
    """Return ``"?"`` for every reading."""
    if isinstance(given, Mapping):
        if set(given) <= {"angle", "toward"}:
            return PLANNED
        return {key: one if key in SET_UP else _again(one) for key, one in given.items()}
    if isinstance(given, list):
        return [_again(part) for part in given]
    return PLANNED
