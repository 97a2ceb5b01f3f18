"""Small jobs to run commands on; car and readings are invented."""

from __future__ import annotations

from pathlib import Path

HEAD = """
title = "Test car"
length_unit = "mm"

[car]
wheelbase = 2600
rim_diameter = 400
tyre_diameter = 600
steering_ratio = 16

[instruments]
string_rule = { resolution = 0.01, repeatability = 0.01 }
tape = { resolution = 0.01, repeatability = 0.01 }
rim_runout = 0.01
"""

# Rear minus front between the tape points: 2 mm toe-in across 600 mm, 0.19 degrees.
TAPE = """
[[pass]]
label = "as found"
[pass.tape.front]
front_edge = 1400
rear_edge = 1402
across = 600
"""

MET = '[goal]\nfront_total_toe = { distance = "2 mm", across = "600 mm", tolerance = "1 mm" }\n'
NOT_MET = '[goal]\nfront_total_toe = { distance = "0 mm", across = "600 mm", tolerance = "1 mm" }\n'
NOT_MEASURED = '[goal]\nthrust_angle = { angle = "0 deg", tolerance = "0.1 deg" }\n'
NO_BAND = '[goal]\nfront_total_toe = { distance = "2 mm", across = "600 mm" }\n'

GOOD = HEAD + MET + TAPE
FAULTY = GOOD.replace("front_edge = 1400", 'front_edge = "long"').replace("title", "titel")
EMPTY = HEAD + MET + '[[pass]]\nlabel = "as found"\n'


def written(folder: Path, name: str = "job.toml", text: str = GOOD) -> str:
    """Write a job file and return its path."""
    path = folder / name
    path.write_text(text, "utf-8")
    return str(path)
