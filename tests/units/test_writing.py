"""Numbers to text: rounding, carrying, words for signs, and no negative zero."""

import math
import re
from fractions import Fraction as F

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.units.test_reading import MANY
from toebox.units import INCH, read_angle, read_length, write

RAD = math.radians


@pytest.mark.parametrize(
    "metres,denominator,reduce,text",
    [
        (INCH * F(63, 16), 64, True, "3 15/16 in"),
        (INCH * F(63, 16), 64, False, "3 60/64 in"),
        (INCH * F(15, 16), 64, False, "60/64 in"),
        (INCH * 3, 64, False, "3 in"),
        (INCH * F(63, 16), 8, True, "4 in"),  # a tie, to even: 32/8 rather than 31/8
        (INCH * F(61, 16), 8, True, "3 3/4 in"),  # a tie, to even: 30/8 rather than 31/8
        (INCH * F(1, 128), 64, True, "0 in"),
        (INCH * F(3, 128), 64, True, "1/32 in"),
        (INCH * F(-1, 128), 64, True, "0 in"),
        (INCH * F(-1, 128) - F(1, 10**12), 64, True, "-1/64 in"),
        (INCH * F(-63, 16), 64, False, "-3 60/64 in"),
        (INCH * F(-15, 16), 64, False, "-60/64 in"),
        (INCH * F(255, 256), 64, True, "1 in"),  # carried to the next whole
        (INCH * F(1023, 256), 64, False, "4 in"),
        (0.0254, 64, True, "1 in"),
        (0.0254 / 128, 64, True, "0 in"),  # a tie but for the float's noise
        (3 * 0.0254 / 128, 64, True, "1/32 in"),
        (np.float64(0.1), 64, True, "3 15/16 in"),
        (-0.0, 64, True, "0 in"),
        (0, 1, True, "0 in"),
    ],
)
def test_inches(metres, denominator, reduce, text):
    assert write.inches(metres, denominator, reduce=reduce) == text
    assert write.inches(metres, denominator, reduce=reduce, tag=False) == text.removesuffix(" in")


@pytest.mark.parametrize(
    "value,digits,text",
    [
        (0.0, 2, "0.00"),
        (-0.0, 2, "0.00"),
        (-0.004, 2, "0.00"),
        (-0.005, 2, "0.00"),
        (-0.0051, 2, "-0.01"),
        (0.125, 2, "0.12"),
        (0.135, 2, "0.14"),
        (2.675, 2, "2.68"),  # a tie, though the float's binary lies below
        (0.1 + 0.025, 2, "0.12"),  # a tie but for the float's noise
        (0.95, 1, "1.0"),  # carried
        (-9.96, 1, "-10.0"),
        (1234567.0, 0, "1234567"),
        (-0.4, 0, "0"),
        (F(1, 3), 4, "0.3333"),
        (F(-2, 3), 4, "-0.6667"),
        (7, 3, "7.000"),
        (0.05, 3, "0.050"),
    ],
)
def test_signed(value, digits, text):
    assert write.signed(value, digits) == text


def test_signed_with_a_plus():
    assert write.signed(0.5, 1, plus=True) == "+0.5"
    assert write.signed(-0.5, 1, plus=True) == "-0.5"
    assert write.signed(0.01, 1, plus=True) == "0.0"


def test_lengths_in_the_users_unit():
    assert write.length(0.1, "in") == "3 15/16 in"
    assert write.length(0.1, "in", 4, tag=False) == "4"
    assert write.length(0.1, "mm") == "100.0 mm"
    assert write.length(-0.0016, "mm", digits=2) == "-1.60 mm"
    assert write.millimetres(F(1, 3), 0, tag=False) == "333"
    assert write.millimetres(-1e-9) == "0.0 mm"


WORDS = [
    (write.toe_words, 0.15, "0.15° toe-in"),
    (write.toe_words, -0.15, "0.15° toe-out"),
    (write.toe_words, -0.004, "0.00° (straight)"),
    (write.camber_words, 0.5, "0.50° top out"),
    (write.camber_words, -1.2, "1.20° top in"),
    (write.camber_words, 0.0, "0.00° (upright)"),
    (write.side_words, 0.06, "0.06° to the right"),
    (write.side_words, -0.06, "0.06° to the left"),
    (write.side_words, -0.0, "0.00° (straight)"),
    (write.off_words, 3.14, "3.1° to the right"),
    (write.off_words, -6.0, "6.0° to the left"),
    (write.off_words, 0.04, "0.0° (centred)"),
    (write.caster_words, 5.2, "5.2° caster"),
    (write.caster_words, -0.8, "-0.8° caster, top forward"),
    (write.caster_words, -0.04, "0.0° caster"),
]


@pytest.mark.parametrize("words,value,text", WORDS)
def test_words(words, value, text):
    assert words(RAD(value)) == text


def test_words_with_other_digits():
    assert write.toe_words(RAD(0.155), 1) == "0.2° toe-in"
    assert write.off_words(RAD(-6), 0) == "6° to the left"
    assert write.degrees(RAD(-0.15)) == "-0.15°"
    assert write.degrees(RAD(-0.15), 1, magnitude=True) == "0.2°"


@pytest.mark.parametrize(
    "metres,unit,text",
    [
        (INCH / 16, "in", "1/16 in toe-in across 23 3/4 in"),
        (-INCH / 16, "in", "1/16 in toe-out across 23 3/4 in"),
        (INCH / 200, "in", "0 in (straight) across 23 3/4 in"),
        (0.0016, "mm", "1.6 mm toe-in across 603.2 mm"),
        (-0.00004, "mm", "0.0 mm (straight) across 603.2 mm"),
    ],
)
def test_toe_as_a_distance_names_its_diameter(metres, unit, text):
    assert write.toe_distance(metres, INCH * F(95, 4), unit) == text


@pytest.mark.parametrize(
    "degrees,plain,full",
    [
        (0.15, "9'", "0°09'"),
        (-0.15, "9'", "0°09'"),
        (0.0, "0'", "0°00'"),
        (0.999, "60'", "1°00'"),  # carried
        (1.5, "90'", "1°30'"),
        (1 / 6, "10'", "0°10'"),
        (-12.25, "735'", "12°15'"),
    ],
)
def test_minutes(degrees, plain, full):
    assert write.minutes(RAD(degrees)) == plain
    assert write.degrees_minutes(RAD(degrees)) == full


def test_minutes_with_digits():
    assert write.minutes(RAD(0.125), 1) == "7.5'"
    assert write.degrees_minutes(RAD(0.125), 1) == "0°07.5'"
    assert write.degrees_minutes(RAD(0.9999), 1) == "1°00.0'"


@pytest.mark.parametrize(
    "turns,text",
    [
        (0.5, "1/2 turn"),
        (-0.5, "1/2 turn"),
        (1, "1 turn"),
        (7 / 6, "1 1/6 turns"),
        (F(7, 6), "1 1/6 turns"),
        (1 / 6, "1/6 turn"),
        (1 / 48, "1/48 turn"),
        (1 / 49, "0.02 turn"),
        (2.0, "2 turns"),
        (0.0, "no turn"),
        (-0.0, "no turn"),
        (0.371, "0.37 turn"),
        (1.2345, "1.23 turns"),
        (0.9999, "1.00 turn"),
        (0.001, "no turn"),
    ],
)
def test_turns(turns, text):
    assert write.turns(turns) == text


def test_half_widths_and_shares():
    assert write.plus_minus(0.061) == "± 0.06°"
    assert write.plus_minus(1.25, 1, "mm") == "± 1.2 mm"
    assert write.plus_minus(0.0) == "± 0.00°"
    assert write.plus_minus(1e-9) == "± under 0.01°"
    assert write.plus_minus(0.2, 0, "mm") == "± under 1 mm"
    assert write.plus_minus(0.5, 1, "") == "± 0.5"
    assert write.percent(0.935, 1) == "93.5 %"
    assert write.percent(0.5) == "50 %"
    assert write.percent(0.0) == "0 %"
    assert write.percent(1) == "100 %"
    assert write.percent(0.996) == "over 99 %"
    assert write.percent(0.99999, 1) == "over 99.9 %"
    assert write.percent(1e-9) == "under 1 %"
    assert write.percent(1e-9, 2) == "under 0.01 %"


@pytest.mark.parametrize("value", [math.nan, math.inf])
def test_what_is_no_number_is_not_written(value):
    with pytest.raises(ValueError, match="Invalid literal for Fraction"):
        write.signed(value, 2)


ANGLES = st.floats(min_value=-20, max_value=20)


@given(ANGLES, st.integers(0, 4))
@settings(max_examples=MANY)
def test_no_negative_zero_and_no_sign_beside_a_word(degrees, digits):
    for words in (write.toe_words, write.camber_words, write.side_words, write.off_words):
        assert "-" not in words(RAD(degrees), digits).split("°")[0]
    for text in (write.degrees(RAD(degrees), digits), write.caster_words(RAD(degrees), digits)):
        assert not re.match(r"-0(\.0*)?°", text)


@given(ANGLES, st.integers(0, 4))
@settings(max_examples=MANY)
def test_rounding_is_to_the_nearest_and_read_back(degrees, digits):
    text = write.degrees(RAD(degrees), digits)
    assert abs(float(read_angle(text)) - degrees) <= 0.5 * 10.0**-digits + 1e-12
    text = write.degrees_minutes(RAD(degrees), digits)
    assert abs(float(read_angle(text)) - abs(degrees)) <= 0.5 * 10.0**-digits / 60 + 1e-12


@given(
    st.floats(min_value=-10, max_value=10),
    st.sampled_from([1, 2, 4, 8, 16, 32, 64, 128]),
    st.booleans(),
)
@settings(max_examples=MANY)
def test_inches_are_the_nearest_fraction(metres, denominator, reduce):
    text = write.inches(metres, denominator, reduce=reduce)
    error = abs(float(read_length(text, "mm")) - metres)
    assert error <= float(INCH) / denominator / 2 * (1 + 1e-9) + 1e-12
    assert not text.startswith("-0")
