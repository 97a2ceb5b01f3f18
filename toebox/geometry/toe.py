"""Toe of a wheel as an angle, as a distance across a diameter, and as side-slip."""

from __future__ import annotations

from toebox.geometry._elementary import X, angle_of_sine, atan, sin, tan


def toe_distance(toe: X, across: X | float) -> X:
    """Return toe as a distance across a diameter.

    Two points at the ends of a horizontal diameter of the wheel differ by this much in their
    distance from any line along the car: the front one stands further in by it at toe-in.

    Parameters
    ----------
    toe : float or ndarray
        Toe of one wheel [rad], toe-in positive.
    across : float or ndarray
        Diameter across which it is taken [m], positive.

    Returns
    -------
    float or ndarray
        Toe as a distance [m], toe-in positive.

    Notes
    -----
    ``distance = across * sin(toe)``, exact for every toe and camber, because the horizontal
    diameter of a cambered wheel is still horizontal. For the total toe of an axle add the
    distances of its two wheels. Static toe: ISO 8855:2011, 7.1.6; the distance form is common
    practice, no published source.

    Examples
    --------
    A toe-in of 0.15 degrees across 23 3/4 in (0.60325 m) is a little above 1/16 in:

    >>> from math import radians
    >>> round(toe_distance(radians(0.15), 0.60325) * 1000, 4)
    1.5793
    """
    return across * sin(toe)


def toe_angle(distance: X, across: X | float) -> X:
    """Return toe as an angle from toe as a distance across a diameter.

    Parameters
    ----------
    distance : float or ndarray
        Toe as a distance [m], toe-in positive, not larger than `across` either way.
    across : float or ndarray
        Diameter across which it was taken [m], positive.

    Returns
    -------
    float or ndarray
        Toe of one wheel [rad], toe-in positive.

    Raises
    ------
    ValueError
        If `across` is not positive, or the distance is larger than it.

    Notes
    -----
    The inverse of `toe_distance`: ``asin(distance / across)``. For a distance that is the total
    toe of an axle use `toebox.geometry.box.total_toe_from_tape`, which differs from this by
    less than 1.6e-4 of the toe up to 2 degrees.

    Examples
    --------
    >>> from math import degrees
    >>> round(degrees(toe_angle(0.0015875, 0.60325)), 5)
    0.15078
    """
    return angle_of_sine(distance, across)


def side_slip(toe: X) -> X:
    """Return the distance that a freely sliding wheel moves sideways for each metre travelled.

    Parameters
    ----------
    toe : float or ndarray
        Toe of one wheel, or total toe of an axle [rad], toe-in positive, within +/-pi/2.

    Returns
    -------
    float or ndarray
        Sideways distance per distance travelled along the car [-], positive at toe-in.

    Notes
    -----
    A plate that slides freely sideways under a wheel moves so that the tyre sees no motion
    along its own axle. While the car travels ``D`` along its centreline, the tread then moves
    ``D`` forwards and ``D * tan(toe)`` sideways: hence the tangent. The table of
    49 CFR 570.7(d)(1) (feet per mile) divides total toe-in by the tyre diameter, which is the
    sine. Tangent and sine differ by ``toe**2 / 2`` of the value: 1.5e-4 of it at 1 degree, far
    below the printed digits of that table.

    Examples
    --------
    One degree of toe in metres per kilometre:

    >>> from math import radians
    >>> round(side_slip(radians(1.0)) * 1000, 3)
    17.455
    """
    return tan(toe)


def toe_from_side_slip(slip: X) -> X:
    """Return toe from side-slip, the inverse of `side_slip`.

    Parameters
    ----------
    slip : float or ndarray
        Sideways distance per distance travelled along the car [-], positive at toe-in.

    Returns
    -------
    float or ndarray
        Toe [rad], toe-in positive: of one wheel if the slip is of one wheel, otherwise total.

    Notes
    -----
    ``atan(slip)``; see `side_slip` for the choice of the tangent and 49 CFR 570.7(d)(1).

    Examples
    --------
    >>> from math import degrees
    >>> round(degrees(toe_from_side_slip(25.0 / 5280.0)), 5)  # 25 feet per mile
    0.27128
    """
    return atan(slip)
