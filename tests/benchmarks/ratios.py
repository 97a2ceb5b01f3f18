"""Two things timed in turns, so that a busy machine slows both alike."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent


@dataclass(frozen=True)
class Ratio:
    """How many times as long one thing takes as another, and what was hoped for."""

    what: str
    over: str
    ratio: float
    ours_ms: float
    theirs_ms: float
    goal: str

    def row(self) -> str:
        times = f"{self.ours_ms:.4g} / {self.theirs_ms:.4g}"
        return f"| {self.what} | {self.over} | {times} | {self.ratio:.2f} | {self.goal} |"


HEADER = "| what | over | ms | ratio | goal |\n|---|---|---|---|---|"


def compare(
    what: str,
    ours: Callable[[], object],
    over: str,
    theirs: Callable[[], object],
    goal: str,
    rounds: int,
) -> Ratio:
    """Time two calls in turns; the ratio is that of their medians."""
    ours(), theirs()
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(rounds):
        for call, taken in zip((ours, theirs), times, strict=True):
            start = time.perf_counter()
            call()
            taken.append(time.perf_counter() - start)
    one, two = (1e3 * statistics.median(taken) for taken in times)
    return Ratio(what, over, one / two, one, two, goal)


def process(words: Sequence[str], folder: Path) -> Callable[[], None]:
    """Return a call that runs Python with some words in a process of its own."""

    def run() -> None:
        subprocess.run(
            [sys.executable, *words],
            cwd=folder,
            env={"PYTHONPATH": str(ROOT), "PATH": "", "OPENBLAS_NUM_THREADS": "1"},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            check=True,
        )

    return run
