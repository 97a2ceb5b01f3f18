"""ISO 261 and ASME B1.1: pitches of the common threads.

ISO 261, coarse pitches of M10 to M24, and ASME B1.1, threads per inch of 1/2 to 3/4 in, as read in
the standards' tables. A coarse metric pitch may be left out; no thread of the tables is doubted.
"""

from __future__ import annotations

import pytest

from tests.printed import printed
from toebox.units import INCH, read_thread, unusual

ISO_261 = {
    "M10": ("1.5", "1.25", "1"), "M12": ("1.75", "1.5", "1.25"), "M14": ("2", "1.5"),
    "M16": ("2", "1.5"), "M18": ("2.5", "2", "1.5"), "M20": ("2.5", "2", "1.5"),
    "M22": ("2.5", "2", "1.5"), "M24": ("3", "2"),
}  # fmt: skip
ASME_B1_1 = {
    "1/2": {"UNC": "13", "UNF": "20"}, "9/16": {"UNC": "12", "UNF": "18"},
    "5/8": {"UNC": "11", "UNF": "18"}, "3/4": {"UNC": "10", "UNF": "16"},
    "11/16": {"UNEF": "24"},
}  # fmt: skip


@pytest.mark.parametrize("size", ISO_261)
def test_metric(size: str) -> None:
    coarse, *_ = ISO_261[size]
    found = read_thread(size).pitch * 1000
    assert found == printed(coarse, f"coarse pitch of {size} [mm]", "ISO 261")
    for pitch in ISO_261[size]:
        assert unusual(read_thread(f"{size}x{pitch}")) is None
    assert unusual(read_thread(f"{size}x0.9")) is not None


@pytest.mark.parametrize("size", ASME_B1_1)
def test_inch(size: str) -> None:
    for series, count in ASME_B1_1[size].items():
        thread = read_thread(f"{size}-{count} {series}")
        assert unusual(thread) is None
        what = f"threads per inch of {size} {series}"
        assert float(INCH) / thread.pitch == printed(count, what, "ASME B1.1")
    assert unusual(read_thread(f"{size}-19")) is not None
