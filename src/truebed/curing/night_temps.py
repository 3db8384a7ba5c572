"""The coldest and the hottest that a layer can be in one closure: the air, the road and the mix."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from truebed.errors import NotDeterminedError
from truebed.given.night import Closure, WeatherHour
from truebed.why import Why

HOUR = timedelta(hours=1)
DAY = timedelta(hours=24)


@dataclass(frozen=True, slots=True)
class NightTemps:
    """What rules the clocks of one closure. *_from: 'air at 04:00', 'road at 05:00', 'mix'."""

    coldest_c: float
    coldest_from: str
    hottest_c: float
    hottest_from: str
    freezing: bool
    coldest_why: Why
    hottest_why: Why


@dataclass(frozen=True, slots=True)
class _Candidate:
    """One temperature that may rule."""

    temp_c: float
    name: str
    source: str


def night_temps(closure: Closure, weather: tuple[WeatherHour, ...]) -> NightTemps:
    """The lowest and highest of air, road and mix from the road's shutting to its opening.

    Where any hour of the closure has no road temperature, the lowest and the highest air of the 24 hours before and
    of the closure itself stand in for it, since the road keeps what the day gave it.

    Valid       weather that covers the closure without a gap
    Source      house (an isothermal layer at the coldest for a wait, at the hottest for a working life)
    Raises      NotDeterminedError where the weather does not cover the closure, with the hours that are missing
    Proved by   tests/curing/test_night_temps.py
    """
    hours = _covering(closure, weather)
    zone = closure.road_shut_from
    air = [_Candidate(hour.air_temp_c, f"air at {_clock(hour.at, zone)}", _row(hour)) for hour in hours]
    road = [
        _Candidate(hour.road_temp_c, f"road at {_clock(hour.at, zone)}", _row(hour))
        for hour in hours
        if hour.road_temp_c is not None
    ]
    if len(road) < len(hours):
        road += _stand_ins(closure, weather)
    mix = _Candidate(closure.mix_temp_c, "mix", f"closures.csv row {closure.row}")
    every = [*air, *road, mix]
    coldest = min(every, key=lambda candidate: candidate.temp_c)
    hottest = max(every, key=lambda candidate: candidate.temp_c)
    return NightTemps(
        coldest.temp_c,
        coldest.name,
        hottest.temp_c,
        hottest.name,
        coldest.temp_c < 0.0,
        _why("coldest", "lowest", coldest, _extremes(air, road, mix, lowest=True)),
        _why("hottest", "highest", hottest, _extremes(air, road, mix, lowest=False)),
    )


def _covering(closure: Closure, weather: tuple[WeatherHour, ...]) -> list[WeatherHour]:
    """The hours that lie in the closure, in order; refuses a gap."""
    shut, opens = closure.road_shut_from, closure.road_open_by
    hours = sorted((h for h in weather if h.at < opens and h.at + HOUR > shut), key=lambda hour: hour.at)
    gaps: list[tuple[datetime, datetime]] = []
    covered_to = shut
    for hour in hours:
        if hour.at > covered_to:
            gaps.append((covered_to, hour.at))
        covered_to = max(covered_to, hour.at + HOUR)
    if covered_to < opens:
        gaps.append((covered_to, opens))
    if gaps:
        missing = ", ".join(f"{_day_clock(start, shut)} to {_clock(end, shut)}" for start, end in gaps)
        raise NotDeterminedError(
            f"closure {closure.closure}: its weather has gaps; missing: {missing}. Add the hours to weather.csv"
        )
    return hours


def _stand_ins(closure: Closure, weather: tuple[WeatherHour, ...]) -> list[_Candidate]:
    """Lowest and highest air of the day before and the closure, for a road of unknown temperature."""
    first = closure.road_shut_from - DAY
    day = sorted((h for h in weather if first < h.at + HOUR and h.at < closure.road_open_by), key=lambda hour: hour.at)
    lowest = min(day, key=lambda hour: hour.air_temp_c)
    highest = max(day, key=lambda hour: hour.air_temp_c)
    return [
        _Candidate(
            hour.air_temp_c, f"air at {_day_clock(hour.at, closure.road_shut_from)}, for a road not given", _row(hour)
        )
        for hour in (lowest, highest)
    ]


def _extremes(
    air: list[_Candidate], road: list[_Candidate], mix: _Candidate, *, lowest: bool
) -> tuple[_Candidate, ...]:
    """The lowest or highest air and road, and the mix."""
    pick = min if lowest else max
    return (
        pick(air, key=lambda candidate: candidate.temp_c),
        pick(road, key=lambda candidate: candidate.temp_c),
        mix,
    )


def _why(word: str, sort: str, ruling: _Candidate, inputs: tuple[_Candidate, ...]) -> Why:
    return Why(
        what=f"{word} that a layer can be in this closure",
        value=ruling.temp_c,
        unit="c",
        relation=f"{sort} of air, road and mix while the road is shut",
        source="house",
        inputs=tuple(Why(one.name, one.temp_c, "c", "as given", one.source) for one in inputs),
        governed_by=ruling.name,
    )


def _row(hour: WeatherHour) -> str:
    return f"weather.csv row {hour.row}"


def _clock(at: datetime, zone: datetime) -> str:
    """Clock time in the closure's own offset."""
    return f"{at.astimezone(zone.tzinfo):%H:%M}"


def _day_clock(at: datetime, zone: datetime) -> str:
    """Date and clock time in the closure's own offset."""
    return f"{at.astimezone(zone.tzinfo):%Y-%m-%d %H:%M}"
