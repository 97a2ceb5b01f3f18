"""Other systems' habits: line ends, paths, encodings that lack most signs."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.running import ROOT

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


def test_a_job_saved_with_windows_line_ends_and_a_mark_at_its_start(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text(SAMPLE, "utf-8", newline="\n")
    (tmp_path / "b.toml").write_text("\ufeff" + SAMPLE, "utf-8", newline="\r\n")
    one, two = (run_in(tmp_path, ("solve", name), {}) for name in ("a.toml", "b.toml"))
    assert one.returncode == two.returncode == 0
    assert one.stdout == two.stdout


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
