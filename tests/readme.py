"""The generated parts of README.md: `python -m tests.readme` brings them up to date.

Between ``<!-- output: COMMAND -->`` and ``<!-- end -->`` stands what a command really prints;
between ``<!-- commands -->`` and ``<!-- end -->`` stands every command's help.
"""

from __future__ import annotations

import functools
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import click

from toebox.cli.group import COMMANDS, main

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
_PART = re.compile(r"^<!-- (output: (.+?)|commands) -->\n.*?^<!-- end -->$", re.M | re.S)


def fresh(text: str) -> str:
    """Return a README with every generated part made anew."""
    return _PART.sub(_part, text)


def _part(found: re.Match[str]) -> str:
    body = _fenced(printed(found[2])) if found[2] else _help_of_all()
    return f"<!-- {found[1]} -->\n{body}<!-- end -->"


def _fenced(text: str) -> str:
    return f"```text\n{text.rstrip()}\n```\n"


@functools.cache
def printed(line: str) -> str:
    """Return what a command line prints, run in a folder that holds a copy of the samples."""
    words = shlex.split(line)
    assert words[0] == "toebox", line
    with tempfile.TemporaryDirectory() as folder:
        if (ROOT / "samples").is_dir():
            shutil.copytree(ROOT / "samples", Path(folder) / "samples")
        done = subprocess.run(
            [sys.executable, "-m", "toebox", *words[1:]],
            cwd=folder,
            env={
                **os.environ,
                "PYTHONPATH": str(ROOT),
                "PYTHONIOENCODING": "utf-8",
                "COLUMNS": "100",
                "NO_COLOR": "1",
            },
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            check=False,
        )
    assert done.returncode == 0, done.stdout
    return done.stdout


def help_of(name: str) -> str:
    """Return a command's help, 90 columns wide."""
    with main.make_context("toebox", [], terminal_width=90, resilient_parsing=True) as group:
        command = main.get_command(group, name)
        assert command is not None, name
        return command.get_help(click.Context(command, group, name, terminal_width=90))


def _help_of_all() -> str:
    return "\n".join(f"### toebox {name}\n\n{_fenced(help_of(name))}" for name in COMMANDS)


if __name__ == "__main__":
    README.write_text(fresh(README.read_text("utf-8")), "utf-8")
