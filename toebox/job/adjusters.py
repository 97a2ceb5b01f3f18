"""[[adjuster]]: what sets caster, camber or rear toe at a wheel, and how far it was moved.

A move counts in the adjuster's own unit: turns of a threaded rod or link (lengthening positive),
degrees of a cam (clockwise positive), shims (adding positive), or a unit that the job names.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Any

from toebox.errors import FaultyText
from toebox.job.lines import Path
from toebox.job.model import SIDES, WHEELS, Adjuster, Turned, axle_of
from toebox.job.notes import Notes
from toebox.job.values import PLANNED, Angle, Choice, Kind, Length, Number, Table, Text, Threaded
from toebox.units.number import clean
from toebox.units.read import NOT_TURNED, read_count

NOT_MOVED = frozenset({"not moved", *NOT_TURNED})
# Kind -> unit, word for a positive move, word for a negative one, setting it is usually for.
KINDS = {
    "strut rod": ("turn", "lengthen", "shorten", "caster"),
    "control-arm link": ("turn", "lengthen", "shorten", "camber"),
    "cam": ("degree", "clockwise", "anticlockwise", "camber"),
    "shims": ("shim", "add", "remove", "camber"),
    "direct": ("", "more", "less", ""),
}
GIVES = {
    "more caster": ("caster", 1.0),
    "less caster": ("caster", -1.0),
    "top out": ("camber", 1.0),
    "top in": ("camber", -1.0),
    "toe-in": ("toe", 1.0),
    "toe-out": ("toe", -1.0),
}
# Keys that say how large the effect of a kind is.
_SIZES = {
    "strut rod": ("thread", "second_thread", "lever_arm", "ratio"),
    "control-arm link": ("thread", "second_thread", "lever_arm", "ratio"),
    "cam": ("eccentricity", "lever_arm", "ratio", "position"),
    "shims": ("thickness", "lever_arm", "ratio"),
    "direct": ("unit",),
}
_ALL_SIZES = {key for keys in _SIZES.values() for key in keys}
_STEPS = {"strut rod": 1 / 6, "control-arm link": 1 / 6, "cam": 5.0, "shims": 1.0, "direct": 0.25}
_QUARTER = math.radians(90.0)
_THREAD = 'a thread such as "M14x1.5" or "5/8-18-LH"'
_PER_UNIT = Angle(-10, 10)
_WAYS = {word for _, more, less, _ in KINDS.values() for word in (more, less)}

_MOVE = re.compile(
    r"(?P<amount>.*?) *(?P<unit>turns?|flats?|deg(?:rees?)?|°|shims?)? +"
    r"(?P<way>lengthen|shorten|clockwise|anticlockwise|counterclockwise|add|remove|more|less)"
)
_PER_TURN = {"turn": 1.0, "flat": 1 / 6, "deg": 1 / 360, "°": 1 / 360}
_PER_DEGREE = {"turn": 360.0, "flat": 60.0, "deg": 1.0, "°": 1.0}


def _built(
    wheel: str,
    kind: str,
    name: str = "",
    gives: tuple[str, float] | None = None,
    room: Mapping[str, float] | None = None,
    smallest_step: float | None = None,
    **given: Any,
) -> Adjuster:
    """Build an adjuster; `AdjusterTable` looks at what its keys say together."""
    setting, sense = gives or (KINDS[kind][3], 1.0)
    unit, more, less, _ = KINDS[kind]
    effect = given.pop("effect", {})
    if not setting and effect:
        setting = max(effect, key=lambda key: abs(effect[key]))
    return Adjuster(
        wheel=wheel,
        kind=kind,
        name=name or f"{wheel.replace('_', ' ')} {kind}",
        unit=given.pop("unit", unit or "unit"),
        ways=(more, less),
        setting=setting,
        sense=sense,
        effect=effect,
        room=((room or {}).get(less), (room or {}).get(more)),
        smallest_step=smallest_step or _STEPS[kind],
        **given,
    )


_EFFECT = Table(dict.fromkeys(("caster", "camber", "toe"), _PER_UNIT))
_KEYS: dict[str, Kind] = {
    "wheel": Choice({wheel: wheel for wheel in WHEELS}),
    "kind": Choice({kind: kind for kind in KINDS}),
    "name": Text(40),
    "gives": Choice(GIVES),
    "thread": Threaded(_THREAD),
    "second_thread": Threaded(_THREAD),
    "eccentricity": Length("0.01", "2"),
    "position": Angle(-90, 90),
    "thickness": Length("0.001", "1"),
    "lever_arm": Length("1", "40"),
    "ratio": Number(0.1, 10),
    "unit": Text(20),
    "effect": _EFFECT,
    "smallest_step": Number(0.01, 90),
    "room": Table(dict.fromkeys(sorted(_WAYS), Number(0, 1000))),
}
_ADDING = {"add": "adding a shim", "clockwise": "turning clockwise"}


class AdjusterTable(Table):
    """One [[adjuster]]: its keys one by one, then what they say together."""

    def __call__(self, notes: Notes, given: Any, path: Path) -> Adjuster | None:
        """Return the adjuster, or None after noting what is wrong with it."""
        adjuster: Adjuster | None = super().__call__(notes, given, path)
        if adjuster is None:
            return None
        kind, (more, less) = adjuster.kind, adjuster.ways
        for key in sorted(_ALL_SIZES.intersection(given).difference(_SIZES[kind])):
            notes.fault((*path, key), given[key], f'no such key for kind = "{kind}"')
        room = given.get("room")
        ways = _WAYS.intersection(room) if isinstance(room, dict) else set()
        for way in sorted(ways - {more, less}):
            wanted = f'"{more}" or "{less}" for kind = "{kind}"'
            notes.fault((*path, "room", way), way, wanted)
        if _alike(adjuster):
            wanted = "another pitch or hand than thread: as it is, turning changes nothing"
            notes.fault((*path, "second_thread"), given["second_thread"], wanted)
        if kind == "direct":
            if not adjuster.effect:
                wanted = "its effect, such as { camber = 0.25, toe = -0.1 }, in degrees per unit"
                notes.missing((*path, "effect"), wanted)
        elif given.get("gives", PLANNED) == PLANNED:  # not there, or left open
            word = _ADDING.get(more, f"{more}ing it")
            notes.missing((*path, "gives"), f"what {word} gives: {_KEYS['gives'].wanted}")
        _check_setting(notes, adjuster, given, path)
        return adjuster


def _check_setting(notes: Notes, adjuster: Adjuster, given: Mapping[str, Any], path: Path) -> None:
    """Note a setting that the wheel does not have there, or an effect against what it gives."""
    key = "effect" if adjuster.kind == "direct" else "gives"
    if adjuster.setting == "caster" and axle_of(adjuster.wheel) == "rear":
        wanted = "camber or toe: rear wheels have no caster"
        notes.fault((*path, key), given.get(key), wanted)
    if adjuster.setting == "toe" and axle_of(adjuster.wheel) == "front":
        wanted = "caster or camber: the toe of front wheels is set at the tie rods"
        notes.fault((*path, key), given.get(key), wanted)
    main = adjuster.effect.get(adjuster.setting, 0.0)
    if adjuster.kind != "direct" and main * adjuster.sense < 0.0:
        sign = "above" if adjuster.sense > 0.0 else "below"
        wanted = f"an effect {sign} 0, as gives says, or the other word for gives"
        notes.fault((*path, "effect", adjuster.setting), math.degrees(main), wanted)


def _alike(adjuster: Adjuster) -> bool:
    """Return whether both ends have the same pitch and hand."""
    one, other = adjuster.thread, adjuster.second_thread
    if one is None or other is None:
        return False
    return abs(one.pitch - other.pitch) < 1e-9 and one.left_hand == other.left_hand


ADJUSTER = AdjusterTable(_KEYS, _built, needed=("wheel", "kind"))


def named(notes: Notes, adjusters: tuple[Adjuster, ...]) -> None:
    """Note a fault for each adjuster whose name is taken.

    Parameters
    ----------
    notes : Notes
        Takes up the faults.
    adjusters : tuple of Adjuster
        In the order of the file.
    """
    taken = set(SIDES)
    for number, adjuster in enumerate(adjusters):
        if adjuster.name in taken:
            wanted = "a name of its own, by which the passes tell what was moved"
            notes.fault(("adjuster", number, "name"), adjuster.name, wanted)
        taken.add(adjuster.name)


class Moved(Table):
    """What was turned before a pass: tie rods by side, adjusters by their names."""

    def values(self, notes: Notes, given: Mapping[str, Any], path: Path) -> dict[str, Any]:
        """Return tie rods read, and adjusters as they stand in the file."""
        rods = {key: value for key, value in given.items() if key in self.keys}
        others = {key: value for key, value in given.items() if key not in self.keys}
        return super().values(notes, rods, path) | others


def moves(
    notes: Notes, adjusters: tuple[Adjuster, ...], given: Mapping[str, Any], path: Path
) -> tuple[dict[str, Turned], dict[str, float]]:
    """Tell tie rods from adjusters, and read how far those were moved.

    Parameters
    ----------
    notes : Notes
        Takes up faults: unknown names, moves that do not suit the adjuster.
    adjusters : tuple of Adjuster
        Those of the job.
    given : mapping
        As `Moved` returned it.
    path : tuple
        Where it stands.

    Returns
    -------
    turned : dict of str to Turned
        Tie rods by side.
    moved : dict of str to float
        Adjusters by name, each in its own unit; without those left open as ``"?"``.
    """
    by_name = {adjuster.name: adjuster for adjuster in adjusters}
    turned = {key: value for key, value in given.items() if key in SIDES}
    moved: dict[str, float] = {}
    for key, value in given.items():
        if key in SIDES:
            continue
        if key not in by_name:
            notes.unknown((*path, key), (*SIDES, *by_name))
            continue
        if value == PLANNED:
            notes.left_open.add((*path, key))
            continue
        try:
            moved[key] = read_move(value, by_name[key])
        except FaultyText as faulty:
            notes.fault((*path, key), value, str(faulty))
    return turned, moved


def read_move(given: Any, adjuster: Adjuster) -> float:
    """Read how far an adjuster was moved.

    Parameters
    ----------
    given : str or int
        For example ``2 lengthen``, ``30 clockwise``, ``1 add``, ``not turned`` or 0.
    adjuster : Adjuster
        Its unit and words.

    Returns
    -------
    float
        Units, positive for the first of its words [-].

    Raises
    ------
    FaultyText
        If number or word is missing or does not suit the adjuster.
    """
    more, less = adjuster.ways
    wanted = (
        f'how far and which way: "1 {more}" or "1 {less}" ({adjuster.unit}); "not moved" if it '
        "was not"
    )
    text = clean(given).lower() if isinstance(given, str) else ""
    if text in NOT_MOVED or (not isinstance(given, str) and given == 0):
        return 0.0
    match = _MOVE.fullmatch(text)
    if match is None:
        raise FaultyText(wanted)
    way = match["way"].replace("counterclockwise", "anticlockwise")
    if way not in (more, less):
        raise FaultyText(wanted)
    amount = float(read_count(match["amount"]))
    if amount < 0:
        raise FaultyText(f"no sign beside the word {way!r}")
    return amount * _units(match["unit"], adjuster, wanted) * (1.0 if way == more else -1.0)


def _units(word: str | None, adjuster: Adjuster, wanted: str) -> float:
    """Return how many of its own units one of the unit read is."""
    if not word:
        return 1.0
    unit = "deg" if word.startswith("deg") else word.rstrip("s")
    per = {"turn": _PER_TURN, "degree": _PER_DEGREE, "shim": {"shim": 1.0}}.get(adjuster.unit, {})
    if unit not in per:
        raise FaultyText(wanted)
    return per[unit]


def within_reach(adjuster: Adjuster) -> Adjuster:
    """Return an adjuster with the room that its kind leaves where the job gives none.

    Parameters
    ----------
    adjuster : Adjuster
        As built from the file.

    Returns
    -------
    Adjuster
        A cam stays within a quarter turn of its middle; other kinds are as they were.
    """
    if adjuster.kind != "cam":
        return adjuster
    middle = math.degrees(adjuster.position)
    reach = (math.degrees(_QUARTER) + middle, math.degrees(_QUARTER) - middle)
    less, more = (
        end if room is None else min(room, end)
        for room, end in zip(adjuster.room, reach, strict=True)
    )
    return adjuster._replace(room=(less, more))
