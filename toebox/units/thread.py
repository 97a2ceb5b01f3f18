"""Thread designations of ISO 261/965 and ASME B1.1 form."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread.

    Parameters
    ----------
    designation : str
        As written by the user, blanks removed, for example ``M14x1.5-LH``.
    diameter : float
        Nominal diameter [m].
    pitch : float
        Advance in one turn [m].
    left_hand : bool
        True for a left-hand thread.
    """

    designation: str
    diameter: float
    pitch: float
    left_hand: bool = False
