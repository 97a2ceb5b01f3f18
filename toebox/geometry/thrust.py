"""Thrust line, steering-wheel position, and where each front wheel should stand.

Of these formulas commands call `stop_at_string` and `stop_at_tape` alone; the others are the
reference that tests hold the solver to.
"""

from __future__ import annotations

from toebox.geometry._elementary import X, angle_of_sine, atan, require_positive, side_sign, sin


def thrust_angle(left_rear: X, right_rear: X | float) -> X:
    """Return the thrust angle: where the rear wheels, on average, point.

    Parameters
    ----------
    left_rear : float or ndarray
        Toe of the left rear wheel [rad], toe-in positive.
    right_rear : float or ndarray
        Toe of the right rear wheel [rad], toe-in positive.

    Returns
    -------
    float or ndarray
        Thrust angle [rad], positive to the right of the centreline.

    Notes
    -----
    ``(left_rear - right_rear) / 2``: the direction in which the two wheels together roll when
    they slip equally to either side. Positive to the right is trade usage (common practice, no
    published source); an angle about the z axis of ISO 8855 has the opposite sign.

    Examples
    --------
    >>> thrust_angle(0.004, 0.002)
    0.001
    """
    return (left_rear - right_rear) / 2.0


def steering_wheel_off(
    ratio: X | float, thrust: X | float, left_front: X, right_front: X | float
) -> X:
    """Return how far the steering wheel stands off centre while the car runs straight.

    Parameters
    ----------
    ratio : float or ndarray
        Overall steering ratio, steering-wheel angle over road-wheel angle [-].
    thrust : float or ndarray
        Thrust angle [rad], positive to the right.
    left_front : float or ndarray
        Toe of the left front wheel with the steering wheel straight [rad], toe-in positive.
    right_front : float or ndarray
        Toe of the right front wheel, likewise [rad].

    Returns
    -------
    float or ndarray
        Steering-wheel angle [rad], positive clockwise, that is, to the right.

    Notes
    -----
    ``ratio * (thrust - (left_front - right_front) / 2)``: the car runs along its thrust line, and
    the front wheels steer until on average they point along it too. Mean steer and steering-wheel
    angle: ISO 8855:2011, 7.1.3 and 7.1.8 (whose signs are left-positive); the relation itself is
    common practice, no published source.

    Examples
    --------
    Thrust 0.1 degrees to the right, front wheels even, ratio 16: 1.6 degrees to the right.

    >>> from math import degrees, radians
    >>> round(degrees(steering_wheel_off(16.0, radians(0.1), 0.001, 0.001)), 6)
    1.6
    """
    return ratio * (thrust - (left_front - right_front) / 2.0)


def wanted_front_toe(total: X, thrust: X | float) -> tuple[X, X]:
    """Return the toe at which each front wheel should stand, relative to the centreline.

    Parameters
    ----------
    total : float or ndarray
        Wanted total toe of the front axle [rad], toe-in positive.
    thrust : float or ndarray
        Thrust angle [rad], positive to the right.

    Returns
    -------
    left : float or ndarray
        Wanted toe of the left front wheel [rad], toe-in positive, steering wheel straight.
    right : float or ndarray
        Wanted toe of the right front wheel [rad], likewise.

    Notes
    -----
    ``total / 2 + thrust`` and ``total / 2 - thrust``: half of the total each, relative to the
    thrust line. Total toe and steering wheel are both right when both hold. Common practice, no
    published source.

    Examples
    --------
    >>> left, right = wanted_front_toe(0.004, 0.001)
    >>> round(left, 6), round(right, 6)
    (0.003, 0.001)
    """
    return total / 2.0 + thrust, total / 2.0 - thrust


def front_relative_toe(total: X, off: X | float, ratio: X | float) -> tuple[X, X]:
    """Return each front wheel's toe relative to the thrust line, from tape and road test alone.

    Parameters
    ----------
    total : float or ndarray
        Total toe of the front axle [rad], toe-in positive.
    off : float or ndarray
        Steering wheel off centre while the car runs straight [rad], positive clockwise.
    ratio : float or ndarray
        Overall steering ratio [-], positive.

    Returns
    -------
    left : float or ndarray
        Toe of the left front wheel relative to the thrust line [rad], with the steering wheel
        straight, toe-in positive.
    right : float or ndarray
        Toe of the right front wheel relative to the thrust line [rad], likewise.

    Raises
    ------
    ValueError
        If the ratio is not positive.

    Notes
    -----
    ``total / 2 - off / ratio`` and ``total / 2 + off / ratio``, from `steering_wheel_off`. Neither
    the thrust angle nor a string is needed to set both tie rods. That the steering wheel is
    centred by turning both tie rods: NAVEDTRA 14050A.

    Examples
    --------
    A steering wheel 8 degrees to the right at ratio 16 asks for half a degree on each side:

    >>> from math import degrees, radians
    >>> left, right = front_relative_toe(radians(0.2), radians(8.0), 16.0)
    >>> round(degrees(left), 6), round(degrees(right), 6)
    (-0.4, 0.6)
    """
    require_positive("steering ratio", ratio)
    return total / 2.0 - off / ratio, total / 2.0 + off / ratio


def stop_at_string(wanted: X, yaw: X | float, taper: X | float, rim: X | float, side: str) -> X:
    """Return front minus rear reading on the string at which to stop turning.

    Parameters
    ----------
    wanted : float or ndarray
        Wanted toe of the wheel relative to the centreline [rad], toe-in positive.
    yaw : float or ndarray
        Box yaw [rad], positive where the car points left of the box axis.
    taper : float or ndarray
        Box taper [rad], positive where the strings open forwards.
    rim : float or ndarray
        Distance between the two points of the rim [m].
    side : str
        ``"left"`` or ``"right"``.

    Returns
    -------
    float or ndarray
        Front reading minus rear reading [m], positive where the front one is larger.

    Raises
    ------
    ValueError
        If the side is neither.

    Notes
    -----
    ``rim * sin(wanted + taper - yaw)`` on the left, ``+ yaw`` on the right: the readings that the
    wheel will give in the box as it stands, crooked or not. It holds until strings or car move.

    Examples
    --------
    >>> round(stop_at_string(0.002, 0.001, 0.0, 0.4, "left") * 1000, 4)
    0.4
    >>> round(stop_at_string(0.002, 0.001, 0.0, 0.4, "right") * 1000, 4)
    1.2
    """
    return rim * sin(wanted + taper - side_sign(side) * yaw)


def stop_at_tape(left: X, right: X, across: X | float) -> X:
    """Return rear minus front tape reading at which to stop turning.

    Parameters
    ----------
    left : float or ndarray
        Wanted toe of the left wheel [rad], toe-in positive.
    right : float or ndarray
        Wanted toe of the right wheel [rad], toe-in positive.
    across : float or ndarray
        How far apart the front and the rear point of one wheel are [m].

    Returns
    -------
    float or ndarray
        Rear reading minus front reading [m], positive at toe-in.

    Notes
    -----
    ``across * (sin(left) + sin(right))``. Rear minus front: US Army TM 9-2320-260-20.

    Examples
    --------
    >>> round(stop_at_tape(0.003, 0.001, 0.6) * 1000, 4)
    2.4
    """
    return across * (sin(left) + sin(right))


def setback(left_wheelbase: X, right_wheelbase: X | float) -> X:
    """Return how far the right front wheel stands behind the left one.

    Parameters
    ----------
    left_wheelbase : float or ndarray
        Wheelbase on the left side, measured along the car [m].
    right_wheelbase : float or ndarray
        Wheelbase on the right side, likewise [m].

    Returns
    -------
    float or ndarray
        Setback [m], positive where the right front wheel stands further back.

    Notes
    -----
    ``left_wheelbase - right_wheelbase``. It is a setback of the front axle only as far as the
    rear axle stands square; two wheelbases cannot tell the one from the other (see
    `axle_shift_thrust`). The sign is common practice, no published source.

    Examples
    --------
    >>> round(setback(2.605, 2.600), 6)
    0.005
    """
    return left_wheelbase - right_wheelbase


def setback_angle(left_wheelbase: X, right_wheelbase: X | float, track: X | float) -> X:
    """Return setback as an angle.

    Parameters
    ----------
    left_wheelbase : float or ndarray
        Wheelbase on the left side, measured along the car [m].
    right_wheelbase : float or ndarray
        Wheelbase on the right side, likewise [m].
    track : float or ndarray
        Track of the front axle, measured square to the centreline [m], positive.

    Returns
    -------
    float or ndarray
        Setback angle [rad], positive where the right front wheel stands further back.

    Raises
    ------
    ValueError
        If the track is not positive.

    Notes
    -----
    ``atan((left_wheelbase - right_wheelbase) / track)``. The sign is common practice, no
    published source.

    Examples
    --------
    >>> from math import degrees
    >>> round(degrees(setback_angle(2.605, 2.600, 1.5)), 5)
    0.19099
    """
    require_positive("track", track)
    return atan(setback(left_wheelbase, right_wheelbase) / track)


def axle_shift_thrust(left_wheelbase: X, right_wheelbase: X | float, track: X | float) -> X:
    """Return the thrust angle of a solid rear axle that is set askew under a square front axle.

    Parameters
    ----------
    left_wheelbase : float or ndarray
        Wheelbase on the left side, measured along the car [m].
    right_wheelbase : float or ndarray
        Wheelbase on the right side, likewise [m].
    track : float or ndarray
        Track of the rear axle, measured along the axle [m], positive.

    Returns
    -------
    float or ndarray
        Thrust angle [rad], positive to the right of the centreline.

    Raises
    ------
    ValueError
        If the track is not positive, or the wheelbases differ by more than it.

    Notes
    -----
    ``asin((right_wheelbase - left_wheelbase) / track)``: a rigid axle turned about the vertical.
    A longer wheelbase on the right means that the right end stands further back, so that the
    axle points to the right. It holds only where the front axle has no setback, and where the
    axle itself is straight. Common practice, no published source.

    Examples
    --------
    >>> from math import degrees
    >>> round(degrees(axle_shift_thrust(2.600, 2.605, 1.5)), 5)
    0.19099
    """
    return angle_of_sine(right_wheelbase - left_wheelbase, track)
