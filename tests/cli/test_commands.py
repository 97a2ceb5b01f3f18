"""report, solve and start: what they print, what they write, how they end."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pypdf
import pytest

from tests.cli.jobs import EMPTY, FAULTY, GOOD, HEAD, MET, NO_BAND, NOT_MEASURED, NOT_MET, TAPE
from tests.cli.jobs import written as job_file
from tests.cli.running import ROOT, run, run_process, run_shell
from toebox.cli import output
from toebox.cli.group import main
from toebox.job import templates

posix = pytest.mark.skipif(os.name == "nt", reason="devices and closed streams of POSIX")


@pytest.fixture
def job(tmp_path: Path) -> str:
    return job_file(tmp_path)


# report


def test_report_prints_a_summary_and_writes_the_pdf_beside_the_job(job: str) -> None:
    done = run("report", job)
    pdf = job.replace(".toml", ".pdf")
    assert done.exit_code == 0, done.output
    assert "Test car" in done.stdout
    assert "toe-in" in done.stdout
    assert done.stderr == f"toebox: the whole report is in {pdf}\n"
    assert "Test car" in pypdf.PdfReader(pdf).pages[0].extract_text()


def test_report_from_standard_input_writes_in_the_current_folder(tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    done = run("report", "-", text=GOOD)
    assert (done.exit_code, done.stderr) == (0, "toebox: the whole report is in report.pdf\n")
    assert [path.name for path in tmp_path.iterdir()] == ["report.pdf"]


def test_the_help_says_what_the_pdf_truly_adds(tmp_path: Path) -> None:
    """Each thing named is a section of the PDF and none of the summary; the others are in both."""
    said = " ".join(run("report", "--help").stdout.split())
    summary_says, adds = said.split("The PDF adds ")
    done = run("report", ROOT / "samples" / "string-box.toml", "-o", tmp_path / "x.pdf")
    pages = pypdf.PdfReader(tmp_path / "x.pdf").pages
    pdf = " ".join(" ".join(page.extract_text() for page in pages).split())
    for words, heading in {
        "the comparison of passes": "Before and after",
        "what was assumed": "What was assumed",
        "where the uncertainty comes from": "Where the uncertainty comes from",
        "which slips would be noticed": "Slips that would be noticed",
        "what was not measured": "What was not measured",
        "the cautions for the whole work": "Cautions",
    }.items():
        assert words in adds
        assert heading in pdf
        assert f"\n{heading}\n" not in done.stdout
    assert "the readings to stop at" in summary_says
    assert "the readings to stop at" not in adds
    assert "the readings to stop at" in done.stdout


@pytest.mark.parametrize("paper, width, height", [("a4", 595.28, 841.89), ("Letter", 612, 792)])
def test_report_on_either_paper(job: str, tmp_path: Path, paper, width, height) -> None:
    """Paper sizes: ISO 216 A4, 210 x 297 mm; ANSI/ASME Y14.1 letter, 8 1/2 x 11 in."""
    assert run("report", job, "-o", tmp_path / "x.pdf", "--paper", paper).exit_code == 0
    box = pypdf.PdfReader(tmp_path / "x.pdf").pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((width, height), abs=0.01)


def test_report_to_standard_output_is_the_pdf_alone(job: str) -> None:
    done = run_process("report", job, "-o", "-")
    assert (done.returncode, done.stderr) == (0, b"")
    assert "Test car" in pypdf.PdfReader(io.BytesIO(done.stdout)).pages[0].extract_text()


def test_no_pdf_is_sent_to_a_terminal(job: str, monkeypatch) -> None:
    screen, messages = Terminal(), io.StringIO()
    monkeypatch.setattr(sys, "stdout", screen)
    monkeypatch.setattr(sys, "stderr", messages)
    with pytest.raises(SystemExit, match="2"):
        main.main(["report", job, "-o", "-"])
    assert screen.getvalue() == ""
    assert messages.getvalue().startswith("toebox: A PDF is nothing for a terminal to show")


@pytest.mark.parametrize("link", [False, True])
def test_report_never_replaces_the_job(job: str, link: bool) -> None:
    target = job
    if link:
        target = f"{job}.pdf"
        Path(target).symlink_to(job)
    done = run("report", job, "-o", target)
    assert done.exit_code == 2
    assert "would replace the job file" in done.stderr
    assert Path(job).read_text("utf-8") == GOOD


@pytest.mark.parametrize("command", ["fill", "foresee", "report", "sheet", "solve", "start"])
def test_an_empty_name_is_told_as_one(command: str) -> None:
    done = run(command, "")
    assert done.exit_code == 2
    assert "it is empty: wanted the name of a file." in done.stderr


def test_report_that_cannot_be_written_still_prints_its_summary(job: str, tmp_path: Path) -> None:
    done = run("report", job, "-o", tmp_path / "none" / "x.pdf")
    assert done.exit_code == 5
    assert "Test car" in done.stdout
    assert done.stderr == (
        f"toebox: cannot write {tmp_path / 'none' / 'x.pdf'}: there is no such folder\n"
    )


@posix
@pytest.mark.parametrize(
    "target, why",
    [("/dev/full", "the disk is full"), ("{folder}", "that is a folder, not a file")],
)
def test_report_to_an_unwritable_target_is_5(job: str, tmp_path: Path, target, why) -> None:
    target = target.format(folder=tmp_path)
    done = run_process("report", job, "-o", target)
    assert done.returncode == 5
    assert done.stderr.decode() == f"toebox: cannot write {target}: {why}\n"
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]


def test_a_faulty_job_leaves_an_old_report_alone(tmp_path: Path) -> None:
    job = job_file(tmp_path, text=FAULTY)
    (tmp_path / "job.pdf").write_bytes(b"old")
    done = run("report", job)
    assert (done.exit_code, done.stdout) == (3, "")
    assert "titel" in done.stderr
    assert "front_edge" in done.stderr
    assert (tmp_path / "job.pdf").read_bytes() == b"old"


# solve


def test_solve_prints_the_whole_report(job: str) -> None:
    done = run("solve", job)
    assert (done.exit_code, done.stderr) == (0, "")
    assert len(done.stdout) > len(run("report", job).stdout)
    assert "0.19" in done.stdout  # asin(2/600) is 0.191 degrees


def test_solve_json_is_one_line_a_job_in_order(tmp_path: Path) -> None:
    jobs = [
        job_file(tmp_path, f"{n}.toml", GOOD.replace("Test car", f"Car {n} né")) for n in "ba"
    ]
    done = run("solve", "--json", *jobs)
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout.isascii()
    results = [json.loads(line) for line in done.stdout.splitlines()]
    assert [found["title"] for found in results] == ["Car b né", "Car a né"]
    assert [found["source"] for found in results] == jobs
    assert {found["schema"] for found in results} == {"toebox.result/1"}


def test_solve_reads_standard_input() -> None:
    done = run("solve", "--json", "-", text=GOOD)
    assert done.exit_code == 0
    assert json.loads(done.stdout)["title"] == "Test car"


def test_a_faulty_job_does_not_stop_the_others(tmp_path: Path) -> None:
    jobs = [
        job_file(tmp_path, "1.toml"),
        job_file(tmp_path, "2.toml", EMPTY),
        job_file(tmp_path, "3.toml", FAULTY),
        str(tmp_path / "missing.toml"),
        job_file(tmp_path, "5.toml"),
    ]
    done = run("solve", "--json", *jobs)
    assert done.exit_code == 3
    solved = [json.loads(line)["source"] for line in done.stdout.splitlines()]
    assert solved == [jobs[0], jobs[4]]
    said = done.stderr.splitlines()
    assert all(line.startswith("toebox: ") for line in said)
    assert all(any(job in line for line in said) for job in jobs[1:4])
    assert not any(jobs[0] in line or jobs[4] in line for line in said)


@pytest.mark.parametrize(
    "texts, code",
    [
        ([GOOD], 0),
        ([EMPTY], 4),
        ([FAULTY], 3),
        ([EMPTY, FAULTY, GOOD], 3),
        ([HEAD + NOT_MET + TAPE, EMPTY], 4),
        ([HEAD + NOT_MET + TAPE, GOOD], 1),
    ],
)
def test_the_code_of_several_jobs_is_the_gravest(tmp_path: Path, texts, code) -> None:
    jobs = [job_file(tmp_path, f"{n}.toml", text) for n, text in enumerate(texts)]
    assert run("solve", "--json", "--check", *jobs).exit_code == code


def test_several_reports_stand_apart(tmp_path: Path) -> None:
    jobs = [job_file(tmp_path, f"{n}.toml", GOOD.replace("Test car", f"Car {n}")) for n in "ab"]
    done = run("solve", *jobs)
    assert done.exit_code == 0
    assert 0 < done.stdout.index("Car a") + 1 < done.stdout.index("Car b")
    assert "\n\n\n" in done.stdout[: done.stdout.index("Car b")]


# --check


@pytest.mark.parametrize("command", ["solve", "report"])
@pytest.mark.parametrize(
    "goal, code, said",
    [
        (MET, 0, None),
        (NOT_MET, 1, "Front total toe: outside"),
        (NOT_MEASURED, 1, "Thrust angle: not measured"),
        (NO_BAND, 1, "no goal with a tolerance, so nothing can be checked"),
        ("", 1, "no goal with a tolerance, so nothing can be checked"),
        (MET.replace("1 mm", "0.027 mm"), 1, "Front total toe: not proven"),
    ],
)
def test_check_is_1_unless_every_goal_is_proven(tmp_path: Path, command, goal, code, said) -> None:
    job = job_file(tmp_path, text=HEAD + goal + TAPE)
    done = run(command, "--check", job)
    assert done.exit_code == code
    assert said is None or f"toebox: {job}: {said}\n" in done.stderr
    assert run(command, job).exit_code == 0


def test_check_looks_at_the_last_pass(tmp_path: Path) -> None:
    later = TAPE.replace("as found", "later").replace("1402", "1400")
    good_last = job_file(tmp_path, text=HEAD + NOT_MET + TAPE + later)
    assert run("solve", "--check", good_last).exit_code == 0
    bad_last = job_file(tmp_path, text=HEAD + MET + TAPE + later)
    assert run("solve", "--check", bad_last).exit_code == 1


# start


def test_start_writes_a_job_that_is_not_overwritten(tmp_path: Path) -> None:
    target = tmp_path / "new.toml"
    done = run("start", target)
    assert done.exit_code == 0, done.output
    assert done.stdout == ""
    assert str(target) in done.stderr
    target.write_text("mine", "utf-8")
    done = run("start", target)
    assert done.exit_code == 5
    assert done.stderr == f"toebox: {target} exists already; --force replaces it\n"
    assert target.read_text("utf-8") == "mine"
    assert run("start", target, "--force").exit_code == 0
    assert "[[pass]]" in target.read_text("utf-8")


def test_start_takes_a_link_that_leads_nowhere_for_a_file(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to("nowhere")
    assert run("start", tmp_path / "link").exit_code == 5
    assert not (tmp_path / "nowhere").exists()


def test_start_offers_every_template_and_no_other(tmp_path: Path) -> None:
    from toebox.job import templates
    from toebox.job.blank import blank

    names = templates.names()
    help_text = " ".join(run("start", "--help").output.split())
    for name in names:
        made = run("start", "-", "--from", name, "--example").stdout
        assert made.strip() == templates.text(name).strip()
        made = run("start", "-", "--from", name).stdout
        assert made.strip() == blank(templates.text(name)).strip()
        assert name in help_text
    done = run("start", tmp_path / "x", "--from", "laser")
    assert done.exit_code == 2
    assert all(name in done.stderr for name in names)
    assert not (tmp_path / "x").exists()


def test_start_in_a_missing_folder_is_5(tmp_path: Path) -> None:
    done = run("start", tmp_path / "none" / "x.toml")
    assert done.exit_code == 5
    assert done.stderr.endswith("there is no such folder\n")


# The way out: pipes, closed streams, colour, encodings, hostile texts

WORDS = ("solve job.toml", "solve --json job.toml", "report job.toml", "report job.toml -o -")


@posix
@pytest.mark.parametrize("words", WORDS)
def test_a_closed_or_full_standard_output_is_5_and_told(tmp_path: Path, job, words) -> None:
    for target, why in ((">&-", "is closed"), (">/dev/full", "the disk is full")):
        done = run_shell(f"$toebox {words} {target}", tmp_path)
        assert done.returncode == 5, done.stderr
        assert "the results cannot be written" in done.stderr
        assert why in done.stderr
        assert "Traceback" not in done.stderr
        assert "Exception" not in done.stderr


@posix
def test_help_to_a_full_disk_is_5_and_told(tmp_path: Path) -> None:
    done = run_shell("$toebox --help >/dev/full", tmp_path)
    assert (done.returncode, done.stderr) == (5, "toebox: the disk is full\n")


@posix
@pytest.mark.parametrize("words", WORDS)
def test_a_reader_that_has_gone_is_no_trouble(tmp_path: Path, job: str, words: str) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    try:
        done = run_process(*words.split(), cwd=tmp_path, stdout=writing)
    finally:
        os.close(writing)
    assert done.returncode == 141
    assert (tmp_path / "job.pdf").exists() == (words == "report job.toml")
    assert b"Traceback" not in done.stderr
    assert b"Exception" not in done.stderr


@posix
def test_a_closed_standard_error_is_no_trouble(tmp_path: Path, job: str) -> None:
    assert run_shell("$toebox report job.toml 2>&-", tmp_path).returncode == 0
    assert run_shell("$toebox report none.toml 2>&-", tmp_path).returncode == 3


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "utf-8", "utf-16"])
def test_every_encoding_of_the_terminal_gets_every_digit(tmp_path: Path, encoding: str) -> None:
    job = job_file(tmp_path, text=GOOD.replace("Test car", "Tëst cår №7"))
    done = run_process("solve", job, env={"PYTHONIOENCODING": encoding})
    assert done.returncode == 0, done.stderr
    text = done.stdout.decode(encoding)
    assert "0.19" in text
    assert ("№" in text) == encoding.startswith("utf")


@pytest.mark.parametrize("command", ["solve", "report"])
def test_what_a_user_wrote_never_steers_the_terminal(tmp_path: Path, command: str) -> None:
    hostile = GOOD.replace("Test car", r"\u001b[31mred\u0007\u009b2J \u202Ebackwards")
    for name, text in (("a\x1b[31mb.toml", hostile), ("none.toml", "\x1b = 1")):
        done = run(command, job_file(tmp_path, name if os.name != "nt" else "ab.toml", text))
        assert done.exit_code == 3
        assert r"\x1b" in done.stderr
        assert not {"\x1b", "\x07", "\x9b", "\u202e"} & set(done.stdout + done.stderr)


def test_a_pipe_gets_no_colour_and_100_columns(job: str) -> None:
    done = run_process("solve", job, env={"PYTHONIOENCODING": "utf-8"})
    text = done.stdout.decode("utf-8")
    assert "\x1b" not in text
    assert max(map(len, text.splitlines())) <= 100


class Terminal(io.StringIO):
    """A terminal that remembers."""

    encoding = "utf-8"

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    "env, coloured", [({}, True), ({"NO_COLOR": "1"}, False), ({"TERM": "dumb"}, False)]
)
def test_colour_is_for_terminals_that_want_it(job: str, monkeypatch, env, coloured) -> None:
    """NO_COLOR as no-color.org has it: any text that is not empty turns colour off."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    for name, value in env.items():
        monkeypatch.setenv(name, value)
    screen = Terminal()
    monkeypatch.setattr(sys, "stdout", screen)
    with pytest.raises(SystemExit, match="0"):
        main.main(["solve", job])
    assert ("\x1b[" in screen.getvalue()) == coloured


@pytest.mark.parametrize(
    "many, seen, bar", [(20, True, True), (20, False, False), (2, True, False)]
)
def test_progress_only_where_somebody_waits_and_sees_it(monkeypatch, many, seen, bar) -> None:
    screen = Terminal() if seen else io.StringIO()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setattr(sys, "stdout", io.StringIO())
    with output.progress(range(many), many) as items:
        assert list(items) == list(range(many))
    assert ("solving" in screen.getvalue()) == bar
    assert bar or screen.getvalue() == ""


def unread(pipe: int) -> int:
    """Return how many bytes in a pipe nobody has read yet."""
    import fcntl
    import termios

    answer = fcntl.ioctl(pipe, termios.FIONREAD, bytes(4))
    return int.from_bytes(answer, sys.byteorder)


@posix
def test_ctrl_c_is_130() -> None:
    """A job that is still being typed on standard input, and Ctrl-C."""
    from tests.cli.terminal import usual_signals

    process = subprocess.Popen(
        [sys.executable, "-m", "toebox", "solve", "-"],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
        preexec_fn=usual_signals,
    )
    try:
        assert process.stdin is not None
        process.stdin.write("title =")
        process.stdin.flush()
        while unread(process.stdin.fileno()):
            time.sleep(0.01)
        process.send_signal(signal.SIGINT)
        stdout, stderr = process.communicate(timeout=60)
    finally:
        process.kill()
    assert process.returncode == 130
    assert stdout == ""
    assert stderr == "toebox: stopped\n"


def test_solve_with_its_working(job: str) -> None:
    done = run("solve", "--working", job)
    assert done.exit_code == 0
    results, _, steps = done.stdout.partition("Working, as found: total toe by the tape")
    assert "What was found" in results
    assert "2 x asin((1402 - 1400) / (2 x 600)) = 0.19099° (toe-in)" in " ".join(steps.split())


def test_the_working_is_no_json(job: str) -> None:
    done = run("solve", "--working", "--json", job)
    assert (done.exit_code, done.stdout) == (2, "")
    assert "--working is for people" in done.stderr


@pytest.mark.parametrize("unit", [[], ["--mm"]])
@pytest.mark.parametrize("name", templates.names())
def test_a_started_job_says_what_is_left_to_do(tmp_path: Path, name: str, unit: list[str]) -> None:
    """What each of the next steps says of a job that was just started."""
    job = tmp_path / "new.toml"
    done = run("start", job, "--from", name, *unit)
    assert all(f"toebox {step} {job}" in done.stderr for step in ("fill", "sheet", "report"))
    assert run("sheet", job, "-o", tmp_path / "sheet.pdf").exit_code == 0
    refused = run("report", job)
    assert refused.exit_code == 3
    assert refused.stderr.endswith(f"to be asked for it: toebox fill {job}\n")
    assert run("fill", job, text="").exit_code == 0


def test_an_example_can_be_worked_out_at_once(tmp_path: Path) -> None:
    job = tmp_path / "try.toml"
    for unit in ([], ["--mm"]):
        done = run("start", job, "--example", "--force", *unit)
        assert "with invented values" in done.stderr
        assert run("report", job).exit_code == 0
