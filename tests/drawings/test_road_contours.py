"""The road's picture: lines where the fit has them, dashed where nothing was read, readings with what they are off."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path
from typing import get_args
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from drawings.on_sheet import off_the_sheet
from drawings.tools import dark_share, greatest_tint, picture, pixels
from papers.sample_plan import designs
from truebed.chamber.shapes import outline_ring, polygon
from truebed.drawings.contour_lines import fold_piece, known_area, pieces_of
from truebed.drawings.road_contours import Key, road_contours_svg
from truebed.drawings.road_falls import falls_of
from truebed.drawings.road_key import MODEL_WORDS, reading_mark
from truebed.levels.road_terms import road_level_mm
from truebed.levels.surface import GrossReading, Model, RoadPoint, RoadSurface
from truebed.plan.result import CoverDesign

K11, K12, K13 = designs()
TERMS: dict[Model, tuple[float, ...]] = {
    "plane": (-2.0, 0.012, -0.025),
    "plane and twist": (-2.0, 0.004, -0.003, 4e-5),
    "five terms": (-2.0, 0.002, -0.001, 3e-5, 4e-5),
    "full quadratic": (-2.0, 0.002, -0.001, 3e-5, 4e-5, -3e-5),
    "two planes along": (-2.0, 0.004, 0.001, -0.022),
    "two planes across": (-2.0, 0.004, 0.001, 0.018),
}


def with_road(design: CoverDesign, **of: object) -> CoverDesign:
    """The design with its road changed."""
    return replace(design, road=replace(design.road, **of))  # type: ignore[arg-type]


def said(svg: str) -> str:
    """All words of a drawing as one line."""
    return " ".join(" ".join(re.findall(r">([^<>]+)</text>", svg)).split())


@pytest.mark.parametrize("model", list(TERMS))
def test_pieces_lie_within_the_readings_and_are_parted_by_the_rim(model: Model) -> None:
    design = with_road(K12, model=model, coefficients=TERMS[model], ridge_mm=40.0)
    _, pieces = pieces_of(design)
    known, rim = known_area(design.road), polygon(design.outlines.body)
    assert {p.inside for p in pieces} == {True, False}
    for piece in pieces:
        for (xa, ya), (xb, yb) in zip(piece.points, piece.points[1:], strict=False):
            middle = Point((xa + xb) / 2, (ya + yb) / 2)
            assert known.distance(middle) < 1e-6
            assert rim.buffer(0.1 if piece.inside else -0.1).contains(middle) == piece.inside
            assert road_level_mm(design.road, middle.x, middle.y) == pytest.approx(piece.level_mm, abs=0.02)


def test_every_model_has_its_words_and_is_tried_here() -> None:
    assert set(MODEL_WORDS) == set(TERMS) == set(get_args(Model))


def test_beyond_the_readings_used_no_line_is_drawn() -> None:
    near = tuple(p for p in K11.road.points if p.x_mm < 300.0)
    _, pieces = pieces_of(with_road(K11, points=near))
    assert max(x for p in pieces for x, _ in p.points) <= max(p.x_mm for p in near) + 1e-6


def test_readings_in_line_give_readings_without_lines() -> None:
    flat = tuple(replace(p, y_mm=0.0) for p in K11.road.points)
    assert pieces_of(with_road(K11, points=flat)) == (0.0, ())
    assert ">P1 +0.8<" in road_contours_svg(with_road(K11, points=flat))


def test_every_reading_stands_with_what_it_is_off_and_the_gross_one_is_told_apart() -> None:
    svg = road_contours_svg(K11)
    for point in K11.road.points:
        off = f"{point.residual_mm:+.1f}".replace("-", "\u2212")
        assert f">{point.point} {off}{'' if point.used else ' out'}<" in svg
    assert "P5: +14.0 mm off the others; likely staff misread by a graduation." in said(svg)
    assert 'fill="#ffffff" stroke' in reading_mark((0.0, 0.0), used=False)
    assert reading_mark((0.0, 0.0), used=True) != reading_mark((0.0, 0.0), used=False)
    unused = tuple(replace(p, used=False) if p.point == "P2" else p for p in K11.road.points)
    assert ">P2 \u22120.8 unused<" in road_contours_svg(with_road(K11, points=unused))


def test_levels_model_falls_errors_and_scale_are_told() -> None:
    text = said(road_contours_svg(K12, 0.86))
    for words in (
        "Fitted: a plane, to 8 of 8 readings.",
        "Falls 1.2 % backwards, 2.5 % to the left.",
        "Reading error \u00b12 mm (1 sd); a reading left out is foretold to 0.9 mm.",
        "The road round the rim is known to \u00b10.9 mm at worst (1 sd).",
        "200 mm scale 1:15",
        "traffic (+x)",
        "level every 5 mm, above zero",
    ):
        assert words in text
    assert "known to" not in said(road_contours_svg(K12))


@pytest.mark.parametrize(
    ("model", "words"),
    [
        ("two planes along", ("Left of the fold: falls 0.4 % backwards, 2.1 % to the left.", "2.3 % to the right.")),
        ("two planes across", ("Before the fold: falls 1.4 % forwards", "Beyond the fold: falls 2.2 % backwards")),
    ],
)
def test_a_folded_road_has_its_fold_and_a_fall_on_either_side(model: Model, words: tuple[str, str]) -> None:
    design = with_road(K11, model=model, coefficients=TERMS[model], ridge_mm=40.0)
    text = said(road_contours_svg(design))
    assert all(w in text for w in words)
    assert "fold of the road" in text
    axis = 1 if model == "two planes along" else 0
    assert [p[axis] for p in fold_piece(design)] == pytest.approx([40.0, 40.0])
    assert fold_piece(K11) == ()
    assert MODEL_WORDS[model] in text


@pytest.mark.parametrize("model", list(TERMS))
def test_falls_are_the_road_s_own_slopes(model: Model) -> None:
    road = replace(K11.road, model=model, coefficients=TERMS[model], ridge_mm=40.0)
    for fall in falls_of(road, 150.0):
        x, y = fall.x_mm, fall.y_mm
        along = (road_level_mm(road, x - 1.0, y) - road_level_mm(road, x + 1.0, y)) / 2.0
        across = (road_level_mm(road, x, y - 1.0) - road_level_mm(road, x, y + 1.0)) / 2.0
        assert (fall.along_ratio, fall.across_ratio) == pytest.approx((along, across), abs=1e-9)
        down = fall.downhill()
        assert down is not None
        assert road_level_mm(road, x + down[0], y + down[1]) < road_level_mm(road, x, y)


def test_a_level_road_says_so_and_has_no_arrow() -> None:
    design = with_road(K12, coefficients=(-2.0, 0.0, 0.0))
    text = said(road_contours_svg(design))
    assert "Level." in text
    assert ">fall<" not in road_contours_svg(design)


def test_far_readings_are_named_not_drawn_so_that_the_frame_stays_legible() -> None:
    far = (*K12.road.points, RoadPoint("P99", 9000.0, 200.0, 1.0, 0.4, True, 30))
    svg = road_contours_svg(with_road(K12, points=far))
    assert "Outside the drawing: P99." in said(svg)
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own text
    (cut,) = [e for e in root.iter() if e.get("id") == "cut"]
    xs = [float(p.split(",")[0]) for p in cut.attrib["points"].split()]
    assert max(xs) - min(xs) >= 25.0


def test_the_key_stands_beside_for_paper_and_below_for_a_narrow_screen() -> None:
    drawn = [road_contours_svg(K12, key="beside"), road_contours_svg(K12, key="below")]
    wide = [float(re.findall(r'width="([0-9.]+)mm"', svg)[0]) for svg in drawn]
    assert wide[0] <= 186.0
    assert wide[1] <= 122.0


@settings(max_examples=60)
@given(
    st.sampled_from(["rectangle", "round", "D", "triangular pair"]),
    st.floats(250.0, 1400.0),
    st.floats(0.6, 1.6),
    st.floats(-180.0, 180.0),
    st.sampled_from(list(TERMS)),
    st.floats(1.2, 3.0),
    st.integers(6, 22),
    st.sampled_from(["beside", "below"]),
)
def test_labels_stay_on_the_sheet_for_odd_frames(
    shape: str, size_mm: float, ratio: float, turn_deg: float, model: Model, reach: float, count: int, key: Key
) -> None:
    across_mm = size_mm if shape == "round" else size_mm * ratio
    rings = {
        name: outline_ring(shape, size_mm * share, across_mm * share, turn_deg)
        for name, share in (("opening", 0.7), ("body", 0.8), ("flange", 1.0), ("cut", 1.2))
    }
    half, step = reach * size_mm / 2, 2 * math.pi / count
    places = [(half * math.cos(i * step), half * math.sin(i * step)) for i in range(count)]
    points = tuple(
        RoadPoint(f"R{i + 1}", x, y, 0.0, 31.5 * math.sin(i), i != 2, i + 2) for i, (x, y) in enumerate(places)
    )
    gross = (GrossReading("R3", 4, -101.2, 9.0, 3.0, "a decimetre misread on the staff (100 mm)"),)
    road = RoadSurface(model, TERMS[model], K11.road.covariance, 12.0, 2.0, points, gross, 0.9, 0.6)
    design = replace(K11, shape=shape, turn_deg=turn_deg, road=road, outlines=replace(K11.outlines, **rings))
    svg = road_contours_svg(design, 1.1, key)
    assert off_the_sheet(svg) == []
    assert len(svg) < 60_000
    assert svg == road_contours_svg(design, 1.1, key)


@pytest.mark.tools
@pytest.mark.parametrize("key", ["beside", "below"])
def test_the_picture_is_painted_without_colour(key: Key, tmp_path: Path) -> None:
    image = pixels(picture(road_contours_svg(K13, 0.9, key), tmp_path))
    assert 0.003 < dark_share(image) < 0.4
    assert greatest_tint(image) == 0
