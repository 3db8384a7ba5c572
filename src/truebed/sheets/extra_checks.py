"""What must hold between the optional values of a data sheet, and temperatures that look like Fahrenheit."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Literal

from truebed.errors import Fault
from truebed.rules.toml_file import KeyPath, TomlFile
from truebed.sheets.extra_shape import DosedTimeTable
from truebed.sheets.sheet_shape import SheetFile

#: A material worked or tested above this is taken for a slip of Fahrenheit. House.
HOTTEST_C = 60.0
#: Limits that begin at freezing in Fahrenheit and end as a warm day in it: 32 to 59 °F is 0 to 15 °C. House.
FREEZING_F, WARM_F = 32.0, 59.0

DosedName = Literal["gel", "cure"]


def extra_faults(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Every fault of the optional values and of temperatures in Fahrenheit.

    Valid       a sheet whose shape is right
    Source      house
    Proved by   tests/sheets/test_extra_checks.py
    """
    dosed: tuple[tuple[DosedName, list[DosedTimeTable]], ...] = (("gel", sheet.gel), ("cure", sheet.cure))
    faults = (*_ways(file, sheet), *_ranges(file, sheet), *_doses(file, sheet), *_fahrenheit(file, sheet))
    faults += (*_dosed_mass(file, sheet), *_moves(file, sheet))
    for name, rows in dosed:
        faults += (*_dosed(file, name, rows), *_outside_doses(file, sheet, name, rows))
    return faults


def told_fahrenheit(faults: tuple[Fault, ...]) -> tuple[Fault, ...]:
    """Faults of shape, with Fahrenheit suspected where a temperature is above what any sheet's may be.

    Source      house
    Proved by   tests/sheets/test_extra_checks.py
    """
    return tuple(_suspected(fault) for fault in faults)


def _suspected(fault: Fault) -> Fault:
    if not (fault.column.endswith("_c") and fault.expected.startswith("at most")):
        return fault
    try:
        value_c = float(fault.found)
    except ValueError:
        return fault
    return replace(fault, mend=_mend(value_c))


def _mend(value_c: float) -> str:
    return f"It looks like Fahrenheit: {value_c:g} °F is {_celsius(value_c):.4g} °C. Write °C."


def _celsius(value: float) -> float:
    return (value - 32.0) * 5.0 / 9.0


def _fahrenheit(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Limits and points that make no sense in Celsius and do in Fahrenheit."""
    limits, faults = sheet.limits, []
    if limits.temp_least_c >= FREEZING_F and limits.temp_most_c >= WARM_F:
        found = f"{limits.temp_least_c:g} to {limits.temp_most_c:g} °C"
        own = f"{_celsius(limits.temp_least_c):.4g} to {_celsius(limits.temp_most_c):.4g} °C"
        mend = f"It looks like Fahrenheit: that range in °F is {own}. Write °C."
        faults.append(file.fault(("limits", "temp_least_c"), found, "limits in °C", mend))
    elif limits.temp_most_c > HOTTEST_C:
        found, at = f"{limits.temp_most_c:g} °C", ("limits", "temp_most_c")
        faults.append(file.fault(at, found, f"at most {HOTTEST_C:g} °C", _mend(limits.temp_most_c)))
    for path, temp_c in _point_temps(sheet):
        if temp_c > HOTTEST_C:
            expected = f"at most {HOTTEST_C:g} °C"
            faults.append(file.fault(path, f"{temp_c:g} °C", expected, _mend(temp_c)))
    return tuple(faults)


def _point_temps(sheet: SheetFile) -> list[tuple[KeyPath, float]]:
    temps_c = {
        "life": [row.temp_c for row in sheet.life],
        "set": [row.temp_c for row in sheet.set_],
        "ready": [row.temp_c for row in sheet.ready],
        "strength": [row.temp_c for row in sheet.strength],
        "dose": [row.temp_c for row in sheet.dose],
        "gel": [row.temp_c for row in sheet.gel],
        "cure": [row.temp_c for row in sheet.cure],
    }
    return [((name, index, "temp_c"), temp_c) for name, rows in temps_c.items() for index, temp_c in enumerate(rows)]


def _ways(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Heat written just one way, heat capacity one way at most, and no empty table."""
    faults: list[Fault] = []
    heat, thermal = sheet.heat, sheet.thermal
    if heat is not None and (heat.heat_kj_per_l is None) == (heat.heat_kj_per_kg is None):
        found = "neither value" if heat.heat_kj_per_l is None else "two values"
        faults.append(
            file.fault(("heat",), found, "heat_kj_per_l or heat_kj_per_kg", "Give the one that stands on the sheet.")
        )
    if thermal is None:
        return tuple(faults)
    stores = (thermal.store_kj_per_l_k, thermal.store_kj_per_kg_k)
    if None not in stores:
        expected = "store_kj_per_l_k or store_kj_per_kg_k"
        faults.append(file.fault(("thermal",), "both", expected, "Give the one that stands on the sheet."))
    if stores == (None, None) and thermal.conduct_w_per_m_k is None:
        expected = "conduct_w_per_m_k or a heat capacity"
        faults.append(file.fault(("thermal",), "no value", expected, "Give a value, or leave the table out."))
    return tuple(faults)


def _ranges(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Spread the right way round; a base that may be in some state."""
    faults: list[Fault] = []
    spread, base = sheet.spread, sheet.base
    if spread is not None and spread.least_mm > spread.most_mm:
        found = f"least {spread.least_mm:g} mm over most {spread.most_mm:g} mm"
        faults.append(file.fault(("spread", "least_mm"), found, "least <= most", "Swap them, or mend one."))
    if base is not None and not (base.dry or base.damp or base.wet):
        mend = "Say true for what the sheet allows, or leave the table out."
        faults.append(file.fault(("base",), "no state allowed", "dry, damp or wet allowed", mend))
    return tuple(faults)


def _dosed_mass(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """The mass that hardener is counted on: of a resin only, and no more than the kit weighs; a layer may get warm."""
    faults: list[Fault] = []
    kit, heat, at = sheet.kit, sheet.heat, ("kit", "resin_kg")
    whole_kg = kit.yield_l * kit.fresh_density_kg_per_l
    if kit.resin_kg is not None and sheet.kind != "resin":
        faults.append(file.fault(at, f"resin of a {sheet.kind}", "a resin", "Leave it out, or mend the kind."))
    elif kit.resin_kg is not None and kit.resin_kg > whole_kg:
        found, expected = f"{kit.resin_kg:g} kg", f"at most {whole_kg:.4g} kg, which the whole kit weighs"
        faults.append(file.fault(at, found, expected, "Give the mass that the sheet counts the dose on."))
    if heat is not None and heat.most_c is not None and heat.most_c <= sheet.limits.temp_most_c:
        found, expected = f"{heat.most_c:g} °C", f"more than the {sheet.limits.temp_most_c:g} °C of [limits]"
        faults.append(file.fault(("heat", "most_c"), found, expected, "Mend one of the two, or leave it out."))
    return tuple(faults)


def _moves(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    if sheet.movement is None or sheet.kind == "sealant":
        return ()
    return (file.fault(("movement",), f"[movement] of a {sheet.kind}", "a sealant", "Leave it out, or mend the kind."),)


def _doses(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Hardener: of a resin only, the right way round, no temperature twice, none that grows with temperature."""
    faults: list[Fault] = []
    rows = sheet.dose
    for name, given in (("dose", sheet.dose), ("gel", sheet.gel), ("cure", sheet.cure)):
        if given and sheet.kind != "resin":
            found = f"[[{name}]] of a {sheet.kind}"
            faults.append(file.fault((name,), found, "a resin", "Leave it out, or mend the kind."))
    for index, row in enumerate(rows):
        if row.least_pct > row.most_pct:
            found = f"least {row.least_pct:g} % over most {row.most_pct:g} %"
            faults.append(file.fault(("dose", index, "least_pct"), found, "least <= most", "Swap them, or mend one."))
    order = sorted(range(len(rows)), key=lambda index: rows[index].temp_c)
    for before, after in pairwise(order):
        cold, warm = rows[before], rows[after]
        if cold.temp_c == warm.temp_c:
            found = f"a second dose at {warm.temp_c:g} °C"
            faults.append(file.fault(("dose", after, "temp_c"), found, "one a temperature", "Keep one of them."))
        elif warm.most_pct > cold.most_pct or warm.least_pct > cold.least_pct:
            found = (
                f"{cold.least_pct:g} to {cold.most_pct:g} % at {cold.temp_c:g} °C and "
                f"{warm.least_pct:g} to {warm.most_pct:g} % at {warm.temp_c:g} °C"
            )
            expected = "a dose that does not grow with temperature"
            faults.append(file.fault(("dose", after, "most_pct"), found, expected, "Mend one of the two."))
    return tuple(faults)


def _dosed(file: TomlFile, name: DosedName, rows: list[DosedTimeTable]) -> tuple[Fault, ...]:
    """No point twice; no time that grows with temperature at one dose, or with dose at one temperature."""
    faults: list[Fault] = []
    for after, slow_or_same in enumerate(rows):
        for before, other in enumerate(rows):
            same_temp, same_dose = other.temp_c == slow_or_same.temp_c, other.dose_pct == slow_or_same.dose_pct
            if same_temp and same_dose:
                if before < after:
                    found = f"a second {name} at {other.temp_c:g} °C and {other.dose_pct:g} %"
                    at = (name, after, "after_min")
                    faults.append(file.fault(at, found, "one a point", "Keep one of them."))
                continue
            quicker = (same_dose and slow_or_same.temp_c > other.temp_c) or (
                same_temp and slow_or_same.dose_pct > other.dose_pct
            )
            if quicker and slow_or_same.after_min > other.after_min:
                found = f"{slow_or_same.after_min:g} min, but {other.after_min:g} min in {name}[{before + 1}]"
                expected = "a time that grows neither with temperature nor with hardener"
                faults.append(file.fault((name, after, "after_min"), found, expected, "Mend one of the two."))
    return tuple(faults)


def _outside_doses(file: TomlFile, sheet: SheetFile, name: DosedName, rows: list[DosedTimeTable]) -> tuple[Fault, ...]:
    """Times at a dose that the dose table allows nowhere."""
    if not sheet.dose:
        return ()
    least_pct = min(row.least_pct for row in sheet.dose)
    most_pct = max(row.most_pct for row in sheet.dose)
    return tuple(
        file.fault(
            (name, index, "dose_pct"),
            f"{row.dose_pct:g} %",
            f"a dose of the sheet's own table, {least_pct:g} to {most_pct:g} %",
            "Mend the dose, or the table.",
        )
        for index, row in enumerate(rows)
        if not least_pct <= row.dose_pct <= most_pct
    )
