"""Thread designations: accepted, refused, and doubted."""

import pytest

from toebox.errors import FaultyText
from toebox.units import Thread, read_thread, unusual

READ = [
    # metric, ISO 965-1 clause 12
    ("M14x1.5", "M14x1.5", 0.014, 0.0015, False),
    ("M14 x 1.5", "M14x1.5", 0.014, 0.0015, False),
    ("M14×1.5", "M14x1.5", 0.014, 0.0015, False),
    ("m14X1.5", "M14x1.5", 0.014, 0.0015, False),
    ("M14*1.5", "M14x1.5", 0.014, 0.0015, False),
    ("M14-1.5", "M14x1.5", 0.014, 0.0015, False),
    ("M14-1.5-LH", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M 14 x 1.50", "M14x1.5", 0.014, 0.0015, False),
    ("M14x1.5-LH", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14x1.5 LH", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14x1.5LH", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14×1.5 lh", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14x1.5 L.H.", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14x1.5 left", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14x1.5 left-hand", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14x1.5 left hand", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14x1.5-RH", "M14x1.5", 0.014, 0.0015, False),
    ("M14x1.5 right-hand", "M14x1.5", 0.014, 0.0015, False),
    ("M14x1.5-6H-LH", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14x1.5-6g", "M14x1.5", 0.014, 0.0015, False),
    ("M14x1.5-5g6g", "M14x1.5", 0.014, 0.0015, False),
    ("M14x1.5-6H/6g-LH", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14x1.5 LH-6g", "M14x1.5-LH", 0.014, 0.0015, True),
    ("M14", "M14x2", 0.014, 0.002, False),
    ("M14-LH", "M14x2-LH", 0.014, 0.002, True),
    ("M14-6H", "M14x2", 0.014, 0.002, False),
    ("M13x1.5", "M13x1.5", 0.013, 0.0015, False),
    ("M14x6.9", "M14x6.9", 0.014, 0.0069, False),
    ("M100x6", "M100x6", 0.1, 0.006, False),
    # inch, ASME B1.1
    ("1-20 UNEF", "1-20 UNEF", 0.0254, 0.00127, False),
    ("5/8-18", "5/8-18", 0.015875, 0.0254 / 18, False),
    ("5/8 - 18", "5/8-18", 0.015875, 0.0254 / 18, False),
    ('5/8"-18', "5/8-18", 0.015875, 0.0254 / 18, False),
    ("5/8 in-18", "5/8-18", 0.015875, 0.0254 / 18, False),
    ("⅝-18", "5/8-18", 0.015875, 0.0254 / 18, False),
    ("5/8–18", "5/8-18", 0.015875, 0.0254 / 18, False),
    ("0.625-18", "5/8-18", 0.015875, 0.0254 / 18, False),
    (".625-18", "5/8-18", 0.015875, 0.0254 / 18, False),
    ("0.63-18", "0.63-18", 0.016002, 0.0254 / 18, False),
    ("5/8-18-LH", "5/8-18-LH", 0.015875, 0.0254 / 18, True),
    ("5/8-18 UNF-2A-LH", "5/8-18 UNF-LH", 0.015875, 0.0254 / 18, True),
    ("5/8-18UNF-3B", "5/8-18 UNF", 0.015875, 0.0254 / 18, False),
    ("9/16-18 UNF LH", "9/16-18 UNF-LH", 0.0142875, 0.0254 / 18, True),
    ("11/16-18 UNS", "11/16-18 UNS", 0.0174625, 0.0254 / 18, False),
    ("7/16-20", "7/16-20", 0.0111125, 0.00127, False),
    ("1 1/8-12", "1 1/8-12", 0.028575, 0.0254 / 12, False),
    ("1-1/8-12", "1 1/8-12", 0.028575, 0.0254 / 12, False),
    ("1-14 UNS", "1-14 UNS", 0.0254, 0.0254 / 14, False),
    ("7/8-11.5", "7/8-11.5", 0.022225, 0.0254 / 11.5, False),
]


@pytest.mark.parametrize("text,designation,diameter,pitch,left", READ)
def test_thread_is_read(text, designation, diameter, pitch, left):
    thread = read_thread(text)
    assert thread.designation == designation
    assert thread.diameter == pytest.approx(diameter, rel=1e-15)
    assert thread.pitch == pytest.approx(pitch, rel=1e-15)
    assert thread.left_hand is left
    assert read_thread(designation) == thread


@pytest.mark.parametrize(
    "text,wanted",
    [
        ("M14 x 1,5", "a decimal point, not a comma: write M14 x 1.5"),
        ("M15", "the pitch as well, such as M15x1.5"),
        ("M14x1.5-L", "LH for a left-hand thread"),
        ("5/8-18 L", "LH for a left-hand thread"),
        ("M14x1.5 LH RH", "a thread such as"),
        ("M14x1.5-6Z", "a thread such as"),
        ("M14x1.5 fine", "a thread such as"),
        ("M14x", "a thread such as"),
        ("M14x1.5.2", "a number such as"),
        ("M", "a thread such as"),
        ("M1.5x14", "a diameter and then a pitch far below it"),
        ("M14x15", "a diameter and then a pitch far below it"),
        ("M14x7", "a diameter and then a pitch far below it"),
        ("M14x0", "a diameter and then a pitch far below it"),
        ("M0x0", "a diameter and then a pitch far below it"),
        ("M140x6", "at most 100 mm"),
        ("M16xPh3P1.5", "a thread such as"),
        ("14x1.5", "a thread such as"),
        ("5/8x18", "a thread such as"),
        ("5/8", "a thread such as"),
        ("5/8-", "a thread such as"),
        ("5/8-0", "more than no threads per inch"),
        ("5/8-1.8", "a diameter and then a pitch far below it"),
        ("5/8-18 XYZ", "a thread such as"),
        ("5/8-18-6H", "a thread such as"),
        ("1-24", "screw numbers are not read"),
        ("M101x6", "at most 100 mm"),
        ("10-32", "screw numbers are not read"),
        ("#10-32", "a thread such as"),
        ("5-8", "at most 100 mm"),
        ("5/0-18", "lower number is not zero"),
        ("", "the text is empty"),
        (14, "in quotes"),
        (None, "in quotes"),
    ],
)
def test_thread_is_refused(text, wanted):
    with pytest.raises(FaultyText, match=wanted):
        read_thread(text)


# ISO 261, coarse pitch and then fine ones [mm]
ISO_261 = {
    10: (1.5, 1.25, 1),
    12: (1.75, 1.5, 1.25),
    14: (2, 1.5),
    16: (2, 1.5),
    18: (2.5, 2, 1.5),
    20: (2.5, 2, 1.5),
    22: (2.5, 2, 1.5),
    24: (3, 2),
}

# ASME B1.1, threads per inch of UNC and UNF
ASME_B1_1 = {"1/2": (13, 20), "9/16": (12, 18), "5/8": (11, 18), "3/4": (10, 16)}


@pytest.mark.parametrize("size,pitches", ISO_261.items())
def test_iso_261(size, pitches):
    assert read_thread(f"M{size}").pitch == pitches[0] / 1000
    for pitch in pitches:
        thread = read_thread(f"M{size}x{pitch}-LH")
        assert thread.pitch == pytest.approx(pitch / 1000, rel=1e-15)
        assert unusual(thread) is None


@pytest.mark.parametrize("size,counts", ASME_B1_1.items())
def test_asme_b1_1(size, counts):
    for series, count in zip(("UNC", "UNF"), counts, strict=True):
        assert unusual(read_thread(f"{size}-{count}")) is None
        assert unusual(read_thread(f"{size}-{count} {series}-2A-LH")) is None


@pytest.mark.parametrize("count", [12, 16, 20, 24])
def test_asme_b1_1_has_four_pitches_at_11_16(count):
    assert unusual(read_thread(f"11/16-{count}")) is None


@pytest.mark.parametrize(
    "text,doubt",
    [
        ("M14x1.25", "M14x1.25 is unusual (common in ISO 261: 2 or 1.5 mm): count them again"),
        ("M15x1.5", "M15x1.5 is unusual (not a common diameter of ISO 261): measure it again"),
        (
            "11/16-18 UNS-LH",
            "11/16-18 is unusual (common in ASME B1.1: 12, 16, 20 or 24 threads per inch): "
            "count them again",
        ),
        (
            "5/8-18 UNC",
            "5/8-18 UNC is unusual (common in ASME B1.1: 11 threads per inch): count them again",
        ),
        (
            "19/32-18",
            "19/32-18 is unusual (not a common diameter of ASME B1.1): measure it again",
        ),
    ],
)
def test_an_unusual_pitch_is_a_doubt(text, doubt):
    assert unusual(read_thread(text)) == doubt


def test_a_thread_made_by_hand_is_judged_too():
    assert unusual(Thread("M14x1.5", 0.014, 0.0015)) is None
    assert unusual(Thread("5/8-18", 0.015875, 0.0254 / 18)) is None
    assert not Thread("M14x1.5", 0.014, 0.0015).left_hand
