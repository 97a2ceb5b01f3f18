"""The printed sheet: no key forgotten, boxes large enough, nothing but black on white."""

import io
import re
from pathlib import Path

import pypdf
import pytest

from tests.report.pages import opened
from tests.report.test_pdf import overlapping, squeezed, text_of
from toebox.correct import correct
from toebox.errors import NoResult
from toebox.job import load, templates
from toebox.job.keys import Key, keys
from toebox.job.model import WHEELS
from toebox.job.reader import load_written
from toebox.job.values import Length
from toebox.report import sheet_pdf
from toebox.report.drawing_car import CAR
from toebox.report.drawing_taking import TAKING
from toebox.report.pdf import PAPERS
from toebox.report.sheet import Beside, Form
from toebox.report.sheet_pdf import render_sheet
from toebox.report.view import blanks
from toebox.report.view.blanks import Blanks
from toebox.report.view.rods import string_words, tape_words
from toebox.report.view.sheet import make_sheet
from toebox.solve import solve

ROOT = Path(__file__).parents[2]
JOBS = sorted([*(ROOT / "samples").glob("*.toml"), *(ROOT / "templates").glob("*.toml")])
MILLIMETRE = 72 / 25.4
EVERY_KEY = list(dict.fromkeys(map(str, keys())))


def sheet_of(path):
    job, written = load_written(path)
    try:
        solution = solve(job)
    except NoResult:
        return make_sheet(written)
    return make_sheet(written, solution, correct(solution))


def boxes(sheet):
    parts = [block for part in sheet.parts for block in part.blocks]
    forms = [block.form if isinstance(block, Beside) else block for block in parts]
    lines = [line for form in forms if isinstance(form, Form) for line in form.lines]
    return [blank for line in lines for blank in line.blanks if blank.key]


@pytest.fixture(scope="module")
def printed():
    """The blank sheet and one of a job, on each paper."""
    sheets = {"blank": make_sheet(), "job": sheet_of(ROOT / "samples" / "string-box.toml")}
    return {
        (name, paper): render_sheet(sheet, paper=paper)
        for name, sheet in sheets.items()
        for paper in PAPERS
    }


def test_every_key_has_a_box_in_the_order_of_the_schema():
    asked = list(dict.fromkeys(make_sheet().asked()))
    assert set(asked) == set(EVERY_KEY)
    pairs = "adjuster.room."  # opposite ways stand beside each other
    assert [k for k in asked if pairs not in k] == [k for k in EVERY_KEY if pairs not in k]


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_every_key_has_a_box_on_the_sheet_of_a_job(path):
    assert set(sheet_of(path).asked()) >= set(EVERY_KEY)


def test_a_key_that_no_form_names_still_gets_a_box(monkeypatch):
    new = Key(("pass", "moon", "phase"), Length("0", "1"))
    monkeypatch.setattr(blanks, "keys", lambda: (*keys(), new))
    assert "pass.moon.phase" in make_sheet().asked()
    assert make_sheet().parts[-1].heading == "More readings"


@pytest.mark.no_cover
def test_every_box_is_at_least_nine_millimetres_high(printed):
    for (name, _), pdf in printed.items():
        frames = [r for page in opened(pdf).pages for r in page.rects if r["linewidth"] == 1.1]
        asked = len(make_sheet().asked()) if name == "blank" else None
        assert asked is None or len(frames) == asked
        assert len(frames) > 150
        assert min(r["height"] for r in frames) >= 9 * MILLIMETRE
        assert min(r["width"] for r in frames) >= 20 * MILLIMETRE


@pytest.mark.no_cover
def test_squares_to_tick_stand_within_their_box(printed):
    pages = opened(printed["blank", "A4"])
    for page in pages.pages:
        frames = [r for r in page.rects if r["linewidth"] == 1.1]
        for square in filter(is_square, page.rects):
            assert any(
                f["x0"] < square["x0"] < square["x1"] < f["x1"]
                and f["top"] < square["top"] < square["bottom"] < f["bottom"]
                for f in frames
            ), square
    assert sum(is_square(r) for page in pages.pages for r in page.rects) > 50


def is_square(rect):
    """Tell the squares to tick from everything else."""
    return abs(rect["width"] - 8.0) < 0.01 and abs(rect["height"] - 8.0) < 0.01


@pytest.mark.no_cover
def test_a_box_leaves_room_to_write_beside_its_words(printed):
    """At least 10 mm between what is printed in an empty box, or beside it."""
    for page in opened(printed["blank", "A4"]).pages:
        words = page.extract_words()
        for frame in (r for r in page.rects if r["linewidth"] == 1.1):
            inside = sorted(
                (w["x0"], w["x1"])
                for w in words
                if frame["x0"] <= w["x0"] <= frame["x1"]
                and frame["top"] <= w["top"] <= w["bottom"] <= frame["bottom"]
            )
            ends = [frame["x0"], *(x1 for _, x1 in inside)]
            starts = [*(x0 for x0, _ in inside), frame["x1"]]
            room = max(b - a for a, b in zip(ends, starts, strict=True))
            assert room >= 10 * MILLIMETRE, inside


def test_nothing_but_black_and_white(printed):
    for pdf in printed.values():
        for page in pypdf.PdfReader(io.BytesIO(pdf)).pages:
            content = page.get_contents().get_data().decode("latin-1")
            colours = re.findall(r"([\d. ]+) (?:rg|RG|g|G)\b", content)
            assert colours
            assert {float(n) for colour in colours for n in colour.split()} <= {0.0, 1.0}


@pytest.mark.parametrize("name", ["blank", "job"])
@pytest.mark.parametrize("paper", PAPERS)
def test_every_name_is_printed_as_in_the_job_file(printed, name, paper):
    said = text_of(printed[name, paper])
    missing = {
        part
        for key in keys()
        for part in key.path
        if part not in ("goal", "pass", "sweep") and part not in said
    }
    assert missing == set()


def test_the_bars_need_not_hold_the_strings_parallel(printed):
    text = " ".join(text_of(printed["blank", "A4"]).split())
    assert "holding both strings: nearly parallel will do" in text


@pytest.mark.no_cover
@pytest.mark.parametrize("path", JOBS, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_a_sheet_keeps_its_margins_and_overlaps_nothing(path):
    paper = "A4" if path.parent.name == "samples" else "Letter"
    looked_at(render_sheet(sheet_of(path), paper=paper))


def looked_at(pdf):
    for page in opened(pdf).pages:
        left, right = 51.0 - 0.5, float(page.width) - 51.0 + 0.5
        for char in page.chars:
            assert left <= char["x0"] <= char["x1"] <= right, char["text"]
            assert 40.0 <= char["top"] <= char["bottom"] <= float(page.height) - 28.0
            assert char["size"] >= 8.999
        words = page.extract_words(keep_blank_chars=True, use_text_flow=True)
        assert not overlapping(page.chars), page.page_number
        assert not overlapping(words), page.page_number
        assert len(words) > 5


@pytest.mark.no_cover
def test_the_blank_sheet_keeps_its_margins_and_overlaps_nothing(printed):
    for pdf in printed.values():
        looked_at(pdf)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_no_value_is_broken_within_a_word(path, monkeypatch):
    made = []

    class Seen(sheet_pdf.Box):
        def __init__(self, *given):
            super().__init__(*given)
            made.append(self)

    monkeypatch.setattr(sheet_pdf, "Box", Seen)
    render_sheet(sheet_of(path))
    for box in made:
        assert " ".join(box.lines) == box.blank.value
    assert any(box.lines for box in made)


@pytest.mark.no_cover
def test_hard_values_stay_in_their_boxes():
    long = {"title": "A title that is long " * 9, "length_unit": "in"}
    label = "measured again after lunch by lamplight!"
    written = long | {"car": {"wheelbase": "8' 5 3/8\" " * 6}, "pass": [{"label": label}]}
    pdf = render_sheet(make_sheet(written))
    looked_at(pdf)
    assert squeezed(long["title"]) in squeezed(text_of(pdf))


def test_every_small_picture_is_on_the_sheet():
    blocks = [block for part in make_sheet().parts for block in part.blocks]
    figures = [block.figure if isinstance(block, Beside) else block for block in blocks]
    shown = {name for figure in figures if getattr(figure, "name", "") == "steps"
             for name in figure.data}  # fmt: skip
    assert shown == {*CAR, *TAKING}
    assert any(getattr(figure, "name", "") == "setup" for figure in figures)


def test_what_the_job_says_is_filled_in_in_its_own_words():
    sheet = sheet_of(ROOT / "samples" / "string-box.toml")
    found = {blank.key: blank for blank in boxes(sheet)}
    assert found["car.wheelbase"].value == "101 3/8 in"
    assert found["car.track.rear"].value == "57 in"
    assert found["car.rear_toe_adjustable"].chosen == "false"
    assert found["instruments.string_rule.repeatability"].value == "1/128 in"
    assert found["instruments.road_test.repeatability"].value == "2°"
    assert found["goal.front_total_toe.distance"].value == "1/16 in"
    assert found["goal.front_total_toe.distance"].chosen == "toe-in"
    assert found["tie_rods.outer_thread"].value == "M14x1.5"
    assert found["length_unit"].chosen == "in"
    assert found["pass.string.left_front.front"].value == ""


def test_a_tolerance_stands_with_the_kind_of_goal_that_was_given():
    sheet = sheet_of(ROOT / "templates" / "full.toml")
    toes = [b for b in boxes(sheet) if b.key.endswith("total_toe.tolerance")]
    assert [blank.value for blank in toes] == ["1/16 in", "", "", "0°10'"]


def test_camber_has_boxes_for_valve_up_and_valve_down_at_every_wheel():
    for sheet in (make_sheet(), sheet_of(ROOT / "samples" / "caster-as-found.toml")):
        for wheel in WHEELS:
            for key in ("camber", "camber_turned"):
                path = f"pass.inclinometer.{wheel}.{key}"
                assert [b.key for b in boxes(sheet)].count(path) == 2
    forms = [b for part in make_sheet().parts for b in part.blocks if isinstance(b, Form)]
    for form in forms:
        first = form.lines[0].blanks[0].key
        if first.startswith("pass.inclinometer."):
            assert first.endswith(".camber")
            heads = [column for group in form.groups for column in group.columns]
            assert [head.split(";")[0] for head in heads] == ["valve up", "valve down"] * 2


def test_signs_written_as_words_are_ticked():
    make = Blanks({"goal": {"camber": {"left_front": {"angle": "0.5 top in"}}}})
    blank = make.blank("goal.camber.left_front.angle")
    assert (blank.value, blank.chosen) == ("0.5°", "top in")
    for angle, expected in ((-0.5, ("0.5°", "top in")), (1, ("1°", "top out")), (0, ("0°", ""))):
        make = Blanks({"goal": {"camber": {"left_front": {"angle": angle}}}})
        blank = make.blank("goal.camber.left_front.angle")
        assert (blank.value, blank.chosen) == expected
    off = Blanks({"length_unit": "mm"}).blank("pass.steering_wheel_off")
    assert (off.unit, off.choices) == ("°", ("left", "right"))


def test_the_readings_that_a_job_uses_come_first():
    headings = [part.heading for part in sheet_of(ROOT / "samples" / "tape-only.toml").parts]
    order = [headings.index(h) for h in ("Tape [pass.tape]", "Car [car]")]
    also = [n for n, heading in enumerate(headings) if heading.startswith("Also possible: ")]
    assert headings[0] == "What to do next"
    assert order == sorted(order)
    assert len(also) == 6
    assert min(also) > max(order)


def test_without_passes_the_instruments_tell_what_comes_first():
    written = {"length_unit": "in", "instruments": {"string_rule": {"resolution": "1/64"}}}
    headings = [part.heading for part in make_sheet(written).parts]
    assert "Strings [pass.string]" in headings
    assert "Also possible: Tape [pass.tape]" in headings


def test_the_readings_to_stop_at_are_printed():
    path = ROOT / "templates" / "string-box.toml"
    solution = solve(load(path))
    correction = correct(solution)[-1]
    said = squeezed(text_of(render_sheet(sheet_of(path))))
    for rod in correction.rods:
        words = string_words(rod.stop_at_string, solution.job)
        assert squeezed(f"{rod.side.capitalize()} front wheel: {words}.") in said
    tape = tape_words(solution.job, correction.stop_at_tape, correction.tape_across)
    assert squeezed(tape) in said


@pytest.mark.parametrize("front", [100.0, 101.5])
def test_no_reading_to_stop_at_is_printed_where_nothing_is_to_be_turned(tmp_path, front):
    """Who reads that a wheel "is right when" it reads otherwise, turns it all the same."""
    path = tmp_path / "job.toml"
    wheel = "= {{ front = [{0}, {0}], rear = [100, 100] }}\n".format
    path.write_text(
        'length_unit = "mm"\ncar = { wheelbase = 2600, rim_diameter = 400, tyre_diameter = 600 }\n'
        "goal.front_total_toe = { angle = 0.05, tolerance = 0.3 }\n[[pass]]\n[pass.string]\n"
        f"left_front {wheel(front)}right_front {wheel(front)}"
        f"left_rear {wheel(100)}right_rear {wheel(100)}"
    )
    rods = correct(solve(load(path)))[-1].rods
    assert all(rod.stop_at_string is not None for rod in rods)
    assert any(rod.to_set for rod in rods) == (front > 101)
    said = squeezed(text_of(render_sheet(sheet_of(path))))
    assert ("leftfrontwheel:" in said.lower()) == (front > 101)


def test_a_job_of_planned_readings_has_a_sheet(tmp_path):
    text = templates.text("tape-only")
    planned = re.sub(r'^(front_edge|rear_edge) = \[.*?\]', r'\1 = "?"', text, flags=re.M)
    assert planned.count('"?"') == 2
    (tmp_path / "plan.toml").write_text(planned, "utf-8")
    headings = [part.heading for part in sheet_of(tmp_path / "plan.toml").parts]
    assert headings[0] == "Before measuring"
    assert "Tape [pass.tape]" in headings


def test_the_same_bytes_every_time_and_the_date_of_the_job():
    path = ROOT / "samples" / "string-box.toml"
    pdf = render_sheet(sheet_of(path))
    assert pdf == render_sheet(sheet_of(path))
    assert pypdf.PdfReader(io.BytesIO(pdf)).metadata.creation_date.date() == load(path).date


def test_an_unknown_paper_is_refused():
    with pytest.raises(ValueError, match="paper: wanted A4 or Letter, not 'A5'"):
        render_sheet(make_sheet(), paper="A5")


def test_a_sheet_for_a_job_without_a_title_has_one_of_its_own() -> None:
    """A new job holds "?" wherever only its owner knows."""
    written = {"title": "?", "length_unit": "mm", "pass": [{"tape": {"front": {}}}]}
    sheet = make_sheet(written)
    assert sheet.title == make_sheet(None).title
    assert sheet.subtitle[0] == "Sheet for the first pass."
    assert make_sheet({**written, "title": "Van"}).title == "Van"
