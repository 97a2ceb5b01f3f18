"""What is said, and may be said, while a job is filled in."""

from __future__ import annotations

from typing import Any

from toebox.job import answers
from toebox.job.walk import Question, name_of

BACK, SKIP, STOP, HELP = ("b", "back"), ("s", "skip"), ("q", "quit", "stop"), ("?", "help")
CLEAR = ("clear",)
YES, NO = ("y", "yes"), ("n", "no")
WORDS = "Enter keeps what is shown. b: back, s: skip, q: stop, ?: help."
MORE_WORDS = (
    "Type the value in any spelling: 4 5/8 in, 4-5/8 in, 4.625, 117.5 mm. What is read valve up "
    "and valve down may go on one line with a semicolon between the two. b goes back to the "
    "question before, s leaves this one open for later, q stops (go on with the same command), "
    "clear takes an answer out. Every answer is saved as soon as it is typed."
)
SWEPT = (
    "Now the sweeps: the front wheels on turn plates, the rear wheels chocked on blocks as high, "
    "the brakes applied, the steering wheel free. Out is to the left for the left wheel, to the "
    "right for the right wheel; in is the other way."
)
ROLLED = {"string": ", valves down", "inclinometer": ", valves down", "tape": ""}


def first_words(question: Question) -> str:
    """Return what is to be done at the car before a question; empty where nothing is.

    Parameters
    ----------
    question : Question
        To be asked.

    Returns
    -------
    str
        One line.
    """
    if question.of_sweep:
        return SWEPT
    if question.place and question.path[2] in ROLLED:
        valves = ROLLED[str(question.path[2])]
        return f"Now roll the car half a turn of the wheels{valves}, and read again."
    return ""


def places_words(question: Question, values: list[Any]) -> str:
    """Say what each of several readings on one line is taken for.

    Parameters
    ----------
    question : Question
        That was answered.
    values : list
        As the file is to hold them.

    Returns
    -------
    str
        One line.
    """
    if len(values) > 2 or not isinstance(question.path[-1], int):
        turning = str(question.path[2]) in ROLLED and question.path[-1] != "bar_spacing"
        part = f", each 1/{len(values)} of a turn of the wheel on from the last" if turning else ""
        return f"Taken as {len(values)} readings{part}."
    paths = [(*question.path[:-1], place) for place in range(len(values))]
    names = [name_of(path).rpartition(", ")[2] for path in paths]
    pairs = zip(names, values, strict=True)
    return "Taken as " + "; ".join(f"{name} {answers.spoken(v)}" for name, v in pairs) + "."
