"""The Tab key in the shells that the README names, on a real terminal."""

from __future__ import annotations

import os
import re
import shutil
import sys
from pathlib import Path

import pytest

from tests.cli.test_group import _bash_version
from tests.readme import README

if os.name == "nt":
    pytest.skip("shells of POSIX", allow_module_level=True)

from tests.cli.terminal import Terminal

LINES = re.findall(
    r"^((?:eval|_TOEBOX_COMPLETE).*?(bash|zsh|fish)_source.*?) +#", README.read_text("utf-8"), re.M
)
SET_UP = {shell: line for line, shell in LINES}
SHELLS = {
    "bash": ["bash", "--norc", "--noprofile", "-i"],
    "zsh": ["zsh", "-f", "-i"],
    "fish": ["fish", "--no-config", "--interactive"],
}
BEFORE = {
    "bash": "bind 'set bell-style none'; bind 'set enable-bracketed-paste off'; PS1='READY> '",
    "zsh": "autoload -U compinit && compinit -D -u; unsetopt zle_bracketed_paste; PS1='READY> '",
    "fish": "function fish_prompt; echo 'READY> '; end",
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a job, and the program as an installed one would be found."""
    bin_ = tmp_path / "bin"
    bin_.mkdir()
    program = bin_ / "toebox"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m toebox "$@"\n', "utf-8")
    program.chmod(0o755)
    (tmp_path / "blue-hatchback.toml").touch()
    return tmp_path


def test_the_readme_sets_up_three_shells() -> None:
    assert set(SET_UP) == set(SHELLS)


@pytest.mark.parametrize("shell", SHELLS)
def test_the_tab_key(folder: Path, shell: str) -> None:
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed")
    if shell == "bash" and _bash_version() < (4, 4):
        pytest.skip("completion needs bash 4.4")
    env = {
        "PATH": f"{folder / 'bin'}:{os.environ['PATH']}",
        "HOME": str(folder), "XDG_CONFIG_HOME": str(folder), "XDG_DATA_HOME": str(folder),
        "LC_ALL": "C.UTF-8",
    }  # fmt: skip
    with Terminal(program=SHELLS[shell], env=env, columns=100) as screen:
        two = "(math 1+1)" if shell == "fish" else "$((1+1))"  # shown by the answer alone
        for line in (f"cd {folder}", BEFORE[shell], SET_UP[shell], f"echo SET-UP-{two}"):
            screen.type(f"{line}\n")
        screen.expect("SET-UP-2")
        for typed, completed in (
            ("toebox conv\t", r"toebox convert "),
            ("toebox start new.toml --from toe\t", r"--from toe-plates "),
            ("toebox report --pap\t", r"report --paper "),
            ("toebox fill blue\t", r"fill blue-hatchback\.toml "),
        ):
            screen.type(typed)
            screen.expect(spread(completed))
            screen.type("\x15")  # the line away


def spread(words: str) -> str:
    """A pattern for words among which the shell moves and colours."""
    codes = r"(?:\x1b\[[0-9;?]*[A-Za-z]|\x1b\(B|\x0f|\r|\x07|\x08)*"
    letters = re.findall(r"\\.|.", words)
    return codes.join(letters)
