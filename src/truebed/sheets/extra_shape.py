"""The shape of what a data sheet may say besides: binder, base, heat, spread, shrinkage, shelf, hardener."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from truebed.rules.shape import Celsius, NotNegative, Positive, Table, Text
from truebed.sheets.sheet import BaseState, DoseAt, DosedTimeAt, Heat, Movement, Shelf, Shrinkage, Spread, Thermal

Place = Annotated[Text, Field(description="where on the sheet it stands, e.g. 'page 2, table 4'")]
Percent = Annotated[float, Field(gt=0.0, le=100.0)]


class BinderTable(Table):
    """What binds it, in words."""

    text: Text = Field(description="kind of binder, e.g. 'calcium sulfoaluminate with cement'")
    place: Place


class BaseTable(Table):
    """Which states of the base the sheet allows."""

    dry: bool = Field(description="whether a dry base is allowed")
    damp: bool = Field(description="whether a damp base is allowed")
    wet: bool = Field(description="whether a wet base is allowed")
    place: Place


class HeatTable(Table):
    """Heat of the whole reaction, written one way or the other."""

    heat_kj_per_l: Positive | None = Field(default=None, description="in a litre of mix [kJ/litre]")
    heat_kj_per_kg: Positive | None = Field(default=None, description="in a kilogram of the kit's solids [kJ/kg]")
    most_c: Celsius | None = Field(default=None, description="hottest that a layer may get while it reacts [degC]")
    place: Place


class ThermalTable(Table):
    """Conductivity and heat capacity of the mix."""

    conduct_w_per_m_k: Positive | None = Field(default=None, description="thermal conductivity [W/(m K)]")
    store_kj_per_l_k: Positive | None = Field(default=None, description="heat capacity of a litre [kJ/(litre K)]")
    store_kj_per_kg_k: Positive | None = Field(default=None, description="heat capacity of a kilogram [kJ/(kg K)]")
    place: Place


class SpreadTable(Table):
    """Spread of a flowable."""

    least_mm: Positive = Field(description="least spread [mm]")
    most_mm: Positive = Field(description="greatest spread [mm]")
    place: Place


class ShrinkageTable(Table):
    """Greatest shrinkage."""

    shrinkage_mm_per_m: NotNegative = Field(description="millimetres in a metre [mm/m]")
    place: Place


class MovementTable(Table):
    """How much movement a sealant follows."""

    class_: Literal["7.5", "12.5", "20", "25"] = Field(
        alias="class", description="class of movement: per cent of the joint's width, each way"
    )
    place: Place


class ShelfTable(Table):
    """How long the unopened kit keeps."""

    months: Positive = Field(description="months from the date of making")
    place: Place


class DoseTable(Table):
    """Hardener at one temperature."""

    temp_c: Celsius = Field(description="temperature [degC]")
    least_pct: Percent = Field(description="least hardener, of the resin's mass [per cent]")
    most_pct: Percent = Field(description="most hardener, of the resin's mass [per cent]")
    place: Place


class DosedTimeTable(Table):
    """A resin's time at one temperature and dose."""

    temp_c: Celsius = Field(description="temperature [degC]")
    dose_pct: Percent = Field(description="hardener, of the resin's mass [per cent]")
    after_min: Positive = Field(description="minutes after mixing [minute]")
    place: Place


def base_of(table: BaseTable | None) -> BaseState | None:
    """The states of the base that the sheet allows.

    Source      house
    Proved by   tests/sheets/test_extra_values.py
    """
    return None if table is None else BaseState(table.dry, table.damp, table.wet, table.place)


def heat_of(table: HeatTable | None, solids_kg: float, yield_l: float) -> Heat | None:
    """Heat in a litre of mix, whichever way it is written.

    solids_kg, yield_l  of one kit: a kilogram of solids makes yield_l / solids_kg litres
    Valid       just one of the two ways written (sheet_checks)
    Source      algebra
    Proved by   tests/sheets/test_extra_values.py
    """
    if table is None:
        return None
    if table.heat_kj_per_l is not None:
        return Heat(table.heat_kj_per_l, f"{table.heat_kj_per_l:g} kJ/l", table.place, table.most_c)
    if table.heat_kj_per_kg is None:
        return None
    heat_kj_per_l = table.heat_kj_per_kg * solids_kg / yield_l
    return Heat(heat_kj_per_l, f"{table.heat_kj_per_kg:g} kJ/kg", table.place, table.most_c)


def thermal_of(table: ThermalTable | None, density_kg_per_l: float) -> Thermal | None:
    """Conductivity and heat capacity of a litre, whichever way the latter is written.

    Valid       heat capacity written one way at most (sheet_checks)
    Source      algebra
    Proved by   tests/sheets/test_extra_values.py
    """
    if table is None:
        return None
    store = table.store_kj_per_l_k
    if store is None and table.store_kj_per_kg_k is not None:
        store = table.store_kj_per_kg_k * density_kg_per_l
    return Thermal(table.conduct_w_per_m_k, store, table.place)


def spread_of(table: SpreadTable | None) -> Spread | None:
    """Spread of a flowable.

    Source      house
    Proved by   tests/sheets/test_extra_values.py
    """
    return None if table is None else Spread(table.least_mm, table.most_mm, table.place)


def shrinkage_of(table: ShrinkageTable | None) -> Shrinkage | None:
    """Greatest shrinkage.

    Source      house
    Proved by   tests/sheets/test_extra_values.py
    """
    return None if table is None else Shrinkage(table.shrinkage_mm_per_m, table.place)


def movement_of(table: MovementTable | None) -> Movement | None:
    """The class of movement of a sealant.

    Source      house
    Proved by   tests/sheets/test_extra_values.py
    """
    return None if table is None else Movement(table.class_, table.place)


def shelf_of(table: ShelfTable | None) -> Shelf | None:
    """Shelf life.

    Source      house
    Proved by   tests/sheets/test_extra_values.py
    """
    return None if table is None else Shelf(table.months, table.place)


def doses_of(rows: list[DoseTable]) -> tuple[DoseAt, ...]:
    """The dose table by temperature.

    Source      house
    Proved by   tests/sheets/test_extra_values.py
    """
    points = (DoseAt(row.temp_c, row.least_pct, row.most_pct, row.place) for row in rows)
    return tuple(sorted(points, key=lambda point: point.temp_c))


def dosed_times_of(rows: list[DosedTimeTable]) -> tuple[DosedTimeAt, ...]:
    """Times by temperature, then dose.

    Source      house
    Proved by   tests/sheets/test_extra_values.py
    """
    points = (DosedTimeAt(row.temp_c, row.dose_pct, row.after_min, row.place) for row in rows)
    return tuple(sorted(points, key=lambda point: (point.temp_c, point.dose_pct)))
