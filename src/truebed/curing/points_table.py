"""Maturity points per ten minutes against probe temperature: a sum that a crew keeps on paper, without signal.

A pour is ready when its points make a hundred. A row's points are ten minutes as a share of the time that the late draw
(95 %) takes at that temperature, rounded down; so a hundred is the late side, whatever the temperatures were.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, ZERO_K
from truebed.curing.binder import Binder, age_to_strength_min
from truebed.curing.binder_band import band_5_50_95, fixed_normals
from truebed.curing.now import REFERENCE_C
from truebed.curing.site_readings import ProbePlace
from truebed.errors import NotDeterminedError

Array = NDArray[np.float64]

#: A reading every so many minutes; the sum that is ready; draws apart from the binder's own.
EVERY_MIN, READY_POINTS, SEED = 10.0, 100.0, 20311109
#: Points are written in tenths, always down.
TENTHS_COUNT = 10.0


@dataclass(frozen=True, slots=True)
class PointsRow:
    """Points for ten minutes at a probe temperature, and the time to a hundred if it stayed there (None: never)."""

    temp_c: float
    ten_minutes_points: float
    alone_min: float | None


@dataclass(frozen=True, slots=True)
class PointsTable:
    """The rows from the sheet's least temperature to its greatest, for one target and one place of the probe."""

    target_n_per_mm2: float
    place: ProbePlace
    rows: tuple[PointsRow, ...]
    step_k: float
    draws_count: int

    def points_at(self, temp_c: float) -> float | None:
        """The points of the row at or below a temperature; None outside the table, which the sheet does not allow."""
        below = [row for row in self.rows if row.temp_c <= temp_c]
        if not below or temp_c > self.rows[-1].temp_c:
            return None
        return below[-1].ten_minutes_points


def points_table(
    draws: Sequence[Binder],
    target_n_per_mm2: float,
    place: ProbePlace,
    least_c: float,
    most_c: float,
    step_k: float = 1.0,
) -> PointsTable:
    """Points per ten minutes, row by row, for equally probable binders of one sheet.

    Each row takes its own late draw: of all pairs of a binder and a gap from probe to slowest spot, the time that 95 of
    100 keep within. Over any mixture of temperatures the sum then is at least as late: the logarithm of each draw's
    time is straight in 1/T, so its spread over a mixture is never more than the mixture of the spreads.

    Valid       target not past the sheet's last datum; whole rows from least_c up to most_c; nought where the slowest
                spot may be at 0 degC
    Source      [astm-c1074] form only; algebra; house (95 %, rounded down)
    Raises      NotDeterminedError where more than one draw in twenty never has the target
    Proved by   tests/curing/test_points_table.py
    """
    ages = np.array([age_to_strength_min(one, target_n_per_mm2) for one in draws])
    energies = np.array([one.activation_j_per_mol for one in draws])
    if not math.isfinite(band_5_50_95(ages)[2]):
        raise NotDeterminedError(
            f"No points for {target_n_per_mm2:g} N/mm²: in more than one of twenty believable cases it is never "
            "reached; take a lower strength, or ask the maker for a later datum."
        )
    colder = place.slower_c + place.slower_sd * fixed_normals(len(draws), 1, SEED)[:, 0]
    temps_c = np.arange(math.ceil(least_c), math.floor(most_c) + 1e-9, step_k)
    rows = tuple(_row(float(temp_c), ages, energies, colder) for temp_c in temps_c)
    return PointsTable(target_n_per_mm2, place, rows, step_k, len(draws))


def _row(temp_c: float, ages: Array, energies: Array, colder: Array) -> PointsRow:
    spots_c = temp_c - colder
    warm = np.maximum(spots_c, 1e-9)
    pulls = 1.0 / (ZERO_K + REFERENCE_C) - 1.0 / (ZERO_K + warm)
    with np.errstate(divide="ignore"):
        minutes = np.where((spots_c > 0.0) & (temp_c > 0.0), ages / np.exp(energies / GAS_J_PER_MOL_K * pulls), np.inf)
    late_min = band_5_50_95(minutes)[2]
    if not math.isfinite(late_min):
        return PointsRow(temp_c, 0.0, None)
    points = math.floor(TENTHS_COUNT * READY_POINTS * EVERY_MIN / late_min) / TENTHS_COUNT
    return PointsRow(temp_c, points, EVERY_MIN * READY_POINTS / points if points > 0.0 else None)


@dataclass(frozen=True, slots=True)
class SumRow:
    """One line of the form: minutes after placing, what the probe read, points of the ten minutes before, the sum."""

    after_min: float
    temp_c: float
    ten_minutes_points: float
    sum_points: float


def sum_rows(table: PointsTable, readings: Sequence[tuple[float, float]]) -> tuple[SumRow, ...]:
    """What a crew writes: the lower of the readings at both ends of a span counts, and only for ten minutes of it.

    readings    (minutes after placing, temperature), in order, about ten minutes apart; before the first nothing counts
    Valid       temperatures in the table; a span shorter than ten minutes counts in proportion
    Source      house (each choice the later one)
    Raises      NotDeterminedError at a temperature outside the table
    Proved by   tests/curing/test_points_table.py
    """
    rows: list[SumRow] = []
    for after_min, temp_c in readings:
        if table.points_at(temp_c) is None:
            raise NotDeterminedError(f"No points at {temp_c:g} °C: not allowed by the sheet.")
        own, total = 0.0, 0.0
        if rows:
            lower = table.points_at(min(temp_c, rows[-1].temp_c))
            span_min = min(after_min - rows[-1].after_min, EVERY_MIN)
            own = 0.0 if lower is None else lower * span_min / EVERY_MIN
            total = rows[-1].sum_points + own
        rows.append(SumRow(after_min, temp_c, own, total))
    return tuple(rows)
