"""Files that nobody should write, memory and disks that run out, a process that is killed.

Each command runs in a process of its own with little memory; it must end by itself, say what is
wrong in plain words, and leave every file whole.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.cli.jobs import GOOD, HEAD, TAPE
from tests.cli.running import ROOT
from tests.effort import examples

resource = pytest.importorskip("resource", reason="limits of POSIX")

MEMORY = 700 * 2**20  # address space, numpy's libraries included [bytes]
MOST_RESIDENT = 150 * 2**10  # what a hostile file may take in truth [KiB]
SECONDS = 60


def limited(
    *words: object, text: bytes = b"", cwd: Path | None = None
) -> tuple[subprocess.CompletedProcess[bytes], int]:
    """Run a command line with little memory; return what it did and its largest size [KiB]."""
    code = (
        "import resource, sys\n"
        f"resource.setrlimit(resource.RLIMIT_AS, ({MEMORY}, {MEMORY}))\n"
        "from toebox.cli import main\n"
        "try:\n    main(sys.argv[1:])\n"
        "finally:\n"
        # Of this program alone: getrusage also keeps what stood here before it.
        "    from pathlib import Path\n"
        "    size = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "    status = Path('/proc/self/status')\n"
        "    for line in status.read_text().splitlines() if status.exists() else ():\n"
        "        if line.startswith('VmHWM:'):\n"
        "            size = int(line.split()[1])\n"
        "    print('resident', size, file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, *(str(word) for word in words)],
        input=text,
        env={**os.environ, "PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "1"},
        cwd=cwd,
        capture_output=True,
        timeout=SECONDS,
        check=False,
    )
    last = done.stderr.decode(errors="replace").splitlines()[-1]
    return done, int(last.partition(" ")[2])


def numbered(count: int) -> str:
    return "".join(f"key{n} = {n}\n" for n in range(count))


def many_passes(count: int) -> str:
    return HEAD + TAPE * count


HUGE: dict[str, Callable[[], str]] = {
    "nothing": str,
    "open brackets": lambda: "a = " + "[" * 100_000,
    "open brackets, a line each": lambda: "a = [\n" * 150_000,
    "nested tables": lambda: "[" + ".".join("a" * 400_000) + "]\n",
    "nested tables, a line each": lambda: "".join(f"[{'a.' * 300}b{n}]\n" for n in range(1_000)),
    "dotted keys": lambda: "".join(f"{'k.' * 900}k{n} = 1\n" for n in range(500)),
    "inline tables": lambda: "a = " + "{a = " * 900 + "1" + "}" * 900,
    "many keys": lambda: numbered(60_000),
    "many faults": lambda: HEAD + "[goal]\n" + numbered(40_000),
    "many passes": lambda: many_passes(201),
    "very many passes": lambda: many_passes(8_000),
    "one long text": lambda: f'title = "{"x" * 900_000}"',
    "one long number": lambda: f"a = {'9' * 1_900}",
    "one long list": lambda: GOOD.replace("1402", "[" + "1402,\n" * 100_000 + "]"),
    "over a megabyte": lambda: "# " + "x\n# " * 400_000,
    "underlines": lambda: "a = " + "1_" * 900 + "1",
    "quotes": lambda: "a = " + '"' * 900_001,
    "combining marks": lambda: 'title = "' + "a\\u0301" * 100 + '"',
}


@pytest.mark.parametrize("name", HUGE)
def test_a_monstrous_file_is_refused_soon_and_in_little_memory(name: str) -> None:
    done, resident = limited("solve", "-", text=HUGE[name]().encode())
    said = done.stderr.decode()
    assert done.returncode in (3, 4), said[:400]
    assert said.startswith("toebox: standard input: ")
    assert "Traceback" not in said
    assert len(said) < 20_000
    assert resident < MOST_RESIDENT


@pytest.mark.parametrize("name", ["/dev/zero", "/dev/urandom", "/proc/self/mem", "/dev/null"])
def test_what_is_no_file_is_refused_too(name: str) -> None:
    if not Path(name).exists():
        pytest.skip(f"no {name} here")
    done, resident = limited("solve", name)
    assert done.returncode == 3, done.stderr
    assert resident < MOST_RESIDENT


NUMBERS = ["nan", "inf", "-inf", "1e308", "-1e308", "1e-308", "5e-324", "0", "-0.0", "0.0"]
NUMBERS += ['"NaN"', '"1e308"', '"1/0"', '"0/1"', '"-0"', '"∞"', "true", "[]", "2026-01-01"]
NUMBERS += ["9" * 400]
PLACES = ["wheelbase", "rim_diameter", "tyre_diameter", "steering_ratio", "front_edge", "across"]


@pytest.mark.parametrize("place", PLACES)
def test_numbers_that_no_car_has_are_faults(place: str, tmp_path: Path) -> None:
    """Zero wheelbase, zero diameter, infinity: told with key and line, all in one go."""
    names = []
    for number, value in enumerate(NUMBERS):
        lines = [
            f"{place} = {value}" if line.startswith(f"{place} =") else line
            for line in GOOD.split("\n")
        ]
        path = tmp_path / f"{number}.toml"
        path.write_text("\n".join(lines), "utf-8")
        names.append(path)
    done, _ = limited("solve", "--json", *names)
    said = done.stderr.decode()
    assert done.returncode == 3
    assert done.stdout == b""
    for path in names:
        told = [line for line in said.splitlines() if f"{path}: line " in line]
        assert told, path.read_text("utf-8")
        assert any(place in line for line in told), told
    assert "Traceback" not in said


def test_readings_swapped_give_the_opposite_toe_and_no_fault(tmp_path: Path) -> None:
    """Front for rear cannot be known from the numbers alone; the word beside the result says it."""
    swapped = GOOD.replace("front_edge", "x").replace("rear_edge", "front_edge")
    (tmp_path / "a.toml").write_text(GOOD, "utf-8")
    (tmp_path / "b.toml").write_text(swapped.replace("x = 1400", "rear_edge = 1400"), "utf-8")
    one, _ = limited("solve", tmp_path / "a.toml")
    two, _ = limited("solve", tmp_path / "b.toml")
    assert b"0.19\xc2\xb0 toe-in" in one.stdout or b"0.19 deg toe-in" in one.stdout
    assert b"0.19\xc2\xb0 toe-out" in two.stdout or b"0.19 deg toe-out" in two.stdout


def test_links_in_a_circle_and_links_that_lead_home(tmp_path: Path) -> None:
    (tmp_path / "one.toml").symlink_to("two.toml")
    (tmp_path / "two.toml").symlink_to("one.toml")
    (tmp_path / "self").symlink_to(".")
    (tmp_path / "job.toml").write_text(GOOD, "utf-8")
    (tmp_path / "link.toml").symlink_to("self/self/job.toml")
    for command in ("solve", "report", "sheet", "fill", "foresee"):
        done, _ = limited(command, tmp_path / "one.toml")
        assert done.returncode == 3, (command, done.stderr)
    done, _ = limited("report", tmp_path / "link.toml")
    assert done.returncode == 0
    assert PdfReader(tmp_path / "link.pdf").pages
    assert (tmp_path / "link.toml").is_symlink()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read and write everywhere")
def test_files_and_folders_that_may_not_be_touched(tmp_path: Path) -> None:
    shut = tmp_path / "shut"
    shut.mkdir()
    (shut / "job.toml").write_text(GOOD, "utf-8")
    shut.chmod(0o500)
    try:
        done, _ = limited("report", shut / "job.toml")
        assert done.returncode == 5
        assert b"no permission" in done.stderr
        (shut / "job.toml").chmod(0)
        done, _ = limited("solve", shut / "job.toml")
        assert done.returncode == 3
    finally:
        shut.chmod(0o700)


@pytest.mark.parametrize(
    "words",
    [
        ("solve", "job.toml"),
        ("solve", "--json", "job.toml"),
        ("report", "job.toml", "-o", "-"),
        ("foresee", "job.toml"),
        ("sheet", "-o", "-"),
        ("start", "-"),
        ("convert", "1 mm", "--across", "600 mm"),
        ("centre", "--off", "6 left", "--ratio", "16.5"),
    ],
    ids=" ".join,
)
def test_a_full_disk_behind_standard_output_is_told(tmp_path: Path, words: tuple[str, ...]) -> None:
    (tmp_path / "job.toml").write_text(GOOD, "utf-8")
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "toebox", *words],
            stdin=subprocess.DEVNULL,
            stdout=full,
            stderr=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            cwd=tmp_path,
            timeout=SECONDS,
            check=False,
        )
    assert done.returncode == 5, done.stderr
    assert b"the disk is full" in done.stderr
    assert b"Traceback" not in done.stderr


def test_a_file_larger_than_allowed_is_not_left_in_part(tmp_path: Path) -> None:
    """A disk that fills up half-way, by the system's limit for one file."""
    (tmp_path / "job.toml").write_text(GOOD, "utf-8")
    (tmp_path / "job.pdf").write_bytes(b"the old report")
    code = (
        "import resource, signal, sys\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "from toebox.cli import main\nmain(sys.argv[1:])\n"
    )
    done = subprocess.run(
        [sys.executable, "-B", "-c", code, "report", "job.toml"],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        cwd=tmp_path,
        capture_output=True,
        timeout=SECONDS,
        check=False,
    )
    assert done.returncode == 5
    assert b"the file would be too large" in done.stderr
    assert sorted(p.name for p in tmp_path.iterdir()) == ["job.pdf", "job.toml"]
    assert (tmp_path / "job.pdf").read_bytes() == b"the old report"


KILLS = examples(6, 60)


def start(words: tuple[str, ...], folder: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "toebox", *words],
        stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        cwd=folder,
    )


def leftovers(folder: Path) -> list[str]:
    """Return files other than the job, its report and the hidden parts of a killed write."""
    names = {path.name for path in folder.iterdir() if path.suffix != ".part"}
    return sorted(names - {"job.toml", "job.pdf"})


def test_report_killed_at_any_moment_leaves_the_old_report_or_the_new(tmp_path: Path) -> None:
    sample = (ROOT / "samples" / "string-box.toml").read_bytes()
    (tmp_path / "job.toml").write_bytes(sample)
    began = time.monotonic()
    with start(("report", "job.toml"), tmp_path) as process:
        assert process.wait(SECONDS) == 0
    whole = time.monotonic() - began
    new = (tmp_path / "job.pdf").read_bytes()
    killed = 0
    for number in range(KILLS):
        (tmp_path / "job.pdf").write_bytes(b"the old report")
        with start(("report", "job.toml"), tmp_path) as process:
            time.sleep(whole * (0.1 + 0.9 * number / KILLS))
            process.kill()
            killed += process.wait(SECONDS) == -signal.SIGKILL
        assert (tmp_path / "job.pdf").read_bytes() in (b"the old report", new)
        assert (tmp_path / "job.toml").read_bytes() == sample
        assert leftovers(tmp_path) == []
    assert killed


def test_fill_killed_at_any_moment_has_saved_every_answer_before(tmp_path: Path) -> None:
    """An answer that is in the file stays there; whatever comes after is whole or not there."""
    job = tmp_path / "job.toml"
    with start(("start", "job.toml", "--from", "tape-only"), tmp_path) as process:
        assert process.wait(SECONDS) == 0
    fresh = job.read_bytes()
    for number in range(KILLS):
        job.write_bytes(fresh)
        with start(("fill", "job.toml"), tmp_path) as process:
            assert process.stdin is not None
            title = f"Killed {number}"
            process.stdin.write(f"{title}\n".encode())
            process.stdin.flush()
            deadline = time.monotonic() + SECONDS
            while title not in job.read_text("utf-8") and time.monotonic() < deadline:
                time.sleep(0.005)
            process.stdin.write(b"2026-05-01\nmm\n600 mm\n" + b"\n" * number)
            process.stdin.flush()
            time.sleep(0.01 * number)
            process.kill()
            process.wait(SECONDS)
        found = tomllib.loads(job.read_text("utf-8"))
        assert found["title"] == title
        assert set(found) == set(tomllib.loads(fresh.decode()))
        assert leftovers(tmp_path) == []
