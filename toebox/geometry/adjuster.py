"""What an adjuster of caster or camber does: a joint is moved, and the steering axis tilts.

The joint that moves lies a lever arm away from the one that stays; square to the lever arm it
moves by what the thread, the cam or the shim gives. For arms that are long against the movement
the axis tilts by ``asin(movement / lever_arm)``.
"""

from __future__ import annotations

from toebox.geometry._elementary import X, angle_of_sine, atan, require_positive, sin


def tilt_by_movement(movement: X, lever_arm: X | float) -> X:
    """Return the tilt that a joint's movement gives.

    Parameters
    ----------
    movement : float or ndarray
        How far the joint moves, square to the lever arm [m], either way; not beyond the arm.
    lever_arm : float or ndarray
        From the joint that stays to the joint that moves [m], positive.

    Returns
    -------
    float or ndarray
        Tilt [rad], with the sign of the movement.

    Raises
    ------
    ValueError
        If the lever arm is not positive or the movement is larger than it.

    Notes
    -----
    Threaded strut rods and control-arm links move the joint by pitch times turns. Exact where the
    guiding arm is long; an arm of length ``r`` leaves ``movement / (2 r)`` of the tilt. Common
    practice, no published source.

    Examples
    --------
    Two turns of a rod with 1.5 mm pitch, joints 300 mm apart:

    >>> from math import degrees
    >>> round(degrees(tilt_by_movement(2 * 0.0015, 0.3)), 4)
    0.573
    """
    return angle_of_sine(movement, lever_arm)


def cam_movement(eccentricity: X | float, position: X, turn: X | float) -> X:
    """Return how far an eccentric cam moves the joint that it holds.

    Parameters
    ----------
    eccentricity : float or ndarray
        From the middle of the bolt to the middle of the disc [m].
    position : float or ndarray
        Angle from the middle of its travel before turning [rad].
    turn : float or ndarray
        Angle that it is turned by [rad].

    Returns
    -------
    float or ndarray
        Movement along the slot [m]: ``e (sin(position + turn) - sin(position))``.

    Notes
    -----
    The middle of the travel is where turning moves the joint most; a quarter turn either way is
    the end. Plain geometry of a circle.

    Examples
    --------
    >>> from math import radians
    >>> round(cam_movement(0.005, radians(0.0), radians(30.0)) * 1000, 6)
    2.5
    """
    return eccentricity * (sin(position + turn) - sin(position))


def tilt_by_shims(thickness: X, lever_arm: X | float) -> X:
    """Return the tilt that shims under one of two bolts give.

    Parameters
    ----------
    thickness : float or ndarray
        Of all shims added [m], negative for shims taken out.
    lever_arm : float or ndarray
        From the shimmed bolt to the other one, or to the joint that stays [m], positive.

    Returns
    -------
    float or ndarray
        Tilt [rad], with the sign of the thickness.

    Raises
    ------
    ValueError
        If the lever arm is not positive.

    Notes
    -----
    A wedge: ``atan(thickness / lever_arm)``. Plain geometry.

    Examples
    --------
    >>> from math import degrees
    >>> round(degrees(tilt_by_shims(0.0015875, 0.235)), 4)
    0.387
    """
    require_positive("lever arm", lever_arm)
    return atan(thickness / lever_arm)
