"""What is told of wheels: findings only where there is something to find, figures with the numbers that made them."""

from dataclasses import replace
from functools import cache

import pytest

from plan.sample import case
from truebed.findings import Severity
from truebed.plan.wheel import VoidCase, bed_wheel, point_wheels
from truebed.plan.wheel_telling import (
    crossing_why,
    known_text,
    pressure_why,
    sides_words,
    times_text,
    void_why,
    wheel_figures,
    wheel_findings,
)


@cache
def wheel():
    return bed_wheel(case(), 30.0)


def void(side, outcome="stands", peak_n_per_mm2=3.0, times_ratio=2.0, rock_mm=0.05):
    return VoidCase(side, outcome, 0.25, peak_n_per_mm2, times_ratio, rock_mm)


def with_voids(*voids, **changes):
    return replace(wheel(), voids=voids, **changes)


def findings(of, opening_n_per_mm2=20.0):
    return {f.code: f for f in wheel_findings(case(), of, opening_n_per_mm2)}


def inputs_of(why):
    return {one.what: one.value for one in why.inputs}


def test_a_carriageway_without_a_wheel_in_the_rule_set_says_so_and_a_footway_does_not():
    (found,) = wheel_findings(case(), None, 20.0)
    assert (found.code, found.severity) == ("LD-004", Severity.ADVICE)
    assert "Add wheel_load_kn" in found.mend
    assert wheel_findings(case(place="footway"), None, 20.0) == []


def test_a_part_of_the_bed_that_carries_nothing_is_told_with_its_share_and_never_as_nought():
    assert f"{1.0 - wheel().pressed_share:.1%} of the bed carries nothing" in findings(wheel())["LD-003"].what
    all_but = replace(wheel(), pressed_share=0.999999)
    assert "0.1% of the bed carries nothing" in findings(all_but)["LD-003"].what
    at_point = replace(wheel(), pressed_share=None)
    assert " part of the bed carries nothing" in findings(at_point)["LD-003"].what
    assert "LD-003" not in findings(replace(wheel(), full_contact=True))


def test_a_void_is_found_only_where_the_rest_is_pressed_more_than_the_bed_is_strong_at_the_opening():
    (worst,) = {v.peak_n_per_mm2 for v in (wheel().worst_void(),)}
    assert "LD-006" not in findings(wheel(), worst + 0.01)
    assert "LD-006" not in findings(wheel(), None)
    found = findings(wheel(), worst - 0.01)["LD-006"]
    assert (found.value, found.limit) == (worst, f"{worst - 0.01:g} N/mm2")
    assert f"{times_text(wheel().worst_void().times_ratio)} times as much" in found.what


def test_a_void_that_tips_or_crushes_is_found_whatever_the_opening_asks():
    tips = with_voids(void("front"), void("right", "tips", None, None, None))
    found = findings(tips, None)["LD-006"]
    assert found.value is None
    assert "under the whole of the right side would let the frame tip" in found.what
    crushes = with_voids(void("front", "crushes", 90.0, 60.0, None), void("back"), bears_n_per_mm2=37.0)
    found = findings(crushes, None)["LD-006"]
    assert (found.value, found.limit) == (90.0, "37 N/mm2, the most on the bed's sheet")
    assert "it crushes and the frame rocks loose" in found.what


def test_sides_that_do_the_same_are_named_together():
    front, right, back, left = (void(side) for side in ("front", "right", "back", "left"))
    assert sides_words(with_voids(front, right, back, left), front) == "any one side"
    apart = with_voids(front, replace(right, peak_n_per_mm2=5.0), back, replace(left, peak_n_per_mm2=6.0))
    assert sides_words(apart, front) == "the front or the back side"
    assert sides_words(apart, apart.voids[1]) == "the right side"
    assert sides_words(with_voids(front), front) == "the front side"


def test_times_are_told_to_a_tenth_below_ten_and_whole_above():
    assert [times_text(t) for t in (1.04, 2.46, 9.94, 9.95, 10.4, 31.6)] == ["1.0", "2.5", "9.9", "10", "10", "32"]


def test_a_wheel_without_a_contact_is_stated_with_what_it_asks():
    points = point_wheels(case(), frozenset())
    found = [f for f in wheel_findings(case(), replace(wheel(), points=points), 20.0) if f.code == "LD-007"]
    assert [f.value for f in found] == [p.demand.peak_n_per_mm2 for p in points]
    assert {f.severity for f in found} == {Severity.STATED}
    assert "LD-007" not in findings(wheel())


def test_the_pressure_is_the_greatest_of_the_wheels_that_its_why_lists():
    point = replace(point_wheels(case(), frozenset())[0], name="an own wheel")
    both = replace(wheel(), points=(point,))
    asked = {k: v for k, v in inputs_of(pressure_why(both)).items() if k.startswith("what ")}
    assert len(asked) == len(wheel().tried) + 1
    assert asked.pop(f"what {point.name} asks of the bed") == point.demand.peak_n_per_mm2
    assert max(d.peak_n_per_mm2 for d in wheel().tried) == pressure_why(wheel()).value
    assert inputs_of(pressure_why(both))["bearing area"] == pytest.approx(830.0**2 - 620.0**2)
    assert pressure_why(wheel()).governed_by == wheel().governed_by


def test_units_stand_as_they_are_read_all_the_way_down():
    def units(why):
        return {why.unit}.union(*(units(one) for one in why.inputs))

    every = units(pressure_why(wheel()))
    assert {"N/mm2", "kN", "mm2"} <= every
    assert not any("_" in unit for unit in every)


def test_a_casting_of_several_is_named_with_its_area():
    def relation(of):
        return next(one.relation for one in pressure_why(of).inputs if one.what == "bearing area")

    assert "casting 2 counted from the back" in relation(replace(wheel(), part=2))
    assert "casting" not in relation(wheel())


def test_the_why_of_a_void_shows_whole_times_and_rock_and_none_of_them_where_the_frame_tips():
    worst = wheel().worst_void()
    told = inputs_of(void_why(wheel(), worst))
    assert told["times the whole bed's"] * told["greatest pressure of the whole bed"] == pytest.approx(
        void_why(wheel(), worst).value
    )
    assert told["rock of a corner"] == worst.rock_mm
    assert "rock of a corner" not in inputs_of(void_why(wheel(), replace(worst, rock_mm=None)))
    tips = void("left", "tips", None, None, None)
    why = void_why(with_voids(tips), tips)
    assert why.value == "the frame tips"
    assert set(inputs_of(why)) == {"hollow share of the bed", "greatest pressure of the whole bed"}


def test_the_why_of_a_crushed_bed_shows_what_is_asked_beside_what_it_bears():
    crushed = void("front", "crushes", 90.0, 60.0, None)
    why = void_why(with_voids(crushed, bears_n_per_mm2=37.0), crushed)
    assert why.value == "the bed crushes and the frame rocks loose"
    told = inputs_of(why)
    assert (told["pressure asked of what is left"], told["most on the bed's sheet"]) == (90.0, 37.0)
    assert (known_text(None), known_text(37.0)) == ("not known", 37.0)


def test_a_crossings_strength_is_its_rolling_pressure_times_the_reserve():
    for one in wheel().crossings:
        told = inputs_of(crossing_why(one))
        assert told["greatest pressure, rolling"] * told["reserve"] == pytest.approx(one.strength_n_per_mm2)
        assert told["wheel at rest"] == one.vehicle.tyre.wheel_kn
        assert "only while traffic management controls who crosses" in crossing_why(one).relation
    tips = replace(wheel().crossings[0], pressure_n_per_mm2=None, strength_n_per_mm2=None)
    assert crossing_why(tips).value == "the frame tips"


def test_figures_are_the_pressure_the_void_and_each_vehicle():
    figures = dict(wheel_figures("X1", wheel()))
    assert list(figures)[:2] == ["X1.wheel.pressure", "X1.wheel.void"]
    assert figures["X1.wheel.pressure"].value == wheel().peak_n_per_mm2
    assert figures["X1.wheel.void"].value == wheel().worst_void().peak_n_per_mm2
    for one in wheel().crossings:
        assert figures[f"X1.wheel.crossing.{one.vehicle.key}"].value == one.strength_n_per_mm2
    assert len(figures) == 2 + len(wheel().crossings)
    assert wheel_figures("X1", None) == []


def test_a_void_that_does_not_stand_has_no_pressure_as_its_figure():
    crushed = with_voids(void("front", "crushes", 90.0, 60.0, None))
    assert dict(wheel_figures("X1", crushed))["X1.wheel.void"].value is None
    assert "X1.wheel.void" not in dict(wheel_figures("X1", with_voids()))
