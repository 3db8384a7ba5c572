"""Findings and figures of resin and of the base it goes on, from the same values that the papers tell."""

from __future__ import annotations

from datetime import datetime

from truebed.curing.surfaces import weather_data
from truebed.findings import Finding, Severity, short_number
from truebed.plan.base_hours import HOUR, LaidHour, clock_text, reasons_text, spans_text
from truebed.plan.case import Case
from truebed.plan.resin_layers import DoseLine, ResinLayer, ResinLayers
from truebed.why import Figure, Why

LIFT = "[carslaw-jaeger] (memory-high): first wave of a slab on a cool base, an upper bound"


def cited(name: str) -> str:
    """The source of a figure of data/surfaces.toml, with how far it was read.

    Valid       a figure's name
    Source      data/surfaces.toml
    Proved by   tests/plan/test_resin_layers.py
    """
    figure = weather_data().figures[name]
    return f"[{figure.source}] ({figure.read_as})"


def resin_findings(case: Case, resin: ResinLayers) -> tuple[Finding, ...]:
    """What is found of resin, its base, and the drying of fresh mortar.

    Valid       layers of the same case
    Source      the sheets; [dew-chart], [uno-1998]; nothing is read past a sheet
    Proved by   tests/plan/test_resin_layers.py
    """
    found: list[Finding] = []
    for layer in resin.layers:
        subject = f"{case.cover.cover}, {layer.name}"
        found += [*_when(subject, layer), *_dose(subject, layer), *_lift(subject, layer)]
    return (*found, *_drying(case, resin))


def _when(subject: str, layer: ResinLayer) -> list[Finding]:
    """Whether, and when, the base lets the resin be laid."""
    if not layer.hours or all("dew-not-known" in h.advice for h in layer.hours):
        said = "no weather of the closure is given" if not layer.hours else "no humidity is given"
        mend = "Give humidity_pct in weather.csv; measure air, humidity and base before laying."
        what = f"whether dew keeps the resin off its base is not determined: {said}"
        return [Finding("RS-007", Severity.ADVICE, subject, what, source=cited("dew_margin_k"), mend=mend)]
    margin_k, source = weather_data()["dew_margin_k"], cited("dew_margin_k")
    limit = f"a dry face {margin_k:g} degC or more above the dew point"
    barred = tuple(h for h in layer.hours if h.allowed is False)
    found = _road_not_given(subject, layer)
    if not barred:
        return found
    why = reasons_text(tuple(key for h in barred for key in h.advice))
    if len(barred) == len(layer.hours):
        mend = "Dry and warm the base and tent it, choose another night, or a method without resin."
        what = f"the resin may be laid at no hour of the closure ({why})"
        return [Finding("RS-001", Severity.CLOSE, subject, what, limit=limit, source=source, mend=mend)]
    free = spans_text(tuple(h.at for h in layer.hours if h.allowed is not False))
    what = f"by the forecast the resin may be laid from {free} only; not in the other hours ({why})"
    mend = "Measure base, air and humidity before laying; dry and warm the base where the margin is short."
    return [*found, Finding("RS-002", Severity.ADVICE, subject, what, limit=limit, source=source, mend=mend)]


def _road_not_given(subject: str, layer: ResinLayer) -> list[Finding]:
    """Hours whose dew is left open because the forecast does not give the road."""
    unseen = tuple(h.at for h in layer.hours if "road-not-known" in h.advice)
    if not unseen:
        return []
    what = (
        f"whether dew keeps the resin off its base is not determined from {spans_text(unseen)}: no road is given, and "
        "under such a sky it may be too near the dew point"
    )
    mend = "Give road_temp_c in weather.csv; measure the base before laying."
    return [Finding("RS-007", Severity.ADVICE, subject, what, source=cited("dew_margin_k"), mend=mend)]


def placed_findings(case: Case, layer: ResinLayer, start: datetime, end: datetime) -> tuple[Finding, ...]:
    """Whether the programme lays a resin, from start to end, in an hour in which its base does not let it be laid.

    Valid       times inside the closure of the same case, end after start
    Source      as laid_hours
    Proved by   tests/plan/test_resin_layers.py
    """
    met = tuple(h for h in layer.hours if h.allowed is False and _meets(h, start, end))
    if not met:
        return ()
    why = reasons_text(tuple(key for h in met for key in h.advice))
    free = spans_text(tuple(h.at for h in layer.hours if h.allowed is not False))
    margin_k = weather_data()["dew_margin_k"]
    return (
        Finding(
            "RS-008", Severity.CLOSE, f"{case.cover.cover}, {layer.name}",
            f"the programme lays the resin from {clock_text(case, start)[11:16]} to {clock_text(case, end)[11:16]}, "
            f"when by the forecast its base does not allow it ({why})",
            limit=f"a dry face {margin_k:g} degC or more above the dew point; so {free or 'at no hour'}",
            source=cited("dew_margin_k"), mend="Dry, warm and tent the base and measure it, or lay the resin earlier.",
        ),
    )  # fmt: skip


def _meets(hour: LaidHour, start: datetime, end: datetime) -> bool:
    begins = datetime.fromisoformat(hour.at)
    return begins < end and begins + HOUR > start


def _dose(subject: str, layer: ResinLayer) -> list[Finding]:
    """What of hardener, gel and cure is not told, and why."""
    found = [
        Finding(
            "RS-004", Severity.ADVICE, subject, said.rstrip("."), source=layer.file,
            mend="Ask the maker, and complete the sheet; do not guess a dose.",
        )
        for said in layer.unknown
        if not said.startswith("No weather")
    ]  # fmt: skip
    if not layer.table:
        return found
    ends = (("coldest", layer.cold), ("hottest", layer.hot))
    for word, line in ends:
        if line.usual_pct is None:
            found.append(
                Finding(
                    "RS-005", Severity.CLOSE, subject, f"no dose of hardener at the {word} of the night: "
                    f"{line.why_not}", line.temp_c, "degC", "the sheet's own temperatures", layer.file,
                    "Warm or cool resin and base to inside the sheet, or do not lay.",
                )
            )  # fmt: skip
        elif line.why_not:
            found.append(
                Finding(
                    "RS-004", Severity.ADVICE, subject, f"at the {word} of the night: {line.why_not}", line.temp_c,
                    "degC", source=layer.file, mend="Ask the maker, and complete the sheet; do not guess a time.",
                )
            )  # fmt: skip
    return found


def _lift(subject: str, layer: ResinLayer) -> list[Finding]:
    lift, most_c = layer.lift, layer.lift_most_c
    if lift is None or most_c is None or lift.lifts_count == 1:
        return []
    mend = f"Lay it in {lift.lifts_count} lifts of {lift.lift_mm:.0f} mm, each let cool before the next."
    if lift.lift_mm < layer.thinnest_mm:
        mend = (
            f"{lift.lifts_count} lifts of {lift.lift_mm:.0f} mm would be thinner than the sheet's "
            f"{layer.thinnest_mm:g} mm: lay it on a cooler base, or choose another resin."
        )
    return [
        Finding(
            "RS-006", Severity.CLOSE, subject, f"{layer.thick_mm:.0f} mm of resin in one lift may get too hot, begun "
            f"at {short_number(layer.lift_start_c)} degC with the most hardener", lift.peak_c, "degC at most",
            f"at most {most_c:g} degC", layer.file, mend,
        )
    ]  # fmt: skip


def _drying(case: Case, resin: ResinLayers) -> list[Finding]:
    """Hours in which fresh mortar dries too fast."""
    fast = tuple(h for h in resin.base if h.drying_advice == "drying-cover")
    if not resin.cement or not fast:
        return []
    worst = max(fast, key=lambda h: -1.0 if h.drying_kg_per_m2_h is None else h.drying_kg_per_m2_h)
    mend = "Keep off the wind, mist the face, and cover it at once with sheeting."
    if case.closure is not None and case.closure.protection != "none":
        mend = (
            f"The closure plans a {case.closure.protection}: lay it at once, layer by layer, and mist what lies open."
        )
    taken = " (with a stated wind: the forecast gives none)" if worst.wind_taken else ""
    return [
        Finding(
            "RS-003", Severity.ADVICE, f"{case.cover.cover}, fresh mortar",
            f"bed, fill and backfill dry fast from {spans_text(tuple(h.at for h in fast))}{taken}; at most",
            worst.drying_kg_per_m2_h, "kg/m2 an hour", f"below {worst.drying_limit_kg_per_m2_h:g} kg/m2 an hour",
            cited("evaporation_most_kg_per_m2_h"), mend,
        )
    ]  # fmt: skip


def resin_figures(case: Case, resin: ResinLayers) -> tuple[tuple[str, Figure], ...]:
    """The figures of each pour of resin with their whys: '<cover>.resin.<pour>.dose-coldest' and so on.

    Valid       layers of the same case
    Source      the sheets' own tables
    Proved by   tests/plan/test_resin_layers.py
    """
    found: list[tuple[str, Figure]] = []
    for layer in resin.layers:
        name = f"{case.cover.cover}.resin.{layer.pour}"
        for word, line, temp in (
            ("coldest", layer.cold, case.temps.coldest_why),
            ("hottest", layer.hot, case.temps.hottest_why),
        ):
            found += _dose_figures(name, word, layer, line, temp)
        found.append((f"{name}.lift-peak", _lift_figure(layer)))
    return tuple(found)


def _dose_figures(name: str, word: str, layer: ResinLayer, line: DoseLine, temp: Why) -> list[tuple[str, Figure]]:
    place = f"{layer.file}: {line.place}" if line.place else layer.file
    ends = tuple(
        Why(f"{what} hardener", value, "%", "as the sheet allows, straight between its rows", place)
        for what, value in (("least", line.least_pct), ("most", line.most_pct))
        if value is not None
    )
    why_not = line.why_not or "; ".join(layer.unknown)
    usual = Why(
        f"hardener at the {word} of the night", "not determined" if line.usual_pct is None else line.usual_pct,
        "" if line.usual_pct is None else "%", why_not if line.usual_pct is None else "half way between least and most",
        "house", (temp, *ends),
    )  # fmt: skip
    found = [(f"{name}.dose-{word}", Figure(line.usual_pct, "%", usual))]
    mass = () if layer.resin_kg is None else (Why("mass dosed", layer.resin_kg, "kg", "one kit", layer.file),)
    for key, value, unit, what, relation in (
        ("hardener", None if line.usual_kg is None else line.usual_kg * 1000.0, "g", "hardener for one kit",
         "mass dosed x dose"),
        ("gel", line.gel_min, "min", "gel", "sheet's table: power law to the dose, Arrhenius between temperatures"),
        ("cure", line.cure_min, "min", "cure", "sheet's table: power law to the dose, Arrhenius between temperatures"),
    ):  # fmt: skip
        if value is None:
            why = Why(f"{what} at the {word}", "not determined", "", why_not, layer.file, (usual,))
        else:
            inputs = (usual, *mass) if key == "hardener" else (usual,)
            why = Why(f"{what} at the {word} of the night", value, unit, relation, layer.file, inputs)
        found.append((f"{name}.{key}-{word}", Figure(value, unit, why)))
    return found


def _lift_figure(layer: ResinLayer) -> Figure:
    lift, most_c = layer.lift, layer.lift_most_c
    thick = Why("thickest place of the layer", layer.thick_mm, "mm", "take-off", "algebra")
    start = Why("begun at", layer.lift_start_c, "degC", "highest of air, road and mix", "house")
    if lift is None or most_c is None:
        why_not = next((said for said in layer.unknown if said.startswith("How hot")), "not on the sheet")
        return Figure(None, "degC", Why("hottest of the layer", "not determined", "", why_not, layer.file, (thick,)))
    gel = () if layer.hot.quick_gel_min is None else (
        Why("heat comes as fast as the gel", layer.hot.quick_gel_min, "min", "at the most hardener", layer.file),
    )  # fmt: skip
    full = Why("with no heat lost", lift.adiabatic_c, "degC", "start + heat over heat capacity", layer.file)
    why = Why(
        "hottest of the layer in one lift, at most", lift.peak_c, "degC", "start + adiabatic rise x 4/pi r^(r/(1-r))",
        LIFT, (thick, start, *gel, full), f"hottest that the sheet lets a layer get: {most_c:g} degC",
        most_c - lift.peak_c,
    )  # fmt: skip
    return Figure(lift.peak_c, "degC", why)
