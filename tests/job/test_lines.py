"""Lines of keys, against texts that are generated with the lines known."""

from __future__ import annotations

import re
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.effort import examples
from toebox.job.lines import Path, find_lines, first_unread

EXAMPLES = examples(60, 2_000)

NAMES = st.sampled_from(["front", "rear", "a b", "é", "pass", "x-1", "left_front", ""])
TEXTS = ['"3 1/2"', "'# no'", '"[x]"', '"""]"""', '"""over\nlines"""', r'"\" {"']
LONG_TEXTS = ['"""a\\\n"" [\n"""', "'''{\n\n''''"]
SCALARS = st.sampled_from([*TEXTS, *LONG_TEXTS, "1", "1979-05-27", "true", "nan"])
BARE = re.compile("[A-Za-z0-9_-]+")


class Writer:
    """A TOML text under construction, and the line on which each path is complete."""

    def __init__(self) -> None:
        self.text = ""
        self.lines: dict[Path, int] = {}

    @property
    def line(self) -> int:
        return self.text.count("\n") + 1

    def mark(self, path: Path) -> None:
        self.lines.setdefault(path, self.line)


def key(name: str) -> str:
    return name if BARE.fullmatch(name) else f'"{name}"'


def write_value(draw: st.DrawFn, out: Writer, path: Path, depth: int) -> None:
    """Write a scalar, an array over one or several lines, or an inline table."""
    kind = draw(st.integers(0, 4 if depth else 1))
    if kind <= 1:
        out.mark(path)
        out.text += draw(SCALARS)
    elif kind <= 3:
        out.mark(path)
        out.text += "["
        for place in range(draw(st.integers(0, 3))):
            out.text += draw(st.sampled_from(["", "\n", "\n  # a note ]\n  "]))
            write_value(draw, out, (*path, place), depth - 1)
            out.text += ","
        out.text += draw(st.sampled_from(["]", "\n]"]))
    else:
        out.mark(path)
        out.text += "{"
        names = draw(st.lists(NAMES, max_size=2, unique=True))
        for place, name in enumerate(names):
            out.text += ", " if place else ""
            out.text += f"{key(name)} = "
            write_value(draw, out, (*path, name), depth - 1)
        out.text += "}"


@st.composite
def documents(draw: st.DrawFn) -> Writer:
    """Draw top-level keys, tables and arrays of tables, with notes and blank lines between."""
    out = Writer()
    tables = draw(st.lists(st.sampled_from(["car", "pass", "goal"]), max_size=5))
    write_keys(draw, out, ())
    count: dict[str, int] = {}
    for name in tables:
        if name == "pass":
            place = count["pass"] = count.get("pass", -1) + 1
            path: Path = ("pass", place)
            out.mark(("pass",))
            header = "[[pass]]"
        elif name in count:
            continue
        else:
            count[name] = 0
            path, header = (name,), f"[{name}]"
        out.mark(path)
        out.text += header + draw(st.sampled_from(["\n", "  # note = 1\n", "\n\n"]))
        write_keys(draw, out, path)
        if name == "pass" and draw(st.booleans()):
            out.mark((*path, "string"))
            out.text += "[pass.string]\n"
            write_keys(draw, out, (*path, "string"))
    return out


def write_keys(draw: st.DrawFn, out: Writer, path: Path) -> None:
    reserved = {"pass", "string"}
    for name in draw(st.lists(NAMES.filter(lambda n: n not in reserved), max_size=3, unique=True)):
        out.text += f"{key(name)} = "
        write_value(draw, out, (*path, name), 3)
        out.text += draw(st.sampled_from(["\n", "\n\n", " # note\n"]))


@settings(max_examples=EXAMPLES)
@given(documents())
def test_lines_of_generated_texts(document: Writer) -> None:
    tomllib.loads(document.text)
    assert find_lines(document.text, document.lines) == document.lines
    assert find_lines(document.text.replace("\n", "\r\n"), document.lines) == document.lines


@settings(max_examples=EXAMPLES)
@given(documents(), st.sampled_from(["absent", 7]))
def test_absent_parts_are_placed_with_what_is_around_them(document: Writer, part: Any) -> None:
    for path, line in document.lines.items():
        assert find_lines(document.text, [(*path, part)]) == {(*path, part): line}


def test_without_knowing_what_is_open_lines_are_those_where_values_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("toebox.job.lines._TOKEN", re.compile("never"))
    text = "a = 1\nb = [\n1,\n2,\n]\nc = 3\n"
    assert find_lines(text, [("a",), ("b", 0), ("c",)]) == {("a",): 1, ("b", 0): 5, ("c",): 6}


def test_nothing_around_it() -> None:
    assert find_lines("a = 1\n", [("b", "c"), ()]) == {("b", "c"): None, (): None}


def test_dotted_keys_and_tables_that_a_header_implies() -> None:
    text = "a.b.c = 1\na.b.d = 2\n[e.f]\n[[e.g]]\nh.i = 1\n"
    wanted: dict[Path, int | None] = {
        ("a",): 1,
        ("a", "b", "d"): 2,
        ("e",): 3,
        ("e", "g", 0, "h"): 5,
    }
    assert find_lines(text, wanted) == wanted


def test_search_gives_up_on_hostile_texts() -> None:
    text = "".join(f"k{number} = 1\n" for number in range(60_000))
    lines = find_lines(text, [(f"k{number}",) for number in range(0, 60_000, 997)])
    assert None in lines.values()
    assert all(line == number * 997 + 1 for number, line in enumerate(lines.values()) if line)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("a = [\n1,\n2", 1),
        ('a = 1\nb = """\nx\ny\n', 2),
        ("a = 1\n\nb = { c = [\n", 3),
        ("[", 1),
        ("", 1),
    ],
)
def test_where_a_text_that_ends_too_early_begins_to_be_unreadable(text: str, line: int) -> None:
    assert first_unread(text) == line


def test_first_unread_gives_up_on_hostile_texts() -> None:
    text = "a = '''\n" + "x\n" * 30_000
    assert first_unread(text) == 30_001
