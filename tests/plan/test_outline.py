"""From sizes to outlines, corners and sampling points."""

import numpy as np
import pytest
from shapely.geometry import Point

from plan.sample import PLAIN_COVER
from truebed.chamber.shapes import polygon, rectangle_ring
from truebed.given.cover import Plan2D
from truebed.levels.booking import Spot
from truebed.levels.road_fit import fit_road
from truebed.plan.outline import adjacent_points, outlines_of, plane_of_road, ring_for


def test_the_walls_outline_is_the_chamber_and_its_wall_all_round():
    outlines = outlines_of(PLAIN_COVER, rectangle_ring(1130, 1130), turn_deg=0.0)
    assert polygon(outlines.wall).bounds == (-525.0, -525.0, 525.0, 525.0)
    assert polygon(outlines.chamber).bounds == (-310.0, -310.0, 310.0, 310.0)


def test_adjacent_points_lie_from_the_rim_out_to_the_window():
    points = adjacent_points(rectangle_ring(660, 660), 300.0)
    far = max(max(abs(x), abs(y)) for x, y in points)
    near = min(max(abs(x), abs(y)) for x, y in points)
    assert (near, far) == pytest.approx((330.0, 630.0))
    assert np.mean([x for x, _ in points]) == pytest.approx(0.0, abs=5.0)


def test_a_curved_roads_plane_keeps_the_mean_over_the_region():
    spots = [
        Spot(f"P{i}", x, y, -0.04 * abs(y), "road", i)
        for i, (x, y) in enumerate((700 * np.cos(a), 700 * np.sin(a)) for a in np.arange(12) * np.pi / 6)
    ]
    road = fit_road(tuple(spots), 2.0, 0.05)
    region = polygon(ring_for(Plan2D("rectangle", 1000.0, 800.0), 0.0))
    plane = plane_of_road(road, region)
    assert plane.at(0.0, 0.0) == pytest.approx(-0.04 * 200.0, abs=0.15)
    assert plane.slope_x_ratio == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("shape", ["rectangle", "round", "D"])
def test_the_outer_line_beside_a_frame_is_the_outline_widened_with_sharp_corners(shape):
    body = ring_for(Plan2D(shape, 700.0, 600.0 if shape != "round" else 700.0), 17.0)
    outer = polygon(body).buffer(300.0, join_style="mitre").exterior
    points = adjacent_points(body, 300.0)
    beyond = [p for p in points if not polygon(body).buffer(299.0, join_style="mitre").covers(Point(p))]
    assert len(beyond) >= 8
    assert max(outer.distance(Point(p)) for p in beyond) < 1e-6
    assert len(beyond) == max(8, round(outer.length / 50.0))
