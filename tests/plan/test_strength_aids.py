"""Beside the clocks: who may cross when, against separate marches; points to sum; findings and figures."""

from dataclasses import replace
from functools import cache

import pytest

from plan.night_case import case_with, parts, plain_clocks
from truebed.curing.hour_clocks import hours_to_strengths
from truebed.plan.ground import ground_of
from truebed.plan.pours import pour_of
from truebed.plan.strength_aids import aids_figures, aids_findings, bearing_clocks, crossing_times, strength_aids


@cache
def ground():
    return ground_of(case_with())


@cache
def aids():
    return strength_aids(case_with(), ground().cut, ground().wheel, plain_clocks(), parts()[0], 14.0)


def bearing():
    return bearing_clocks(case_with(), plain_clocks())


def wheel_that_asks(*strengths):
    """The wheel with its vehicles' strengths replaced."""
    wheel = ground().wheel
    made = tuple(replace(wheel.crossings[i], strength_n_per_mm2=one) for i, one in enumerate(strengths))
    return replace(wheel, crossings=made)


def pour_at_its_minute(one):
    return pour_of(case_with(), one.clock.pour, parts()[0], one.reading.at_min)


def marched_alone(one, strength):
    """The 95 % late minutes to one strength by a march of its own."""
    pour = pour_at_its_minute(one)
    ((first, *_),) = hours_to_strengths(pour.question, pour.carrier, (strength,))
    assert first.start_min == one.reading.at_min
    return first.band.late_min


def times_for(*strengths):
    return crossing_times(case_with(), wheel_that_asks(*strengths), bearing(), parts()[0])


def test_only_strengths_of_bearing_pours_that_follow_the_layers_heat_count():
    assert [(k.clock.pour, k.clock.kind) for k in bearing()] == [("bed", "strength"), ("fill", "strength")]
    bare = tuple(replace(k, reading=replace(k.reading, hours=())) for k in plain_clocks())
    assert bearing_clocks(case_with(), bare) == ()


def test_minutes_to_cross_are_those_of_a_march_to_that_strength_alone_at_the_openings_minute():
    for row, strength in zip(times_for(9.0, 20.0), (9.0, 20.0), strict=True):
        assert row.strength_n_per_mm2 == strength
        assert [pour for pour, _ in row.waits_min] == ["bed", "fill"]
        for one, (_, late_min) in zip(bearing(), row.waits_min, strict=True):
            assert late_min == pytest.approx(marched_alone(one, strength), abs=1e-6)


def test_below_the_sheets_first_datum_a_strength_takes_the_first_datums_time():
    for one in bearing():
        first = pour_at_its_minute(one).fitted.first_datum_n_per_mm2
        weak, at_first, above = times_for(first / 50.0, first, first + 2.0)
        waits = [dict(row.waits_min)[one.clock.pour] for row in (weak, at_first, above)]
        assert waits[0] == waits[1] == pytest.approx(marched_alone(one, first), abs=1e-6)
        assert waits[2] > waits[1] > 30.0


def test_a_strength_past_the_sheets_last_datum_is_never_promised():
    last = {one.clock.pour: pour_at_its_minute(one).fitted.last_datum_n_per_mm2 for one in bearing()}
    assert last["bed"] < last["fill"]
    (row,) = times_for((last["bed"] + last["fill"]) / 2.0)
    waits = dict(row.waits_min)
    assert waits["bed"] is None
    assert waits["fill"] > 130.0


def test_a_vehicle_under_which_the_frame_tips_has_no_minutes_beside_one_that_has():
    tips, stands = times_for(None, 9.0)
    assert (tips.strength_n_per_mm2, tips.waits_min) == (None, ())
    assert len(stands.waits_min) == 2
    (alone,) = times_for(None)
    assert (alone.strength_n_per_mm2, alone.waits_min) == (None, ())


def test_without_a_wheel_nobody_is_told_to_cross():
    assert crossing_times(case_with(), None, bearing(), parts()[0]) == ()


def test_every_vehicle_of_the_wheel_has_its_row_and_none_may_cross_later_than_the_opening():
    assert [(r.vehicle, r.strength_n_per_mm2) for r in aids().crossings] == list(ground().wheel.crossing_rows())
    opening = {k.clock.pour: k.reading.late_min for k in bearing()}
    for row in aids().crossings:
        assert row.waits_min
        assert all(late_min < opening[pour] for pour, late_min in row.waits_min)


def test_points_run_over_the_sheets_own_temperatures_and_grow_with_warmth():
    assert [one.pour for one in aids().points] == ["bed", "fill"]
    for one in aids().points:
        limits = case_with().sheets[one.sheet].limits
        temps = [row.temp_c for row in one.table.rows]
        points = [row.ten_minutes_points for row in one.table.rows]
        assert (temps[0], temps[-1]) == (limits.temp_least_c, limits.temp_most_c)
        assert points == sorted(points)
        assert points[0] < points[-1]
        assert (one.table.target_n_per_mm2, one.table.place.key) == (14.0, "middle")


def test_a_pour_without_a_target_has_no_points():
    bare = tuple(replace(k, reading=replace(k.reading, target_n_per_mm2=None)) for k in bearing())
    assert strength_aids(case_with(), ground().cut, None, bare, parts()[0], None).points == ()


def test_findings_and_figures_are_those_of_joint_and_resin():
    figures = dict(aids_figures(case_with(), aids()))
    assert any(key.startswith("T01.joint.") for key in figures)
    assert any(key.startswith("T01.resin.") for key in figures)
    hot = case_with(mix_c=60.0)
    barred = strength_aids(hot, ground().cut, None, (), parts()[0], None)
    assert {f.code for f in aids_findings(case_with(), aids())} == {"JT-001", "JT-002"}
    assert {f.code for f in aids_findings(hot, barred)} >= {"JT-004", "RS-001", "RS-005"}
    assert any(h.allowed is False for layer in barred.resin.layers for h in layer.hours)
