"""Each command as a process of its own, over a process that imports what the command needs."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.ratios import ROOT, Ratio, compare, process

TOEBOX = ["-m", "toebox"]
# Command line, packages that it cannot do without, what was hoped for.
COMMANDS = {
    "--help": (["--help"], "click", "1.5"),
    "convert": (["convert", "1/8 in", "--across", "24 in"], "click, numpy, pint", "1.3"),
    "convert alone": (["convert", "1/8 in", "--across", "24 in"], "click", ""),
    "centre": (["centre", "--off", "6 left", "--ratio", "16.5"], "click, numpy", ""),
    "sweep": (["sweep", "--stop", "20 out: 1.9", "--stop", "20 in: -1.4"], "click, numpy", ""),
    "start": (["start", "-"], "click", ""),
    "solve": (["solve", "job.toml"], "click, numpy", ""),
    "solve --json": (["solve", "--json", "job.toml"], "click, numpy", ""),
    "foresee": (["foresee", "job.toml"], "click, numpy", ""),
    "report": (["report", "job.toml"], "click, numpy, reportlab.platypus", ""),
    "sheet": (["sheet"], "click, reportlab.platypus", ""),
}


def ratios(folder: Path, rounds: int) -> Iterator[Ratio]:
    """Yield a ratio for each command."""
    shutil.copy(ROOT / "samples" / "string-box.toml", folder / "job.toml")
    for name, (words, packages, goal) in COMMANDS.items():
        yield compare(
            f"`toebox {name}`",
            process([*TOEBOX, *words], folder),
            f"importing {packages}",
            process(["-c", f"import {packages}"], folder),
            f"{goal} at most" if goal else "",
            rounds,
        )
