"""Ways to run the program: in this process, in one of its own, from a shell."""

from __future__ import annotations

import inspect
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result

from toebox.cli.group import main

ROOT = Path(__file__).resolve().parent.parent.parent

# click before 8.2 mixes the two streams unless told not to.
_APART = {"mix_stderr": False} if "mix_stderr" in inspect.signature(CliRunner).parameters else {}


def run(*words: object, text: str | None = None) -> Result:
    """Run a command line in this process; `text` is its standard input."""
    return CliRunner(**_APART).invoke(main, [str(word) for word in words], input=text)


def _environment(more: dict[str, str] | None) -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(ROOT), **(more or {})}


def run_process(
    *words: object, env: dict[str, str] | None = None, **options: Any
) -> subprocess.CompletedProcess[Any]:
    """Run a command line in a process of its own; bytes, unless an encoding is asked for."""
    options = {"stdout": subprocess.PIPE, "stdin": subprocess.DEVNULL, **options}
    return subprocess.run(
        [sys.executable, "-m", "toebox", *(str(word) for word in words)],
        stderr=subprocess.PIPE,
        env=_environment(env),
        check=False,
        **options,
    )


def run_shell(line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a line of sh, in which $toebox is the program."""
    return subprocess.run(
        ["sh", "-c", line],
        cwd=folder,
        env=_environment({"toebox": f"{sys.executable} -m toebox"}),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
