"""Findings of the level book, the soundings, the diagnosis, the ride and the forecast of the bed."""

from dataclasses import replace
from math import erf, sqrt

import pytest

from plan.sample import case, ring_readings, shelf
from plan.surveyed import LOW_LID, flat, full_sheet, sounded, staff_book, tilted
from truebed.errors import NotDesignedError
from truebed.findings import Severity
from truebed.given.reading import Reading
from truebed.plan.design import design_cover, diagnosis_of
from truebed.plan.ground import ground_of, road_of
from truebed.plan.site_aids import site_aids
from truebed.plan.survey_findings import (
    book_findings,
    diagnosed_findings,
    forecast_findings,
    margins_findings,
    ride_findings,
    water_findings,
)


def aids_of(made, top_sd_mm=8.0):
    ground = ground_of(made)
    return site_aids(made, ground.survey, ground.road, ground.seat, ground.outlines, top_sd_mm)


def with_rule(name, value):
    values = shelf().rules.values
    return replace(shelf().rules, values=(*values, replace(values[0], name=name, value=value, applies=())))


def codes(found):
    return [f.code for f in found]


def test_a_misclosure_within_tolerance_is_stated_with_what_is_allowed_and_a_greater_one_is_refused():
    made = case(readings=staff_book(miss_mm=4.0))
    found = [f for f in book_findings(made, ground_of(made)) if f.code == "LV-009"]
    # 5 mm times the root of two stands
    assert [(f.value, f.limit) for f in found] == [(4.0, "at most 7.1 mm")]
    closed = case(readings=staff_book())
    assert "LV-009" not in codes(book_findings(closed, ground_of(closed)))
    with pytest.raises(NotDesignedError, match="mm is allowed over 2"):
        ground_of(case(readings=staff_book(miss_mm=7.2)))


def test_shapes_of_road_that_the_places_cannot_carry_are_named():
    made = case(tilted)
    barred = [f.what for f in book_findings(made, ground_of(made)) if f.code == "LV-011"]
    assert any("full quadratic" in what and "one ring" in what for what in barred)


def test_few_readings_find_a_wrong_one_only_if_it_is_far_off():
    few, many = case(readings=ring_readings(tilted, count=6)), case(readings=ring_readings(tilted, count=24))
    told = [f for f in book_findings(few, ground_of(few)) if f.code == "LV-010"]
    found = ground_of(few).road.findable_mm
    assert [f.value for f in told] == ([found] if found > 12.0 else [])
    assert ground_of(many).road.findable_mm < found
    assert "LV-010" not in codes(book_findings(many, ground_of(many)))


def test_a_margin_given_too_small_is_told_by_side_and_the_cut_is_the_wider():
    made = sounded(sound_margin_mm=90.0)
    ground = ground_of(made)
    found = [f for f in margins_findings(made, ground) if f.code == "DG-007"]
    assert [(f.subject, f.severity) for f in found] == [("X1, left", Severity.CLOSE), ("X1, right", Severity.CLOSE)]
    assert all("goes out to the computed margin" in f.mend for f in found)
    assert ground.cut.margins_mm[1] == pytest.approx(110.0)
    assert margins_findings(case(flat), ground_of(case(flat))) == []


def test_a_diagnosis_that_does_not_hold_back_is_told_all_the_same():
    made = replace(case(flat), condition=full_sheet(dig_anyway="client wants it raised", **LOW_LID))
    found = diagnosed_findings(diagnosis_of(made, *road_of(made)))
    assert found
    assert all(f.code.startswith("DG-") for f in found)


def test_a_gap_under_the_straightedge_over_a_crown_is_told_with_its_place():
    made = case(road=lambda _x, y: -0.02 * abs(y))
    found = ride_findings(made, aids_of(made))
    # a crown of 0.02 holds the straightedge open beside it; no step is out of the band of 6 mm
    assert codes(found) == ["RD-002"]
    assert found[0].limit == "at most 3 mm"
    assert found[0].value > 3.0
    assert "across" in found[0].subject
    assert ride_findings(case(flat), aids_of(case(flat))) == []


def test_a_step_out_of_the_band_is_told_on_its_wheel_line():
    made = case(road=lambda _x, y: -0.04 * abs(y))
    found = [f for f in ride_findings(made, aids_of(made)) if f.code == "RD-001"]
    assert [(f.value, f.severity) for f in found] == [(pytest.approx(6.6, abs=0.01), Severity.CLOSE)]
    assert found[0].subject.startswith("X1, wheel line y ")


def test_water_by_the_grating_is_advice_without_a_rule_and_breaks_one_that_it_passes():
    def road(x, y):
        return 0.02 * abs(x - 500.0) - 0.02 * y

    ring = tuple(
        replace(r, y_mm=min(r.y_mm, 660.0), value_mm=road(r.x_mm, min(r.y_mm, 660.0)))
        for r in ring_readings(road, count=24, radius=950.0)
        if r.where == "road"
    )
    made = case(readings=ring, kind="gully", kerb_side="left", kerb_mm=700.0)
    aids = aids_of(made)
    found = water_findings(made, aids)
    assert [(f.code, f.severity, f.value) for f in found] == [("RD-003", Severity.ADVICE, aids.ponding.depth_mm)]
    strict = replace(made, rules=with_rule("pond_depth_most_mm", 1.0))
    assert [f.severity for f in water_findings(strict, aids)] == [Severity.BREAKS]
    easy = replace(made, rules=with_rule("pond_depth_most_mm", 50.0))
    assert [f.severity for f in water_findings(easy, aids)] == [Severity.ADVICE]


def test_a_kerb_that_stands_low_over_the_rim_is_told_with_its_row():
    kerbs = tuple(
        Reading("X1", f"K{i}", 0.0, 500.0, "level", z, "kerb", "", 60 + i) for i, z in enumerate((40.0, 99.0))
    )
    made = case(readings=(*ring_readings(flat), *kerbs), rules=with_rule("kerb_upstand_least_mm", 60.0))
    found = water_findings(made, aids_of(made))
    assert [(f.code, f.value, f.limit) for f in found] == [("RD-004", pytest.approx(40.0, abs=1e-3), "at least 60 mm")]
    assert "row 60" in found[0].subject


def test_a_bed_that_a_usual_error_of_the_chamber_top_would_spoil_is_told_before_the_night():
    # the bed is 30 mm between 12 and 55, the band 6 mm each way: the top may be 24 mm higher or 31 mm lower
    made = case(flat)
    assert forecast_findings(made, aids_of(made), 0.9) == []
    tight = case(flat, chamber_depth_mm=112.0)
    found = forecast_findings(tight, aids_of(tight), 0.9)
    assert codes(found) == ["BD-007"]
    # the top may come up by the band's 6 mm only: half of all cases and a little more
    assert found[0].value == pytest.approx(0.5 * (1.0 + erf(6.0 / 8.0 / sqrt(2.0))), abs=0.02)
    assert "6 mm higher" in found[0].what
    assert forecast_findings(made, aids_of(made, None), 0.9) == []


def test_the_designs_findings_hold_them_all():
    found = codes(
        design_cover(
            replace(case(readings=staff_book(miss_mm=4.0)), condition=full_sheet(bed_state="crumbled"))
        ).findings
    )
    assert "LV-009" in found
    assert any(c.startswith("DG-") for c in found)
