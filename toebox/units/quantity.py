"""Lengths and angles as unit objects, for users of the Python interface.

pint is imported when the first one is made: it takes longer to start than all the rest.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from toebox.units.table import ANGLES, LENGTHS

if TYPE_CHECKING:
    import pint


@cache
def registry() -> pint.UnitRegistry[Any]:
    """Return the registry of `quantity`: the units of toebox and no others.

    Returns
    -------
    pint.UnitRegistry
        Metre and radian, and `LENGTHS` and `ANGLES` in their exact ratios.
    """
    import pint

    units: pint.UnitRegistry[Any] = pint.UnitRegistry(None)
    units.define("metre = [length] = m")
    units.define("radian = [] = rad")
    units.define("degree = 3.141592653589793 / 180 * radian = ° = deg")
    for name, factor in LENGTHS.items():
        if name != "m":
            units.define(f"{name} = {factor.numerator} / {factor.denominator} * metre")
    for name, factor in ANGLES.items():
        if name != "deg":
            units.define(f"{name} = {factor.numerator} / {factor.denominator} * degree")
    return units


def quantity(value: float, unit: str) -> pint.Quantity[Any]:
    """Return a number with its unit.

    Parameters
    ----------
    value : float
        Number of units [unit named next]; read texts with `read_length` and `read_angle`,
        never with pint.
    unit : {"m", "cm", "mm", "in", "ft", "deg", "arcmin", "arcsec", "rad"}
        Unit of `value`.

    Returns
    -------
    pint.Quantity
        The quantity; ``.to(unit)`` converts it.

    Raises
    ------
    ValueError
        If the unit is not one of these.

    Examples
    --------
    >>> round(quantity(1, "in").to("mm").magnitude, 9)
    25.4
    """
    if unit not in LENGTHS and unit not in ANGLES and unit != "rad":
        raise ValueError(f"unit {unit!r} is not one of {', '.join((*LENGTHS, *ANGLES, 'rad'))}")
    return registry().Quantity(value, unit)
