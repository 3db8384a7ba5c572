"""Nights of a campaign: working days, embargoes, leap day, year's end, the two nights on which the clock changes."""

from dataclasses import replace
from datetime import date

import pytest

from programme.campaign_sample import FIRST, campaign, cover
from truebed.programme.campaign_calendar import (
    hours_of,
    inside,
    kits_by,
    late_days,
    nights_of,
    open_nights,
    shift_of,
    usual_hours,
)
from truebed.programme.campaign_types import Shift, Street

NIGHT = Shift("full", 0, 20 * 60, 23 * 60, 30 * 60, 30, 25)


def test_a_usual_night_from_eight_to_six_is_ten_hours_and_its_noise_three():
    hours = usual_hours(NIGHT)
    assert (hours.window_min, hours.noise_ends_min, hours.tm_set_min, hours.tm_clear_min) == (600, 180, 30, 25)


@pytest.mark.parametrize(
    ("zone", "night", "window_min"),
    [
        ("Europe/London", date(2027, 3, 27), 540),
        ("Europe/London", date(2027, 10, 30), 600),
        ("Europe/London", date(2027, 3, 26), 600),
        ("America/New_York", date(2027, 3, 13), 540),
        ("America/New_York", date(2027, 11, 6), 600),
        ("Asia/Tokyo", date(2027, 3, 27), 600),
    ],
)
def test_the_spring_night_loses_an_hour_and_the_autumn_hour_is_kept_in_reserve(zone, night, window_min):
    assert hours_of(NIGHT, night, zone).window_min == window_min


@pytest.mark.parametrize(
    ("night", "minutes"), [(date(2027, 3, 26), 210), (date(2027, 3, 27), 150), (date(2027, 10, 30), 210)]
)
def test_an_opening_at_an_hour_that_the_clock_leaves_out_or_strikes_twice_is_the_earlier_reading(night, minutes):
    shift = Shift("full", 0, 23 * 60, 26 * 60 + 30, 26 * 60 + 30, 0, 0)
    assert hours_of(shift, night, "Europe/Paris").window_min == minutes


@pytest.mark.parametrize(("night", "minutes"), [(date(2027, 10, 29), 180), (date(2027, 10, 30), 180)])
def test_a_road_shut_at_an_hour_that_strikes_twice_is_shut_at_the_later_one(night, minutes):
    shift = Shift("full", 0, 26 * 60 + 30, 29 * 60 + 30, 29 * 60 + 30, 0, 0)
    assert hours_of(shift, night, "Europe/Paris").window_min == minutes


def test_the_noise_of_a_spring_night_ends_before_the_clock_changes_and_is_as_long_as_ever():
    assert hours_of(NIGHT, date(2027, 3, 27), "Europe/London").noise_ends_min == 180


def test_nights_are_working_days_without_holidays_and_embargoes_and_run_over_the_years_end():
    made = campaign(
        first=date(2027, 12, 29), last=date(2028, 1, 5), holidays=(date(2028, 1, 1), date(2028, 1, 3)),
        embargoes=((date(2027, 12, 31), date(2027, 12, 31)),),
    )  # fmt: skip
    assert nights_of(made) == (date(2027, 12, 29), date(2027, 12, 30), date(2028, 1, 4), date(2028, 1, 5))


def test_the_leap_day_is_a_night_in_2028_and_none_in_2027():
    leap = campaign(first=date(2028, 2, 28), last=date(2028, 3, 1))
    assert nights_of(leap) == (date(2028, 2, 28), date(2028, 2, 29), date(2028, 3, 1))
    plain = campaign(first=date(2027, 2, 26), last=date(2027, 3, 1))
    assert nights_of(plain) == (date(2027, 2, 26), date(2027, 3, 1))


def test_a_street_opens_to_a_kind_when_its_lead_time_has_run_out_and_no_embargo_holds():
    made = campaign(
        asked_on=FIRST, last=date(2027, 3, 17),
        streets=(Street("High", "", ("full",), ((date(2027, 3, 16), date(2027, 3, 16)),)),),
    )  # fmt: skip
    assert open_nights(made, "High", "full") == (date(2027, 3, 15), date(2027, 3, 17))
    assert open_nights(made, "High", "lane") == ()
    assert shift_of(replace(made, shifts=()), "full") is None


def test_first_and_last_day_of_a_span_lie_in_it():
    span = ((date(2027, 3, 2), date(2027, 3, 4)),)
    assert [inside(date(2027, 3, day), span) for day in range(1, 6)] == [False, True, True, True, False]


def test_lateness_counts_days_over_a_leap_day_and_is_never_negative():
    of = cover("C1", due=date(2028, 2, 28))
    assert [late_days(of, d) for d in (date(2028, 2, 27), date(2028, 2, 28), date(2028, 3, 1))] == [0, 0, 2]


def test_kits_are_there_from_the_day_of_their_delivery():
    made = campaign(deliveries=((FIRST, 3), (date(2027, 3, 3), 4)))
    assert [kits_by(made, date(2027, 3, d)) for d in (1, 2, 3)] == [3, 3, 7]
