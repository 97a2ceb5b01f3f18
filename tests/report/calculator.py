"""A pocket calculator: + - x /, brackets, sqrt and the functions of angles in degrees.

It knows nothing of toebox: it reads a printed line and works it out again.
"""

from __future__ import annotations

import math
import re

TOKEN = re.compile(r"\s*(\d+\.?\d*|asin|atan|sin|cos|tan|sqrt|[-+x/()])")
KEYS = {
    "sqrt": math.sqrt,
    "sin": lambda angle: math.sin(math.radians(angle)),
    "cos": lambda angle: math.cos(math.radians(angle)),
    "tan": lambda angle: math.tan(math.radians(angle)),
    "asin": lambda ratio: math.degrees(math.asin(ratio)),
    "atan": lambda ratio: math.degrees(math.atan(ratio)),
}


def tokens(text: str) -> list[str] | None:
    """Return the keys to press; None where something is no arithmetic."""
    found, place = [], 0
    while place < len(text.rstrip()):
        match = TOKEN.match(text, place)
        if match is None:
            return None
        found.append(match[1])
        place = match.end()
    return found


def work_out(text: str) -> float:
    """Return what an expression comes to."""
    keys = tokens(text)
    assert keys, text
    calculator = _Calculator(keys)
    value = calculator.sum()
    assert not calculator.keys, text
    return value


class _Calculator:
    def __init__(self, keys: list[str]) -> None:
        self.keys = keys

    def next_is(self, *wanted: str) -> bool:
        return bool(self.keys) and self.keys[0] in wanted

    def sum(self) -> float:
        value = -self.product(after=1) if self.next_is("-") else self.product()
        while self.next_is("+", "-"):
            sign = 1.0 if self.keys.pop(0) == "+" else -1.0
            value += sign * self.product()
        return value

    def product(self, after: int = 0) -> float:
        del self.keys[:after]
        value = self.atom()
        while self.next_is("x", "/"):
            times = self.keys.pop(0) == "x"
            other = self.atom()
            value = value * other if times else value / other
        return value

    def atom(self) -> float:
        key = self.keys.pop(0)
        if key in KEYS:
            assert self.keys[0] == "("
            return KEYS[key](self.atom())
        if key == "(":
            value = self.sum()
            assert self.keys.pop(0) == ")"
            return value
        return float(key)


def test_a_calculator_that_can_be_trusted() -> None:
    assert work_out("2 + 3 x 4") == 14
    assert work_out("-2 x (-3) - 1") == 5
    assert work_out("12 / 4 / 3") == 1
    assert work_out("(1 + 2) x 3 - (4 - 5)") == 10
    assert math.isclose(work_out("asin(sin(12.5)) + atan(tan(-7))"), 5.5)
    assert work_out("sqrt(9 / 4)") == 1.5
    assert tokens("F - R") is None
