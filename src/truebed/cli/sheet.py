"""`truebed sheet check`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from truebed.actions.sheet_check import SheetChecked
    from truebed.curing.fitted import FittedBinder
    from truebed.sheets.sheet import Sheet

FORM_WORDS = {"exponential": "S = Su exp(-(tau/t)^shape)", "hyperbola": "S = Su (t - dead)/(tau + t - dead)"}


@click.group()
def sheet() -> None:
    """Material data sheets: read one and see what it can tell."""


@sheet.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_data", is_flag=True, help="As JSON, for other programs.")
def check(file: Path, as_data: bool) -> None:
    """Check one data sheet: faults, what it holds, its fitted strength curve, what it cannot tell.

    FILE is a sheets/<key>.toml of a works folder (docs/sheets-and-methods.md).
    """
    from truebed.actions.sheet_check import as_json, check_sheet

    checked = check_sheet(file)
    if as_data:
        click.echo(as_json(checked))
        return
    for line in sheet_lines(checked):
        click.echo(line)
    click.echo("Truebed advises; a competent person decides.")


def sheet_lines(checked: SheetChecked) -> list[str]:
    """The whole check in words."""
    one = checked.sheet
    lines = [f"{one.key}: {one.name} ({one.kind}, {one.edition}): no faults", *_held(one)]
    lines += _fit_lines(checked.fitted) if checked.fitted is not None else ["", checked.no_curve]
    lines += _traffic_lines(checked)
    lines += ["", "Times, each with an energy of its own"] if checked.lines_of_times else []
    for line in checked.lines_of_times:
        source = "the sheet's own" if line.energy_given else "the stated default: one temperature only"
        lines.append(f"   {line.what}: {line.activation_j_per_mol / 1000.0:.1f} kJ/mol ({source})")
        lines += [
            f"      {row.temp_c:5g} °C  given {row.given_min:7g} min  fitted {row.fitted_min:7.1f}  "
            f"difference {row.difference_min:+6.1f}  {row.place}"
            for row in line.residuals
        ]
    lines += ["", "What cannot be told from this sheet", *(f"   {gap}" for gap in checked.gaps)] if checked.gaps else []
    lines += ["", "Odd", *(f"   {odd}" for odd in checked.oddities)] if checked.oddities else []
    return lines


def _held(one: Sheet) -> list[str]:
    """What the sheet holds, a line each."""
    kit, limits = one.kit, one.limits
    lines = [
        f"   kit: {kit.solids_kg:g} kg, liquid {kit.liquid_least_l:g} to {kit.liquid_most_l:g} l, yields "
        f"{kit.yield_l:g} l ({one.kit_place})",
        f"   limits: {limits.thickness_least_mm:g} to {limits.thickness_most_mm:g} mm, {limits.temp_least_c:g} to "
        f"{limits.temp_most_c:g} °C ({one.limits_place})",
        f"   points: {len(one.life)} of working life, {len(one.set_)} of set, {len(one.ready)} of readiness, "
        f"{len(one.strength)} of strength",
    ]
    if one.traffic_strength_n_per_mm2 is not None:
        lines.append(f"   traffic strength: {one.traffic_strength_n_per_mm2:g} N/mm² ({one.traffic_place})")
    if one.binder:
        lines.append(f"   binder: {one.binder} ({one.binder_place})")
    if one.base_state is not None:
        states = (("dry", one.base_state.dry), ("damp", one.base_state.damp), ("wet", one.base_state.wet))
        allowed = ", ".join(word for word, may in states if may)
        lines.append(f"   base: {allowed} ({one.base_state.place})")
    if one.heat is not None:
        lines.append(f"   heat: {one.heat.heat_kj_per_l:g} kJ/l, on the sheet {one.heat.written} ({one.heat.place})")
    if one.thermal is not None:
        thermal = one.thermal
        parts = (
            "" if thermal.conduct_w_per_m_k is None else f"{thermal.conduct_w_per_m_k:g} W/(m K)",
            "" if thermal.store_kj_per_l_k is None else f"{thermal.store_kj_per_l_k:g} kJ/(l K)",
        )
        lines.append(f"   conductivity, heat capacity: {', '.join(part for part in parts if part)} ({thermal.place})")
    if one.spread is not None:
        lines.append(f"   spread: {one.spread.least_mm:g} to {one.spread.most_mm:g} mm ({one.spread.place})")
    if one.shrinkage is not None:
        lines.append(f"   shrinkage: {one.shrinkage.shrinkage_mm_per_m:g} mm/m ({one.shrinkage.place})")
    if one.shelf is not None:
        lines.append(f"   shelf life: {one.shelf.months_count:g} months ({one.shelf.place})")
    for name, dosed in (("gel", one.gel), ("cure", one.cure)):
        lines += [
            f"   {name} at {row.temp_c:g} °C with {row.dose_pct:g} %: {row.after_min:g} min ({row.place})"
            for row in dosed
        ]
    for dose in one.dose:
        lines.append(f"   hardener at {dose.temp_c:g} °C: {dose.least_pct:g} to {dose.most_pct:g} % ({dose.place})")
    return lines


def _traffic_lines(checked: SheetChecked) -> list[str]:
    """Minutes to the sheet's traffic strength at steady temperatures: early, most probable, late."""
    if not checked.to_traffic:
        return []
    lines = [
        "",
        "Minutes to the sheet's traffic strength, the layer held at one temperature (5 % early, likely, 95 % late)",
    ]
    for temp_c, found in checked.to_traffic:
        if isinstance(found, str):
            lines.append(f"   {temp_c:5g} °C  {found}")
            continue
        notes = f"   {'; '.join(found.notes)}" if found.notes else ""
        lines.append(
            f"   {temp_c:5g} °C  {found.early_min:7.0f}  {found.minutes_min:7.0f}  {found.late_min:7.0f}{notes}"
        )
    return lines


def _fit_lines(fitted: FittedBinder) -> list[str]:
    """The curve, its parameters, every point beside it, and what was taken for granted."""
    form = fitted.binder.form
    lines = [
        "",
        f"Strength curve: {form}, {FORM_WORDS[form]}, t at 20 °C; of the two forms the points make it "
        f"{fitted.form_share:.0%} probable",
        "   most probable, 90 % range, and how much of it the sheet itself gave",
    ]
    lines += [
        f"   {value.name:38} {value.value:8.4g} {value.unit:7} {value.low:8.4g} to {value.high:8.4g}   "
        f"{value.from_sheet_share:4.0%}"
        for value in fitted.parameters
    ]
    if fitted.error_factor_ratio > 1.0:
        lines.append(
            f"   The curve misses its points by more than their errors explain: all errors are widened "
            f"{fitted.error_factor_ratio:.2g} times. Look for a slip in the points below."
        )
    lines += ["", *_beside_lines(fitted), "", "Taken for granted"]
    return [*lines, *(f"   {prior.sentence()}" for prior in fitted.priors)]


def _beside_lines(fitted: FittedBinder) -> list[str]:
    """Every point of the sheet beside the curve."""
    lines = ["Each point beside the curve; last, the difference in standard deviations of what was allowed for it"]
    lines += [
        f"   {row.temp_c:5g} °C {row.age_min:6g} min  given {row.given_n_per_mm2:5g} N/mm²  fitted "
        f"{row.fitted_n_per_mm2:6.2f}  difference {row.difference_n_per_mm2:+6.2f}  {row.off_sd:+5.1f}  {row.place}"
        for row in fitted.residuals
    ]
    lines += [
        f"   {row.temp_c:5g} °C    set      given {row.given_min:5g} min    fitted {row.fitted_min:6.1f}  "
        f"difference {row.difference_min:+6.1f}  {row.off_sd:+5.1f}  {row.place}"
        for row in fitted.set_residuals
    ]
    return lines
