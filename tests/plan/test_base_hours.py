"""Hours at the base: which lie in the closure, dew and drying by hand, rain that stays, what a sheet allows."""

from dataclasses import replace

import pytest

from plan.sample import case, shelf
from plan.weathered import SHUT, hour, weathered
from truebed.plan.base_hours import (
    base_hours,
    clock_text,
    closure_hours,
    laid_hours,
    rained,
    reasons_text,
    spans_text,
)
from truebed.sheets.sheet import BaseState

TOP = shelf().sheets["slate-top"]


def test_only_the_hours_of_the_closure_count_in_their_order_and_on_its_own_clock():
    made = weathered([hour(2), hour(-3), hour(0), hour(1)])
    assert [h.row for h in closure_hours(made)] == [2, 3, 4]
    assert [h.at for h in base_hours(made)] == [f"2031-05-06T{n}:00+01:00" for n in (20, 21, 22)]
    assert clock_text(made, SHUT) == "2031-05-06T20:00+01:00"


def test_without_a_closure_there_are_no_hours():
    assert base_hours(case(lambda _x, _y: 0.0)) == ()


def test_dew_by_hand():
    # 20 degC, 50 %: g = ln 0.5 + 17.62*20/263.12 = 0.6462; dew point 243.12*0.6462/(17.62-0.6462) = 9.26 degC
    near, clear, wet = base_hours(weathered([hour(0, road_c=12.2), hour(1, road_c=12.3), hour(2, road_c=9.0)]))
    assert near.dew_point_c == pytest.approx(9.256, abs=2e-3)
    assert near.margin_k == pytest.approx(2.944, abs=2e-3)
    assert (near.clear_of_dew, clear.clear_of_dew, wet.clear_of_dew) == (False, True, False)
    assert (near.dew_advice, clear.dew_advice, wet.dew_advice) == ("dew-warm-the-face", "dew-clear", "dew-lies-on-it")


def test_drying_by_hand():
    # mix 25, air 20, 50 %, 18 km/h: 5e-6 * (43^2.5 - 0.5*38^2.5) * 22 = 0.844 kg/m2 an hour; calm: 4/22 of it
    windy, calm = base_hours(weathered([hour(0), hour(1, wind_m_per_s=0.0)], mix_c=25.0))
    assert windy.drying_kg_per_m2_h == pytest.approx(0.8441, abs=1e-3)
    assert calm.drying_kg_per_m2_h == pytest.approx(0.8441 * 4.0 / 22.0, abs=1e-3)
    assert (windy.drying_limit_kg_per_m2_h, windy.drying_advice, calm.drying_advice) == (
        1.0,
        "drying-watch",
        "drying-none",
    )


def test_silica_fume_on_a_sheet_halves_the_limit_of_drying():
    bed = replace(shelf().sheets["harrow-bed"], binder="Portland cement with silica fume")
    (windy,) = base_hours(weathered([hour(0)], mix_c=25.0, sheets={"harrow-bed": bed}))
    assert (windy.drying_limit_kg_per_m2_h, windy.drying_advice) == (0.5, "drying-cover")


def test_what_a_forecast_does_not_give_is_not_known_or_said_to_be_taken():
    made = weathered([hour(0, humidity_pct=None, road_c=None, wind_m_per_s=None), hour(1, humidity_pct=0.0)])
    first, second = base_hours(made)
    assert (first.dew_point_c, first.margin_k, first.clear_of_dew, first.drying_kg_per_m2_h) == (None, None, None, None)
    assert (first.dew_advice, first.drying_advice) == ("dew-not-known", "drying-not-known")
    assert (first.face_c, first.face_from, first.wind_taken) == (20.0, "air", True)
    assert (second.dew_advice, second.face_from, second.wind_taken) == ("dew-not-known", "road", False)


def test_rain_wets_its_own_hour_and_the_next_and_silence_is_not_dry():
    hours = (hour(-1), hour(0, rain_mm=0.4), hour(1), hour(2), hour(3, rain_mm=None))
    made = weathered(hours)
    assert [h.rained for h in base_hours(made)] == [True, True, False, None]
    assert rained((), SHUT, 1.0) is None


def test_a_coat_waits_for_dew_rain_and_the_sheets_temperatures():
    hours = [hour(0), hour(1, road_c=11.0), hour(2, road_c=31.0), hour(3, rain_mm=1.0), hour(4, humidity_pct=None)]
    laid = laid_hours(TOP, base_hours(weathered(hours)), 20.0)
    assert [h.allowed for h in laid] == [True, False, False, False, None]
    assert [h.advice for h in laid[:4]] == [
        (),
        ("dew-warm-the-face",),
        ("temp-not-on-the-sheet",),
        ("base-too-wet",),
    ]
    cold_mix = laid_hours(TOP, base_hours(weathered(hours)), 4.0)
    assert {h.allowed for h in cold_mix} == {False}


def test_where_the_sheet_says_nothing_of_its_base_rain_leaves_the_answer_open():
    silent, any_base = replace(TOP, base_state=None), replace(TOP, base_state=BaseState(True, True, True, "p1"))
    hours = base_hours(weathered([hour(0, rain_mm=1.0)]))
    assert laid_hours(silent, hours, 20.0)[0].allowed is None
    assert laid_hours(any_base, hours, 20.0)[0].allowed is True
    assert "base-not-on-the-sheet" in laid_hours(silent, hours, 20.0)[0].advice


def test_hours_are_told_as_spans_of_the_clock_and_reasons_once():
    times = tuple(h.at for h in base_hours(weathered([hour(n) for n in range(6)])))
    assert spans_text(times) == "20:00 to 02:00"
    assert spans_text((*times[:2], times[4])) == "20:00 to 22:00, 00:00 to 01:00"
    assert spans_text(()) == ""
    assert reasons_text(("base-too-wet", "dew-lies-on-it", "base-too-wet")) == "dew lies on the face, rain on the face"


def test_a_road_not_given_that_a_clear_sky_may_bring_to_its_dew_is_not_told_as_clear():
    # 80 %: dew point 16.4 degC, so that air at 20 clears the margin of 3 and a road a degree below it does not
    clear = replace(hour(3, road_c=None, humidity_pct=80.0, wind_m_per_s=1.0), cloud_share=0.0)
    dry = replace(clear, humidity_pct=35.0)
    known = replace(clear, road_temp_c=19.9)
    made = weathered([hour(0), hour(1), hour(2), clear, replace(dry, at=hour(4).at), replace(known, at=hour(5).at)])
    hours = base_hours(made)
    assert hours[3].coldest_c < 19.0 < hours[3].face_c == 20.0
    assert hours[5].coldest_c == 19.9
    laid = laid_hours(TOP, hours, 20.0)
    assert (laid[3].allowed, laid[3].advice) == (None, ("road-not-known",))
    assert (laid[4].allowed, laid[5].allowed) == (True, True)
    assert "road not given" in reasons_text(laid[3].advice)
