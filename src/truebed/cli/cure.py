"""`truebed cure`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from truebed.cli.voice import tell

if TYPE_CHECKING:
    from truebed.actions.cure import CuredLayer
    from truebed.curing.release_table import ReleaseRow
    from truebed.curing.two_clocks import Band, TwoClocks

CLOUD_SHARE = {"clear": 0.0, "cloudy": 1.0}


@click.command()
@click.argument("sheet", type=click.Path(path_type=Path))
@click.option("--thick", "thick_mm", type=float, required=True, help="Thickness of the layer, mm.")
@click.option("--base", "base_c", type=float, required=True, help="Temperature of what lies below, °C.")
@click.option("--air", "air_c", type=float, required=True, help="Air, °C.")
@click.option("--mix", "mix_c", type=float, required=True, help="The mix when it is placed, °C.")
@click.option("--iron", "iron_mm", type=float, default=None, help="Thickness of the iron flange on the layer, mm.")
@click.option("--no-iron", is_flag=True, help="The layer lies open to the air.")
@click.option("--iron-temp", "iron_c", type=float, default=None, help="The iron's temperature, °C.")
@click.option("--strip", "strip_mm", type=float, default=None, help="Width of a flange that is open at its sides, mm.")
@click.option("--on", "below", type=click.Choice(["brick", "concrete", "ground"]), default="brick", show_default=True,
              help="What lies below.")  # fmt: skip
@click.option("--wind", "wind_m_per_s", type=float, default=None, help="Wind, m/s.")
@click.option("--sky", type=click.Choice(list(CLOUD_SHARE)), default=None, help="The night's sky.")
@click.option("--target", "target_n_per_mm2", type=float, default=None,
              help="Strength to wait for, N/mm²; else the sheet's traffic strength.")  # fmt: skip
@click.option("--table", "with_table", is_flag=True, help="Ready time against base temperature too.")
@click.option("--chart", type=click.Path(path_type=Path), default=None, help="Write a chart to this SVG file.")
@click.option("--json", "as_data", is_flag=True, help="As JSON, for other programs.")
def cure(
    sheet: Path,
    thick_mm: float,
    base_c: float,
    air_c: float,
    mix_c: float,
    iron_mm: float | None,
    no_iron: bool,
    iron_c: float | None,
    strip_mm: float | None,
    below: Literal["brick", "concrete", "ground"],
    wind_m_per_s: float | None,
    sky: str | None,
    target_n_per_mm2: float | None,
    with_table: bool,
    chart: Path | None,
    as_data: bool,
) -> None:
    """When one layer is ready, and how long it can be worked, from its sheet and the night's temperatures.

    SHEET is a sheets/<key>.toml (docs/sheets-and-methods.md); no works folder is needed. Heat of the mix, the iron,
    what lies below, wind and night sky are reckoned together; beside that stands what one temperature alone would say.
    """
    from truebed.actions import cure as action
    from truebed.curing.layer_night import LayerNight

    if no_iron == (iron_mm is not None):
        raise click.UsageError("say either --iron MM, the flange's thickness, or --no-iron")
    if chart is not None:
        action.refuse_chart(chart)
    checked = action.read_sheet(sheet)
    opening = action.opening_of(checked, target_n_per_mm2)
    cloud_share = None if sky is None else CLOUD_SHARE[sky]
    night = LayerNight(
        thick_mm, base_c, air_c, mix_c, opening.target_n_per_mm2, iron_mm, iron_c, wind_m_per_s, cloud_share, below,
        strip_mm,
    )  # fmt: skip
    found = action.cure_layer(checked, night, opening, with_table=with_table)
    if chart is not None:
        action.write_chart(found, chart)
        tell(f"chart written to {chart}")
    if as_data:
        click.echo(action.as_json(found))
        return
    for line in cure_lines(found):
        click.echo(line)
    click.echo("Truebed advises; a competent person decides, and tests on site where in doubt.")


#: An endless flange is a shorter wait than one whose sides are open (docs/theory/heat.md).
ENDLESS = " (endless flange; one about 100 mm wide can be 10 to 26 min later: give --strip)"


def cure_lines(found: CuredLayer) -> list[str]:
    """The whole answer in words."""
    clocks, night = found.clocks, found.clocks.night
    iron = "no iron on it" if night.iron_mm is None else f"under {night.iron_mm:g} mm of iron"
    lines = [
        f"{found.checked.sheet.key}: {found.checked.sheet.name}, {night.thick_mm:g} mm on {night.below}, {iron}",
        f"   air {night.air_c:g}, base {night.base_c:g}, mix {night.mix_c:g} °C; waits for "
        f"{night.target_n_per_mm2:g} N/mm² ({found.opening.source})",
        "",
    ]
    if clocks.frosted_share > 0.0:
        coldest = (
            ""
            if clocks.coldest_young_c is None
            else f"; coldest by the most probable, while weak: {clocks.coldest_young_c:.1f} °C"
        )
        lines.append(f"FROST in {clocks.frosted_share:.0%} of the believable curves{coldest}. Do not rely on a time.")
    lines += ["Minutes from placing            5 % early  most probable  95 % late"]
    lines.append(f"   ready for the target        {_band(clocks.ready)}")
    if clocks.life is not None:
        lines.append(f"   end of working life         {_band(clocks.life)}")
    lines += _for_the_night(clocks)
    lines += ["", *_isothermal_lines(clocks)]
    if found.table:
        lines += ["", *_table_lines(found.table)]
    lines += ["", *_fit_lines(found)]
    lines += ["", "What this rests on", *(f"   {note}" for note in clocks.notes)]
    gaps = found.checked.gaps
    return [*lines, *(["", "What cannot be told from this sheet", *(f"   {gap}" for gap in gaps)] if gaps else [])]


def _for_the_night(clocks: TwoClocks) -> list[str]:
    """The two figures to work by, and what governed them."""
    late_min = clocks.ready.late_min
    ready = "do not open: no time is believable" if late_min is None else f"do not open before {late_min:.0f} min"
    if clocks.frosted_share > 0.0:
        ready = "do not open on any of these times: frost is not ruled out"
    elif late_min is not None and clocks.night.iron_mm is not None and clocks.night.strip_mm is None:
        ready += ENDLESS
    lines = [f"   to work by: {ready}"]
    if clocks.life is not None:
        early_min = clocks.life.early_min
        life = "working life not determined" if early_min is None else f"place and work within {early_min:.0f} min"
        lines[0] += f"; {life}"
    if clocks.governed:
        lines.append(f"   last to be ready: {clocks.governed}; working life ends first where the layer is oldest")
    return lines


def _minutes(value: float | None, width: int) -> str:
    return f"{'-':>{width}}" if value is None else f"{value:{width}.0f}"


def _band(band: Band) -> str:
    return f"{_minutes(band.early_min, 10)}{_minutes(band.central_min, 15)}{_minutes(band.late_min, 11)}"


def _isothermal_lines(clocks: TwoClocks) -> list[str]:
    """What one temperature alone would say, and by how many minutes it is wrong."""
    lines = ["One temperature alone would say (minutes, and by how many it is wrong)"]
    for one in clocks.isothermal:
        line = f"   {one.where:5} {one.temp_c:5g} °C   ready {_minutes(one.ready_min, 5)} {_wait(one.ready_off_min)}"
        if one.life_min is not None:
            line += f"   working life {_minutes(one.life_min, 4)} {_life(one.life_off_min)}"
        lines.append(line)
    return lines


def _wait(off_min: float | None) -> str:
    if off_min is None:
        return "                      "
    word = "too early: UNSAFE" if off_min < -0.5 else "too late" if off_min > 0.5 else "right"
    return f"{off_min:+5.0f} {word:17}"


def _life(off_min: float | None) -> str:
    if off_min is None:
        return ""
    word = "too long: UNSAFE" if off_min > 0.5 else "too short" if off_min < -0.5 else "right"
    return f"{off_min:+5.0f} {word}"


def _table_lines(table: tuple[ReleaseRow, ...]) -> list[str]:
    lines = ["Ready against base temperature   5 % early  most probable  95 % late"]
    lines += [
        f"   {row.base_c:5g} °C                   {_band(row.ready)}" + (f"   {row.warning}" if row.warning else "")
        for row in table
    ]
    return lines


def _fit_lines(found: CuredLayer) -> list[str]:
    """The fit beside the sheet's points."""
    fitted = found.fitted
    lines = [
        f"Strength curve: {fitted.binder.form}, {fitted.form_share:.0%} probable; each point of the sheet beside it"
    ]
    lines += [
        f"   {row.temp_c:5g} °C {row.age_min:6g} min  given {row.given_n_per_mm2:5g} N/mm²  fitted "
        f"{row.fitted_n_per_mm2:6.2f}  difference {row.difference_n_per_mm2:+6.2f}  {row.place}"
        for row in fitted.residuals
    ]
    return lines
