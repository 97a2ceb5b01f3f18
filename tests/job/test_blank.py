"""A new job: nothing invented is left in it as a value, nothing of its notes is lost."""

from __future__ import annotations

import re
import tomllib

import pytest

from toebox.errors import FaultyInput
from toebox.job import loads, templates
from toebox.job.blank import blank, in_unit
from toebox.job.draft import Draft
from toebox.job.so_far import job_so_far
from toebox.job.values import PLANNED
from toebox.job.walk import questions

both_units = pytest.mark.parametrize("unit", ["in", "mm"])
every = pytest.mark.parametrize("name", templates.names())


@every
@both_units
def test_everything_of_one_car_is_open(name: str, unit: str) -> None:
    document = tomllib.loads(blank(templates.text(name), unit))
    kept = [q.path for q in questions(document) if q.given != PLANNED]
    assert len(kept) <= 35  # of some 130 in the longest
    for path in kept:
        assert path[0] in ("length_unit", "instruments") or path[-1] in (
            "label", "smallest_turn", "steer", "angle", "tolerance",
        )  # fmt: skip
    assert document["length_unit"] == unit
    assert "adjuster" not in document


@every
@both_units
def test_a_new_job_can_be_read_and_holds_nothing_invented(name: str, unit: str) -> None:
    text = blank(templates.text(name), unit)
    job = job_so_far(tomllib.loads(text), text, "x")
    assert not job.car.rim_diameter
    assert job.car.wheelbase is None
    assert "total_toe.front" not in job.goals
    assert not job.passes[0].string
    assert not job.passes[0].tape
    with pytest.raises(FaultyInput, match="still to be taken"):
        loads(text, "x")


@every
def test_the_examples_put_back_give_the_template(name: str) -> None:
    example = templates.text(name)
    draft = Draft(blank(example))
    asked = questions(tomllib.loads(example))
    old = Draft(example)
    draft.replace([(q.path, old.get(q.path)) for q in asked if q.path[0] != "adjuster"])
    before, after = loads(example, "x"), loads(draft.text, "x")
    for part in ("title", "date", "car", "instruments", "goals", "passes"):
        assert getattr(before, part) == getattr(after, part)


@every
def test_each_note_is_still_there(name: str) -> None:
    text = blank(templates.text(name))
    body = templates.text(name).partition("\n\n")[2]
    for note in re.findall(r"#\s*(.+?);?$", body, re.M):
        assert note in text
    assert '# A "?" is a value that you still have to give' in text
    assert "toebox fill THIS-FILE.toml" in text
    assert "Every value here is an invented example" not in text


@every
@both_units
def test_it_fits_an_editor(name: str, unit: str) -> None:
    text = blank(templates.text(name), unit)
    assert max(map(len, text.splitlines())) <= 105
    assert "such as" in text


@every
def test_a_metric_example_is_the_same_car_to_half_a_millimetre(name: str) -> None:
    inches, metric = (loads(in_unit(templates.text(name), unit), "x") for unit in ("in", "mm"))
    assert metric.length_unit == "mm"
    assert metric.doubts == ()
    assert metric.car.steering_ratio == inches.car.steering_ratio
    for one, other in zip(inches.passes, metric.passes, strict=True):
        for axle, tape in one.tape.items():
            assert other.tape[axle].front_edge == pytest.approx(tape.front_edge, abs=0.000251)
        for wheel, strings in one.string.items():
            assert other.string[wheel].rear == pytest.approx(strings.rear, abs=0.000251)
    assert set(inches.goals) == set(metric.goals)
