"""The section: areas from the design's own planes, to scale, with depths and layers named."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from papers.sample_plan import CHAMBER_TOP, RIM, ROAD, designs
from truebed.drawings.section_view import areas_of, cuts_of, heights_of, section_svg
from truebed.plan.result import CoverDesign

K11, K12, K13 = designs()


def test_the_section_line_cuts_the_outlines_at_their_sizes() -> None:
    cuts = cuts_of(K11)
    assert cuts.cut == pytest.approx((-475, 475))
    assert cuts.wall == pytest.approx((-392, 392))
    assert cuts_of(K12).opening == pytest.approx((-300, 300), abs=0.01)
    assert cuts_of(K12).cut == pytest.approx((-480 / 0.9659258, 480 / 0.9659258), abs=0.01)  # half size / cos 15


def test_heights_follow_the_planes_of_the_design() -> None:
    h = heights_of(K11)
    assert h.road(400) == pytest.approx(ROAD.at(400, 0))
    assert h.seat(-400) == pytest.approx(RIM.at(-400, 0) - 150)
    assert h.chamber_top(100) == pytest.approx(CHAMBER_TOP.at(100, 0))
    assert h.floor(0) == pytest.approx(ROAD.at(0, 0) - 202)


@pytest.mark.parametrize("design", [K11, K12], ids=lambda d: d.cover)
def test_left_and_right_of_the_frame_the_areas_fill_the_cut_without_gap_or_overlap(design: CoverDesign) -> None:
    """Sum of the areas between body and cut equals the dug area there; the joint lies over others and is left out."""
    cuts, h = cuts_of(design), heights_of(design)
    for side, sign in ((0, -1.0), (1, 1.0)):
        b, e, w = cuts.body[side], cuts.cut[side], cuts.wall[side]
        total = 0.0
        for area in areas_of(design):
            lo, hi = sorted((area.a_mm, area.b_mm))
            lo, hi = (max(lo, b), hi) if sign > 0 else (lo, min(hi, b))
            if area.role in ("wall", "edge_seal") or lo >= hi or (lo + hi) * sign <= 0:
                continue
            middle = (lo + hi) / 2
            total += (hi - lo) * (area.top(middle) - area.bottom(middle))
        wanted = 0.0
        edge = min(w, e, key=lambda x: sign * x)
        for lo, hi, bottom in ((b, edge, h.chamber_top), (edge, e, h.floor)):
            middle = (lo + hi) / 2
            wanted += abs(hi - lo) * (h.road(middle) - bottom(middle))
        assert total == pytest.approx(wanted, rel=1e-9)


def test_the_frame_is_drawn_to_scale_both_ways() -> None:
    root = ElementTree.fromstring(section_svg(K11))  # noqa: S314 - our own text
    (frame,) = [e for e in root.iter() if e.get("id") == "section-frame-300"]
    points = [tuple(float(v) for v in p.split(",")) for p in frame.attrib["points"].split()]
    assert abs(points[1][0] - points[0][0]) * 10 == pytest.approx(20, abs=0.02)
    assert abs(points[3][1] - points[0][1]) * 10 == pytest.approx(150, abs=0.02)


def test_bed_ends_and_depths_are_labelled_with_the_design_s_numbers() -> None:
    svg = section_svg(K11)
    for x_mm in (-392.0, 392.0):
        bed_mm = RIM.at(x_mm, 0) - 150 - CHAMBER_TOP.at(x_mm, 0)
        assert f">bed {bed_mm:.1f}<" in svg
    assert ">32.0<" in svg
    assert ">floor of cut<" in svg
    assert "1:10 both ways" in svg


def test_where_the_wall_reaches_beyond_the_cut_no_floor_is_shown() -> None:
    assert ">floor of cut<" not in section_svg(K12)


def test_a_role_the_method_omits_is_not_drawn() -> None:
    less = replace(K11, volumes=tuple(v for v in K11.volumes if v.role != "running_surface"), surface_depth_mm=0.0)
    assert "running_surface" not in section_svg(less)
    assert {a.role for a in areas_of(less)} == {"", "wall", "bed", "under_flange_fill", "surround_fill", "edge_seal"}
    assert section_svg(K13) == section_svg(K13)
