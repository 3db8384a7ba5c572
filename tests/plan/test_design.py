"""One cover designed: quantities, strengths, holds, cautions, refusals."""

import math
from dataclasses import replace

import pytest

from plan.night_case import case_with
from plan.sample import case, mild_night, ring_readings, shelf
from plan.surveyed import LOW_LID, full_sheet, tilted
from truebed.errors import NotDesignedError
from truebed.plan.design import (
    cautions_of,
    clocks_of,
    design_cover,
    diagnosis_of,
    drivers_for,
    holds_of,
    job_for,
    mixer_for,
    opening_clocks,
    quantities,
    strengths,
)
from truebed.plan.ground import ground_of, road_of


def test_a_plain_cover_is_designed_with_all_its_parts():
    found = design_cover(case())
    design = found.design
    assert {v.role for v in design.volumes} == {
        "bed", "under_flange_fill", "surround_fill", "running_surface", "edge_seal",
    }  # fmt: skip
    assert {k.pour for k in design.kits} == {"bed", "fill", "backfill", "surface", "seal"}
    assert design.dig_l == pytest.approx(sum(v.volume_l for v in design.volumes))
    assert len(found.job.tasks) == len(shelf().methods["five-layer"].steps)
    assert design.opening_strength_n_per_mm2 == 14.0
    assert found.figures
    assert found.findings


def test_kits_hold_the_litres_with_allowance():
    ground = ground_of(case())
    volumes, kits = quantities(case(), ground)
    bed = next(k for k in kits if k.pour == "bed")
    net = next(v.volume_l for v in volumes if v.role == "bed")
    assert bed.needed_l == pytest.approx(net * 1.06)
    assert bed.kits * 12.4 >= bed.needed_l
    assert sum(b.kits for b in bed.batches) == bed.kits


def test_the_two_material_method_loses_no_litre():
    five, two = design_cover(case()).design, design_cover(case(method="two-material")).design
    assert {v.role for v in two.volumes} <= {"bed", "under_flange_fill", "surround_fill", "running_surface"}
    assert {k.pour for k in two.kits} == {"bed", "fill"}
    assert two.dig_l == pytest.approx(five.dig_l, rel=1e-9)


def test_a_missing_mixer_is_refused_where_the_method_wants_one():
    with pytest.raises(NotDesignedError, match="no mixer"):
        mixer_for(case(mixer_l=None), "bed")
    assert mixer_for(case(), "seal") is None
    with pytest.raises(NotDesignedError, match="never split"):
        design_cover(case(mixer_l=5.0))


def test_strength_comes_from_the_rule_set_and_else_from_the_sheet():
    targets, whys = strengths(case(), ground_of(case()))
    assert targets["bed"] == 14.0
    assert whys["bed"].source.startswith("[demo] demo 2")
    bare = replace(shelf().rules, values=tuple(v for v in shelf().rules.values if "opening_strength" not in v.name))
    targets, _ = strengths(case(rules=bare), ground_of(case()))
    assert targets["bed"] == shelf().sheets["harrow-bed"].traffic_strength_n_per_mm2


def test_a_night_colder_than_the_sheet_allows_is_not_designed_never_extrapolated():
    cold = replace(mild_night(), coldest_c=2.0, coldest_from="air at 04:00")
    with pytest.raises(NotDesignedError, match="not allowed by the sheet"):
        design_cover(case(temps=cold))
    frosty = replace(cold, hottest_c=9.0, hottest_from="mix")
    assert design_cover(case(temps=frosty, method="winter")).design.method == "winter"


def test_hold_points_include_measuring_the_chamber_top():
    names = [h.name for h in holds_of(case())]
    assert names[0] == "measure-chamber-top"
    assert "frame-levels-again" in names
    assert "eight points" in holds_of(case())[0].what


def test_cautions_cover_steps_and_materials():
    keys = {c.key for c in cautions_of(case())}
    assert {"traffic", "vibration", "noise", "dust", "lifting", "resin-vapour", "peroxide", "confined-space",
            "buried-services", "cement-alkaline"} <= keys  # fmt: skip


def test_a_method_that_would_open_the_road_too_weak_waits_for_the_opening_strength_all_the_same():
    method = shelf().methods["five-layer"]
    weak = replace(
        method,
        links=tuple(
            replace(x, least_clock=replace(x.least_clock, strength_n_per_mm2=5.0))
            if x.to_step == "open" and x.least_clock.kind == "strength"
            else x
            for x in method.links
        ),
    )
    plain, tried = design_cover(case()), design_cover(replace(case(), method=weak))
    assert [lag.least_min for lag in tried.job.lags] == [lag.least_min for lag in plain.job.lags]


def test_opening_strengths_are_figures_only_of_pours_that_open_by_strength():
    names = {n for n, _ in design_cover(case()).figures if ".opening-strength." in n}
    assert names == {"X1.opening-strength.bed", "X1.opening-strength.fill"}


def flush(condition=None, **changes):
    """A frame flush with its road, with a condition sheet or none."""
    return replace(case(readings=ring_readings(tilted, frame_step=0.0), **changes), condition=condition)


def test_a_lid_8_mm_low_in_a_flush_frame_is_refused_as_do_not_dig_with_its_mend():
    with pytest.raises(NotDesignedError, match="Do not dig: the cover lies low in its frame") as refused:
        design_cover(flush(full_sheet(**LOW_LID)))
    assert "fit a cover that fills its frame" in refused.value.mend
    assert "dig_anyway" in refused.value.mend


def test_the_diagnosis_is_told_before_a_frame_that_could_not_be_set():
    with pytest.raises(NotDesignedError, match="Do not dig"):
        design_cover(flush(full_sheet(**LOW_LID), chamber_depth_mm=300.0))
    with pytest.raises(NotDesignedError, match="too thick"):
        design_cover(flush(None, chamber_depth_mm=300.0))


def test_a_reason_to_dig_anyway_overrides_and_stands_among_the_findings():
    found = design_cover(flush(full_sheet(dig_anyway="client wants it raised", **LOW_LID))).findings
    told = {f.code: f.what for f in found if f.code.startswith("DG")}
    assert "do not dig" in told["DG-001"]
    assert "client wants it raised" in told["DG-010"]


def test_without_a_sheet_the_cover_is_planned_and_what_was_not_looked_at_is_said():
    made = flush()
    found = design_cover(made)
    told = [f.what for f in found.findings if f.code == "DG-005"]
    assert len(told) == 2
    assert all("not looked at" in what for what in told)
    assert diagnosis_of(made, *road_of(made)).held_back
    assert found.design.diagnosis


def test_a_frame_that_sank_on_a_crumbled_bed_is_dug():
    sunk = replace(case(), condition=full_sheet(bed_state="crumbled", hollow_taps_pct=80.0))
    found = diagnosis_of(sunk, *road_of(sunk))
    assert not found.held_back
    assert found.decision.repair.beds
    assert "DG-001" not in {f.code for f in design_cover(sunk).findings}


def test_a_clock_that_no_sheet_tells_is_refused_with_what_to_do():
    targets, _ = strengths(case(), ground_of(case()))
    assert {k.reading.pour for k in clocks_of(case(), targets)} <= {"bed", "fill", "backfill", "surface", "seal"}
    with pytest.raises(NotDesignedError, match="A clock is not determined") as refused:
        clocks_of(case(), {**targets, "bed": 500.0})
    assert "another night" in refused.value.mend


def test_the_clocks_that_lead_to_the_opening_are_told_with_the_strength_they_wait_for():
    targets, _ = strengths(case(), ground_of(case()))
    found = {(c.pour, c.kind) for c in opening_clocks(case(), targets)}
    assert found == {
        ("bed", "strength"), ("fill", "strength"), ("backfill", "ready"), ("surface", "ready"), ("seal", "ready"),
    }  # fmt: skip


def test_with_a_night_the_clocks_follow_its_heat_by_the_hour_and_the_job_waits_their_late_minutes():
    night = case_with()
    found = design_cover(night)
    assert all(reading.hours for reading in found.design.clocks)
    bed = next(k.reading for k in found.known if (k.reading.pour, k.reading.kind) == ("bed", "strength"))
    (lag,) = (lag for lag in found.job.lags if lag.why == "the bed bears the wheel")
    assert lag.least_min == math.ceil(bed.late_min)
    assert {r.pour for r in found.design.releases} == {"bed", "fill", "backfill", "surface", "seal"}
    assert design_cover(case()).design.releases == ()


def test_a_job_and_its_drivers_are_those_of_the_case():
    night = case_with()
    ground = ground_of(night)
    _, kits = quantities(night, ground)
    drivers = drivers_for(night, ground, kits)
    assert drivers["saw_m"] == drivers["joint_m"] == ground.cut.saw_length_m
    assert drivers["dig_l"] == pytest.approx(sum(s.volume_l for s in ground.solids.values()))
    plain = case_with(method="two-material")
    assert plain.method.layers.joint_width_mm == 0.0
    assert drivers_for(plain, ground, kits)["joint_m"] == 0.0
    targets, _ = strengths(case(), ground_of(case()))
    job = job_for(case(), drivers, targets, clocks_of(case(), targets))
    assert [t.step for t in job.tasks] == [s.key for s in case().method.steps]
