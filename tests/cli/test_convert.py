"""convert: toe in other units, at any diameter, as people type it."""

from __future__ import annotations

import json
import math

import pytest

from tests.cli.running import run
from tests.test_package import loaded_after


def told(*words: str) -> list[dict]:
    done = run("convert", *words, "--json")
    assert done.exit_code == 0, done.stderr
    return [json.loads(line) for line in done.stdout.splitlines()]


def one(*words: str) -> dict:
    (found,) = told(*words)
    return found


@pytest.mark.parametrize(
    "spelling", ["1/16", "1/16in", '1/16"', "0.0625", "1.5875mm", "0.15875 cm", "1⁄16", "+1/16 in"]
)
def test_a_distance_in_any_spelling(spelling: str) -> None:
    found = one(spelling, "--across", "24")
    angle = math.asin(1 / 16 / 24)
    assert found["angle_deg"] == pytest.approx(math.degrees(angle), rel=1e-12)
    assert found["angle_arcmin"] == pytest.approx(60 * math.degrees(angle), rel=1e-12)
    assert found["distance_mm"] == pytest.approx(1.5875, rel=1e-12)
    assert found["side_slip_m_per_km"] == pytest.approx(1000 * math.tan(angle), rel=1e-12)
    assert found["side_slip_ft_per_mile"] == pytest.approx(5280 * math.tan(angle), rel=1e-12)
    assert (found["toe"], found["across_mm"]) == ("toe-in", 609.6)


@pytest.mark.parametrize("kind", ["angle_deg:deg", "angle_arcmin:min", "distance_mm:mm",
                                  "distance_in:in", "side_slip_m_per_km:m/km",
                                  "side_slip_ft_per_mile:ft/mile"])  # fmt: skip
@pytest.mark.parametrize("value", ["-0.2", "0", "0.001", "1"])
def test_every_answer_given_back_means_the_same_toe(kind: str, value: str) -> None:
    field, unit = kind.split(":")
    found = one(f"{value}{unit}", "--across", "600 mm")
    assert found[field] == pytest.approx(float(value), rel=1e-12)
    for other in ("angle_deg:deg", "distance_mm:mm", "side_slip_m_per_km:m/km"):
        name, tag = other.split(":")
        back = one(f"{found[name]:.12f}{tag}", "--across", "600 mm")
        assert back["angle_deg"] == pytest.approx(found["angle_deg"], abs=1e-9)


@pytest.mark.parametrize(
    "words",
    [["-1/8"], ["−1/8"], ["-1/8 in"], ["1/8 toe-out"], ["1/8", "toe-out"], ["1/8", "in", "toe-out"],
     ["-0.125"], ["-.125"], ["-⅛"], ["--", "-1/8"], ["toe-out 1/8"], ["toe-out", "1/8"]],
)  # fmt: skip
def test_toe_out_can_be_typed(words: list[str]) -> None:
    done = run("convert", "--across", "24", "--json", *words)
    assert done.exit_code == 0, done.stderr
    found = json.loads(done.stdout)
    assert found["toe"] == "toe-out"
    assert found["distance_in"] == pytest.approx(-0.125, rel=1e-12)
    assert run("convert", "--across", "24", "--to", "mm", *words).stdout == (
        "3.18 mm toe-out across 609.6 mm (24 in)\n"
    )


@pytest.mark.parametrize(
    "unit, shown",
    [("in", "0.0628 in toe-in across 24 in (609.6 mm)"), ("min", "9.0' toe-in"),
     ("mm", "1.60 mm toe-in across 609.6 mm (24 in)"), ("m/km", "2.62 m/km toe-in"),
     ("deg", "0.150° toe-in"), ("ft/mile", "13.8 ft/mile toe-in")],
)  # fmt: skip
def test_one_unit_alone(unit: str, shown: str) -> None:
    """24 in x sin(0.15 deg) = 0.06283 in; tan(0.15 deg) = 0.0026180."""
    assert run("convert", "0.15deg", "--across", "24", "--to", unit).stdout == f"{shown}\n"


def test_every_answer_names_its_diameter_and_its_word() -> None:
    done = run("convert", "1/16", "-9min", "2.6", "m/km", "0", "--across", "24")
    assert done.exit_code == 0
    assert "Across 24 in (609.6 mm)" in done.stdout
    words = " ".join(done.stdout.split())
    assert "1/16 in toe-in 1/16 in (1.59 mm) 0.149° = 9.0' 2.60 m/km, 13.8 ft/mile" in words
    assert "−9min toe-out 0.063 in, near 1/16 in (1.60 mm) 0.150° = 9.0'" in words
    assert "0 in straight 0 in (0.00 mm) 0.000° = 0.0' 0.00 m/km, 0.0 ft/mile" in words
    assert "-0" not in done.stdout


def test_without_a_diameter_an_angle_has_no_distance() -> None:
    done = run("convert", "0.15deg", "2.6m/km")
    assert done.exit_code == 0
    assert "Distance" not in done.stdout
    assert "mm" not in done.stdout
    assert one("0.15deg")["distance_mm"] is None
    done = run("convert", "1/16")
    assert done.exit_code == 3
    assert "--across DIAMETER: a distance means nothing without it" in done.stderr
    assert run("convert", "9min", "--to", "mm").exit_code == 3


def test_millimetres_come_first_where_the_diameter_has_them() -> None:
    done = run("convert", "1.6", "--across", "600 mm")
    words = " ".join(done.stdout.split())
    assert "Across 600.0 mm (23 5/8 in)" in words
    assert "1.6 mm toe-in 1.60 mm (0.063 in, near 1/16 in)" in words


def test_a_table_for_a_range_of_diameters() -> None:
    done = run("convert", "1/16", "1/8", "--table", "--to", "min", "--across", "22 to 30 by 4")
    rows = [line.split() for line in done.stdout.splitlines() if line[:1].isdigit()]
    assert [row[0] for row in rows] == ["22", "26", "30"]
    for row in rows:
        for shown, toe in zip(row[-2:], (1 / 16, 1 / 8), strict=True):
            exact = 60 * math.degrees(math.asin(toe / float(row[0])))
            assert float(shown.rstrip("'")) == pytest.approx(exact, abs=0.05)


@pytest.mark.parametrize("width", ["40", "80"])
@pytest.mark.parametrize(
    "words", [["0.2deg", "--table"], ["1.6mm", "--table"], ["1/16", "--table", "--to", "deg"]]
)
def test_a_table_needs_no_diameters_and_fits(words, width, monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", width)
    done = run("convert", *words)
    assert done.exit_code == 0, done.stderr
    assert max(map(len, done.stdout.splitlines())) <= int(width)
    assert ("22 in" in done.stdout) == ("1.6mm" not in words)
    assert ("550.0 mm" in done.stdout) == ("1.6mm" in words)


def test_several_diameters_without_a_table() -> None:
    found = told("1/16", "--across", "24", "--across", "600 mm", "--across", "20 to 22")
    assert [round(each["across_mm"], 1) for each in found] == [609.6, 600.0, 508.0, 533.4, 558.8]


@pytest.mark.parametrize(
    "words, said",
    [
        (["1/0", "--across", "24"], "VALUE: given 1/0; wanted: a fraction whose lower number"),
        (["1/16", "--across", "600"], '(if millimetres: "600 mm")'),
        (["1/16", "--across", "x"], "--across: given x; wanted: a length such as"),
        (["1", "1/8", "--across", "24"], '"1 1/8" in quotes if it is one value'),
        (["toe-in", "1", "1/8", "--across", "24"], '"toe-in 1 1/8" in quotes if it is one value'),
        (["toe-out", "1", "1/8", "in", "--across", "24"], '"toe-out 1 1/8 in" in quotes if it'),
        (["1/8", "--across", "600mm"], "a unit: 1/8 in, or 1/8 mm"),
        (["9", "--across", "24"], "a toe within 10 degrees"),
        (["-30", "--across", "24"], "a toe within 10 degrees"),
        (["-1/8 toe-out", "--across", "24"], "not both"),
        (["1/8", "--across", "30 to 20"], "from small to large"),
        (["1/8", "--across", "20 to 30 by 0"], "from small to large"),
        (["1/8", "--across", "20 to 30 by 0.01"], "at most 200 steps"),
        (["toe-out", "--across", "24"], "VALUE: given toe-out"),
        (["toe-out", "--across", "24"], "or an angle, beside the word"),
        (["1/8 out", "--across", "24"], "the word in full: 1/8 toe-out"),
        (["toe-out", "1/8", "toe-in", "--across", "24"], "VALUE: given toe-out 1/8 toe-in"),
    ],
)
def test_what_cannot_be_meant_is_refused(words: list[str], said: str) -> None:
    done = run("convert", *words)
    assert (done.exit_code, done.stdout) == (3, "")
    assert said in done.stderr


def test_every_fault_is_told_at_once() -> None:
    done = run("convert", "1/0", "2x", "--across", "600")
    assert [line.split(";")[0] for line in done.stderr.splitlines()] == [
        "toebox: convert: --across: given 600",
        "toebox: convert: VALUE: given 1/0",
        "toebox: convert: VALUE: given 2x",
    ]


def test_an_unknown_option_is_still_one() -> None:
    done = run("convert", "1/8", "--zzz")
    assert done.exit_code == 2
    assert "No such option" in done.stderr


def test_one_unit_in_ascii() -> None:
    """Where the terminal has no degree sign, a word takes its place."""
    from tests.cli.running import run_process

    done = run_process(
        "convert", "9min", "--to", "deg", env={"PYTHONIOENCODING": "ascii"}, encoding="ascii"
    )
    assert done.stdout == "0.150 deg toe-in\n"


def test_it_needs_nothing_heavy() -> None:
    code = """
from toebox.cli import main
try:
    main(["convert", "1/16", "9min", "--across", "24", "--table"])
except SystemExit as stop:
    assert not stop.code
"""
    assert not loaded_after(code) & {"numpy", "pint", "reportlab", "tomlkit", "difflib"}


@pytest.mark.parametrize(
    ("words", "printed"),
    [
        (("-0.0001deg", "--to", "deg"), "0.000° straight"),
        (("0.0001deg", "--to", "min"), "0.0' straight"),
        (("-0.001deg", "--to", "deg"), "0.001° toe-out"),
        (("-0.0001deg", "--to", "mm", "--across", "600 mm"), "0.00 mm straight across 600.0 mm"),
        (("0.001deg", "--to", "mm", "--across", "600 mm"), "0.01 mm toe-in across 600.0 mm"),
    ],
)
def test_no_sign_word_stands_beside_what_prints_as_zero(words, printed) -> None:
    done = run("convert", *words)
    assert done.stdout.startswith(printed), done.stdout + done.stderr


def test_in_every_unit_the_word_is_that_of_the_finest() -> None:
    tiny = "0.0001deg toe-out"
    assert [row for row in run("convert", tiny).stdout.splitlines() if "° = " in row] == [
        f"{tiny}  straight  0.000° = 0.0'  0.00 m/km, 0.0 ft/mile"
    ]
    (row,) = [r for r in run("convert", tiny, "--across", "24").stdout.splitlines() if "° = " in r]
    assert "  straight  0.000 in, near 0 in (0.00 mm)" in row
    (row,) = [r for r in run("convert", "0.002deg toe-out").stdout.splitlines() if "° = " in r]
    assert "  toe-out  0.002°" in row
