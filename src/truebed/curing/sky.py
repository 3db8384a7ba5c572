"""What a level face gets from sun and sky, and loses to the wind."""

from __future__ import annotations

import math
from dataclasses import dataclass

from truebed.curing.arrhenius import ZERO_K
from truebed.curing.dew import dew_point_c
from truebed.curing.surfaces import Surface, WeatherData

#: Stefan-Boltzmann constant [W/(m2 K4)]: exact in the SI since 2019, here to its printed digits.
BOLTZMANN = 5.670374419e-8


@dataclass(frozen=True, slots=True)
class LongWave:
    """Long-wave exchange with the sky, straightened: heat into the face = film (sky - face)."""

    sky_c: float
    film_w_per_m2_k: float


def clear_sky_w_per_m2(zenith_deg: float, data: WeatherData) -> float:
    """Sunlight on a level face under a clear sky, direct and from the sky together.

    Valid       sea level, ordinary air; nothing once the sun is down
    Source      [haurwitz-1945]
    Proved by   tests/published/test_sun.py
    """
    up_ratio = math.cos(math.radians(zenith_deg))
    if zenith_deg >= 90.0 or up_ratio <= 1e-6:
        return 0.0
    return data["clear_sky_w_per_m2"] * up_ratio * math.exp(-data["clear_sky_loss_ratio"] / up_ratio)


def sunlight_w_per_m2(zenith_deg: float, cloud_share: float, data: WeatherData) -> float:
    """Sunlight on a level face under a sky that is clouded by a share.

    Valid       share 0 to 1; a mean over many skies: one passing cloud takes more
    Source      [kasten-czeplak-1980] (from memory)
    Raises      ValueError for a share outside 0 to 1
    Proved by   tests/curing/test_sky.py
    """
    _refuse_share(cloud_share, "cloud")
    left_share: float = 1.0 - data["cloud_takes_share"] * cloud_share ** data["cloud_power_ratio"]
    return clear_sky_w_per_m2(zenith_deg, data) * left_share


def absorbed_w_per_m2(sunlight_w_per_m2: float, surface: Surface, sky_view_share: float) -> float:
    """Sunlight that a face takes.

    sky_view_share  of the sky that is seen from it: 1 in the open, less between houses (they shade in this measure)
    Valid       sunlight >= 0
    Source      algebra; the share is house
    Raises      ValueError for a share outside 0 to 1
    Proved by   tests/curing/test_sky.py
    """
    _refuse_share(sky_view_share, "sky view")
    return sunlight_w_per_m2 * surface.absorptance_share * sky_view_share


def sky_emissivity_share(air_c: float, humidity_pct: float | None, cloud_share: float, data: WeatherData) -> float:
    """How the sky shines in long wave, as a share of a black body at the air's temperature.

    Valid       share 0 to 1; without humidity by the air's temperature alone
    Source      [martin-berdahl-1984], [swinbank-1963] without humidity (from memory)
    Raises      ValueError for a share or humidity outside
    Proved by   tests/curing/test_sky.py
    """
    _refuse_share(cloud_share, "cloud")
    if humidity_pct is None:
        clear_share = data["swinbank_ratio"] * (air_c + ZERO_K) ** 2
    else:
        dew = dew_point_c(air_c, humidity_pct, data) / 100.0
        clear_share = data["sky_base_share"] + dew * (data["sky_linear_ratio"] + dew * data["sky_square_ratio"])
    clear_share = min(1.0, clear_share)
    return clear_share + data["cloud_closes_share"] * cloud_share * (1.0 - clear_share)


def sky_temp_c(air_c: float, emissivity_share: float) -> float:
    """The temperature of a black body that shines as the sky does.

    Valid       0 < emissivity <= 1
    Source      algebra: T = air emissivity^1/4 in kelvin
    Proved by   tests/curing/test_sky.py
    """
    sky_c: float = (air_c + ZERO_K) * emissivity_share**0.25 - ZERO_K
    return sky_c


def long_wave(sky_c: float, about_face_c: float, surface: Surface, sky_view_share: float) -> LongWave:
    """Long-wave exchange straightened about the temperature that the face has or is near.

    Valid       exact at about_face_c; 10 K off it the film is 5 % off; what hides the sky is taken to be as
                warm as the face
    Source      algebra: (s^4 - f^4) = (s^2 + f^2)(s + f)(s - f), Stefan and Boltzmann's law
    Raises      ValueError for a share outside 0 to 1
    Proved by   tests/curing/test_sky.py
    """
    _refuse_share(sky_view_share, "sky view")
    sky_k, face_k = sky_c + ZERO_K, about_face_c + ZERO_K
    both = (sky_k**2 + face_k**2) * (sky_k + face_k)
    return LongWave(sky_c, surface.emissivity_share * sky_view_share * BOLTZMANN * both)


def film_w_per_m2_k(wind_m_per_s: float, formula: str, data: WeatherData) -> float:
    """Coefficient of convection of a level face in the wind.

    formula     a key of the packaged formulas: 'iso-6946' or 'flat-plate'
    Valid       wind >= 0, the mean of the hour
    Source      [en-iso-6946] or [flat-plate-wind] (both from memory)
    Raises      ValueError for a wind below nought or a formula that is not known
    Proved by   tests/curing/test_sky.py
    """
    if not wind_m_per_s >= 0.0:
        raise ValueError(f"a wind of {wind_m_per_s:g} m/s cannot be")
    if formula not in data.films:
        raise ValueError(f"convection formula '{formula}' is not known; known: {', '.join(sorted(data.films))}")
    piece = next(piece for piece in data.films[formula] if wind_m_per_s <= piece.up_to_m_per_s)
    film: float = piece.base + piece.slope_ratio * wind_m_per_s**piece.power_ratio
    return film


def _refuse_share(share: float, what: str) -> None:
    if not 0.0 <= share <= 1.0:
        raise ValueError(f"{what} {share:g} is no share between 0 and 1")
