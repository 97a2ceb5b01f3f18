"""Every template and sample is a job that a person could have measured."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from toebox.job import load, loads, templates

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = sorted((ROOT / "samples").glob("*.toml"))


@pytest.mark.parametrize("name", templates.names())
def test_template(name: str) -> None:
    text = templates.text(name)
    job = loads(text, name)
    assert job.doubts == ()
    assert job.passes
    assert job.goals
    assert "invented example" in text
    assert max(map(len, text.splitlines())) <= 105


def test_every_template_file_has_its_name() -> None:
    assert {path.stem for path in (ROOT / "templates").glob("*.toml")} == set(templates.names())
    with pytest.raises(KeyError, match="nothing"):
        templates.text("nothing")


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_sample(path: Path) -> None:
    job = load(path)
    assert job.doubts == ()
    assert path.read_text(encoding="utf-8").startswith("# Invented for this project: ")


def test_there_are_enough_samples() -> None:
    names = {path.stem for path in SAMPLES}
    assert names >= {"string-box", "metric", "tape-only", "tape-and-road-test", "crooked-box"}
    assert len(load(ROOT / "samples" / "string-box.toml").passes) == 2


def test_naive_answer_stated_in_the_crooked_box() -> None:
    """Front reading minus rear reading over the rim, as the comment says it comes out."""
    job = load(ROOT / "samples" / "crooked-box.toml")
    stated = [float(n) for n in re.findall(r"([\d.]+) deg toe-(?:in|out)", _naive_comment())]
    naive = {
        wheel: math.degrees(math.asin((s.front[0] - s.rear[0]) / job.car.rim_diameter["front"]))
        for wheel, s in job.passes[0].string.items()
    }
    left, right, total = stated
    for axle in ("front", "rear"):
        assert naive[f"left_{axle}"] == pytest.approx(-left, abs=0.005)
        assert naive[f"right_{axle}"] == pytest.approx(right, abs=0.005)
        both = naive[f"left_{axle}"] + naive[f"right_{axle}"]
        assert both == pytest.approx(total, abs=0.006)


def _naive_comment() -> str:
    text = (ROOT / "samples" / "crooked-box.toml").read_text(encoding="utf-8")
    return text.partition("naive answer")[2].partition("title =")[0]
