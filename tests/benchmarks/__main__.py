"""Run the benchmarks and print one table: ``python -m tests.benchmarks [--jobs N] [...]``."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

from tests.benchmarks import many_jobs, pages, start_up
from tests.benchmarks.ratios import HEADER


def main() -> None:
    """Measure what was asked for."""
    options = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    options.add_argument("--only", choices=["start", "jobs", "runs", "growth", "pages"])
    options.add_argument("--rounds", type=int, default=15, help="of each process")
    options.add_argument("--jobs", type=int, default=1_000)
    options.add_argument("--many", type=int, default=10_000)
    asked = options.parse_args()
    print(HEADER, flush=True)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        parts = {
            "start": lambda: start_up.ratios(folder, asked.rounds),
            "jobs": lambda: many_jobs.ratios(folder, asked.jobs),
            "runs": lambda: many_jobs.whole_runs(folder, asked.jobs),
            "growth": lambda: many_jobs.growth(folder, asked.jobs, asked.many),
            "pages": lambda: pages.ratios(folder, asked.rounds),
        }
        for part, measure in parts.items():
            if asked.only in (None, part):
                for ratio in measure():
                    print(ratio.row(), flush=True)


if __name__ == "__main__":
    main()
