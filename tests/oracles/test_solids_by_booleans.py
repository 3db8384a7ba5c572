"""Volumes by roles against a general-purpose solid-modelling library (manifold3d), on random covers.

The oracle builds each layer as prisms trimmed by planes; it shares no code with truebed.chamber.solids.
"""

import math

import manifold3d as m3
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring
from truebed.chamber.solids import Levels, role_solids

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
