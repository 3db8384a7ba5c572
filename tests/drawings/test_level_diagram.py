"""The departure diagram: every rim point has a bar of the right height, what is out of band is crossed."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from papers.sample_plan import designs
from truebed.drawings.level_diagram import level_diagram_svg, round_the_rim

K11, K12, _ = designs()


def bars(svg: str) -> list[dict[str, str]]:
    """The hatched bars."""
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own text
    return [dict(e.attrib) for e in root.iter() if e.tag.endswith("rect") and "url(" in e.get("fill", "")]


def test_points_run_once_round_the_rim() -> None:
    names = [p.name for p in round_the_rim(K12.setting)]
    assert sorted(names) == sorted(p.name for p in K12.setting.rim_points)
    assert names[-1] == "r9"  # the rear, at 180 degrees


def test_bars_are_in_proportion_to_the_departures() -> None:
    found = bars(level_diagram_svg(K11))
    points = round_the_rim(K11.setting)
    assert len(found) == len(points) == 16
    per_mm = float(found[0]["height"]) / abs(points[0].departure_mm)
    for bar, point in zip(found, points, strict=True):
        assert float(bar["height"]) == pytest.approx(max(abs(point.departure_mm) * per_mm, 0.3), abs=0.01)


def test_a_point_outside_the_band_is_crossed_not_coloured() -> None:
    points = (replace(K11.setting.rim_points[0], departure_mm=7.5), *K11.setting.rim_points[1:])
    svg = level_diagram_svg(replace(K11, setting=replace(K11.setting, rim_points=points)))
    assert sum("#cross" in b["fill"] for b in bars(svg)) == 1
    assert ">+7.5<" in svg
    assert ">limit +6.0<" in svg
