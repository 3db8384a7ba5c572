"""Resin on paper: hardener to weigh out by the base's temperature, gel and cure, lifts, and what is not known."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Literal

from truebed.drawings.levels_text import MINUS, tenth_mm
from truebed.findings import short_number
from truebed.papers.weather_words import advice_words
from truebed.plan.base_hours import spans_text
from truebed.plan.resin_layers import DoseLine, ResinLayer

NOT_TOLD = "\u2013"
End = Literal["least", "usual", "most"]


def grams_words(mass_kg: float | None, end: End = "usual") -> str:
    """Hardener in whole grams, the least rounded up and the most rounded down; a dash where it is not told.

    Valid       masses of one kit
    Source      house (writing)
    Proved by   tests/papers/test_resin_words.py
    """
    return NOT_TOLD if mass_kg is None else f"{_inwards(mass_kg * 1000.0, end):.0f}"


def dose_words(dose_pct: float | None, end: End = "usual") -> str:
    """A dose in hundredths of a per cent, the least rounded up and the most rounded down; a dash where it is not told.

    Valid       doses above 0
    Source      house (writing)
    Proved by   tests/papers/test_resin_words.py
    """
    return NOT_TOLD if dose_pct is None else f"{_inwards(dose_pct * 100.0, end) / 100.0:.2f}"


def _inwards(value: float, end: End) -> int:
    """A whole number that does not lie outside the end it stands for; rounding of the machine apart."""
    if end == "usual":
        return math.floor(value + 0.5)
    return math.ceil(value - 1e-6) if end == "least" else math.floor(value + 1e-6)


def minutes_down_words(minutes_min: float | None) -> str:
    """Time to work, in whole minutes never rounded up; a dash where it is not told.

    Valid       minutes of 0 and more
    Source      house (writing)
    Proved by   tests/papers/test_resin_words.py
    """
    return NOT_TOLD if minutes_min is None else str(math.floor(minutes_min + 1e-9))


def minutes_up_words(minutes_min: float | None) -> str:
    """Time to wait, in whole minutes never rounded down; a dash where it is not told.

    Valid       minutes of 0 and more
    Source      house (writing)
    Proved by   tests/papers/test_resin_words.py
    """
    return NOT_TOLD if minutes_min is None else str(math.ceil(minutes_min - 1e-9))


def degrees_words(temp_c: float) -> str:
    """A temperature as short as it can be, with a true minus.

    Valid       any finite value
    Source      house (writing)
    Proved by   tests/papers/test_resin_words.py
    """
    return short_number(temp_c).replace("-", MINUS)


def dose_rows(layer: ResinLayer) -> list[dict[str, str]]:
    """The site's table: base temperature, least, usual and most hardener, grams for one kit, gel, cure.

    Valid       any layer; [] where the sheet has no doses
    Source      house (writing)
    Proved by   tests/papers/test_resin_words.py
    """
    return [_row(line) for line in layer.table]


def _row(line: DoseLine) -> dict[str, str]:
    return {
        "temp": degrees_words(line.temp_c),
        "least": dose_words(line.least_pct, "least"),
        "usual": dose_words(line.usual_pct),
        "most": dose_words(line.most_pct, "most"),
        "least_g": grams_words(line.least_kg, "least"),
        "usual_g": grams_words(line.usual_kg),
        "most_g": grams_words(line.most_kg, "most"),
        "gel": minutes_down_words(line.gel_min),
        "cure": minutes_up_words(line.cure_min),
    }


def resin_told(layer: ResinLayer) -> tuple[str, ...]:
    """What is said beside the table: tonight's doses, when it may be laid, lifts, what is not known.

    Valid       any layer
    Source      house (wording)
    Proved by   tests/papers/test_resin_words.py
    """
    told = [_night_words(word, line) for word, line in (("Coldest", layer.cold), ("Hottest", layer.hot))]
    if any(line.usual_pct is not None for line in layer.table):
        told.append(
            "Weigh out for one kit by the temperature of base and resin as measured. Never more than the most, "
            f"never less than the least. {_between_words(layer.table)}"
        )
    told += [_may_words(layer), _lift_words(layer), *layer.unknown]
    return tuple(text for text in told if text)


def _between_words(table: tuple[DoseLine, ...]) -> str:
    """How to read between two rows: what both allow, the sheet allows between them too."""
    pairs = pairwise(line for line in table if line.least_pct is not None and line.most_pct is not None)
    if all(_both_allow(cold, warm) for cold, warm in pairs):
        return "Between two rows keep to a dose that both rows allow."
    return "Between two rows that share no dose, warm or cool base and resin to a row."


def _both_allow(cold: DoseLine, warm: DoseLine) -> bool:
    if cold.least_pct is None or warm.least_pct is None or cold.most_pct is None or warm.most_pct is None:
        return False
    return max(cold.least_pct, warm.least_pct) <= min(cold.most_pct, warm.most_pct)


def _night_words(word: str, line: DoseLine) -> str:
    where = f"{word} of the night, {degrees_words(line.temp_c)} \u00b0C ({line.temp_from})"
    if line.usual_pct is None:
        return f"{where}: no dose. {line.why_not}." if line.why_not else f"{where}: no dose."
    grams = "" if line.usual_kg is None else f", {grams_words(line.usual_kg)} g a kit"
    spread = "" if line.least_kg is None else f" ({_grams_span(line)} g)"
    gel = "" if line.gel_min is None else f"; gel in {minutes_down_words(line.gel_min)} min"
    cure = "" if line.cure_min is None else f", cured in {minutes_up_words(line.cure_min)} min"
    lacking = f" {line.why_not}." if line.why_not else ""
    return f"{where}: {dose_words(line.usual_pct)} % hardener{grams}{spread}{gel}{cure}.{lacking}"


def _grams_span(line: DoseLine) -> str:
    return f"{grams_words(line.least_kg, 'least')} to {grams_words(line.most_kg, 'most')}"


def _may_words(layer: ResinLayer) -> str:
    if not layer.hours:
        return ""
    free = tuple(h.at for h in layer.hours if h.allowed is not False)
    barred = tuple(h for h in layer.hours if h.allowed is False)
    if not barred:
        return "By the forecast the base lets it be laid at every hour of the closure; measure before laying."
    when = f"from {spans_text(free)} only" if free else "at no hour of the closure"
    return f"By the forecast it may be laid {when}. {advice_words(tuple(key for h in barred for key in h.advice))}"


def _lift_words(layer: ResinLayer) -> str:
    lift, most_c = layer.lift, layer.lift_most_c
    if lift is None or most_c is None:
        return ""
    thick, allowed = f"{tenth_mm(layer.thick_mm)} mm", f"the sheet allows {degrees_words(most_c)} \u00b0C"
    peak = f"{lift.peak_c:.0f} \u00b0C"
    if lift.lifts_count == 1:
        return f"One lift: {thick} gets to {peak} at most; {allowed}."
    lifts = f"{lift.lifts_count} lifts of {tenth_mm(lift.lift_mm)} mm, each let cool"
    return f"{lifts}: in one, {thick} may get to {peak}; {allowed}."
