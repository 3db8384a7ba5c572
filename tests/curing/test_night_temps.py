"""The coldest and hottest of a closure, each with the air, road or mix that rules it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.night_temps import NightTemps, night_temps
from truebed.errors import NotDeterminedError
from truebed.given.night import Closure, WeatherHour

ZONE = timezone(timedelta(hours=1))
SHUT = datetime(2031, 4, 14, 21, 0, tzinfo=ZONE)
OPENS = datetime(2031, 4, 15, 5, 0, tzinfo=ZONE)
CLOSURE = Closure("N1", ("A street",), "lane", SHUT, OPENS, OPENS, 20, 15, mix_temp_c=12.0, row=2)


def hours(
    airs: list[float], roads: list[float | None] | None = None, start: datetime = SHUT
) -> tuple[WeatherHour, ...]:
    """Hours one after another from a start."""
    given_roads = [None] * len(airs) if roads is None else roads
    return tuple(
        WeatherHour(start + timedelta(hours=n), air, road, row=n + 2)
        for n, (air, road) in enumerate(zip(airs, given_roads, strict=True))
    )


AIR = [10.0, 9.0, 8.0, 7.0, 6.0, 5.5, 6.5, 8.0]
ROAD: list[float | None] = [14.0, 13.0, 11.0, 9.0, 7.0, 6.0, 5.0, 6.0]


def test_the_coldest_road_rules_and_is_named_with_its_hour() -> None:
    temps = night_temps(CLOSURE, hours(AIR, ROAD))
    assert (temps.coldest_c, temps.coldest_from) == (5.0, "road at 03:00")
    assert (temps.hottest_c, temps.hottest_from) == (14.0, "road at 21:00")
    assert not temps.freezing


def test_the_coldest_air_rules_where_it_is_colder_than_the_road() -> None:
    temps = night_temps(CLOSURE, hours([*AIR[:4], 2.0, *AIR[5:]], ROAD))
    assert (temps.coldest_c, temps.coldest_from) == (2.0, "air at 01:00")


@pytest.mark.parametrize(
    ("mix_c", "coldest", "hottest"), [(4.0, "mix", "road at 21:00"), (25.0, "road at 03:00", "mix")]
)
def test_the_mix_rules_where_it_is_the_extreme(mix_c: float, coldest: str, hottest: str) -> None:
    temps = night_temps(replace(CLOSURE, mix_temp_c=mix_c), hours(AIR, ROAD))
    assert (temps.coldest_from, temps.hottest_from) == (coldest, hottest)


def test_a_road_that_is_not_given_takes_the_coldest_and_warmest_air_of_the_day_before() -> None:
    day = [*[3.0, 1.5, 4.0], *[16.0] * 20, 11.0]
    weather = hours([*day, *AIR], start=SHUT - timedelta(hours=24))
    temps = night_temps(CLOSURE, weather)
    assert (temps.coldest_c, temps.hottest_c) == (1.5, 16.0)
    assert temps.coldest_from == "air at 2031-04-13 22:00, for a road not given"


def test_what_is_older_than_a_day_does_not_count() -> None:
    weather = (*hours([-9.0], start=SHUT - timedelta(hours=25)), *hours(AIR))
    assert night_temps(CLOSURE, weather).coldest_c == 5.5


def test_one_hour_without_road_brings_the_stand_in_but_keeps_the_roads_that_are_given() -> None:
    roads = [*ROAD[:-1], None]
    weather = (*hours([1.0], start=SHUT - timedelta(hours=5)), *hours(AIR, roads))
    temps = night_temps(CLOSURE, weather)
    assert (temps.coldest_c, temps.hottest_from) == (1.0, "road at 21:00")


def test_a_full_road_column_brings_no_stand_in() -> None:
    weather = (*hours([1.0], start=SHUT - timedelta(hours=5)), *hours(AIR, ROAD))
    assert night_temps(CLOSURE, weather).coldest_c == 5.0


@pytest.mark.parametrize(
    ("kept", "missing"),
    [
        (slice(1, None), "2031-04-14 21:00 to 22:00"),
        (slice(0, -2), "2031-04-15 03:00 to 05:00"),
        (slice(0, 0), "2031-04-14 21:00 to 05:00"),
    ],
)
def test_weather_that_does_not_cover_the_closure_is_refused_with_the_missing_hours(kept: slice, missing: str) -> None:
    with pytest.raises(NotDeterminedError, match=f"missing: {missing}"):
        night_temps(CLOSURE, hours(AIR, ROAD)[kept])


def test_two_gaps_are_both_named() -> None:
    weather = hours(AIR, ROAD)
    with pytest.raises(NotDeterminedError, match=r"2031-04-14 22:00 to 23:00, 2031-04-15 02:00 to 03:00"):
        night_temps(CLOSURE, tuple(hour for n, hour in enumerate(weather) if n not in (1, 5)))


def test_a_closure_that_begins_inside_an_hour_needs_that_hour() -> None:
    late = replace(CLOSURE, road_shut_from=SHUT + timedelta(minutes=30), road_open_by=OPENS - timedelta(minutes=30))
    assert night_temps(late, hours(AIR, ROAD)).hottest_from == "road at 21:00"
    with pytest.raises(NotDeterminedError, match="21:30 to 22:00"):
        night_temps(late, hours(AIR, ROAD)[1:])


def test_weather_in_another_offset_is_the_same_weather() -> None:
    there = hours(AIR, ROAD)
    here = tuple(replace(hour, at=hour.at.astimezone(UTC)) for hour in there)
    assert night_temps(CLOSURE, here) == night_temps(CLOSURE, there)


@pytest.mark.parametrize(("air_c", "freezing"), [(-0.1, True), (0.0, False)])
def test_frost_is_told(air_c: float, freezing: bool) -> None:
    assert night_temps(CLOSURE, hours([air_c, *AIR[1:]], ROAD)).freezing is freezing


def test_the_why_names_air_road_and_mix_with_their_rows() -> None:
    why = night_temps(CLOSURE, hours(AIR, ROAD)).coldest_why
    assert [(child.value, child.source) for child in why.inputs] == [
        (5.5, "weather.csv row 7"),
        (5.0, "weather.csv row 8"),
        (12.0, "closures.csv row 2"),
    ]
    assert why.governed_by == "road at 03:00"


@given(st.permutations(range(8)), st.lists(st.floats(-15, 40), min_size=8, max_size=8))
def test_the_order_of_the_rows_does_not_matter_and_nothing_lies_outside(order: list[int], airs: list[float]) -> None:
    weather = hours(airs, ROAD)
    temps: NightTemps = night_temps(CLOSURE, tuple(weather[n] for n in order))
    assert temps == night_temps(CLOSURE, weather)
    every = [*airs, *(road for road in ROAD if road is not None), CLOSURE.mix_temp_c]
    assert (temps.coldest_c, temps.hottest_c) == (min(every), max(every))
