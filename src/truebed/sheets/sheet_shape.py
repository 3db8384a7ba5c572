"""The shape of a data-sheet file (sheets/<key>.toml)."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from truebed.rules.shape import Celsius, Key, NotNegative, Positive, Table, Text
from truebed.sheets.extra_shape import (
    BaseTable,
    BinderTable,
    DosedTimeTable,
    DoseTable,
    HeatTable,
    MovementTable,
    Place,
    ShelfTable,
    ShrinkageTable,
    SpreadTable,
    ThermalTable,
    base_of,
    dosed_times_of,
    doses_of,
    heat_of,
    movement_of,
    shelf_of,
    shrinkage_of,
    spread_of,
    thermal_of,
)
from truebed.sheets.sheet import Kit, Limits, Sheet, StrengthAt, TimeAt


class KitTable(Table):
    """One kit. A sealant's cartridge is a kit whose own liquid is 0."""

    solids_kg: Positive = Field(description="mass of powder, resin or cartridge [kg]")
    liquid_part: Literal["water", "own"] = Field(description="'water' is measured out; 'own' is always used whole")
    liquid_least_l: NotNegative = Field(description="least liquid of one kit [litre]")
    liquid_most_l: NotNegative = Field(description="most liquid of one kit [litre]; equal to the least for 'own'")
    hold_back_l: NotNegative = Field(default=0.0, description="kept back until the mix is judged [litre]; 0 for 'own'")
    yield_l: Positive = Field(description="what one kit gives, mixed [litre]")
    fresh_density_kg_per_l: Positive = Field(description="density of the fresh mix [kg/litre]")
    mix_min: NotNegative = Field(description="mixing time [minute]")
    resin_kg: Positive | None = Field(default=None, description="mass that the hardener's dose is counted on [kg]")
    place: Place


class LimitsTable(Table):
    """Where the sheet lets the material be used."""

    thickness_least_mm: Positive = Field(description="thinnest layer [mm]")
    thickness_most_mm: Positive = Field(description="thickest layer [mm]")
    temp_least_c: Celsius = Field(description="coldest base, air and mix [degC]")
    temp_most_c: Celsius = Field(description="hottest base, air and mix [degC]")
    least_width_mm: NotNegative = Field(default=0.0, description="narrowest gap it may fill [mm]")
    base: str = Field(default="", description="state the base must be in")
    place: Place


class TrafficTable(Table):
    """The strength at which the sheet lets traffic on."""

    strength_n_per_mm2: Positive = Field(description="compressive strength [N/mm2]")
    place: Place


class TimeTable(Table):
    """A duration at one temperature."""

    temp_c: Celsius = Field(description="temperature [degC]")
    after_min: Positive = Field(description="minutes after mixing [minute]")
    place: Place


class StrengthTable(Table):
    """A compressive strength at one temperature and age."""

    temp_c: Celsius = Field(description="temperature [degC]")
    age_min: Positive = Field(description="age after mixing [minute]")
    strength_n_per_mm2: Positive = Field(description="compressive strength [N/mm2]")
    place: Place


class SheetFile(Table):
    """A material's data sheet (sheets/<key>.toml): its own values, each with its place on the sheet."""

    key: Key = Field(description="the file's name without .toml")
    name: Text
    kind: Literal["cement", "resin", "sealant"]
    edition: Text = Field(description="issue or date of the sheet")
    hazards: list[Key] = Field(default=[], description="keys of cautions to show")
    kit: KitTable
    limits: LimitsTable
    traffic: TrafficTable | None = None
    life: list[TimeTable] = Field(default=[], description="working life")
    set_: list[TimeTable] = Field(default=[], alias="set", description="initial set; resin: cured to walk on")
    ready: list[TimeTable] = Field(default=[], description="until traffic or the next layer, where times are given")
    strength: list[StrengthTable] = Field(default=[], description="strength points")
    binder: BinderTable | None = None
    base: BaseTable | None = None
    heat: HeatTable | None = None
    thermal: ThermalTable | None = None
    spread: SpreadTable | None = None
    shrinkage: ShrinkageTable | None = None
    shelf: ShelfTable | None = None
    movement: MovementTable | None = None
    dose: list[DoseTable] = Field(default=[], description="hardener by temperature")
    gel: list[DosedTimeTable] = Field(default=[], description="gel of a resin by temperature and dose")
    cure: list[DosedTimeTable] = Field(default=[], description="cure of a resin by temperature and dose")


def sheet_of(table: SheetFile, file: str) -> Sheet:
    """The sheet as the core knows it: points by temperature, then age.

    Source      house
    Proved by   tests/sheets/test_load_sheets.py
    """
    kit, limits = table.kit, table.limits
    return Sheet(
        key=table.key,
        name=table.name,
        kind=table.kind,
        edition=table.edition,
        kit=Kit(
            kit.solids_kg,
            kit.liquid_part,
            kit.liquid_least_l,
            kit.liquid_most_l,
            kit.yield_l,
            kit.fresh_density_kg_per_l,
            kit.mix_min,
            kit.resin_kg,
        ),
        limits=Limits(
            limits.thickness_least_mm,
            limits.thickness_most_mm,
            limits.temp_least_c,
            limits.temp_most_c,
            limits.least_width_mm,
            limits.base,
        ),
        life=_times(table.life),
        set_=_times(table.set_),
        strength=_strengths(table.strength),
        ready=_times(table.ready),
        traffic_strength_n_per_mm2=None if table.traffic is None else table.traffic.strength_n_per_mm2,
        hazards=tuple(table.hazards),
        file=file,
        hold_back_l=kit.hold_back_l,
        kit_place=kit.place,
        limits_place=limits.place,
        traffic_place="" if table.traffic is None else table.traffic.place,
        binder="" if table.binder is None else table.binder.text,
        binder_place="" if table.binder is None else table.binder.place,
        base_state=base_of(table.base),
        heat=heat_of(table.heat, kit.solids_kg, kit.yield_l),
        thermal=thermal_of(table.thermal, kit.fresh_density_kg_per_l),
        spread=spread_of(table.spread),
        shrinkage=shrinkage_of(table.shrinkage),
        shelf=shelf_of(table.shelf),
        dose=doses_of(table.dose),
        gel=dosed_times_of(table.gel),
        cure=dosed_times_of(table.cure),
        movement=movement_of(table.movement),
    )


def _times(rows: list[TimeTable]) -> tuple[TimeAt, ...]:
    points = (TimeAt(row.temp_c, row.after_min, row.place) for row in rows)
    return tuple(sorted(points, key=lambda point: point.temp_c))


def _strengths(rows: list[StrengthTable]) -> tuple[StrengthAt, ...]:
    points = (StrengthAt(row.temp_c, row.age_min, row.strength_n_per_mm2, row.place) for row in rows)
    return tuple(sorted(points, key=lambda point: (point.temp_c, point.age_min)))
