"""The package as a whole: version, what is imported when, templates, what its files contain."""

from __future__ import annotations

import doctest
import importlib
import importlib.metadata
import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import pytest

import toebox
from toebox.cli.group import COMMANDS

ROOT = Path(__file__).resolve().parent.parent
MODULES = sorted(
    module.name
    for module in pkgutil.walk_packages(toebox.__path__, "toebox.")
    if not module.name.endswith("__main__")
)
HEAVY = {"numpy", "pint", "reportlab", "tomlkit", "scipy"}


def loaded_after(code: str) -> set[str]:
    """Return the names of the top-level packages that a fresh interpreter has after `code`."""
    show = "\nimport sys\nprint(*{name.partition('.')[0] for name in sys.modules})"
    done = subprocess.run(
        [sys.executable, "-c", code + show],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return set(done.stdout.splitlines()[-1].split())


def test_the_version_is_the_one_that_was_installed() -> None:
    try:
        installed = importlib.metadata.version("toebox")
    except importlib.metadata.PackageNotFoundError:
        pytest.skip("run from a checkout that is not installed")
    assert toebox.__version__ == installed


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["nonsense"]])
def test_what_needs_no_command_imports_none(words: list[str]) -> None:
    code = f"""
import sys
from toebox.cli import main
try:
    main({words!r})
except SystemExit:
    pass
print(*(name for name in sys.modules if name.startswith("toebox.cli.")))
print()
"""
    loaded = loaded_after(code)
    assert "click" in loaded
    assert not loaded & HEAVY


@pytest.mark.parametrize("name", COMMANDS)
def test_a_commands_help_imports_nothing_heavy(name: str) -> None:
    code = f"""
from toebox.cli import main
try:
    main([{name!r}, "--help"])
except SystemExit:
    pass
"""
    assert not loaded_after(code) & HEAVY


def test_importing_the_package_imports_nothing() -> None:
    assert not loaded_after("import toebox") & {*HEAVY, "click"}


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_in_the_documentation_are_true(name: str) -> None:
    """Each module imports, and prints what its docstrings say that it prints."""
    outcome = doctest.testmod(importlib.import_module(name))
    assert outcome.failed == 0


def test_there_are_examples_in_the_documentation() -> None:
    """Otherwise the test above would hold without looking at anything."""
    finder = doctest.DocTestFinder(exclude_empty=True)
    found = [
        test
        for name in MODULES
        for test in finder.find(importlib.import_module(name))
        if test.examples
    ]
    assert len(found) >= 10


def test_every_module_can_be_found_by_the_layering() -> None:
    """A folder without __init__.py would escape import-linter and the wheel."""
    folders = {path.parent for path in (ROOT / "toebox").rglob("*.py")}
    assert all((folder / "__init__.py").is_file() for folder in folders)


WRITTEN = {".py", ".toml", ".md", ".txt", ".json", ".cfg", ".ini", ""}
OWN = ("toebox", "templates", "samples", "tests", ".ci")


def own_files() -> list[Path]:
    """Return the text files of the project, wherever it lies, with or without git."""
    deep = (path for name in OWN for path in (ROOT / name).rglob("*"))
    return [
        path
        for path in (*ROOT.iterdir(), *deep)
        if path.is_file() and path.suffix in WRITTEN and "__pycache__" not in path.parts
        and not (path.parent == ROOT and path.name.startswith("."))
    ]


# Put together here so that this file does not contain them itself.
MACHINE_PATHS = re.compile("|".join(("/" + "work/", "/" + "home/", "/" + "tmp/tb", "/" + "root/")))


def test_no_file_tells_of_the_machine_that_it_was_written_on() -> None:
    files = own_files()
    assert len(files) > 20
    found = [str(p) for p in files if MACHINE_PATHS.search(p.read_text("utf-8", "replace"))]
    assert found == []
