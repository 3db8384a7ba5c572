"""The plan drawing: to scale, dimensioned, with levels at their corners."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest

from drawings.tools import dark_share, greatest_tint, picture, pixels
from papers.sample_plan import designs
from truebed.drawings.kerb import kerb_side
from truebed.drawings.plan_view import highest_corner, plan_view_svg
from truebed.plan.result import CoverDesign

K11, K12, K13 = designs()


def polygon_of(svg: str, name: str) -> list[tuple[float, float]]:
    """A named polygon's points on the sheet."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own text
    (found,) = [e for e in root.iter() if e.get("id") == name]
    return [(float(x), float(y)) for x, y in (p.split(",") for p in found.attrib["points"].split())]


def said(svg: str) -> str:
    """All words of a drawing as one line, however they are wrapped."""
    return " ".join(" ".join(re.findall(r">([^<>]+)</text>", svg)).split())


@pytest.mark.parametrize("design", [K11, K12, K13], ids=lambda d: d.cover)
@pytest.mark.parametrize("name", ["cut", "flange", "body", "opening", "wall", "chamber"])
def test_every_outline_is_to_scale_1_to_10(design: CoverDesign, name: str) -> None:
    drawn, ring = polygon_of(plan_view_svg(design), name), getattr(design.outlines, name)
    assert len(drawn) == len(ring)
    for (xa, ya), (xb, yb), (pa, qa), (pb, qb) in zip(drawn, drawn[1:], ring, ring[1:], strict=False):
        assert (xb - xa) * 10 == pytest.approx(pb - pa, abs=0.02)
        assert (ya - yb) * 10 == pytest.approx(qb - qa, abs=0.02)  # the sheet's y runs down


def test_a_small_box_is_drawn_at_1_to_5_and_says_so() -> None:
    shrunk = {
        n: tuple((x / 4, y / 4) for x, y in getattr(K11.outlines, n))
        for n in ("cut", "flange", "body", "opening", "wall")
    }
    svg = plan_view_svg(replace(K11, outlines=replace(K11.outlines, **shrunk)))
    assert "scale 1:5" in svg
    drawn = polygon_of(svg, "cut")
    assert max(x for x, _ in drawn) - min(x for x, _ in drawn) == pytest.approx(950 / 4 / 5, abs=0.01)


def test_dimensions_levels_names_and_notes_stand_on_the_drawing() -> None:
    svg = plan_view_svg(K11)
    for text in ("cut 950", "flange 800", "opening 600", "margin 75", "traffic (+x)", "POUR", "front-left", "P8"):
        assert f">{text}<" in svg
    for corner in K11.setting.corners:
        assert f">{corner.rim_mm:+.0f}<".replace("-", "\u2212") in svg
    assert "common practice, no source" in svg
    assert "Do NOT saw past the corners" in said(svg)


def test_the_pour_goes_to_the_highest_corner() -> None:
    assert highest_corner(K11).name == "front-right"
    assert highest_corner(K12).name == "right"


def test_the_kerb_stands_on_the_side_where_the_cut_was_clipped() -> None:
    assert kerb_side(K13) == 1.0
    svg = plan_view_svg(K13)
    kerb, cut = polygon_of(svg, "kerb"), polygon_of(svg, "cut")
    assert max(y for _, y in kerb) == pytest.approx(min(y for _, y in cut), abs=0.01)
    assert 'id="kerb"' not in plan_view_svg(K11)


def test_a_reading_beyond_the_sheet_is_named_not_drawn() -> None:
    far = replace(K11.road.points[0], x_mm=2000.0)
    svg = plan_view_svg(replace(K11, road=replace(K11.road, points=(far, *K11.road.points[1:]))))
    assert "Outside the drawing: P1" in said(svg)
    assert ">P1<" not in svg


def test_the_gross_reading_is_ringed_and_named() -> None:
    assert plan_view_svg(K11).count('r="2.1"') == 1
    assert "(P5)" in plan_view_svg(K11)
    assert 'r="2.1"' not in plan_view_svg(K12)


def test_twice_gives_the_same_text() -> None:
    assert plan_view_svg(K12) == plan_view_svg(K12)


@pytest.mark.tools
def test_the_picture_is_not_blank_and_has_no_colour(tmp_path: Path) -> None:
    image = pixels(picture(plan_view_svg(K12), tmp_path))
    assert 0.01 < dark_share(image) < 0.5
    assert greatest_tint(image) <= 2
