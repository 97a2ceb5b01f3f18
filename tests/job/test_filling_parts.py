"""The parts of filling in a job: what to ask, how to read it, what is unlike its twin."""

from __future__ import annotations

import datetime
import tomllib

import pytest

from toebox.errors import FaultyInput, FaultyText
from toebox.job import loads, templates
from toebox.job.answers import answer, expected, size_of, spoken, with_units
from toebox.job.draft import Draft
from toebox.job.keys import keys
from toebox.job.offers import ALL, next_pass, offers, take_up
from toebox.job.so_far import job_so_far, taken
from toebox.job.twins import unlike_twin
from toebox.job.values import PLANNED, Angle, Length
from toebox.job.walk import name_of, questions

FULL = tomllib.loads(templates.text("full"))
ASKED = {question.path: question for question in questions(FULL)}


def kind(*path):
    return ASKED[path].kind


# what is asked


def test_the_order_is_that_of_the_keys_of_the_job_file() -> None:
    order = {path: place for place, path in enumerate(dict.fromkeys(k.path for k in keys()))}
    places = []
    for question in questions(FULL):
        names = tuple(part for part in question.path if isinstance(part, str))
        key = next((p for p in ((*names, "front"), (*names, "left")) if p in order), names)
        elsewhere = {"adjuster", "sweep", "rear_total_toe"} & set(names)
        if key in order and not (question.repeats and question.place) and not elsewhere:
            places.append(order[key])
    assert len(places) > 60
    assert places == sorted(places)


def test_valve_up_at_every_wheel_comes_before_valve_down() -> None:
    rounds = [
        q.place for q in questions(FULL) if q.path[2:3] == ("string",) and q.repeats
        and isinstance(q.path[-1], int)
    ]  # fmt: skip
    assert rounds == [0] * 8 + [1] * 8


def test_only_what_the_job_has_is_asked() -> None:
    asked = [q.path for q in questions(tomllib.loads(templates.text("tape-only")))]
    assert ("pass", 0, "tape", "front", "front_edge", 1) in asked
    assert not any("string" in path or "inclinometer" in path for path in asked)


def test_every_question_says_what_and_how() -> None:
    for question in questions(FULL):
        assert question.name
        assert question.hint, question.path
        assert expected(question.kind, "in")
        assert expected(question.kind, "mm")


@pytest.mark.parametrize("unit", ["in", "mm"])
def test_the_limits_of_a_length_are_told_as_they_are(unit: str) -> None:
    lengths = [question for question in questions(FULL) if isinstance(question.kind, Length)]
    assert len(lengths) > 40
    size = {"in": 0.0254, "mm": 0.001}[unit]
    for question in lengths:
        told = expected(question.kind, unit).partition(f" {unit}")[0].replace("−", "-")
        low, high = (float(limit) * size for limit in told.split(" to "))
        assert low == pytest.approx(question.kind.low, rel=1e-9), question.path
        assert high == pytest.approx(question.kind.high, rel=1e-9), question.path


@pytest.mark.parametrize(
    "path, name",
    [
        (("pass", 0, "tape", "front", "rear_edge", 1),
         "Tape, front axle, rear edge, after half a turn"),
        (("pass", 1, "inclinometer", "left_front", "sweep", 2, "camber"),
         "Gauge, left front wheel, sweep, stop 3, camber"),
        (("pass", 0, "turned", "left"), "Turned, left tie rod"),
        (("tie_rods", "left", "outer_engaged"), "Tie rods, left, outer engaged"),
        (("adjuster", 1, "kind"), "Adjuster 2, kind"),
        (("pass", 0, "steering_wheel_off", 2), "Steering wheel off, reading 3"),
    ],
)  # fmt: skip
def test_names(path, name) -> None:
    assert name_of(path) == name


# what is typed


@pytest.mark.parametrize("question", questions(FULL), ids=lambda q: ".".join(map(str, q.path)))
def test_what_the_file_has_can_be_typed(question) -> None:
    value = answer(spoken(question.given), question.kind, question.path, "in")
    assert value == question.given or spoken(value) == spoken(question.given)


@pytest.mark.parametrize("question", questions(FULL)[::7], ids=lambda q: str(q.path[-1]))
def test_nonsense_is_refused_with_what_is_wanted(question) -> None:
    if not hasattr(question.kind, "longest"):
        with pytest.raises(FaultyText, match=r"\w{2}"):
            answer("nonsense 9/0", question.kind, question.path, "in")


@pytest.mark.parametrize(
    "path, typed, value",
    [
        (("car", "rear_toe_adjustable"), "Y", True),
        (("car", "rear_axle"), "SOL", "solid"),
        (("date",), "2026-02-03", datetime.date(2026, 2, 3)),
        (("date",), "today", datetime.date.today()),
        (("car", "steering_ratio"), "16", 16),
        (("car", "steering_ratio"), "16.5:1", "16.5:1"),
        (("pass", 0, "steering_wheel_off"), "6 deg to the left", "6 deg to the left"),
        (("pass", 0, "tape", "rear", "front_edge"), "1457.5mm", "1457.5mm"),
        (("pass", 0, "tape", "rear", "front_edge"), "57.25", 57.25),
        (("pass", 0, "tape", "rear", "front_edge"), "4' 9 3/8\"", "4' 9 3/8\""),
        (("pass", 0, "tape", "rear", "front_edge"), "  57   3/8 ", "57 3/8"),
        (("pass", 0, "inclinometer", "left_rear", "camber"), "1°12' top in", "1°12' top in"),
    ],
)
def test_spellings(path, typed, value) -> None:
    assert answer(typed, kind(*path), path, "in") == value


def test_the_wrong_unit_is_guessed() -> None:
    path = ("pass", 0, "tape", "rear", "front_edge")
    with pytest.raises(FaultyText, match=r"\(was it meant in cm\?\)"):
        answer("146", kind(*path), path, "in")


@pytest.mark.parametrize("name", templates.names())
def test_units_are_written_out_before_the_unit_changes(name: str) -> None:
    """The job means the same afterwards."""
    draft = Draft(templates.text(name))
    for path, text in with_units(draft.document, "in"):
        draft.set(path, text)
    draft.set(("length_unit",), "mm")
    before, after = loads(templates.text(name), ""), loads(draft.text, "")
    for part in ("car", "goals", "tie_rods", "passes"):
        assert getattr(before, part) == getattr(after, part)
    for name in before.instruments.stated:  # others have defaults of either unit
        assert getattr(before.instruments, name) == getattr(after.instruments, name)
    assert with_units(draft.document, "mm") == []


# twins


def doubt(typed: str, path: tuple, others: dict, unit: str = "in") -> str:
    document = Draft("[[pass]]\n[[pass]]\n")
    for where, value in others.items():
        document.set(where, value)
    question = ASKED[("pass", 0, *path[2:]) if path[0] == "pass" else path]
    value = answer(typed, question.kind, path, unit)
    return unlike_twin(value, question.kind, path, document.get, unit)


STRING = ("pass", 0, "string")
FRONT_EDGE = (*STRING, "left_front", "front", 0)
REAR_EDGE = (*STRING, "left_front", "rear", 0)
RIGHT = (*STRING, "right_front", "front", 0)
TAPE = ("pass", 0, "tape", "rear", "front_edge")
CAMBER = ("pass", 0, "inclinometer", "left_rear", "camber")


@pytest.mark.parametrize(
    "path, typed, others, said",
    [
        (REAR_EDGE, "11.7", {FRONT_EDGE[:-1]: ["4 5/8"]},
         "The front edge of this wheel is 4 5/8, this 11.7; was one of them read in another unit "
         "(inches for centimetres)?"),
        (FRONT_EDGE, "4 5/8", {REAR_EDGE[:-1]: "6 5/8"}, "is one of them a slip?"),
        (FRONT_EDGE, "12", {RIGHT[:-1]: ["4 3/4"]}, "The right wheel's is 4 3/4, this 12;"),
        ((*FRONT_EDGE[:-1], 1), "4 1/8", {FRONT_EDGE[:-1]: ["4 5/8"]},
         "The same reading before is 4 5/8"),
        (TAPE, "61 1/4", {(*TAPE[:-1], "rear_edge"): "57 1/4"}, "The rear edge of this axle"),
        (TAPE, "80", {("pass", 0, "tape", "front", "front_edge"): ["57"]},
         "That of the front axle is 57, this 80"),
        (CAMBER, "2.5 top out", {("pass", 0, "inclinometer", "right_rear", "camber"): -2.4},
         "is the direction of one of them right?"),
        (("pass", 0, "wheelbase_left"), "106", {("car", "wheelbase"): "101 3/8"},
         "The car's wheelbase is 101 3/8, this 106"),
        ((*STRING, "front_bar_width"), "67", {(*STRING, "rear_bar_width"): "1 m"},
         "The width at the rear bar is 1 m"),
        (("pass", 1, *TAPE[2:]), "75 1/4", {TAPE: "57 1/4"},
         "The same in the pass before is 57 1/4, this 75 1/4"),
        (("car", "rim_diameter", "front"), "29", {("car", "rim_diameter", "rear"): "15"},
         "The one of the rear axle is 15"),
    ],
)  # fmt: skip
def test_what_is_unlike_its_twin_is_named(path, typed, others, said) -> None:
    assert said in doubt(typed, path, others)


@pytest.mark.parametrize(
    "path, typed, others",
    [
        (REAR_EDGE, "4 17/32", {FRONT_EDGE[:-1]: ["4 5/8"]}),
        (REAR_EDGE, "117 mm", {FRONT_EDGE[:-1]: ["4 5/8"]}),
        (REAR_EDGE, "4 17/32", {FRONT_EDGE[:-1]: [PLANNED]}),
        (REAR_EDGE, "4 17/32", {}),
        (REAR_EDGE, "4 17/32", {FRONT_EDGE[:-1]: ["unreadable"]}),
        (CAMBER, "1.5 top in", {("pass", 0, "inclinometer", "right_rear", "camber"): -0.4}),
        (("title",), "any", {}),
    ],
)
def test_what_is_like_its_twin_is_not(path, typed, others) -> None:
    assert doubt(typed, path, others) == ""


@pytest.mark.parametrize("name", templates.names())
def test_no_reading_of_a_template_is_unlike_its_twin(name: str) -> None:
    document = Draft(templates.text(name))
    for question in questions(document.document):
        said = unlike_twin(question.given, question.kind, question.path, document.get, "in")
        assert said == "", question.path


def test_no_size_for_what_is_none() -> None:
    assert size_of("x", kind("title"), "in") is None
    assert size_of("nonsense", kind(*TAPE), "in") is None


# what is there so far


def test_what_is_left_open_is_not_there() -> None:
    text = templates.text("string-box").replace('"4 9/16"', '"?"').replace('"172"', '"?"')
    with pytest.raises(FaultyInput, match="the reading itself"):
        loads(text, "x")
    document = taken(tomllib.loads(text))
    assert document["pass"][0]["string"]["left_front"]["front"] == ["4 5/8"]
    assert "bar_spacing" not in document["pass"][0]["string"]


def test_a_stop_without_its_camber_is_not_there() -> None:
    text = templates.text("full").replace("camber = 1.4 }", 'camber = "?" }')
    job = job_so_far(tomllib.loads(text), text, "x")
    assert len(job.passes[0].gauge["left_front"].sweep) == 2


@pytest.mark.parametrize("name", templates.names())
def test_with_everything_left_open_a_job_can_still_be_read(name: str) -> None:
    draft = Draft(templates.text(name))
    kept = {("length_unit",), ("title",)}
    asked = questions(draft.document)
    draft.replace([(q.path, PLANNED) for q in asked if q.path not in kept])
    job = job_so_far(draft.document, draft.text, "x")
    assert job.goals == {}
    assert all(not one.string and not one.tape and not one.gauge for one in job.passes)


def test_a_value_that_is_no_reading_may_be_left_open() -> None:
    text = 'title = "?"\nlength_unit = "in"\n[car]\nwheelbase = "?"\n[goal]\n'
    text += 'front_total_toe = { distance = "?", tolerance = "1/16" }\n'
    job = loads(text, "x")
    assert (job.title, job.car.wheelbase, dict(job.goals)) == ("Wheel alignment", None, {})


def test_other_faults_are_told_with_their_lines() -> None:
    text = 'length_unit = "in"\ntitel = "x"\n'
    with pytest.raises(FaultyInput, match=r"line 2: titel"):
        job_so_far(tomllib.loads(text), text, "x")


def test_a_further_pass_without_readings_is_left_out() -> None:
    text = templates.text("tape-only") + "\n" + next_pass(
        tomllib.loads(templates.text("tape-only")), "later"
    )
    assert len(job_so_far(tomllib.loads(text), text, "x").passes) == 1
    text = text.replace('front_edge = ["?", "?"]', 'front_edge = ["57", "?"]')
    assert len(job_so_far(tomllib.loads(text), text, "x").passes) == 2


# more readings, more passes


# What tells nothing by itself.
BESIDE_OTHERS = {
    "the bars that hold the strings",
    "the turns of the steering wheel to each lock",
    "how level the floor is",
}


@pytest.mark.parametrize("offer", ALL, ids=lambda offer: offer.name)
def test_every_offer_adds_questions_that_can_be_foreseen(offer) -> None:
    from toebox.solve.foresee import foresee

    draft = Draft('length_unit = "in"\n')
    assert offer in offers(draft.document)
    take_up(draft, offer)
    assert offer not in offers(draft.document)
    asked = [q for q in questions(draft.document) if q.open]
    assert asked
    assert all(q.hint for q in asked)
    take_up(draft, offer)
    assert [q for q in questions(draft.document) if q.open] == asked
    if offer.readings:
        for question in asked:
            if not question.is_reading:
                draft.set(question.path, {"steering_ratio": 16}.get(str(question.path[-1]), 50)
                          if question.path[-1] != "rim_diameter" else 16)  # fmt: skip
        job = loads(draft.text, "x", plans=True) if offer.name not in BESIDE_OTHERS else None
        assert job is None or foresee(job)


@pytest.mark.parametrize("name", templates.names())
def test_all_that_is_offered_can_be_taken_up_in_every_template(name: str) -> None:
    """One after the other, each below what the file holds already; nothing else changes."""
    draft = Draft(templates.text(name))
    before = {q.path: q.given for q in questions(draft.document)}
    offered = offers(draft.document)
    for offer in offered:
        take_up(draft, offer)
    assert offers(draft.document) == []
    asked = {q.path: q.given for q in questions(draft.document)}
    assert {path: asked[path] for path in before} == before
    fresh = [path for path, given in asked.items() if given == PLANNED]
    assert len(fresh) >= len(offered)
    job = job_so_far(draft.document, draft.text, "x")
    assert job.passes == loads(templates.text(name), "x").passes


def test_a_rim_given_for_both_axles_is_left_as_it_is() -> None:
    draft = Draft('length_unit = "in"\n[car]\nrim_diameter = { front = 16 }\n')
    for offer in offers(draft.document):
        take_up(draft, offer)
    assert draft.get(("car", "rim_diameter")) == {"front": 16}


@pytest.mark.parametrize("name", templates.names())
def test_a_new_pass_asks_for_the_readings_of_the_last(name: str) -> None:
    draft = Draft(templates.text(name))
    before = [q.path for q in questions(draft.document)]
    draft.add_pass(next_pass(draft.document, 'say "later"'))
    fresh = [q for q in questions(draft.document) if q.path not in before]
    assert draft.get(("pass", 1, "label")) == 'say "later"'
    assert [q.path[2:] for q in fresh if q.open][:2] == [("turned", "left"), ("turned", "right")]
    kept = {q.path[-1] for q in fresh if q.is_reading and not q.open}
    assert kept <= {"across", "steer", "bar_spacing"}  # the floor is another one elsewhere
    readings = {q.path[2:] for q in fresh if q.is_reading}
    old = {p[2:] for p in before if p[0] == "pass" and p[2] in ("string", "tape", "inclinometer")}
    assert {p for p in readings if p[0] in ("string", "tape", "inclinometer")} == old


def test_the_sheet_asks_in_the_same_order() -> None:
    """What is filled in on paper is typed in the order in which it stands there."""
    from toebox.report.view.sheet import make_sheet

    written = {key: n for n, key in enumerate(dict.fromkeys(make_sheet().asked()))}
    asked = dict.fromkeys(
        ".".join(part for part in q.path if isinstance(part, str))
        for q in questions(FULL)
        if q.is_reading and not (q.repeats and q.place) and "sweep" not in q.path
    )
    places = [written[key] for key in asked]
    assert len(places) > 35
    assert places == sorted(places)


def test_moves_of_adjusters_are_asked_in_their_own_words() -> None:
    draft = Draft(templates.text("full"))
    draft.add_pass(next_pass(draft.document, "later"))
    asked = [q for q in questions(draft.document) if q.path[:3] == ("pass", 1, "turned")]
    names = [q.path[-1] for q in asked]
    assert names == ["left", "right", "left strut rod", "left camber bolt", "right shims",
                     "right caster plate"]  # fmt: skip
    typed = ["1/2 lengthen", "not turned", "1 shorten", "20 clockwise", "1 add", "not moved"]
    for question, text in zip(asked, typed, strict=True):
        with pytest.raises(FaultyText, match=r"\w{3}"):
            answer("1 sideways", question.kind, question.path, "in")
        draft.set(question.path, answer(text, question.kind, question.path, "in"))
    job = job_so_far(draft.document | {"pass": [draft.document["pass"][0]]}, "", "x")
    assert len(job.passes) == 1
    draft.set(("pass", 1, "string", "left_front", "front"), "4 5/8")
    job = job_so_far(draft.document, draft.text, "x")
    assert job.passes[1].moved == {
        "left strut rod": -1, "left camber bolt": 20, "right shims": 1, "right caster plate": 0,
    }  # fmt: skip


def test_without_its_adjuster_a_move_is_not_asked() -> None:
    text = 'length_unit = "in"\n[[pass]]\nturned = { left = "?", right = "?", "cam" = "1 add" }\n'
    assert [q.path[-1] for q in questions(tomllib.loads(text))][-2:] == ["left", "right"]


@pytest.mark.parametrize("unit", ['"?"', '"cm"', "5", '["mm"]'])
def test_moves_are_asked_while_the_unit_of_lengths_is_still_open(unit: str) -> None:
    text = f'length_unit = {unit}\n[[adjuster]]\nwheel = "left_front"\nkind = "cam"\nname = "cam"\n'
    text += 'gives = "top out"\neccentricity = "3/16"\nlever_arm = "12"\n'
    text += '[[pass]]\nturned = { left = "?", right = "?", cam = "?" }\n'
    asked = [q for q in questions(tomllib.loads(text)) if q.path[-1] == "cam"]
    assert len(asked) == 1
    assert answer("30 clockwise", asked[0].kind, asked[0].path, "in") == "30 clockwise"

def test_what_is_shown_as_an_example_could_be_an_answer() -> None:
    """A tolerance of four degrees or a floor an inch aslant would be nobody's."""
    assert expected(Angle(0.001, 10), "in").endswith("such as 0.5 or 0°30'")
    assert expected(Angle(-10, 20), "in").endswith("such as 4.25 or 4°15'")
    assert expected(Length("-6", "6"), "in").endswith("such as 1/16 or 1.5 mm")
    assert expected(Length("-6", "6"), "mm").endswith("such as 1.5 or 1/16 in")
