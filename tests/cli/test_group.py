"""The group of commands: late imports, help, messages, exit codes, completion."""

from __future__ import annotations

import importlib
import io
import re
import subprocess
import sys

import click
import pytest

import toebox
from tests.cli.running import ROOT, run, run_process
from tests.readme import help_of
from toebox.cli import mishap, output
from toebox.cli.group import COMMANDS, main
from toebox.errors import CannotWrite, ExitCode, Fault, FaultyInput, NoResult


@pytest.mark.parametrize("name", COMMANDS)
def test_the_table_and_the_modules_hold_together(name: str) -> None:
    command = importlib.import_module(f"toebox.cli.{name}").command
    assert command.name == name
    assert COMMANDS[name].endswith(".")


def test_every_module_with_a_command_stands_in_the_table() -> None:
    modules = {path.stem for path in (ROOT / "toebox" / "cli").glob("*.py")}
    with_command = {
        name
        for name in modules - {"__init__", "__main__"}
        if isinstance(
            getattr(importlib.import_module(f"toebox.cli.{name}"), "command", None), click.Command
        )
    }
    assert with_command == set(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_help_has_an_example_that_the_command_understands(name: str) -> None:
    text = help_of(name)
    examples = re.findall(r"^    (toebox .*)$", text, re.M)
    assert examples, text
    assert all(example.startswith(f"toebox {name}") for example in examples)
    for option in re.findall(r"(?<= )--[a-z-]+", " ".join(examples)):
        assert re.search(rf"^ .*{option}\b.*  ", text, re.M), f"{option} is not explained"


@pytest.mark.parametrize("words", [[], ["--help"], ["-h"]])
def test_help_lists_every_command(words: list[str]) -> None:
    done = run(*words)
    assert done.exit_code == 0
    assert all(f"  {name}" in done.output for name in COMMANDS)


def test_the_version() -> None:
    assert run("--version").output == f"toebox {toebox.__version__}\n"


@pytest.mark.parametrize(
    "words, message",
    [
        (["slove"], "toebox: There is no command 'slove'. Did you mean 'solve'?\n"),
        (["zzz"], "toebox: There is no command 'zzz'. There are: report, solve, start"),
        (["--zzz"], "toebox: No such option"),
        (["solve"], "toebox: Missing argument 'JOB...'.\n"),
        (["solve", "-", "-"], "toebox: Standard input (-) can be read only once.\n"),
        (["report", "a", "--paper", "b5"], "toebox: Invalid value for '--paper': 'b5' is not"),
    ],
)
def test_wrong_usage_is_2_and_says_where_help_is(words: list[str], message: str) -> None:
    done = run(*words)
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr.startswith(message)
    assert re.search(r"^toebox: for help: toebox.* --help$", done.stderr, re.M)


def test_the_same_in_a_process_of_its_own() -> None:
    done = run_process("slove", encoding="utf-8")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        "toebox: There is no command 'slove'. Did you mean 'solve'?\n"
        "toebox: for help: toebox --help\n"
    )


FAULTS = (Fault("car.wheelbase", "'x'", "a length", 3), Fault("goal", "", "a table"))


@pytest.mark.parametrize(
    "error, code, said",
    [
        (
            FaultyInput("j.toml", FAULTS),
            3,
            "toebox: j.toml: line 3: car.wheelbase: given 'x'; wanted: a length\n"
            "toebox: j.toml: goal: wanted: a table\n",
        ),
        (NoResult("nothing to go by"), 4, "toebox: nothing to go by\n"),
        (CannotWrite("cannot write a"), 5, "toebox: cannot write a\n"),
        (OSError(28, "full"), 5, "toebox: the disk is full\n"),
        (KeyboardInterrupt(), 130, "toebox: stopped\n"),
        (click.Abort(), 130, "toebox: stopped\n"),
        (BrokenPipeError(), 141, ""),
        (FaultyInput("\x1b[31m", FAULTS[1:]), 3, "toebox: \\x1b[31m: goal: wanted: a table\n"),
    ],
)
def test_every_error_has_a_code_and_plain_words(monkeypatch, error, code, said) -> None:
    def fail(job: str) -> None:
        raise error

    monkeypatch.setattr("toebox.cli.report.answer", fail)
    done = run("report", "-")
    assert (done.exit_code, done.stdout, done.stderr) == (code, "", said)


def test_a_fault_of_our_own_is_no_traceback_unless_asked_for(monkeypatch) -> None:
    def fail(job: str) -> None:
        raise ZeroDivisionError("half\x07way")

    monkeypatch.setattr("toebox.cli.report.answer", fail)
    done = run("report", "-")
    assert done.exit_code == ExitCode.OWN_FAULT
    assert done.stderr.startswith(
        "toebox: a fault in toebox itself, not in your readings: ZeroDivisionError: half\\x07way\n"
    )
    assert "Traceback" not in done.stderr
    monkeypatch.setenv("TOEBOX_TRACEBACK", "1")
    assert "Traceback" in run("report", "-").stderr


def test_used_from_python_click_keeps_its_own_ways() -> None:
    with pytest.raises(click.UsageError, match="no command 'zzz'"):
        main.main(["zzz"], standalone_mode=False)


def test_what_is_no_command_is_none() -> None:
    assert main.get_command(click.Context(main), "zzz") is None


def test_usage_that_no_command_owns_is_told_without_a_hint(capsys) -> None:
    assert mishap.explain(click.UsageError("Odd.")) == ExitCode.USAGE
    assert capsys.readouterr().err == "toebox: Odd.\n"


def test_windows_wildcards_are_expanded_where_no_shell_does_it(monkeypatch, tmp_path) -> None:
    from toebox.cli import group

    for name in ("b.toml", "a.toml"):
        (tmp_path / name).touch()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "argv", ["toebox", "solve", "*.toml", "*.none", "--json"])
    assert group._arguments() == ["solve", "*.toml", "*.none", "--json"]
    monkeypatch.setattr(group.os, "name", "nt")
    assert group._arguments() == ["solve", "a.toml", "b.toml", "*.none", "--json"]


def test_a_name_with_brackets_is_a_file_where_it_is_there(monkeypatch, tmp_path) -> None:
    from toebox.cli import group

    for name in ("c1.toml", "c[1].toml", "d1.toml"):
        (tmp_path / name).touch()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "argv", ["toebox", "c[1].toml", "d[1].toml"])
    monkeypatch.setattr(group.os, "name", "nt")
    assert group._arguments() == ["c[1].toml", "d1.toml"]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_shell_gets_its_completion_script(shell: str) -> None:
    if shell == "bash" and _bash_version() < (4, 4):
        pytest.skip("completion needs bash 4.4")
    done = run_process(env={"_TOEBOX_COMPLETE": f"{shell}_source"}, encoding="utf-8")
    assert done.returncode == 0
    assert "_TOEBOX_COMPLETE" in done.stdout


def _bash_version() -> tuple[int, int]:
    try:
        said = subprocess.run(
            ["bash", "-c", "echo ${BASH_VERSINFO[0]} ${BASH_VERSINFO[1]}"],
            capture_output=True,
            encoding="utf-8",
            check=True,
        ).stdout
    except (OSError, subprocess.CalledProcessError):
        return 0, 0
    major, minor = said.split()
    return int(major), int(minor)


@pytest.mark.parametrize(
    "typed, offered",
    [
        (["toebox", "rep"], "plain,report"),
        (["toebox", "report", "--pa"], "plain,--paper"),
        (["toebox", "report", "--paper", "l"], "plain,letter"),
        (["toebox", "start", "x.toml", "--from", "tape"], "plain,tape-only"),
        (["toebox", "report", "sam"], "file,sam"),
    ],
)
def test_commands_options_templates_and_files_complete(typed: list[str], offered: str) -> None:
    done = run_process(
        env={
            "_TOEBOX_COMPLETE": "bash_complete",
            "COMP_WORDS": " ".join(typed),
            "COMP_CWORD": str(len(typed) - 1),
        },
        encoding="utf-8",
    )
    assert (done.stdout.splitlines(), done.stderr, done.returncode) == ([offered], "", 0)


def test_output_where_nobody_listens_is_no_trouble(monkeypatch) -> None:
    monkeypatch.setattr(sys, "stderr", None)
    output.say("nobody hears this")
    monkeypatch.setattr(sys, "stdout", None)
    assert not output.use_colour()
    closed = io.StringIO()
    closed.close()
    assert not output.is_terminal(closed)
    for write, data in ((output.write, "x"), (output.write_bytes, b"x")):
        with pytest.raises(CannotWrite, match="standard output is closed"):
            write(data)
    assert mishap.explain(CannotWrite("x")) == ExitCode.CANNOT_WRITE
