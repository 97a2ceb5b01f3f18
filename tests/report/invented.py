"""Invented reports that hold every kind of block, easy and hard."""

import math

from toebox.report.blocks import Figure, Paragraph, Points, Section, Steps, Table, View
from toebox.report.drawing import PlanData, RotationData, SettingPoint, SettingsData

DEGREE = math.radians(1.0)


def plan(**changes):
    given = {
        "wheelbase": 2.575,
        "track_front": 1.49,
        "track_rear": 1.47,
        "tyre_diameter": 0.603,
        "toe": {
            "left_front": 0.31 * DEGREE,
            "right_front": -0.12 * DEGREE,
            "left_rear": 0.16 * DEGREE,
            "right_rear": 0.04 * DEGREE,
        },
        "thrust": 0.06 * DEGREE,
        "steering_wheel": -6 * DEGREE,
        "labels": {
            "left_front": "toe-in 0.31° ± 0.03°, 1/8 in across 23 3/4 in",
            "right_front": "toe-out 0.12° ± 0.03°, 1/16 in across 23 3/4 in",
            "left_rear": "toe-in 0.16° ± 0.03°",
            "right_rear": "toe-in 0.04° ± 0.03°",
            "thrust": "0.06° ± 0.02° to the right",
            "steering_wheel": "6° ± 2° to the left",
        },
    }
    return PlanData(**(given | changes))


STATES = ("outside", "not proven", "within", "")


def settings(passes=3, name="Front total toe", signs="degrees; up: toe-in, down: toe-out"):
    points = tuple(
        SettingPoint(0.15 + 0.25 * 0.5**n * (-1) ** n, 0.05, STATES[min(n, 3)])
        for n in range(passes)
    )
    return SettingsData(name, signs, points, 0.10, 0.20)


def ordinary():
    found = Table(
        ("Wheel", "Toe", "Distance", "State"),
        (
            ("Left front", "in 0.31° ± 0.03°", "1/8 in (3.3 mm)", "▲ outside"),
            ("Right front", "out 0.12° ± 0.03°", "1/16 in (1.3 mm)", "▲ outside"),
            ("Left rear", "in 0.16° ± 0.03°", "1/16 in (1.7 mm)", "● within"),
            ("Right rear", "in 0.04° ± 0.03°", "1/64 in (0.4 mm)", "◆ not proven"),
        ),
        "lrrl",
        "Toe of each wheel. Distances are across 23 3/4 in, at the tyre.",
    )
    return View(
        title="Blue hatchback, first spring check",
        subtitle=("18 April 2026", "Invented readings, for show."),
        sections=(
            Section(
                "What to do next",
                (
                    Paragraph("Turn both tie rods, then measure again.", "strong"),
                    Steps(
                        (
                            "Left tie rod: shorten, 1 1/2 turns, clockwise as seen from the "
                            "middle of the car looking outwards.",
                            "Right tie rod: lengthen, 5/6 turn, anticlockwise. Stop when the rule "
                            "reads 3 29/32 in at the front edge and 3 7/8 in at the rear edge.",
                        )
                    ),
                    Figure(
                        "rotation",
                        RotationData("left", True, "shorten: clockwise, 1 1/2 turns"),
                        "Left tie rod: clockwise, 1 1/2 turns.",
                    ),
                    Figure(
                        "rotation",
                        RotationData("right", False, "lengthen: anticlockwise, 5/6 turn"),
                        "Right tie rod: anticlockwise, 5/6 turn.",
                    ),
                    Paragraph("Never reach under a car that only a jack holds.", "caution"),
                ),
                summary=True,
            ),
            Section(
                "What was found",
                (
                    found,
                    Figure("plan", plan(), "The car from above, front up."),
                    Paragraph("Intervals hold the value 95 times in 100 (k = 2).", "note"),
                ),
                summary=True,
            ),
            Section(
                "What was assumed",
                (Points(("Strings parallel within 1/8 in over 140 in.", "Box square.")),),
            ),
            Section(
                "Before and after",
                (Figure("runs", (settings(),), "Front total toe, pass by pass."),),
            ),
            Section(
                "How the readings were taken",
                (Figure("setup", None, "Strings, bars and the points measured."),),
            ),
        ),
        footer="Invented demonstration data.",
    )


LONG_TITLE = "A very long title about one car, its strings, its bars and its owner's patience " * 4
LABEL = "measured again after lunch by lamplight {}"  # 40 characters with its number
NASTY = "<b>bold</b> & <img src='/etc/hostname'/> <para> &amp; &#65; \x1b[31m\x00\u202e 中"


def hard():
    passes = tuple(LABEL.format(n + 1) for n in range(12))
    wide = tuple(
        (f"quantity {n}", *(f"{n}.{p:02d}° ± 0.0{n}°" for p in range(12))) for n in range(9)
    )
    tall = tuple((f"reading {n}", f"{n} {n % 63 + 1}/64 in", "● within") for n in range(60))
    words = Table(
        ("Key", "What it is, in a heading that is long too", "Value"),
        (("k" * 90, "words and more words " * 12, "3 15/16 in"), ("", "", "")),
        "llr",
    )
    return View(
        title=LONG_TITLE,
        subtitle=("x" * 200, "", NASTY),
        sections=(
            Section("Empty", (), summary=True),
            Section(
                "A heading far too long for its line, " * 4,
                (
                    Paragraph("caution text " * 60, "caution"),
                    Paragraph("another caution", "caution"),
                    Table(("Quantity", *passes), wide, "l" + "r" * 12, "Twelve passes."),
                    Table(("Reading", "Value", "State"), tall, "lrl", "Sixty rows."),
                    words,
                    Table(("Nothing", "here"), (), "ll", "No rows."),
                    Steps(()),
                    Steps(tuple(f"step {n}: " + "turn " * (3 * n) for n in range(1, 13))),
                    Points(("y" * 300, NASTY)),
                ),
            ),
            Section(
                "Drawings",
                (
                    Figure(
                        "plan",
                        plan(
                            toe=dict.fromkeys(plan().toe),
                            thrust=None,
                            steering_wheel=None,
                            labels={"left_front": "long label text " * 12, "right_rear": NASTY},
                        ),
                        "Nothing measured, " * 12,
                    ),
                    Figure(
                        "runs",
                        (
                            settings(12, "A setting " * 10, "degrees, which way is up " * 5),
                            settings(1),
                            settings(200),
                            SettingsData("Never read", "", (SettingPoint(None),) * 3, 0.1, 0.1),
                            SettingsData("No goal", "", (SettingPoint(5.0),)),
                            SettingsData("Nothing", "", ()),
                        ),
                        "One, twelve and two hundred passes.",
                    ),
                    Figure("rotation", RotationData("left", None, "leave as it is"), "Leave."),
                ),
            ),
            Section("Nothing under this", ()),
        ),
        footer="A footer that goes on and on. " * 8,
    )


def empty():
    return View(title="", subtitle=(), sections=())


VIEWS = {"ordinary": ordinary, "hard": hard, "empty": empty}
