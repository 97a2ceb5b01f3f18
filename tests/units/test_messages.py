"""What the readers say, to the letter: a message is what a person has to go by."""

from __future__ import annotations

import math
from fractions import Fraction as F

import pytest

from toebox.errors import FaultyText
from toebox.units import (
    INCH,
    exact_angle,
    exact_length,
    flats,
    inches,
    length,
    percent,
    plus_minus,
    quantity,
    read_angle,
    read_count,
    read_length,
    read_thread,
    read_toe,
    read_toward,
    read_toward_pair,
    read_turns,
    toe_distance,
    turns,
    unusual,
)


def in_inches(text: object) -> F:
    return read_length(text, "in")


def toe_in_inches(text: str) -> object:
    return read_toe(text, "in")


def toward(text: str) -> F:
    return read_toward_pair(6, text)


ALL_TURNS = (
    "one amount and one word: what all turns since the readings before come to together, such as "
    "'1/6 lengthen'"
)
LENGTH = "a length such as 3 15/16 in, 3.9375 in, 8' 5 1/2\", 101.5 mm or 10.15 cm"


@pytest.mark.parametrize(
    ("read", "given", "wanted"),
    [
        (in_inches, None, "a number, or a text in quotes such as '3 15/16'"),
        (in_inches, math.inf, "a number that is neither infinite nor 'nan'"),
        (in_inches, math.nan, "a number that is neither infinite nor 'nan'"),
        (in_inches, "  ", "a value; the text is empty"),
        (in_inches, "1.234,5", "a number without thousands separators: write 1234.5"),
        (in_inches, "1,234,567", "a number without thousands separators: write 1234567"),
        (in_inches, "12,5", "a decimal point, not a comma: write 12.5"),
        (
            in_inches,
            "1,250",
            "a number without a comma: write 1250 or 1.250, whichever is meant",
        ),
        (in_inches, "12 in, wheel up", "one value, without a comma"),
        (read_toward, "6, left", "one value, without a comma"),
        (read_turns, "1/6 shorten, 1/6 lengthen", ALL_TURNS),
        (read_turns, "1/6 Shorten 1/6 shorten", ALL_TURNS),
        (read_turns, "1,5 shorten", "a decimal point, not a comma: write 1.5 shorten"),
        (in_inches, "3/0", "a fraction whose lower number is not zero"),
        (in_inches, "1:2", "a number such as 3 15/16, 3-15/16 or 3.9375"),
        (in_inches, "1e3", "a number written out, without an exponent such as 1e3"),
        (in_inches, "x", LENGTH),
        (in_inches, "5' 3x", LENGTH),
        (in_inches, "5' 3 parsecs", LENGTH),
        (read_angle, "1°30", "whole degrees and then minutes with their mark, such as 1°30'"),
        (read_angle, "1°60'", "minutes below 60 after degrees"),
        (read_angle, "1°1.5'3\"", "whole minutes before seconds"),
        (read_angle, "1°1'60\"", "seconds below 60 after minutes"),
        (read_count, "16 mm", "a number without a unit, such as 16.5"),
        (read_count, "1:17", "a number such as 16.5 or 16.5:1"),
        (read_count, "16:1:1", "a number such as 16.5 or 16.5:1"),
        (toe_in_inches, "-1/8 toe-in", "either a sign or the word toe-in or toe-out, not both"),
        (
            toe_in_inches,
            "9'30\"",
            "feet and inches or minutes and seconds in words, such as 9 min 30 sec",
        ),
        (toward, "up", "a direction: left or right"),
        (read_toward, "6 up", "an angle and a direction, such as '6 left' or '2.5 deg right'"),
        (read_toward, "6", "an angle and a direction, such as '6 left' or '2.5 deg right'"),
        (read_toward, "1e3", "a number written out, without an exponent such as 1e3"),
        (toward, 3, "a direction: left or right"),
        (
            read_thread,
            "8-32",
            "a diameter in inches, such as 5/8-18 (screw numbers are not read)",
        ),
        (read_thread, "5/8-0", "more than no threads per inch"),
        (read_thread, "M14x1.5-L", "LH for a left-hand thread"),
        (read_thread, "M14x9", "a diameter and then a pitch far below it, such as M14x1.5"),
        (read_thread, "M101x2", "a thread of at most 100 mm"),
    ],
)
def test_the_whole_message(read, given, wanted) -> None:
    with pytest.raises(FaultyText) as caught:  # noqa: PT011  # compared as a whole below
        read(given)
    assert str(caught.value) == wanted


def test_an_unknown_unit_is_told_with_those_there_are() -> None:
    with pytest.raises(ValueError, match=r"one of in, ft, mm, cm, m, deg, arcmin, arcsec, rad$"):
        quantity(1.0, "furlong")


def test_no_exact_text_is_told() -> None:
    with pytest.raises(ValueError, match=r"^no text that can be read means exactly this number$"):
        exact_length(F(1, 10**30 + 1), "mm")


def test_a_sign_may_stand_apart() -> None:
    assert read_length("- 5' 3\"", "in") == -63 * INCH
    assert read_angle("- 1°30'") == F(-3, 2)


def test_millimetres_come_first_in_a_job_in_millimetres() -> None:
    assert exact_length(INCH / 1000, "mm") == "0.0254"
    assert exact_length(INCH / 3, "mm") == "8 7/15 mm"
    assert exact_length(INCH / 3, "in") == "1/3"


def test_flats() -> None:
    """One sixth of a turn; an eighth of a flat is still told as a fraction."""
    told = {0.5: "3 flats", -1 / 6: "1 flat", 0.25: "1 1/2 flats", 0.05: "0.3 flat", 0: "no flat"}
    told |= {1 / 48: "1/8 flat", 1 / 60: "0.1 flat", 0.001: "no flat", 7 / 6: "7 flats"}
    told |= {F(1, 6) + F(1, 7 * 10**6): "1 flat", F(1, 6) + F(1, 5 * 10**6): "1.0 flat"}
    assert {turned: flats(turned) for turned in told} == told


def test_minutes_where_they_are_plainer() -> None:
    assert [exact_angle(F(n, 60)) for n in (1, 3, 7)] == ["1'", "0.05", "7'"]
    assert exact_angle(F(1, 7)) == "1/7"


def test_two_words_of_a_series_stay_apart() -> None:
    assert read_thread("5/8-18 UNF UNC").designation == "5/8-18 UNF UNC"
    assert unusual(read_thread("m14x1.5")) is None


def test_digits_reach_every_part_of_a_toe_distance() -> None:
    assert toe_distance(0.0012346, 0.60012, "mm", digits=2) == "1.23 mm toe-in across 600.12 mm"
    assert toe_distance(0.00002, 0.6, "mm", digits=1) == "0.0 mm (straight) across 600.0 mm"
    assert toe_distance(0.00002, 0.6, "mm", digits=2).startswith("0.02 mm toe-in")
    assert toe_distance(0.4 * 0.0254 / 16, 0.6, "in", 16).startswith("0 in (straight)")
    assert length(0.1015, "mm", tag=False) == "101.5"
    assert inches(0.01 * 0.0254, 128, reduce=False) == "1/128 in"
    assert inches(0.0254 / 64, reduce=False) == "1/64 in"


def test_the_least_that_can_be_told_has_the_digits_asked_for() -> None:
    assert plus_minus(1e-9, 2, "mm") == "± under 0.01 mm"
    assert plus_minus(1e-9, 3) == "± under 0.001°"
    assert plus_minus(0.5, 1, "m/km") == "± 0.5 m/km"
    assert percent(1e-9, 2) == "under 0.01 %"
    assert percent(1 - 1e-9, 2) == "over 99.99 %"


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (1 / 6, "1/6 turn"),
        (1 / 6 + 0.9e-6, "1/6 turn"),
        (1 / 6 + 1.5e-6, "0.17 turn"),
        (1 / 6 - 1.5e-6, "0.17 turn"),
        (F(1, 2) + F(1, 10**6), "1/2 turn"),
        (F(1, 2) + F(6, 10**7), "1/2 turn"),
    ],
)
def test_a_millionth_of_a_turn_is_no_other_turn(given, told: str) -> None:
    assert turns(given) == told
