"""Arithmetic that shows itself: a number, how it is written, and what it depends on.

A `Term` is worked out from numbers as they are printed, so whoever follows the printed line with
a pocket calculator meets the same result. Angles are degrees. Beside its value a term carries its
slopes, its derivatives by the readings (GUM 5.1.2), from which its uncertainty follows.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from toebox.units import write

Slopes = Mapping[str, float]
SUM, PRODUCT, ATOM = 1, 2, 3  # how tightly a text holds together


@dataclass(frozen=True, slots=True)
class Term:
    """A value, the text that gives it, and its derivatives by the readings."""

    value: float
    text: str
    rank: int = ATOM
    slopes: Slopes = field(default_factory=dict)

    def __add__(self, other: Term | float) -> Term:
        """Add."""
        b = term(other)
        slopes = _mixed((1.0, self), (1.0, b))
        return Term(self.value + b.value, f"{self.text} + {_behind(b, SUM)}", SUM, slopes)

    def __sub__(self, other: Term | float) -> Term:
        """Subtract."""
        b = term(other)
        slopes = _mixed((1.0, self), (-1.0, b))
        return Term(self.value - b.value, f"{self.text} - {_behind(b, PRODUCT)}", SUM, slopes)

    def __mul__(self, other: Term | float) -> Term:
        """Multiply."""
        b = term(other)
        slopes = _mixed((b.value, self), (self.value, b))
        text = f"{_front(self)} x {_behind(b, PRODUCT)}"
        return Term(self.value * b.value, text, PRODUCT, slopes)

    def __rmul__(self, other: float) -> Term:
        """Multiply."""
        return term(other) * self

    def __rtruediv__(self, other: float) -> Term:
        """Divide."""
        return term(other) / self

    def __truediv__(self, other: Term | float) -> Term:
        """Divide."""
        b = term(other)
        slopes = _mixed((1.0 / b.value, self), (-self.value / b.value**2, b))
        text = f"{_front(self)} / {_behind(b, ATOM)}"
        return Term(self.value / b.value, text, PRODUCT, slopes)

    def depending(self, slopes: Slopes) -> Term:
        """Return the same term with further slopes: what was taken as zero."""
        return replace(self, slopes=_mixed((1.0, self), (1.0, Term(0.0, "", ATOM, slopes))))

    def as_number(self, digits: int, *, strip: bool = False) -> Term:
        """Return the term as the number that is printed for it."""
        return replace(number(self.value, digits, strip=strip), slopes=self.slopes)


def term(value: Term | float) -> Term:
    """Return a plain number as a term."""
    return value if isinstance(value, Term) else Term(value, f"{value:.12g}")


def number(value: float, digits: int, *, strip: bool = False, slopes: Slopes | None = None) -> Term:
    """Return a number rounded to what is printed.

    Parameters
    ----------
    value : float
        Any number, in the unit shown [-].
    digits : int
        Digits after the point.
    strip : bool
        Whether zeros at the end are left out.
    slopes : mapping of str to float, optional
        Derivatives by the readings [-].

    Returns
    -------
    Term
        Its value is exactly what its text says.
    """
    text = write.signed(value, digits)
    if strip and "." in text:
        text = text.rstrip("0").rstrip(".")
    return Term(float(text), text, ATOM, slopes or {})


RADIAN = number(math.degrees(1.0), 5)  # [degrees]


def sin(angle: Term) -> Term:
    """Return the sine of an angle in degrees."""
    radians = math.radians(angle.value)
    return _function("sin", math.sin(radians), math.radians(math.cos(radians)), angle)


def cos(angle: Term) -> Term:
    """Return the cosine of an angle in degrees."""
    radians = math.radians(angle.value)
    return _function("cos", math.cos(radians), -math.radians(math.sin(radians)), angle)


def tan(angle: Term) -> Term:
    """Return the tangent of an angle in degrees."""
    radians = math.radians(angle.value)
    slope = math.radians(1.0 / math.cos(radians) ** 2)
    return _function("tan", math.tan(radians), slope, angle)


def asin(ratio: Term) -> Term:
    """Return the angle, in degrees, that has this sine."""
    slope = math.degrees(1.0 / math.sqrt(1.0 - ratio.value**2))
    return _function("asin", math.degrees(math.asin(ratio.value)), slope, ratio)


def atan(ratio: Term) -> Term:
    """Return the angle, in degrees, that has this tangent."""
    slope = math.degrees(1.0 / (1.0 + ratio.value**2))
    return _function("atan", math.degrees(math.atan(ratio.value)), slope, ratio)


def sqrt(square: Term) -> Term:
    """Return the square root."""
    root = math.sqrt(square.value)
    return _function("sqrt", root, 0.5 / root if root else 0.0, square)


def _function(name: str, value: float, slope: float, argument: Term) -> Term:
    return Term(value, f"{name}({argument.text})", ATOM, _mixed((slope, argument)))


def mean(terms: list[Term]) -> Term:
    """Return the mean of terms; a single one stays as it is."""
    total = terms[0]
    for one in terms[1:]:
        total = total + one
    return total / len(terms) if len(terms) > 1 else total


def _front(a: Term) -> str:
    return f"({a.text})" if a.rank == SUM else a.text


def _behind(b: Term, least: int) -> str:
    """Return a text that stands behind an operator, in brackets where it must."""
    return f"({b.text})" if b.rank < least or b.text.startswith("-") else b.text


def _mixed(*parts: tuple[float, Term]) -> Slopes:
    """Return the slopes of a sum of terms with factors."""
    slopes: dict[str, float] = {}
    for factor, part in parts:
        for label, slope in part.slopes.items():
            slopes[label] = slopes.get(label, 0.0) + factor * slope
    return slopes


def covariance(a: Term, b: Term, u: Mapping[str, float]) -> float:
    """Return the covariance of two terms (GUM 5.2.2, readings uncorrelated).

    Parameters
    ----------
    a, b : Term
        Two terms.
    u : mapping of str to float
        Standard uncertainty of each reading, in the unit shown [-].

    Returns
    -------
    float
        In the product of their units [-].
    """
    both = a.slopes.keys() & b.slopes.keys()
    return sum(a.slopes[label] * b.slopes[label] * u[label] ** 2 for label in both)


def uncertainty(a: Term, u: Mapping[str, float]) -> float:
    """Return the standard uncertainty of a term (GUM 5.1.2).

    Parameters
    ----------
    a : Term
        A term.
    u : mapping of str to float
        Standard uncertainty of each reading, in the unit shown [-].

    Returns
    -------
    float
        In the term's unit [-].
    """
    return math.sqrt(covariance(a, a, u))
