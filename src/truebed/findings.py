"""What a check returns: a finding. Checks never raise; they return all they found."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding weighs, heaviest first."""

    BREAKS = "breaks a limit"
    CLOSE = "close to a limit"
    ADVICE = "advice"
    STATED = "stated assumption"


def short_number(value_count: float) -> str:
    """A number for reading: three figures that count, and never coarser than whole ones.

    Valid       any finite number
    Source      house (wording)
    Proved by   tests/test_findings.py
    """
    size = abs(value_count)
    places = 0 if size >= 100.0 else 1 if size >= 10.0 else 2
    text = f"{value_count:.{places}f}" if size >= 1.0 else f"{value_count:.3g}"
    short = text.rstrip("0").rstrip(".") if "." in text and "e" not in text else text
    return "0" if short in ("-0", "") else short


@dataclass(frozen=True, slots=True)
class Finding:
    """One result of one check.

    code      LV (levels), BD (bed), CT (cut-out), VL (volumes), KT (kits), CU (curing), LD (load class, strength),
              PR (programme), CR (care), RC (record), IN (input); listed in docs/findings.md
    subject   in the user's words: 'C04, corner front-left'
    what      one plain sentence of what was found
    value     the value found, in `unit`; None where there is no number
    limit     the limit it was judged against, as text with unit; '' where there is none
    source    document and clause of the limit, with how far it was read ('seen', 'from memory', ...)
    mend      what to do
    """

    code: str
    severity: Severity
    subject: str
    what: str
    value: float | None = None
    unit: str = ""
    limit: str = ""
    source: str = ""
    mend: str = ""

    def sentence(self) -> str:
        """The finding as one line."""
        value = "" if self.value is None else f" [{short_number(self.value)} {self.unit}]".replace(" ]", "]")
        limit = f"; allowed {self.limit}" if self.limit else ""
        source = f" ({self.source})" if self.source else ""
        mend = f" {self.mend}" if self.mend else ""
        said = f"{self.code} {self.subject}: {self.what}{value}{limit}{source}"
        return f"{said}{'' if said.endswith('.') else '.'}{mend}"
