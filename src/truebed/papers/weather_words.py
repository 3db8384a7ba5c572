"""What weather means for work at the base, in a person's words: dew, rain, drying, frost; a row for each hour."""

from __future__ import annotations

import math

from truebed.drawings.levels_text import signed_mm, tenth_mm
from truebed.plan.base_hours import BaseHour, LaidHour

#: What to do, for each key of advice that the checks of weather give.
ADVICE = {
    "dew-clear": "Clear of dew.",
    "dew-warm-the-face": "Too near the dew point: warm and dry the face, measure again, or wait.",
    "dew-lies-on-it": "Dew lies on the face: dry and warm it, tent it, or do not lay.",
    "dew-not-known": "Humidity is not given: measure air, humidity and face before laying.",
    "base-not-on-the-sheet": "The sheet does not say which bases it allows: ask the maker; take dry only.",
    "base-too-wet": "The face is wet from rain and the sheet does not allow that: dry it and prove it dry, or wait.",
    "temp-not-on-the-sheet": "Base, air or mix lies outside the sheet's temperatures: not allowed by the sheet.",
    "road-not-known": "The road is not given: under such a sky it may be too near the dew point; measure the face.",
    "rain-not-known": "Rain is not given: look whether the face is dry.",
    "drying-none": "Dries slowly: nothing beyond usual care.",
    "drying-watch": "Dries: have sheeting and a sprayer at hand, and watch the face.",
    "drying-cover": "Dries too fast: keep off the wind, mist, and cover at once.",
    "drying-not-known": "Humidity is not given: watch the face, have sheeting at hand.",
    "frost-none": "Strong enough before it can freeze.",
    "frost-not-shown": "Not shown to be strong in the time looked at: keep it covered and watch the probe.",
    "frost-cover": "Would freeze while weak: cover and insulate it at once, or do not place.",
}
#: The same for a column of a table.
SHORT = {"drying-none": "\u2013", "drying-watch": "watch", "drying-cover": "cover", "drying-not-known": "?"}
YES, NO, OPEN = "yes", "no", "measure"
UNKNOWN = "?"


def advice_words(keys: tuple[str, ...]) -> str:
    """What to do, as sentences in the order of the keys, each once.

    Valid       keys of ADVICE
    Source      house (wording); the rules themselves: data/surfaces.toml
    Raises      KeyError for a key without words
    Proved by   tests/papers/test_weather_words.py
    """
    return " ".join(ADVICE[key] for key in dict.fromkeys(keys))


def may_words(allowed: bool | None) -> str:
    """May it be laid: yes, no, or measure first.

    Valid       any
    Source      house (wording)
    Proved by   tests/papers/test_weather_words.py
    """
    return OPEN if allowed is None else YES if allowed else NO


def hour_words(at: str) -> str:
    """The clock of an hour: '20:00'.

    at          as BaseHour.at
    Valid       as written there
    Source      house (writing)
    Proved by   tests/papers/test_weather_words.py
    """
    return at[11:16]


def hour_rows(hours: tuple[BaseHour, ...], laid: tuple[tuple[LaidHour, ...], ...] = ()) -> list[dict[str, object]]:
    """A row an hour: air, face, dew point, margin rounded down, may each coat be laid, drying, cover it.

    laid        for each coat (resin, sealant) its hours, as many as `hours`; 'may' holds their words in that order
    Valid       hours of one closure
    Source      house (writing)
    Proved by   tests/papers/test_weather_words.py
    """
    return [
        {
            "hour": hour_words(hour.at),
            "air": tenth_mm(hour.air_c),
            "face": tenth_mm(hour.face_c) + ("" if hour.face_from == "road" else " (air)"),
            "dew": UNKNOWN if hour.dew_point_c is None else tenth_mm(hour.dew_point_c),
            "margin": UNKNOWN if hour.margin_k is None else signed_mm(math.floor(hour.margin_k * 10.0) / 10.0),
            "rain": UNKNOWN if hour.rained is None else "wet" if hour.rained else "",
            "may": [may_words(coat[index].allowed) for coat in laid],
            "drying": UNKNOWN if hour.drying_kg_per_m2_h is None else f"{hour.drying_kg_per_m2_h:.2f}",
            "cover": SHORT[hour.drying_advice],
        }
        for index, hour in enumerate(hours)
    ]


def hours_told(hours: tuple[BaseHour, ...]) -> tuple[str, ...]:
    """What stands under the table: what to do about dew and drying where it is called for, and what was taken.

    Valid       hours of one closure
    Source      house (wording)
    Proved by   tests/papers/test_weather_words.py
    """
    keys = {hour.dew_advice for hour in hours} | {hour.drying_advice for hour in hours}
    told = [ADVICE[key] for key in ADVICE if key in keys and key not in ("dew-clear", "drying-none")]
    if any(hour.face_from == "air" for hour in hours):
        told.append(
            "Where the forecast gives no road, the face is taken as warm as the air; a clear sky makes it colder."
        )
    if any(hour.wind_taken for hour in hours):
        told.append("Where the forecast gives no wind, a stated one is taken for drying.")
    if hours:
        told.append(
            "From the forecast: measure air, humidity and face again before laying. Dry pores are not forecast."
        )
    return tuple(told)
