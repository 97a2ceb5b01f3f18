"""What can go wrong, and the exit code that says so."""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple


class ExitCode(IntEnum):
    """Exit codes of every command."""

    DONE = 0
    GOAL_NOT_MET = 1  # only with --check
    USAGE = 2
    FAULTY_INPUT = 3
    NO_RESULT = 4
    CANNOT_WRITE = 5
    OWN_FAULT = 70  # a fault in the program itself
    INTERRUPTED = 130
    READER_GONE = 141  # whoever read standard output closed it, as `head` does


class ToeboxError(Exception):
    """Base of every error that a user's input or machine can cause."""

    exit_code = ExitCode.FAULTY_INPUT


class Fault(NamedTuple):
    """One fault of a job file: where it is, what was given, what is wanted.

    Parameters
    ----------
    key : str
        Dotted path as in the file, for example ``pass[1].string.left_front.front``.
    given : str
        What the file says there, shortened; empty where the key is missing.
    wanted : str
        What would be right, in plain words.
    line : int or None
        Line in the file, counted from 1; None where there is no such line.
    """

    key: str
    given: str
    wanted: str
    line: int | None = None

    def __str__(self) -> str:
        """Return the fault as one line without the file name."""
        where = f"line {self.line}: " if self.line is not None else ""
        given = f"given {self.given}; " if self.given else ""
        return f"{where}{self.key}: {given}wanted: {self.wanted}"


class FaultyInput(ToeboxError):
    """A job (or a value on the command line) that cannot be read; carries every fault."""

    exit_code = ExitCode.FAULTY_INPUT

    def __init__(self, source: str, faults: tuple[Fault, ...]) -> None:
        self.source = source
        self.faults = faults
        super().__init__("\n".join(f"{source}: {fault}" for fault in faults))


class FaultyText(ValueError):
    """A text that is not the number, angle, thread or word that it should be.

    The message is the `wanted` part of a fault: it says what would be right.
    """


class NoResult(ToeboxError):
    """The readings cannot give a single result."""

    exit_code = ExitCode.NO_RESULT


class CannotWrite(ToeboxError):
    """A file could not be written; nothing half-written was left."""

    exit_code = ExitCode.CANNOT_WRITE
