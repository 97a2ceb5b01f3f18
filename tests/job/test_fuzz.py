"""Mutated job files end in a job or in faults, never in anything else.

Where one is still a job, its numbers are what the slow reader of the tests makes of the same
text, and it is worked out to the end: to results without nan, or to a plain word that there are
none.
"""

from __future__ import annotations

import itertools
import json
import random
import re
import time
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.effort import examples
from tests.units.slow_reader import slow_length
from toebox.correct import correct
from toebox.errors import FaultyInput, NoResult
from toebox.job import loads, templates
from toebox.job.model import AXLES, Car, Job
from toebox.report.json import result
from toebox.report.text import render_text
from toebox.report.view.whole import make_view
from toebox.solve import solve

EXAMPLES = examples(150, 100_000)
SAMPLES = Path(__file__).resolve().parents[2] / "samples"
TEXTS = [path.read_text(encoding="utf-8") for path in sorted(SAMPLES.glob("*.toml"))]
TEXTS += [templates.text(name) for name in templates.names()]
PIECES = ["", "0", "-", "1e308", "nan", "inf", '"', "'", "[", "]", "{}", "\n", "\0", "\u202e", "½"]
PIECES += ["[[pass]]\n", "= ", ".", "true", "1/0", "toe-out", "\r", "#", "9" * 30, '"6 left"']
PIECES += ["\ud800", "\\u001b", "\x7f"]


COUNT, WORKED_OUT = itertools.count(), examples(3, 20)  # every so many jobs, to the end
SECONDS = 20.0  # for one file, on a busy machine


def outcome(text: str) -> str:
    """Return the message of faults, checked for what a terminal must not see; empty for a job."""
    began = time.monotonic()
    try:
        job = loads(text, "job")
    except FaultyInput as faulty:
        message = str(faulty)
        assert all(line.isprintable() for line in message.split("\n"))
        assert all(line.startswith("job: ") for line in message.split("\n"))
        return message
    finally:
        assert time.monotonic() - began < SECONDS
    assert_read_right(job, tomllib.loads(text.removeprefix("\ufeff")))
    if next(COUNT) % WORKED_OUT == 0:
        assert_worked_out(job)
    return ""


def assert_read_right(job: Job, document: dict[str, Any]) -> None:
    """Compare the lengths of a job with what the slow reader makes of the document."""
    unit = document["length_unit"].strip().lower()
    for read, told in (*of_car(job.car, document.get("car", {})), *of_passes(job, document)):
        row, texts = (x if isinstance(x, tuple | list) else [x] for x in (read, told))
        assert [x and Fraction(x) for x in row] == [_slow(text, unit) for text in texts], told


Pairs = Iterator[tuple[Any, Any]]  # what the job holds, what the document gives


def of_car(car: Car, table: dict[str, Any]) -> Pairs:
    if "wheelbase" in table:
        yield car.wheelbase, table["wheelbase"]
    for key in ("rim_diameter", "tyre_diameter", "track"):
        one = table.get(key, {})
        by_axle = one if isinstance(one, dict) else dict.fromkeys(AXLES, one)
        assert set(getattr(car, key)) == set(by_axle)
        yield from ((getattr(car, key)[axle], text) for axle, text in by_axle.items())


def of_passes(job: Job, document: dict[str, Any]) -> Pairs:
    for readings, one in zip(job.passes, document.get("pass", []), strict=True):
        for name, table in one.get("string", {}).items():
            if isinstance(table, dict):
                strings = readings.string[name]
                yield from ((getattr(strings, end), texts) for end, texts in table.items())
            else:
                yield getattr(readings, name), table
        for axle, table in one.get("tape", {}).items():
            yield from ((getattr(readings.tape[axle], key), text) for key, text in table.items())


def _slow(given: object, unit: str) -> float | None:
    """Return a length in metres by the slow reader: exact, then as near as a float comes."""
    assert not isinstance(given, bool)
    metres = slow_length(given if isinstance(given, str) else str(Decimal(repr(given))), unit)
    return None if metres is None else Fraction(float(metres))


def assert_worked_out(job: Job) -> None:
    """Solve a job and put it into words; nothing in it may be nan or infinite."""
    if not job.passes:
        return
    passes = tuple(readings._replace(label="label") for readings in job.passes)
    try:
        solution = solve(job._replace(title="title", passes=passes, doubts=()))
    except NoResult:
        return
    corrections = correct(solution)
    json.dumps(result(solution, corrections), allow_nan=False)
    text = render_text(make_view(solution, corrections), 80)
    assert not re.search(r"\b(nan|inf)\b|-0[.0]*[^.0-9/]", text)


@settings(max_examples=EXAMPLES)
@given(st.integers(0, 2**32))
def test_mutated_files(seed: int) -> None:
    draw = random.Random(seed)
    text = draw.choice(TEXTS)
    for _ in range(draw.randint(1, 6)):
        start = draw.randrange(len(text))
        text = text[:start] + draw.choice(PIECES) + text[start + draw.choice([0, 0, 1, 3, 20]) :]
    outcome(text)


NAMES = st.sampled_from(["front", "angle", "left_front", "sweep"])
VALUES = st.recursive(
    st.booleans() | st.integers() | st.floats() | st.sampled_from(["4", "x", "6 left", "\n"]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(NAMES, inner, max_size=3),
    max_leaves=6,
)


def toml(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {toml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    return repr(value) if isinstance(value, int | float) else '"' + value.replace("\n", "\\n") + '"'


KINDS = [
    "true",
    "-1",
    '""',
    "[]",
    "[{}]",
    "[[]]",
    "{}",
    "{ angle = [] }",
    "2026-04-18",
    "09:30:00",
]


@pytest.mark.no_cover
@pytest.mark.parametrize("value", KINDS)
def test_a_value_of_every_kind_under_every_key(value: str) -> None:
    seen = set()
    for text in TEXTS:
        lines, table = text.split("\n"), ""
        for place, line in enumerate(lines):
            key, sign, _ = line.partition(" = ")
            table = line if line.startswith("[") else table
            if sign and not line.endswith("[") and (table, key.strip()) not in seen:
                seen.add((table, key.strip()))
                outcome("\n".join([*lines[:place], f"{key} = {value}", *lines[place + 1 :]]))
    assert len(seen) > 100


@settings(max_examples=EXAMPLES)
@given(st.data())
def test_any_value_under_any_key(data: st.DataObject) -> None:
    lines = TEXTS[data.draw(st.integers(0, len(TEXTS) - 1))].split("\n")
    places = [n for n, line in enumerate(lines) if " = " in line and not line.endswith("[")]
    place = data.draw(st.sampled_from(places))
    key = lines[place].partition(" = ")[0]
    lines[place] = f"{key} = {toml(data.draw(VALUES))}"
    outcome("\n".join(lines))
