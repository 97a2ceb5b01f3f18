"""The generated parts of README and DEVELOPERS: `python -m tests.readme` makes them anew.

They end with ``<!-- end -->`` and begin with one of ``<!-- output: COMMAND -->`` (what a command
really prints), ``<!-- commands -->`` (every command's help), ``<!-- sources -->`` (the published
sources that tests check against) and ``<!-- figures -->`` (their figures beside ours).
"""

from __future__ import annotations

import ast
import functools
import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import click

from tests.printed import RECORD
from toebox.cli.group import COMMANDS, main

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
DEVELOPERS = ROOT / "DEVELOPERS.md"
PUBLISHED = ROOT / "tests" / "published" / "README.md"
DOCUMENTS = (README, DEVELOPERS, PUBLISHED)
_PART = re.compile(
    r"^<!-- (output: (.+?)|commands|sources|figures) -->\n.*?^<!-- end -->$", re.M | re.S
)


def fresh(text: str) -> str:
    """Return a document with every generated part made anew."""
    return _PART.sub(_part, text)


def _part(found: re.Match[str]) -> str:
    if found[2]:
        body = _fenced(printed(found[2]))
    else:
        body = {"commands": _help_of_all, "sources": _sources, "figures": _figures}[found[1]]()
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


def _figures() -> str:
    """Run the published tests and put down what each compared."""
    found = compared()
    parts = []
    for path in sorted((ROOT / "tests" / "published").glob("test_*.py")):
        source, checked = title_of(path)
        link = f"[`{path.name}`]({path.name})"
        parts.append(f"## {source}\n\n{checked[0].upper()}{checked[1:]} ({link}).")
        rows = [row for row in found if row["test"].partition("::")[0].endswith(path.name)]
        if rows:
            parts.append("\n".join(_figure_rows(rows)))
    return "\n" + "\n\n".join(parts) + "\n\n"


def _figure_rows(rows: list[dict[str, str]]) -> Iterator[str]:
    yield "| clause | quantity | printed | ours |"
    yield "|---|---|---|---|"
    for row in rows:
        quantity = row["what"] + (f" ({row['note']})" if row["note"] else "")
        yield f"| {row['clause']} | {quantity} | {row['printed']} | {row['ours']} |"


@functools.cache
def compared() -> list[dict[str, str]]:
    """Return every comparison with a printed figure that the published tests make."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "figures"
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "tests/published"],
            cwd=ROOT,
            env={**os.environ, "PYTEST_ADDOPTS": "", RECORD: str(place)},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            check=False,
        )
        assert done.returncode == 0, done.stdout
        lines = place.read_text("utf-8").splitlines()
    found: dict[str, dict[str, str]] = {}
    for row in map(json.loads, lines):
        found.setdefault(f"{row['test'].partition('::')[0]} {row['clause']} {row['what']}", row)
    return list(found.values())


def title_of(path: Path) -> tuple[str, str]:
    """Return source and quantity from the first line of a test file: ``Source: quantity.``."""
    first = (ast.get_docstring(ast.parse(path.read_text("utf-8"))) or "").partition("\n")[0]
    source, colon, checked = first.rstrip(".").partition(": ")
    assert colon, f"{path.name}: its first line should be 'Source, clause: what is checked.'"
    return source, checked


if __name__ == "__main__":
    for document in DOCUMENTS:
        document.write_text(fresh(document.read_text("utf-8")), "utf-8")
