"""The layers of a cover as they lie on the night: what is above, what below, and what each placing hour brings."""

from __future__ import annotations

from datetime import timedelta

from truebed.curing.base_temp import GROUND, base_of, sunned_road_c
from truebed.curing.boundary import Place, boundary_of
from truebed.curing.hour_clocks import HourQuestion
from truebed.curing.placed_layer import PlacedLayer, PlacingHour, boundary_from
from truebed.curing.protection import protected
from truebed.curing.surfaces import WeatherData, weather_data
from truebed.errors import NotDeterminedError
from truebed.given.night import Closure, WeatherHour
from truebed.mixing.kits import RoleVolume
from truebed.plan.case import Case

CONVECTION = "iso-6946"
HOUR_MIN, STEP_MIN = 60.0, 10.0
#: A layer is followed so long after its placing on the night's own weather, held at its last past the forecast's end.
FOLLOWED_MIN = 1440.0
#: No layer is taken as thinner: below it there is no heat to reckon with.
THINNEST_MM = 3.0
HOUR, DAY = timedelta(hours=1), timedelta(hours=24)


def night_hours(case: Case) -> tuple[WeatherHour, ...]:
    """The hours of weather of a case's night, from the road's shutting on as far as they run on without a gap.

    Valid       weather that covers the closure
    Source      weather.csv
    Raises      NotDeterminedError where there is none
    Proved by   tests/plan/test_night_layers.py
    """
    closure = closure_of(case)
    later = sorted((h for h in case.weather if h.at + HOUR > closure.road_shut_from), key=lambda hour: hour.at)
    kept: list[WeatherHour] = []
    for hour in later:
        if kept and hour.at > kept[-1].at + HOUR:
            break
        kept.append(hour)
    if not kept or kept[0].at > closure.road_shut_from:
        raise NotDeterminedError(f"closure {closure.closure}: weather.csv has no hour for its beginning")
    return tuple(kept)


def closure_of(case: Case) -> Closure:
    """The closure of a case.

    Valid       a case of a night
    Source      house (look-up)
    Raises      NotDeterminedError for a case without one
    Proved by   tests/plan/test_night_layers.py
    """
    if case.closure is None:
        raise NotDeterminedError(f"{case.cover.cover}: no closure is known, so there is no night to reckon with")
    return case.closure


def window_of_min(closure: Closure) -> float:
    """Minutes from shutting to the deadline.

    Valid       any closure
    Source      algebra
    Proved by   tests/plan/test_night_layers.py
    """
    return (closure.road_open_by - closure.road_shut_from).total_seconds() / 60.0


def placing_hours(case: Case, layer: PlacedLayer, data: WeatherData, from_min: float) -> tuple[PlacingHour, ...]:
    """What a layer meets, for each hour from the earliest minute at which it can be placed to the deadline.

    Valid       weather that covers the closure
    Source      weather.csv; closures.csv: mix_temp_c; iron lies in the air and on the road before it is set (house)
    Raises      NotDeterminedError where there is no weather; FaultsError for a forecast that cannot be
    Proved by   tests/plan/test_night_layers.py
    """
    closure, hours = closure_of(case), night_hours(case)
    shut = closure.road_shut_from
    span_min = (hours[-1].at + HOUR - shut).total_seconds() / 60.0
    place = Place(case.latitude_deg, case.longitude_deg, 1.0, CONVECTION)
    whole = boundary_of(hours, shut, span_min, place, data.surfaces[layer.face], data, "weather.csv").boundary
    covered = protected(whole, closure.protection, data)
    day_before = tuple(h for h in case.weather if shut - DAY < h.at + HOUR and h.at < closure.road_open_by)
    found: list[PlacingHour] = []
    start_min = max(float(closure.tm_set_min), from_min)
    while not found or start_min < window_of_min(closure):
        at = shut + timedelta(minutes=start_min)
        hour = [h for h in hours if h.at <= at][-1]
        sunned_c = None if hour.road_temp_c is not None else sunned_road_c(hour, place, data)
        base = base_of(layer.base_mm, hour, data, day_before=day_before, ground=GROUND, sunned_c=sunned_c)
        iron = base_of(0.0, hour, data, day_before=day_before, sunned_c=sunned_c)
        found.append(
            PlacingHour(
                start_min,
                boundary_from(covered, start_min, FOLLOWED_MIN, STEP_MIN),
                hour.air_temp_c,
                base.cold_c,
                base.warm_c,
                iron.cold_c,
                iron.warm_c,
                closure.mix_temp_c,
                boundary_from(whole, start_min, FOLLOWED_MIN, STEP_MIN),
                base.note,
            )
        )
        start_min += HOUR_MIN
    return tuple(found)


def placed_layer(case: Case, pour: str, volumes: tuple[RoleVolume, ...]) -> PlacedLayer:
    """A pour as a layer: under the flange where it bears, else open to the air.

    Valid       volumes of the same case; a pour of its method
    Source      house: the part that bears governs; materials below: data/surfaces.toml, assumed
    Proved by   tests/plan/test_night_layers.py
    """
    roles = [role for role in case.method.roles if role.pour == pour]
    main = next((role for role in roles if role.bears), roles[0])
    own = [v for v in volumes if v.pour == pour and v.volume_l > 0.0]
    bearing = [v for v in own if v.role == main.role] or own
    joint_mm = max(case.method.layers.joint_depth_mm, THINNEST_MM)
    least_mm = max(min((v.least_mm for v in bearing), default=joint_mm), THINNEST_MM)
    most_mm = max(max((v.most_mm for v in own), default=joint_mm), least_mm)
    cover, kind = case.cover, case.sheets[main.sheet].kind
    if main.role == "bed":
        strip_mm = min(
            cover.flange.along_mm - cover.opening.along_mm, cover.flange.across_mm - cover.opening.across_mm
        ) / 2.0  # fmt: skip
        upright_mm = max(0.0, cover.frame_depth_mm - cover.flange_thick_mm)
        top_mm = cover.chamber_depth_mm
        return PlacedLayer(least_mm, most_mm, "iron", "brick", cover.flange_thick_mm, strip_mm, upright_mm, top_mm)
    if main.role == "under_flange_fill":
        return PlacedLayer(least_mm, most_mm, "iron", GROUND, cover.flange_thick_mm, base_mm=cover.chamber_depth_mm)
    if kind == "cement":
        return PlacedLayer(least_mm, most_mm, "mortar", GROUND, base_mm=cover.chamber_depth_mm)
    return PlacedLayer(least_mm, most_mm, "resin", "mortar", base_mm=most_mm)


def question_of(case: Case, pour: str, volumes: tuple[RoleVolume, ...], from_min: float) -> HourQuestion:
    """A pour with its hours, ready to be asked for its clocks.

    from_min    the earliest minute after the shutting at which it can be begun

    Valid       as placed_layer and placing_hours
    Source      rule set value cure_temp_band_c: how far the night may be off the forecast
    Raises      as placing_hours
    Proved by   tests/plan/test_night_layers.py
    """
    data = weather_data()
    layer = placed_layer(case, pour, volumes)
    band_c = case.rules.number("cure_temp_band_c")
    return HourQuestion(layer, placing_hours(case, layer, data, from_min), data, band_c)
