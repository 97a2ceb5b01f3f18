"""Other systems' habits: line ends, paths, encodings that lack most signs."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tomllib
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest

from tests.cli.running import ROOT, run
from toebox.cli import output, paper
from toebox.job import templates
from toebox.job.blank import in_unit

SAMPLE = (ROOT / "samples" / "string-box.toml").read_text("utf-8")
PLAIN_C = {"LC_ALL": "C", "LANG": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
COMMANDS = [
    ("solve", "job.toml"),
    ("solve", "--json", "job.toml"),
    ("solve", "--working", "job.toml"),
    ("report", "job.toml"),
    ("foresee", "job.toml"),
    ("sheet", "job.toml"),
    ("start", "new.toml"),
    ("convert", "1/8 in", "--across", "24 in"),
    ("centre", "--off", "6 left", "--ratio", "16.5"),
    ("sweep", "--stop", "20 out: 1.95", "--stop", "20 in: -1.48"),
    ("--help",),
    ("report", "--help"),
]


def run_in(
    folder: Path, words: tuple[str, ...], env: dict[str, str]
) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "toebox", *words],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), **env},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        timeout=120,
        check=False,
    )


def digits(text: str) -> set[str]:
    """Return the numbers of a text; wider signs may fold a table, which orders them anew."""
    return set(re.findall(r"[0-9]+(?:\.[0-9]+)?", text))


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_every_command_in_a_locale_without_utf_8(tmp_path: Path, words: tuple[str, ...]) -> None:
    (tmp_path / "job.toml").write_text(SAMPLE, "utf-8")
    done = run_in(tmp_path, words, {**PLAIN_C, "PYTHONIOENCODING": ""})
    assert done.returncode == 0, done.stderr
    out = done.stdout.decode("ascii", "surrogateescape")
    usual = run_in(tmp_path, (*words, "--force") if words[0] == "start" else words, {
        "PYTHONIOENCODING": "utf-8"
    })  # fmt: skip
    assert digits(out) == digits(usual.stdout.decode("utf-8"))


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "cp437", "koi8-r", "utf-16"])
@pytest.mark.parametrize("words", [("solve", "job.toml"), ("foresee", "job.toml")], ids=" ".join)
def test_every_encoding_of_standard_output(
    tmp_path: Path, words: tuple[str, ...], encoding: str
) -> None:
    (tmp_path / "job.toml").write_text(SAMPLE.replace("Light-blue", "Bläulich 車"), "utf-8")
    done = run_in(tmp_path, words, {**PLAIN_C, "PYTHONIOENCODING": encoding})
    assert done.returncode == 0, done.stderr
    usual = run_in(tmp_path, words, {"PYTHONIOENCODING": "utf-8"})
    told = digits(done.stdout.decode(encoding).replace("\\u8eca", "車").replace("\\xe4", "ä"))
    assert told == digits(usual.stdout.decode("utf-8"))


@pytest.mark.skipif(os.name == "nt", reason="there these are paths, not names")
@pytest.mark.parametrize(
    "name", ["C:\\cars\\my car.toml", "Größe 車.toml", "a b'c\".toml", "-", "CON.toml", "x.y.toml"]
)
def test_names_from_other_systems(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text(SAMPLE, "utf-8", newline="\r\n")
    done = run_in(tmp_path, ("report", f"./{name}"), PLAIN_C)
    assert done.returncode == 0, done.stderr
    stem = name.removesuffix(".toml")
    assert (tmp_path / f"{stem}.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize("name", ["my car.toml", "my-car.toml"])
def test_a_command_that_is_told_can_be_typed_as_it_stands(monkeypatch, tmp_path, name) -> None:
    monkeypatch.chdir(tmp_path)
    told = []
    for words, text in (
        (("fill", name), ""),
        (("start", name), ""),
        (("solve", name), ""),
        (("fill", name), "q\n"),
        (("start", name, "--example", "--force"), ""),
        (("fill", name), "\n"),
    ):
        said = run(*words, text=text).stderr
        told.append(re.findall(r"toebox ((?:start|fill|sheet|report) .*?)(?:   .*)?\n", said))
    assert [len(commands) for commands in told] == [1, 3, 1, 1, 1, 1]
    for command in (command for commands in told for command in commands):
        assert shlex.split(command)[1:] == [name]


def test_a_job_on_standard_input_with_open_values_says_how_they_are_asked() -> None:
    done = run("solve", "-", text=SAMPLE.replace('wheelbase = "101 3/8"', 'wheelbase = "?"'))
    assert done.exit_code == 3
    assert done.stderr.endswith("to be asked for it: toebox fill JOB\n")


def test_a_job_saved_with_windows_line_ends_and_a_mark_at_its_start(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(SAMPLE, "utf-8", newline="\n")
    (tmp_path / "b.toml").write_text("\ufeff" + SAMPLE, "utf-8", newline="\r\n")
    one, two = (run_in(tmp_path, ("solve", name), {}) for name in ("a.toml", "b.toml"))
    assert one.returncode == two.returncode == 0
    assert one.stdout == two.stdout


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-16"])
@pytest.mark.parametrize("template", templates.names())
def test_a_job_started_on_standard_output_is_utf_8_everywhere(
    tmp_path: Path, template: str, encoding: str
) -> None:
    """What is sent into a file there is read back as UTF-8, and templates hold degree signs."""
    words = ("start", "-", "--from", template, "--example")
    done = run_in(tmp_path, words, {**PLAIN_C, "PYTHONIOENCODING": encoding})
    assert done.returncode == 0, done.stderr
    assert done.stdout.decode("utf-8") == in_unit(templates.text(template), "in")


NAMES = {
    PureWindowsPath: [
        ("C:\\cars\\my car.toml", "C:\\cars\\my car.pdf"),
        ("C:my.car.toml", "C:my.car.pdf"),
        ("..\\cars/MY.TOML", "..\\cars\\MY.pdf"),
        ("\\\\server\\share\\my.toml", "\\\\server\\share\\my.pdf"),
        ("\\\\server\\share", "report.pdf"),
        ("C:\\", "report.pdf"),
        ("C:", "report.pdf"),
        ("-", "report.pdf"),
        (".\\-", "-.pdf"),
    ],
    PurePosixPath: [
        ("/cars/my car.toml", "/cars/my car.pdf"),
        ("C:\\cars\\my.toml", "C:\\cars\\my.pdf"),
        (".toml", ".toml.pdf"),
        ("/", "report.pdf"),
        (".", "report.pdf"),
        ("", "report.pdf"),
        (None, "report.pdf"),
    ],
}


@pytest.mark.parametrize(
    "kind, job, where", [(kind, *pair) for kind, pairs in NAMES.items() for pair in pairs]
)
def test_the_pdf_stands_beside_its_job(monkeypatch, kind, job, where) -> None:
    monkeypatch.setattr(paper, "Path", kind)
    assert paper.beside(job, ".pdf", "report.pdf") == where


@pytest.mark.parametrize("name", [".", "..", Path.cwd().anchor])
@pytest.mark.parametrize("command", ["report", "solve", "sheet", "foresee", "fill"])
def test_a_folder_is_no_job(tmp_path: Path, command: str, name: str) -> None:
    done = run_in(tmp_path, (command, name), PLAIN_C)
    assert done.returncode == 3
    assert b"wanted: a file that can be read (" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name, target", [("job.pdf", ()), ("job.toml", ("-o", "job.toml"))])
def test_the_pdf_never_replaces_its_job(tmp_path: Path, name: str, target: tuple[str, ...]) -> None:
    (tmp_path / name).write_text(SAMPLE, "utf-8")
    done = run_in(tmp_path, ("report", name, *target), PLAIN_C)
    assert done.returncode == 2
    said = done.stderr.decode().splitlines()
    assert said[0] == f"toebox: The PDF would replace the job file {name}."
    assert (tmp_path / name).read_text("utf-8") == SAMPLE


@pytest.mark.parametrize(
    "system, env, bold",
    [
        ("posix", {"TERM": "xterm"}, True),
        ("posix", {"TERM": "dumb"}, False),
        ("nt", {}, False),
        ("nt", {"WT_SESSION": "1"}, True),
    ],
)
def test_only_a_terminal_that_takes_codes_gets_them(monkeypatch, system, env, bold) -> None:
    for name in ("TERM", "WT_SESSION"):
        monkeypatch.delenv(name, raising=False)
    for name, value in env.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(output, "is_terminal", lambda stream: True)
    with monkeypatch.context() as there:
        there.setattr(output.os, "name", system)
        found = output.use_colour()
    assert found is bold


@pytest.mark.parametrize("typed", [b"Gr\xc3\xb6sse", b"Gr\xf6sse"])
def test_a_sign_that_the_locale_lacks_is_asked_for_again(tmp_path: Path, typed: bytes) -> None:
    """Plain C lets such a byte through as half a sign; no file could hold that."""
    job = tmp_path / "job.toml"
    job.write_text((ROOT / "templates" / "tape-only.toml").read_text("utf-8"), "utf-8")
    text = re.sub('(?m)^title = .*$', 'title = "?"', job.read_text("utf-8"))
    job.write_text(text, "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "toebox", "fill", "job.toml"],
        input=typed + b"\nMine\nq\n",
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT), **PLAIN_C, "PYTHONIOENCODING": ""},
        capture_output=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert b"it holds a sign that this terminal writes in another way" in done.stderr
    assert tomllib.loads(job.read_text("utf-8"))["title"] == "Mine"


def test_fill_keeps_windows_line_ends(tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    template = (ROOT / "templates" / "tape-only.toml").read_text("utf-8")
    job.write_text(template.replace('title = "', 'title = "?"  # "'), "utf-8", newline="\r\n")
    done = subprocess.run(
        [sys.executable, "-m", "toebox", "fill", "job.toml"],
        input=b"My own title\nq\n",
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT), **PLAIN_C},
        capture_output=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    written = job.read_bytes()
    assert b"My own title" in written
    assert written.count(b"\r\n") == written.count(b"\n") == template.count("\n")


@pytest.mark.parametrize("flag", ["-O", "-OO"])
def test_results_need_neither_assertions_nor_docstrings(tmp_path: Path, flag: str) -> None:
    (tmp_path / "job.toml").write_text(SAMPLE, "utf-8")
    usual, bare = (
        subprocess.run(
            [sys.executable, *flags, "-m", "toebox", "report", "job.toml", "-o", "-"],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"},
            capture_output=True,
            timeout=120,
            check=False,
        )
        for flags in ((), (flag,))
    )
    assert usual.returncode == bare.returncode == 0
    assert bare.stderr == b""
    assert bare.stdout == usual.stdout
