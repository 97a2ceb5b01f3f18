"""The drawings of camber and caster: out is out, rear is rear, inwards is inwards."""

from __future__ import annotations

import pytest

from tests.report.test_drawing import WIDTH, drawn

THIRD = (WIDTH - 2 * 12.0) / 3


def panel(x: float) -> int:
    return int(x // (THIRD + 12.0))


def boxes(pen, number):
    shapes = [points for points, looks in pen.lines if looks.get("closed") and len(points) == 4]
    return [shape for shape in shapes if panel(shape[0][0]) == number]


def lean(box) -> float:
    """How far the top of a box stands to the right of its foot."""
    (x0, _), (x1, _), (x2, _), (x3, _) = box
    return (x2 + x3) / 2 - (x0 + x1) / 2


@pytest.mark.parametrize(("number", "sign"), [(0, 1.0), (1, -1.0)])
def test_positive_camber_leans_outwards(number: int, sign: float) -> None:
    left, right = sorted(boxes(drawn("camber", None), number), key=lambda box: box[0][0])
    assert sign * lean(left) < 0.0 < sign * lean(right)


def test_the_arrows_point_the_way_the_tops_lean() -> None:
    pen = drawn("camber", None)
    for number, sign in ((0, 1.0), (1, -1.0)):
        arrows = sorted(a for a in pen.arrows if panel(a[0][0]) == number)
        assert sign * (arrows[0][1][0] - arrows[0][0][0]) < 0.0
        assert sign * (arrows[1][1][0] - arrows[1][0][0]) > 0.0


def test_the_gauge_is_turned_end_for_end() -> None:
    marks = sorted(centre for centre, _, _ in drawn("camber", None).circles)
    assert len(marks) == 2
    assert marks[0][1] > marks[1][1] + 30.0


def axis(pen, number):
    """The thick line of a steering axis, lower end first."""
    thick = [points for points, looks in pen.lines if looks.get("width") == 2.2]
    (points,) = (points for points in thick if panel(points[0][0]) == number)
    return sorted(points, key=lambda point: point[1])


def test_caster_leans_away_from_the_front() -> None:
    pen = drawn("caster", None)
    low, high = axis(pen, 0)
    ((tail, tip),) = (a for a in pen.arrows if panel(a[0][0]) == 0 and a[0][0] < 40.0)
    assert tip[0] < tail[0]  # the front is on the left
    assert high[0] > low[0]


def test_inclination_leans_to_the_middle_of_the_car() -> None:
    pen = drawn("caster", None)
    low, high = axis(pen, 1)
    to_middle = min(a for a in pen.arrows if panel(a[0][0]) == 1)
    assert (high[0] - low[0]) * (to_middle[1][0] - to_middle[0][0]) > 0.0


def test_a_left_wheel_steers_out_to_the_left() -> None:
    pen = drawn("caster", None)
    at = {line: point[0] for point, line, _ in pen.texts}
    assert at["20° out"] < at["0"] < at["20° in"]


@pytest.mark.parametrize("name", ["camber", "caster"])
def test_every_sketch_stays_on_the_page(name: str) -> None:
    pen = drawn(name, None)
    for points, _ in pen.lines:
        for x, y in points:
            assert -1.0 <= x <= WIDTH + 1.0
            assert y >= 0.0
    said = pen.said()
    wanted = ("positive", "negative") if name == "camber" else ("Caster", "inclination", "sweep")
    assert all(word in said for word in wanted)
