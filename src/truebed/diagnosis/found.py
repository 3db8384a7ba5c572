"""What a diagnosis has to say to whoever plans the night, as findings."""

from __future__ import annotations

from truebed.diagnosis.diagnose import Diagnosis
from truebed.diagnosis.margin import Margin, SideMargin
from truebed.findings import Finding, Severity
from truebed.given.cover import Cover


def diagnosis_findings(diagnosis: Diagnosis) -> tuple[Finding, ...]:
    """What planning must know of one cover: whether to dig, what else is to be done, what is not known.

    Valid       a diagnosis of one cover
    Source      data/diagnosis
    Proved by   tests/diagnosis/test_found.py
    """
    found = [_governing(diagnosis)]
    if not diagnosis.settled and diagnosis.decision.others:
        found += _in_doubt(diagnosis)
    for interface in diagnosis.interfaces:
        if interface.missing:
            what = f"{interface.name}: not looked at ({', '.join(interface.missing)}), so not known to be sound"
            found.append(
                Finding("DG-005", Severity.ADVICE, diagnosis.cover, what, mend="Measure it before the frame is lifted.")
            )
    if diagnosis.dig_anyway and not diagnosis.decision.repair.beds:
        what = f"the frame is lifted against the diagnosis; reason given: {diagnosis.dig_anyway}"
        source = "condition.csv, dig_anyway"
        found.append(Finding("DG-010", Severity.STATED, diagnosis.cover, what, source=source))
    for sentence in diagnosis.disagreements:
        found.append(
            Finding(
                "DG-006", Severity.CLOSE, diagnosis.cover, f"the evidence does not go together: {sentence}",
                mend="Look again before digging.",
            )
        )  # fmt: skip
    return tuple(found)


def _governing(diagnosis: Diagnosis) -> Finding:
    """The finding of the governing repair; its code says whether to dig."""
    decision = diagnosis.decision
    repair, subject = decision.repair, diagnosis.cover
    rest = [row.repair for row in decision.also] + [r for r in decision.row.then if r != repair.key]
    mend = f"{repair.says[0].upper()}{repair.says[1:]}." + (f" Then: {', '.join(rest)}." if rest else "")
    source = f"{decision.row.source}; avoids {repair.avoids}"
    what = f"{decision.row.reason}: {repair.key}"
    value = round(decision.probability, 3)
    if repair.dig == "no":
        return Finding("DG-001", Severity.CLOSE, subject, f"do not dig: {what}", value, "probability", "", source, mend)
    if repair.dig == "careful":
        return Finding("DG-002", Severity.CLOSE, subject, what, value, "probability", "", source, mend)
    return Finding("DG-003", Severity.ADVICE, subject, what, value, "probability", "", source, mend)


def _in_doubt(diagnosis: Diagnosis) -> list[Finding]:
    """The finding of an answer that the readings' errors leave open."""
    other = diagnosis.decision.others[0]
    if other.probability < 1.0 - diagnosis.sure_probability:
        return []
    again = next(
        (line for line in diagnosis.test_next if "read again" in line), "Measure again what lies at its limit."
    )
    what = f"the readings' errors leave another answer open: {other.repair.key}"
    value = round(other.probability, 3)
    return [Finding("DG-004", Severity.CLOSE, diagnosis.cover, what, value, "probability", mend=again)]


def margin_findings(cover: Cover, margin: Margin) -> tuple[Finding, ...]:
    """How the sound margin given in covers.csv stands to the one computed from soundings, and where to tap next.

    Valid       a margin of that cover
    Source      truebed.diagnosis.margin
    Proved by   tests/diagnosis/test_found.py
    """
    found: list[Finding] = []
    for side in margin.sides:
        found += _short(cover, side)
    for tap in margin.test_next:
        unknown = margin.side(tap.side).margin_mm is None
        what = f"{tap.why}; tap next at x {tap.x_mm:.0f}, y {tap.y_mm:.0f} mm"
        found.append(
            Finding(
                "DG-008", Severity.CLOSE if unknown else Severity.ADVICE, f"{cover.cover}, {tap.side}", what,
                mend="Tap there and add it to soundings.csv.",
            )
        )  # fmt: skip
    for sentence in margin.inside_out:
        found.append(
            Finding(
                "DG-009", Severity.STATED, cover.cover, sentence, mend="Tap between the two; the outer one governs."
            )
        )
    return tuple(found)


def _short(cover: Cover, side: SideMargin) -> list[Finding]:
    """A margin given that leaves unsound road standing, or that ends where nobody sounded; () where none is given."""
    given = cover.sound_margin_mm
    if given is None or side.at_kerb:
        return []
    subject = f"{cover.cover}, {side.side}"
    if side.governed_by and given <= side.from_mm:
        return [_breaks(subject, side, given)]
    if side.margin_mm is None or given >= side.margin_mm:
        return []
    what = f"covers.csv gives {given:g} mm; half way to the first sound sounding is {side.margin_mm:.0f} mm"
    limit = f"from {side.from_mm:.0f} mm"
    return [
        Finding("DG-007", Severity.CLOSE, subject, what, given, "mm", limit, mend="Cut further out, or tap between.")
    ]


def _breaks(subject: str, side: SideMargin, given_mm: float) -> Finding:
    what = f"the sound margin of covers.csv would leave {side.governed_by} standing"
    limit = f"more than {side.from_mm:.0f} mm"
    return Finding(
        "DG-007", Severity.BREAKS, subject, what, given_mm, "mm", limit, f"soundings.csv row {side.row}",
        "Cut beyond it.",
    )  # fmt: skip
