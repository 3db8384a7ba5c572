"""The why of one clock: the governing hour, the layer, the sheet's curve, what was taken for granted."""

from __future__ import annotations

from truebed.curing.calibrate import NINETY_SD
from truebed.curing.clocks import ClockReading
from truebed.curing.fitted import FittedBinder
from truebed.curing.hour_clocks import HourQuestion, HourTime
from truebed.curing.placed_layer import PlacedLayer, PlacingHour
from truebed.curing.read_clock import WORDS
from truebed.curing.time_line import TimeLine
from truebed.sheets.sheet import Sheet
from truebed.why import Why

HEAT_SOURCE = "[schindler-folliard-2005] heat and equivalent age, one-dimensional finite volumes; [astm-c1074] form"


def clock_why(
    reading: ClockReading,
    sheet: Sheet,
    fitted: FittedBinder | None,
    line: TimeLine | None,
    question: HourQuestion,
    at: HourTime,
) -> Why:
    """Why a clock runs so long.

    Valid       a reading made of these
    Source      house (arrangement)
    Proved by   tests/plan/test_clock_why.py
    """
    name = WORDS[reading.kind]
    target = "" if reading.target_n_per_mm2 is None else f" to {reading.target_n_per_mm2:g} N/mm²"
    hour = next(h for h in question.hours if h.start_min == at.start_min)
    point = "slowest" if reading.wait else "fastest"
    inputs = (
        _hour(hour, reading),
        _layer(question.layer, reading),
        *_curve(sheet, fitted),
        *_line(sheet, line),
        _band(reading, question),
        _hours(reading),
    )
    return Why(
        f"{name} of {sheet.key}{target}, its {point} point",
        reading.minutes_min,
        "min",
        "heat and hydration of the layer between iron, ground and the night's weather, hour by hour",
        HEAT_SOURCE,
        inputs,
        governed_by=f"{reading.from_what}, as if held at {reading.temp_c:.1f} °C; {_taken(reading)}",
    )


def _taken(reading: ClockReading) -> str:
    """Which of its minutes the programme takes."""
    edge = "the most probable"
    if reading.used_min is not None and reading.used_min != reading.minutes_min:
        edge = "the 95 % late" if reading.wait else "the 5 % early"
    return f"the programme takes {edge}, {reading.planned_min:.1f} min"


def _hour(hour: PlacingHour, reading: ClockReading) -> Why:
    base_c, iron_c = (
        (hour.base_cold_c, hour.iron_cold_c) if reading.wait else (hour.base_warm_c, hour.iron_warm_c)
    )  # fmt: skip
    which = "colder" if reading.wait else "warmer"
    return Why(
        "the hour that governs",
        hour.start_min,
        "min after shutting",
        "slowest hour that still opens the road" if reading.wait else "fastest hour to run out",
        "house",
        (
            Why("air", hour.air_c, "c", "as forecast", "weather.csv"),
            Why("base", base_c, "c", f"{which} end: {hour.base_why}", "weather.csv; data/surfaces.toml; house"),
            Why("iron", iron_c, "c", f"{which} of road and air: it lies beside the cut before it is set", "house"),
            Why("mix", hour.mix_c, "c", "as given", "closures.csv: mix_temp_c"),
        ),
    )


def _layer(layer: PlacedLayer, reading: ClockReading) -> Why:
    thick_mm = layer.thick_least_mm if reading.wait else layer.thick_most_mm
    above = "open to the air" if layer.iron_mm is None else f"under a flange of {layer.iron_mm:g} mm"
    edges = "" if layer.strip_mm is None or not reading.wait else f", {layer.strip_mm:g} mm wide with open sides"
    return Why(
        "thickness of the layer",
        thick_mm,
        "mm",
        f"{'thinnest' if reading.wait else 'thickest'} place, {above}{edges}, on {layer.below}",
        "this cover's own solids; materials: data/surfaces.toml",
    )


def _curve(sheet: Sheet, fitted: FittedBinder | None) -> tuple[Why, ...]:
    if fitted is None:
        note = "the sheet has no strength curve; its own heat is left out: what is waited for is ready earlier"
        return (Why("own heat", "none", "", note, sheet.file or sheet.key),)
    source = f"{sheet.file or sheet.key}; data/curing.toml for what the sheet leaves open"
    parts = tuple(
        Why(
            one.name,
            one.value,
            one.unit,
            f"90 % range {one.low:.3g} to {one.high:.3g}; {one.from_sheet_share:.0%} of what is known is the sheet's",
            source,
        )
        for one in fitted.parameters
    )
    note = f"{fitted.binder.form}, fitted to {len(fitted.residuals)} strengths of the sheet"
    return (Why("strength curve", fitted.last_datum_n_per_mm2, "N/mm2 at the last datum", note, source, parts),)


def _line(sheet: Sheet, line: TimeLine | None) -> tuple[Why, ...]:
    if line is None:
        return ()
    own = "its own" if line.energy_given else "the stated default"
    relation = f"ln(time) straight over 1/T, {own} energy of {line.activation_j_per_mol / 1000.0:.0f} kJ/mol"
    points = tuple(
        Why(f"{line.what} at {p.temp_c:g} °C", p.given_min, "min", "as on the sheet", f"{sheet.file}: {p.place}")
        for p in line.residuals
    )
    return (Why(f"{line.what} at 20 °C", line.at20_min, "min", relation, sheet.file or sheet.key, points),)


def _band(reading: ClockReading, question: HourQuestion) -> Why:
    relation = (
        f"5 to 95 % of {question.draws_count} believable curves of the sheet, each in a night off the forecast by a "
        f"normal error of ± {question.temp_band_c:g} °C (90 %, {NINETY_SD:.3f} standard deviations)"
    )
    return Why("90 % range", f"{reading.early_min:.1f} to {reading.late_min:.1f}", "min", relation, "house")


def _hours(reading: ClockReading) -> Why:
    """The clock by the hour of placing."""
    parts = []
    for one in reading.hours:
        band = one.band
        told = "never" if band.central_min is None else f"{band.central_min:.0f}"
        edges = " to ".join("never" if edge is None else f"{edge:.0f}" for edge in (band.early_min, band.late_min))
        frost = f"; freezes in {one.frost_share:.0%}" if one.frost_share > 0.0 else ""
        parts.append(
            Why(f"placed {one.start_min:.0f} min after shutting", told, "min", f"90 % range {edges}{frost}", "house")
        )
    return Why("by the hour of placing", f"{len(parts)} hours", "", "the same layer, each hour", "house", tuple(parts))
