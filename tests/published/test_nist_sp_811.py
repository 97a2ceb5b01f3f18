"""NIST SP 811, Appendix B, and SI brochure, 5.3.3: an inch in millimetres, minutes of a degree."""

from __future__ import annotations

import math

from tests.printed import printed
from toebox.units import degrees_minutes, read_angle, read_length


def test_the_inch_is_exact() -> None:
    metres = read_length("1 in", "mm")
    assert metres * 10_000 == 254
    assert float(metres * 1000) == printed("25.4", "1 in [mm]", "SP 811, Appendix B")
    assert float(read_length("1 ft", "mm") * 1000) == printed("304.8", "1 ft [mm]", "SP 811, B.6")


def test_degrees_and_minutes() -> None:
    """The brochure's example, both ways."""
    found = read_angle("22°12'")
    assert float(found) == printed("22.20", "22°12' [deg]", "SI brochure, 5.3.3")
    assert degrees_minutes(math.radians(22.20)) == "22°12'"
