"""What the drawings of a report show: data in metres and radians, words already made.

Nothing here or in the ``drawing_*`` files imports a PDF library: they draw with the few
strokes of `toebox.report.pen`, so that report, sheet and documentation share them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from toebox.report.blocks import Figure

if TYPE_CHECKING:
    from toebox.report.pen import Pen, Ruler

WHEEL_NAMES = {
    "left_front": "Left front",
    "right_front": "Right front",
    "left_rear": "Left rear",
    "right_rear": "Right rear",
}
NOT_MEASURED = "not measured"
_AIM = math.radians(12.0)  # about how large the largest angle of a drawing is drawn


class PlanData(NamedTuple):
    """A car from above, front up.

    Parameters
    ----------
    wheelbase, track_front, track_rear, tyre_diameter : float or None
        Sizes [m]; where one is None the drawing says that it is not to scale.
    toe : mapping of str to float or None
        Toe of each wheel, positive towards the centreline at the front [rad].
    thrust : float or None
        Thrust angle, positive to the right [rad].
    steering_wheel : float or None
        Steering wheel off centre, positive clockwise [rad].
    labels : mapping of str to str
        What stands beside each wheel, ``thrust`` and ``steering_wheel``.
    """

    wheelbase: float | None
    track_front: float | None
    track_rear: float | None
    tyre_diameter: float | None
    toe: Mapping[str, float | None]
    thrust: float | None = None
    steering_wheel: float | None = None
    labels: Mapping[str, str] = MappingProxyType({})


class RotationData(NamedTuple):
    """Which way to turn a tie rod, seen from the middle of the car looking outwards.

    Parameters
    ----------
    side : str
        ``left`` or ``right``.
    clockwise : bool or None
        The way to turn; None to leave it.
    label : str
        What to do, in words.
    """

    side: str
    clockwise: bool | None
    label: str


class SettingPoint(NamedTuple):
    """One pass of a setting: its value, half the 95 % interval [deg], and its state in a word."""

    value: float | None
    half: float | None = None
    state: str = ""


class SettingsData(NamedTuple):
    """A setting from pass to pass, with the band of its goal.

    Parameters
    ----------
    name, signs : str
        What is drawn; its unit, and the words for what is above and below zero.
    points : tuple of SettingPoint
        One a pass, first pass first.
    goal_low, goal_high : float or None
        The goal band [deg]; None where there is no goal.
    """

    name: str
    signs: str
    points: tuple[SettingPoint, ...]
    goal_low: float | None = None
    goal_high: float | None = None


class Picture(NamedTuple):
    """A drawing ready to be painted: its size [pt], and what paints it from its lower left."""

    width: float
    height: float
    paint: Callable[[Pen], None]


def pictures(figure: Figure, width: float, ruler: Ruler, tallest: float = 340.0) -> list[Picture]:
    """Return the drawing that a figure names.

    Parameters
    ----------
    figure : Figure
        Its name and data.
    width : float
        Room across the page [pt].
    ruler : Ruler
        Makes texts printable and measures them.
    tallest : float, optional
        Room down the page for drawings that can be made smaller [pt].

    Returns
    -------
    list of Picture
        What to paint: one picture, or several where one would be too tall.

    Raises
    ------
    KeyError
        If no drawing has that name.
    """
    if figure.name == "plan":
        from toebox.report.drawing_plan import plan

        return [plan(figure.data, width, ruler, tallest)]
    if figure.name == "rotation":
        from toebox.report.drawing_rotation import rotation

        return [rotation(figure.data, width, ruler)]
    if figure.name == "runs":
        from toebox.report.drawing_runs import runs

        return runs(figure.data, width, ruler)
    if figure.name == "setup":
        from toebox.report.drawing_setup import setup

        return [setup(width, ruler)]
    if figure.name == "steps":
        from toebox.report.drawing_steps import steps

        return [steps(figure.data, width, ruler)]
    if figure.name in ("camber", "caster"):
        from toebox.report import drawing_gauge

        return [getattr(drawing_gauge, figure.name)(width, ruler)]
    raise KeyError(f"no drawing is named {figure.name!r}")


def exaggeration(angles: Iterable[float | None]) -> int:
    """Return how many times larger than they are small angles are drawn.

    Parameters
    ----------
    angles : iterable of float or None
        The angles of a drawing [rad].

    Returns
    -------
    int
        1, 2, 5, 10, ... up to 100: the one that brings the largest angle nearest to 12 degrees [-].

    Examples
    --------
    >>> exaggeration([math.radians(0.3), None, math.radians(-0.6)])
    20
    """
    largest = max((abs(angle) for angle in angles if angle is not None), default=0.0)
    if largest == 0.0:
        return 1
    return min((1, 2, 5, 10, 20, 50, 100), key=lambda n: abs(math.log(n * largest / _AIM)))
