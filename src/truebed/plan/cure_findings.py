"""What the clocks of one cover rest on, and frost."""

from __future__ import annotations

from truebed.curing.clocks import ClockReading
from truebed.curing.surfaces import weather_data
from truebed.findings import Finding, Severity
from truebed.plan.case import Case

#: Frost in more of the believable nights than this is close to a limit; in fewer it is advice.
FROST_CLOSE_SHARE = 0.02


def cure_findings(case: Case, clocks: tuple[ClockReading, ...]) -> list[Finding]:
    """How waits and lives were read, which of them by the simple rule, and frost.

    Valid       clocks of the same case
    Source      house; frost: common practice, no source
    Proved by   tests/plan/test_cure_findings.py
    """
    return [*_heated(case, clocks), *_pointwise(case, clocks), *_frost(case, clocks)]


def _heated(case: Case, clocks: tuple[ClockReading, ...]) -> list[Finding]:
    heated = [one for one in clocks if one.hours]
    if not heated:
        return []
    temps = [one.temp_c for one in heated]
    band_c = case.rules.number("cure_temp_band_c")
    return [
        Finding(
            "CU-001", Severity.STATED, case.cover.cover,
            f"waits and lives follow the heat of each layer on this forecast (\u00b1 {band_c:g} degC) hour by hour, as "
            f"if held at {min(temps):.1f} to {max(temps):.1f} degC; the opening waits for the late end (95 %), placing "
            "keeps to the early end (5 %)",
            min(temps), "degC", source="truebed.curing; house",
            mend="Probe base and layer: the release table and `truebed now` take what is measured.",
        )
    ]  # fmt: skip


def _pointwise(case: Case, clocks: tuple[ClockReading, ...]) -> list[Finding]:
    plain = [one for one in clocks if not one.hours]
    if not plain:
        return []
    names = ", ".join(dict.fromkeys(f"{one.pour} {one.kind}" for one in plain))
    coldest = min(one.temp_c for one in plain)
    return [
        Finding(
            "CU-003", Severity.ADVICE, case.cover.cover,
            f"read off the sheet's own points at one temperature of the night, without the layer's heat: {names}",
            coldest, "degC", source="house (the simple rule)",
            mend="Give the sheet strengths at two ages or more, so that its curve can be followed.",
        )
    ]  # fmt: skip


def _frost(case: Case, clocks: tuple[ClockReading, ...]) -> list[Finding]:
    worst = max((hour.frost_share for one in clocks for hour in one.hours), default=0.0)
    freezing = any(not one.hours for one in clocks) and case.temps.coldest_c < 0.0
    if worst <= 0.0 and not freezing:
        return []
    guard_n_per_mm2 = weather_data()["frost_safe_n_per_mm2"]
    what = f"a layer below 0 degC before it has {guard_n_per_mm2:g} N/mm2"
    if worst > 0.0:
        what += f", in up to {worst:.0%} of the believable nights, at its worst hour of placing"
    return [
        Finding(
            "CU-002", Severity.CLOSE if freezing or worst >= FROST_CLOSE_SHARE else Severity.ADVICE,
            case.cover.cover, what, case.temps.coldest_c, "degC", "above 0 degC", "common practice, no source",
            "Cover and insulate (protection in closures.csv), warm the kits, or choose another night.",
        )
    ]  # fmt: skip
