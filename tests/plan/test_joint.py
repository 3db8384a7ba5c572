"""The movement joint of a cover, against lengths, widths and ranges of temperature worked out by hand."""

from dataclasses import replace

import pytest

from plan.sample import case, shelf
from plan.surveyed import beside_each_other
from plan.weathered import hour, weathered
from truebed.chamber.cut_parts import CutSide
from truebed.chamber.outlines import CutOut
from truebed.curing.joint import joint_data
from truebed.findings import Severity
from truebed.plan.ground import ground_of
from truebed.plan.joint import backer_for, depth_for, joint_plan, moving_length, shrinkage_of, with_depth
from truebed.plan.joint_figures import best_width_mm, joint_figures, joint_findings, movement_why
from truebed.rules.ruleset import RuleSet
from truebed.sheets.sheet import Movement, Shrinkage

SEAL = shelf().sheets["bead-seal"]


def cut_of(along_mm, across_mm, kinds=("sawn",) * 4):
    """A square cut: its sides are right, front, left and back, anticlockwise from the back right corner."""
    x, y = along_mm / 2.0, across_mm / 2.0
    ring = ((-x, -y), (x, -y), (x, y), (-x, y))
    sides = tuple(CutSide(a, b, k) for a, b, k in zip(ring, (*ring[1:], ring[0]), kinds, strict=True))
    return CutOut(ring, along_mm, across_mm, 100.0, "", 4.0, 100.0, 200.0, None, None, False, sides=sides)


#: 6 m along, 5 m across, a kerb at its left: 5 m move towards the right side. 1 mm in a metre of shrinkage is taken.
#: Piece from -18 + 8 to 34 + 2: 46 K of 0.05 mm = 2.3 mm, and 5 mm of shrinkage.
LONG = cut_of(6000.0, 5000.0, ("sawn", "sawn", "kerb", "sawn"))
MILD = [hour(0), hour(1, road_c=15.0)]


def of_class(name, **changes):
    return {"bead-seal": replace(SEAL, movement=None if name is None else Movement(name, "p1"), **changes)}


def planned(name="25", cut=LONG, hours=MILD, width_mm=None, depth_mm=None, rules=None, **changes):
    made = weathered(hours, sheets=of_class(name, **changes), rules=rules)
    layers = made.method.layers
    layers = replace(layers, joint_width_mm=layers.joint_width_mm if width_mm is None else width_mm)
    layers = replace(layers, joint_depth_mm=layers.joint_depth_mm if depth_mm is None else depth_mm)
    made = replace(made, method=replace(made.method, layers=layers))
    return made, joint_plan(made, cut)


def codes(made, joint):
    return {f.code: f for f in joint_findings(made, joint)}


def test_half_of_the_longer_side_moves():
    assert moving_length(cut_of(1200.0, 900.0)).length_mm == pytest.approx(600.0)
    assert moving_length(cut_of(900.0, 1300.0)).length_mm == pytest.approx(650.0)


def test_a_side_across_from_a_kerb_takes_the_movement_of_the_whole_piece():
    moving = moving_length(LONG)
    assert (moving.length_mm, moving.extent_mm, moving.whole) == (pytest.approx(5000.0), pytest.approx(5000.0), True)
    assert "kerb" in moving.said


def test_a_round_cut_moves_from_its_middle_and_one_without_a_sawn_side_not_at_all():
    disc = replace(cut_of(980.0, 980.0), form="round", sides=(), diameter_mm=980.0)
    assert moving_length(disc).length_mm == pytest.approx(490.0)
    assert moving_length(cut_of(900.0, 900.0, ("kerb",) * 4)) is None


def test_a_joined_cut_out_moves_as_one_piece():
    made = beside_each_other(apart_mm=100.0)[0]
    cut = ground_of(made).cut
    assert cut.joined is not None
    xs = [x for x, _ in cut.joined.ring]
    assert moving_length(cut).length_mm == pytest.approx((max(xs) - min(xs)) / 2.0)
    assert moving_length(cut).length_mm > moving_length(replace(cut, joined=None)).length_mm


def test_a_long_joint_by_hand():
    # sealed at 20: opens 0.05*30 + 5 = 6.5, closes 0.05*16 = 0.8 mm; class 25 wants 26 mm, 14 deep (the sheet's least)
    made, joint = planned()
    assert (joint.moves.coldest_c, joint.moves.hottest_c) == (-10.0, 36.0)
    assert joint.whole_mm == pytest.approx(7.3)
    assert (joint.asked_c, joint.asked_at) == (20.0, "2031-05-06T20:00+01:00")
    assert (joint.asked.opens_mm, joint.asked.closes_mm) == (pytest.approx(6.5), pytest.approx(0.8))
    assert joint.least_width_mm == pytest.approx(26.0)
    assert joint.asked.depth_mm == pytest.approx(14.0)
    assert (joint.wanted_depth_mm, joint.backer_mm) == (15.0, 40.0)
    # the 30 mm of the method take 7.5: shut at 36 up to 0.05*(T+10) + 5 <= 7.5, so at 40 and below: any of the year
    assert joint.any_time
    width = codes(made, joint)["JT-001"]
    assert (width.severity, width.value) == (Severity.STATED, pytest.approx(4.0))


def test_a_joint_wide_enough_in_the_cold_only_is_told_with_its_range_and_its_hours():
    # class 20: 30 mm take 6; 0.05*(T+10) + 5 <= 6 up to 10 degC; at 20 degC it asks 6.5/0.2 = 32.5 mm
    made, joint = planned("20", hours=[hour(0), hour(1, air_c=6.0, road_c=9.9), hour(2, air_c=6.0, road_c=10.1)])
    assert (joint.window.coldest_c, joint.window.hottest_c) == (-10.0, pytest.approx(10.0))
    assert joint.least_width_mm == pytest.approx(32.5)
    assert [h.in_window for h in joint.hours] == [False, True, False]
    assert [h.may_seal for h in joint.hours] == [False, True, False]
    found = codes(made, joint)
    assert (found["JT-001"].severity, found["JT-001"].limit) == (Severity.CLOSE, "32.5 mm for that hour")
    assert "from 21:00 to 22:00 only" in found["JT-005"].what


def test_a_night_without_an_hour_for_sealing_is_a_finding_with_a_mend_and_no_refusal():
    made, joint = planned("20")
    found = codes(made, joint)["JT-004"]
    assert found.severity == Severity.CLOSE
    assert found.limit == "-10.0 to 10.0 degC"
    assert "later visit" in found.mend


def test_dew_and_the_sheets_temperatures_bar_hours_too():
    made, joint = planned(hours=[hour(0), hour(1, road_c=11.0), hour(2, air_c=4.0)])
    assert [(h.in_window, h.may_seal) for h in joint.hours] == [(True, True), (True, False), (True, False)]
    assert "too near the dew point" in codes(made, joint)["JT-005"].what
    assert "outside the sheet's temperatures" in codes(made, joint)["JT-005"].what


def test_a_joint_too_narrow_at_any_temperature_breaks_and_says_what_would_do():
    # class 12.5: 30 mm take 3.75, less than the shrinkage alone; at best 5/0.125 = 40 mm
    made, joint = planned("12.5")
    assert joint.window is None
    assert best_width_mm(joint) == pytest.approx(40.0)
    found = codes(made, joint)["JT-001"]
    assert (found.severity, found.limit) == (Severity.BREAKS, "at least 40 mm")
    assert "JT-004" in codes(made, joint)


def test_narrower_than_the_sealant_may_fill_breaks():
    made, joint = planned(width_mm=11.0, cut=cut_of(900.0, 900.0))
    assert codes(made, joint)["JT-001"].limit == "at least 12 mm"
    assert joint.least_width_mm == 14.0


@pytest.mark.parametrize(
    ("depth_mm", "severity", "words"),
    [
        (13.0, Severity.BREAKS, "outside the sheet's"),
        (46.0, Severity.BREAKS, "outside the sheet's"),
        (31.0, Severity.BREAKS, "deeper than wide"),
        (25.0, Severity.ADVICE, "deeper than about half"),
    ],
)
def test_a_depth_is_judged_by_the_sheet_the_width_and_half_of_it(depth_mm, severity, words):
    found = codes(*planned(depth_mm=depth_mm))["JT-002"]
    assert found.severity == severity
    assert words in found.what
    assert "15 mm" in found.limit + found.mend


def test_half_the_width_deep_is_right():
    assert "JT-002" not in codes(*planned(depth_mm=15.0))


def test_without_a_class_the_movement_is_told_and_the_width_is_not_determined():
    made, joint = planned(None)
    assert joint.whole_mm == pytest.approx(7.3)
    assert (joint.least_width_mm, joint.window, best_width_mm(joint)) == (None, None, None)
    assert {h.in_window for h in joint.hours} == {None}
    assert {h.may_seal for h in joint.hours} == {None}
    found = codes(made, joint)
    assert set(found) == {"JT-002", "JT-003"}
    assert "[movement]" in found["JT-003"].mend
    figures = dict(joint_figures(made, joint))
    assert figures["X1.joint.width"].value is None
    assert "no class of movement" in figures["X1.joint.width"].why.relation


def test_without_the_places_air_nothing_of_the_movement_is_told():
    own = shelf().rules
    bare = RuleSet(own.key, own.name, tuple(v for v in own.values if not v.name.startswith("shade_air")))
    made, joint = planned(rules=bare)
    assert (joint.moves, joint.whole_mm, joint.asked, joint.window) == (None, None, None, None)
    assert "shade_air_coldest_c" in codes(made, joint)["JT-003"].what
    assert dict(joint_figures(made, joint))["X1.joint.movement"].value is None


def test_a_range_of_air_that_is_none_is_told_not_raised():
    own = shelf().rules
    turned = tuple(replace(v, value=8.0) if v.name.startswith("shade_air") else v for v in own.values)
    made, joint = planned(rules=RuleSet(own.key, own.name, turned))
    assert joint.moves is None
    assert "no range of a year" in codes(made, joint)["JT-003"].what


def test_without_weather_only_the_range_is_told():
    made = replace(case(lambda _x, _y: 0.0), sheets={**shelf().sheets, **of_class("20")})
    joint = joint_plan(made, LONG)
    assert (joint.hours, joint.asked, joint.least_width_mm) == ((), None, None)
    assert joint.window.hottest_c == pytest.approx(10.0)
    found = codes(made, joint)
    assert "enough if sealed at -10 to 10 degC" in found["JT-001"].what
    assert set(found) == {"JT-001", "JT-002"}


def test_a_night_colder_than_the_years_range_is_not_reckoned_with():
    made, joint = planned(hours=[hour(0, air_c=-11.0, road_c=-10.5)])
    assert joint.asked is None
    assert "lies outside the range" in codes(made, joint)["JT-003"].what


def test_shrinkage_is_the_fills_own_where_every_sheet_gives_it():
    sheets = {
        key: replace(shelf().sheets[key], shrinkage=Shrinkage(rate, "p2"))
        for key, rate in (("weir-flow", 0.4), ("lattice-fill", 0.6))
    }
    made = weathered(MILD, sheets=sheets)
    assert shrinkage_of(made, joint_data()) == (0.6, "sheets/lattice-fill.toml: p2", True)
    assert len(joint_plan(made, LONG).taken) == 1
    one = weathered(MILD, sheets={"weir-flow": sheets["weir-flow"]})
    rate, where, given = shrinkage_of(one, joint_data())
    assert (rate, given) == (1.0, False)
    assert "from memory" in where


def test_the_sheets_thinnest_layer_goes_before_the_general_least_depth():
    data = with_depth(joint_data(), SEAL)
    assert data.figures["depth_least_mm"].value == 14.0
    assert (depth_for(20.0, data), depth_for(40.0, data)) == (14.0, 20.0)
    assert (depth_for(10.0, joint_data()), backer_for(20.0, data), backer_for(70.0, data)) == (10.0, 25.0, None)


def test_a_method_without_a_joint_has_none():
    made = weathered(MILD, method="two-material")
    assert joint_plan(made, LONG) is None
    assert (joint_findings(made, None), joint_figures(made, None)) == ((), ())


def test_every_figure_has_a_why_that_leads_back_to_what_was_given():
    made, joint = planned()
    figures = dict(joint_figures(made, joint))
    assert figures["X1.joint.width"].value == pytest.approx(26.0)
    assert figures["X1.joint.width"].why.margin == pytest.approx(4.0)
    assert figures["X1.joint.depth"].value == 15.0
    assert figures["X1.joint.backer"].value == 40.0
    assert (figures["X1.joint.opens"].value, figures["X1.joint.closes"].value) == (
        pytest.approx(6.5),
        pytest.approx(0.8),
    )
    assert (figures["X1.joint.seal-coldest"].value, figures["X1.joint.seal-hottest"].value) == (-10.0, 36.0)
    told = {one.what: one.value for _, one in movement_why(made, joint).walk()}
    assert told["coldest air in the shade"] == -18.0
    assert told["length that moves towards the joint"] == pytest.approx(5000.0)
    assert told["shrinkage still to come"] == pytest.approx(5.0)
