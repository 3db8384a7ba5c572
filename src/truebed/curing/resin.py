"""Gel and cure of a resin by temperature and hardener, from the sheet's own table; and the heat of a thick layer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from truebed.curing.between_points import time_between
from truebed.curing.dose import require_dose
from truebed.errors import NotDeterminedError
from truebed.sheets.sheet import DoseAt, DosedTimeAt, TimeAt


@dataclass(frozen=True, slots=True)
class DoseOrder:
    """time ~ dose^-order, fitted. residual_sd: of ln(time) about the fit; None where there is nothing over to tell."""

    order_ratio: float
    residual_sd: float | None
    points_count: int


@dataclass(frozen=True, slots=True)
class ResinTime:
    """A time at a temperature and a dose. order None: the sheet's own dose at all temperatures, nothing fitted."""

    minutes_min: float
    temp_c: float
    dose_pct: float
    order: DoseOrder | None
    activation_j_per_mol: float | None
    place: str


@dataclass(frozen=True, slots=True)
class LiftHeat:
    """How hot a lift gets in its middle at most. lifts_count: fewest equal lifts that stay below the limit."""

    adiabatic_c: float
    peak_c: float
    lifts_count: int
    lift_mm: float


def dose_order(times: Sequence[DosedTimeAt]) -> DoseOrder | None:
    """The order of a resin in its hardener: one slope of ln(time) over ln(dose).

    Each temperature has a level of its own. None where no temperature has two doses: an order is
    fitted, never assumed.

    Valid       times and doses above 0
    Source      algebra (least squares); power law of free-radical kinetics, from memory:
                0.5 ideal, nearer 1 with inhibitor
    Raises      NotDeterminedError where more hardener is slower
    Proved by   tests/curing/test_resin.py
    """
    across, up, groups = 0.0, 0.0, 0
    left: list[tuple[float, float]] = []
    for temp_c in sorted({row.temp_c for row in times}):
        own = [row for row in times if row.temp_c == temp_c]
        if len({row.dose_pct for row in own}) < 2:
            continue
        x = np.log([row.dose_pct for row in own])
        y = np.log([row.after_min for row in own])
        x, y, groups = x - x.mean(), y - y.mean(), groups + 1
        across, up = across + float(x @ y), up + float(x @ x)
        left += zip(x.tolist(), y.tolist(), strict=True)
    if not left:
        return None
    slope = across / up
    if slope > 0.0:
        raise NotDeterminedError("the sheet's times grow with more hardener; mend its table")
    free = len(left) - groups - 1
    error = math.sqrt(sum((y - slope * x) ** 2 for x, y in left) / free) if free > 0 else None
    return DoseOrder(-slope, error, len(left))


def resin_time(
    times: Sequence[DosedTimeAt], doses: Sequence[DoseAt], temp_c: float, dose_pct: float, what: str
) -> ResinTime:
    """The gel or cure time at a temperature and a dose: exactly a point's own value at the point.

    At each temperature of the sheet the time is taken to the dose, straight in ln(time) over ln(dose) between two of
    its doses, by the fitted order outside them; then by Arrhenius between the two temperatures that enclose the
    asked one.

    times       the gel rows, or the cure rows
    Valid       inside the sheet's dose table and temperatures
    Source      [astm-c1074] form between temperatures; power law between doses: algebra
    Raises      NotDeterminedError outside, or where one dose only is known and another is asked
    Proved by   tests/curing/test_resin.py, tests/published/test_resin_calibration.py
    """
    require_dose(doses, temp_c, dose_pct, what)
    order = dose_order(times)
    points = []
    for own_c in sorted({row.temp_c for row in times}):
        own = sorted((row for row in times if row.temp_c == own_c), key=lambda row: row.dose_pct)
        minutes = _to_dose_min(own, dose_pct, order)
        if minutes is not None:
            points.append(TimeAt(own_c, minutes, "; ".join(dict.fromkeys(row.place for row in own))))
    if not points:
        raise NotDeterminedError(
            f"{what}: its times are given at one dose for each temperature, so how they go with the dose is not known; "
            f"{dose_pct:g} % is not among them"
        )
    found = time_between(points, temp_c, what)
    both = "; ".join(dict.fromkeys((found.cold.place, found.warm.place)))
    return ResinTime(found.minutes_min, temp_c, dose_pct, order, found.activation_j_per_mol, both)


def _to_dose_min(own: Sequence[DosedTimeAt], dose_pct: float, order: DoseOrder | None) -> float | None:
    """The time of one temperature's rows at a dose; None where it would need an order that is not known."""
    for row in own:
        if math.isclose(row.dose_pct, dose_pct, rel_tol=1e-12):
            return row.after_min
    below = [row for row in own if row.dose_pct < dose_pct]
    above = [row for row in own if row.dose_pct > dose_pct]
    if below and above:
        low, high = below[-1], above[0]
        part = math.log(dose_pct / low.dose_pct) / math.log(high.dose_pct / low.dose_pct)
        return low.after_min * math.exp(part * math.log(high.after_min / low.after_min))
    if order is None:
        return None
    near = below[-1] if below else above[0]
    return near.after_min * math.exp(-order.order_ratio * math.log(dose_pct / near.dose_pct))


def lift_heat(
    thick_mm: float,
    start_c: float,
    most_c: float,
    heat_kj_per_l: float,
    store_kj_per_l_k: float,
    conduct_w_per_m_k: float,
    reaction_min: float,
) -> LiftHeat:
    """How hot a layer gets in one lift, and in how many equal lifts it stays below a limit.

    The base is held at the start's temperature and the top lets nothing out; heat comes as exp(-t/reaction). The first
    wave of the slab alone is taken and never more than the adiabatic rise: the true peak lies below it. Each lift is
    let cool before the next.

    reaction_min  time in which two thirds of the heat come; the gel time is a short, hence hot, guess
    Valid       all above 0
    Source      [carslaw-jaeger] first term of the slab's series; peak r^(r/(1-r)): algebra
    Raises      NotDeterminedError where even the start is too hot or a value cannot be
    Proved by   tests/curing/test_resin.py
    """
    values = (thick_mm, heat_kj_per_l, store_kj_per_l_k, conduct_w_per_m_k, reaction_min)
    if not all(0.0 < value < math.inf for value in values):
        raise NotDeterminedError("thickness, heat, heat capacity, conductivity and time of reaction must be above 0")
    if most_c <= start_c:
        raise NotDeterminedError(f"a resin at {start_c:g} °C is at its limit of {most_c:g} °C already; let it cool")
    full_k = heat_kj_per_l / store_kj_per_l_k
    spread_mm2_per_min = conduct_w_per_m_k / store_kj_per_l_k * 60.0
    rises = [_rise_ratio(thick_mm, spread_mm2_per_min * reaction_min)]
    count, allowed = 1, (most_c - start_c) / full_k
    while rises[-1] > allowed:
        count += 1
        rises.append(_rise_ratio(thick_mm / count, spread_mm2_per_min * reaction_min))
    return LiftHeat(start_c + full_k, start_c + full_k * rises[0], count, thick_mm / count)


def _rise_ratio(thick_mm: float, spread_mm2: float) -> float:
    """Greatest rise at the insulated face over the adiabatic one: first wave, never above 1."""
    r = math.pi**2 * spread_mm2 / (4.0 * thick_mm**2)
    shape = math.exp(-1.0) if abs(r - 1.0) < 1e-9 else math.exp(r * math.log(r) / (1.0 - r))
    return min(1.0, 4.0 / math.pi * shape)
