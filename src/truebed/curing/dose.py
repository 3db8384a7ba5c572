"""Hardener for a resin: what the sheet allows at a temperature, and the grams to weigh out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from truebed.curing.between_points import bracket_c
from truebed.errors import NotDeterminedError
from truebed.sheets.sheet import DoseAt


@dataclass(frozen=True, slots=True)
class DoseRange:
    """What the sheet allows at one temperature, in per cent of the resin's mass, and where it stands."""

    temp_c: float
    least_pct: float
    most_pct: float
    place: str


def dose_range(rows: Sequence[DoseAt], temp_c: float, what: str) -> DoseRange:
    """The least and the most hardener at a temperature: the sheet's own, straight between two of its rows.

    Valid       from the coldest to the hottest row
    Source      house (straight between neighbouring rows of the sheet)
    Raises      NotDeterminedError outside
    Proved by   tests/curing/test_dose.py
    """
    cold_c, warm_c = bracket_c([row.temp_c for row in rows], temp_c, f"dose of {what}")
    cold = next(row for row in rows if row.temp_c == cold_c)
    warm = next(row for row in rows if row.temp_c == warm_c)
    part = 0.0 if cold_c == warm_c else (temp_c - cold_c) / (warm_c - cold_c)
    least = cold.least_pct + part * (warm.least_pct - cold.least_pct)
    most = cold.most_pct + part * (warm.most_pct - cold.most_pct)
    return DoseRange(temp_c, least, most, "; ".join(dict.fromkeys((cold.place, warm.place))))


def require_dose(rows: Sequence[DoseAt], temp_c: float, dose_pct: float, what: str) -> DoseRange:
    """The range at a temperature, refused where this dose lies outside it.

    Valid       as dose_range
    Source      house (never past the sheet)
    Raises      NotDeterminedError 'dose outside the table', with both limits
    Proved by   tests/curing/test_dose.py
    """
    allowed = dose_range(rows, temp_c, what)
    slack_pct = 1e-9 * allowed.most_pct
    if not allowed.least_pct - slack_pct <= dose_pct <= allowed.most_pct + slack_pct:
        raise NotDeterminedError(
            f"{what}: dose outside the table: {dose_pct:g} % at {temp_c:g} °C; the sheet allows "
            f"{allowed.least_pct:.3g} to {allowed.most_pct:.3g} % ({allowed.place}). "
            "Keep to that, warm the resin and the base, or do not lay"
        )
    return allowed


def hardener_g(rows: Sequence[DoseAt], temp_c: float, dose_pct: float, resin_kg: float, what: str) -> float:
    """Grams of hardener to weigh out for a batch, after the dose is found inside the sheet's table.

    resin_kg    mass that the sheet counts the dose on: resin without filler, unless it says otherwise
    Valid       resin above 0
    Source      algebra
    Raises      NotDeterminedError for a dose outside the table or a batch that cannot be
    Proved by   tests/curing/test_dose.py
    """
    if not 0.0 < resin_kg < float("inf"):
        raise NotDeterminedError(f"{what}: a batch of {resin_kg:g} kg cannot be; give the resin's mass above 0")
    require_dose(rows, temp_c, dose_pct, what)
    return resin_kg * dose_pct * 10.0
