"""From a wanted change in toe to turns of a tie rod, and to the thread that stays engaged.

No command calls `turns_for`: the turns told also weigh what the passes show of a turn. It is the
reference by thread and arm alone.
"""

from __future__ import annotations

from toebox.geometry._elementary import X, angle_of_sine, require_positive, sin


def rod_length_change(arm_length: X | float, toe_change: X, arm_behind: bool) -> X:
    """Return by how much a tie rod must get longer for a change in toe.

    Parameters
    ----------
    arm_length : float or ndarray
        Steering axis to tie-rod joint, measured square to the tie rod [m], positive.
    toe_change : float or ndarray
        Wanted change in toe of this wheel [rad], towards toe-in positive.
    arm_behind : bool
        Whether the steering arm points behind the axle line; False: ahead of it.

    Returns
    -------
    float or ndarray
        Change in length of the rod [m], positive: longer.

    Raises
    ------
    ValueError
        If the arm length is not positive.

    Notes
    -----
    ``arm_length * sin(toe_change)`` with the arm behind the axle line, where a longer rod pushes
    the rear of the wheel outwards (toe-in); the opposite sign with the arm ahead. Exact for a long
    rod that starts square to the arm; otherwise right to ``toe_change / 2`` times the tangent of
    the angle by which it is not square. Common practice, no published source.

    Examples
    --------
    A quarter of a degree on an arm of 5 1/4 in:

    >>> from math import radians
    >>> round(rod_length_change(0.13335, radians(0.25), arm_behind=True) * 1000, 4)
    0.5818
    """
    require_positive("arm length", arm_length)
    return _behind_sign(arm_behind) * (arm_length * sin(toe_change))


def toe_change(arm_length: X | float, length_change: X, arm_behind: bool) -> X:
    """Return the change in toe that a change in the length of a tie rod makes.

    Parameters
    ----------
    arm_length : float or ndarray
        Steering axis to tie-rod joint, measured square to the tie rod [m], positive.
    length_change : float or ndarray
        Change in length of the rod [m], positive: longer; not beyond the arm length either way.
    arm_behind : bool
        Whether the steering arm points behind the axle line; False: ahead of it.

    Returns
    -------
    float or ndarray
        Change in toe of this wheel [rad], towards toe-in positive.

    Raises
    ------
    ValueError
        If the arm length is not positive, or the change in length is larger than it.

    Notes
    -----
    The inverse of `rod_length_change`.

    Examples
    --------
    >>> from math import degrees
    >>> round(degrees(toe_change(0.13335, 0.001, arm_behind=False)), 5)
    -0.42967
    """
    return _behind_sign(arm_behind) * angle_of_sine(length_change, arm_length)


def shortening_per_turn(
    outer_pitch: float,
    outer_left_hand: bool,
    inner_pitch: float = 0.0,
    inner_left_hand: bool = False,
) -> float:
    """Return by how much one clockwise turn of a tie rod shortens it.

    Clockwise is as seen from the middle of the car looking outwards along the rod, on either side
    of the car.

    Parameters
    ----------
    outer_pitch : float
        Pitch of the thread at the outer end (towards the wheel) [m], not negative.
    outer_left_hand : bool
        Whether that thread is left-hand.
    inner_pitch : float, optional
        Pitch of the thread at the inner end [m]; 0 where the inner end swivels.
    inner_left_hand : bool, optional
        Whether that thread is left-hand.

    Returns
    -------
    float
        Shortening per clockwise turn [m], negative where the turn lengthens the rod.

    Raises
    ------
    ValueError
        If a pitch is negative, or one turn changes nothing because both ends move alike.

    Notes
    -----
    ``s_o * P_o - s_i * P_i`` with ``s`` = +1 for right-hand and -1 for left-hand threads, ``P`` the
    pitch (ISO 261, ASME B1.1). Turned clockwise, a right-hand thread travels away from the viewer:
    at the outer end into its joint, at the inner end out of it. So opposite hands add and equal
    hands subtract. Which of the two mating parts carries the external thread does not matter.

    Examples
    --------
    Right-hand 1.5 mm outside, left-hand 1.5 mm inside:

    >>> round(shortening_per_turn(0.0015, False, 0.0015, True) * 1000, 6)
    3.0
    """
    if min(outer_pitch, inner_pitch) < 0.0:
        raise ValueError(
            "pitch below zero: wanted the hand of the thread told apart from its pitch"
        )
    shortening = thread_advance(outer_pitch, outer_left_hand) - thread_advance(
        inner_pitch, inner_left_hand
    )
    if abs(shortening) < 1e-9:
        raise ValueError(
            "turning this rod does not change its length: both ends have the same pitch and hand"
        )
    return shortening


def turns_for(length_change: float, shortening: float) -> float:
    """Return the turns of the tie rod that change its length as wanted.

    Parameters
    ----------
    length_change : float
        Wanted change in length [m], positive: longer.
    shortening : float
        Shortening per clockwise turn [m], not zero (`shortening_per_turn`).

    Returns
    -------
    float
        Turns [-], positive clockwise as seen from the middle of the car looking outwards.

    Raises
    ------
    ValueError
        If `shortening` is zero.

    Examples
    --------
    1 mm longer at 3 mm a turn: a third of a turn anticlockwise.

    >>> round(turns_for(0.001, 0.003), 6)
    -0.333333
    """
    if shortening == 0.0:
        raise ValueError(
            "no turning changes this length: wanted a change per turn above or below 0"
        )
    return -length_change / shortening


def thread_advance(pitch: float, left_hand: bool) -> float:
    """Return how far a thread travels away from the viewer in one clockwise turn.

    Parameters
    ----------
    pitch : float
        Advance in one turn [m].
    left_hand : bool
        Whether the thread is left-hand.

    Returns
    -------
    float
        Advance [m]: `pitch` for a right-hand thread, ``-pitch`` for a left-hand one.

    Examples
    --------
    >>> thread_advance(0.0015, left_hand=True)
    -0.0015
    """
    return -pitch if left_hand else pitch


def engagement_after(
    engaged: float, pitch: float, left_hand: bool, turns: float, end: str
) -> float:
    """Return the length of thread engaged at one end of a tie rod after turning it.

    Parameters
    ----------
    engaged : float
        Length of thread engaged before [m].
    pitch : float
        Pitch of the thread at this end [m]; 0 where the end swivels.
    left_hand : bool
        Whether this thread is left-hand.
    turns : float
        Turns of the rod [-], positive clockwise as seen from the middle of the car looking
        outwards (`turns_for`).
    end : str
        ``"outer"`` (towards the wheel) or ``"inner"``.

    Returns
    -------
    float
        Length of thread engaged after [m]; below zero where the thread would have run out.

    Raises
    ------
    ValueError
        If the end is neither.

    Notes
    -----
    Whatever shortens the rod at an end engages more thread there. At least one nominal diameter
    should stay engaged: common practice, no published source; the maker's manual governs.

    Examples
    --------
    >>> round(engagement_after(0.020, 0.0015, False, turns=-2.0, end="outer"), 6)
    0.017
    >>> round(engagement_after(0.020, 0.0015, True, turns=-2.0, end="inner"), 6)
    0.017
    """
    if end not in ("outer", "inner"):
        raise ValueError(f"end {end!r}: wanted 'outer' or 'inner'")
    outwards = turns * thread_advance(pitch, left_hand)
    return engaged + outwards if end == "outer" else engaged - outwards


def _behind_sign(arm_behind: bool) -> int:
    """Return +1 where a longer rod gives toe-in, -1 where it gives toe-out."""
    return 1 if arm_behind else -1
