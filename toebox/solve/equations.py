"""Measurement equations: what each reading should be for given unknowns.

Signs and symbols are those of the closed forms in `toebox.geometry`: toe positive inwards,
box yaw positive when the car points left of the box axis, taper positive opening forwards.
Every equation names its unknowns and returns its value with its derivatives by them alone: most
of the Jacobian is zero.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple, Protocol

Terms = tuple[tuple[int, float], ...]

# Half-width of a rectangular distribution to standard uncertainty (GUM 4.3.7).
RECTANGULAR = 1.0 / math.sqrt(3.0)
# Peak to peak of a sine of unknown phase to standard uncertainty (arcsine distribution).
TOTAL_RUNOUT = 1.0 / (2.0 * math.sqrt(2.0))
LEAST_U = 1e-6  # of an instrument stated as perfect: a micrometre, a microradian [m], [rad]


class Equation(Protocol):
    """What a reading should be."""

    @property
    def unknowns(self) -> tuple[int, ...]:
        """Return the unknowns that it speaks of; one may occur twice."""
        ...

    def value(self, x: Sequence[float], slopes: list[float]) -> float:
        """Return the reading implied by unknowns `x`; append its derivative by each of its own."""
        ...


class Linear(NamedTuple):
    """Sum of unknowns with factors: hub depth, pseudo-readings, wheelbases, road test."""

    terms: Terms

    @property
    def unknowns(self) -> tuple[int, ...]:
        """Return the unknowns that it speaks of."""
        return indices(self.terms)

    def value(self, x: Sequence[float], slopes: list[float]) -> float:
        """Return the sum."""
        return add_terms(self.terms, x, slopes)


class RimEdge(NamedTuple):
    """String to one edge of a rim: ``A + end ((rim/2) sin a + wobble)``, ``a = t + o - side p``.

    `side` is +1 on the left and -1 on the right, `end` +1 at the front edge and -1 at the rear;
    ``A = gap - side shift`` and ``sin p = (shift_front - shift_rear) / wheelbase``. What `wobble`
    gives one edge it takes from the other. `steered` adds to `a` what a steering wheel that was
    clamped off straight turns a front wheel by.
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
    wobble: Terms = ()
    steered: Terms = ()

    @property
    def unknowns(self) -> tuple[int, ...]:
        """Return the unknowns that it speaks of; one of the shifts occurs twice."""
        own = (self.toe, self.taper, self.shift_front, self.shift_rear, self.gap, self.shift)
        return (*own, *indices(self.wobble), *indices(self.steered))

    def value(self, x: Sequence[float], slopes: list[float]) -> float:
        """Return the distance from the string [m]; ValueError where the car cannot lie so."""
        side, end, half_rim, wheelbase, toe, taper, gap, shift, front, rear, wobble, steered = self
        sine = (x[front] - x[rear]) / wheelbase
        if abs(sine) >= 1.0:
            raise ValueError("the string readings would put the car across its own box")
        angle = x[toe] + x[taper] - side * math.asin(sine)
        for index, factor in steered:
            angle += factor * x[index]
        reach = half_rim * math.sin(angle)
        for index, factor in wobble:
            reach += factor * x[index]
        by_angle = end * half_rim * math.cos(angle)
        by_shift = -side * by_angle / (wheelbase * math.sqrt(1.0 - sine * sine))
        slopes += (by_angle, by_angle, by_shift, -by_shift, 1.0, -side)
        slopes += [end * factor for _, factor in wobble]
        slopes += [by_angle * factor for _, factor in steered]
        return x[gap] - side * x[shift] + end * reach


class TapeEdge(NamedTuple):
    """Tape between the wheels: ``w - end (across/2) (sin t_left + sin t_right)``."""

    end: float
    half_across: float
    width: int
    toe_left: int
    toe_right: int

    @property
    def unknowns(self) -> tuple[int, ...]:
        """Return the unknowns that it speaks of."""
        return (self.width, self.toe_left, self.toe_right)

    def value(self, x: Sequence[float], slopes: list[float]) -> float:
        """Return the tape reading [m]."""
        lever, left, right = -self.end * self.half_across, x[self.toe_left], x[self.toe_right]
        slopes += (1.0, lever * math.cos(left), lever * math.cos(right))
        return x[self.width] + lever * math.sin(left) + lever * math.sin(right)


class BarWidth(NamedTuple):
    """Width between the strings at one bar: ``m + end spacing tan o``."""

    end: float
    spacing: float
    middle: int
    taper: int

    @property
    def unknowns(self) -> tuple[int, ...]:
        """Return the unknowns that it speaks of."""
        return (self.middle, self.taper)

    def value(self, x: Sequence[float], slopes: list[float]) -> float:
        """Return the width [m]."""
        tangent = math.tan(x[self.taper])
        slopes += (1.0, self.end * self.spacing * (1.0 + tangent * tangent))
        return x[self.middle] + self.end * self.spacing * tangent


def indices(terms: Terms) -> tuple[int, ...]:
    """Return the unknowns of a sum.

    Parameters
    ----------
    terms : sequence of pairs
        Index of each unknown, and its factor [-].

    Returns
    -------
    tuple of int
        The indices, in order.
    """
    return tuple([index for index, _ in terms])


def add_terms(terms: Terms, x: Sequence[float], slopes: list[float]) -> float:
    """Return a sum of unknowns with factors; append the factors, its derivatives.

    Parameters
    ----------
    terms : sequence of pairs
        Index of each unknown, and its factor [-].
    x : sequence of float
        All unknowns [-].
    slopes : list of float
        Takes up the factors [-].

    Returns
    -------
    float
        The sum [-].
    """
    total = 0.0
    for index, factor in terms:
        slopes.append(factor)
        total += factor * x[index]
    return total
