"""What to ask for, in walking order: the order of the schema, which is that of the job file.

Where a reading is repeated, all first readings (valve up) of one kind come before all second
ones (valve down): the car is rolled once, not at every wheel. Sweeps come last: on turn plates, the
rear wheels on blocks, nothing is rolled.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from toebox.job.adjusters import Moved, read_move
from toebox.job.keys import hint
from toebox.job.lines import Path
from toebox.job.model import AXLES, SIDES, WHEELS, Adjuster
from toebox.job.notes import Notes
from toebox.job.schema import JOB, OneOf
from toebox.job.values import PLANNED, Kind, List, Parsed, Planned, Repeated, Shared, Table

_NAMES = {"string": "String", "tape": "Tape", "inclinometer": "Gauge", "tie_rods": "Tie rods"}
_TIMES = {
    "string": ("valve up", "valve down"),
    "tape": ("first", "after half a turn"),
    "inclinometer": ("valve up", "valve down"),
    "steering_wheel_off": ("one way", "and back"),
}
_LAST = 1000  # rounds: more than a reading is ever repeated


class Question(NamedTuple):
    """One value to ask for.

    Parameters
    ----------
    path : tuple
        Where it stands in the file; ends in a place where it stands in a list.
    kind : Kind
        How the schema reads it.
    given : object
        What stands there now; ``"?"`` where it is still to be taken.
    repeats : bool
        Whether several readings may be given.
    """

    path: Path
    kind: Kind
    given: Any
    repeats: bool = False

    @property
    def open(self) -> bool:
        """Whether it is still to be answered."""
        return bool(self.given == PLANNED)

    @property
    def is_reading(self) -> bool:
        """Whether it is taken at the car anew in every pass."""
        return self.path[0] == "pass" and self.path[2] not in ("label", "turned")

    @property
    def is_stated(self) -> bool:
        """Whether it comes with the file, such as an instrument's, and is not asked for then."""
        return self.path[0] == "instruments" or self.path[-1] == "smallest_turn"

    @property
    def place(self) -> int:
        """Which of several repeated readings it is, from 0."""
        return self.path[-1] if isinstance(self.path[-1], int) else 0

    @property
    def of_sweep(self) -> bool:
        """Whether it is read on turn plates, one stop after the other."""
        return "sweep" in self.path

    @property
    def name(self) -> str:
        """What it is called: where it is read, which of several readings."""
        return name_of(self.path)

    @property
    def hint(self) -> str:
        """What belongs there, in a few words."""
        names = tuple(part for part in self.path if isinstance(part, str))
        return hint(names) or hint(names[:-1])


def questions(document: Mapping[str, Any]) -> list[Question]:
    """Return a question for every value that a job has or leaves open.

    Parameters
    ----------
    document : mapping
        As the TOML reader gave it.

    Returns
    -------
    list of Question
        In walking order. Values that do not fit the schema's tables are left out.
    """
    return list(_walk(JOB, (), document, moved_kinds(document)))


def moved_kinds(document: Mapping[str, Any]) -> dict[str, Kind]:
    """Return how a move of each adjuster of a job is read.

    Parameters
    ----------
    document : mapping
        As the TOML reader gave it.

    Returns
    -------
    dict
        By the adjuster's name; without those that have faults.
    """
    unit = document.get("length_unit")
    notes = Notes(unit=unit if unit in ("in", "mm") else "in")
    adjusters = JOB.keys["adjuster"](notes, document.get("adjuster", []), ("adjuster",))
    return {adjuster.name: _move(adjuster) for adjuster in adjusters or ()}


def _move(adjuster: Adjuster) -> Kind:
    more, less = adjuster.ways
    wanted = f'how many ({adjuster.unit}) and which way: "1 {more}", "1 {less}" or "not moved"'
    return Parsed(lambda given: read_move(given, adjuster) + 0.0, wanted)


def _walk(kind: Any, path: Path, given: Any, movers: Mapping[str, Kind]) -> Iterator[Question]:
    parts = inside(kind, given)
    if parts is None:
        if not isinstance(kind, (Table, OneOf, List)):
            yield _question(path, kind, given)
    elif isinstance(kind, Repeated):
        for place, _, part in parts:
            yield _question((*path, place), kind, part)
    else:
        for name, part_kind, part in parts:
            found = _walk(part_kind, (*path, name), part, movers)
            is_step = len(path) == 2 and path[0] == "pass"
            yield from sorted(found, key=_round) if is_step else found
        if isinstance(kind, Moved):  # after the tie rods what an adjuster was moved
            names = (name for name in movers if name in given)
            yield from (Question((*path, name), movers[name], given[name]) for name in names)


def inside(kind: Any, given: Any) -> list[tuple[str | int, Any, Any]] | None:
    """Return what stands in a table or list, in the order of the schema.

    Parameters
    ----------
    kind : Kind
        How the schema reads it.
    given : object
        As the TOML reader gave it.

    Returns
    -------
    list of tuple or None
        Key or place, kind and value of each part that the schema knows; None for a single value.
    """
    if isinstance(given, list) and isinstance(kind, (List, Repeated)):
        return [(place, kind.kind, part) for place, part in enumerate(given)]
    if not isinstance(given, Mapping):
        return None
    if isinstance(kind, Shared):
        kind = kind.table
    elif isinstance(kind, OneOf):
        kind = next((kind.kinds[key] for key in kind.kinds if key in given), None)
    if not isinstance(kind, Table):
        return None
    return [(name, part, given[name]) for name, part in kind.keys.items() if name in given]


def _question(path: Path, kind: Any, given: Any) -> Question:
    if isinstance(given, Mapping):  # { angle = 5, toward = "left" }
        given = _pair(given)
    return Question(path, _plain(kind), given, isinstance(kind, Repeated))


def _pair(given: Mapping[str, Any]) -> Any:
    """Return an angle and its direction as one text, which may stand in their place."""
    angle, toward = given.get("angle", PLANNED), given.get("toward", "")
    return PLANNED if PLANNED in (angle, toward) else f"{angle} {toward}".strip()


def _round(question: Question) -> int:
    """Return in which round a question comes: valve up, valve down, last on turn plates."""
    if question.of_sweep:
        return _LAST
    return question.place if question.repeats else 0


def _plain(kind: Any) -> Kind:
    """Return the kind of a single value that has been taken."""
    while isinstance(kind, (Repeated, Planned, Shared)):
        kind = kind.kind
    return kind  # type: ignore[no-any-return]


def name_of(path: Path) -> str:
    """Return in words where a value is read.

    Parameters
    ----------
    path : tuple
        Its path.

    Returns
    -------
    str
        With a capital first letter.

    Examples
    --------
    >>> name_of(("pass", 0, "string", "left_front", "rear", 1))
    'String, left front wheel, rear, valve down'
    >>> name_of(("car", "rim_diameter"))
    'Car, rim diameter'
    """
    parts = path[2:] if path[0] == "pass" else path
    table = str(parts[0])
    words = [_NAMES.get(table, table.replace("_", " ").capitalize())]
    if len(parts) > 2 and isinstance(parts[1], int):
        words[0] += f" {parts[1] + 1}"
    for part in parts[1:]:
        if isinstance(part, str):
            words.append(_part(part, table))
    if isinstance(path[-1], int) and table in _TIMES:
        times = _TIMES[table]
        words.append(times[path[-1]] if path[-1] < len(times) else f"reading {path[-1] + 1}")
    elif "sweep" in parts:
        words.insert(-1, f"stop {int(parts[parts.index('sweep') + 1]) + 1}")
    return ", ".join(words)


def _part(part: str, table: str) -> str:
    text = part.replace("_", " ")
    if part in WHEELS:
        return f"{text} wheel"
    if part in AXLES and table == "tape":
        return f"{text} axle"
    if part in SIDES and table in ("tie_rods", "turned"):
        return f"{text} tie rod" if table == "turned" else text
    return text
