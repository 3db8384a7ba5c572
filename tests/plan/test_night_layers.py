"""Layers of a cover on its night: what lies above and below, and what each hour of placing brings."""

from dataclasses import replace
from datetime import timedelta
from itertools import pairwise

import numpy as np
import pytest

from plan.night_case import case_with, parts
from plan.sample import case as bare_case
from truebed.curing.boundary import Place, boundary_of
from truebed.curing.surfaces import weather_data
from truebed.errors import NotDeterminedError
from truebed.plan.night_layers import (
    THINNEST_MM,
    closure_of,
    night_hours,
    placed_layer,
    placing_hours,
    question_of,
    window_of_min,
)

DATA = weather_data()
CASE = case_with()
SHUT = CASE.closure.road_shut_from


def layer(pour, method="five-layer"):
    made = case_with(method=method)
    return placed_layer(made, pour, parts(method)[0])


def test_the_bed_lies_under_the_flange_on_brick_with_its_least_and_greatest_thickness_and_open_sides():
    found = layer("bed")
    (bed,) = (v for v in parts()[0] if v.role == "bed")
    cover = CASE.cover
    assert (found.thick_least_mm, found.thick_most_mm) == (bed.least_mm, bed.most_mm)
    assert (found.face, found.below, found.iron_mm) == ("iron", "brick", cover.flange_thick_mm)
    assert found.strip_mm == pytest.approx((cover.flange.along_mm - cover.opening.along_mm) / 2.0)
    assert found.upright_mm == cover.frame_depth_mm - cover.flange_thick_mm
    assert found.base_mm == cover.chamber_depth_mm


def test_the_narrower_way_rules_the_strip():
    made = case_with()
    cover = replace(made.cover, flange=replace(made.cover.flange, across_mm=made.cover.opening.across_mm + 60.0))
    assert placed_layer(replace(made, cover=cover), "bed", parts()[0]).strip_mm == 30.0


def test_fill_lies_under_iron_and_backfill_surface_and_seal_open_to_the_air():
    fill, backfill, surface, seal = (layer(p) for p in ("fill", "backfill", "surface", "seal"))
    assert (fill.iron_mm, fill.strip_mm, fill.below) == (CASE.cover.flange_thick_mm, None, "ground-sand-gravel")
    assert (backfill.iron_mm, backfill.face) == (None, "mortar")
    assert (surface.iron_mm, surface.face, surface.below) == (None, "resin", "mortar")
    assert surface.base_mm == surface.thick_most_mm == 32.0
    assert (seal.thick_least_mm, seal.thick_most_mm) == (25.0, 25.0)


def test_of_a_pour_of_several_roles_the_part_that_bears_rules_the_least_thickness():
    volumes = parts("two-material")[0]
    found = layer("fill", "two-material")
    bearing = next(v for v in volumes if v.role == "under_flange_fill")
    assert found.thick_least_mm == pytest.approx(max(bearing.least_mm, THINNEST_MM))
    assert found.thick_most_mm == max(v.most_mm for v in volumes if v.pour == "fill")


def test_no_layer_is_taken_thinner_than_there_is_heat_to_reckon_with():
    thin = tuple(replace(v, least_mm=0.5, most_mm=1.0) for v in parts()[0])
    found = placed_layer(CASE, "bed", thin)
    assert (found.thick_least_mm, found.thick_most_mm) == (THINNEST_MM, THINNEST_MM)


def test_the_hours_of_the_night_run_from_the_shutting_without_a_gap():
    hours = night_hours(CASE)
    assert hours[0].at <= SHUT < hours[0].at + timedelta(hours=1)
    assert all(b.at - a.at == timedelta(hours=1) for a, b in pairwise(hours))
    gap = tuple(h for h in CASE.weather if h.at != SHUT + timedelta(hours=5))
    assert night_hours(replace(CASE, weather=gap))[-1].at == SHUT + timedelta(hours=4)
    late = tuple(h for h in CASE.weather if h.at > SHUT)
    with pytest.raises(NotDeterminedError, match="no hour for its beginning"):
        night_hours(replace(CASE, weather=late))


def test_a_case_without_a_night_says_so():
    with pytest.raises(NotDeterminedError, match="no closure is known"):
        closure_of(bare_case())
    assert window_of_min(closure_of(CASE)) == 600.0


def test_hours_of_placing_begin_after_the_traffic_management_or_the_steps_before_and_end_at_the_deadline():
    bed = layer("bed")
    assert [h.start_min for h in placing_hours(CASE, bed, DATA, 0.0)] == [35.0 + 60.0 * n for n in range(10)]
    assert [h.start_min for h in placing_hours(CASE, bed, DATA, 471.0)] == [471.0, 531.0, 591.0]
    assert [h.start_min for h in placing_hours(CASE, bed, DATA, 700.0)] == [700.0]


def test_each_hour_meets_its_own_weather_on_the_clock_from_placing():
    bed = layer("bed")
    hours = night_hours(CASE)
    place = Place(CASE.latitude_deg, CASE.longitude_deg, 1.0, "iso-6946")
    whole = boundary_of(hours, SHUT, 660.0, place, DATA.surfaces["iron"], DATA, "weather.csv").boundary
    for one in placing_hours(CASE, bed, DATA, 95.0)[:4]:
        at = SHUT + timedelta(minutes=one.start_min)
        own = next(h for h in hours if h.at <= at < h.at + timedelta(hours=1))
        assert one.air_c == own.air_temp_c
        assert one.mix_c == CASE.closure.mix_temp_c
        assert one.base_cold_c <= min(own.air_temp_c, own.road_temp_c)
        assert one.base_warm_c >= max(own.air_temp_c, own.road_temp_c)
        assert (one.iron_cold_c, one.iron_warm_c) == pytest.approx(
            (min(own.air_temp_c, own.road_temp_c), max(own.air_temp_c, own.road_temp_c))
        )
        shared = one.boundary.minutes_min <= 300.0
        clock = one.boundary.minutes_min[shared] + one.start_min
        assert one.boundary.air_c[shared] == pytest.approx(np.interp(clock, whole.minutes_min, whole.air_c), abs=1e-9)
        # the sun turns within the ten minutes of a step, so its heat is joined across it
        assert one.boundary.flux_w_per_m2[shared] == pytest.approx(
            np.interp(clock, whole.minutes_min, whole.flux_w_per_m2), abs=8.0
        )


def test_a_blanket_covers_what_is_waited_for_and_not_what_is_still_being_placed():
    wrapped = case_with(protection="blanket")
    bed = layer("bed")
    for one, open_one in zip(
        placing_hours(wrapped, bed, DATA, 95.0), placing_hours(CASE, bed, DATA, 95.0), strict=True
    ):
        assert np.all(one.boundary.film_w_per_m2_k < 2.5)
        assert np.all(one.boundary.film_w_per_m2_k < open_one.boundary.film_w_per_m2_k)
        assert np.array_equal(one.bare.film_w_per_m2_k, open_one.boundary.film_w_per_m2_k)


def test_a_question_carries_the_rule_sets_error_of_the_forecast():
    asked = question_of(CASE, "bed", parts()[0], 95.0)
    assert asked.temp_band_c == CASE.rules.number("cure_temp_band_c")
    assert asked.layer == layer("bed")
    assert asked.hours[0].start_min == 95.0
