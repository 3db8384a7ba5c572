"""What a cut-out has beyond its outline stands in the DXF: run-on, cores, a true circle, the joint with a neighbour."""

from __future__ import annotations

import io
from dataclasses import replace

import ezdxf
import pytest

from papers.sample_plan import designs
from truebed.chamber.cut import CutQuestion, cut_out
from truebed.chamber.cut_parts import Neighbour
from truebed.drawings.cut_dxf import cut_dxf
from truebed.plan.result import CoverDesign

K11 = designs()[0]
PLAIN = CutQuestion(800.0, 700.0, 0.0, 100.0, 60.0, "the fill", "none", None, 100.0, 180.0, 400.0,
                    strip_least_mm=250.0, name="K11")  # fmt: skip


def drawn(question: CutQuestion) -> tuple[ezdxf.document.Drawing, CoverDesign]:
    """The sample design with another cut, drawn and read anew."""
    cut = cut_out(question)
    design = replace(K11, cut=cut, outlines=replace(K11.outlines, cut=cut.ring), turn_deg=question.turn_deg)
    return ezdxf.read(io.StringIO(cut_dxf(design).decode("utf-8"))), design


def on(doc: ezdxf.document.Drawing, kind: str, layer: str) -> list[ezdxf.entities.DXFGraphic]:
    """Entities of a kind on a layer."""
    return list(doc.modelspace().query(f'{kind}[layer=="{layer}"]'))


def test_each_run_of_the_blade_is_a_line_of_its_own_length() -> None:
    doc, _ = drawn(PLAIN)
    lines = on(doc, "LINE", "RUN-ON")
    assert [line.dxf.start.distance(line.dxf.end) for line in lines] == pytest.approx([173.205] * 8, abs=1e-3)
    assert on(doc, "CIRCLE", "CORES") == []


def test_a_run_that_would_enter_the_kerb_is_not_drawn() -> None:
    doc, _ = drawn(replace(PLAIN, kerb_side="left", kerb_mm=450.0))
    assert len(on(doc, "LINE", "RUN-ON")) == 4


def test_cores_are_circles_on_the_corners() -> None:
    doc, design = drawn(replace(PLAIN, corner_way="core"))
    circles = on(doc, "CIRCLE", "CORES")
    assert sorted((c.dxf.center.x, c.dxf.center.y) for c in circles) == sorted(design.cut.ring)
    assert [2 * c.dxf.radius for c in circles] == pytest.approx([173.205] * 4, abs=1e-3)
    assert on(doc, "LINE", "RUN-ON") == []


def test_a_round_cut_is_a_true_circle_with_its_width_in_words() -> None:
    doc, design = drawn(replace(PLAIN, flange_across_mm=600.0, cut_form="round"))
    (circle,) = on(doc, "CIRCLE", "CUT")
    assert 2 * circle.dxf.radius == pytest.approx(1200.0)
    assert design.cut.diameter_mm == pytest.approx(1200.0)
    assert any("1200 mm across" in t.dxf.text for t in doc.modelspace().query("TEXT"))
    assert on(doc, "LWPOLYLINE", "CUT") == []


def test_a_joined_cut_shows_the_whole_and_the_line_between_its_owners() -> None:
    flange = tuple((x + 1200.0, y) for x, y in PLAIN.flange_ring())
    cut = tuple((x + 1200.0, y) for x, y in cut_out(PLAIN).ring)
    doc, design = drawn(replace(PLAIN, neighbours=(Neighbour("K14", flange, cut),)))
    assert design.cut.joined is not None
    (whole,) = on(doc, "LWPOLYLINE", "JOINED")
    assert [tuple(p[:2]) for p in whole.get_points()] == [pytest.approx(p) for p in design.cut.joined.ring]
    (line,) = on(doc, "LINE", "SHARED")
    assert (line.dxf.start.x, line.dxf.end.x) == pytest.approx((600.0, 600.0))


def test_a_cut_square_to_the_traffic_is_dimensioned_square_to_the_traffic() -> None:
    doc, design = drawn(replace(PLAIN, turn_deg=20.0, cut_turn="traffic"))
    found = [d for d in doc.modelspace().query("DIMENSION") if d.dxf.text == "cut <>"]
    assert [d.dxf.angle for d in found] == pytest.approx([0.0, 90.0])
    assert [d.get_measurement() for d in found] == pytest.approx([design.cut.along_mm, design.cut.across_mm])
