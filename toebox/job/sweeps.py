"""Sweeps and casters that no car has, as a sign turned round or stops too near together make them.

The limits are common practice, no published source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from toebox.job.lines import Path
from toebox.job.model import SweepStop, WheelGauge

TOO_NEAR = "the stops lie within 5 degrees of steer; caster needs them far apart"

_LEAST_SWEEP = math.radians(5.0)
_LEAST_CASTER, _CASTER_SPREAD = math.radians(-2.0), math.radians(4.0)
_USUAL_INCLINATION = math.radians(12.0)
_CAMBER_OFF = math.radians(0.2)  # how far a camber that is read may be off
_SIGNS = "steer is positive outwards at either wheel, camber with the top out"
_STEER = f"{_SIGNS}; is one turned round?"


def too_near(sweep: Sequence[SweepStop]) -> bool:
    """Return whether the stops of a sweep lie too near together to tell caster."""
    steers = [stop.steer for stop in sweep]
    return max(steers) - min(steers) < _LEAST_SWEEP


def of_caster(gauges: Mapping[str, WheelGauge]) -> Iterator[tuple[Path, str]]:
    """Doubt casters and inclinations that no car has.

    Parameters
    ----------
    gauges : mapping of str to WheelGauge
        Inclinometer readings by wheel [rad].

    Yields
    ------
    tuple
        Path within the pass and what is doubted.
    """
    for wheel, gauge in gauges.items():
        for sentence in of_axis(gauge):
            yield ("inclinometer", wheel), sentence
    found = [caster for gauge in gauges.values() if (caster := _caster(gauge)) is not None]
    if len(found) == 2 and max(found) - min(found) > _CASTER_SPREAD:
        sentence = "caster differs by more than 4 degrees from side to side"
        yield ("inclinometer",), f"{sentence}; {_STEER}"


def of_axis(gauge: WheelGauge) -> Iterator[str]:
    """Doubt the steering axis of one wheel.

    Parameters
    ----------
    gauge : WheelGauge
        Its sweep, or caster as a gauge showed it [rad].

    Yields
    ------
    str
        What is doubted, once at the most.
    """
    caster = _caster(gauge)
    if caster is not None and caster < _LEAST_CASTER:
        degrees = f"{math.degrees(caster):.0f}".replace("-", "−")
        yield f"caster would be about {degrees} degrees; {_STEER}"
    elif (outwards := _leans_outwards(gauge.sweep)) is not None:
        lean = f"lean outwards by about {math.degrees(outwards):.0f} degrees"
        yield f"the steering axis would {lean}; {_SIGNS}; is one turned round, or both?"


def _caster(gauge: WheelGauge) -> float | None:
    """Return caster roughly: as shown, or by the outermost stops of a sweep; None without both."""
    if gauge.caster:
        return sum(gauge.caster) / len(gauge.caster)
    if not gauge.sweep or too_near(gauge.sweep):
        return None
    (inner, top_in), (outer, top_out) = min(gauge.sweep), max(gauge.sweep)
    lean = math.tan(_USUAL_INCLINATION) * (math.cos(outer) - math.cos(inner))
    rise = math.sin(top_out) - math.sin(top_in) + lean
    return math.atan(rise / (math.sin(outer) - math.sin(inner)))


def _leans_outwards(sweep: tuple[SweepStop, ...]) -> float | None:
    """Return how far the axis would lean outwards, by three stops; None where it need not.

    Without its constant, the equation of a sweep (`geometry.sweep`) at the outermost stops is two
    equations for caster and inclination.
    """
    if len(sweep) < 3 or too_near(sweep):
        return None
    ends = min(sweep), max(sweep)
    middle = min(sweep, key=lambda stop: abs(stop.steer - (ends[0].steer + ends[1].steer) / 2.0))
    (a, b, c), (d, e, f) = (_less(stop, middle) for stop in ends)
    whole = a * e - b * d
    if middle in ends or not whole:
        return None
    inclination = (a * f - c * d) / whole
    unsure = _CAMBER_OFF * math.hypot(a, d, a - d) / abs(whole)
    return math.atan(-inclination) if inclination < -unsure else None


def _less(stop: SweepStop, middle: SweepStop) -> tuple[float, float, float]:
    """Return factors of tan(caster) and tan(inclination), and their sum, less the middle's."""
    across, middle_across = math.cos(stop.camber), math.cos(middle.camber)
    return (
        math.sin(stop.steer) * across - math.sin(middle.steer) * middle_across,
        math.cos(middle.steer) * middle_across - math.cos(stop.steer) * across,
        math.sin(stop.camber) - math.sin(middle.camber),
    )
