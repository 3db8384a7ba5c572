"""The departure diagram: the curve in proportion, the excess crossed, the worst ringed, the bed against its limits."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drawings.on_sheet import off_the_sheet
from drawings.test_rim_axis import SHAPES, shaped
from drawings.tools import dark_share, greatest_tint, picture, pixels
from papers.sample_plan import bed_point, designs
from truebed.drawings.departure_diagram import (
    DepartureRow,
    bed_span_mm,
    departure_diagram_svg,
    departure_rows,
    rim_span_mm,
)
from truebed.levels.parts import PartsSetting
from truebed.levels.setting import BedPoint, FrameSetting

K11, K12, K13 = designs()


def drawn(setting: FrameSetting, error_mm: tuple[float, ...] = (), wide_mm: float = 180.0) -> str:
    """The diagram of a frame of one part."""
    return departure_diagram_svg("K1", (DepartureRow("", setting, error_mm),), wide_mm)


def chains(svg: str, kind: str, name: str = "") -> list[list[tuple[float, float]]]:
    """The points of each polyline or of each polygon whose id begins with a name."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own text
    found = [e for e in root.iter() if e.tag.endswith(f"}}{kind}") and e.get("id", "").startswith(name)]
    return [[(float(x), float(y)) for x, y in (p.split(",") for p in e.attrib["points"].split())] for e in found]


def height_of(svg: str, text: str) -> float:
    """The baseline of a label."""
    (y,) = re.findall(rf'y="([0-9.]+)"[^>]*>{re.escape(text)}</text>', svg)
    return float(y)


def test_the_curve_is_in_proportion_to_the_departures() -> None:
    svg = drawn(K11.setting)
    curve = chains(svg, "polyline")[0]
    assert len(curve) == len(K11.setting.rim_points) + 1
    per_mm = (height_of(svg, "limit \u22126.0") - height_of(svg, "limit +6.0")) / 12.0
    values = sorted(p.departure_mm for p in K11.setting.rim_points)
    assert max(y for _, y in curve) - min(y for _, y in curve) == pytest.approx(
        per_mm * (values[-1] - values[0]), abs=0.01
    )


def test_what_lies_beyond_a_limit_is_crossed_and_told() -> None:
    assert chains(drawn(K11.setting), "polygon", "beyond") == []
    high = replace(K11.setting.rim_points[5], departure_mm=7.5)
    low = replace(K11.setting.rim_points[9], departure_mm=-8.0)
    points = (*K11.setting.rim_points[:5], high, *K11.setting.rim_points[6:9], low, *K11.setting.rim_points[10:])
    svg = drawn(replace(K11.setting, rim_points=points, greatest_departure_mm=8.0, greatest_at=low.name))
    assert len(chains(svg, "polygon", "beyond")) == 2
    assert "url(#cross)" in svg
    assert ">+7.5<" in svg
    assert ">\u22128.0<" in svg
    assert f"ringed at {low.name}" in svg


def test_an_excess_that_runs_over_the_end_of_the_walk_is_crossed_at_both_ends() -> None:
    points = tuple(replace(p, departure_mm=7.0) for p in K11.setting.rim_points)
    (ring,) = chains(drawn(replace(K11.setting, rim_points=points)), "polygon", "beyond")
    assert max(x for x, _ in ring) - min(x for x, _ in ring) == pytest.approx(139.0, abs=0.1)


def test_the_error_band_stands_off_the_curve_by_the_given_half_widths() -> None:
    count = len(K12.setting.rim_points)
    errors = tuple(1.0 + 0.1 * i for i in range(count))
    svg = drawn(K12.setting, errors)
    (band,) = chains(svg, "polygon", "error")
    per_mm = (height_of(svg, "limit \u22126.0") - height_of(svg, "limit +6.0")) / 12.0
    wide = [(band[-1 - i][1] - band[i][1]) / per_mm / 2 for i in range(count)]
    assert sorted(wide) == pytest.approx(sorted(errors), abs=0.01)
    assert chains(drawn(K12.setting), "polygon", "error") == []
    with pytest.raises(ValueError, match="3 errors for 16 points"):
        drawn(K12.setting, (1.0, 1.0, 1.0))


def test_the_spans_hold_values_errors_and_limits() -> None:
    wild = replace(K11.setting, rim_points=tuple(replace(p, departure_mm=9.0) for p in K11.setting.rim_points))
    low, high = rim_span_mm(DepartureRow("", wild, (2.0,) * 16))
    assert (low < -6.0, high > 11.0) == (True, True)
    thin = replace(K11.setting, bed=(BedPoint("m1", 300.0, 0.0, 0.0, -4.0, 4.0),))
    low, high = bed_span_mm(thin)
    assert (low < 4.0, high > 50.0) == (True, True)


def test_each_bed_has_its_dot_and_value_and_the_limits_are_named() -> None:
    svg = drawn(K13.setting)
    for text in ("most 50", "least 10", "thick", "thin", "38.6", "20.2"):
        assert f">{text}<" in svg
    assert svg.count('r="0.9"') >= len(K13.setting.bed)


def test_many_beds_are_a_line_with_the_least_and_most_told() -> None:
    ring = shaped("round", 800.0, 800.0, 0.0).rim_points
    bed = tuple(bed_point(p.name, p.x_mm, p.y_mm, 150.0) for p in ring)
    svg = drawn(replace(K12.setting, bed=bed))
    assert len(chains(svg, "polyline")[1]) == len(bed) + 2
    for value in (min(b.bed_mm for b in bed), max(b.bed_mm for b in bed)):
        assert f">{value:.1f}<" in svg


def test_a_seat_with_two_edges_is_one_line_of_least_and_one_of_greatest_beds_and_no_sawtooth() -> None:
    ring = shaped("round", 800.0, 800.0, 0.0).rim_points
    edges = [
        replace(bed_point(f"{p.name} {share}", p.x_mm * share, p.y_mm * share, 150.0), bed_mm=bed)
        for share, bed in ((0.95, 20.0), (0.7, 30.0))
        for p in ring
    ]
    setting = replace(K12.setting, rim_points=ring, bed=tuple(edges))
    svg = drawn(setting)
    least, greatest = chains(svg, "polyline")[1:3]
    assert "Two bed lines" in svg
    assert (len({y for _, y in least}), len({y for _, y in greatest})) == (1, 1)
    assert least[0][1] > greatest[0][1]
    assert [x for x, _ in least] == sorted(x for x, _ in least)


def test_a_frame_of_parts_has_a_row_for_each() -> None:
    rows = tuple(DepartureRow(f"part {i}", shaped("rectangle", 500.0, 700.0, 0.0)) for i in (1, 2, 3))
    svg = departure_diagram_svg("K1", rows)
    assert [f">part {i}<" in svg for i in (1, 2, 3)] == [True, True, True]
    assert len(chains(svg, "polyline")) == 3


def test_a_frame_exactly_on_the_road_rings_nothing() -> None:
    flat = replace(
        K11.setting,
        greatest_departure_mm=1e-14,
        rim_points=tuple(replace(p, departure_mm=0.0) for p in K11.setting.rim_points),
    )
    svg = drawn(flat)
    assert "ringed" not in svg
    assert 'r="1.7"' not in svg


@settings(max_examples=60)
@given(
    st.sampled_from(SHAPES),
    st.sampled_from([110.0, 120.0, 180.0]),
    st.lists(st.floats(-90.0, 90.0), min_size=4, max_size=4),
    st.floats(0.0, 12.0),
)
def test_labels_stay_on_the_sheet_for_odd_frames(
    shape: tuple[str, float, float, float], wide_mm: float, off: list[float], error_mm: float
) -> None:
    setting = shaped(*shape)
    points = tuple(replace(p, departure_mm=off[i % 4] * (1 + i % 3)) for i, p in enumerate(setting.rim_points))
    corners = tuple(points[i * len(points) // 4] for i in range(4))
    odd = replace(setting, rim_points=points, corners=corners, greatest_at=points[1].name)
    svg = drawn(odd, (error_mm,) * len(points), wide_mm)
    assert off_the_sheet(svg) == []
    assert len(svg) < 60_000


def test_twice_gives_the_same_bytes() -> None:
    assert drawn(K12.setting, (1.0,) * 16) == drawn(K12.setting, (1.0,) * 16)


@pytest.mark.tools
def test_the_picture_is_painted_without_colour(tmp_path: Path) -> None:
    image = pixels(picture(drawn(K11.setting, (1.2,) * 16), tmp_path))
    assert 0.003 < dark_share(image) < 0.4
    assert greatest_tint(image) == 0


def test_a_frame_in_parts_has_a_row_for_each_with_its_own_errors():
    count = len(K11.setting.rim_points)
    parts = PartsSetting((K11.setting, K11.setting), (), 3.0, "rule", 0.0, 1, None, None)
    errors = tuple(float(i) for i in range(2 * count))
    one, two = departure_rows(replace(K11, parts=parts, rim_error_mm=errors))
    assert (one.name, two.name) == ("part 1", "part 2")
    assert one.error_mm + two.error_mm == errors
    assert [r.name for r in departure_rows(K11)] == [""]
