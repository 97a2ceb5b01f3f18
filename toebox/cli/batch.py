"""Many jobs as JSON: worked out on every core where that pays, told in the order they were given.

A process of its own takes half a second to start, so that few jobs are done in this one. Blocks of
jobs are handed out a few at a time: however many jobs there are, memory stays the same.
"""

from __future__ import annotations

import os
import signal
import threading
from collections import deque
from collections.abc import Generator, Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import islice
from typing import TYPE_CHECKING, NamedTuple

from toebox.cli.answer import answer, goals_missed, result_of
from toebox.cli.mishap import messages_of
from toebox.errors import ExitCode, ToeboxError

if TYPE_CHECKING:
    from concurrent.futures import Future, ProcessPoolExecutor

STDIN = "-"
FEWEST = 200  # jobs that are worth other processes
BLOCK = 20  # jobs that a process takes at a time
MOST = 61  # processes that Windows can wait for at once


class Told(NamedTuple):
    """What is told of one job: its JSON (none where it has faults), messages, the exit code."""

    line: str | None
    messages: tuple[str, ...]
    code: ExitCode


def tell(job: str, check: bool) -> Told:
    """Work out one job.

    Parameters
    ----------
    job : str
        Path of the job file, or ``-`` for standard input.
    check : bool
        Whether to say which goals are not proven to be met.

    Returns
    -------
    Told
        A line of JSON, or what is wrong with the job.
    """
    import json

    try:
        found = answer(job)
    except ToeboxError as error:
        return Told(None, messages_of(error), error.exit_code)
    missed = goals_missed(found) if check else ()
    # ASCII alone: the line means the same in every encoding.
    line = json.dumps(result_of(found), allow_nan=False)
    return Told(line, missed, ExitCode.GOAL_NOT_MET if missed else ExitCode.DONE)


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
    for job in islice(jobs, done, None):  # all, or what a process that died has left undone
        yield tell(job, check)


def cores() -> int:
    """Return how many processors this process may use, up to what every system can wait for."""
    if hasattr(os, "sched_getaffinity"):
        return min(len(os.sched_getaffinity(0)), MOST)
    return min(os.cpu_count() or 1, MOST)


def _on_every_core(jobs: Sequence[str], check: bool) -> Generator[Told]:
    """Yield what other processes tell of the jobs; end early where one of them dies."""
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    blocks = (jobs[start : start + BLOCK] for start in range(0, len(jobs), BLOCK))
    try:
        pool = ProcessPoolExecutor(cores(), get_context("spawn"), _begin)
    except (ImportError, NotImplementedError, OSError):  # a system without shared semaphores
        return
    try:
        with _deaf_to_interrupts():  # which the processes that start here inherit
            waiting = deque(_handed_out(pool, islice(blocks, 2 * cores()), check))
        while waiting:
            yield from waiting.popleft().result()
            waiting += _handed_out(pool, islice(blocks, 1), check)
    except BrokenProcessPool:
        return
    finally:
        pool.shutdown(cancel_futures=True)


def _handed_out(
    pool: ProcessPoolExecutor, blocks: Iterable[Sequence[str]], check: bool
) -> Iterator[Future[list[Told]]]:
    for block in blocks:
        yield pool.submit(_tell_block, block, check)


def _tell_block(jobs: Sequence[str], check: bool) -> list[Told]:
    return [tell(job, check) for job in jobs]


@contextmanager
def _deaf_to_interrupts() -> Iterator[None]:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _begin() -> None:
    """Begin a process: Ctrl-C is for the one that prints, and without that one there is no work."""
    from multiprocessing import parent_process

    def follow() -> None:
        if (parent := parent_process()) is not None:
            parent.join()
            os._exit(ExitCode.INTERRUPTED)

    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=follow, daemon=True).start()
