"""A simulated car's readings as the text of a job file."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from tests.simulate import EVERYTHING, INCH, Noise, SimulatedCar

FINEST = 128  # an inch is told as a fraction where it is a whole number of these parts

INSTRUMENTS = """\
[instruments]
string_rule  = { resolution = "1/64 in", repeatability = "1/64 in" }
tape         = { resolution = "1/32 in", repeatability = "1/32 in" }
inclinometer = { resolution = 0.1, repeatability = 0.1 }
road_test    = { repeatability = 2.0 }
rim_runout   = "1/64 in"
"""

GOAL_AND_RODS = """\
[goal]
front_total_toe = { angle = "0.15 deg", tolerance = "0.05 deg" }

[tie_rods]
steering_arm = "behind"
arm_length = "130 mm"
outer_thread = "M14x1.5"
outer_engaged = "30 mm"
"""


def length(metres: float, unit: str) -> str:
    """Return a length as TOML: inches as a fraction where they are one, otherwise a decimal."""
    parts = metres / INCH * FINEST
    if unit == "in" and abs(parts - round(parts)) < 1e-6:
        return fraction(Fraction(round(parts), FINEST))
    return repr(round(metres / (INCH if unit == "in" else 0.001), 10))


def fraction(inches: Fraction) -> str:
    """Return inches as a quoted mixed number."""
    sign, whole, rest = "-" if inches < 0 else "", abs(inches) // 1, abs(inches) % 1
    text = f"{whole} {rest}" if whole and rest else str(rest or whole)
    return f'"{sign}{text}"'


def degrees(radians: float) -> str:
    """Return an angle in degrees as TOML."""
    return repr(round(math.degrees(radians), 12) + 0.0)


def inline(values: Mapping[str, Any], unit: str) -> str:
    """Return a table of lengths on one line; angles are named steer, camber or caster."""
    return "{ " + ", ".join(f"{k} = {value_of(k, v, unit)}" for k, v in values.items()) + " }"


def value_of(key: str, value: Any, unit: str) -> str:
    """Return one reading, a list of repeats or a list of stops as TOML."""
    if isinstance(value, Mapping):
        return inline(value, unit)
    if isinstance(value, list | tuple):
        items = [value_of(key, each, unit) for each in value]
        return items[0] if len(items) == 1 else "[" + ", ".join(items) + "]"
    return degrees(value) if key in ("steer", "camber", "camber_turned") else length(value, unit)


def table(name: str, values: Mapping[str, Any], unit: str) -> list[str]:
    """Return a table with a line for each key."""
    return [f"[{name}]", *(f"{k} = {value_of(k, v, unit)}" for k, v in values.items()), ""]


def pass_text(readings: Mapping[str, Any], unit: str, label: str, turned: str = "") -> str:
    """Return one pass; `readings` as `SimulatedCar.readings` gives them."""
    lines = ["[[pass]]", f'label = "{label}"']
    if turned:
        lines.append(f"turned = {turned}")
    if (off := readings.get("steering_wheel_off")) is not None:
        toward = "right" if off >= 0 else "left"
        lines.append(f'steering_wheel_off = {{ angle = {degrees(abs(off))}, toward = "{toward}" }}')
    for key in ("wheelbase_left", "wheelbase_right"):
        if key in readings:
            lines.append(f"{key} = {length(readings[key], unit)}")
    lines.append("")
    for key in ("string", "tape", "inclinometer", "floor"):
        if key in readings:
            lines += table(f"pass.{key}", readings[key], unit)
    return "\n".join(lines)


def car_text(car: SimulatedCar, unit: str) -> str:
    """Return the table of the car."""
    known = {
        "wheelbase": car.wheelbase,
        "rim_diameter": car.rim_diameter,
        "tyre_diameter": car.tyre_diameter,
        "track": car.track,
    }
    lines = table("car", known, unit)
    return "\n".join([*lines[:-1], f"steering_ratio = {car.steering_ratio!r}", ""])


def to_toml(
    car: SimulatedCar,
    unit: str = "in",
    noise: Noise | None = None,
    repeats: int = 2,
    what: tuple[str, ...] = EVERYTHING,
    title: str = "Invented car",
    instruments: str = INSTRUMENTS,
    extra: str = GOAL_AND_RODS,
) -> str:
    """Return a whole job file with one pass, exact or spoilt by `noise`."""
    head = f'title = "{title}"\ndate = 2026-04-18\nlength_unit = "{unit}"\n'
    readings = car.readings(noise, repeats, what)
    body = pass_text(readings, unit, "as found")
    return "\n".join([head, car_text(car, unit), instruments, extra, body])
