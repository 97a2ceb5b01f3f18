"""Instruments that a job does not state: cautious values, by the unit it is written in."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from toebox.job.model import Instrument, Instruments

_INCH = 0.0254
_MM = 0.001

# Common practice, no published source: about twice what careful work reaches.
# Resolution and repeatability of a length instrument [in] or [mm].
_LENGTHS = {
    "in": {"string_rule": (1 / 32, 1 / 32), "tape": (1 / 16, 1 / 16)},
    "mm": {"string_rule": (1.0, 0.5), "tape": (1.0, 1.0)},
}
# Single lengths [in] or [mm].
_WITHIN = {
    "in": {
        "rim_runout": 1 / 32,
        "strings_parallel_within": 1 / 4,
        "box_square_within": 1 / 4,
        "floor_level_within": 1 / 4,
    },
    "mm": {
        "rim_runout": 1.0,
        "strings_parallel_within": 6.0,
        "box_square_within": 6.0,
        "floor_level_within": 6.0,
    },
}
# These have no cautious value: they count only where they are stated.
ONLY_STATED = ("steering_wheel_straight_within", "turn_plates_zero_within")
_GAUGE_ZERO_WITHIN = math.radians(0.2)
# Resolution and repeatability of an angle instrument [degrees].
_ANGLES = {
    "inclinometer": (0.1, 0.1),
    "turn_plates": (0.5, 0.5),
    "road_test": (0.0, 3.0),
    "turns_to_lock": (22.5, 10.0),  # counted to a sixteenth of a turn
}


def instruments(stated: Mapping[str, Any], unit: str) -> Instruments:
    """Complete the stated instruments by cautious defaults.

    Parameters
    ----------
    stated : mapping
        Instrument -> resolution and repeatability, or a length, as the file gave them,
        in metres and radians [m, rad].
    unit : str
        ``in`` or ``mm``: which defaults to take.

    Returns
    -------
    Instruments
        A stated resolution without repeatability counts for both; ``stated`` names the
        instruments given in the file.

    Examples
    --------
    >>> instruments({"rim_runout": 0.0005}, "mm").tape
    Instrument(resolution=0.001, repeatability=0.001)
    """
    scale = _INCH if unit == "in" else _MM
    found: dict[str, Any] = {}
    for name, pair in _LENGTHS[unit].items():
        found[name] = _instrument(stated.get(name, {}), pair, scale)
    for name, pair in _ANGLES.items():
        found[name] = _instrument(stated.get(name, {}), pair, math.radians(1.0))
    for name, within in _WITHIN[unit].items():
        found[name] = stated.get(name, within * scale)
    found["gauge_zero_within"] = stated.get("gauge_zero_within", _GAUGE_ZERO_WITHIN)
    for name in ONLY_STATED:
        found[name] = stated.get(name, 0.0)
    return Instruments(stated=frozenset(stated), **found)


def _instrument(
    stated: Mapping[str, float], default: tuple[float, float], scale: float
) -> Instrument:
    resolution = stated.get("resolution", default[0] * scale)
    repeatability = stated.get("repeatability", stated.get("resolution", default[1] * scale))
    return Instrument(resolution, repeatability)
