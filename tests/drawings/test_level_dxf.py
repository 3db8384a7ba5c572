"""The levels' DXF reads back: contours at their levels on the fit, residuals, layers, a clean audit, the same bytes."""

from __future__ import annotations

import io
from dataclasses import replace

import ezdxf
import pytest

from papers.sample_plan import designs
from truebed.drawings.level_dxf import LAYERS, level_dxf
from truebed.levels.road_terms import road_level_mm
from truebed.plan.result import CoverDesign

K11, K12, K13 = designs()


def read(data: bytes) -> ezdxf.document.Drawing:
    """The drawing read anew."""
    return ezdxf.read(io.StringIO(data.decode("utf-8")))


@pytest.mark.parametrize("design", [K11, K12, K13], ids=lambda d: d.cover)
def test_the_audit_is_clean_and_all_layers_are_there(design: CoverDesign) -> None:
    doc = read(level_dxf(design))
    audit = doc.audit()
    assert (audit.errors, audit.fixes) == ([], [])
    assert set(LAYERS) <= {layer.dxf.name for layer in doc.layers}
    assert {e.dxf.layer for e in doc.modelspace()} <= set(LAYERS)
    assert doc.header["$INSUNITS"] == 4


def test_contours_stand_at_their_levels_on_the_fit() -> None:
    space = read(level_dxf(K12)).modelspace()
    found = [*space.query('LWPOLYLINE[layer=="CONTOURS"]'), *space.query('LWPOLYLINE[layer=="CONTOURS-INSIDE-RIM"]')]
    assert len({e.dxf.elevation for e in found}) >= 6
    for line in found:
        for x, y, *_ in line.get_points():
            assert road_level_mm(K12.road, x, y) == pytest.approx(line.dxf.elevation, abs=0.01)


def test_readings_stand_at_their_levels_and_the_gross_one_on_a_layer_of_its_own() -> None:
    space = read(level_dxf(K11)).modelspace()
    used = space.query('POINT[layer=="READINGS"]')
    (left_out,) = space.query('POINT[layer=="READINGS-LEFT-OUT"]')
    assert len(used) == 7
    gross = K11.road.points[4]
    assert tuple(left_out.dxf.location) == pytest.approx((gross.x_mm, gross.y_mm, gross.level_mm))
    assert "P5 left out" in [t.dxf.text for t in space.query('TEXT[layer=="READINGS-LEFT-OUT"]')]
    residuals = sorted(float(t.dxf.text) for t in space.query('TEXT[layer=="RESIDUALS"]'))
    assert residuals == pytest.approx(sorted(p.residual_mm for p in K11.road.points), abs=0.05)


def test_corners_stand_at_the_levels_to_set() -> None:
    points = read(level_dxf(K11)).modelspace().query('POINT[layer=="SET-LEVELS"]')
    assert sorted(p.dxf.location.z for p in points) == pytest.approx(sorted(c.rim_mm for c in K11.setting.corners))


def test_a_fold_is_drawn_and_a_level_road_says_that_it_has_no_lines() -> None:
    folded = replace(K11.road, model="two planes along", coefficients=(0.0, 0.0, 0.0, -0.02), ridge_mm=30.0)
    (fold,) = read(level_dxf(replace(K11, road=folded))).modelspace().query('LWPOLYLINE[layer=="FOLD"]')
    assert [p[1] for p in fold.get_points()] == pytest.approx([30.0, 30.0])
    level = read(level_dxf(replace(K12, road=replace(K12.road, coefficients=(1.0, 0.0, 0.0))))).modelspace()
    assert any("no contours" in t.dxf.text for t in level.query("TEXT"))
    assert not level.query('LWPOLYLINE[layer=="CONTOURS"]')


def test_twice_gives_the_same_bytes_of_bounded_size() -> None:
    first = level_dxf(K12)
    assert level_dxf(K12) == first
    assert len(first) < 150_000


def test_names_cannot_command_the_drawing_program() -> None:
    text = level_dxf(replace(K11, cover="K%%u^J1")).decode()
    assert "%%u" not in text
