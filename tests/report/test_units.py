"""One job, one unit: the user's own; the other one stands in brackets behind it or not at all."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.running import run
from toebox.job import templates
from toebox.job.blank import in_unit

SAMPLES = sorted((Path(__file__).resolve().parents[2] / "samples").glob("*.toml"))
TEXTS = {path.stem: path.read_text("utf-8") for path in SAMPLES} | {
    f"{name} in {unit}": in_unit(templates.text(name), unit)
    for name in ("string-box", "steering-wheel")
    for unit in ("in", "mm")
}
NUMBER = r"(?:\d+(?:\.\d+)?(?: \d+/\d+)?|\d+/\d+)"
WORDS = {"in": rf"{NUMBER} in\b(?! (?:all|order|place|turn))", "mm": rf"{NUMBER} mm\b"}


def foreign(text: str, unit: str) -> list[str]:
    """Numbers in the other unit that no bracket follows the user's own unit with."""
    other = "mm" if unit == "in" else "in"
    own_first = re.compile(rf"{WORDS[unit]} \((?:{WORDS[other]})\)")
    return re.findall(rf".{{0,40}}{WORDS[other]}", own_first.sub("", " ".join(text.split())))


@pytest.mark.parametrize("name", TEXTS)
def test_numbers_are_in_the_users_unit(tmp_path: Path, name: str, monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    text = TEXTS[name]
    unit = re.search(r'^length_unit = "(in|mm)"', text, re.M)[1]
    (tmp_path / "job.toml").write_text(text, "utf-8")
    for words in (["solve"], ["foresee"], ["solve", "--working"]):
        done = run(*words, tmp_path / "job.toml")
        assert done.exit_code == 0, done.stderr
        assert re.search(WORDS[unit], done.stdout) or "across" not in text
        assert foreign(done.stdout, unit) == [], words


def test_a_number_in_the_other_unit_would_be_seen() -> None:
    assert foreign("turn it 0.5 mm more", "in")
    assert foreign("3/64 in (1.2 mm) across 24 in", "in") == []
    assert foreign("1.2 mm (3/64 in) in all", "mm") == []
    assert foreign("24 1/2 in apart", "mm")
