"""Plan and section of odd frames: dimensions true, corners as the saw treats them, words on the sheet."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from drawings.odd_frames import odd_designs
from drawings.on_sheet import off_the_sheet
from papers.sample_plan import designs
from truebed.drawings.departure_diagram import DepartureRow, departure_diagram_svg
from truebed.drawings.kerb import kerb_edge_mm, kerb_side, meets_kerb
from truebed.drawings.plan_view import plan_view_svg
from truebed.drawings.road_contours import road_contours_svg
from truebed.drawings.section_view import areas_of, section_svg
from truebed.drawings.sheet_scale import crossing

ODD = odd_designs()


def said(svg: str) -> str:
    """All words of a drawing as one line."""
    return " ".join(" ".join(re.findall(r">([^<>]+)</text>", svg)).split())


def dashed(svg: str, dash: str) -> int:
    """How many lines have that dash."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own text
    return sum(e.tag.endswith("}line") and e.get("stroke-dasharray") == dash for e in root.iter())


@pytest.mark.parametrize("name", list(ODD))
def test_plan_road_and_departure_keep_their_words_on_the_sheet_and_their_bytes(name: str) -> None:
    design = ODD[name]
    rows = (DepartureRow("", design.setting),)
    for svg in (plan_view_svg(design), road_contours_svg(design), departure_diagram_svg(design.cover, rows)):
        assert off_the_sheet(svg) == []
        assert len(svg) < 80_000
    assert plan_view_svg(design) == plan_view_svg(design)


@pytest.mark.parametrize("name", list(ODD))
def test_the_section_s_areas_stay_within_the_cut(name: str) -> None:
    design = ODD[name]
    cut = crossing(design.outlines.cut)
    assert cut is not None
    areas = [a for a in areas_of(design) if a.role not in ("wall", "")]
    assert areas
    assert all(cut[0] - 1e-6 <= min(a.a_mm, a.b_mm) and max(a.a_mm, a.b_mm) <= cut[1] + 1e-6 for a in areas)
    assert section_svg(design) == section_svg(design)


def test_a_cut_square_to_the_traffic_is_measured_in_its_own_axes() -> None:
    design = ODD["D, cut square to traffic"]
    text = said(plan_view_svg(design))
    assert f"cut {design.cut.along_mm:.1f}".removesuffix(".0") in text
    assert f"cut {design.cut.across_mm:.1f}".removesuffix(".0") in text
    assert "flange 800" in text
    assert "flange 650" in text
    assert "margin 80" in text


def test_a_round_cut_has_one_diameter_and_no_corners() -> None:
    svg = plan_view_svg(ODD["round cut"])
    assert f"cut \u00d8{ODD['round cut'].cut.diameter_mm:.0f}" in said(svg)
    assert dashed(svg, "1.2 0.8") == 0
    assert "corners" not in said(svg)


def test_cores_are_drawn_at_their_size_and_asked_for() -> None:
    design = ODD["cored corners"]
    assert design.cut.corners is not None
    svg = plan_view_svg(design)
    wanted = design.cut.corners.cores[0].diameter_mm / 2 / 15
    assert len(re.findall(rf'r="{wanted:.3f}"', svg)) == 4
    assert "CORE the corners first" in said(svg)
    assert dashed(svg, "1.2 0.8") == 0


def test_a_saw_that_stops_short_has_bars_on_sawn_sides_only_and_the_kerb_is_drawn() -> None:
    design = ODD["stop short at a kerb"]
    text = said(plan_view_svg(design))
    assert "STOP the blade at the corners" in text
    assert "The cut is carried out to the kerb: no narrow strip stays." in text
    assert (meets_kerb(design), kerb_side(design), kerb_edge_mm(design)) == (True, 1.0, 500.0)
    assert 'id="kerb"' in plan_view_svg(design)
    assert not meets_kerb(ODD["obstacle"])


def test_an_obstacle_is_drawn_with_its_name_and_what_it_did() -> None:
    svg = plan_view_svg(ODD["obstacle"])
    assert 'id="keep-off"' in svg
    assert ">lamp post<" in svg
    assert "Front side drawn in to 475 for lamp post." in said(svg)
    assert "By hand: front: 5 mm of the margin" in said(svg)


def test_a_joined_cut_shows_its_neighbour_and_the_line_that_is_not_sawn() -> None:
    svg = plan_view_svg(ODD["joined"])
    assert ">cut of K77<" in svg
    assert dashed(svg, "3 0.9 0.7 0.9") == 1
    assert "One cut-out with K77: the dash-dotted line is not sawn." in said(svg)


def test_lids_and_parts_meet_where_they_do() -> None:
    plain = designs()[0]
    lines = [plan_view_svg(d).count('stroke-width="0.42"') for d in (plain, ODD["triangular pair"], ODD["parts"])]
    assert [n - lines[0] for n in lines] == [0, 1, 2]


def test_the_section_of_a_ring_that_turns_inward_is_the_stretch_about_the_middle() -> None:
    notched = ((-5.0, -5.0), (9.0, -5.0), (9.0, 3.0), (7.0, 3.0), (7.0, -2.0), (4.0, -2.0), (4.0, 5.0), (-5.0, 5.0))
    assert crossing(notched) == (-5.0, 4.0)
