"""String-line offsets: ends beyond the cut, marks over the set points, what to measure down."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring, rectangle_ring
from truebed.levels.rims import marks_of, string_pairs
from truebed.levels.string_offsets import CLEAR_MM, block_height_mm, string_line, string_lines, strings_over
from truebed.levels.surface import RoadPoint, RoadSurface


def road_of(coefficients, model="plane", reach=900.0):
    covariance = tuple(tuple(1e-12 if i == j else 0.0 for j in range(6)) for i in range(len(coefficients)))
    points = tuple(
        RoadPoint(f"P{i}", reach * math.cos(i * 0.5236), reach * math.sin(i * 0.5236), 0.0, 0.0, used=True, row=i)
        for i in range(12)
    )
    return RoadSurface(model, coefficients, covariance, 0.0, 2.0, points, (), 1.0, 1.0)


def test_on_a_plane_road_every_mark_is_the_block_height_down():
    road = road_of((5.0, 0.02, -0.01))
    lines = string_lines(
        road, Plane(5.0, 0.02, -0.01), marks_of("rectangle", 700.0, 600.0, 0.0), string_pairs("rectangle"),
        rectangle_ring(1000.0, 900.0), 80.0, 50.0,
    )  # fmt: skip
    assert len(lines) == 4
    for line in lines:
        assert [m.down_mm for m in line.marks] == pytest.approx([50.0, 50.0])


def test_the_ends_lie_beyond_the_cut_in_line_with_the_marks():
    line = string_line(
        road_of((0.0, 0.0, 0.0)), Plane(-3.0, 0.0, 0.0), marks_of("rectangle", 700.0, 600.0, 0.0),
        ("back-left", "front-left"), rectangle_ring(1000.0, 900.0), 80.0, 50.0,
    )  # fmt: skip
    assert (line.first.x_mm, line.first.y_mm) == pytest.approx((-580.0, 300.0))
    assert (line.second.x_mm, line.second.y_mm) == pytest.approx((580.0, 300.0))
    assert [m.along_mm for m in line.marks] == pytest.approx([230.0, 930.0])
    assert [m.down_mm for m in line.marks] == pytest.approx([53.0, 53.0])
    assert line.hold_words() == "x -580, y +300 and x +580, y +300 from the frame's centre, on blocks of 50 mm"


def test_a_twisted_road_bends_away_from_the_straight_string_by_algebra():
    # along y = 300 the road k x y is straight, so is the string: down = block + 0 at both marks of a frame that is flat
    # at nought less what the road rises there
    k = 2.0e-5
    line = string_line(
        road_of((0.0, 0.0, 0.0, k), "plane and twist"), Plane(0.0, 0.0, 0.0),
        marks_of("rectangle", 700.0, 600.0, 0.0), ("back-left", "front-left"),
        rectangle_ring(1000.0, 900.0), 80.0, 50.0,
    )  # fmt: skip
    assert [m.down_mm for m in line.marks] == pytest.approx([50.0 - k * 350.0 * 300.0, 50.0 + k * 350.0 * 300.0])


def test_an_end_beyond_the_readings_says_so():
    line = string_line(
        road_of((0.0, 0.0, 0.0), reach=500.0), Plane(0.0, 0.0, 0.0), marks_of("round", 600.0, 600.0, 0.0),
        ("back", "front"), outline_ring("round", 900.0, 900.0, 0.0), 80.0, 50.0,
    )  # fmt: skip
    assert (line.first.within, line.second.within) == (False, False)


def test_the_block_is_the_least_whole_size_that_clears():
    lines = string_lines(
        road_of((0.0, 0.0, 0.0)), Plane(12.0, 0.0, 0.0), marks_of("D", 700.0, 600.0, 0.0), string_pairs("D"),
        rectangle_ring(1000.0, 900.0), 80.0, 50.0,
    )  # fmt: skip
    # the frame stands 12 proud: 5 clear of it takes 17, in blocks of 10: 20
    assert block_height_mm(lines, 5.0, 10.0) == 20.0


@pytest.mark.parametrize("shape", ["rectangle", "round", "D", "triangular pair"])
def test_strings_over_any_frame_clear_it_by_the_least_block(shape):
    lines = strings_over(
        road_of((0.0, 0.0, 0.0)), Plane(20.0, 0.0, 0.0), shape, 600.0, 600.0, 15.0, rectangle_ring(1000.0, 1000.0)
    )
    down = [m.down_mm for line in lines for m in line.marks]
    # 20 proud and 10 clear: 30, in blocks of 25: 50
    assert {line.block_mm for line in lines} == {50.0}
    assert min(down) >= CLEAR_MM
    assert down == pytest.approx([30.0] * len(down))
    assert len(lines) == {"round": 2, "D": 5}.get(shape, 4)


@given(turn=st.floats(-180.0, 180.0), sx=st.floats(-0.05, 0.05), sy=st.floats(-0.05, 0.05))
def test_turning_the_whole_scene_leaves_the_offsets(turn, sx, sy):
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    found = []
    for angle, tx, ty in ((0.0, sx, sy), (turn, cos * sx - sin * sy, sin * sx + cos * sy)):
        lines = string_lines(
            road_of((0.0, tx, ty)), Plane(-4.0, 0.5 * tx, 0.5 * ty), marks_of("D", 700.0, 560.0, angle),
            string_pairs("D"), outline_ring("rectangle", 1000.0, 900.0, angle), 80.0, 50.0,
        )  # fmt: skip
        found.append([m.down_mm for line in lines for m in line.marks] + [line.length_mm for line in lines])
    assert found[1] == pytest.approx(found[0], abs=1e-6)
