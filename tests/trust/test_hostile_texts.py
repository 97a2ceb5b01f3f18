"""What a user wrote is printed as it stands: never run, never obeyed, never sent to a terminal.

The whole command line runs, in a process of its own in which every file that is opened is written
down (`sys.addaudithook`); so is whatever is evaluated or handed to pint.
"""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.cli.running import ROOT

# Runs a command line; every file opened, every text compiled and every import of pint is told.
WATCHED = """
import sys
told = open(sys.argv.pop(1), "w", encoding="utf-8", errors="backslashreplace")
def watch(event, given):
    if event == "open" and isinstance(given[0], (str, bytes)):
        print("open", given[0], file=told, flush=True)
    elif event == "compile" and given[0] is not None and given[1] == "<string>":
        print("compile", given[0], file=told, flush=True)
    elif event == "import" and given[0] == "pint":
        print("import pint", file=told, flush=True)
sys.addaudithook(watch)
from toebox.cli import main
main(sys.argv[1:])
"""

JOB = """
title = {title}
length_unit = "mm"
[car]
wheelbase = 2600
rim_diameter = 400
tyre_diameter = 600
steering_ratio = 16
[goal]
front_total_toe = {{ distance = 2, across = 600, tolerance = 1 }}
[tie_rods]
arm_length = 130
outer_thread = "M14x1.5"
outer_engaged = 30
[[pass]]
label = {label}
[pass.string]
left_front = {{ front = 100, rear = 101 }}
right_front = {{ front = 100, rear = 99 }}
left_rear = {{ front = 100, rear = 100 }}
right_rear = {{ front = 100, rear = 101 }}
[pass.tape.front]
front_edge = 1400
rear_edge = 1402
"""

TEXTS = [
    "<b>bold</b> & <i>not",
    '<img src="{bait}" width="9" height="9"/>',
    "<img src='file://{bait}'/></para>",
    '<a href="file://{bait}">here</a> &lt; &#60;',
    "<font name='{bait}'>x</font><onDraw name='x' label='y'/>",
    "__import__('os').system('touch {bait}.touched')",
    "{{0.__class__}} %s %(x)s $(touch {bait}.touched) `touch {bait}.touched`",
    "2**9**9**9 mm",
]


@pytest.fixture
def bait() -> Iterator[Path]:
    """Return a real picture that nothing may open; its path is short enough for any title."""
    folder = Path(tempfile.mkdtemp(prefix="b"))
    path = folder / "bait.png"
    path.write_bytes(
        bytes.fromhex(
            "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c4944415408d7"
            "63f8cfc000000301010018dd8db00000000049454e44ae426082"
        )
    )
    yield path
    shutil.rmtree(folder)


def quoted(text: str) -> str:
    """Return a text as TOML, whatever it holds."""
    return '"' + "".join(map(_coded, text)) + '"'


def _coded(char: str) -> str:
    plain = char.isascii() and char.isprintable() and char not in '"\\'
    return char if plain else f"\\U{ord(char):08X}"


def watched(folder: Path, *words: object, text: str = "") -> tuple[int, str, str, list[str]]:
    """Run a command line; return code, standard output and error, and what was told of it."""
    told = folder / "told.txt"
    done = subprocess.run(
        [sys.executable, "-c", WATCHED, str(told), *(str(word) for word in words)],
        input=text.encode(),
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8"},
        cwd=folder,
        capture_output=True,
        timeout=120,
        check=False,
    )
    lines = told.read_text("utf-8").splitlines()
    return done.returncode, done.stdout.decode(), done.stderr.decode(), lines


def assert_harmless(found: tuple[int, str, str, list[str]], bait: Path, *texts: str) -> None:
    code, out, err, told = found
    assert code != 70, err
    assert "Traceback" not in err
    opened = [line for line in told if line.startswith("open")]
    assert len(opened) > 3  # otherwise nothing was watched
    assert not [line for line in opened if bait.name in line]
    assert not [line for line in told if line == "import pint"]
    compiled = [line for line in told if line.startswith("compile")]
    assert not [line for line in compiled if any(text and text in line for text in texts)]
    assert not list(bait.parent.glob("*.touched"))
    for text in (out, err):
        assert all(char.isprintable() or char in "\n" for char in text), repr(text[:200])


@pytest.mark.parametrize("raw", TEXTS, ids=range(len(TEXTS)))
def test_title_and_label_are_printed_as_they_stand(tmp_path: Path, bait: Path, raw: str) -> None:
    text = raw.replace("{bait}", str(bait)).replace("{{", "{").replace("}}", "}")
    label = text[:80]
    job = tmp_path / "job.toml"
    job.write_text(JOB.format(title=quoted(text), label=quoted(label)), "utf-8")
    found = watched(tmp_path, "report", job, "-o", tmp_path / "out.pdf")
    assert found[0] == 0, found[2]
    assert_harmless(found, bait, text)
    assert squeezed(text) in squeezed(found[1])
    pages = PdfReader(tmp_path / "out.pdf").pages
    printed = squeezed("".join(page.extract_text() for page in pages))
    assert squeezed(text) in printed
    assert squeezed(label) in printed
    assert not any(page.images for page in pages)


def squeezed(text: str) -> str:
    """Return a text without the blanks and line ends that a layout adds."""
    return "".join(text.split())


@pytest.mark.parametrize("command", ["solve", "report", "foresee", "sheet", "fill"])
@pytest.mark.parametrize("place", ["title", "label", "key", "table", "value"])
def test_escape_codes_never_reach_the_terminal(
    tmp_path: Path, bait: Path, command: str, place: str
) -> None:
    """In a title or label they are a fault; in the message they are made visible."""
    steering = "\x1b]0;owned\x07\x1b[31m\x9b2J\u202e\u2028\u200f"
    text = JOB.format(
        title=quoted(steering if place == "title" else "t"),
        label=quoted(steering if place == "label" else "l"),
    )
    if place == "key":
        text = text.replace("[car]", f"[car]\n{quoted(steering)} = 1")
    elif place == "table":
        text = text.replace("[car]", f"[{quoted(steering)}]\na = 1\n[car]")
    elif place == "value":
        text = text.replace("wheelbase = 2600", f"wheelbase = {quoted(steering)}")
    job = tmp_path / "job.toml"
    job.write_text(text, "utf-8")
    found = watched(tmp_path, command, job, text="\n" * 80)
    assert_harmless(found, bait)
    if command != "fill":
        assert found[0] == 3
        assert any(shown in found[2] for shown in (r"\x1b", r"\u001b")), found[2]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such file names")
@pytest.mark.parametrize("command", ["solve", "report", "foresee", "sheet", "start"])
@pytest.mark.parametrize("there", [True, False])
def test_nor_from_a_file_name(tmp_path: Path, bait: Path, command: str, there: bool) -> None:
    name = "-\x1b[31m<b>\x07\u202e\udcff&%s{0}.toml"
    if there and command != "start":
        (tmp_path / name).write_text(JOB.format(title='"t"', label='"l"'), "utf-8")
    found = watched(tmp_path, command, f"./{name}")
    assert_harmless(found, bait)


@pytest.mark.parametrize(
    "words",
    [
        ("convert", "9**9**9**9", "--across", "600 mm"),
        ("convert", "__import__('os').abort()", "--across", "600 mm"),
        ("convert", "1 in", "--across", "\x1b[31m9**9**9 mm"),
        ("centre", "--off", "1e9e9 left\x1b[2J", "--ratio", "16"),
        ("sweep", "--out", "\x1b[2J", "--in", "2**99"),
        ("start", "x.toml", "--from", "../../etc/\x1b[31m"),
        ("\x1b[31mreport",),
        ("report", "--\x1b[31m"),
    ],
    ids=range(8),
)
def test_nor_from_the_command_line(tmp_path: Path, bait: Path, words: tuple[str, ...]) -> None:
    found = watched(tmp_path, *words)
    assert found[0] in (2, 3)
    assert_harmless(found, bait)


def test_the_watch_would_see_a_file_that_is_opened(tmp_path: Path, bait: Path) -> None:
    """The checks above can fail."""
    found = watched(tmp_path, "solve", bait)
    assert [line for line in found[3] if "bait.png" in line]
    with pytest.raises(AssertionError, match="bait"):
        assert_harmless(found, bait)


def test_reportlab_itself_would_open_the_picture(bait: Path) -> None:
    """So what keeps it shut is that the text is never handed over as markup."""
    from reportlab.lib.styles import getSampleStyleSheet
    from reportlab.platypus import Paragraph, SimpleDocTemplate

    opened: list[str] = []

    def watch(event: str, given: tuple[object, ...]) -> None:
        if event == "open" and watching:
            opened.append(str(given[0]))

    watching = True
    sys.addaudithook(watch)
    markup = f'<img src="{bait}" width="9" height="9"/>'
    page = SimpleDocTemplate(io.BytesIO())
    page.build([Paragraph(markup, getSampleStyleSheet()["Normal"])])
    watching = False
    assert any(bait.name in name for name in opened)
