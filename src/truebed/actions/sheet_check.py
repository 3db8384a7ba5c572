"""Check one data sheet: its faults, what it holds, the curve fitted to it, what it cannot tell."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from truebed.curing.calibrate import TimeTo, fit_sheet, time_to
from truebed.curing.defaults import curing_defaults
from truebed.curing.fitted import FittedBinder
from truebed.curing.sheet_gaps import oddities, other_gaps, strength_gaps
from truebed.curing.time_line import TimeLine, fit_times
from truebed.errors import Fault, FaultsError, NotDeterminedError
from truebed.sheets.load import load_sheets
from truebed.sheets.sheet import Sheet

MOST_BYTES_COUNT = 1024 * 1024


@dataclass(frozen=True, slots=True)
class SheetChecked:
    """A sound sheet with its fit; `fitted` is None and `no_curve` says why where it gives no curve."""

    sheet: Sheet
    fitted: FittedBinder | None
    no_curve: str
    lines_of_times: tuple[TimeLine, ...]
    gaps: tuple[str, ...]
    oddities: tuple[str, ...]
    to_traffic: tuple[tuple[float, TimeTo | str], ...] = ()

    def as_data(self) -> dict[str, object]:
        """Everything as plain data, for other programs."""
        fitted = self.fitted
        return {
            "sheet": asdict(self.sheet),
            "fit": None if fitted is None else _fit_data(fitted),
            "no_curve": self.no_curve,
            "times": [asdict(line) for line in self.lines_of_times],
            "cannot_be_told": list(self.gaps),
            "odd": list(self.oddities),
            "to_traffic_strength": [
                {"temp_c": temp_c, "not_determined": found}
                if isinstance(found, str)
                else {"temp_c": temp_c, **asdict(found)}
                for temp_c, found in self.to_traffic
            ],
        }


def check_sheet(file: Path) -> SheetChecked:
    """One sheet, read and fitted. Raises FaultsError with every fault found."""
    sheet = _read(file)
    defaults = curing_defaults()
    fitted, no_curve = None, ""
    to_traffic: tuple[tuple[float, TimeTo | str], ...] = ()
    try:
        fitted = fit_sheet(sheet, defaults)
        to_traffic = _to_traffic(sheet, fitted)
    except NotDeterminedError as refused:
        no_curve = str(refused)
    named = (("working life", sheet.life), ("set", sheet.set_), ("readiness", sheet.ready))
    times = tuple(fit_times(points, sheet.kind, name, sheet.limits, defaults) for name, points in named if points)
    gaps = strength_gaps(sheet) if sheet.kind == "cement" else ()
    return SheetChecked(sheet, fitted, no_curve, times, (*gaps, *other_gaps(sheet)), oddities(sheet), to_traffic)


def _to_traffic(sheet: Sheet, fitted: FittedBinder) -> tuple[tuple[float, TimeTo | str], ...]:
    """Times to the traffic strength at the sheet's limits and at the temperatures tested between them."""
    target_n_per_mm2, limits = sheet.traffic_strength_n_per_mm2, sheet.limits
    if target_n_per_mm2 is None:
        return ()
    inside = {t for t in fitted.tested_c if limits.temp_least_c <= t <= limits.temp_most_c}
    found: list[tuple[float, TimeTo | str]] = []
    for temp_c in sorted(inside | {limits.temp_least_c, limits.temp_most_c}):
        try:
            found.append((temp_c, time_to(fitted, target_n_per_mm2, temp_c)))
        except NotDeterminedError as refused:
            found.append((temp_c, str(refused)))
    return tuple(found)


def as_json(checked: SheetChecked) -> str:
    """The check as JSON text."""
    return json.dumps(checked.as_data(), indent=2, ensure_ascii=False)


def _fit_data(fitted: FittedBinder) -> dict[str, object]:
    return {
        "binder": asdict(fitted.binder),
        "form_share": fitted.form_share,
        "parameters": [asdict(value) for value in fitted.parameters],
        "covariance": fitted.covariance,
        "strengths": [{**asdict(r), "difference_n_per_mm2": r.difference_n_per_mm2} for r in fitted.residuals],
        "sets": [{**asdict(r), "difference_min": r.difference_min} for r in fitted.set_residuals],
        "errors_widened_by": fitted.error_factor_ratio,
        "taken_for_granted": [asdict(prior) for prior in fitted.priors],
    }


def _read(file: Path) -> Sheet:
    """The sheet of that file, which names itself in its faults as the user named it."""
    name = str(file)
    if not file.is_file():
        raise FaultsError((Fault(name, 0, "", "no such file", "a data sheet, <key>.toml", "Mend the name."),))
    if file.suffix != ".toml":
        raise FaultsError((Fault(name, 0, "", f"'{file.name}'", "a file that ends in .toml", "Rename it."),))
    if file.stat().st_size > MOST_BYTES_COUNT:
        raise FaultsError((Fault(name, 0, "", "more than 1 MB", "a data sheet of a few kB", "Mend the name."),))
    sheets, faults = load_sheets({f"sheets/{file.name}": file.read_bytes()})
    if faults:
        raise FaultsError(tuple(replace(fault, file=name) for fault in faults))
    return replace(next(iter(sheets.values())), file=name)
