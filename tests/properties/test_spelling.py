"""However a job is spelt and in whatever order it stands, it means one result.

The samples are read by the standard TOML reader, their lengths by the slow reader of the tests;
then they are written anew: in inches or millimetres, keys and tables shuffled.
"""

from __future__ import annotations

import json
import random
import tomllib
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.effort import examples
from tests.units.slow_reader import slow_length
from toebox.cli.answer import result_of
from toebox.correct import correct
from toebox.job import loads
from toebox.solve import solve

pytestmark = pytest.mark.no_cover
SAMPLES = sorted((Path(__file__).resolve().parents[2] / "samples").glob("*.toml"))
# Keys that hold a length wherever they stand; those under an angle's instrument or goal do not.
LENGTHS = {
    *("wheelbase", "rim_diameter", "tyre_diameter", "track", "wheelbase_left", "wheelbase_right"),
    *("rim_runout", "strings_parallel_within", "box_square_within", "floor_level_within"),
    *("arm_length", "outer_engaged", "inner_engaged", "distance", "across", "bar_spacing"),
    *("front_bar_width", "rear_bar_width", "front_edge", "rear_edge", "hub"),
}
TABLES_OF_LENGTHS = {"string", "floor", "string_rule", "tape", "track", "rim_diameter"}
SIGNS = ("toe-in", "toe-out")
Speller = Callable[[Fraction], Any]


def respelt(value: Any, key: str, inside: tuple[str, ...], unit: str, spell: Speller) -> Any:
    """Return a value of a job with every length in it spelt anew."""
    if isinstance(value, dict):
        distance = "distance" in value
        here = (*inside, "string") if distance else (*inside, key)
        return {k: respelt(v, k, here, unit, spell) for k, v in value.items()}
    if isinstance(value, list):
        return [respelt(v, key, inside, unit, spell) for v in value]
    is_length = key in LENGTHS or bool(TABLES_OF_LENGTHS & set(inside))
    return _spelt(value, unit, spell) if is_length and not isinstance(value, bool) else value


def _spelt(value: Any, unit: str, spell: Speller) -> Any:
    text, word = str(value), ""
    for sign in SIGNS:
        if text.endswith(sign):
            text, word = text.removesuffix(sign).strip(), f" {sign}"
    metres = slow_length(text, unit)
    assert metres is not None, text
    return f"{spell(metres * 1000)}{word}"


def decimal(value: Fraction) -> str:
    """Return a fraction as a decimal; it must be one."""
    for digits in range(20):
        if (value * 10**digits).denominator == 1:
            return f"{'-' * (value < 0)}{abs(value) * 10**digits // 10**digits}" + (
                f".{int(abs(value) * 10**digits % 10**digits):0{digits}d}" if digits else ""
            )
    raise AssertionError(value)


def inches(millimetres: Fraction) -> str:
    value = millimetres / Fraction(254, 10)
    whole, part = divmod(abs(value), 1)
    sign = "-" if value < 0 else ""
    return sign + (f"{whole} {part}" if whole and part else f"{part or whole}") + " in"


def spellers(draw: random.Random) -> Speller:
    """Return a speller that writes each length in a way of its own."""
    ways: list[Speller] = [
        inches,
        lambda mm: inches(mm).replace(" in", '"'),
        lambda mm: f"{decimal(mm)} mm",
        lambda mm: f"{decimal(mm / 10)} cm",
        lambda mm: f"{decimal(mm / 1000)} m",
    ]
    return lambda mm: draw.choice(ways)(mm)


def toml(value: Any, draw: random.Random | None = None) -> str:
    """Write a value as TOML on one line, its keys shuffled."""
    if isinstance(value, dict):
        pairs = (f"{json.dumps(k)} = {toml(v, draw)}" for k, v in items(value, draw))
        return "{ " + ", ".join(pairs) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(toml(item, draw) for item in value) + "]"
    if isinstance(value, date):
        return value.isoformat()
    return json.dumps(value, ensure_ascii=False)


def items(table: dict[str, Any], draw: random.Random | None) -> list[tuple[str, Any]]:
    found = list(table.items())
    if draw is not None:
        draw.shuffle(found)
    return found


def written(document: dict[str, Any], draw: random.Random | None = None) -> str:
    """Write a whole job, keys at the top shuffled too; passes stay in their order."""
    return "\n".join(f"{key} = {toml(value, draw)}" for key, value in items(document, draw))


def result(text: str) -> dict[str, Any]:
    solution = solve(loads(text, "job"))
    return result_of((solution, correct(solution)))


def numbers(value: Any, path: str = "") -> dict[str, Any]:
    """Return every number and decision of a result by its path; words and lists of words left."""
    if isinstance(value, dict):
        parts = (numbers(item, f"{path}.{key}") for key, item in value.items())
        return {key: number for part in parts for key, number in part.items()}
    if isinstance(value, list):
        named = enumerate(item for item in value if isinstance(item, dict))
        keyed = {str(item.get("reading", item.get("compared", n))): item for n, item in named}
        return numbers(keyed, path)
    return {path: value}


def assert_same(one: dict[str, Any], two: dict[str, Any], close: float = 1e-9) -> None:
    first, second = numbers(one), numbers(two)
    assert set(first) == set(second)
    for path, value in first.items():
        if isinstance(value, float):
            assert second[path] == pytest.approx(value, rel=1e-6, abs=close), path
        elif not path.endswith((".assumed", ".words")):
            assert second[path] == value, path


def sample(path: Path) -> dict[str, Any]:
    return tomllib.loads(path.read_text("utf-8"))


@settings(max_examples=examples(8, 1_000))
@given(seed=st.integers(0, 2**32))
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_lengths_in_any_unit(path: Path, seed: int) -> None:
    """Not one bit differs: every spelling is read to the same exact fraction."""
    document = sample(path)
    anew = respelt(document, "", (), document["length_unit"], spellers(random.Random(seed)))
    assert anew != document
    assert numbers(result(written(anew))) == numbers(result(written(document)))


@settings(max_examples=examples(8, 1_000))
@given(seed=st.integers(0, 2**32))
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_keys_and_tables_in_any_order(path: Path, seed: int) -> None:
    document = sample(path)
    assert_same(result(written(document)), result(written(document, random.Random(seed))))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_file_may_end_its_lines_in_either_way(path: Path) -> None:
    text = path.read_text("utf-8")
    assert numbers(result(text.replace("\n", "\r\n"))) == numbers(result(text))
