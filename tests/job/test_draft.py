"""A job file that is changed by a program keeps every note and its layout."""

from __future__ import annotations

import difflib
import re
import tomllib
from pathlib import Path

import pytest

from toebox.job import templates
from toebox.job.answers import spoken
from toebox.job.draft import CannotChange, Draft
from toebox.job.walk import questions

SAMPLES = Path(__file__).resolve().parents[2] / "samples"
TEXTS = {name: templates.text(name) for name in templates.names()} | {
    path.stem: path.read_text("utf-8") for path in sorted(SAMPLES.glob("*.toml"))
}


LAID_OUT = ("full", "toe-plates", "metric")  # the variety of layouts


def notes(text: str) -> list[str]:
    """Every note, without the blanks before it."""
    return re.findall(r"#.*", text)


def others(text: str, at: list[int]) -> list[str]:
    return [line for n, line in enumerate(text.split("\n")) if n not in at]


def changed(before: str, after: str) -> list[int]:
    old, new = before.split("\n"), after.split("\n")
    assert len(old) == len(new)
    return [n for n, pair in enumerate(zip(old, new, strict=True)) if pair[0] != pair[1]]


@pytest.mark.parametrize("name", LAID_OUT)
def test_a_new_value_changes_its_own_line_alone(name: str) -> None:
    text = TEXTS[name]
    for question in questions(tomllib.loads(text))[:: 1 + 4 * (name == "full")]:
        draft = Draft(text)
        value = f"{spoken(question.given)} changed"
        draft.set(question.path, value)
        assert len(changed(text, draft.text)) == 1, question.path
        assert notes(draft.text) == notes(text)
        found = tomllib.loads(draft.text)
        for part in question.path:
            found = found[part]
        assert found == value


@pytest.mark.parametrize("name", ["string-box", "steering-wheel", "crooked-box"])
def test_all_values_one_after_another(name: str) -> None:
    """As in a long evening: every value anew, then every value back."""
    draft = Draft(TEXTS[name])
    before = {q.path: draft.get(q.path) for q in questions(draft.document)}
    for path in before:
        draft.set(path, "?")
    assert notes(draft.text) == notes(TEXTS[name])
    for path, value in before.items():
        draft.set(path, value)
    assert tomllib.loads(draft.text) == tomllib.loads(TEXTS[name])
    assert notes(draft.text) == notes(TEXTS[name])
    assert draft.text.count("\n") == TEXTS[name].count("\n")


@pytest.mark.parametrize("name", LAID_OUT)
def test_a_note_keeps_its_column_where_there_is_room(name: str) -> None:
    text = TEXTS[name]
    for question in questions(tomllib.loads(text))[:: 1 + 4 * (name == "full")]:
        draft = Draft(text)
        draft.set(question.path, "?")
        (place,) = changed(text, draft.text)
        old, new = text.split("\n")[place], draft.text.split("\n")[place]
        if "  #" in old:
            assert new.index("#") == old.index("#"), new


NEW = {
    ("title",): "My car",
    ("car", "wheelbase"): "101 1/2",
    ("goal", "camber", "left_front", "angle"): -1.5,
    ("goal", "thrust_angle", "angle"): 0,
    ("tie_rods", "left", "outer_engaged"): "1 1/8",
    ("instruments", "road_test", "resolution"): 1,
    ("pass", 0, "steering_wheel_off"): "5 left",
    ("pass", 0, "turned", "left"): "1/2 lengthen",
    ("pass", 0, "floor", "front"): "1/8",
    ("pass", 0, "string", "left_front", "hub"): ["5", 5.5],
    ("pass", 0, "string", "bar_spacing"): "172",
    ("pass", 0, "tape", "rear", "front_edge"): "57",
    ("pass", 0, "inclinometer", "left_rear", "camber"): "1 top in",
}


@pytest.mark.parametrize("name", TEXTS)
def test_a_new_key_stands_in_its_table_and_nothing_moves(name: str) -> None:
    draft = Draft(TEXTS[name])
    for path, value in NEW.items():
        if not (isinstance(draft.get(path[:-1]), str) or draft.get(path) is not None):
            before = draft.text
            draft.set(path, value)
            delta = difflib.ndiff(before.split("\n"), draft.text.split("\n"))
            assert sum(line.startswith("- ") for line in delta) <= 1, path
            assert draft.get(path) == value
    assert notes(draft.text) == notes(TEXTS[name])


def test_how_new_lines_look() -> None:
    draft = Draft('title = "x"\n\n# the car\n[car]  # mine\ntrack = 57 # a\n  # note\n\n# more\n')
    draft.add_pass("[[pass]]\n")
    draft.set(("pass", 0, "string", "left_front", "front"), ["4 5/8", "?"])
    draft.set(("pass", 0, "string", "right_front", "front"), "5")
    draft.set(("pass", 0, "string", "right_front", "rear"), "5")
    draft.set(("car", "wheelbase"), "101")
    draft.set(("date",), 2026)
    assert draft.text == """title = "x"
date = 2026

# the car
[car]  # mine
track = 57 # a
  # note
wheelbase = "101"

# more

[[pass]]

[pass.string]
left_front = { front = ["4 5/8", "?"] }
right_front = { front = "5", rear = "5" }
"""


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_and_byte_order_mark_stay(ending: str, mark: str) -> None:
    text = mark + 'title = "a"\n# note\n[car]\nwheelbase = 99\n'.replace("\n", ending)
    draft = Draft(text)
    assert draft.text == text
    draft.set(("title",), "b")
    draft.set(("car", "track"), 57)
    draft.add_pass('[[pass]]\nlabel = "x"\n')
    assert draft.text.startswith(mark + f'title = "b"{ending}# note{ending}')
    assert draft.text.count("\n") == draft.text.count(ending)
    assert draft.text.count("\r") == (draft.text.count("\n") if ending == "\r\n" else 0)


ODD = '''
car.wheelbase = 99
"car"."track" = { front = 57 }
instruments = { tape = { resolution = 1 } }
[ tie_rods ]   # header with blanks
left.outer_engaged = 1
[[ pass ]]
label = """two
lines # no note"""
string.left_front = { front = [
  "4 5/8", # up
  "4 9/16",
] }
[pass.tape.front]
front_edge = 57
[[pass]]
tape.front.front_edge = 58
'''


@pytest.mark.parametrize(
    "path",
    [
        ("car", "wheelbase"), ("car", "track", "front"), ("car", "track", "rear"),
        ("instruments", "tape", "resolution"), ("tie_rods", "left", "outer_engaged"),
        ("pass", 0, "string", "left_front", "front", 1), ("pass", 0, "tape", "front", "rear_edge"),
        ("pass", 1, "tape", "front", "front_edge"), ("pass", 1, "label"),
        ("pass", 1, "string", "left_rear", "rear"), ("goal", "thrust_angle", "angle"),
    ],
)  # fmt: skip
def test_odd_layouts_are_changed_rightly_or_not_at_all(path: tuple) -> None:
    draft = Draft(ODD)
    try:
        draft.set(path, "new")
    except CannotChange:
        assert draft.text == ODD
        return
    found = tomllib.loads(draft.text)
    for part in path:
        found = found[part]
    assert found == "new"
    assert {"# up", "# header with blanks"} <= set(notes(draft.text))


def test_most_odd_layouts_can_be_changed() -> None:
    draft = Draft(ODD)
    draft.set(("car", "wheelbase"), 100)
    draft.set(("pass", 0, "tape", "front", "front_edge"), "57 1/8")
    draft.set(("pass", 0, "tape", "front", "rear_edge"), "57 1/4")
    draft.set(("pass", 1, "tape", "front", "front_edge"), 59)
    assert 'front_edge = "57 1/8"\nrear_edge = "57 1/4"\n[[' in draft.text


def test_what_cannot_be_is_refused_and_changes_nothing() -> None:
    draft = Draft("car = 5\n")
    with pytest.raises(CannotChange, match=r"car\.wheelbase stands where a single value is"):
        draft.set(("car", "wheelbase"), 1)
    with pytest.raises(CannotChange, match="cannot be written into this file"):
        draft.set(("x",), float("nan"))  # it never equals itself
    assert (draft.text, draft.document) == ("car = 5\n", {"car": 5})


def test_texts_with_quotes_and_signs_come_back() -> None:
    for text in ("8' 5 1/2\"", "back\\slash", "0°09'", "3\u00a015⁄16", "tab\there", "\u2028x"):
        draft = Draft("a = 1\n")
        draft.set(("a",), text)
        assert tomllib.loads(draft.text) == {"a": text}
        draft.set(("t", "b"), {"c": [text]})
        assert tomllib.loads(draft.text)["t"]["b"]["c"] == [text]


@pytest.mark.parametrize("name", TEXTS)
def test_readings_can_be_taken_out_until_nothing_is_left(name: str) -> None:
    draft = Draft(TEXTS[name])
    while found := [q for q in questions(draft.document) if q.is_reading]:
        draft.remove(found[-1].path)
    assert notes(draft.text)[:3] == notes(TEXTS[name])[:3]
    assert set(draft.document["pass"][0]) <= {"label", "turned"}
