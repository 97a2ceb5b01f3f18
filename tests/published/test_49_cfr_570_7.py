"""49 CFR 570.7(d)(1): total toe-in of an axle against side-slip in feet per mile.

The table gives, for four wheel sizes with their tyre diameters, the side-slip for total toe-in of
1/16 to 9/16 in. Its later columns are whole multiples of the first, so the rounding of the first
(half a unit of its last digit) is multiplied with it: that is the tolerance here.
"""

from __future__ import annotations

import json

import pytest

from tests.cli.running import run
from tests.printed import printed
from toebox.geometry.box import total_toe_from_tape
from toebox.geometry.toe import side_slip

FEET_IN_A_MILE = 5280.0
HALF_A_UNIT = 0.05
SIXTEENTHS = range(1, 10)

# Wheel size: tyre diameter [in], side-slip at 1/16 to 9/16 in of total toe-in [ft/mile].
TABLE = {
    13: (25.2, (13.1, 26.2, 39.3, 52.4, 65.5, 78.6, 91.7, 104.8, 117.9)),
    14: (26.4, (12.5, 25.0, 37.5, 50.0, 62.5, 75.0, 87.5, 100.0, 112.5)),
    15: (28.5, (11.5, 23.0, 34.5, 46.0, 57.5, 69.0, 80.5, 92.0, 103.5)),
    16: (35.6, (9.3, 18.6, 27.9, 37.2, 46.5, 55.8, 65.1, 74.4, 83.7)),
}
AGREEING = [(size, n) for size in (13, 14, 16) for n in SIXTEENTHS]


def feet_per_mile(sixteenths: int, diameter: float) -> float:
    """Return side-slip for a total toe-in across a diameter, both in inches."""
    return FEET_IN_A_MILE * side_slip(total_toe_from_tape(0.0, sixteenths / 16.0, diameter))


@pytest.mark.parametrize(("size", "sixteenths"), AGREEING)
def test_side_slip_of_total_toe_in(size: int, sixteenths: int) -> None:
    diameter, row = TABLE[size]
    what = f"side-slip at {sixteenths}/16 in across {diameter} in [ft/mile]"
    wanted = printed(str(row[sixteenths - 1]), what, "(d)(1)", times=sixteenths)
    assert feet_per_mile(sixteenths, diameter) == wanted


@pytest.mark.parametrize("sixteenths", SIXTEENTHS)
def test_the_row_for_14_inches_agrees_to_its_last_digit(sixteenths: int) -> None:
    diameter, row = TABLE[14]
    assert feet_per_mile(sixteenths, diameter) == pytest.approx(
        row[sixteenths - 1], abs=HALF_A_UNIT
    )


@pytest.mark.parametrize("sixteenths", SIXTEENTHS)
def test_the_row_for_15_inches_contradicts_its_own_diameter(sixteenths: int) -> None:
    """Documented discrepancy: the row fits 28.7 in, not the 28.5 in printed beside it."""
    diameter, row = TABLE[15]
    text = str(row[sixteenths - 1])
    what = f"side-slip at {sixteenths}/16 in across {{}} in [ft/mile]"
    note = "discrepancy: the row contradicts the diameter printed beside it, and fits 28.7 in"
    by_its_diameter = printed(text, what.format(diameter), "(d)(1)", times=sixteenths, note=note)
    assert feet_per_mile(sixteenths, diameter) != by_its_diameter
    assert feet_per_mile(sixteenths, 28.7) == printed(text, what.format(28.7), "(d)(1)")


@pytest.mark.parametrize("size", [13, 14, 16])
def test_the_command_prints_the_rows(size: int) -> None:
    """`toebox convert` from inches of toe to feet per mile, all columns of a row at once."""
    diameter, row = TABLE[size]
    toes = [f"{n}/16" for n in SIXTEENTHS]
    done = run("convert", *toes, "--across", f"{diameter} in", "--to", "ft/mile")
    assert done.exit_code == 0, done.stderr
    for n, line, shown in zip(SIXTEENTHS, done.stdout.splitlines(), row, strict=True):
        value, words = line.split(maxsplit=1)
        assert words == "ft/mile toe-in"
        assert float(value) == pytest.approx(shown, abs=n * HALF_A_UNIT + HALF_A_UNIT)


@pytest.mark.parametrize("sixteenths", SIXTEENTHS)
def test_the_command_reads_the_rows_backwards(sixteenths: int) -> None:
    """The row for 14 inches from feet per mile to inches, to the rounding of what is printed."""
    diameter, row = TABLE[14]
    shown = row[sixteenths - 1]
    done = run("convert", f"{shown}ft/mile", "--across", f"{diameter} in", "--json")
    distance = json.loads(done.stdout)["distance_in"]
    rounding = HALF_A_UNIT / FEET_IN_A_MILE * diameter
    assert distance == pytest.approx(sixteenths / 16, abs=rounding)
