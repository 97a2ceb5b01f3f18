"""Properties of reading: exact round trips, and agreement with a slow independent reader."""

import contextlib
import random
from fractions import Fraction as F

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.effort import examples
from tests.units.slow_reader import slow_length
from tests.units.test_spellings import LENGTHS_IN_INCHES, NO_LENGTH
from toebox.errors import FaultyText
from toebox.units import (
    INCH,
    exact_angle,
    exact_length,
    inches,
    read_angle,
    read_count,
    read_length,
    read_thread,
    read_toe,
    read_toward,
    read_turns,
)

MANY = examples(300)

VULGAR = {
    F(1, 2): "½", F(1, 4): "¼", F(3, 4): "¾",
    F(1, 8): "⅛", F(3, 8): "⅜", F(5, 8): "⅝", F(7, 8): "⅞",
}  # fmt: skip


def spellings(count):
    """Return every way to write so many 64ths of an inch."""
    whole, part = divmod(count, 64)
    part = F(part, 64)
    fraction = f"{part.numerator}/{part.denominator}"
    sixtyfourths = f"{part * 64}/64"
    bare = [f"{float(F(count, 64))!r}"]
    if not part:
        bare += [f"{whole}", f"{whole} 0/64"]
    elif not whole:
        bare += [fraction, sixtyfourths, fraction.replace("/", "\u2044")]
    else:
        bare += [
            f"{whole} {fraction}",
            f"{whole}-{fraction}",
            f"{whole}\u2013{fraction}",
            f"{whole}\u00a0{fraction}",
            f"{whole} {fraction}".replace("/", "\u2044"),
            f"{whole} {sixtyfourths}",
        ]
    if part in VULGAR:
        bare += [f"{whole}{VULGAR[part]}", f"{whole} {VULGAR[part]}", f"{whole}-{VULGAR[part]}"]
    tagged = [text + tag for text in bare for tag in (" in", '"', "\u2033")]
    rest = f"{F(count % 768, 64) // 1} {fraction}" if part else f"{count % 768 // 64}"
    feet = [f"{count // 768}{foot}{rest}{inch}" for foot, inch in (("' ", '"'), (" ft ", " in"))]
    return bare + tagged + feet


STEP = examples(usual=5, thorough=1)  # no divisor of 64: every fraction comes up


@pytest.mark.no_cover
@pytest.mark.parametrize("sign,step", [("", STEP), ("-", 17)])
def test_every_64th_up_to_200_inches_in_every_spelling(sign, step):
    wrong = [
        text
        for count in range(0, 200 * 64 + 1, step)
        for text in spellings(count)
        if read_length(sign + text, "in") != int(sign + "1") * count * INCH / 64
    ]
    assert not wrong


@pytest.mark.no_cover
def test_every_64th_up_to_200_inches_from_number_to_text_and_back():
    for count in [*range(0, 200 * 64 + 1, STEP), *range(-200 * 64, 0, 17)]:
        value = count * INCH / 64
        assert read_length(inches(value), "mm") == value
        assert read_length(inches(float(value), tag=False), "in") == value
        assert read_length(inches(value, reduce=False), "mm") == value
        text = exact_length(value, "in")
        assert text == inches(value, tag=False)
        assert read_length(text, "in") == value
        assert read_length(exact_length(value, "mm"), "mm") == value


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_every_tenth_of_a_millimetre_up_to_5_metres_and_back(unit):
    for count in range(0, 50_001, 7):
        value = F(count, 10_000)
        assert read_length(exact_length(value, unit), unit) == value


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_exact_length_spells_what_a_person_would(unit):
    other = {"in": " mm", "mm": " in"}
    for text in ("3 15/16", "1/64", "-1/8", "12"):
        expected = text if unit == "in" else text + other["mm"]
        if text == "12":
            expected = "12" if unit == "in" else "304.8"
        assert exact_length(read_length(text, "in"), unit) == expected
    for text in ("101.5", "0.1", "-3"):
        assert exact_length(read_length(text, "mm"), unit) == text + ("" if unit == "mm" else " mm")
    assert exact_length(read_length("1/3 mm", "mm"), unit).startswith(("1/3", "5/381"))


def test_exact_length_that_no_text_means():
    with pytest.raises(ValueError, match="no text that can be read"):
        exact_length(F(1, 10**70 + 1), "in")


@given(st.fractions(min_value=-360, max_value=360, max_denominator=10**6))
@settings(max_examples=MANY)
def test_exact_angle_is_read_back(degrees):
    assert read_angle(exact_angle(degrees)) == degrees


DIGITS = st.integers(0, 2000).map(str) | st.sampled_from(["0", "1", "3", "05", "000", "1000"])
BLANKS = st.sampled_from(["", " ", " ", "  ", "\u00a0", "\u2009", "\u202f"])
MIDDLE = st.sampled_from([" ", "-", "\u2013", " - ", "\u00a0", "", ".", ",", "'", "' ", " ft "])
FRACTIONS = st.builds(
    lambda above, stroke, below: above + stroke + below,
    st.integers(0, 70).map(str),
    st.sampled_from("//\u2044\u2215"),
    st.sampled_from(["2", "4", "8", "16", "32", "64", "3", "0"]),
) | st.sampled_from("½¼¾⅛⅜⅝⅞⅓")
UNITS = st.sampled_from(
    [
        "",
        "in",
        '"',
        "\u2033",
        "\u201d",
        "''",
        "mm",
        "cm",
        "m",
        "ft",
        "'",
        "\u2032",
        "inches",
        "in.",
        "k",
    ]
)
SIGNS = st.sampled_from(["", "", "", "-", "\u2212", "+", "\u2013", "--"])
TEXTS = st.lists(
    st.one_of(DIGITS, BLANKS, MIDDLE, FRACTIONS, UNITS, SIGNS), min_size=1, max_size=9
).map("".join)
SENSIBLE = st.builds(
    lambda *parts: "".join(parts), SIGNS, DIGITS, MIDDLE, FRACTIONS | DIGITS, BLANKS, UNITS
)
CHARACTERS = st.text("0123456789 ./-'\"½⅛\u2044\u2212\u2032\u2033\u00a0,infmtc", max_size=20)


def both(text, unit):
    """Return what the package reads (None where it refuses) and what the slow reader reads."""
    try:
        fast = read_length(text, unit)
    except FaultyText:
        fast = None
    return fast, slow_length(text, unit)


@given(TEXTS | SENSIBLE | CHARACTERS, st.sampled_from(["in", "mm"]))
@settings(max_examples=4 * MANY)
@example("12 3/16 in", "in")  # what parsers of unit expressions are known to get wrong
@example("12½ in", "in")
@example("\u22123 in", "in")
@example("12,5 mm", "in")
@example("1 000 mm", "in")
@example("2'6\"", "in")
@example("1'000", "mm")
@example("31\u20442", "in")
def test_no_text_is_misread(text, unit):
    fast, slow = both(text, unit)
    assert fast is None or fast == slow


@given(
    st.sampled_from(["", "-", "\u2212", "+"]),
    st.integers(0, 10**6).map(str),
    st.sampled_from([" ", "-", "\u2013", "\u00a0", "\u202f", "  "]),
    st.sampled_from([2, 4, 8, 16, 32, 64]).flatmap(
        lambda below: st.integers(1, below - 1).map(lambda above: f"{above}/{below}")
    )
    | st.sampled_from("½¼¾⅛⅜⅝⅞"),
    st.sampled_from(["", " in", '"', " \u2033", "\u201d", "''", " mm", " ft", "'", " cm", "m"]),
    st.sampled_from(["in", "mm"]),
)
@settings(max_examples=MANY)
def test_sensible_fractions_are_read(sign, whole, between, fraction, tag, unit):
    fast, slow = both(sign + whole + between + fraction + tag, unit)
    assert fast == slow
    assert (fast is None) == (tag == "" and unit == "mm")


@given(st.decimals(allow_nan=False, allow_infinity=False, places=6, min_value=0, max_value=10**6))
@settings(max_examples=MANY)
def test_decimals_are_read(value):
    text = format(value, "f")
    assert read_length(text, "mm") == F(value) / 1000 == slow_length(text, "mm")


@given(st.floats(min_value=-1e6, max_value=1e6))
@settings(max_examples=MANY)
def test_a_number_and_its_own_text_are_read_alike(value):
    text = format(value, "f")
    if float(text) == value and len(text) < 20:
        assert read_length(value, "in") == F(repr(value)) * INCH


@given(st.text(max_size=80))
@settings(max_examples=MANY)
def test_any_text_at_all_is_read_or_refused(text):
    fast, slow = both(text, "in")
    assert fast is None or fast == slow


SEEDS = [
    text
    for text, _ in LENGTHS_IN_INCHES + NO_LENGTH
    if isinstance(text, str) and text and "¹" not in text  # raised digits: beyond the slow reader
]
SIGNS_TO_STRIKE = "0123456789 ./-'\"½⅛\u2044\u2212\u2032\u2033\u00a0,infmtce°+_:x"
EVERY_READER = (read_angle, read_toward, read_turns, read_count, read_thread)


def struck(text, chance):
    """Return a text with one to three slips of the finger."""
    signs = list(text)
    for _ in range(chance.randint(1, 3)):
        at = chance.randrange(len(signs) + 1)
        signs[at : at + chance.choice([0, 1, 1])] = chance.choice([*SIGNS_TO_STRIKE, ""])
    return "".join(signs)


def test_slips_of_the_finger_are_not_misread():
    chance = random.Random(2026)
    accepted = 0
    for _ in range(10 * MANY):
        text, unit = struck(chance.choice(SEEDS), chance), chance.choice(["in", "mm"])
        fast, slow = both(text, unit)
        assert fast is None or fast == slow, text
        accepted += fast is not None
        for read in EVERY_READER:
            with contextlib.suppress(FaultyText):
                read(text)
        with contextlib.suppress(FaultyText):
            read_toe(text, unit)
    assert accepted > MANY / 2  # the slips leave enough that can be read
