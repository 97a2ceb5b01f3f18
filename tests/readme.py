"""The generated parts of README and DEVELOPERS: `python -m tests.readme` makes them anew.

They end with ``<!-- end -->`` and begin with one of ``<!-- output: COMMAND -->`` (what a command
really prints), ``<!-- commands -->`` (every command's help) and ``<!-- sources -->`` (the published
sources that tests check against).
"""

from __future__ import annotations

import ast
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
DEVELOPERS = ROOT / "DEVELOPERS.md"
_PART = re.compile(r"^<!-- (output: (.+?)|commands|sources) -->\n.*?^<!-- end -->$", re.M | re.S)


def fresh(text: str) -> str:
    """Return a document with every generated part made anew."""
    return _PART.sub(_part, text)


def _part(found: re.Match[str]) -> str:
    if found[2]:
        body = _fenced(printed(found[2]))
    else:
        body = {"commands": _help_of_all, "sources": _sources}[found[1]]()
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


def _sources() -> str:
    rows = ["| source | what is checked | test |", "|---|---|---|"]
    for path in sorted((ROOT / "tests" / "published").glob("test_*.py")):
        source, checked = title_of(path)
        rows.append(f"| {source} | {checked} | `{path.relative_to(ROOT).as_posix()}` |")
    return "\n".join(rows) + "\n"


def title_of(path: Path) -> tuple[str, str]:
    """Return source and quantity from the first line of a test file: ``Source: quantity.``."""
    first = (ast.get_docstring(ast.parse(path.read_text("utf-8"))) or "").partition("\n")[0]
    source, colon, checked = first.rstrip(".").partition(": ")
    assert colon, f"{path.name}: its first line should be 'Source, clause: what is checked.'"
    return source, checked


if __name__ == "__main__":
    for document in (README, DEVELOPERS):
        document.write_text(fresh(document.read_text("utf-8")), "utf-8")
