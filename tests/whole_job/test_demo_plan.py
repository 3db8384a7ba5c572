"""The demo works through the whole main job: what should come out at each cover does, and the stated truth is found."""

import json
import re

import jsonschema
import pytest

from plan.sample import demo_works
from truebed.demo.town import truth_of
from truebed.demo.truth import road_level_mm
from truebed.findings import Severity
from truebed.programme.check import check_schedule
from whole_job.demo_run import closure, demo_plan, demo_run


def design(cover):
    return next(c.design(cover) for c in demo_plan().closures for d in c.designed if d.cover == cover)


def findings(cover):
    return {f.code: f for f in demo_plan().findings if f.subject.split(",")[0] == cover}


def test_the_command_ends_well_and_lists_what_it_made():
    place, result = demo_run()
    assert result.exit_code == 0
    for name in ("plan.json", "findings.csv", "load-list.xlsx", "programme.ics", "tallow-night-site-pack.pdf"):
        assert name in result.output
        assert (place / "plan" / name).stat().st_size > 500


def test_the_plan_is_as_its_published_schema_says():
    from house.tree import ROOT

    schema = json.loads((ROOT / "docs/schema/plan.schema.json").read_text("utf-8"))
    place, _ = demo_run()
    jsonschema.validate(json.loads((place / "plan" / "plan.json").read_text("utf-8")), schema)


def test_sixteen_covers_are_done_in_three_nights():
    assert sum(len(c.solution.schedule.done) for c in demo_plan().closures) == 16


def test_there_are_at_least_fourteen_covers_in_three_closures():
    plan = demo_plan()
    assert len(plan.closures) == 3
    assert sum(len(c.designed) + len(c.not_designed) for c in plan.closures) >= 14


def not_designed(cover):
    return next(n for c in demo_plan().closures for n in c.not_designed if n.cover == cover)


def test_only_the_shallow_chamber_and_the_low_lid_are_not_designed():
    assert [n.cover for c in demo_plan().closures for n in c.not_designed] == ["T05", "F05"]


def test_the_shallow_chamber_is_told_its_mends_from_the_yard_least_work_first():
    mend = not_designed("F05").mend
    for nth, what in enumerate(
        ("take 1 course off:", "take 1 course off, add 1 x ring 20", "take the chamber top down by 24 to 56 mm"), 1
    ):
        assert f"({nth}) {what}" in mend
    minutes = [float(m) for m in re.findall(r"about (\d+) min", mend)]
    assert len(minutes) == 2
    assert minutes == sorted(minutes)


def test_a_low_lid_in_a_flush_frame_is_not_dug_out_and_the_plan_says_why():
    out = not_designed("T05")
    assert out.reason.startswith("Do not dig: the cover lies low in its frame")
    assert "fit a cover that fills its frame" in out.mend
    assert all("T05" not in c.solution.schedule.done for c in demo_plan().closures)


def test_every_planned_cover_is_to_be_bedded_again_by_its_own_sheet():
    for one in demo_plan().closures:
        for d in one.designed:
            assert findings(d.cover)["DG-003"].what.endswith("re-bed"), d.cover


def test_the_hollow_patch_draws_the_cut_out_on_its_own_side():
    from truebed.chamber.shapes import polygon

    left, low, right, high = polygon(design("T03").cut.ring).bounds
    assert -low - 400.0 == pytest.approx(200.0)  # tap P9 hollow 160 mm out of the flange, P10 sound 240 mm out
    assert max(-left, right, high) - 400.0 <= 100.0


def test_the_valve_box_draws_the_cut_in():
    assert "CT-007" in {f.code for f in demo_plan().findings if f.subject.startswith("W02")}


def test_the_run_of_two_stands_closes_two_millimetres_out_within_tolerance():
    miss = next(f for f in demo_plan().findings if f.code == "LV-009")
    assert miss.subject.startswith("W06")
    assert miss.value == pytest.approx(-2.0)


def test_a_round_lid_in_a_square_frame_keeps_more_iron_and_bed_at_the_corners():
    cover = demo_works().cover("T02")
    assert (cover.opening.shape, cover.body.shape, cover.flange.shape) == ("round", "rectangle", "rectangle")
    assert len(design("T02").setting.corners) == 4


def test_every_schedule_passes_the_independent_checker_and_opens_in_time():
    for one in demo_plan().closures:
        assert check_schedule(one.problem, one.solution.schedule) == ()
        assert one.solution.schedule.open_min <= one.problem.window_min


def test_more_covers_are_done_than_one_after_another():
    for one in demo_plan().closures:
        assert len(one.solution.schedule.done) > len(one.hand.done) >= 1
        assert check_schedule(one.problem, one.hand.schedule) == ()


def test_the_tight_winter_night_leaves_one_cover_out_and_says_by_how_much():
    frost = closure("frost-night")
    assert frost.solution.schedule.done
    assert [o.cover for o in frost.left_out]
    assert all(o.reason for o in frost.left_out)


@pytest.mark.parametrize(("cover", "point"), [("T03", "R5"), ("W05", "R8")])
def test_the_gross_readings_are_found_and_named(cover, point):
    assert [g.point for g in design(cover).road.gross] == [point]
    assert point in findings(cover)["LV-001"].subject or any(
        point in f.subject for f in demo_plan().findings if f.code == "LV-001" and f.subject.startswith(cover)
    )


def test_no_good_reading_of_the_demo_is_called_gross():
    named = {(d.cover, g.point) for c in demo_plan().closures for d in c.designed for g in d.road.gross}
    assert named == {("T03", "R5"), ("W05", "R8")}


def test_the_crown_and_the_twist_are_seen_as_such():
    assert design("W01").road.model == "two planes along"
    assert design("W02").road.model == "plane and twist"


def test_the_steep_camber_is_held_by_its_bed():
    assert design("W03").setting.bed_governs
    assert "BD-005" in findings("W03")


def test_gullies_are_set_low_and_their_cut_stops_at_the_kerb():
    for name in ("G01", "G02"):
        setting = design(name).setting
        assert setting.set_down_mm == 3.0
        assert all(p.departure_mm <= 0.0 for p in setting.rim_points)
        assert design(name).cut.clipped_by_kerb


def test_the_footway_box_asks_for_no_wheel():
    assert "Q01.wheel.pressure" not in dict(demo_plan().figures)
    assert "T01.wheel.pressure" in dict(demo_plan().figures)


def test_every_corner_level_lies_within_its_interval_of_the_stated_truth():
    outside = total = 0
    figures = dict(demo_plan().figures)
    for one in demo_plan().closures:
        for d in one.designed:
            for corner in d.setting.corners:
                true = road_level_mm(truth_of(d.cover).road, corner.x_mm, corner.y_mm)
                spread = figures[f"{d.cover}.road.{corner.name}"].plus_minus
                total += 1
                outside += abs(corner.road_mm - true) > spread
    assert total >= 60
    assert outside / total <= 0.2  # of 68 corners, four to a cover and not independent; nominal 0.1


def test_every_bed_lies_within_the_sheets_limits():
    for one in demo_plan().closures:
        for d in one.designed:
            assert d.setting.bed_limit_least_mm - 1e-6 <= d.setting.bed_least_mm
            assert d.setting.bed_most_mm <= d.setting.bed_limit_most_mm + 1e-6


def test_kits_are_whole_and_enough():
    for one in demo_plan().closures:
        for d in one.designed:
            for kits in d.kits:
                assert sum(b.litres_l for b in kits.batches) >= kits.needed_l - 1e-6
                assert sum(b.kits for b in kits.batches) == kits.kits


def test_every_finding_has_a_sentence_and_a_breaking_one_a_mend():
    for finding in demo_plan().findings:
        assert finding.sentence().startswith(finding.code)
        if finding.severity is Severity.BREAKS:
            assert finding.mend


def test_the_demo_says_it_is_a_demo():
    assert demo_plan().demo
    assert demo_works().heading.demo
