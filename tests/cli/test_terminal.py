"""fill and progress on a real pseudo-terminal: keys, Ctrl-C, narrow and dumb terminals, kill -9."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest

from tests.cli.jobs import GOOD
from tests.cli.jobs import written as job_file
from tests.cli.running import ROOT
from tests.cli.test_fill import TAPE
from toebox.job.draft import Draft

if os.name == "nt":
    pytest.skip("pseudo-terminals of POSIX", allow_module_level=True)

from tests.cli.terminal import Terminal, whole

FIRST = ("pass", 0, "tape", "front", "front_edge")
SECOND = ("pass", 0, "tape", "front", "rear_edge", 0)


def with_answers(*values: str) -> str:
    draft = Draft(TAPE)
    for path, value in zip((FIRST, SECOND), values, strict=False):
        draft.set(path, value)
    return draft.text


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_text(TAPE, "utf-8")
    return path


def test_a_conversation_from_begin_to_end(job: Path) -> None:
    with Terminal("fill", job) as screen:
        screen.expect(r"front edge\n(.*\n)*> ")
        screen.type("57 1/4\n")
        screen.expect(r"rear edge, first\n(.*\n)*> ")
        whole(job, with_answers("57 1/4"))
        screen.type("57 3/8\n")
        screen.expect("Known now: Front total toe: 0.30° toe-in")
        screen.expect("> ")
        whole(job, with_answers("57 1/4", "57 3/8"))
        screen.type("57 3/8\n")
        screen.expect("What to do next")
        screen.expect(r"What next\? Enter stops\.\n(.*\n)*> ")
        screen.type("\n")
        screen.expect("For the whole report: toebox report")
        assert screen.end() == 0


def test_a_mistyped_key_can_be_rubbed_out(job: Path) -> None:
    with Terminal("fill", job) as screen:
        screen.expect("> ")
        screen.type("58\x7f7 1/4\n")
        screen.expect("rear edge, first")
        whole(job, with_answers("57 1/4"))


def test_what_cannot_be_decoded_ends_nothing(job: Path) -> None:
    with Terminal("fill", job) as screen:
        screen.expect("> ")
        screen.type(b"57\xbd\n")
        screen.expect(r"another way\.\n> ")
        screen.type("57½\n")
        screen.expect("rear edge, first")
        screen.expect("> ")
    assert 'front_edge = "57½"' in job.read_text("utf-8")


@pytest.mark.parametrize("typed", ["", "57 3"])
def test_ctrl_c_loses_nothing(job: Path, typed: str) -> None:
    with Terminal("fill", job) as screen:
        screen.expect("> ")
        screen.type("57 1/4\n")
        screen.expect(r"rear edge, first\n(.*\n)*> ")
        screen.type(typed)
        screen.type("\x03")
        screen.expect(r"stopped; every answer is saved\. To go on: toebox fill")
        assert screen.end() == 130
        assert "Traceback" not in screen.seen
    whole(job, with_answers("57 1/4"))
    assert [path.name for path in job.parent.iterdir()] == ["job.toml"]


def test_the_end_of_the_input_stops_it(job: Path) -> None:
    with Terminal("fill", job) as screen:
        screen.expect("> ")
        screen.type("57 1/4\n")
        screen.expect(r"rear edge, first\n(.*\n)*> ")
        screen.type("\x04")
        screen.expect("2 values are open. To go on: toebox fill")
        assert screen.end() == 0
    whole(job, with_answers("57 1/4"))


def test_a_terminal_that_is_closed_loses_nothing(job: Path) -> None:
    with Terminal("fill", job) as screen:
        screen.expect("> ")
        screen.type("57 1/4\n")
        screen.expect(r"rear edge, first\n(.*\n)*> ")
        screen.process.send_signal(signal.SIGHUP)
        screen.end()
    whole(job, with_answers("57 1/4"))


@pytest.mark.parametrize("columns", [20, 30, 40])
def test_a_narrow_terminal_is_not_overrun(job: Path, columns: int) -> None:
    with Terminal("fill", job, columns=columns, env={"TERM": "dumb"}) as screen:
        shown = screen.expect("> ")
        screen.type("q\n")
        shown += screen.expect("To go\non|To go on|To\ngo on")
        words = shown.replace(str(job), "JOB")
        path_lines = [line for line in words.splitlines() if "/" not in line and "JOB" not in line]
        assert max(map(len, path_lines)) <= columns
        assert "Wanted:" in shown


def test_a_dumb_terminal_gets_plain_characters_alone(job: Path) -> None:
    with Terminal("fill", job, env={"TERM": "dumb"}) as screen:
        shown = screen.expect("> ")
        screen.type("57 1/4\n57 3/8\n57 3/8\n\n")
        shown += screen.expect("toebox report")
        screen.end()
    assert "\x1b" not in shown
    assert "\r" not in shown.replace("\r\n", "")


def test_an_ascii_terminal_gets_ascii(job: Path) -> None:
    env = {"PYTHONIOENCODING": "ascii", "LC_ALL": "C"}
    with Terminal("fill", job, env=env) as screen:
        screen.type("57 1/4\n57 3/8\n57 3/8\n\n")
        shown = screen.expect("toebox report")
        screen.end()
    assert shown.isascii()
    assert "0.30 deg toe-in" in shown


SLOW = """
import os, sys
from toebox.report import files
from toebox.cli import main
real, write = os.fsync, files.Path.replace
stage = sys.argv.pop(1)

def here(name):
    global stage
    if name == stage:
        stage = ""
        print("SAVING", flush=True)
        sys.stdin.readline()

def fsync(handle):
    here("written")
    real(handle)

def replace(self, target):
    here("before")
    found = write(self, target)
    here("after")
    return found

files.os.fsync = fsync
files.Path.replace = replace
main()
"""


@pytest.mark.parametrize("stage", ["written", "before", "after"])
def test_killed_in_the_middle_of_saving_the_file_is_whole(job: Path, stage: str) -> None:
    """Stopped between the bytes and their taking the old file's place, then kill -9."""
    with Terminal(stage, "fill", job, code=SLOW) as screen:
        screen.expect("> ")
        screen.type("57 1/4\n")
        screen.expect("SAVING")
        screen.process.kill()
        assert screen.end() == -signal.SIGKILL
    expected = with_answers("57 1/4") if stage == "after" else TAPE
    whole(job, expected)
    with Terminal("fill", job) as screen:
        screen.expect("> ")
        screen.type("57 1/8\n")
        screen.expect("> ")
        screen.type("q\n")
        screen.end()
    assert "57 1/8" in job.read_text("utf-8")


@pytest.mark.parametrize("stage", ["written", "before", "after"])
def test_ctrl_c_in_the_middle_of_saving_saves_first(job: Path, stage: str) -> None:
    with Terminal(stage, "fill", job, code=SLOW) as screen:
        screen.expect("> ")
        screen.type("57 1/4\n")
        screen.expect("SAVING")
        screen.type("\x03")
        screen.expect("stopped; every answer is saved")
        assert screen.end() == 130
    whole(job, with_answers("57 1/4"))
    assert [path.name for path in job.parent.iterdir()] == ["job.toml"]


def test_killed_at_any_moment_the_file_is_whole(tmp_path: Path) -> None:
    """Answers come as fast as the pipe takes them; kill -9 somewhere among the savings."""
    answers = [f"57 {n}/64" for n in range(1, 64, 2)]
    readings = ", ".join(['"?"'] * len(answers))
    text = TAPE.replace('front_edge = "?"', f"front_edge = [{readings[: 5 * 24 - 2]}]")
    text = text.replace('rear_edge = ["?", "?"]', 'rear_edge = "57"')
    job = tmp_path / "job.toml"
    lengths = set()
    for delay in (0.0, 0.01, 0.03, 0.06, 0.1, 0.15):
        job.write_text(text, "utf-8")
        process = subprocess.Popen(
            [sys.executable, "-m", "toebox", "fill", str(job)],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        assert process.stdin is not None
        process.stdin.write("".join(f"{answer}\n" for answer in answers[:24]).encode())
        process.stdin.flush()
        while job.read_text("utf-8") == text and process.poll() is None:
            time.sleep(0.001)
        time.sleep(delay)
        process.kill()
        process.wait()
        process.stdin.close()
        left = job.read_text("utf-8")
        read = tomllib.loads(left)["pass"][0]["tape"]["front"]["front_edge"]
        done = len([reading for reading in read if reading != "?"])
        assert read == [*answers[:done], *["?"] * (24 - done)]
        assert left.endswith("# the end\n")
        lengths.add(done)
    assert len(lengths) > 1, "every kill came at the same moment"


# progress


def many(folder: Path, number: int) -> list[str]:
    return [job_file(folder, f"{n}.toml", GOOD) for n in range(number)]


def test_many_jobs_show_progress_on_a_terminal(tmp_path: Path) -> None:
    words = ("solve", "--json", *many(tmp_path, 12))
    with (tmp_path / "out").open("wb") as out, Terminal(*words, keep={"stdout": out}) as screen:
        shown = screen.expect("100%")
        assert screen.end() == 0
    assert "solving" in shown
    assert len((tmp_path / "out").read_bytes().splitlines()) == 12


def test_no_progress_in_a_pipe(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "toebox", "solve", "--json", *many(tmp_path, 12)],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=True,
    )
    assert done.stderr == b""
    assert done.stdout.count(b"\n") == 12


def test_no_progress_among_results_on_the_terminal(tmp_path: Path) -> None:
    with Terminal("solve", "--json", *many(tmp_path, 12)) as screen:
        assert screen.end() == 0
        assert "solving" not in screen.seen
        assert screen.seen.count('"schema"') == 12
