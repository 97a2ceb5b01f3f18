"""Many jobs as JSON: worked out on every core where that pays, told in the order they were given.

A process of its own takes half a second to start, so that few jobs are done in this one. The blocks
of jobs go round the processes, and each waits until its block is read: however many there are,
memory stays the same. Each has a pipe that no other process holds: whatever dies, even in the
middle of a block, the other side sees the end of the pipe and never waits for more.
"""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from typing import TYPE_CHECKING, Any, NamedTuple

from toebox.cli.answer import STDIN, STEPS, goals_missed, result_of
from toebox.cli.mishap import lines_of
from toebox.cli.output import json_line
from toebox.errors import ExitCode, ToeboxError

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

    from toebox.cli.answer import Answer

FEWEST = 200  # jobs that are worth other processes
BLOCK = 20  # jobs that are taken at a time


class Told(NamedTuple):
    """What is told of one job: its JSON (none where it has faults), messages, the exit code."""

    line: str | None
    messages: tuple[str, ...]
    code: ExitCode


def tell(jobs: Sequence[str], check: bool) -> list[Told]:
    """Work out a block of jobs.

    All of them take one step before any takes the next: the processor keeps the code of a step at
    hand, which takes an eighth of the time off.

    Parameters
    ----------
    jobs : sequence of str
        Paths of job files, or ``-`` for standard input.
    check : bool
        Whether to say which goals are not proven to be met.

    Returns
    -------
    list of Told
        For each, a line of JSON, or what is wrong with the job.
    """
    found: list[Any] = list(jobs)
    for step in (*STEPS, partial(_told, check=check)):
        found = [_taken(step, one) for one in found]
    return [_stopped(one) if isinstance(one, ToeboxError) else one for one in found]


def _taken(step: Callable[[Any], Any], one: Any) -> Any:
    """Return what a step makes of one job, or the error that has stopped it there or before."""
    if isinstance(one, ToeboxError):
        return one
    try:
        return step(one)
    except ToeboxError as error:
        return error


def _told(found: Answer, check: bool) -> Told:
    missed = goals_missed(found) if check else ()
    line = json_line(result_of(found))
    return Told(line, missed, ExitCode.GOAL_NOT_MET if missed else ExitCode.DONE)


def _stopped(error: ToeboxError) -> Told:
    return Told(None, tuple(lines_of(error)), error.exit_code)


def tell_all(jobs: Sequence[str], check: bool, fewest: int = FEWEST) -> Generator[Told]:
    """Work out jobs, in their order.

    Parameters
    ----------
    jobs : sequence of str
        Paths of job files, or ``-`` for standard input.
    check : bool
        Whether to say which goals are not proven to be met.
    fewest : int, optional
        Number of jobs from which on other processes help.

    Yields
    ------
    Told
        One a job.
    """
    done = 0
    alone = threading.current_thread() is not threading.main_thread()
    if len(jobs) >= fewest and cores() > 1 and STDIN not in jobs and not alone:
        for told in _on_every_core(jobs, check):
            done += 1
            yield told
    # All, or what a process that died has left undone; nobody waits for what is typed in.
    size = 1 if STDIN in jobs else BLOCK
    for start in range(done, len(jobs), size):
        yield from tell(jobs[start : start + size], check)


def cores() -> int:
    """Return how many processors this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _on_every_core(jobs: Sequence[str], check: bool) -> Generator[Told]:
    """Yield what other processes tell of the jobs; end early where one of them dies."""
    from multiprocessing import get_context

    context = get_context("spawn")
    blocks = [jobs[start : start + BLOCK] for start in range(0, len(jobs), BLOCK)]
    number = min(cores(), len(blocks))
    processes, pipes = [], []
    try:
        with _deaf_to_interrupts():  # which the processes that start here inherit
            for place in range(number):
                ours, theirs = context.Pipe(duplex=False)
                pipes.append(ours)
                with theirs:
                    given = (blocks[place::number], check, theirs)
                    process = context.Process(target=_work, args=given, daemon=True)
                    process.start()
                processes.append(process)
        for place in range(len(blocks)):
            yield from pipes[place % number].recv()
    except (EOFError, OSError):  # one of them died, before a block or in it, or could not start
        return
    finally:
        for pipe in pipes:
            pipe.close()  # on which its process ends
        for process in processes:
            process.join()


def _work(blocks: Sequence[Sequence[str]], check: bool, pipe: Connection) -> None:
    """Tell of blocks of jobs, in a process of its own, until nobody reads any more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C is for the process that prints
    with suppress(Exception):  # what went wrong here, the other process meets and tells
        for block in blocks:
            pipe.send(tell(block, check))


@contextmanager
def _deaf_to_interrupts() -> Iterator[None]:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
