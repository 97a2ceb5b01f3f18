"""The small pictures of a sheet tell left from right, in from out, up from down."""

import math

import pytest

from tests.report.test_drawing import Recorder
from toebox.report.drawing_car import CAR
from toebox.report.drawing_steps import HIGH, WIDE
from toebox.report.drawing_taking import TAKING

ALL = CAR | TAKING


def drawn(name):
    pen = Recorder()
    ALL[name][1](pen, 0.0, 0.0)
    return pen


def boxes(pen):
    """Rectangles from left to right."""
    found = [points for points, looks in pen.lines if looks.get("closed") and len(points) == 4]
    return sorted(found, key=lambda box: sum(x for x, _ in box))


def lean(box):
    """How a rectangle's second corner leans from its first: to the right positive [rad]."""
    (x0, y0), (x1, y1) = box[0], box[1]
    return math.atan2(x1 - x0, y1 - y0)


@pytest.mark.parametrize("name", ALL)
def test_a_picture_keeps_to_its_room(name):
    pen = drawn(name)
    points = [p for line, _ in pen.lines for p in line] + [t[0] for t in pen.texts]
    points += [(x + r, y + r) for (x, y), r, _ in pen.circles]
    points += [(x - r, y - r) for (x, y), r, _ in pen.circles]
    assert all(abs(x) <= WIDE / 2 + 1.0 for x, _ in points)
    assert all(-HIGH / 2 - 3.0 <= y <= HIGH / 2 + 3.0 for _, y in points)
    assert ALL[name][0].endswith(".")


def test_front_edges_are_closer_together_for_toe_in():
    first, second, third, fourth = boxes(drawn("toe"))
    assert lean(first) > 0.0 > lean(second)  # left and right wheel, front up
    assert lean(third) < 0.0 < lean(fourth)


def test_the_rear_wheels_point_to_the_right_for_a_positive_thrust_angle():
    pen = drawn("thrust")
    rear = [box for box in boxes(pen) if sum(y for _, y in box) < 0.0]
    assert all(lean(box) > 0.1 for box in rear)
    [(tail, tip)] = pen.arrows
    assert tip[0] > tail[0]


def test_the_top_of_a_left_wheel_seen_from_behind_leans_to_the_left_for_top_out():
    out, inwards = boxes(drawn("camber"))
    assert lean(out) < 0.0 < lean(inwards)
    assert [text for _, text, _ in drawn("camber").texts] == ["top out", "top in"]


def test_wheels_steered_to_the_left_on_turn_plates_lean_left_the_inner_one_more():
    inner, outer = boxes(drawn("plates"))
    assert lean(inner) < lean(outer) < 0.0
    words = {text: at[0] for at, text, _ in drawn("plates").texts}
    assert words["inner"] < words["outer"]


def test_a_left_wheel_turned_to_the_left_is_out():
    out, ahead, inwards = boxes(drawn("sweep"))
    assert lean(out) == pytest.approx(math.radians(-20.0))
    assert lean(ahead) == pytest.approx(0.0)
    assert lean(inwards) == pytest.approx(math.radians(20.0))


def test_the_valve_is_up_then_down():
    pen = drawn("valves")
    valves = sorted(points for points, looks in pen.lines if looks.get("width") == 3.5)
    hubs = sorted(c[0] for c in pen.circles)
    assert valves[0][0][1] > hubs[0][1]
    assert valves[1][1][1] < hubs[-1][1]


def test_the_floor_is_higher_under_the_left_wheel():
    ground = next(points for points, looks in drawn("slope").lines if looks.get("width") == 1.4)
    assert ground[0][0] < ground[1][0]
    assert ground[0][1] > ground[1][1]


def test_a_steering_wheel_off_to_the_left_is_turned_anticlockwise():
    pen = drawn("off")
    tip, angle = pen.heads[-1]
    centre = pen.circles[0][0]
    along = (tip[0] - centre[0]) * math.sin(angle) - (tip[1] - centre[1]) * math.cos(angle)
    assert tip[0] < centre[0]
    assert along > 0.0  # anticlockwise


def test_a_tie_rod_behind_lies_below_the_axle_line_where_the_front_is_up():
    words = {text: at[1] for at, text, _ in drawn("arm").texts}
    assert words["tie rod behind"] < words["axle line"] < words["tie rod ahead"]
