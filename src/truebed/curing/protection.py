"""A sheet or a blanket laid over a fresh layer: what is left of the weather under it."""

from __future__ import annotations

from truebed.curing.stack import Boundary
from truebed.curing.surfaces import WeatherData
from truebed.given.night import Protection


def protected(boundary: Boundary, kind: Protection, data: WeatherData) -> Boundary:
    """What meets the face under a cover that is laid on at once: the cover's resistance in series with the open air's.

    With g what passes through the cover, 1/film' = 1/film + 1/g, and flux' = flux film'/film: sky, sun and rain meet
    the cover's outer face, and only what the cover lets through reaches the layer.

    Valid       film >= 0. The cover holds no heat and takes sun as the bare face would: no clear plastic in the sun.
                It is for what is waited for, where outside is colder than the layer; a layer that the outside would
                warm is slowed, and less is counted on than the cover may hold back
    Source      algebra (resistances in series); figures of data/surfaces.toml
    Raises      ValueError for a kind that is not known
    Proved by   tests/curing/test_protection.py, tests/oracles/test_protection_layer.py
    """
    if kind == "none":
        return boundary
    left_share = 1.0 / (1.0 + boundary.film_w_per_m2_k / passed_w_per_m2_k(kind, data))
    return Boundary(
        boundary.minutes_min,
        boundary.air_c,
        boundary.film_w_per_m2_k * left_share,
        boundary.flux_w_per_m2 * left_share,
    )


def passed_w_per_m2_k(kind: Protection, data: WeatherData) -> float:
    """What a cover passes for each kelvin between its faces, as far as it is counted on.

    Valid       'sheet' or 'blanket'
    Source      algebra (conductivity over thickness); figures of data/surfaces.toml
    Raises      ValueError for another kind
    Proved by   tests/curing/test_protection.py
    """
    if kind == "sheet":
        return data["sheet_air_w_per_m_k"] / data["sheet_air_mm"] * 1000.0
    if kind == "blanket":
        return data["blanket_w_per_m_k"] / data["blanket_thick_mm"] * 1000.0 / data["blanket_counted_share"]
    raise ValueError(f"protection '{kind}' is not known; known: none, sheet, blanket")


def protection_note(kind: Protection, data: WeatherData) -> str:
    """What a plan counts on, as one sentence for the gang; '' where nothing is laid.

    Valid       the kinds of `protected`
    Source      house (words); figures of data/surfaces.toml
    Raises      ValueError for a kind that is not known
    Proved by   tests/curing/test_protection.py
    """
    if kind == "none":
        return ""
    kept = f"passes {passed_w_per_m2_k(kind, data):.2g} W/m²K"
    if kind == "sheet":
        return (
            f"The times count on a plastic sheet ({kept}), laid as soon as a layer is placed and left till it is ready."
        )
    return (
        f"The times count on a blanket of {data['blanket_thick_mm']:g} mm at {data['blanket_w_per_m_k']:g} W/mK, "
        f"{data['blanket_counted_share']:.0%} of it ({kept}), laid dry and held down at its edges as soon as a "
        "layer is placed and left till it is ready. Without it they do not hold."
    )
