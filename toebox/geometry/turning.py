"""Toe-out on turns: the Ackermann relation between the two front wheels.

Commands call `outer_angle` alone; `toe_out_on_turn` is the same for reference.
"""

from __future__ import annotations

from toebox.geometry._elementary import X, atan, require_positive, tan


def outer_angle(inner: X, wheelbase: X | float, track: X | float) -> X:
    """Return the steer angle of the outer wheel at which both roll about one centre.

    Parameters
    ----------
    inner : float or ndarray
        Steer angle of the wheel on the inside of the turn [rad], 0 or more, below pi/2.
    wheelbase : float or ndarray
        Distance between the axles [m], positive.
    track : float or ndarray
        Distance between the two steering axes at the ground [m], positive; the track of the front
        axle is nearly the same.

    Returns
    -------
    float or ndarray
        Steer angle of the wheel on the outside of the turn [rad], smaller than `inner`.

    Raises
    ------
    ValueError
        If wheelbase or track is not positive.

    Notes
    -----
    ``cot(outer) - cot(inner) = track / wheelbase``, written as
    ``tan(outer) = tan(inner) / (1 + tan(inner) * track / wheelbase)`` so that straight ahead is
    no exception. Ackermann geometry: ISO 8855:2011, 7.1.9. Cars depart from it on purpose: the
    maker's figure governs, not this one.

    Examples
    --------
    >>> from math import degrees, radians
    >>> round(degrees(outer_angle(radians(20.0), 2.6, 1.5)), 4)
    16.7416
    """
    require_positive("wheelbase", wheelbase)
    require_positive("track", track)
    return atan(tan(inner) / (1.0 + tan(inner) * (track / wheelbase)))


def toe_out_on_turn(inner: X, wheelbase: X | float, track: X | float) -> X:
    """Return by how much the inner wheel steers further than the outer one.

    Parameters
    ----------
    inner : float or ndarray
        Steer angle of the wheel on the inside of the turn [rad], 0 or more, below pi/2.
    wheelbase : float or ndarray
        Distance between the axles [m], positive.
    track : float or ndarray
        Distance between the two steering axes at the ground [m], positive.

    Returns
    -------
    float or ndarray
        Inner minus outer steer angle [rad], not negative.

    Raises
    ------
    ValueError
        If wheelbase or track is not positive.

    Notes
    -----
    See `outer_angle`.

    Examples
    --------
    >>> from math import degrees, radians
    >>> round(degrees(toe_out_on_turn(radians(20.0), 2.6, 1.5)), 4)
    3.2584
    """
    return inner - outer_angle(inner, wheelbase, track)
