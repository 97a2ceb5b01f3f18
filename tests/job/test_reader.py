"""From a file or standard input to a job: encodings, line ends, limits, paths."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest

from toebox.errors import FaultyInput
from toebox.job import load, loads

JOB = 'title = "Invented"\nlength_unit = "in"\n[car]\nwheelbase = "101 3/8"\n'
FAULTY = JOB + 'rim_diameter = "15,5"\n'


def message(text: str) -> str:
    with pytest.raises(FaultyInput, match="wanted") as raised:
        loads(text, "job")
    return str(raised.value)


@pytest.mark.parametrize(
    "content",
    [JOB.encode(), JOB.replace("\n", "\r\n").encode(), b"\xef\xbb\xbf" + JOB.encode()],
    ids=["plain", "CRLF", "byte order mark"],
)
def test_file_and_standard_input_agree(
    content: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "job.toml"
    path.write_bytes(content)
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(content), encoding="ascii"))
    by_path, by_stdin = load(path), load("-")
    assert by_path.car == by_stdin.car
    assert by_path.car.wheelbase == pytest.approx(101.375 * 0.0254, abs=1e-15)
    assert by_path.source == str(path)
    assert by_stdin.source == "standard input"


def test_lines_are_the_same_with_either_line_end() -> None:
    assert message(FAULTY) == message(FAULTY.replace("\n", "\r\n"))
    assert message(FAULTY).startswith("job: line 5: car.rim_diameter: given")


@pytest.mark.parametrize(
    ("name", "reason"),
    [("nothing.toml", "No such file"), (".", "directory"), ("loop", "symbolic links")],
)
def test_paths_that_cannot_be_read(name: str, reason: str, tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    with pytest.raises(FaultyInput, match=f"file: wanted: a file that can be read .*{reason}"):
        load(tmp_path / name)


def test_path_with_a_null_character() -> None:
    with pytest.raises(FaultyInput, match="wanted: a file that can be read"):
        load("a\0b")


def test_closed_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", None)
    with pytest.raises(FaultyInput, match="standard input: file: wanted: a file that can be read"):
        load("-")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="needs an endless file")
def test_endless_file() -> None:
    with pytest.raises(FaultyInput, match="given over 1 MB; wanted: a job file of at most 1 MB"):
        load("/dev/zero")


def test_large_text() -> None:
    wanted = "job: file: given over 1 MB; wanted: a job file of at most 1 MB"
    assert message(JOB + "# note\n" * 150_000) == wanted


def test_long_line_is_refused_before_it_is_parsed() -> None:
    dotted = JOB + ".".join("a" * 400_000) + " = 1\n"  # takes hours to parse
    assert "job: line 5: file: given 800003 characters" in message(dotted)


def test_most_passes() -> None:
    passes = "[[pass]]\n"
    assert len(loads(JOB + passes * 200, "job").passes) == 200
    assert "wanted: at most 200 passes" in message(JOB + passes * 201)


@pytest.mark.parametrize("opening", ["[", "{a=", "[{a="])
def test_deep_nesting(opening: str) -> None:
    assert message(f"a = {opening * 400}\n{JOB}").count("\n") == 0


def test_deep_but_closed_nesting() -> None:
    nested = "[" * 100 + "]" * 100
    assert "car: given a list of 1; wanted: a table" in message(
        f'length_unit = "in"\ncar = {nested}'
    )


def test_deep_table_headers() -> None:
    header = ".".join(["car", *"a" * 500])
    assert "wanted: keys of at most 16 parts" in message(f'length_unit = "in"\n[{header}]\n')
    assert "wanted: keys of at most 16 parts" in message("a = 1\n" + "'k' . " * 17 + "k = 1\n")
    dots = f'length_unit = "in"\n[car]\n# {"." * 99}\n{".".join("a" * 16)} = 1\n'
    assert "car.a: given an unknown key" in message(dots)


def test_more_faults_than_anybody_reads() -> None:
    text = message(JOB + "".join(f"odd_{number} = 1\n" for number in range(5_000)))
    assert text.count("\n") == 50
    assert text.endswith("job: further faults: given 4950; wanted: those above put right first")


def test_hostile_file_ends_soon() -> None:
    """Very many faulty lines: the places of some may stay unknown, but nothing hangs."""
    text = JOB + "".join(f"odd_{number} = '{'x' * 90}'\n" for number in range(8_000))
    assert message(text).count("\n") == 50


@pytest.mark.parametrize("number", ["0x" + "f" * 1500, "9" * 900, "1e999", "-nan", "inf", "1_0"])
def test_numbers_out_of_all_bounds(number: str) -> None:
    assert "line 2: car.wheelbase: given " in message(
        f'length_unit = "in"\ncar.wheelbase = {number}\n'
    )


def test_source_is_told_with_every_fault() -> None:
    with pytest.raises(FaultyInput, match="wanted") as raised:
        loads('length_unit = "ft"\ncolour = 1\n', f"folder{os.sep}job.toml")
    assert all(
        line.startswith(f"folder{os.sep}job.toml: ") for line in str(raised.value).split("\n")
    )
    assert len(raised.value.faults) == 2


OPEN = 'quotes round a value that is left open: "?"'
DAY = "a date such as 2026-04-18: year, month and day"


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("wheelbase = 1403,5", "a decimal point, not a comma"),
        ("wheelbase = 101 3/8  # is it = ?", "quotes round fractions, units and words"),
        ("date = ?", OPEN),
        ("wheelbase = 1403,5  # mm", "a decimal point, not a comma"),
        ("wheelbase = “101 3/8”", 'straight quotes, such as "3 15/16"'),
        ('track = { front = "57" rear = "57" }', "commas between values, quotes at both ends of"),
        ('track = { front = 57, rear = "57 }', "a text closed by its quote on the same line"),
        ('rim_diameter = "15', "a text closed by its quote on the same line"),
        ('wheelbase = "1"\nwheelbase = "1"', "each key and each [table] once"),
        ("wheelbase == 1", "correct TOML (Invalid value)"),
        ("wheelbase = ?", OPEN),
        ("wheelbase = ?  # front hub to rear hub", OPEN),
        ('track = { front = "57", rear = ? }', OPEN),
        ('rim_diameter = [ ?, "15" ]', OPEN),
        ("rim_diameter = [\n  15,\n  ?,\n]", OPEN),
        ("wheelbase = 1 ?", "quotes round fractions, units and words"),
        ('wheelbase = = "?"  # ?', "correct TOML (Invalid value)"),
        *((f"date = {day}", DAY) for day in ("18.04.2026", "2026-4-8", "2026-04", "2026-13-40")),
        ("date = 18/04/2026  # a Saturday", DAY),
    ],
)
def test_slips_of_toml_are_told_with_their_remedy(line: str, wanted: str) -> None:
    assert f"; wanted: {wanted}" in message(f'length_unit = "mm"\n[car]\n{line}\n')


def test_a_table_in_the_wrong_place_is_sent_where_it_belongs() -> None:
    said = message('length_unit = "in"\n[tape.front]\nfront_edge = 57\n')
    assert "tape: given an unknown key; wanted: this key under [[pass]] or [instruments]" in said
    assert "date" not in said


TOP = "this key at the top of the file, above the first [table]"


@pytest.mark.parametrize(
    ("table", "line", "wanted"),
    [
        ("car", 'title = "x"', TOP),
        ("car", "date = 2026-04-18", TOP),
        ("pass.string", 'length_unit = "mm"', TOP),
        ("instruments", "car.wheelbase = 2500", "[car] as a table of its own"),
        ("car", "pass = 1", "[[pass]] as a table of its own"),
        # The header of the table that they belong to was taken away, or made a note.
        ("pass.string", "rear_edge = 1450", "this key under [pass.tape.front] or [pass.tape.rear]"),
        ("pass.string", "inner = 20", "this key under [pass.turn.left] or [pass.turn.right]"),
    ],
)
def test_a_key_in_the_wrong_table_is_sent_where_it_belongs(table, line, wanted) -> None:
    header = "[[pass]]\n" if table.startswith("pass") else ""
    said = message(f'length_unit = "in"\n{header}[{table}]\n{line}\n')
    key = line.split(".")[0].split(" ")[0]
    assert f".{key}: given an unknown key; wanted: {wanted}\n" in f"{said}\n"


@pytest.mark.parametrize(("given", "unit"), [("117", "mm"), ("1500", "mm"), ("2", "in")])
def test_a_unit_is_guessed_at_by_what_is_usual(given: str, unit: str) -> None:
    """Millimetres before centimetres: 117 is both 4 5/8 and 46 inches."""
    job_unit = "in" if unit == "mm" else "mm"
    key = "rear_bar_width" if given == "1500" else "left_front.front"
    said = message(f'length_unit = "{job_unit}"\n[[pass]]\nstring.{key} = {given}\n')
    assert f"(was it meant in {'inches' if unit == 'in' else 'mm'}?)" in said


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ('tie_rods.smallest_turn = "1/6 turn"', 'such as "1/6": a number without a unit'),
        ('tie_rods.smallest_turn = "1:6"', 'a number from 0.01 to 1, such as "1/6"'),
        ('car.steering_ratio = "1:17"', "a number from 5 to 40: a number such as 16.5 or 16.5:1"),
        ('car.steering_wheel_splines = "36 teeth"', "10 to 200: a number without a unit"),
        ("goal.camber.left = { angle = 1 }", "left_front or left_rear"),
        ("goal.camber.rear = { angle = 1 }", "left_rear or right_rear"),
        ("goal.caster.left = { angle = 1 }", "left_front"),
        ('tie_rods.engaged = "1 in"', "outer_engaged or inner_engaged"),
    ],
)
def test_one_example_that_fits_and_both_of_two_near_names(line: str, wanted: str) -> None:
    said = message(f'length_unit = "in"\n{line}\n')
    assert said.endswith(wanted)
