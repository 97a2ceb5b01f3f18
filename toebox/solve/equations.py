"""Measurement equations: what each reading should be for given unknowns.

Signs and symbols are those of the closed forms in `toebox.geometry`: toe positive inwards,
box yaw positive when the car points left of the box axis, taper positive opening forwards.
Every equation returns its value and adds its derivatives to a row of the Jacobian.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from toebox.estimate import Array

Terms = tuple[tuple[int, float], ...]

# Half-width of a rectangular distribution to standard uncertainty (GUM 4.3.7).
RECTANGULAR = 1.0 / math.sqrt(3.0)
# Peak to peak of a sine of unknown phase to standard uncertainty (arcsine distribution).
TOTAL_RUNOUT = 1.0 / (2.0 * math.sqrt(2.0))


class Equation(Protocol):
    """What a reading should be."""

    def value(self, x: Sequence[float], row: Array) -> float:
        """Return the reading implied by unknowns `x`; add its derivatives to `row`."""
        ...


@dataclass(frozen=True, slots=True)
class Linear:
    """Sum of unknowns with factors: hub depth, pseudo-readings, wheelbases, road test."""

    terms: Terms

    def value(self, x: Sequence[float], row: Array) -> float:
        """Return the sum."""
        total = 0.0
        for index, factor in self.terms:
            row[index] += factor
            total += factor * x[index]
        return total


@dataclass(frozen=True, slots=True)
class RimEdge:
    """String to one edge of a rim: ``A + end (rim/2) sin a + wobble``, ``a = t + o - side p``.

    `side` is +1 on the left and -1 on the right, `end` +1 at the front edge and -1 at the rear;
    ``A = gap - side shift`` and ``sin p = (shift_front - shift_rear) / wheelbase``.
    """

    side: float
    end: float
    half_rim: float
    wheelbase: float
    toe: int
    taper: int
    gap: int
    shift: int
    shift_front: int
    shift_rear: int
    wobble: Terms

    def value(self, x: Sequence[float], row: Array) -> float:
        """Return the distance from the string [m]; ValueError where the car cannot lie so."""
        sine = (x[self.shift_front] - x[self.shift_rear]) / self.wheelbase
        if abs(sine) >= 1.0:
            raise ValueError("the string readings would put the car across its own box")
        angle = x[self.toe] + x[self.taper] - self.side * math.asin(sine)
        by_angle = self.end * self.half_rim * math.cos(angle)
        by_shift = -self.side * by_angle / (self.wheelbase * math.sqrt(1.0 - sine * sine))
        row[self.toe] += by_angle
        row[self.taper] += by_angle
        row[self.shift_front] += by_shift
        row[self.shift_rear] -= by_shift
        row[self.gap] += 1.0
        row[self.shift] -= self.side
        total = x[self.gap] - self.side * x[self.shift]
        total += self.end * self.half_rim * math.sin(angle)
        for index, factor in self.wobble:
            row[index] += factor
            total += factor * x[index]
        return total


@dataclass(frozen=True, slots=True)
class TapeEdge:
    """Tape between the wheels: ``w - end (across/2) (sin t_left + sin t_right)``."""

    end: float
    half_across: float
    width: int
    toe_left: int
    toe_right: int

    def value(self, x: Sequence[float], row: Array) -> float:
        """Return the tape reading [m]."""
        lever = -self.end * self.half_across
        row[self.width] += 1.0
        total = x[self.width]
        for toe in (self.toe_left, self.toe_right):
            row[toe] += lever * math.cos(x[toe])
            total += lever * math.sin(x[toe])
        return total


@dataclass(frozen=True, slots=True)
class BarWidth:
    """Width between the strings at one bar: ``m + end spacing tan o``."""

    end: float
    spacing: float
    middle: int
    taper: int

    def value(self, x: Sequence[float], row: Array) -> float:
        """Return the width [m]."""
        tangent = math.tan(x[self.taper])
        row[self.middle] += 1.0
        row[self.taper] += self.end * self.spacing * (1.0 + tangent * tangent)
        return x[self.middle] + self.end * self.spacing * tangent
