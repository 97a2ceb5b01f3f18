"""Mutated job files end in a job or in faults, never in anything else."""

from __future__ import annotations

import random
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.effort import examples
from toebox.errors import FaultyInput
from toebox.job import loads, templates

EXAMPLES = examples(150, 100_000)
SAMPLES = Path(__file__).resolve().parents[2] / "samples"
TEXTS = [path.read_text(encoding="utf-8") for path in sorted(SAMPLES.glob("*.toml"))]
TEXTS += [templates.text(name) for name in templates.names()]
PIECES = ["", "0", "-", "1e308", "nan", "inf", '"', "'", "[", "]", "{}", "\n", "\0", "\u202e", "½"]
PIECES += ["[[pass]]\n", "= ", ".", "true", "1/0", "toe-out", "\r", "#", "9" * 30, '"6 left"']
PIECES += ["\ud800", "\\u001b", "\x7f"]


def outcome(text: str) -> str:
    """Return the message of faults, checked for what a terminal must not see; empty for a job."""
    try:
        loads(text, "job")
    except FaultyInput as faulty:
        message = str(faulty)
        assert all(line.isprintable() for line in message.split("\n"))
        assert all(line.startswith("job: ") for line in message.split("\n"))
        return message
    return ""


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


@settings(max_examples=EXAMPLES)
@given(st.data())
def test_any_value_under_any_key(data: st.DataObject) -> None:
    lines = TEXTS[data.draw(st.integers(0, len(TEXTS) - 1))].split("\n")
    places = [n for n, line in enumerate(lines) if " = " in line and not line.endswith("[")]
    place = data.draw(st.sampled_from(places))
    key = lines[place].partition(" = ")[0]
    lines[place] = f"{key} = {toml(data.draw(VALUES))}"
    outcome("\n".join(lines))
