"""String readings of a whole wheel or axle in another unit than the rest: 101 mm as 10.1 cm.

Both edges are then too small or too large alike, so that neither differs from its twin at the
same wheel. What tells is how far the wheels stand from the strings: in the right unit they agree
far better. The limits are common practice, no published source: a box that stands crooked, or
axles of very different track, do not agree better in another unit.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from toebox.job.lines import Path
from toebox.job.model import AXLES, SIDES, WHEELS, WheelStrings

_FACTORS = {10.0: "centimetres for millimetres", 25.4: "inches for millimetres"}
_PAIRS = (*((f"{side}_front", f"{side}_rear") for side in SIDES),
          *((f"left_{axle}", f"right_{axle}") for axle in AXLES))  # fmt: skip
_BETTER, _BETTER_OF_TWO = 5.0, 8.0  # so many times nearer than as they stand [-]
_LEAST = 0.015  # nearer together nothing is doubted [m]
# A factor of 10 changes at least one difference of logarithms in two by log 10. To be _BETTER
# times nearer after that, they must have been this far apart: most jobs end here.
_LEAST_RATIO = math.log(10.0) / math.sqrt(2.0) / (1.0 + 1.0 / _BETTER)


class _Guess(NamedTuple):
    """What was perhaps read in another unit: readings, factor, and how well all then agree."""

    wheels: tuple[str, ...]
    factor: float
    spread: float


def another_unit(strings: Mapping[str, WheelStrings]) -> Iterator[tuple[Path, str]]:
    """Doubt a wheel or an axle that agrees with the rest far better in another unit.

    Parameters
    ----------
    strings : mapping of str to WheelStrings
        String readings by wheel [m].

    Yields
    ------
    tuple
        Path within the pass and what is doubted, once at the most.
    """
    gaps = {
        wheel: gap
        for wheel in WHEELS
        if wheel in strings and (gap := strings[wheel].gap) is not None
    }
    before = _spread(_logs(gaps))
    if before < _LEAST_RATIO or _spread(gaps) < _LEAST:
        return
    better = _BETTER if len(gaps) > 2 else _BETTER_OF_TWO
    best = min(_guesses(gaps), key=lambda guess: guess.spread)
    if best.spread * better < before:
        yield _told(best)


def _logs(gaps: Mapping[str, float]) -> dict[str, float]:
    """Return logarithms of the gaps: their differences are ratios, whatever the unit."""
    return {wheel: math.log(gap) for wheel, gap in gaps.items()}


def _spread(values: Mapping[str, float]) -> float:
    """Return the root mean square of the differences from side to side and axle to axle."""
    apart = [values[one] - values[other] for one, other in _PAIRS if {one, other} <= set(values)]
    return math.hypot(*apart) / math.sqrt(len(apart) or 1)


def _guesses(gaps: Mapping[str, float]) -> Iterator[_Guess]:
    """Yield every wheel, and every axle beside another one, as it would be in another unit."""
    for factor in _FACTORS:
        for wheel in gaps:
            for one in (factor, 1.0 / factor) if len(gaps) > 2 else (factor,):
                yield _guess(gaps, (wheel,), one)
        for axle in AXLES if len(gaps) == len(WHEELS) else ():
            yield _guess(gaps, tuple(f"{side}_{axle}" for side in SIDES), factor)


def _guess(gaps: Mapping[str, float], wheels: tuple[str, ...], factor: float) -> _Guess:
    scaled = {wheel: gap * (factor if wheel in wheels else 1.0) for wheel, gap in gaps.items()}
    return _Guess(wheels, factor, _spread(_logs(scaled)))


def _told(guess: _Guess) -> tuple[Path, str]:
    times, size = (guess.factor, "large") if guess.factor > 1.0 else (1.0 / guess.factor, "small")
    times = min(_FACTORS, key=lambda factor: abs(factor - times))
    far = f"far better if {times:g} times as {size}"
    unit = f"read in another unit ({_FACTORS[times]})?"
    if len(guess.wheels) == 1:
        path: Path = ("string", guess.wheels[0])
        return path, f"agrees with the other wheels {far}; was it {unit}"
    axle = guess.wheels[0].partition("_")[2]
    other = next(name for name in AXLES if name != axle)
    return ("string",), f"the {axle} wheels agree with the {other} ones {far}; was one axle {unit}"
