"""Resin in the plan: hardener to weigh out, gel and cure, heat of a lift, and when the base lets it be laid."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from truebed.curing.dose import dose_range, hardener_g
from truebed.curing.resin import LiftHeat, lift_heat, resin_time
from truebed.errors import NotDeterminedError
from truebed.mixing.kits import RoleVolume
from truebed.plan.base_hours import BaseHour, LaidHour, base_hours, laid_hours
from truebed.plan.case import Case
from truebed.plan.clocks import sheet_of
from truebed.sheets.sheet import DosedTimeAt, Sheet

#: Steps of the site's table of doses [degC].
TABLE_STEP_C = 5.0
#: Grams in a kilogram.
GRAMS_COUNT = 1000.0


@dataclass(frozen=True, slots=True)
class DoseLine:
    """Hardener at one temperature, and what it does. usual: half way between the least and the most allowed.

    temp_from  what the temperature is of: 'air at 04:00'; '' in the table for the site
    *_kg       hardener for one kit; None where the sheet does not say what its dose is counted on
    gel_min, cure_min  at the usual dose; quick_gel_min: at the most
    why_not    why something is not told: '' where all is; nothing is read past the sheet
    """

    temp_c: float
    temp_from: str
    least_pct: float | None
    usual_pct: float | None
    most_pct: float | None
    least_kg: float | None
    usual_kg: float | None
    most_kg: float | None
    gel_min: float | None
    quick_gel_min: float | None
    cure_min: float | None
    why_not: str
    place: str


@dataclass(frozen=True, slots=True)
class ResinLayer:
    """One pour of resin.

    thick_mm    thickest place of the layer
    cold, hot   hardener at the closure's lowest and highest temperature; table: every 5 degC that the sheet allows
    lift        heat of the whole layer in one go, started at lift_start_c; None where it is not determined (unknown)
    hours       when it may be laid; unknown: what the sheet or the forecast leave open
    """

    pour: str
    sheet: str
    name: str
    file: str
    thick_mm: float
    resin_kg: float | None
    cold: DoseLine
    hot: DoseLine
    table: tuple[DoseLine, ...]
    lift: LiftHeat | None
    lift_start_c: float
    lift_most_c: float | None
    thinnest_mm: float
    hours: tuple[LaidHour, ...]
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ResinLayers:
    """The closure's hours at the base, and every pour of resin. mix_c: of what is mixed; cement: whether any is."""

    base: tuple[BaseHour, ...]
    layers: tuple[ResinLayer, ...]
    mix_c: float | None
    cement: bool


def resin_layers(case: Case, volumes: Sequence[RoleVolume]) -> ResinLayers:
    """Every pour of resin of a case, and the hours of its closure at the base.

    Valid       volumes of the same case
    Source      the sheets' own tables; truebed.curing.resin, .dose, .dew, .evaporation
    Proved by   tests/plan/test_resin_layers.py
    """
    hours = base_hours(case)
    layers = []
    for pour in case.method.pours():
        sheet = sheet_of(case.method, pour, case.sheets)
        if sheet.kind == "resin" or sheet.dose:
            thick = [v.most_mm for v in volumes if v.pour == pour]
            layers.append(resin_layer(case, pour, sheet, max(thick, default=0.0), hours))
    mix_c = None if case.closure is None else case.closure.mix_temp_c
    cement = any(case.sheets[role.sheet].kind == "cement" for role in case.method.roles)
    return ResinLayers(hours, tuple(layers), mix_c, cement)


def resin_layer(case: Case, pour: str, sheet: Sheet, thick_mm: float, hours: tuple[BaseHour, ...]) -> ResinLayer:
    """One pour of resin.

    Valid       a sheet of the case's own method
    Source      as resin_layers
    Proved by   tests/plan/test_resin_layers.py
    """
    temps = case.temps
    cold = dose_line(sheet, temps.coldest_c, temps.coldest_from)
    hot = dose_line(sheet, temps.hottest_c, temps.hottest_from)
    lift, why_no_lift = lift_of(sheet, thick_mm, hot)
    unknown = [*_sheet_leaves_open(sheet), *((why_no_lift,) if why_no_lift else ())]
    if not hours:
        unknown.append("No weather of the closure: dew on the base is not determined; measure it before laying.")
    laid = () if case.closure is None else laid_hours(sheet, hours, case.closure.mix_temp_c)
    return ResinLayer(
        pour=pour,
        sheet=sheet.key,
        name=sheet.name,
        file=sheet.file,
        thick_mm=thick_mm,
        resin_kg=sheet.kit.resin_kg,
        cold=cold,
        hot=hot,
        table=tuple(dose_line(sheet, temp_c, "") for temp_c in table_temps_c(sheet)),
        lift=lift,
        lift_start_c=temps.hottest_c,
        lift_most_c=None if sheet.heat is None else sheet.heat.most_c,
        thinnest_mm=sheet.limits.thickness_least_mm,
        hours=laid,
        unknown=tuple(unknown),
    )


def dose_line(sheet: Sheet, temp_c: float, temp_from: str) -> DoseLine:
    """Hardener, gel and cure at one temperature; what the sheet does not give there is None and said.

    Valid       any temperature: outside the sheet nothing is told
    Source      the sheet's tables (truebed.curing.dose, truebed.curing.resin); usual dose half way: house
    Proved by   tests/plan/test_resin_layers.py
    """
    limits = sheet.limits
    try:
        if not limits.temp_least_c <= temp_c <= limits.temp_most_c:
            raise NotDeterminedError(
                f"{temp_c:g} °C is not allowed by the sheet of {sheet.name}: {limits.temp_least_c:g} to "
                f"{limits.temp_most_c:g} °C ({sheet.limits_place})"
            )
        allowed = dose_range(sheet.dose, temp_c, sheet.name)
    except NotDeterminedError as unknown:
        return DoseLine(temp_c, temp_from, *((None,) * 9), why_not=str(unknown), place="")
    usual = (allowed.least_pct + allowed.most_pct) / 2.0
    gel, why_gel = _time(sheet, sheet.gel, "gel", temp_c, usual)
    quick, _ = _time(sheet, sheet.gel, "gel", temp_c, allowed.most_pct)
    cure, why_cure = _time(sheet, sheet.cure, "cure", temp_c, usual)
    why_not = "; ".join(why for why in (why_gel, why_cure) if why)
    least, middle, most = (_kit_kg(sheet, temp_c, dose) for dose in (allowed.least_pct, usual, allowed.most_pct))
    return DoseLine(
        temp_c,
        temp_from,
        allowed.least_pct,
        usual,
        allowed.most_pct,
        least,
        middle,
        most,
        gel,
        quick,
        cure,
        why_not=why_not,
        place=allowed.place,
    )


def _time(
    sheet: Sheet, rows: tuple[DosedTimeAt, ...], what: str, temp_c: float, dose_pct: float
) -> tuple[float | None, str]:
    try:
        return resin_time(rows, sheet.dose, temp_c, dose_pct, f"{what} of {sheet.name}").minutes_min, ""
    except NotDeterminedError as unknown:
        return None, str(unknown)


def _kit_kg(sheet: Sheet, temp_c: float, dose_pct: float) -> float | None:
    resin_kg = sheet.kit.resin_kg
    return None if resin_kg is None else hardener_g(sheet.dose, temp_c, dose_pct, resin_kg, sheet.name) / GRAMS_COUNT


def table_temps_c(sheet: Sheet) -> tuple[float, ...]:
    """The temperatures of the site's table: every 5 degC that limits and doses allow, and both ends.

    Valid       any sheet; none without doses
    Source      house (writing)
    Proved by   tests/plan/test_resin_layers.py
    """
    if not sheet.dose:
        return ()
    least_c = max(sheet.limits.temp_least_c, min(row.temp_c for row in sheet.dose))
    most_c = min(sheet.limits.temp_most_c, max(row.temp_c for row in sheet.dose))
    if least_c > most_c:
        return ()
    first, last = math.ceil(least_c / TABLE_STEP_C), math.floor(most_c / TABLE_STEP_C)
    return tuple(sorted({least_c, most_c, *(TABLE_STEP_C * step for step in range(first, last + 1))}))


def lift_of(sheet: Sheet, thick_mm: float, hot: DoseLine) -> tuple[LiftHeat | None, str]:
    """Heat of the layer in one go on the hottest base, with the most hardener that is allowed there; else why not.

    The heat is taken to come as fast as the gel: a short, hence hot guess.

    Valid       a layer of some thickness
    Source      truebed.curing.resin.lift_heat; the sheet's heat, heat capacity, conductivity and hottest layer
    Proved by   tests/plan/test_resin_layers.py
    """
    heat, thermal = sheet.heat, sheet.thermal
    missing = [
        word
        for word, absent in (
            ("heat of its reaction", heat is None),
            ("hottest temperature of a layer (heat.most_c)", heat is None or heat.most_c is None),
            ("heat capacity", thermal is None or thermal.store_kj_per_l_k is None),
            ("conductivity", thermal is None or thermal.conduct_w_per_m_k is None),
            ("gel at the night's highest temperature", hot.quick_gel_min is None),
        )
        if absent
    ]
    said = f"How hot {sheet.name} gets in one lift is not determined: no "
    if heat is None or heat.most_c is None or thermal is None or hot.quick_gel_min is None:
        return None, f"{said}{', '.join(missing)}."
    if thermal.store_kj_per_l_k is None or thermal.conduct_w_per_m_k is None:
        return None, f"{said}{', '.join(missing)}."
    try:
        found = lift_heat(
            thick_mm,
            hot.temp_c,
            heat.most_c,
            heat.heat_kj_per_l,
            thermal.store_kj_per_l_k,
            thermal.conduct_w_per_m_k,
            hot.quick_gel_min,
        )
    except NotDeterminedError as unknown:
        return None, f"How hot {sheet.name} gets in one lift is not determined: {unknown}."
    return found, ""


def _sheet_leaves_open(sheet: Sheet) -> tuple[str, ...]:
    """What the sheet would have to say for hardener to be weighed out."""
    if not sheet.dose:
        return (f"The sheet of {sheet.name} has no table of doses: hardener cannot be weighed out from it.",)
    if sheet.kit.resin_kg is None:
        return (
            f"The sheet of {sheet.name} does not say which mass its dose is counted on (kit.resin_kg): per cent are "
            "told, grams are not.",
        )
    return ()
