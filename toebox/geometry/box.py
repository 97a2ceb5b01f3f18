"""Wheels beside two strings, and the tape across an axle.

Two strings run along the car at hub height, one on each side, held by a bar at each end: the
box. The car may stand askew in it (yaw), off its middle (shift), and the strings may not be
parallel (taper). Readings are taken square to the string. For one wheel, with ``a`` the angle
between the plane of its rim and the string:

============ ======================= ==========================
reading      left wheel              right wheel
============ ======================= ==========================
``a``        toe + taper - yaw       toe + taper + yaw
rim centre   gap - shift             gap + shift
front edge   centre + rim/2 * sin a  centre + rim/2 * sin a
rear edge    centre - rim/2 * sin a  centre - rim/2 * sin a
============ ======================= ==========================

Camber does not enter: the horizontal diameter of a cambered rim is still horizontal.

Of these formulas commands call `total_toe_from_tape` alone: the solver weighs all readings at once,
and these are what tests hold it to, each reading at its place.
"""

from __future__ import annotations

from toebox.geometry._elementary import (
    X,
    angle_of_sine,
    atan,
    require_positive,
    side_sign,
    sin,
)


def string_angle(front: X, rear: X | float, rim: X | float) -> X:
    """Return the angle between the plane of a rim and the string beside it.

    Parameters
    ----------
    front : float or ndarray
        String to the front edge of the rim, square to the string, at hub height [m].
    rear : float or ndarray
        String to the rear edge of the rim, likewise [m].
    rim : float or ndarray
        Distance between these two points of the rim [m], positive.

    Returns
    -------
    float or ndarray
        Angle [rad], positive where the front of the wheel is turned away from the string, that
        is, towards the car: toe-in beside a string parallel to the centreline.

    Raises
    ------
    ValueError
        If `rim` is not positive, or the readings differ by more than it.

    Notes
    -----
    ``asin((front - rear) / rim)``, exact. Common practice, no published source.

    Examples
    --------
    1 mm across a rim of 400 mm:

    >>> from math import degrees
    >>> round(degrees(string_angle(0.101, 0.100, 0.4)), 5)
    0.14324
    """
    return angle_of_sine(front - rear, rim)


def rim_centre(front: X, rear: X | float) -> X:
    """Return the distance from the string to the centre of the rim.

    Parameters
    ----------
    front : float or ndarray
        String to the front edge of the rim, at hub height [m].
    rear : float or ndarray
        String to the rear edge of the rim, at hub height [m].

    Returns
    -------
    float or ndarray
        String to the centre of the rim [m]: the mean, exact because the two edges are the ends
        of one diameter.

    Examples
    --------
    >>> round(rim_centre(0.104, 0.100), 6)
    0.102
    """
    return (front + rear) / 2.0


def axle_shift(left_centre: X, right_centre: X | float) -> X:
    """Return how far an axle stands to the left of the middle of the box.

    Parameters
    ----------
    left_centre : float or ndarray
        Left string to the centre of the left rim [m].
    right_centre : float or ndarray
        Right string to the centre of the right rim [m].

    Returns
    -------
    float or ndarray
        Shift of the axle's midpoint from the box axis [m], positive to the left.

    Notes
    -----
    The box axis bisects the two strings. Common practice, no published source.

    Examples
    --------
    The left wheel is nearer to its string, so the axle stands to the left:

    >>> round(axle_shift(0.090, 0.110), 6)
    0.01
    """
    return (right_centre - left_centre) / 2.0


def box_yaw(front_shift: X, rear_shift: X | float, wheelbase: X | float) -> X:
    """Return the angle by which the car's centreline is turned in the box.

    The centreline runs through the midpoints of the two axles.

    Parameters
    ----------
    front_shift : float or ndarray
        Shift of the front axle from the box axis [m], positive to the left (`axle_shift`).
    rear_shift : float or ndarray
        Shift of the rear axle [m], positive to the left.
    wheelbase : float or ndarray
        Distance between the axles, measured along the car [m], positive.

    Returns
    -------
    float or ndarray
        Yaw [rad], positive where the car points left of the box axis.

    Raises
    ------
    ValueError
        If the wheelbase is not positive, or the shifts differ by more than it.

    Notes
    -----
    ``asin((front_shift - rear_shift) / wheelbase)``: turning a rigid car by ``p`` moves its
    front axle sideways by ``wheelbase * sin(p)``. (The arctangent that is often written here
    differs by ``p**3 / 2``: 2e-5 degrees at half a degree.) A setback in a tapered box hides in
    the shift: 6 mm with a taper of 0.2 degrees makes 2.3e-4 degrees. Common practice, no
    published source.

    Examples
    --------
    >>> from math import degrees
    >>> round(degrees(box_yaw(0.005, -0.004, 2.6)), 5)
    0.19833
    """
    return angle_of_sine(front_shift - rear_shift, wheelbase)


def box_taper(front_bar: X, rear_bar: X | float, bar_spacing: X | float) -> X:
    """Return half the angle between the two strings.

    Parameters
    ----------
    front_bar : float or ndarray
        Distance between the strings at the front bar [m].
    rear_bar : float or ndarray
        Distance between the strings at the rear bar [m].
    bar_spacing : float or ndarray
        Distance between the bars, along the car [m], positive.

    Returns
    -------
    float or ndarray
        Taper [rad], positive where the strings open forwards.

    Raises
    ------
    ValueError
        If `bar_spacing` is not positive.

    Notes
    -----
    ``atan((front_bar - rear_bar) / (2 * bar_spacing))``, exact for bars square to the box axis.

    Examples
    --------
    >>> from math import degrees
    >>> round(degrees(box_taper(1.902, 1.898, 5.0)), 5)
    0.02292
    """
    require_positive("bar spacing", bar_spacing)
    return atan((front_bar - rear_bar) / (2.0 * bar_spacing))


def wheel_toe(angle: X, yaw: X | float, taper: X | float, side: str) -> X:
    """Return the toe of a wheel relative to the car's centreline from its angle to the string.

    Parameters
    ----------
    angle : float or ndarray
        Angle between the rim and the string beside it [rad] (`string_angle`).
    yaw : float or ndarray
        Box yaw [rad], positive where the car points left of the box axis (`box_yaw`).
    taper : float or ndarray
        Box taper [rad], positive where the strings open forwards (`box_taper`).
    side : str
        ``"left"`` or ``"right"``.

    Returns
    -------
    float or ndarray
        Toe [rad], toe-in positive.

    Raises
    ------
    ValueError
        If the side is neither.

    Notes
    -----
    Left: ``angle - taper + yaw``; right: ``angle - taper - yaw``. Exact: all of these are angles
    about the vertical. Static toe: ISO 8855:2011, 7.1.6.

    Examples
    --------
    A car that points 0.2 degrees left of the box axis:

    >>> from math import degrees, radians
    >>> round(degrees(wheel_toe(radians(0.05), radians(0.2), 0.0, "left")), 6)
    0.25
    >>> round(degrees(wheel_toe(radians(0.45), radians(0.2), 0.0, "right")), 6)
    0.25
    """
    return angle - taper + side_sign(side) * yaw


def string_readings(
    toe: X,
    yaw: X | float,
    taper: X | float,
    gap: X | float,
    shift: X | float,
    rim: X | float,
    side: str,
) -> tuple[X, X]:
    """Return the two readings that a wheel will give beside its string.

    Parameters
    ----------
    toe : float or ndarray
        Toe of the wheel [rad], toe-in positive.
    yaw : float or ndarray
        Box yaw [rad], positive where the car points left of the box axis.
    taper : float or ndarray
        Box taper [rad], positive where the strings open forwards.
    gap : float or ndarray
        Mean of the two distances from string to rim centre of this axle [m].
    shift : float or ndarray
        Shift of the axle in the box [m], positive to the left.
    rim : float or ndarray
        Distance between the two points of the rim [m], positive.
    side : str
        ``"left"`` or ``"right"``.

    Returns
    -------
    front : float or ndarray
        String to the front edge of the rim [m].
    rear : float or ndarray
        String to the rear edge of the rim [m].

    Raises
    ------
    ValueError
        If the side is neither.

    Notes
    -----
    The inverse of `string_angle`, `rim_centre`, `axle_shift` and `wheel_toe` together; see the
    table at the head of this module.

    Examples
    --------
    >>> front, rear = string_readings(0.004, 0.001, 0.0, 0.1, 0.01, 0.4, "left")
    >>> round(front, 6), round(rear, 6)
    (0.0906, 0.0894)
    """
    sign = side_sign(side)
    half = rim / 2.0 * sin(toe + taper - sign * yaw)
    centre = gap - sign * shift
    return centre + half, centre - half


def tape_readings(toe_left: X, toe_right: X, width: X | float, across: X | float) -> tuple[X, X]:
    """Return the two tape readings across an axle, between matching points of its wheels.

    Parameters
    ----------
    toe_left : float or ndarray
        Toe of the left wheel [rad], toe-in positive.
    toe_right : float or ndarray
        Toe of the right wheel [rad], toe-in positive.
    width : float or ndarray
        Mean of the two readings [m].
    across : float or ndarray
        How far apart the front and the rear point of one wheel are [m].

    Returns
    -------
    front_edge : float or ndarray
        Distance between the front points [m].
    rear_edge : float or ndarray
        Distance between the rear points [m].

    Notes
    -----
    ``width -/+ across / 2 * (sin(toe_left) + sin(toe_right))``. That toe-in is rear minus front,
    read at hub height at the same marks rolled round: US Army TM 9-2320-260-20. The points also
    differ in how far forward they lie, which lengthens both readings alike to second order.

    Examples
    --------
    >>> front, rear = tape_readings(0.002, 0.002, 1.5, 0.6)
    >>> round(front, 6), round(rear, 6)
    (1.4988, 1.5012)
    """
    half = across / 2.0 * (sin(toe_left) + sin(toe_right))
    return width - half, width + half


def total_toe_from_tape(front_edge: X, rear_edge: X | float, across: X | float) -> X:
    """Return the total toe of an axle from two tape readings across it.

    Parameters
    ----------
    front_edge : float or ndarray
        Distance between the front points [m].
    rear_edge : float or ndarray
        Distance between the rear points [m].
    across : float or ndarray
        How far apart the front and the rear point of one wheel are [m], positive.

    Returns
    -------
    float or ndarray
        Total toe [rad], toe-in positive.

    Raises
    ------
    ValueError
        If `across` is not positive, or the readings differ by more than twice as much.

    Notes
    -----
    The readings give the sum of two sines, ``2 sin(T/2) cos(h)``, with ``T`` the total toe and
    ``h`` half the difference between the two toes, which a tape cannot see. This takes
    ``cos(h) = 1``: ``T = 2 asin((rear - front) / (2 across))``. It is exact where both wheels toe
    alike and otherwise too small by ``h**2 / 2`` of the total: with wheels that differ by
    2 degrees, by 1.5e-4 of it. Total toe: ISO 8855:2011, 7.1.7; rear minus front: US Army
    TM 9-2320-260-20.

    Examples
    --------
    Rear 1/8 in larger than front, across 23 3/4 in:

    >>> from math import degrees
    >>> round(degrees(total_toe_from_tape(1.457325, 1.4605, 0.60325)), 5)
    0.30156
    """
    return 2.0 * angle_of_sine((rear_edge - front_edge) / 2.0, across)
