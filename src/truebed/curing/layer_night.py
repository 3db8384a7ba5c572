"""One layer in a steady night, asked for without a works folder: iron above or none, the layer, what lies below."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from truebed.curing.binder import Binder
from truebed.curing.fitted import FittedBinder
from truebed.curing.sky import film_w_per_m2_k, long_wave, sky_emissivity_share, sky_temp_c
from truebed.curing.stack import Boundary, Edge, Layer, Stack, steady_boundary
from truebed.curing.surfaces import WeatherData
from truebed.errors import Fault, FaultsError, NotDeterminedError
from truebed.sheets.sheet import Limits

Below = Literal["brick", "concrete", "ground"]
BELOW_KEYS: dict[Below, str] = {
    "brick": "brick",
    "concrete": "concrete-medium-2200",
    "ground": "ground-sand-gravel",
}
WHERE = "the layer asked for"
IRON, LAYER = "iron", "layer"
CONVECTION = "iso-6946"


@dataclass(frozen=True, slots=True)
class LayerNight:
    """What is asked: sizes, temperatures, wind and sky that do not change.

    iron_mm     thickness of the flange on the layer; None: the layer lies open to the air
    iron_c      its temperature; None: taken from air and base, the colder for a wait and the warmer for a life
    wind_m_per_s, cloud_share  None: taken from data/surfaces.toml and said
    strip_mm    width of a flange whose sides are open to air and chamber; None: an endless strip
    """

    thick_mm: float
    base_c: float
    air_c: float
    mix_c: float
    target_n_per_mm2: float
    iron_mm: float | None
    iron_c: float | None = None
    wind_m_per_s: float | None = None
    cloud_share: float | None = None
    below: Below = "brick"
    strip_mm: float | None = None


def temperatures(night: LayerNight) -> tuple[tuple[str, float], ...]:
    """The temperatures that were given, by name.

    Source      house
    Proved by   tests/curing/test_layer_night.py
    """
    named = [("air", night.air_c), ("base", night.base_c), ("mix", night.mix_c)]
    return (*named, *((("iron", night.iron_c),) if night.iron_c is not None else ()))


def refuse_night(night: LayerNight, fitted: FittedBinder, limits: Limits, data: WeatherData) -> None:
    """Refuses what cannot be, then what the sheet does not allow; each time everything that is wrong at once.

    Source      data/surfaces.toml for what cannot be; the sheet for what is not allowed
    Raises      FaultsError for values that cannot be or look like Fahrenheit; NotDeterminedError for a temperature or
                thickness that the sheet does not allow, and for a target above its last datum
    Proved by   tests/curing/test_layer_night.py
    """
    faults = (*_size_faults(night, data), *_temperature_faults(night, fitted, data))
    if faults:
        raise FaultsError(faults)
    refused = tuple(_not_allowed(night, fitted, limits))
    if refused:
        raise NotDeterminedError(f"{fitted.sheet}: {'; '.join(refused)}")


def _size_faults(night: LayerNight, data: WeatherData) -> Iterator[Fault]:
    sizes = (
        ("thickness", night.thick_mm, "mm"),
        ("iron's thickness", night.iron_mm, "mm"),
        ("flange's width", night.strip_mm, "mm"),
        ("target", night.target_n_per_mm2, "N/mm²"),
    )
    for name, value, unit in sizes:
        if value is not None and not (value > 0.0 and math.isfinite(value)):
            yield Fault(WHERE, 0, name, f"{value:g} {unit}", f"more than 0 {unit}", "Mend the value.")
    most_m_per_s = data["wind_most_m_per_s"]
    if night.wind_m_per_s is not None and not 0.0 <= night.wind_m_per_s <= most_m_per_s:
        found = f"{night.wind_m_per_s:g} m/s"
        yield Fault(WHERE, 0, "wind", found, f"0 to {most_m_per_s:g} m/s", "Mend the value.")
    if night.cloud_share is not None and not 0.0 <= night.cloud_share <= 1.0:
        yield Fault(WHERE, 0, "cloud", f"{night.cloud_share:g}", "a share from 0 to 1", "Mend the value.")
    if night.strip_mm is not None and night.iron_mm is None:
        yield Fault(WHERE, 0, "flange's width", f"{night.strip_mm:g} mm without iron", "iron's thickness too",
                    "Give the flange's thickness, or leave its width out.")  # fmt: skip
    if night.iron_c is not None and night.iron_mm is None:
        yield Fault(WHERE, 0, "iron's temperature", f"{night.iron_c:g} °C without iron", "iron's thickness too",
                    "Give the flange's thickness, or leave its temperature out.")  # fmt: skip


def _temperature_faults(night: LayerNight, fitted: FittedBinder, data: WeatherData) -> Iterator[Fault]:
    low, least_c, most_c = data["air_least_c"], fitted.allowed_least_c, fitted.allowed_most_c
    for name, temp_c in temperatures(night):
        high = data["air_most_c"] if name == "air" else data["road_most_c"]
        as_celsius_c = (temp_c - 32.0) / 1.8
        looks = temp_c > most_c and least_c <= as_celsius_c <= most_c
        if looks:
            found = f"{temp_c:g}, which looks like Fahrenheit"
            mend = (
                f"If it was read in Fahrenheit, it is {as_celsius_c:.1f} °C; if it is in °C, it is not allowed by the "
                "sheet."
            )
            yield Fault(WHERE, 0, name, found, f"{least_c:g} to {most_c:g} °C, as the sheet allows", mend)
        elif not low <= temp_c <= high:
            yield Fault(WHERE, 0, name, f"{temp_c:g} °C", f"{low:g} to {high:g} °C", "Mend the value.")


def _not_allowed(night: LayerNight, fitted: FittedBinder, limits: Limits) -> Iterator[str]:
    least_c, most_c = fitted.allowed_least_c, fitted.allowed_most_c
    outside = [f"{name} {temp_c:g} °C" for name, temp_c in temperatures(night) if not least_c <= temp_c <= most_c]
    if outside:
        yield f"not allowed by the sheet: {', '.join(outside)}; it lets it be used from {least_c:g} to {most_c:g} °C"
    if not limits.thickness_least_mm <= night.thick_mm <= limits.thickness_most_mm:
        yield (
            f"not allowed by the sheet: a layer of {night.thick_mm:g} mm; it lets it be "
            f"{limits.thickness_least_mm:g} to {limits.thickness_most_mm:g} mm thick"
        )
    if night.target_n_per_mm2 > fitted.last_datum_n_per_mm2:
        yield (
            f"time to {night.target_n_per_mm2:g} N/mm² is not determined: the sheet's last datum is "
            f"{fitted.last_datum_n_per_mm2:g} N/mm², and nothing past it is promised"
        )


def iron_temps_c(night: LayerNight) -> tuple[float, float]:
    """The iron's temperature for a wait and for a working life.

    Source      house: where it is not given, the colder of air and base for a wait, the warmer for a life
    Proved by   tests/curing/test_layer_night.py
    """
    if night.iron_c is not None:
        return night.iron_c, night.iron_c
    return min(night.air_c, night.base_c), max(night.air_c, night.base_c)


def stack_of(night: LayerNight, binder: Binder, iron_c: float, data: WeatherData) -> Stack:
    """The stack for one binder, from the top down.

    Source      conductivity and heat capacity: data/surfaces.toml; the layer's own: the binder
    Proved by   tests/curing/test_layer_night.py
    """
    iron, below = data.materials["cast-iron"], data.materials[BELOW_KEYS[night.below]]
    layers = (
        Layer(LAYER, night.thick_mm, binder.conduct_w_per_m_k, binder.store_kj_per_l_k, night.mix_c, binder),
        Layer(night.below, data["below_deep_mm"], below.conduct_w_per_m_k, below.store_kj_per_l_k, night.base_c),
    )
    if night.iron_mm is None:
        return Stack(layers)
    flange = Layer(IRON, night.iron_mm, iron.conduct_w_per_m_k, iron.store_kj_per_l_k, iron_c)
    if night.strip_mm is None:
        return Stack((flange, *layers))
    film = film_w_per_m2_k(wind_of_m_per_s(night, data), CONVECTION, data)
    return Stack((flange, *layers), Edge(IRON, night.strip_mm, film, data["chamber_film_w_per_m2_k"], night.base_c))


def outside_of(night: LayerNight, data: WeatherData) -> Boundary:
    """What meets the top: wind and sky, at night, unchanged.

    Source      [en-iso-6946] film, [swinbank-1963] clear sky, [martin-berdahl-1984] cloud, straightened about the base
    Proved by   tests/curing/test_layer_night.py
    """
    surface = data.surfaces["mortar" if night.iron_mm is None else "iron"]
    sky_c = sky_temp_c(night.air_c, sky_emissivity_share(night.air_c, None, cloud_of_share(night, data), data))
    waves = long_wave(sky_c, night.base_c, surface, 1.0)
    film = film_w_per_m2_k(wind_of_m_per_s(night, data), CONVECTION, data)
    flux = waves.film_w_per_m2_k * (sky_c - night.air_c)
    return steady_boundary(night.air_c, film + waves.film_w_per_m2_k, flux)


def wind_of_m_per_s(night: LayerNight, data: WeatherData) -> float:
    """The wind given, else the one taken.

    Source      data/surfaces.toml
    Proved by   tests/curing/test_layer_night.py
    """
    return data["wind_taken_m_per_s"] if night.wind_m_per_s is None else night.wind_m_per_s


def cloud_of_share(night: LayerNight, data: WeatherData) -> float:
    """The cloud given, else the one taken.

    Source      data/surfaces.toml
    Proved by   tests/curing/test_layer_night.py
    """
    return data["cloud_taken_share"] if night.cloud_share is None else night.cloud_share


def taken_for_granted(night: LayerNight, data: WeatherData) -> tuple[str, ...]:
    """What was not given and so was taken, and what was left out, in sentences.

    Source      house
    Proved by   tests/curing/test_layer_night.py
    """
    said = []
    if night.wind_m_per_s is None:
        said.append(f"no wind given: {wind_of_m_per_s(night, data):g} m/s taken")
    if night.cloud_share is None:
        said.append(f"no sky given: cloud {cloud_of_share(night, data):g} taken (0 clear, 1 overcast)")
    if night.iron_mm is not None and night.iron_c is None and night.air_c != night.base_c:
        cold_c, warm_c = iron_temps_c(night)
        said.append(f"iron's temperature not given: {cold_c:g} °C taken for the wait, {warm_c:g} °C for working life")
    if night.iron_mm is not None and night.strip_mm is None:
        said.append(
            "the flange is taken as endless: one about 100 mm wide, open at its sides, can be 10 to 26 minutes later "
            "(docs/theory/heat.md); give its width"
        )
    if night.strip_mm is not None:
        said.append("the chamber's air is taken to be as warm as the base, and the frame's upright is left out")
    said.append(
        f"{night.below} is {data['below_deep_mm']:g} mm deep, all of it at {night.base_c:g} °C when the layer comes in"
    )
    said.append("temperatures, wind and sky are taken as given and unchanging; no sun, no rain")
    said.append("minutes count from placing: the time since mixing is to be taken off the working life")
    return tuple(said)
