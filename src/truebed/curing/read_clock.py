"""Reads one clock of one pour off its sheet at the night's temperatures, with its 90 % range."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from truebed.curing.between_points import AgeAt, TimeBetween, time_between, time_to_strength
from truebed.curing.clocks import ClockReading
from truebed.curing.night_temps import NightTemps
from truebed.errors import NotDeterminedError
from truebed.sheets.method import ClockKind
from truebed.sheets.sheet import Sheet, StrengthAt, TimeAt
from truebed.why import Why

Which = Literal["wait", "life"]
WORDS: dict[str, str] = {"life": "working life", "set": "set", "ready": "readiness", "strength": "strength"}


@dataclass(frozen=True, slots=True)
class _Dial:
    """What a clock is read from: times, or strengths with a target."""

    what: str
    times: tuple[TimeAt, ...]
    strengths: tuple[StrengthAt, ...]
    target_n_per_mm2: float | None

    def read(self, temp_c: float) -> tuple[TimeBetween, tuple[AgeAt, ...]]:
        if self.target_n_per_mm2 is None:
            return time_between(self.times, temp_c, self.what), ()
        return time_to_strength(self.strengths, self.target_n_per_mm2, temp_c, self.what)

    def range_c(self) -> tuple[float, float]:
        temps_c = [point.temp_c for point in (self.strengths if self.target_n_per_mm2 is not None else self.times)]
        return min(temps_c), max(temps_c)


@dataclass(frozen=True, slots=True)
class _Band:
    """The 90 % range of a reading, and what was said of it."""

    early_min: float
    late_min: float
    cold_c: float
    warm_c: float
    clamped: str


def read_clock(
    sheet: Sheet,
    pour: str,
    kind: ClockKind,
    target_n_per_mm2: float | None,
    temps: NightTemps,
    temp_band_c: float,
    time_band_share: float,
    which: Which,
) -> tuple[ClockReading, Why]:
    """How long the clock runs, with its 90 % range and its why.

    target_n_per_mm2  for kind 'strength'; None for the others
    temp_band_c, time_band_share  90 % half-widths of the layer's temperature and of a time read off a sheet
    which       'wait' takes the night's coldest, 'life' its hottest
    Valid       between the sheet's own temperatures and inside its limits
    Source      [astm-c1074] form only, between the sheet's own points; house: bands in quadrature of logarithms
    Raises      NotDeterminedError outside what the sheet gives or allows, for a strength without a target, and for a
                cure asked as a working life
    Proved by   tests/curing/test_read_clock.py
    """
    if which == "life" and kind in ("ready", "strength"):
        raise NotDeterminedError(f"the {WORDS[kind]} of {sheet.key} is waited for; it is never read at the hottest")
    temp_c = temps.coldest_c if which == "wait" else temps.hottest_c
    from_what = temps.coldest_from if which == "wait" else temps.hottest_from
    dial = _dial(sheet, kind, target_n_per_mm2)
    _refuse_outside_limits(sheet, dial.what, temp_c, from_what)
    time, ages = dial.read(temp_c)
    band = _band(sheet, dial, time.minutes_min, temp_c, temp_band_c, time_band_share)
    reading = ClockReading(
        pour,
        sheet.key,
        kind,
        target_n_per_mm2 if kind == "strength" else None,
        time.minutes_min,
        band.early_min,
        band.late_min,
        temp_c,
        from_what,
        which == "wait",
    )
    temp_why = temps.coldest_why if which == "wait" else temps.hottest_why
    inputs = (temp_why, *_points(sheet, dial, time, ages), _band_why(band, temp_band_c, time_band_share))
    return reading, Why(
        f"{dial.what} at {temp_c:g} °C",
        time.minutes_min,
        "min",
        _relation(time),
        f"{sheet.file or sheet.key}; [astm-c1074] Arrhenius form (memory-high)",
        inputs,
        governed_by=from_what,
    )


def _dial(sheet: Sheet, kind: ClockKind, target_n_per_mm2: float | None) -> _Dial:
    """The points that answer the clock."""
    name = f"{WORDS[kind]} of {sheet.key}"
    if kind == "strength":
        if target_n_per_mm2 is None:
            raise NotDeterminedError(f"{name}: no strength is known to wait for")
        return _to_strength(sheet, f"time of {sheet.key} to {target_n_per_mm2:g} N/mm²", target_n_per_mm2)
    if kind == "ready" and not sheet.ready:
        if sheet.traffic_strength_n_per_mm2 is None:
            raise NotDeterminedError(f"{name}: the sheet gives neither times nor a traffic strength")
        traffic_n_per_mm2 = sheet.traffic_strength_n_per_mm2
        return _to_strength(sheet, f"{name} (traffic strength {traffic_n_per_mm2:g} N/mm²)", traffic_n_per_mm2)
    times = {"life": sheet.life, "set": sheet.set_, "ready": sheet.ready}[kind]
    if not times:
        raise NotDeterminedError(f"{name}: the sheet gives none")
    return _Dial(name, times, (), None)


def _to_strength(sheet: Sheet, what: str, target_n_per_mm2: float) -> _Dial:
    if not sheet.strength:
        raise NotDeterminedError(f"{what}: the sheet gives no strengths")
    return _Dial(what, (), sheet.strength, target_n_per_mm2)


def _refuse_outside_limits(sheet: Sheet, what: str, temp_c: float, from_what: str) -> None:
    """The sheet's own limits come before its points."""
    limits = sheet.limits
    if limits.temp_least_c <= temp_c <= limits.temp_most_c:
        return
    raise NotDeterminedError(
        f"{what}: {temp_c:g} °C ({from_what}) is not allowed by the sheet, which lets it be used from "
        f"{limits.temp_least_c:g} to {limits.temp_most_c:g} °C"
    )


def _band(
    sheet: Sheet, dial: _Dial, minutes_min: float, temp_c: float, temp_band_c: float, time_band_share: float
) -> _Band:
    """Early and late: the temperature's part and the sheet's part, in quadrature of their logarithms."""
    least_c, most_c = dial.range_c()
    least_c, most_c = max(least_c, sheet.limits.temp_least_c), min(most_c, sheet.limits.temp_most_c)
    cold_c, warm_c = max(temp_c - temp_band_c, least_c), min(temp_c + temp_band_c, most_c)
    clamped = ""
    if cold_c > temp_c - temp_band_c or warm_c < temp_c + temp_band_c:
        clamped = f"held inside the sheet's own {least_c:g} to {most_c:g} °C: past it nothing is known"
    logs_ratio = [math.log(dial.read(edge_c)[0].minutes_min / minutes_min) for edge_c in (cold_c, warm_c)]
    sheet_ratio = abs(math.log1p(time_band_share))
    return _Band(
        minutes_min * math.exp(-math.hypot(min(0.0, *logs_ratio), sheet_ratio)),
        minutes_min * math.exp(math.hypot(max(0.0, *logs_ratio), sheet_ratio)),
        cold_c,
        warm_c,
        clamped,
    )


def _relation(time: TimeBetween) -> str:
    if time.activation_j_per_mol is None:
        return f"the sheet's own value at {time.temp_c:g} °C"
    return (
        f"ln(time) straight in 1/T between {time.cold.temp_c:g} and {time.warm.temp_c:g} °C, "
        f"activation energy {time.activation_j_per_mol / 1000.0:.1f} kJ/mol of this stretch"
    )


def _points(sheet: Sheet, dial: _Dial, time: TimeBetween, ages: tuple[AgeAt, ...]) -> tuple[Why, ...]:
    """The sheet's points that the time stands on."""
    if dial.target_n_per_mm2 is not None:
        return tuple(_age_why(sheet, dial.target_n_per_mm2, age) for age in ages)
    points = dict.fromkeys((time.cold, time.warm))
    return tuple(
        Why(f"{dial.what} at {p.temp_c:g} °C", p.after_min, "min", "as on the sheet", _place(sheet, p.place))
        for p in points
    )


def _age_why(sheet: Sheet, target_n_per_mm2: float, age: AgeAt) -> Why:
    """The age at one of the sheet's temperatures, from its two data."""
    if age.below is None:
        first = age.above.strength_n_per_mm2
        relation = f"no shorter than the first datum's age, which already has {first:g} N/mm²"
    else:
        relation = "strength straight in ln(age) between two data"
    data = (age.above,) if age.below is None else (age.below, age.above)
    return Why(
        f"age to {target_n_per_mm2:g} N/mm² at {age.temp_c:g} °C",
        age.age_min,
        "min",
        relation,
        "house",
        tuple(
            Why(
                f"strength at {datum.temp_c:g} °C and {datum.age_min:g} min",
                datum.strength_n_per_mm2,
                "n_per_mm2",
                "as on the sheet",
                _place(sheet, datum.place),
            )
            for datum in data
        ),
    )


def _band_why(band: _Band, temp_band_c: float, time_band_share: float) -> Why:
    relation = (
        f"layer between {band.cold_c:g} and {band.warm_c:g} °C (± {temp_band_c:g} °C), "
        f"sheet's times ± {time_band_share:.0%}, in quadrature of logarithms"
    )
    return Why(
        "90 % range",
        f"{band.early_min:.1f} to {band.late_min:.1f}",
        "min",
        relation + (f"; {band.clamped}" if band.clamped else ""),
        "house",
    )


def _place(sheet: Sheet, place: str) -> str:
    return f"{sheet.file or sheet.key}: {place}"
