"""One layer without a works folder: its sheet and the night's temperatures, to ready times and a chart."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path

from truebed.actions.sheet_check import SheetChecked, check_sheet
from truebed.curing.defaults import curing_defaults
from truebed.curing.fitted import FittedBinder
from truebed.curing.layer_night import LayerNight
from truebed.curing.release_table import ReleaseRow, release_table
from truebed.curing.strength_band import LayerCourse, layer_course
from truebed.curing.surfaces import weather_data
from truebed.curing.time_line import fit_times
from truebed.curing.two_clocks import Asked, TwoClocks, two_clocks
from truebed.drawings.cure_chart import TITLE, cure_chart_svg
from truebed.errors import NotDeterminedError
from truebed.store.one_file import refuse_foreign, write_file

#: How a chart of ours begins: any drawing of Truebed's.
BEGINS = b'<svg xmlns="http://www.w3.org/2000/svg" width="'
TABLE_STEP_K = 2.0


@dataclass(frozen=True, slots=True)
class Opening:
    """The strength waited for, and whose word it is."""

    target_n_per_mm2: float
    source: str


@dataclass(frozen=True, slots=True)
class CuredLayer:
    """An answer with what it rests on. table: () where none was asked for."""

    checked: SheetChecked
    fitted: FittedBinder
    opening: Opening
    clocks: TwoClocks
    table: tuple[ReleaseRow, ...]

    def as_data(self) -> dict[str, object]:
        """Everything as plain data, for other programs."""
        fitted = self.fitted
        return {
            "sheet": self.checked.sheet.key,
            "target_source": self.opening.source,
            "clocks": asdict(self.clocks),
            "fit": {
                "form": fitted.binder.form,
                "form_share": fitted.form_share,
                "strengths": [{**asdict(r), "difference_n_per_mm2": r.difference_n_per_mm2} for r in fitted.residuals],
                "sets": [{**asdict(r), "difference_min": r.difference_min} for r in fitted.set_residuals],
                "taken_for_granted": [asdict(prior) for prior in fitted.priors],
            },
            "release_table": [asdict(row) for row in self.table],
            "cannot_be_told": list(self.checked.gaps),
        }


def opening_of(checked: SheetChecked, target_n_per_mm2: float | None) -> Opening:
    """The strength given, else the sheet's traffic strength. Raises NotDeterminedError where there is neither."""
    if target_n_per_mm2 is not None:
        return Opening(target_n_per_mm2, "as asked")
    sheet = checked.sheet
    if sheet.traffic_strength_n_per_mm2 is None:
        raise NotDeterminedError(
            f"{sheet.key}: the strength to wait for is not determined: the sheet has no traffic strength; give --target"
        )
    return Opening(
        sheet.traffic_strength_n_per_mm2, f"the sheet's traffic strength, {sheet.traffic_place}".rstrip(", ")
    )


def cure_layer(checked: SheetChecked, night: LayerNight, opening: Opening, *, with_table: bool) -> CuredLayer:
    """Both clocks of a layer and its release table.

    Raises FaultsError for values that cannot be, NotDeterminedError for what the sheet does not give or allow.
    """
    asked, fitted = _asked(checked)
    clocks = two_clocks(night, asked)
    table = release_table(night, asked, TABLE_STEP_K) if with_table else ()
    return CuredLayer(checked, fitted, opening, clocks, table)


def write_chart(found: CuredLayer, out: Path) -> LayerCourse:
    """The chart as one SVG file, whole or not at all. Raises OutputInTheWayError."""
    refuse_chart(out)
    asked, _ = _asked(found.checked)
    course = layer_course(found.clocks.night, asked)
    title = f"{TITLE}: {found.checked.sheet.name}"
    write_file(out, cure_chart_svg(title, found.clocks, course).encode("utf-8"))
    return course


def refuse_chart(out: Path) -> None:
    """Refuse a place for the chart that holds something else. Raises OutputInTheWayError."""
    refuse_foreign(out, BEGINS)


def as_json(found: CuredLayer) -> str:
    """The answer as JSON text."""
    return json.dumps(found.as_data(), indent=2, ensure_ascii=False)


def read_sheet(file: Path) -> SheetChecked:
    """The sheet, read and fitted. Raises FaultsError with every fault found."""
    return check_sheet(file)


def _asked(checked: SheetChecked) -> tuple[Asked, FittedBinder]:
    sheet, fitted = checked.sheet, checked.fitted
    if fitted is None:
        raise NotDeterminedError(checked.no_curve)
    what = f"working life of {sheet.key}"
    life = fit_times(sheet.life, sheet.kind, what, sheet.limits, curing_defaults()) if sheet.life else None
    return Asked(fitted, life, sheet.limits, weather_data()), fitted
