"""Invented jobs that are hard to lay out: long words, one pass, many passes, parts missing."""

from __future__ import annotations

import math
from fractions import Fraction

TITLE = (
    "A very long title about one car, its strings, its bars and its owner who never gives up "
    "measuring, and who writes everything down twice, in ink and in pencil, year after year "
    "after year."
)
HEAD = """
date = 2026-04-18
length_unit = "in"
[car]
wheelbase = "101 3/8"
rim_diameter = "15 7/8"
tyre_diameter = "23 3/4"
track = { front = "57 1/2", rear = "57" }
steering_ratio = 16.5
rear_toe_adjustable = true
[tie_rods]
steering_arm = "behind"
arm_length = "5 1/4"
outer_thread = "M14x1.5"
outer_engaged = "1 1/8"
"""
GOALS = """
[goal]
front_total_toe = { distance = "1/16 toe-in", tolerance = "1/32" }
rear_total_toe = { angle = "0°10' toe-in", tolerance = "0°10'" }
thrust_angle = { angle = 0, tolerance = 0.1 }
steering_wheel = { angle = 0, tolerance = 2 }
"""
GAUGE_GOALS = """
camber.left_front = { angle = "0.5 top in", tolerance = 0.5 }
camber.right_front = { angle = "0.5 top in", tolerance = 0.5 }
cross_camber = { angle = 0, tolerance = 0.5 }
"""
AS_FOUND = {"left_front": (4.6, 0.30), "right_front": (4.95, -0.38),
            "left_rear": (4.9, 0.12), "right_rear": (5.1, 0.06)}  # fmt: skip
LABEL = "measured again after lunch by lamp no {}"


def inches(value):
    """A length as on a rule with sixty-fourths."""
    whole, rest = divmod(Fraction(round(64 * value), 64), 1)
    return f'"{whole} {rest}"' if rest else f'"{whole}"'


def strings(share):
    """String readings of all wheels, the front ones with a share of the toe as found."""
    lines = ["[pass.string]"]
    for wheel, (base, toe) in AS_FOUND.items():
        turned = toe * (share if "front" in wheel else 1.0)
        half = 15.875 * math.radians(turned) / 2
        lines.append(
            f"{wheel} = {{ front = [{inches(base + half)}, {inches(base + half)}], "
            f"rear = [{inches(base - half)}, {inches(base - half)}] }}"
        )
    return [*lines, 'front_bar_width = "67 1/16"', 'rear_bar_width = "66 15/16"',
            'bar_spacing = "172"']  # fmt: skip


def job(passes, *, title=TITLE, label=LABEL, goals=True, kinds=("road", "string", "tape")):
    """A job of many passes, each halving what the one before left."""
    lines = [f'title = "{title}"', HEAD, GOALS if goals else ""]
    lines += [GAUGE_GOALS] if "gauge" in kinds else []
    for number in range(passes):
        share = 0.5**number
        lines += ["[[pass]]", f'label = "{label.format(number + 1)}"']
        if "road" in kinds:
            lines.append(f'steering_wheel_off = "{6 * share:.1f} left"')
        if "string" in kinds and number % 5 != 3:
            lines += strings(share)
        if "tape" in kinds:
            lines += ["[pass.tape.front]", 'front_edge = "57 1/2"',
                      f"rear_edge = {inches(57.5 - 0.03 * share)}"]  # fmt: skip
        if "gauge" in kinds:
            for wheel in AS_FOUND:
                lines += [f"[pass.inclinometer.{wheel}]", "camber = -0.7"]
    return "\n".join(lines)


JOBS = {
    "twelve passes": job(12, kinds=("road", "string", "tape", "gauge")),
    "fifty passes": job(50, label="{}"),
    "one pass": job(1),
    "no goals": job(3, goals=False),
    "strings alone": job(2, kinds=("string",)),
    "tape alone": job(2, kinds=("tape",)),
    "road alone": job(1, kinds=("road",)),
    "gauge alone": job(2, kinds=("gauge",)),
}
