"""Sine and its kin for floats and arrays alike; a float never costs an import of numpy."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Protocol, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

X = TypeVar("X", float, "NDArray[np.float64]")


class _Elementwise(Protocol):
    """A function of one number, or of each number of an array."""

    def __call__(self, x: X, /) -> X: ...


def _lift(scalar: Callable[[float], float], name: str) -> _Elementwise:
    """Pair a function of `math` with the numpy function called `name`."""

    def elementwise(x: Any, /) -> Any:
        if isinstance(x, float | int):
            return scalar(x)
        import numpy as np

        return getattr(np, name)(x)

    return elementwise


sin = _lift(math.sin, "sin")
cos = _lift(math.cos, "cos")
tan = _lift(math.tan, "tan")
atan = _lift(math.atan, "arctan")


def angle_of_sine(opposite: X, hypotenuse: X | float) -> X:
    """Return the angle whose sine is `opposite / hypotenuse`; refuse what no triangle has."""
    if not _everywhere((hypotenuse > 0) & (abs(opposite) <= hypotenuse)):
        raise ValueError(
            f"{opposite} across {hypotenuse}: wanted a length above zero to take it across, "
            "at least as large as the distance"
        )
    return _asin(opposite / hypotenuse)


def require_positive(name: str, value: X | float) -> None:
    """Raise a ValueError that names `value` unless it is positive and finite throughout."""
    if not _everywhere((value > 0) & (value < math.inf)):
        raise ValueError(f"{name} {value}: wanted a number above zero")


def side_sign(side: str) -> int:
    """Return +1 for ``"left"``, -1 for ``"right"``."""
    if side not in ("left", "right"):
        raise ValueError(f"side {side!r}: wanted 'left' or 'right'")
    return 1 if side == "left" else -1


def _everywhere(condition: Any) -> bool:
    """Return whether a truth value, or each one of an array, is true."""
    return bool(condition if isinstance(condition, bool) else condition.all())


_asin = _lift(math.asin, "arcsin")
