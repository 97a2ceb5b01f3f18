"""A job file, from bytes to a job, with every fault of the file told at once."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import tomli

from toebox.errors import Fault, FaultyInput
from toebox.job.complete import complete
from toebox.job.lines import first_unread
from toebox.job.model import Job
from toebox.job.notes import Notes, show
from toebox.job.schema import places
from toebox.job.so_far import is_read, job_so_far
from toebox.job.values import PLANNED, Day

_MOST_BYTES = 1_000_000
_LONGEST_LINE = 2_000
# The TOML reader takes time that grows with the square of the parts of a key.
_MOST_PARTS = 16
_DEEP_KEY = re.compile(rf"""\s*\[*\s*(?:(?:[\w-]+|"[^"]*"|'[^']*')\s*\.\s*){{{_MOST_PARTS}}}""")
_PLACE = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")


def load(path: str | Path, *, plans: bool = False) -> Job:
    """Read a job file.

    Parameters
    ----------
    path : str or Path
        A TOML file in UTF-8, or ``-`` for standard input.
    plans : bool
        Whether a reading may be ``"?"``: planned, still to be taken; NaN in the job.

    Returns
    -------
    Job
        The job, in metres and radians.

    Raises
    ------
    FaultyInput
        With every fault of the file: if it cannot be read, is no TOML, is larger than
        1 MB, or a key or value in it is not what it should be.
    """
    text, source = _text(path)
    return loads(text, source, plans=plans)


def load_written(path: str | Path) -> tuple[Job, dict[str, Any]]:
    """Read a job file both ways: as a job, and as it was written.

    Parameters
    ----------
    path : str or Path
        A TOML file in UTF-8, or ``-`` for standard input.

    Returns
    -------
    tuple
        The job without readings that are planned, and without its last pass where that holds
        any; the document with the texts and numbers of its author.

    Raises
    ------
    FaultyInput
        As `load`.
    """
    text, source = _text(path)
    written = _document(text.removeprefix("\ufeff"), source)
    passes = written.get("pass")
    if not isinstance(passes, list):
        return loads(text, source), written
    if passes and still_to_come(passes[-1]):  # the sheet is for this one, begun or not
        passes = passes[:-1]
    while passes and still_to_come(passes[-1]) and not is_read(passes[-1]):
        passes = passes[:-1]
    return job_so_far({**written, "pass": passes}, text.removeprefix("\ufeff"), source), written


def still_to_come(readings: Any) -> bool:
    """Tell whether a pass holds a reading that is still to be taken.

    Parameters
    ----------
    readings : object
        A pass as the TOML reader gave it.

    Returns
    -------
    bool
        True where a ``"?"`` stands in it; one under ``turned`` is none: nobody knows what was done.
    """
    if isinstance(readings, dict):
        readings = {key: part for key, part in readings.items() if key != "turned"}
    return planned(readings)


def planned(given: Any) -> bool:
    """Tell whether something written holds a reading that is still to be taken.

    Parameters
    ----------
    given : object
        A value, list or table as the TOML reader gave it.

    Returns
    -------
    bool
        True where a ``"?"`` stands in it.
    """
    if isinstance(given, dict):
        return any(planned(part) for part in given.values())
    if isinstance(given, list):
        return any(planned(part) for part in given)
    return bool(given == PLANNED)


def read_text(path: str | Path) -> str:
    """Read the text of a job file that is to be changed.

    Parameters
    ----------
    path : str or Path
        A TOML file in UTF-8.

    Returns
    -------
    str
        The text to the letter; values in it may be faulty.

    Raises
    ------
    FaultyInput
        If it cannot be read, or is no TOML.
    """
    text, source = _text(path)
    _document(text.removeprefix("\ufeff"), source)
    return text


def loads(text: str, source: str, *, plans: bool = False) -> Job:
    r"""Read a job from a text.

    Parameters
    ----------
    text : str
        TOML.
    source : str
        Where it came from, for messages.
    plans : bool
        Whether a reading may be ``"?"``: planned, still to be taken; NaN in the job.

    Returns
    -------
    Job
        The job, in metres and radians.

    Raises
    ------
    FaultyInput
        With every fault of the text.

    Examples
    --------
    >>> loads('length_unit = "in"\ncar.wheelbase = "101 3/8"', "example").car.wheelbase
    2.574925
    """
    text = text.removeprefix("\ufeff")
    document = _document(text, source)
    notes = Notes(places(), plans)
    job = complete(notes, document, source)
    if job is None:
        raise FaultyInput(source, notes.faults(text))
    return job


def _text(path: str | Path) -> tuple[str, str]:
    """Return the text of a file, or of standard input, and what messages call it."""
    source = "standard input" if str(path) == "-" else str(path)
    return _decoded(_bytes(path, source), source), source


def _bytes(path: str | Path, source: str) -> bytes:
    """Return the content of a file, or of standard input, up to a little over the limit."""
    try:
        if str(path) == "-":
            content = sys.stdin.buffer.read(_MOST_BYTES + 1)
        else:
            with Path(path).open("rb") as file:
                content = file.read(_MOST_BYTES + 1)
    except (OSError, ValueError, AttributeError) as error:
        reason = getattr(error, "strerror", None) or "it cannot be opened"
        raise _faulty(source, "file", "", f"a file that can be read ({reason})") from None
    if len(content) > _MOST_BYTES:
        raise _faulty(source, "file", "over 1 MB", "a job file of at most 1 MB")
    return content


def _decoded(content: bytes, source: str) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        given = f"byte 0x{content[error.start]:02X}"
        raise _faulty(source, "file", given, "text saved as UTF-8", line) from None


def _document(text: str, source: str) -> dict[str, Any]:
    """Read TOML, turning its one complaint into a fault with its line."""
    lines = text.split("\n")
    if not text.strip():
        wanted = "a job; toebox start FILE writes one to fill in"
        raise _faulty(source, "file", "nothing: it is empty", wanted)
    if len(text) > _MOST_BYTES:
        raise _faulty(source, "file", "over 1 MB", "a job file of at most 1 MB")
    for number, line in enumerate(lines, start=1):
        if len(line) > _LONGEST_LINE:
            wanted = f"lines of at most {_LONGEST_LINE} characters"
            raise _faulty(source, "file", f"{len(line)} characters", wanted, number)
        if line.count(".") > _MOST_PARTS and _DEEP_KEY.match(line):
            wanted = f"keys of at most {_MOST_PARTS} parts"
            raise _faulty(source, "TOML", show(line.strip()), wanted, number)
    try:
        return tomli.loads(text)
    except ValueError as error:
        raise _not_toml(str(error), text, source) from None
    except RecursionError:
        deepest = max(lines, key=lambda line: line.count("[") + line.count("{"))
        wanted = "lists and tables nested at most 10 deep"
        number = lines.index(deepest) + 1
        raise _faulty(source, "TOML", show(deepest.strip()), wanted, number) from None


def _not_toml(message: str, text: str, source: str) -> FaultyInput:
    """Return the reader's complaint as a fault, with a hint where the slip is a usual one."""
    place = _PLACE.search(message)
    number = int(place[1]) if place and place[1] else first_unread(text)
    reason = message[: place.start()] if place else message
    line = text.split("\n")[number - 1].strip()
    wanted = _hint(line) or _reason(reason)
    return _faulty(source, "TOML", show(line), wanted, number)


# Start of the TOML reader's complaint, and what is wanted then.
_ONCE = "each key and each [table] once; every pass under its own [[pass]]"
_REASONS = {
    "Cannot": _ONCE,
    "Unclosed": "commas between values, quotes at both ends of a text, every [ and { closed",
    "Illegal character '\\n'": "a text closed by its quote on the same line",
}
_DECIMAL_COMMA = re.compile(r"[\w.-]+\s*=\s*(.*=\s*)?[-−]?\d+,\d+\s*\}?\s*(#.*)?")
_CURLY = re.compile(r"[\w.-]+\s*=\s*[\[{]?\s*[“”„‘’].*")
_BARE_VALUE = re.compile(
    r"""[\w.-]+\s*=\s*[\[{]?\s*(?!\d{4}-)[-−]?[\d.]+(?:\s*[^\s\d.,\]}#"'=]|\s+\d).*"""
)
_BARE_DATE = re.compile(r"""date\s*=\s*[^"'“”„‘’\s].*""")
_IN_QUOTES = re.compile(r""""[^"]*"|'[^']*'""")
_BARE_OPEN = re.compile(r"(^|[=\[,])\s*\?\s*($|[,\]}#])")
_INCHES_IN_QUOTES = re.compile(r"""[\w.-]+\s*=.*[\d/]"".*""")


def _reason(reason: str) -> str:
    """Return what is wanted by the TOML reader's complaint."""
    known = (wanted for start, wanted in _REASONS.items() if reason.startswith(start))
    return next(known, f"correct TOML ({reason})")


def _hint(line: str) -> str:
    """Return what is wanted in place of a slip that everybody makes once."""
    if _BARE_OPEN.search(_IN_QUOTES.sub("_", line).partition("#")[0]):
        return 'quotes round a value that is left open: "?"'
    if _BARE_DATE.fullmatch(line):
        return f"{Day.wanted}: year, month and day"
    if _INCHES_IN_QUOTES.fullmatch(line):
        return 'inch marks only inside single quotes, or none: \'3 15/16"\' or "3 15/16 in"'
    if _DECIMAL_COMMA.fullmatch(line):
        return "a decimal point, not a comma"
    if _CURLY.fullmatch(line):
        return 'straight quotes, such as "3 15/16"'
    if _BARE_VALUE.fullmatch(line):
        return 'quotes round fractions, units and words, such as "3 15/16" or "100 mm"'
    return ""


def _faulty(source: str, key: str, given: str, wanted: str, line: int | None = None) -> FaultyInput:
    return FaultyInput(source, (Fault(key, given, wanted, line),))
