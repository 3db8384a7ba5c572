"""The unrolled rim: once round, in order, of the rim's own length; directions land where they meet it."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from papers.sample_plan import designs, rim_point
from truebed.chamber.shapes import outline_ring, polygon
from truebed.drawings.rim_axis import rim_axis
from truebed.levels.seat_question import edge_points
from truebed.levels.setting import FrameSetting

K11, K12, _ = designs()
SHAPES = [
    ("rectangle", 800.0, 500.0, 0.0),
    ("rectangle", 640.0, 640.0, 33.0),
    ("round", 650.0, 650.0, 0.0),
    ("D", 700.0, 600.0, -20.0),
    ("triangular pair", 900.0, 700.0, 45.0),
]


def shaped(shape: str, along_mm: float, across_mm: float, turn_deg: float) -> FrameSetting:
    """A setting whose rim has that outline."""
    ring = outline_ring(shape, along_mm, across_mm, turn_deg)
    points = dict.fromkeys((*ring, *edge_points(ring, 50.0)))
    return replace(K11.setting, rim_points=tuple(rim_point(f"p{i}", x, y) for i, (x, y) in enumerate(points)))


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: f"{s[0]} {s[3]:g}")
def test_the_axis_goes_once_round_and_is_as_long_as_the_rim(shape: tuple[str, float, float, float]) -> None:
    setting = shaped(*shape)
    axis = rim_axis(setting)
    assert sorted(p.name for p in axis.points[:-1]) == sorted(p.name for p in setting.rim_points)
    assert axis.points[0] == axis.points[-1]
    assert [setting.rim_points[i] for i in axis.order] == list(axis.points)
    assert all(b > a for a, b in pairwise(axis.along_mm))
    assert axis.length_mm == pytest.approx(polygon(outline_ring(*shape)).length, rel=1e-9)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: f"{s[0]} {s[3]:g}")
def test_a_point_far_out_lands_where_its_direction_meets_the_rim(shape: tuple[str, float, float, float]) -> None:
    axis = rim_axis(shaped(*shape))
    cx, cy = axis.centre
    for i in range(0, len(axis.points) - 1, 3):
        p, q = axis.points[i], axis.points[i + 1]
        for share in (0.0, 0.3, 0.9):
            x, y = p.x_mm + share * (q.x_mm - p.x_mm), p.y_mm + share * (q.y_mm - p.y_mm)
            wanted = axis.along_mm[i] + share * (axis.along_mm[i + 1] - axis.along_mm[i])
            found = axis.place_mm(cx + 1.7 * (x - cx), cy + 1.7 * (y - cy))
            assert min(abs(found - wanted), axis.length_mm - abs(found - wanted)) < 1e-6


def test_a_part_beside_the_cover_s_centre_is_unrolled_about_its_own_middle() -> None:
    setting = shaped("rectangle", 500.0, 700.0, 0.0)
    aside = replace(setting, rim_points=tuple(replace(p, x_mm=p.x_mm + 900.0) for p in setting.rim_points))
    assert rim_axis(aside).centre == pytest.approx((900.0, 0.0))
    assert rim_axis(aside).length_mm == pytest.approx(rim_axis(setting).length_mm)


def test_the_walk_begins_at_the_back_and_turns_anticlockwise() -> None:
    axis = rim_axis(K12.setting)
    angles = [math.atan2(p.y_mm, p.x_mm) for p in axis.points[1:-1]]
    assert axis.points[0].x_mm < 0.0
    assert angles == sorted(angles)
