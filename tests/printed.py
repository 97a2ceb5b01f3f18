"""A printed figure with the tolerance that its digits give: half a unit in the last place.

Every comparison is written down where ``TOEBOX_FIGURES`` names a file; tests/published/README.md is
made of that.
"""

from __future__ import annotations

import json
import os
from decimal import Decimal
from pathlib import Path
from typing import Any

RECORD = "TOEBOX_FIGURES"


class Printed:
    """What a value must equal to agree with a printed figure."""

    __array_ufunc__ = None  # numpy's numbers leave the comparison to this class
    __hash__ = None  # type: ignore[assignment]

    def __init__(self, text: str, what: str, clause: str, times: int, note: str) -> None:
        exponent = Decimal(text).as_tuple().exponent
        assert isinstance(exponent, int)
        half = Decimal((0, (5,), exponent - 1))
        self.text, self.what, self.clause, self.note = text, what, clause, note
        self.value = float(text)
        # A figure that itself lies half a unit off is rounded either way.
        self.tolerance = float(half) * times * (1 + 1e-9)

    def __eq__(self, value: object) -> bool:
        found = float(value)  # type: ignore[arg-type]
        self._write_down(found)
        return abs(found - self.value) <= self.tolerance

    def __repr__(self) -> str:
        return f"{self.text} ± {self.tolerance:.2g}"

    def _write_down(self, found: float) -> None:
        place = os.environ.get(RECORD)
        if not place:
            return
        line = {
            "test": os.environ.get("PYTEST_CURRENT_TEST", "").rpartition(" ")[0],
            "what": self.what,
            "clause": self.clause,
            "printed": self.text,
            "ours": shown(found, self.text),
            "note": self.note,
        }
        with Path(place).open("a", encoding="utf-8") as file:
            file.write(json.dumps(line) + "\n")


def shown(found: float, text: str) -> str:
    """Return our value with one digit more than was printed, ten digits at most."""
    places = max(0, -int(Decimal(text).as_tuple().exponent)) + 1
    ahead = len(str(int(abs(found))))
    return f"{found + 0.0:.{min(places, max(0, 11 - ahead))}f}"


def printed(
    text: str, what: str = "", clause: str = "", *, times: int = 1, note: str = ""
) -> Any:
    """Return what a value must equal to agree with a printed figure such as ``"-0.1712"``.

    `what` and `clause` name the quantity and where it stands in the source; `times` is for a
    figure that the source itself made by multiplying a rounded one; `note` tells of a
    discrepancy, with ``!=`` in place of ``==``.
    """
    return Printed(text, what, clause, times, note)
