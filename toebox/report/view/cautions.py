"""The usual cautions, told in every report."""

from __future__ import annotations

from toebox.report.blocks import Paragraph, Section

CAUTIONS = (
    "Never work under a car that is held only by a jack. Use stands rated for the load, on hard "
    "level ground; chock the wheels that stay down (29 CFR 1910.244(a); UK HSE INDG434).",
    "Measure with the car on its wheels, rolled forward and settled, never jacked up.",
    "At least one thread diameter must stay engaged at every tie-rod end (common practice, no "
    "published source); the maker's manual governs.",
    "Tighten jam nuts and clamps to the torque in the maker's manual; clamp bolts must clear other "
    "parts. If anything binds, is bent, or has play, stop: joints and bearings come first.",
    "Make the first drive slow and away from traffic. If the car pulls, wanders or the steering "
    "does not return, have it seen by a licensed workshop. Local rules on steering repairs come "
    "before this sheet.",
)
# Those that stand where turns are told.
WHEN_TURNING = (
    "Never be under a car that only a jack holds: rated stands, hard level ground, the other "
    "wheels chocked. Read with the car back on its wheels, rolled to settle.",
    "Tie rods hold the wheels. Leave at least one thread diameter engaged at every end, keep the "
    "flats of both ends in line and the joints free of twist, and see that no boot is wound up.",
    "Tighten jam nuts and clamps to the torque in the maker's manual; a clamp sits over the thread "
    "where the manual puts it, its bolt clear of other parts. With the car standing, turn the "
    "steering from lock to lock: nothing may rub or bind. Make the first drive slow and away from "
    "traffic: brakes and steering before anything else.",
)


def cautions() -> Section:
    """Return the cautions.

    Returns
    -------
    Section
        One caution a paragraph.
    """
    return Section("Cautions", tuple(Paragraph(text, "caution") for text in CAUTIONS))
