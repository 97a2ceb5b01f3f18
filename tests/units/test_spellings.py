"""Every accepted and every refused spelling of the number grammar."""

import math
from datetime import date
from fractions import Fraction as F

import pytest

from toebox.errors import FaultyText
from toebox.units import (
    INCH,
    ToeText,
    read_angle,
    read_count,
    read_length,
    read_toe,
    read_toward,
    read_toward_pair,
    read_turns,
)

LENGTHS_IN_INCHES = [
    ("3 15/16", F(63, 16)),
    ("3-15/16 in", F(63, 16)),
    ('3 15/16"', F(63, 16)),
    ("3 15/16in", F(63, 16)),
    ('3 15/16 "', F(63, 16)),
    ("3  15/16 inches", F(63, 16)),
    ("1 inch", F(1)),
    ("2 IN.", F(2)),
    ("15/16", F(15, 16)),
    ("17/16", F(17, 16)),
    ("31/2", F(31, 2)),
    ("3 0/16", F(3)),
    ("0", F(0)),
    ("-0", F(0)),
    ("0 1/2", F(1, 2)),
    ("3.9375", F(63, 16)),
    (".5", F(1, 2)),
    ("007", F(7)),
    ("-1/8", F(-1, 8)),
    ("-3-15/16", F(-63, 16)),
    ("- 3 15/16", F(-63, 16)),
    ("+1/8", F(1, 8)),
    ("  3 15/16\t", F(63, 16)),
    ("3 15/16\n", F(63, 16)),
    # feet
    ("8' 5 1/2\"", F(203, 2)),
    ("8'5 1/2\"", F(203, 2)),
    ("8'-5 1/2\"", F(203, 2)),
    ("8' - 5 1/2\"", F(203, 2)),
    ("8' 5-1/2\"", F(203, 2)),
    ("8' 5 1/2", F(203, 2)),
    ("8' 5.5\"", F(203, 2)),
    ("8 ft 5 1/2 in", F(203, 2)),
    ("8ft5in", F(101)),
    ("8 ft. 5 in.", F(101)),
    ("8 feet 5 inches", F(101)),
    ("1 foot 0 in", F(12)),
    ("8'", F(96)),
    ("8.5 ft", F(102)),
    ("8 1/2'", F(102)),
    ("-8' 5\"", F(-101)),
    ("8' 5''", F(101)),
    ("2'11 15/16\"", F(575, 16)),
    # unicode
    ("12½", F(25, 2)),
    ("12 ½", F(25, 2)),
    ("12½ in", F(25, 2)),
    ("12-½″", F(25, 2)),
    ("½", F(1, 2)),
    ("-⅛", F(-1, 8)),
    ("3⅞”", F(31, 8)),
    ("⅓ ft", F(4)),
    ("3 15\u204416", F(63, 16)),
    ("15\u204416", F(15, 16)),
    ("3 15\u221516", F(63, 16)),
    ("3¹⁵⁄₁₆", F(63, 16)),
    ("8′ 5½″", F(203, 2)),
    ("8’ 5½”", F(203, 2)),
    ("8‘ 5“", F(101)),
    ("8′5′′", F(101)),
    ("\u22123 15/16", F(-63, 16)),
    ("\u20133", F(-3)),
    ("3\u201315/16", F(63, 16)),
    ("3\u201115/16", F(63, 16)),
    ("3\u00a015/16", F(63, 16)),
    ("3\u202f15/16\u202fin", F(63, 16)),
    ("3\u200915/16\u2009″", F(63, 16)),
    # metric
    ("25.4 mm", F(1)),
    ("25.4mm", F(1)),
    ("2.54 cm", F(1)),
    ("0.0254 m", F(1)),
    ("127 millimetres", F(5)),
    ("12.7 centimeters", F(5)),
    ("1.27 metres", F(50)),
    ("12 7/10 mm", F(1, 2)),
    ("-25.4 mm", F(-1)),
    # numbers
    (3, F(3)),
    (0, F(0)),
    (-2, F(-2)),
    (3.9375, F(63, 16)),
    (0.1, F(1, 10)),
    (-0.0, F(0)),
    (1e-7, F(1, 10**7)),
    (F(1, 3), F(1, 3)),
]


@pytest.mark.parametrize("given,inches", LENGTHS_IN_INCHES)
def test_length_is_read(given, inches):
    assert read_length(given, "in") == inches * INCH


@pytest.mark.parametrize(
    "given,millimetres",
    [
        ("101.5", F(203, 2)),
        ("1/2 mm", F(1, 2)),
        (101.5, F(203, 2)),
        ("8' 5", F(12827, 5)),
        ("2 m", 2000),
    ],
)
def test_length_in_a_metric_job(given, millimetres):
    assert read_length(given, "mm") == F(millimetres) / 1000


@pytest.mark.parametrize("given", ["4 39/64", "1/2", "4½", "-1/16"])
def test_a_fraction_in_a_metric_job_names_its_unit(given):
    """Rules that show fractions are in inches: as millimetres they would be 25 times too small."""
    with pytest.raises(FaultyText, match=r"a unit behind a fraction: (.*/.*) in, or \1 mm"):
        read_length(given, "mm")
    assert read_length(f"{given} in", "mm") == read_length(given, "in")


NO_LENGTH = [
    # commas and separators
    ("12,5 mm", "a decimal point, not a comma: write 12.5 mm"),
    ("-0,5", "write -0.5"),
    ("3 1,5/16", "a decimal point, not a comma"),
    ("4 3/8, 4 3/8", "one number without a comma .several readings: a semicolon between them"),
    ("12.5, 13", "one number without a comma .several readings: a semicolon between them"),
    ("1,000 mm", "write 1000 mm or 1.000 mm, whichever is meant"),
    ("1,000.5", "without thousands separators: write 1000.5"),
    ("1.000,5 mm", "without thousands separators: write 1000.5 mm"),
    ("1,000,000", "without thousands separators: write 1000000"),
    ("1 000 mm", "without blanks between its digits: write 1000"),
    ("1\u202f000 mm", "without blanks between its digits: write 1000"),
    ("1 000.5 mm", "without blanks between its digits: write 1000.5"),
    ("1.000.000", "without thousands separators"),
    ("1_000", "without underscores: write 1000"),
    ("1'000", "a length such as"),
    ("1'000 mm", "a length such as"),
    # not plain numbers
    ("1e3", "without an exponent"),
    ("1e3 mm", "without an exponent"),
    ("2.5E-3", "without an exponent"),
    ("1 e 3", "without an exponent"),
    ("nan", "a length such as"),
    ("inf", "a length such as"),
    ("0x10", "a length such as"),
    ("12.", "a digit after the decimal point"),
    ("12. in", "a digit after the decimal point"),
    (".", "a number such as"),
    ("1.2.3", "a number such as"),
    ("5%", "a number such as"),
    ("~5", "a number such as"),
    ("9**9**9", "a number such as"),
    # fractions
    ("1/0", "lower number is not zero"),
    ("3 1/0", "lower number is not zero"),
    ("0/00", "lower number is not zero"),
    ("3/4/5", "a single fraction"),
    ("3 1/2 1/4", "a single fraction"),
    ("½½", "a single fraction"),
    ("½2", "a number such as"),
    ("⅟16", "no blanks beside the fraction stroke"),
    ("3 17/16", "a fraction below one after the whole number: write 4 1/16"),
    ("3 16/16", "a fraction below one after the whole number: write 4"),
    ("3-15/15", "a fraction below one after the whole number: write 4"),
    ("3 015/16", "without leading zeros: write 15/16"),
    ("3 15/016", "without leading zeros: write 15/16"),
    ("1 000/8", "without leading zeros: write 0/8"),
    ("31\u20442", "a blank between whole number and fraction in 31/2"),
    ("11\u204411", "a blank between whole number and fraction in 11/11"),
    ("3.5 1/2", "a decimal or a fraction, not both"),
    ("3.5/16", "a decimal or a fraction, not both"),
    ("3 1/2.5", "a decimal or a fraction, not both"),
    ("3 15 / 16", "no blanks beside the fraction stroke"),
    ("3 15/ 16", "no blanks beside the fraction stroke"),
    ("3/", "a number such as"),
    ("/16", "a number such as"),
    # dashes and signs
    ("3 - 15/16", "no blanks beside the dash"),
    ("3 -15/16", "no blanks beside the dash"),
    ("3-15", "a number such as"),
    ("3-4 mm", "a number such as"),
    ("--3", "one sign at most"),
    ("+-3", "one sign at most"),
    ("3-", "a number such as"),
    ("-", "a length such as"),
    ("±3", "U\\+00B1 \\(PLUS-MINUS SIGN\\) is not read"),
    # feet
    ("2'14\"", "inches below 12 after feet: write 3' 2\""),
    ("2' 12", "inches below 12 after feet: write 3' 0\""),
    ("2' 14.5\"", "inches below 12 after feet: write 3' 2 1/2\""),
    ("8.5' 3\"", "a length such as"),
    ("8 1/2' 3\"", "a length such as"),
    ("8' -5\"", "a length such as"),
    ("8'5'", "a length such as"),
    ("8\"5'", "a length such as"),
    ("8' 5 mm", "a length such as"),
    ("8' 005\"", "a length such as"),
    ("8 ft.5 in", "a length such as"),
    ("8 ft..5 in", "a length such as"),
    ("'", "a length such as"),
    ("8'''", "a length such as"),
    # units
    ("5 yd", "a length such as"),
    ("5 thou", "a length such as"),
    ("5 mm mm", "a length such as"),
    ("1 m 20 cm", "a length such as"),
    ("3 in 5", "a length such as"),
    ("in", "a length such as"),
    ("mm 5", "a length such as"),
    ("3°", "a length such as"),
    ("0.15 deg", "a length such as"),
    ("5 min", "a length such as"),
    # characters
    ("5\u20143", "U\\+2014 \\(EM DASH\\) is not read"),
    ("５", "U\\+FF15 \\(FULLWIDTH DIGIT FIVE\\) is not read"),
    ("٣", "U\\+0663"),
    ("3²", "U\\+00B2"),
    ("3\u200b15/16", "U\\+200B"),
    ("3\x0015", "U\\+0000 \\(a control character\\)"),
    ("3\n15/16", "U\\+000A"),
    ("3\ud800", "U\\+D800"),
    ("8‴", "U\\+2034"),
    ("5 µm", "U\\+00B5"),
    # size
    ("", "the text is empty"),
    ("   ", "the text is empty"),
    ("1" * 65, "at most 64 characters"),
    (" " * 65, "at most 64 characters"),
    ("1" * 21, "at most 20 digits"),
    ("0." + "1" * 21, "at most 20 digits"),
    (10**20, "at most 20 digits"),
    (-(10**20), "at most 20 digits"),
    (1e308, "at most 20 digits"),
    # no texts
    (True, "a number, or a text in quotes"),
    (None, "a number, or a text in quotes"),
    ([3], "a number, or a text in quotes"),
    (date(2026, 4, 18), "a number, or a text in quotes"),
    (math.nan, "neither infinite nor 'nan'"),
    (math.inf, "neither infinite nor 'nan'"),
    (-math.inf, "neither infinite nor 'nan'"),
]


@pytest.mark.parametrize("given,wanted", NO_LENGTH)
def test_length_is_refused(given, wanted):
    with pytest.raises(FaultyText, match=wanted):
        read_length(given, "in")


def test_largest_numbers_are_read():
    assert read_length("9" * 20, "in") == (10**20 - 1) * INCH
    assert read_length(10**20 - 1, "in") == (10**20 - 1) * INCH
    assert read_length(" " * 63 + "5", "in") == 5 * INCH


ANGLES = [
    ("0.15", F(3, 20)),
    ("0.15 deg", F(3, 20)),
    ("0.15°", F(3, 20)),
    ("0.15 °", F(3, 20)),
    ("0.15º", F(3, 20)),
    ("2 degrees", F(2)),
    ("1 degree", F(1)),
    ("0°09'", F(3, 20)),
    ("0° 9′", F(3, 20)),
    ("0 deg 9 min", F(3, 20)),
    ("9'", F(3, 20)),
    ("9 min", F(3, 20)),
    ("9 arcmin", F(3, 20)),
    ("9 minutes", F(3, 20)),
    ("90'", F(3, 2)),
    ("1/2'", F(1, 120)),
    ("1°30'15\"", F(361, 240)),
    ("1° 30’ 15”", F(361, 240)),
    ("1°30'15.5\"", 1 + F(1, 2) + F(31, 7200)),
    ("1 degree 30 minutes 15 seconds", F(361, 240)),
    ("1°30.5'", F(181, 120)),
    ("9'30\"", F(19, 120)),
    ("90'30\"", F(181, 120)),
    ("30 arcsec", F(1, 120)),
    ("30 sec", F(1, 120)),
    ("1/4°", F(1, 4)),
    ("1¼°", F(5, 4)),
    ("1 1/4 deg", F(5, 4)),
    ("-0°30'", F(-1, 2)),
    ("−0.5°", F(-1, 2)),
    ("+1°", F(1)),
    ("0°59'59\"", F(3599, 3600)),
    ("22°12'", F(111, 5)),
    (0.1, F(1, 10)),
    (-2, F(-2)),
]


@pytest.mark.parametrize("given,degrees", ANGLES)
def test_angle_is_read(given, degrees):
    assert read_angle(given) == degrees


NO_ANGLE = [
    ("0,15", "write 0.15"),
    ("1°60'", "minutes below 60"),
    ("0°009'", "minutes below 60"),
    ("1°30'60\"", "seconds below 60"),
    ("1°30'015\"", "seconds below 60"),
    ("1°30.5'15\"", "whole minutes before seconds"),
    ("1.5°30'", "an angle such as"),
    ("1°30", "minutes with their mark, such as 1°30'"),
    ("1 deg 30", "minutes with their mark"),
    ('1°30"', "seconds stand after minutes"),
    ('30"', "seconds stand after minutes"),
    ('1/8"', "seconds stand after minutes"),
    ("9''", "seconds stand after minutes"),
    ("0.003 rad", "radians are not read"),
    ("3 mrad", "radians are not read"),
    ("1:30", "a number such as"),
    ("5 in", "an angle such as"),
    ("°", "an angle such as"),
    ("1e1", "without an exponent"),
    ("1°-30'", "an angle such as"),
    ("", "the text is empty"),
    (False, "a number, or a text in quotes"),
    (math.nan, "neither infinite nor 'nan'"),
]


@pytest.mark.parametrize("given,wanted", NO_ANGLE)
def test_angle_is_refused(given, wanted):
    with pytest.raises(FaultyText, match=wanted):
        read_angle(given)


def test_angle_in_minutes_unless_it_says_otherwise():
    assert read_angle("9", "arcmin") == read_angle(9, "arcmin") == read_angle("0.15°", "arcmin")


@pytest.mark.parametrize(
    "given,unit,kind,value",
    [
        ("1/16", "in", "distance", INCH / 16),
        (0.0625, "in", "distance", INCH / 16),
        ('1/16"', "mm", "distance", INCH / 16),
        ("-1/16 in", "deg", "distance", -INCH / 16),
        ("1.6 mm", "in", "distance", F(16, 10000)),
        ("1/16 m", "in", "distance", F(1, 16)),
        ("1 ft", "in", "distance", 12 * INCH),
        ("1/16 in toe-in", "in", "distance", INCH / 16),
        ("1/16 in toe out", "in", "distance", -INCH / 16),
        ("0 toe-out", "in", "distance", F(0)),
        ("0.15°", "in", "angle", F(3, 20)),
        ("0.15 deg", "in", "angle", F(3, 20)),
        ("9'", "in", "angle", F(3, 20)),
        ("9 min", "in", "angle", F(3, 20)),
        ("0°09' toe-out", "in", "angle", F(-3, 20)),
        ("0°09'30\"", "in", "angle", F(19, 120)),
        ("0.15", "deg", "angle", F(3, 20)),
        (0.15, "deg", "angle", F(3, 20)),
        ("9", "arcmin", "angle", F(3, 20)),
        ("11.5 ft/mile", "in", "side slip", F(23, 10560)),
        ("-11.5 ft / mile", "in", "side slip", F(-23, 10560)),
        ("11.5 feet per mile", "in", "side slip", F(23, 10560)),
        ("2.2 m/km", "in", "side slip", F(11, 5000)),
        ("2.2 mm/m toe-out", "in", "side slip", F(-11, 5000)),
        ("toe-out 1/16", "in", "distance", -INCH / 16),
        ("toe in 1/16 in", "mm", "distance", INCH / 16),
        ("Toe-out 0°09'", "in", "angle", F(-3, 20)),
        ("2.2", "m/km", "side slip", F(11, 5000)),
        (2.2, "m/km", "side slip", F(11, 5000)),
        (F(11, 5), "m/km", "side slip", F(11, 5000)),
    ],
)
def test_toe_is_told_by_its_unit(given, unit, kind, value):
    assert read_toe(given, unit) == ToeText(kind, value)


@pytest.mark.parametrize(
    "given,wanted",
    [
        ("9'30\"", "in words, such as 9 min 30 sec"),
        ("-1/16 in toe-in", "either a sign or the word"),
        ("-0 toe-out", "either a sign or the word"),
        ("5 m/mile", "a side slip such as"),
        ("3 mrad", "radians are not read"),
        ("toe-in", "the text is empty|a length such as"),
        ("toe-out", r"a length such as .*, or an angle, beside the word"),
        ("toe-out -1/16", "either a sign or the word"),
        ("toe-out 1/16 toe-out", "a length such as"),
        ("toe-in 1/16 toe-out", "a length such as"),
        ("1/16 out", "the word in full: 1/16 toe-out"),
        ("out 1/16", "the word in full: 1/16 toe-out"),
        ("1/16 in out", "the word in full: 1/16 in toe-out"),
        ("1/16 yd", "a length such as"),
        ("abc", "a length such as"),
        (True, "a number, or a text"),
    ],
)
def test_toe_is_refused(given, wanted):
    with pytest.raises(FaultyText, match=wanted):
        read_toe(given, "in")


@pytest.mark.parametrize("unit", ["deg", "m/km"])
def test_toe_that_is_no_number_is_refused_in_every_unit(unit):
    with pytest.raises(FaultyText, match="a single fraction"):
        read_toe("1/2/3", unit)
    with pytest.raises(FaultyText, match="a number"):
        read_toe(None, unit)


@pytest.mark.parametrize(
    "given,degrees",
    [
        ("6 left", -6),
        ("6 right", 6),
        ("6left", -6),
        ("6 deg right", 6),
        ("6° RIGHT", 6),
        ("2.5° to the left", F(-5, 2)),
        ("2½° towards the right", F(5, 2)),
        ("0°30' to left", F(-1, 2)),
        ("6 clockwise", 6),
        ("6 anticlockwise", -6),
        ("6 counterclockwise", -6),
        ("0", 0),
        ("0 left", 0),
        (0, 0),
        (0.0, 0),
        ("straight", 0),
        ("centred", 0),
    ],
)
def test_direction_is_read(given, degrees):
    assert read_toward(given) == degrees


@pytest.mark.parametrize(
    "given,wanted",
    [
        (6, "an angle and a direction"),
        ("6", "an angle and a direction"),
        ("-6", "an angle and a direction"),
        ("left", "an angle and a direction"),
        ("-6 left", "without a sign, since 'left' gives the direction"),
        ("6 up", "an angle and a direction"),
        ("6 in left", "an angle such as"),
        ("6,5 left", "write 6.5 left"),
        ("", "the text is empty"),
        (None, "a number, or a text"),
    ],
)
def test_direction_is_refused(given, wanted):
    with pytest.raises(FaultyText, match=wanted):
        read_toward(given)


def test_direction_in_two_parts():
    assert read_toward_pair(6, "left") == -6
    assert read_toward_pair("2.5 deg", "Right") == F(5, 2)
    assert read_toward_pair(0, None) == 0


@pytest.mark.parametrize(
    "angle,toward,wanted",
    [
        (6, None, "an angle and a direction"),
        (6, "up", "a direction: left or right"),
        (6, 1, "a direction: left or right"),
        (-6, "left", "without a sign"),
        ("6 left", "left", "an angle such as"),
        ("", "left", "an angle and a direction"),
    ],
)
def test_direction_in_two_parts_is_refused(angle, toward, wanted):
    with pytest.raises(FaultyText, match=wanted):
        read_toward_pair(angle, toward)


@pytest.mark.parametrize(
    "given,turns",
    [
        ("1/2 lengthen", F(1, 2)),
        ("½ lengthen", F(1, 2)),
        ("1/6 shorten", F(-1, 6)),
        ("3 flats lengthen", F(1, 2)),
        ("1 flat shorten", F(-1, 6)),
        ("1 1/2 turns shorten", F(-3, 2)),
        ("0.25 turn lengthened", F(1, 4)),
        ("1 turn longer", 1),
        ("1 turn shorter", -1),
        ("90 deg lengthen", F(1, 4)),
        ("90° shortened", F(-1, 4)),
        ("not turned", 0),
        ("No turn", 0),
        ("none", 0),
        ("0", 0),
        ("0 turns", 0),
        (0, 0),
    ],
)
def test_turns_are_read(given, turns):
    assert read_turns(given) == turns


@pytest.mark.parametrize(
    "given,wanted",
    [
        (0.5, "turns such as"),
        ("1/2", "a word as well: '1/2 lengthen' or '1/2 shorten'"),
        ("lengthen", "turns such as"),
        ("-1/2 lengthen", "one sign at most"),
        ("1/2 in lengthen", "turns such as"),
        ("3 17/16 turns lengthen", "a fraction below one"),
        ("0,5 lengthen", "write 0.5 lengthen"),
        ("1/2 clockwise", "turns such as"),
        (None, "a number, or a text"),
    ],
)
def test_turns_are_refused(given, wanted):
    with pytest.raises(FaultyText, match=wanted):
        read_turns(given)


@pytest.mark.parametrize(
    "given,value",
    [
        ("16.5", F(33, 2)),
        (16.5, F(33, 2)),
        ("15:1", 15),
        ("15 : 1", 15),
        ("16 ½", F(33, 2)),
        ("-3", -3),
    ],
)
def test_count_is_read(given, value):
    assert read_count(given) == value


@pytest.mark.parametrize(
    "given,wanted",
    [
        ("16 in", "without a unit"),
        ("15:2", "a number such as"),
        ("", "empty"),
        ("16,5", "write 16.5"),
    ],
)
def test_count_is_refused(given, wanted):
    with pytest.raises(FaultyText, match=wanted):
        read_count(given)
