"""Many jobs at once: the same lines in the same order, whatever happens to a process."""

from __future__ import annotations

import json
import os
import signal
import struct
import subprocess
import sys
import threading
import time
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path

import pytest

from tests.cli.jobs import EMPTY, FAULTY, GOOD, HEAD, NOT_MET, TAPE, written
from tests.cli.running import ROOT, run_process
from toebox.cli import batch

TEXTS = (GOOD, EMPTY, FAULTY, HEAD + NOT_MET + TAPE)
COMMAND = [sys.executable, "-m", "toebox", "solve", "--json"]
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}


def jobs_of(folder: Path, number: int, texts: tuple[str, ...] = TEXTS) -> list[str]:
    return [written(folder, f"{n:04d}.toml", texts[n % len(texts)]) for n in range(number)]


@pytest.fixture
def two_cores(monkeypatch) -> None:
    monkeypatch.setattr(batch, "cores", lambda: 2)


@pytest.mark.parametrize("check", [False, True])
def test_other_processes_tell_the_same_in_the_same_order(tmp_path, two_cores, check) -> None:
    jobs = jobs_of(tmp_path, 3 * batch.BLOCK + 5)
    alone = [told for job in jobs for told in batch.tell([job], check)]
    assert list(batch.tell_all(jobs, check, fewest=2)) == alone
    assert {told.code for told in alone} >= {0, 3, 4}
    assert any(told.code == 1 for told in alone) == check


def test_what_a_process_that_died_left_undone_is_done_here(tmp_path, two_cores) -> None:
    jobs = jobs_of(tmp_path, 8 * batch.BLOCK, (GOOD,))
    told = batch.tell_all(jobs, False, fewest=2)
    first = next(told)
    killed = children(os.getpid())
    for process in killed:
        os.kill(process, signal.SIGKILL)
    lines = [first.line, *(one.line for one in told)]
    assert len(killed) == 2
    assert [json.loads(str(line))["source"] for line in lines] == jobs


def dies_in_the_middle(blocks: list, check: bool, pipe: Connection) -> None:
    """Promise a kilobyte and give ten bytes of it."""
    os.write(pipe.fileno(), struct.pack("!i", 1000) + bytes(10))
    os._exit(1)


@pytest.mark.skipif(os.name == "nt", reason="writes into a pipe by its number")
def test_a_process_that_dies_in_the_middle_of_a_block_is_not_waited_for(
    tmp_path, monkeypatch, two_cores
) -> None:
    monkeypatch.setattr(batch, "_work", dies_in_the_middle)
    jobs = jobs_of(tmp_path, 5)
    assert list(batch.tell_all(jobs, False, fewest=2)) == batch.tell(jobs, False)


def test_where_no_process_can_be_had_the_jobs_are_done_here(
    tmp_path, monkeypatch, two_cores
) -> None:
    def refuse(process: BaseProcess) -> None:
        raise BlockingIOError(11, "Resource temporarily unavailable")

    monkeypatch.setattr(BaseProcess, "start", refuse)
    jobs = jobs_of(tmp_path, 5)
    assert list(batch.tell_all(jobs, False, fewest=2)) == batch.tell(jobs, False)


def test_few_jobs_need_no_other_process(tmp_path, monkeypatch, two_cores) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("a process was started")

    monkeypatch.setattr(batch, "_on_every_core", refuse)
    jobs = jobs_of(tmp_path, 3)
    assert len(list(batch.tell_all(jobs, False))) == 3
    monkeypatch.setattr(batch, "cores", lambda: 1)
    assert len(list(batch.tell_all(jobs, False, fewest=1))) == 3
    monkeypatch.setattr(batch, "cores", lambda: 2)
    found: list[batch.Told] = []
    thread = threading.Thread(target=lambda: found.extend(batch.tell_all(jobs, False, fewest=1)))
    thread.start()
    thread.join()
    assert len(found) == 3


def test_without_the_system_s_word_every_processor_counts(monkeypatch) -> None:
    monkeypatch.delattr(os, "sched_getaffinity", raising=False)
    monkeypatch.setattr(os, "cpu_count", lambda: None)
    assert batch.cores() == 1


def children(parent: int) -> list[int]:
    """Return the processes that work for one, not the one that only counts shared things."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                status = (entry / "stat").read_text().rpartition(")")[2].split()
                words = (entry / "cmdline").read_bytes()
            except OSError:
                continue
            if int(status[1]) == parent and status[0] != "Z" and b"spawn_main" in words:
                found.append(int(entry.name))
    return found


on_linux = pytest.mark.skipif(
    not Path("/proc/self/stat").exists() or batch.cores() < 2,
    reason="looks at the processes of a system with /proc and two cores",
)


@on_linux
def test_a_reader_that_leaves_ends_them_all(tmp_path) -> None:
    jobs = jobs_of(tmp_path, 2 * batch.FEWEST, (GOOD,))
    with subprocess.Popen(
        [*COMMAND, *jobs], env=ENVIRONMENT, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert process.stdout.readline().startswith(b'{"schema"')
        process.stdout.close()
        assert process.stderr.read() == b""
    assert process.returncode == 141
    assert children(process.pid) == []


def begun(tmp_path: Path) -> tuple[subprocess.Popen[bytes], list[int]]:
    """Return a batch that waits for its reader, in a group of its own, and its processes."""
    from tests.cli.terminal import usual_signals

    jobs = jobs_of(tmp_path, 3 * batch.FEWEST, (GOOD,))
    process = subprocess.Popen(
        [*COMMAND, *jobs],
        env=ENVIRONMENT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
        preexec_fn=usual_signals,
    )
    assert process.stdout is not None
    assert process.stdout.read(1) == b"{"
    working = children(process.pid)
    assert len(working) == min(batch.cores(), 3 * batch.FEWEST // batch.BLOCK)
    return process, working


def gone(processes: list[int]) -> bool:
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline:
        if not any(Path(f"/proc/{process}").exists() for process in processes):
            return True
        time.sleep(0.05)
    return False


@on_linux
def test_an_interrupt_ends_them_all_with_one_word(tmp_path) -> None:
    process, working = begun(tmp_path)
    os.killpg(process.pid, signal.SIGINT)
    _, said = process.communicate(timeout=60)
    assert (process.returncode, said) == (130, b"toebox: stopped\n")
    assert gone(working)


@on_linux
def test_a_killed_batch_leaves_no_process_behind(tmp_path) -> None:
    process, working = begun(tmp_path)
    process.kill()
    process.communicate(timeout=60)
    assert gone(working)


def test_the_command_line_takes_many(tmp_path) -> None:
    jobs = jobs_of(tmp_path, batch.FEWEST + 3)
    done = run_process("solve", "--json", "--check", *jobs)
    lines = done.stdout.splitlines()
    assert done.returncode == 3
    solved = [job for n, job in enumerate(jobs) if n % len(TEXTS) in (0, 3)]
    assert [json.loads(line)["source"] for line in lines] == solved
    said = done.stderr.decode().splitlines()
    outside = [line for line in said if line.endswith("ront total toe: outside")]
    assert [line.split(": ")[1] for line in outside] == jobs[3::4]
