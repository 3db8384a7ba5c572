"""What must hold between the values of one data sheet."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from truebed.errors import Fault
from truebed.rules.toml_file import TomlFile
from truebed.sheets.extra_checks import extra_faults
from truebed.sheets.sheet_shape import SheetFile, StrengthTable, TimeTable

#: Mass of one litre of mixing water [kg/litre], to three figures at any temperature a mortar is mixed at.
WATER_KG_PER_L = 1.0
#: How far a kit's stated yield may stand off its mass over its density; a slip of the pen is far larger. House.
YIELD_BAND_SHARE = 0.05

TimeName = Literal["life", "set", "ready"]


def sheet_faults(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Every fault that needs more than one value of the sheet to be seen.

    Valid       a sheet whose shape is right
    Source      house
    Proved by   tests/sheets/test_sheet_checks.py
    """
    faults = (*_key(file, sheet), *_kit(file, sheet), *_yield(file, sheet), *_limits(file, sheet))
    faults += _needed_points(file, sheet)
    named: tuple[tuple[TimeName, list[TimeTable]], ...] = (
        ("life", sheet.life),
        ("set", sheet.set_),
        ("ready", sheet.ready),
    )
    for name, rows in named:
        faults += _times(file, name, rows)
    return (*faults, *_strengths(file, sheet.strength), *extra_faults(file, sheet))


def _key(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    if sheet.key == file.stem:
        return ()
    mend = f'Write key = "{file.stem}", or rename the file.'
    return (file.fault(("key",), f"'{sheet.key}'", f"the file's own name '{file.stem}'", mend),)


def _kit(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Liquid and mixing of one kit."""
    kit = sheet.kit
    faults: list[Fault] = []
    if kit.liquid_least_l > kit.liquid_most_l:
        found = f"least {kit.liquid_least_l:g} l over most {kit.liquid_most_l:g} l"
        faults.append(file.fault(("kit", "liquid_least_l"), found, "least <= most", "Swap them, or mend one."))
    if kit.liquid_part == "own":
        if kit.liquid_least_l != kit.liquid_most_l:
            found = f"{kit.liquid_least_l:g} to {kit.liquid_most_l:g} l"
            expected = "one amount: a two-part kit is mixed whole"
            faults.append(file.fault(("kit", "liquid_most_l"), found, expected, "Give the same value twice."))
        if kit.hold_back_l > 0.0:
            expected = "0: nothing of a two-part kit is held back"
            faults.append(file.fault(("kit", "hold_back_l"), f"{kit.hold_back_l:g} l", expected, "Leave it out."))
    elif kit.hold_back_l >= kit.liquid_least_l:
        found = f"{kit.hold_back_l:g} l held back of {kit.liquid_least_l:g} l"
        faults.append(file.fault(("kit", "hold_back_l"), found, "less than the kit's least water", "Mend one of them."))
    if sheet.kind != "sealant" and kit.mix_min == 0.0:
        faults.append(file.fault(("kit", "mix_min"), "0", "the sheet's mixing time", "Give the minutes."))
    return tuple(faults)


def _yield(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Mass over density must give the stated yield somewhere in the water's range."""
    kit = sheet.kit
    if sheet.kind != "cement" or kit.liquid_part != "water" or kit.liquid_least_l > kit.liquid_most_l:
        return ()
    least_l = (kit.solids_kg + kit.liquid_least_l * WATER_KG_PER_L) / kit.fresh_density_kg_per_l
    most_l = (kit.solids_kg + kit.liquid_most_l * WATER_KG_PER_L) / kit.fresh_density_kg_per_l
    if least_l * (1.0 - YIELD_BAND_SHARE) <= kit.yield_l <= most_l * (1.0 + YIELD_BAND_SHARE):
        return ()
    found = f"{kit.yield_l:g} l, but mass over density gives {least_l:.2f} to {most_l:.2f} l"
    expected = f"a yield within {YIELD_BAND_SHARE:.0%} of mass over density"
    return (file.fault(("kit", "yield_l"), found, expected, "Mend the yield, the masses or the density."),)


def _limits(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Ranges the right way round."""
    limits = sheet.limits
    faults: list[Fault] = []
    if limits.thickness_least_mm > limits.thickness_most_mm:
        found = f"least {limits.thickness_least_mm:g} mm over most {limits.thickness_most_mm:g} mm"
        faults.append(file.fault(("limits", "thickness_least_mm"), found, "least <= most", "Swap them, or mend one."))
    if limits.temp_least_c >= limits.temp_most_c:
        found = f"least {limits.temp_least_c:g} °C, most {limits.temp_most_c:g} °C"
        faults.append(file.fault(("limits", "temp_least_c"), found, "least below most", "Swap them, or mend one."))
    return tuple(faults)


def _needed_points(file: TomlFile, sheet: SheetFile) -> tuple[Fault, ...]:
    """Life, set and cure points without which no clock can be read."""
    faults: list[Fault] = []
    if sheet.kind in ("cement", "resin"):
        for name, rows in (("life", sheet.life), ("set", sheet.set_)):
            if not rows:
                expected = f"at least one [[{name}]] for a {sheet.kind}"
                faults.append(file.fault((name,), "nothing", expected, f"Add the sheet's {name} with its temperature."))
    if not sheet.strength and not sheet.ready:
        expected = "at least one [[strength]] or [[ready]]"
        mend = "A sheet with no cure point cannot open a road: add its strengths or its times."
        faults.append(file.fault(("strength",), "no cure point", expected, mend))
    return tuple(faults)


def _times(file: TomlFile, name: TimeName, rows: list[TimeTable]) -> tuple[Fault, ...]:
    """No temperature twice, no time that grows with temperature."""
    faults: list[Fault] = []
    order = sorted(range(len(rows)), key=lambda index: rows[index].temp_c)
    for before, after in pairwise(order):
        cold, warm = rows[before], rows[after]
        if cold.temp_c == warm.temp_c:
            found = f"a second {name} at {warm.temp_c:g} °C"
            faults.append(file.fault((name, after, "temp_c"), found, "one a temperature", "Keep one of them."))
        elif warm.after_min > cold.after_min:
            found = f"{cold.after_min:g} min at {cold.temp_c:g} °C and {warm.after_min:g} min at {warm.temp_c:g} °C"
            expected = "a time that does not grow with temperature"
            faults.append(file.fault((name, after, "after_min"), found, expected, "Mend one of the two."))
    return tuple(faults)


def _strengths(file: TomlFile, rows: list[StrengthTable]) -> tuple[Fault, ...]:
    """No point twice, no strength that falls with age."""
    faults: list[Fault] = []
    order = sorted(range(len(rows)), key=lambda index: (rows[index].temp_c, rows[index].age_min))
    for before, after in pairwise(order):
        young, old = rows[before], rows[after]
        if young.temp_c != old.temp_c:
            continue
        if young.age_min == old.age_min:
            found = f"a second strength at {old.temp_c:g} °C and {old.age_min:g} min"
            faults.append(file.fault(("strength", after, "age_min"), found, "one a point", "Keep one of them."))
        elif old.strength_n_per_mm2 < young.strength_n_per_mm2:
            found = (
                f"{young.strength_n_per_mm2:g} N/mm² at {young.age_min:g} min (strength[{before + 1}]) and "
                f"{old.strength_n_per_mm2:g} N/mm² at {old.age_min:g} min, both at {old.temp_c:g} °C"
            )
            expected = "a strength that does not fall with age"
            faults.append(
                file.fault(("strength", after, "strength_n_per_mm2"), found, expected, "Mend one of the two.")
            )
    return tuple(faults)
