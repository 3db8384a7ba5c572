"""What the checks of one cover find."""

from dataclasses import replace

import pytest

from plan.night_case import case_with
from plan.sample import case, ring_readings, shelf
from truebed.findings import Severity
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.design import design_cover
from truebed.plan.duty_findings import class_number
from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules


def found(**changes):
    return {f.code: f for f in design_cover(case(**changes)).findings}


def test_a_plain_cover_breaks_no_limit():
    assert [f for f in design_cover(case()).findings if f.severity is Severity.BREAKS] == []


def test_a_gross_reading_is_named_with_its_row():
    finding = found(readings=ring_readings(lambda x, y: 0.01 * x - 0.02 * y, off={3: -100.0}))["LV-001"]
    assert "point R4 (readings.csv row 5)" in finding.subject
    assert "decimetre" in finding.what
    assert finding.value == pytest.approx(-100.0)


def test_a_steep_crown_breaks_the_rim_tolerance_and_says_what_to_do():
    finding = found(road=lambda _x, y: -0.05 * abs(y))["LV-002"]
    assert finding.severity is Severity.BREAKS
    assert "S2.3.1" in finding.source
    assert "feather" in finding.mend


def test_a_frame_already_flush_is_told_to_be_diagnosed_before_digging():
    finding = found(readings=ring_readings(lambda x, y: 0.01 * x - 0.02 * y, frame_step=-2.0))["LV-006"]
    assert "Diagnose" in finding.mend
    assert "LV-005" in found()
    assert found()["LV-005"].value == pytest.approx(-15.0)


def test_a_surface_laid_as_one_plane_over_a_sharp_crown_would_break_the_edge_tolerance():
    finding = found(road=lambda _x, y: -0.05 * abs(y))["LV-008"]
    assert finding.severity is Severity.CLOSE
    assert "Strike the surface" in finding.mend
    assert "S2.2.1" in finding.source
    assert abs(finding.value) > 6.0
    assert "LV-008" not in found()


def test_an_estimated_chamber_top_says_how_likely_the_bed_keeps_its_limits():
    finding = found(road=lambda _x, _y: 0.0)["BD-002"]
    assert 0.9 < finding.value <= 1.0
    assert "eight points" in finding.mend
    assert found(road=lambda _x, _y: 0.0, chamber_depth_mm=116.0)["BD-002"].value < 0.75


def test_a_bed_that_governs_is_said_so():
    assert "BD-005" in found(road=lambda _x, _y: 0.0, chamber_depth_mm=110.0)
    assert "BD-005" not in found(road=lambda _x, _y: 0.0)


def test_an_unknown_chamber_top_error_leaves_spare_not_determined():
    uk, _ = load_rule_set("uk", {}, packaged_rules())
    assert "not determined" in found(rules=uk)["BD-004"].what


def test_a_rough_measured_top_is_said_so():
    points = tuple((x, y, -130.0 + (9.0 if i % 2 else -9.0))
                   for i, (x, y) in enumerate([(400, 0), (360, 360), (0, 400), (-360, 360), (-400, 0), (-360, -360),
                                               (0, -400), (360, -360)]))  # fmt: skip
    assert found(measured=MeasuredTop(points, "RK", "t", "e"))["BD-003"].value > 5.0


@pytest.mark.parametrize(("load_class", "place", "breaks"), [
    ("B125", "carriageway", True), ("C250", "carriageway", True), ("D400", "carriageway", False),
    ("E600", "carriageway", False), ("C250", "kerbside", False), ("B125", "kerbside", True), ("A15", "footway", True),
    ("B125", "footway", False),
])  # fmt: skip
def test_the_load_class_is_judged_by_place(load_class, place, breaks):
    assert ("LD-001" in found(load_class=load_class, place=place)) is breaks


def test_a_shallow_frame_for_its_class_is_close_to_a_limit_not_a_verdict():
    finding = found(frame_depth_mm=80.0, chamber_depth_mm=110.0)["LD-002"]
    assert finding.severity is Severity.CLOSE
    assert "memory" in finding.source


def test_classes_compare_by_their_test_load():
    assert [class_number(c) for c in ("A15", "B125", "C250", "D400", "E600", "F900")] == [15, 125, 250, 400, 600, 900]


def test_opening_below_the_sheets_own_strength_is_said_so():
    def lowered(value):
        return replace(value, value=12.0) if value.name == "opening_strength_n_per_mm2" else value

    rules = replace(shelf().rules, values=tuple(lowered(v) for v in shelf().rules.values))
    limits = {f.subject: f.limit for f in design_cover(case(rules=rules)).findings if f.code == "LD-005"}
    assert "13 N/mm2" in limits["X1, Harrow bedding mortar"]
    assert "LD-005" not in found()


def test_the_blades_run_on_is_advice_and_a_small_blade_is_named():
    assert found()["CT-001"].value == pytest.approx((450 * 100 - 100**2) ** 0.5)
    assert "CT-002" in found(blade_mm=150.0)


def test_the_temperature_basis_is_stated_on_every_cover():
    points = found()["CU-003"]
    assert points.severity is Severity.ADVICE
    assert "at one temperature of the night" in points.what
    assert "bed life" in points.what
    heat = {f.code: f for f in design_cover(case_with()).findings}["CU-001"]
    assert heat.severity is Severity.STATED
    assert "late end (95 %)" in heat.what
    assert "early end (5 %)" in heat.what


def test_a_layer_thinner_than_its_sheet_allows_breaks_a_limit():
    finding = found(frame_depth_mm=60.0, chamber_depth_mm=90.0)["VL-001"]
    assert finding.severity is Severity.BREAKS
    assert finding.value == pytest.approx(1.0, abs=1e-6)


def test_a_layer_that_runs_out_breaks_a_limit():
    assert found(frame_depth_mm=50.0, chamber_depth_mm=80.0)["VL-003"].value == pytest.approx(-9.0, abs=1e-6)


def test_a_pour_of_several_roles_is_judged_by_their_depth_together():
    deep = found(method="two-material", frame_depth_mm=250.0, chamber_depth_mm=280.0)["VL-002"]
    assert "pour fill" in deep.subject
    assert deep.value > shelf().sheets["weir-flow"].limits.thickness_most_mm
    assert "VL-002" not in found(method="two-material")


def test_a_very_deep_surround_asks_for_lifts():
    limit = shelf().sheets["lattice-fill"].limits.thickness_most_mm
    depth = limit + 15 + 12 + 32 + 10.0
    finding = found(frame_depth_mm=depth, chamber_depth_mm=depth + 30.0)["VL-002"]
    assert finding.value == pytest.approx(limit + 10.0)
    assert "2 lifts" in finding.what


def test_a_kerb_close_to_the_flange_leaves_too_little_width_and_says_so():
    finding = found(kerb_side="left", kerb_mm=417.0)["CT-003"]
    assert finding.value == pytest.approx(2.0)
    assert finding.severity is Severity.BREAKS
    assert "CT-003" not in found(kerb_side="left", kerb_mm=490.0)
    assert "CT-003" not in found()
