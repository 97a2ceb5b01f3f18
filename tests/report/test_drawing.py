"""The drawings tell left from right, in from out, and clockwise from anticlockwise."""

import math
import subprocess
import sys
from itertools import pairwise

import pytest

from tests.report.invented import DEGREE, plan, settings
from toebox.report.blocks import Figure
from toebox.report.drawing import RotationData, SettingPoint, SettingsData, exaggeration, pictures
from toebox.report.drawing_runs import mark, ticks
from toebox.report.pen import Pen, Ruler, lines_of, turned

RULER = Ruler(lambda text, size, bold: 0.6 * size * len(text), lambda text: text)
WIDTH = 493.0


class Recorder(Pen):
    """A pen that remembers what it drew."""

    def __init__(self):
        self.lines, self.circles, self.arrows, self.heads, self.texts = [], [], [], [], []

    def line(self, points, **looks):
        self.lines.append((list(points), looks))

    def circle(self, centre, radius, **looks):
        self.circles.append((centre, radius, looks))

    def arrow(self, tail, tip, **looks):
        self.arrows.append((tail, tip))

    def head(self, tip, angle, **looks):
        self.heads.append((tip, angle))

    def words(self, at, lines, *, align="l", **looks):
        self.texts += [(at, line, align) for line in lines]

    def said(self):
        return " ".join(line for _, line, _ in self.texts)


def drawn(name, data, tallest=340.0):
    pens = []
    for picture in pictures(Figure(name, data, ""), WIDTH, RULER, tallest):
        assert picture.width <= WIDTH
        pens.append(Recorder())
        picture.paint(pens[-1])
    return pens if name == "runs" else pens[0]


def wheels(pen):
    """Wheel outlines: rear left, front left, front right, rear right corner of each."""
    boxes = [points for points, looks in pen.lines if looks.get("closed") and len(points) == 4]
    front = sorted(boxes, key=lambda box: -box[0][1])
    (lf, rf), (lr, rr) = (sorted(pair, key=lambda b: b[0][0]) for pair in (front[:2], front[2:]))
    return {"left_front": lf, "right_front": rf, "left_rear": lr, "right_rear": rr}


def heading(box):
    """Where the front of a wheel points: positive to the right of the page [rad]."""
    (x0, y0), (x1, y1) = box[0], box[1]
    return math.atan2(x1 - x0, y1 - y0)


@pytest.mark.parametrize("toe", [0.4 * DEGREE, -0.4 * DEGREE])
def test_toe_in_turns_the_front_of_each_wheel_to_the_centreline(toe):
    pen = drawn("plan", plan(toe=dict.fromkeys(plan().toe, toe), thrust=0.0))
    for wheel, box in wheels(pen).items():
        inwards = 1 if wheel.startswith("left") else -1  # a left wheel on the left of the page
        assert heading(box) == pytest.approx(inwards * toe * exaggeration([toe]))
    assert f"{exaggeration([toe])} times larger" in pen.said()


def test_left_wheels_stand_left_and_sizes_are_to_scale():
    pen = drawn("plan", plan(toe=dict.fromkeys(plan().toe, 0.0)))
    at = {w: tuple(sum(c) / 4 for c in zip(*box, strict=True)) for w, box in wheels(pen).items()}
    assert at["left_front"][0] < WIDTH / 2 < at["right_front"][0]
    assert at["left_front"][1] > at["left_rear"][1]
    base = at["left_front"][1] - at["left_rear"][1]
    assert (at["right_front"][0] - at["left_front"][0]) / base == pytest.approx(1.49 / 2.575)
    assert (at["right_rear"][0] - at["left_rear"][0]) / base == pytest.approx(1.47 / 2.575)
    box = wheels(pen)["left_rear"]
    assert (box[1][1] - box[0][1]) / base == pytest.approx(0.603 / 2.575)
    assert "to scale" in pen.said()


@pytest.mark.parametrize(("thrust", "way"), [(0.1, 1), (-0.1, -1)])
def test_a_positive_thrust_angle_points_right_from_the_rear_axle(thrust, way):
    data = plan(thrust=thrust * DEGREE)
    pen = drawn("plan", data)
    [(tail, tip)] = pen.arrows
    lean = math.atan2(tip[0] - tail[0], tip[1] - tail[1])
    times = exaggeration([*data.toe.values(), data.thrust])
    assert lean == pytest.approx(way * 0.1 * DEGREE * times)
    assert tail[0] == WIDTH / 2


def test_the_mark_of_a_steering_wheel_turned_left_stands_left_of_its_top():
    for angle in (-30 * DEGREE, 30 * DEGREE):
        pen = drawn("plan", plan(steering_wheel=angle))
        rim = max((c for c in pen.circles if c[2].get("width") == 2.0), key=lambda c: c[1])
        mark = next(points for points, looks in pen.lines if len(points) == 3 and looks["fill"])
        assert math.copysign(1, mark[0][0] - rim[0][0]) == math.copysign(1, angle)
        assert mark[0][1] > rim[0][1]


def test_what_was_not_measured_is_dashed_straight_and_said():
    sizes = dict.fromkeys(("wheelbase", "track_front", "track_rear", "tyre_diameter"))
    toe = dict.fromkeys(plan().toe)
    nothing = plan(toe=toe, thrust=None, steering_wheel=None, labels={}, **sizes)
    pen = drawn("plan", nothing)
    assert pen.said().count("not measured") == 6
    assert all(heading(box) == pytest.approx(0.0) for box in wheels(pen).values())
    assert not pen.arrows
    assert "Not to scale" in pen.said()


@pytest.mark.parametrize("tallest", [160.0, 190.0, 250.0, 340.0, 600.0])
@pytest.mark.parametrize("wheelbase", [1.8, 2.6, 4.4])
def test_a_plan_keeps_to_its_room(tallest, wheelbase):
    [picture] = pictures(Figure("plan", plan(wheelbase=wheelbase), ""), WIDTH, RULER, tallest)
    assert picture.height <= max(tallest, 200.0) + 1e-9
    pen = Recorder()
    picture.paint(pen)
    for points, _ in pen.lines:
        assert all(0.0 <= x <= WIDTH and -1.0 <= y <= picture.height for x, y in points)


def test_a_plan_grows_where_its_words_need_room():
    labels = dict.fromkeys(plan().labels, "many words beside each wheel " * 4)
    heights = [
        pictures(Figure("plan", plan(labels=given), ""), WIDTH, RULER, 100.0)[0].height
        for given in ({}, labels)
    ]
    assert heights[0] < heights[1] < 250.0


@pytest.mark.parametrize(("clockwise", "sign"), [(True, -1), (False, 1)])
def test_the_arrow_round_a_tie_rod_goes_the_way_to_turn(clockwise, sign):
    pen = drawn("rotation", RotationData("left", clockwise, "turn"))
    arc = max((points for points, _ in pen.lines), key=len)
    hexagon = next(points for points, _ in pen.lines if len(points) == 6)
    cx, cy = (sum(c) / 6 for c in zip(*hexagon, strict=True))
    turns = [(x0 - cx) * (y1 - cy) - (y0 - cy) * (x1 - cx) for (x0, y0), (x1, y1) in pairwise(arc)]
    assert all(math.copysign(1, turn) == sign for turn in turns)
    [(tip, angle)] = pen.heads
    along = (tip[0] - cx) * math.sin(angle) - (tip[1] - cy) * math.cos(angle)
    assert math.copysign(1, along) == sign


def test_a_rod_to_be_left_has_no_arrow():
    pen = drawn("rotation", RotationData("right", None, "leave"))
    assert not pen.heads
    assert "Right tie rod leave" in pen.said()


def test_a_setting_stands_where_its_value_is_on_the_axis():
    points = (SettingPoint(0.1, 0.02), SettingPoint(0.3, 0.02))
    [pen] = drawn("runs", (SettingsData("Toe", "degrees", points, 0.1, 0.3),))
    dots = [c[0][1] for c in pen.circles]
    edges = sorted({p[1] for points, looks in pen.lines if looks.get("dash") for p in points})
    assert dots == pytest.approx(edges)
    axis = {text: at[1] + 3.2 for at, text, align in pen.texts if align == "r"}
    assert axis["0.1"] == pytest.approx(dots[0])
    assert axis["0.3"] == pytest.approx(dots[1])


def test_later_passes_stand_further_right_above_their_numbers():
    [pen] = drawn("runs", (settings(12),))
    numbers = {text: at[0] for at, text, align in pen.texts if align == "c"}
    assert list(numbers) == [str(n) for n in range(1, 13, 2)]  # twelve would touch
    dots = [c[0][0] for c in pen.circles]  # all but the first two, which have other marks
    assert dots == sorted(dots)
    assert dots[::2] == pytest.approx([numbers[str(n)] for n in range(3, 13, 2)])


def test_every_state_has_a_mark_of_its_own():
    marks = {}
    for state in ("within", "outside", "not proven", "not measured", ""):
        pen = Recorder()
        mark(pen, (0.0, 0.0), state)
        marks[state] = repr((pen.lines, pen.circles))
    assert len(set(marks.values())) == 5


def test_a_pass_that_was_not_measured_is_marked_and_no_line_leads_to_it():
    points = (SettingPoint(0.2), SettingPoint(None), SettingPoint(0.3))
    [pen] = drawn("runs", (SettingsData("Toe", "degrees", points),))
    assert len(pen.circles) == 2
    triangles = [points for points, looks in pen.lines if looks.get("closed") and len(points) == 3]
    assert len(triangles) == 1
    way = [points for points, looks in pen.lines if looks.get("width") == 0.5]
    assert [len(points) for points in way] == [2]


def test_numbers_of_many_passes_keep_apart():
    [pen] = drawn("runs", (settings(200),))
    at = [x for (x, _), text, align in pen.texts if align == "c"]
    assert 4 < len(at) < 14
    assert all(b - a >= 20.0 for a, b in pairwise(at))


def test_marks_of_many_passes_keep_apart_but_the_line_goes_through_all():
    [pen] = drawn("runs", (settings(50),))
    bars = sorted({points[0][0] for points, looks in pen.lines if looks.get("width") == 1.0
                   and points[0][0] == points[1][0]})  # fmt: skip
    assert 10 < len(bars) < 20
    assert all(b - a >= 7.0 for a, b in pairwise(bars[:-1]))  # the last pass is always marked
    [way] = [points for points, looks in pen.lines if looks.get("width") == 0.5]
    assert len(way) == 50
    assert bars[-1] == way[-1][0]


def test_charts_stand_three_beside_each_other():
    assert len(drawn("runs", (settings(),) * 7)) == 3


@pytest.mark.parametrize("points", [(), (SettingPoint(0.0, 0.0),), (SettingPoint(5.0),)])
def test_a_setting_with_next_to_nothing_is_drawn(points):
    drawn("runs", (SettingsData("Toe", "degrees", points),))


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0.0, 1.0, ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]),
        (-2.0, 10.0, ["2", "0", "2", "4", "6", "8", "10"]),
        (0.131, 0.139, ["0.132", "0.134", "0.136", "0.138"]),
        (-0.05, 0.05, ["0.04", "0.02", "0.00", "0.02", "0.04"]),
    ],
)
def test_ticks(low, high, expected):
    assert [text for _, text in ticks(low, high)] == expected


@pytest.mark.parametrize(
    ("degrees", "times"), [(0.0, 1), (12, 1), (30, 1), (0.6, 20), (0.001, 100)]
)
def test_exaggeration(degrees, times):
    assert exaggeration([math.radians(degrees)]) == times


def test_words_past_the_last_line_end_in_dots():
    lines = lines_of("one two three four five six", 60.0, RULER, most=2)
    assert len(lines) == 2
    assert lines[-1].endswith("…")
    assert all(RULER.measure(line, 9.0, False) <= 60.0 for line in lines)


def test_turning_is_anticlockwise():
    assert turned([(1.0, 0.0)], math.pi / 2, (5.0, 5.0))[0] == pytest.approx((5.0, 6.0))


def test_an_unknown_drawing_is_refused():
    with pytest.raises(KeyError, match="no drawing is named 'boat'"):
        pictures(Figure("boat", None, ""), WIDTH, RULER)


def test_data_of_drawings_do_not_load_the_pdf_library():
    code = (
        "import sys, toebox.report.drawing, toebox.report.drawing_plan\n"
        "import toebox.report.drawing_setup; sys.exit('reportlab' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
