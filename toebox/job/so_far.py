"""A job that is still being filled in: what it is without the values left open."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from toebox.errors import FaultyInput
from toebox.job.adjusters import Moved
from toebox.job.complete import complete
from toebox.job.model import Job
from toebox.job.notes import Notes
from toebox.job.schema import JOB, Off, OneOf, places
from toebox.job.values import PLANNED, List, Repeated, Shared, Table

NO_READINGS = {"label", "turned"}  # what a pass holds beside them
SET_UP = ("across", "steer", "bar_spacing")  # sizes beside readings, the same in every pass


def job_so_far(document: Mapping[str, Any], text: str, source: str) -> Job:
    """Read a job as if whatever is left open were not in it.

    Parameters
    ----------
    document : mapping
        As the TOML reader gave it.
    text : str
        The file, for the lines of faults.
    source : str
        Its name, for messages.

    Returns
    -------
    Job
        Without a further pass that is only begun: its readings are open, and no turn is told.

    Raises
    ------
    FaultyInput
        With every fault but those of values left open.
    """
    notes = Notes(places())
    passes = document.get("pass")
    if isinstance(passes, list):
        while len(passes) > 1 and _begun(passes[-1]):
            passes = passes[:-1]
        document = {**document, "pass": passes}
    job = complete(notes, taken(document), source)
    if job is None:
        raise FaultyInput(source, notes.faults(text))
    return job


def _begun(readings: Any) -> bool:
    """Return whether every reading of a pass is still to be taken, and no turn is told."""
    if not isinstance(readings, Mapping) or set(readings) <= NO_READINGS:
        return False
    turned = readings.get("turned", {})
    told = isinstance(turned, Mapping) and any(value != PLANNED for value in turned.values())
    return not told and not is_read(readings)


def is_read(readings: Any) -> bool:
    """Return whether any reading of a pass has been taken.

    Parameters
    ----------
    readings : object
        A pass as the TOML reader gave it.

    Returns
    -------
    bool
        Sizes that are set up, such as the distance between the bars, are no readings.
    """
    if not isinstance(readings, Mapping):
        return False
    (found,) = taken({"pass": [readings]}).get("pass", [{}])
    return any(_holds_any(part) for key, part in found.items() if key not in NO_READINGS)


def _holds_any(given: Any) -> bool:
    if isinstance(given, Mapping):
        return any(_holds_any(part) for key, part in given.items() if key not in SET_UP)
    return any(map(_holds_any, given)) if isinstance(given, list) else True


def taken(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return a document without the values left open.

    Parameters
    ----------
    document : mapping
        As the TOML reader gave it.

    Returns
    -------
    dict
        The same without ``"?"``, without tables and lists that held nothing else, and without
        tables that mean nothing without one of the values left open. Under ``turned`` it stays:
        nobody knows then what was done.

    Examples
    --------
    >>> taken({"pass": [{"tape": {"front": {"front_edge": "?", "rear_edge": ["57", "?"]}}}]})
    {'pass': [{'tape': {'front': {'rear_edge': ['57']}}}]}
    """
    return {name: part for name, part in _of_table(JOB, document).items() if part is not None}


def _taken(kind: Any, given: Any) -> Any:
    """Return what has been taken, None where that is nothing."""
    if isinstance(kind, Moved):
        return given
    if isinstance(given, str) and given == PLANNED:
        return None
    if isinstance(kind, Shared) and isinstance(given, Mapping):
        kind = kind.table
    if isinstance(kind, OneOf) and isinstance(given, Mapping):
        kind = next((kind.kinds[key] for key in kind.kinds if key in given), None)
    if isinstance(given, Mapping):
        inner = getattr(kind, "kind", kind)
        if isinstance(inner, Off):
            kind = inner.table
        found = _of_table(kind, given)
        left_open = set(given) - set(found)
        if left_open & set(getattr(kind, "needed", ())):
            return None
        return found or (None if given else given)
    if isinstance(given, list):
        item = kind.kind if isinstance(kind, (List, Repeated)) else None
        parts = [_taken(item, part) for part in given]
        whole = [part for part in parts if part is not None]
        return whole or (None if given else given)
    return given


def _of_table(kind: Any, given: Mapping[str, Any]) -> dict[str, Any]:
    keys = kind.keys if isinstance(kind, Table) else {}
    found = {name: _taken(keys.get(name), part) for name, part in given.items()}
    return {name: part for name, part in found.items() if part is not None}
