"""What of a job is left out because it was not measured, what stays open, and what it lacks."""

from __future__ import annotations

import copy
import re

from toebox.cli.filling import Filling
from toebox.cli.talk import tell
from toebox.errors import Fault, FaultyInput
from toebox.job.adjusters import ADJUSTER
from toebox.job.draft import put
from toebox.job.lines import Path, depth_of
from toebox.job.model import AXLES, SIDES
from toebox.job.notes import dotted
from toebox.job.so_far import taken
from toebox.job.values import PLANNED
from toebox.job.walk import moved_kinds, questions

STAYS_OPEN = (
    "What was turned stays open. Nobody knows it then, and what the passes before found of what it "
    "moves counts no longer; if nothing was turned there, write that: not turned."
)
_PART = re.compile(r"([\w-]+)|\[(\d+)\]")


def leave_out(filling: Filling) -> None:
    """Take what is open out of the file, but for what was turned and what an answer needs.

    Parameters
    ----------
    filling : Filling
        The job.
    """
    filling.refresh()
    stay = _staying(filling)
    answered = copy.deepcopy(filling.draft.document)
    for path in stay:
        put(answered, path, 0)
    kept = taken(answered)
    while left := [q for q in questions(filling.draft.document) if q.open and q.path not in stay]:
        last = left[-1]
        # Stops go whole, and so does what means nothing without the value.
        end = len(last.path) - 1 if last.of_sweep else depth_of(kept, last.path) + 1
        filling.draft.remove(last.path[:end])
    filling.store()
    filling.skipped |= stay.keys()
    filling.staying |= stay.keys()
    if any(not why for why in stay.values()):
        tell(STAYS_OPEN)
    for path, why in stay.items():
        if why:
            tell(f"{dotted(path)} stays open, since something that is answered needs it: {why}.")


def missing(filling: Filling) -> list[Path]:
    """Return what the file lacks, and other answers need.

    Parameters
    ----------
    filling : Filling
        The job.

    Returns
    -------
    list of tuple
        Paths at which a value could be asked for.
    """
    return [path for fault in _faults(filling) if (path := _lacking(filling, fault)) is not None]


def ask_for(filling: Filling) -> None:
    """Open in the file what it lacks, so that it is asked for.

    Parameters
    ----------
    filling : Filling
        The job.
    """
    filling.refresh()
    for path in missing(filling):
        if path[-1] == "turned":  # left open as a whole: each by its own name
            names = (*SIDES, *moved_kinds(filling.draft.document))
            filling.draft.set(path, dict.fromkeys(names, PLANNED))
        else:
            filling.draft.set(path, PLANNED)
    filling.store()


def _faults(filling: Filling) -> tuple[Fault, ...]:
    try:
        filling.job()
    except FaultyInput as faulty:
        return faulty.faults
    return ()


def _staying(filling: Filling) -> dict[Path, str]:
    """Return what is open and stays so, with what asks for it; empty of what was turned."""
    paths = [question.path for question in filling.open()]
    faults = [fault for fault in _faults(filling) if not fault.given]
    found = {path: "" for path in paths if path[0] == "pass" and path[2] == "turned"}
    for path in [path for path in paths if path not in found]:
        whys = [fault.wanted for fault in faults if _asks_for(fault, path)]
        if path[0] == "adjuster" and path[-1] in ADJUSTER.needed:
            whys += _moved_in(filling, path)
        if whys:
            found[path] = whys[0].removesuffix(" (or car.tyre_diameter)")
    return found


def _asks_for(fault: Fault, path: Path) -> bool:
    """Return whether a fault is that a value is open."""
    name = dotted(path)
    if not name.startswith(f"{fault.key}.") and name != fault.key and name not in fault.wanted:
        return False
    others = [axle for axle in AXLES if axle != path[-1]]
    of_other = path[-1] in AXLES and any(f"the {axle} axle" in fault.wanted for axle in others)
    return not of_other


def _moved_in(filling: Filling, path: Path) -> list[str]:
    """Return where passes tell of moves of the adjuster that a path is of."""
    name = filling.draft.get((*path[:2], "name"))
    passes = enumerate(filling.draft.get(("pass",)) or [])
    told = [(n, one.get("turned")) for n, one in passes if isinstance(one, dict)]
    return [
        dotted(("pass", number, "turned", str(name)))
        for number, moves in told
        if isinstance(moves, dict) and name in moves
    ]


def _lacking(filling: Filling, fault: Fault) -> Path | None:
    """Return the path of a value that is not there, None where it could not be asked for."""
    parts = _PART.findall(fault.key)
    path: Path = tuple(int(place) - 1 if place else name for name, place in parts)
    there = filling.draft.get(path)
    if path[-1:] == ("turned",) and there == PLANNED:
        return path
    if fault.given or there is not None:
        return None
    trial = copy.deepcopy(filling.draft.document)
    try:
        put(trial, path, PLANNED)
    except (TypeError, LookupError):
        return None
    return path if any(q.path == path and q.open for q in questions(trial)) else None
