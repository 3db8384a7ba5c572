"""Cases with a closure and an hour-by-hour sky of their own."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

from plan.sample import case, shelf
from truebed.curing.night_temps import night_temps
from truebed.given.night import Closure, WeatherHour

ZONE = timezone(timedelta(hours=1))
SHUT = datetime(2031, 5, 6, 20, 0, tzinfo=ZONE)


def hour(after, air_c=20.0, road_c=20.0, humidity_pct=50.0, wind_m_per_s=5.0, rain_mm=0.0):
    """The hour that begins so many hours after the road is shut; written in universal time, as a forecast may be."""
    at = (SHUT + timedelta(hours=after)).astimezone(UTC)
    return WeatherHour(at, air_c, road_c, humidity_pct, wind_m_per_s, 0.5, rain_mm, row=after + 2)


def weathered(hours, method="five-layer", mix_c=20.0, protection="none", sheets=None, rules=None):
    """A case whose closure lasts as long as its hours that are not before it."""
    inside = sum(h.at >= SHUT for h in hours)
    closure = Closure(
        "N1", ("Tallow Row",), "full", SHUT, SHUT + timedelta(hours=inside), SHUT, 10, 10, mix_c, protection=protection
    )
    made = case(lambda _x, _y: 0.0, method=method, rules=rules)
    return replace(
        made,
        closure=closure,
        weather=tuple(hours),
        temps=night_temps(closure, tuple(hours)),
        sheets={**shelf().sheets, **(sheets or {})},
    )
