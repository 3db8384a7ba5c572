"""Volumes by roles against a general-purpose solid-modelling library (manifold3d), on random covers.

The oracle builds each layer as prisms trimmed by planes; it shares no code with truebed.chamber.solids.
"""

import math

import manifold3d as m3
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from truebed.chamber.outline_shapes import OutlineShape, OutlineShapes
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring, polygon, ring_of
from truebed.chamber.solids import Levels, role_solids
from truebed.chamber.surface import Surface

LOW, HIGH = -600.0, 600.0


def prism(ring):
    section = m3.CrossSection([np.array(ring)], m3.FillRule.Positive)
    return m3.Manifold.extrude(section, HIGH - LOW).translate((0.0, 0.0, LOW))


def keep_below(solid, plane):
    size = math.sqrt(1 + plane.slope_x_ratio**2 + plane.slope_y_ratio**2)
    return solid.trim_by_plane(
        (plane.slope_x_ratio / size, plane.slope_y_ratio / size, -1 / size), -plane.level_mm / size
    )


def keep_above(solid, plane):
    size = math.sqrt(1 + plane.slope_x_ratio**2 + plane.slope_y_ratio**2)
    return solid.trim_by_plane(
        (-plane.slope_x_ratio / size, -plane.slope_y_ratio / size, 1 / size), plane.level_mm / size
    )


def layer(region, top, bottom):
    return keep_above(keep_below(region, top), bottom).volume() / 1e6


def by_booleans(outlines, levels):
    opening, body, flange, wall, chamber, cut = (
        prism(getattr(outlines, k)) for k in ("opening", "body", "flange", "wall", "chamber", "cut")
    )
    under = levels.rim.raised(-levels.frame_depth_mm)
    fill_top = under.raised(levels.flange_thick_mm + levels.over_flange_mm)
    flange_top = under.raised(levels.flange_thick_mm)
    seat = (flange ^ wall) - opening - chamber
    trench = cut - flange
    round_body = cut - body
    return {
        "bed": layer(seat, under, levels.chamber_top),
        "under_flange_fill": layer(flange - wall - opening - chamber, under, levels.floor)
        + layer((trench ^ wall) - chamber, fill_top, levels.chamber_top)
        + layer(trench - wall - chamber, fill_top, levels.floor)
        + layer(flange - body, fill_top, flange_top),
        "surround_fill": layer(round_body, levels.road.raised(-levels.surface_depth_mm), fill_top),
        "running_surface": layer(round_body, levels.road, fill_top)
        - layer(round_body, levels.road.raised(-levels.surface_depth_mm), fill_top),
    }


SLOPES = st.floats(-0.05, 0.05)


@settings(max_examples=40, deadline=None)
@given(
    st.sampled_from(["rectangle", "round"]), st.sampled_from(["rectangle", "round"]), st.floats(-30.0, 30.0),
    st.floats(-60.0, 260.0), st.floats(-170.0, -95.0), SLOPES, SLOPES, SLOPES, SLOPES,
)  # fmt: skip
def test_every_role_agrees_with_booleans_also_where_surfaces_cross(
    frame, chamber, turn, wall_more, top, rim_x, rim_y, top_x, top_y
):
    outlines = Outlines(
        opening=outline_ring(frame, 600.0, 600.0, turn),
        body=outline_ring(frame, 660.0, 660.0, turn),
        flange=outline_ring(frame, 830.0, 830.0, turn),
        wall=outline_ring(chamber, 800.0 + wall_more, 800.0 + wall_more, turn),
        chamber=outline_ring(chamber, 620.0, 620.0, turn),
        cut=outline_ring("rectangle", 1080.0, 1080.0, turn),
    )
    levels = Levels(
        Plane(0.0, rim_x, rim_y), Plane(1.0, rim_x + 0.004, rim_y - 0.003), Plane(top, top_x, top_y),
        Plane(top - 20.0, top_x, top_y), 100.0, 15.0, 12.0, 35.0, 0.0, 0.0,
    )  # fmt: skip
    ours, theirs = role_solids(outlines, levels), by_booleans(outlines, levels)
    for role, litres in theirs.items():
        assert ours[role].volume_l == pytest.approx(litres, abs=2e-4), role


@settings(max_examples=30, deadline=None)
@given(
    st.floats(-30.0, 30.0), st.floats(700.0, 1100.0), st.floats(-150.0, -100.0), st.floats(-0.05, -0.005),
    st.floats(-150.0, 150.0), st.booleans(), st.floats(380.0, 600.0), SLOPES, SLOPES,
)  # fmt: skip
def test_a_crown_over_a_cut_that_a_kerb_has_stopped_agrees_with_booleans(
    turn, wall, top, fold, place, along, kerb, rim_x, rim_y
):
    """Rectangles in any turn, the cut clipped by a kerb along the traffic, the road two planes that meet on a ridge."""
    square = {n: outline_ring("rectangle", s, s * 0.9, turn) for n, s in (
        ("opening", 560.0), ("body", 640.0), ("flange", 820.0), ("chamber", 580.0), ("cut", 1080.0),
    )}  # fmt: skip
    whole, road_side = polygon(square["cut"]), box(-1e4, -1e4, 1e4, kerb)
    square["cut"] = ring_of(whole.intersection(road_side.union(polygon(square["flange"]))).convex_hull)
    outlines = Outlines(**square, wall=outline_ring("rectangle", wall, wall, turn))
    crown = Surface(2.0, rim_x, rim_y, fold_ratio=fold, fold_mm=place, fold_along=along)
    rim, chamber = Plane(0.0, rim_x, rim_y), Plane(top, 0.01, -0.01)
    levels = Levels(rim, rim, chamber, chamber.raised(-20.0), 100.0, 15.0, 12.0, 35.0, 0.0, 0.0, road_surface=crown)
    ours = role_solids(outlines, levels)
    fill_top = rim.raised(-100.0 + 15.0 + 12.0)
    body, cut = prism(outlines.body), prism(outlines.cut)
    rises = [(-fold, fold * place), (fold, -fold * place)]
    planes = [
        Plane(2.0 + lift, rim_x, rim_y + rise) if along else Plane(2.0 + lift, rim_x + rise, rim_y)
        for rise, lift in rises
    ]

    def under_crown(deep):
        below = keep_below(keep_below(cut - body, planes[0].raised(-deep)), planes[1].raised(-deep))
        return keep_above(below, fill_top).volume() / 1e6

    assert ours["surround_fill"].volume_l == pytest.approx(under_crown(35.0), abs=1e-6)
    assert ours["running_surface"].volume_l == pytest.approx(under_crown(0.0) - under_crown(35.0), abs=1e-6)
    theirs = by_booleans(outlines, levels)
    for role in ("bed", "under_flange_fill"):
        assert ours[role].volume_l == pytest.approx(theirs[role], abs=1e-6), role


@settings(max_examples=30, deadline=None)
@given(
    st.sampled_from(["rectangle", "round", "D"]), st.sampled_from(["rectangle", "round"]),
    st.sampled_from(["rectangle", "round"]), st.floats(-30.0, 30.0), st.floats(860.0, 1100.0),
    st.floats(-150.0, -95.0), SLOPES, SLOPES, SLOPES,
)  # fmt: skip
def test_true_shapes_agree_with_booleans_of_many_sides(frame, chamber, cut, turn, wall, top, rim_x, rim_y, top_x):
    """Rounds and Ds as they are, against solids whose rounds have 240 sides of the round's own area."""
    sizes = {
        "opening": (frame, 560.0), "body": (frame, 640.0), "flange": (frame, 820.0), "wall": (chamber, wall),
        "chamber": (chamber, 570.0), "cut": (cut, 1250.0),
    }  # fmt: skip
    outlines = Outlines(
        **{n: outline_ring(kind, s, s, turn) for n, (kind, s) in sizes.items()},
        shapes=OutlineShapes(**{n: OutlineShape(kind, s, s, turn) for n, (kind, s) in sizes.items()}),
    )
    rim = Plane(0.0, rim_x, rim_y)
    levels = Levels(
        rim, rim.raised(1.0), Plane(top, top_x, 0.01), Plane(top - 20.0, top_x, 0.01), 100.0, 15.0, 12.0, 35.0, 0.0, 0.0
    )
    ours, theirs = role_solids(outlines, levels), by_booleans(outlines, levels)
    for role, litres in theirs.items():
        assert ours[role].volume_l == pytest.approx(litres, abs=2e-3), role


def test_layers_and_frame_fill_the_hole():
    outlines = Outlines(
        opening=outline_ring("rectangle", 600, 600, 0), body=outline_ring("rectangle", 660, 660, 0),
        flange=outline_ring("rectangle", 830, 830, 0), wall=outline_ring("rectangle", 1060, 1060, 0),
        chamber=outline_ring("rectangle", 620, 620, 0), cut=outline_ring("rectangle", 1130, 1130, 0),
    )  # fmt: skip
    rim, road, top = Plane(0, 0.02, 0.01), Plane(1, 0.02, 0.01), Plane(-128, 0.0, 0.0)
    floor = top.raised(-20)
    levels = Levels(rim, road, top, floor, 100.0, 15.0, 12.0, 35.0, 0.0, 0.0)
    solids = role_solids(outlines, levels)
    cut, wall, body, flange, chamber = (
        prism(getattr(outlines, k)) for k in ("cut", "wall", "body", "flange", "chamber")
    )
    hole = layer(cut - wall, road, floor) + layer((cut ^ wall) - chamber, road, top)
    under = rim.raised(-100)
    frame = layer(body - chamber, road, under) + layer(flange - body, under.raised(15), under)
    assert sum(s.volume_l for s in solids.values()) == pytest.approx(hole - frame, abs=1e-6)
