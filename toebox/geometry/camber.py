"""Camber from inclinometer readings: repeats, a turned gauge, a sloping floor.

Of these formulas commands call `gauge_reading` alone; the others are the steps by hand, for
reference, which tests hold against rigid bodies as they do the solver.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import fmean

from toebox.geometry._elementary import X, angle_of_sine, side_sign


def mean_camber(readings: Sequence[float]) -> float:
    """Return camber from the same reading repeated with the wheel turned by equal steps.

    Parameters
    ----------
    readings : sequence of float
        Readings at equal steps of a full revolution of the wheel [rad], top out positive; two
        readings: valve up and valve down. One reading stands for itself.

    Returns
    -------
    float
        Camber [rad], top out positive.

    Raises
    ------
    ValueError
        If there is no reading.

    Notes
    -----
    A rim that wobbles adds ``w * cos(v + v0)`` at valve position ``v``: this sums to zero over
    two or more equal steps of a revolution. Common practice, no published source. Camber
    positive with the top outwards: US Army ordnance course OD1007.

    Examples
    --------
    >>> round(mean_camber([0.021, 0.019]), 6)
    0.02
    """
    if not readings:
        raise ValueError("no camber reading: wanted at least one")
    return fmean(readings)


def turned_gauge(camber: X, camber_turned: X | float) -> tuple[X, X]:
    """Return camber free of the gauge's zero error, and that error.

    Parameters
    ----------
    camber : float or ndarray
        Camber as read [rad], top out positive.
    camber_turned : float or ndarray
        Camber as read with the gauge turned end for end [rad], also written down with top out
        positive, whatever sign the display then shows.

    Returns
    -------
    camber : float or ndarray
        Camber [rad], top out positive.
    zero_error : float or ndarray
        What the gauge showed too much before it was turned [rad], top out positive. To correct
        a later reading taken the same way round, subtract it.

    Notes
    -----
    A gauge with zero error ``z`` reads ``camber + z`` one way round and ``camber - z`` the other:
    half the sum and half the difference. Reversal measurement; common practice, no published
    source.

    Examples
    --------
    >>> camber, zero_error = turned_gauge(-0.018, -0.022)
    >>> round(camber, 6), round(zero_error, 6)
    (-0.02, 0.002)
    """
    return (camber + camber_turned) / 2.0, (camber - camber_turned) / 2.0


def floor_slope(floor: X, track: X | float) -> X:
    """Return the cross-slope of the floor under an axle.

    Parameters
    ----------
    floor : float or ndarray
        How far the floor under the left wheel stands above that under the right one [m].
    track : float or ndarray
        Track of the axle, measured along the floor [m], positive.

    Returns
    -------
    float or ndarray
        Angle by which the car leans to the right [rad], positive where the left side is higher.

    Raises
    ------
    ValueError
        If the track is not positive, or the heights differ by more than it.

    Examples
    --------
    >>> from math import degrees
    >>> round(degrees(floor_slope(0.010, 1.5)), 4)
    0.382
    """
    return angle_of_sine(floor, track)


def camber_to_floor(camber: X, slope: X | float, side: str) -> X:
    """Return camber relative to the floor from camber relative to the vertical.

    Parameters
    ----------
    camber : float or ndarray
        Camber as an inclinometer shows it, relative to the vertical [rad], top out positive.
    slope : float or ndarray
        Cross-slope of the floor [rad], positive where the left side is higher (`floor_slope`).
    side : str
        ``"left"`` or ``"right"``.

    Returns
    -------
    float or ndarray
        Camber relative to the floor [rad], top out positive.

    Raises
    ------
    ValueError
        If the side is neither.

    Notes
    -----
    Left ``camber + slope``, right ``camber - slope``. With its left side higher the car leans to
    the right, which tips the top of the left wheel inwards and that of the right wheel outwards
    by the slope. Exact for a wheel without toe; toe ``t`` leaves ``slope * t**2 / 2``, below
    1e-3 of the slope up to 2 degrees.

    Examples
    --------
    >>> round(camber_to_floor(-0.020, 0.005, "left"), 6)
    -0.015
    >>> round(camber_to_floor(-0.020, 0.005, "right"), 6)
    -0.025
    """
    return camber + side_sign(side) * slope


def cross_difference(left: X, right: X | float) -> X:
    """Return cross-camber or cross-caster: left minus right.

    Parameters
    ----------
    left : float or ndarray
        Camber, or caster, on the left side [rad].
    right : float or ndarray
        The same on the right side [rad].

    Returns
    -------
    float or ndarray
        Left minus right [rad]; positive where the left side has more.

    Notes
    -----
    A car drifts towards the side with more positive camber and towards the side with less
    positive caster; the crown of a road masks both. Sign and effect are common practice, no
    published source.

    Examples
    --------
    >>> round(cross_difference(-0.010, -0.014), 6)
    0.004
    """
    return left - right


def gauge_reading(
    camber: float, steer: float, across: float, along: float, side: str
) -> tuple[float, tuple[float, float, float, float]]:
    """Return what an inclinometer shows at a wheel that stands on a sloping floor.

    Parameters
    ----------
    camber : float
        Camber relative to the floor [rad], top out positive, within a right angle.
    steer : float
        Steer angle of the wheel about the floor's normal [rad], outwards positive.
    across : float
        Sine of the floor's slope across the car [-], positive where the left side is higher.
    along : float
        Sine of the floor's slope along the car [-], positive where the front is higher.
    side : str
        ``"left"`` or ``"right"``.

    Returns
    -------
    reading : float
        Camber relative to the vertical [rad], top out positive.
    derivatives : tuple of float
        Of the reading by camber, steer, across and along [-].

    Raises
    ------
    ValueError
        If the side is neither, or the floor slopes beyond a right angle.

    Notes
    -----
    Exact in three dimensions. The outward normal of a wheel is ``n = (-sin d cos g,
    s cos d cos g, -sin g)`` with steer ``d``, camber ``g`` and ``s`` +1 left, -1 right; the
    vertical in the axes of the floor is ``v = (along, across, sqrt(1 - along**2 -
    across**2))``; the gauge shows ``asin(-n . v)``. A slope along the car leaves camber alone
    and adds itself to the caster found by a sweep.

    Examples
    --------
    >>> from math import radians, sin
    >>> reading, _ = gauge_reading(-0.015, 0.0, sin(0.005), 0.0, "left")
    >>> round(reading, 9)
    -0.02
    """
    s = side_sign(side)
    upright = math.sqrt(1.0 - along * along - across * across)
    sin_d, cos_d = math.sin(steer), math.cos(steer)
    sin_g, cos_g = math.sin(camber), math.cos(camber)
    sine = sin_d * cos_g * along - s * cos_d * cos_g * across + sin_g * upright
    sine = max(-1.0, min(1.0, sine))
    by_camber = -sin_d * sin_g * along + s * cos_d * sin_g * across + cos_g * upright
    by_steer = cos_d * cos_g * along + s * sin_d * cos_g * across
    by_across = -s * cos_d * cos_g - sin_g * across / upright
    by_along = sin_d * cos_g - sin_g * along / upright
    slope = 1.0 / math.sqrt(max(1.0 - sine * sine, 1e-12))
    return math.asin(sine), (
        by_camber * slope,
        by_steer * slope,
        by_across * slope,
        by_along * slope,
    )
