"""A page of working: one printed line for each formula, with the numbers in it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from toebox.job.model import Job, Reading
from toebox.report.blocks import Block, Paragraph, Section, Table
from toebox.report.working.sums import Term, mean, number
from toebox.solve.results import PassSolution

ANGLE_DIGITS = 5
FINE_DIGITS = 7
TINY_DIGITS = 9
# How the labels of readings and assumptions begin that are angles, or sines of small ones.
ANGLES = (
    "steering_wheel_off",
    "inclinometer.",
    "turn.",
    "assumed.strings_parallel_within",
    "assumed.gauge_zero_within",
    "assumed.floor_level_within",
    "assumed.steering_axis_inclination",
    "assumed.steering_wheel_straight_within",
    "assumed.turn_plates_zero_within",
)
LENGTH_DIGITS = {"in": 6, "mm": 4}
SCALES = {"in": 0.0254, "mm": 0.001}  # [m]

Word = Callable[[float], str]


def either(positive: str, negative: str, zero: str = "") -> Word:
    """Return the word for a number's sign."""

    def word(value: float) -> str:
        return positive if value > 0.0 else negative if value < 0.0 else zero

    return word


WORDLESS = either("", "")  # for what has no direction
TOE = either("toe-in", "toe-out", "straight")
SIDE = either("to the right", "to the left", "straight")
YAW = either("the car points left of the box axis", "the car points right of the box axis")
TAPER = either("the strings open forwards", "the strings close forwards", "parallel")


@dataclass
class Page:
    """The working of one pass: sections of lines, in the order in which they are worked out."""

    job: Job
    solved: PassSolution
    heading: str = ""
    blocks: list[Block] = field(default_factory=list)
    sections: list[Section] = field(default_factory=list)

    @property
    def unit(self) -> str:
        """Return the user's unit of length."""
        return self.job.length_unit

    def section(self, heading: str, text: str = "") -> None:
        """Close the section before and head a new one."""
        self.close()
        self.heading = heading
        if text:
            self.say(text)

    def close(self) -> None:
        """Close the section; one without a line is left out."""
        if any(isinstance(b, Table) or getattr(b, "kind", "") == "note" for b in self.blocks):
            heading = f"Working, {self.solved.label}: {self.heading}"
            self.sections.append(Section(heading, tuple(self.blocks)))
        self.blocks = []

    def say(self, text: str) -> None:
        """Add a sentence."""
        self.blocks.append(Paragraph(text))

    def table(self, columns: tuple[str, ...], rows: Iterable[tuple[str, ...]], align: str) -> None:
        """Add a table."""
        self.blocks.append(Table(columns, tuple(rows), align))

    def angle(self, label: str, symbols: str, what: Term, word: Word = WORDLESS) -> Term:
        """Work out an angle [degrees]."""
        return self._line(label, symbols, what, what.as_number(ANGLE_DIGITS), "°", word)

    def length(self, label: str, symbols: str, what: Term, word: Word = WORDLESS) -> Term:
        """Work out a length [user's unit]."""
        result = what.as_number(LENGTH_DIGITS[self.unit], strip=True)
        return self._line(label, symbols, what, result, f" {self.unit}", word)

    def ratio(
        self, label: str, symbols: str, what: Term, tag: str = "", word: Word = WORDLESS
    ) -> Term:
        """Work out a plain number, or one with a unit of its own."""
        return self._line(label, symbols, what, what.as_number(ANGLE_DIGITS), tag, word)

    def fine(self, label: str, symbols: str, what: Term, word: Word = WORDLESS) -> Term:
        """Work out a small plain number."""
        return self._line(label, symbols, what, what.as_number(FINE_DIGITS), "", word)

    def tiny(self, label: str, symbols: str, what: Term) -> Term:
        """Work out a very small plain number."""
        return self._line(label, symbols, what, what.as_number(TINY_DIGITS), "", WORDLESS)

    def _line(
        self, label: str, symbols: str, what: Term, result: Term, tag: str, word: Word
    ) -> Term:
        parts = [symbols, what.text, f"{result.text}{tag}"]
        parts = [part for n, part in enumerate(parts) if part and (n != 1 or part != result.text)]
        meaning = word(result.value)
        ending = f" ({meaning})" if meaning else ""
        self.blocks.append(Paragraph(f"{label}: {' = '.join(parts)}{ending}", "note"))
        return result

    def size(self, metres: float) -> Term:
        """Return a length in the user's unit as a number."""
        value = metres / SCALES[self.unit]
        return number(value, LENGTH_DIGITS[self.unit], strip=True)

    def degrees(self, radians: float) -> Term:
        """Return an angle in degrees as a number."""
        return number(math.degrees(radians), ANGLE_DIGITS, strip=True)

    def mean(
        self, label: str, words: str, symbol: str, reading: Reading, word: Word = SIDE
    ) -> Term:
        """Return the mean of a repeated reading, its line printed; a single one as it is."""
        angle = is_angle(label)
        terms = []
        for count, value in enumerate(reading, start=1):
            name = f"{label}[{count}]" if len(reading) > 1 else label
            read = self.degrees(value) if angle else self.size(value)
            terms.append(Term(read.value, read.text, read.rank, {name: 1.0}))
        if len(terms) == 1:
            return terms[0]
        if angle:
            return self.angle(words, symbol, mean(terms), word)
        return self.length(words, symbol, mean(terms))

    def uncertainties(self) -> dict[str, float]:
        """Return the standard uncertainty of every reading, in the units of the working."""
        return {
            o.label: math.degrees(o.u) if is_angle(o.label) else o.u / SCALES[self.unit]
            for o in self.solved.network.observations
        }


def is_angle(label: str) -> bool:
    """Return whether the reading of this label is an angle."""
    return label.startswith(ANGLES)
