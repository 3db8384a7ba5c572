"""What the checks of one designed cover found. Codes: docs/findings.md."""

from __future__ import annotations

import math

import numpy as np

from truebed.findings import Finding, Severity
from truebed.levels.setting import Verdict
from truebed.levels.tolerance import normal_share_within
from truebed.plan.case import Case
from truebed.plan.cure_findings import cure_findings
from truebed.plan.duty_findings import load_findings
from truebed.plan.ground import Ground
from truebed.plan.result import CoverDesign
from truebed.plan.saw_findings import cut_findings
from truebed.plan.seating import band_of
from truebed.plan.survey_findings import (
    book_findings,
    forecast_findings,
    margins_findings,
    ride_findings,
)
from truebed.plan.wheel_telling import wheel_findings
from truebed.sheets.sheet import Sheet

#: A measured chamber top rougher than this share of the bed's least thickness is worth a word.
ROUGH_SHARE = 0.25
#: A measured top further from the estimate than so many of its errors is asked about.
FAR_OFF_SD_RATIO = 3.0


def level_findings(case: Case, ground: Ground) -> list[Finding]:
    """Gross readings, the road's shape, how the frame stands now.

    Valid       a ground of the same case
    Source      see truebed.levels.road_fit
    Proved by   tests/plan/test_cover_findings.py
    """
    name = case.cover.cover
    found = [
        Finding(
            "LV-001",
            Severity.ADVICE,
            f"{name}, point {g.point} (readings.csv row {g.row})",
            f"the reading is {g.off_mm:+.0f} mm off what the others say and was not used; likely {g.likely_cause}",
            g.off_mm,
            "mm",
            f"statistic {np.abs(g.statistic_ratio):.1f}, critical {g.critical_ratio:.1f}",
            "[baarda-1968] (from memory)",
            "Read the point again.",
        )
        for g in ground.road.gross
    ]
    if ground.road.model != "plane":
        found.append(
            Finding(
                "LV-007",
                Severity.STATED,
                name,
                f"the road is no plane here: '{ground.road.model}' foretells left-out readings best "
                f"(to {ground.road.loo_mm:.1f} mm); the layers' litres follow it",
                source="house, leave-one-out",
            )
        )
    return found + now_findings(case, ground)


def now_findings(case: Case, ground: Ground) -> list[Finding]:
    """How the frame stands now, from readings on it, against the same band.

    Valid       readings on the frame, if any
    Source      rule set band
    Proved by   tests/plan/test_cover_findings.py
    """
    from truebed.levels.road_terms import road_level_mm

    name = case.cover.cover
    steps = [s.level_mm - road_level_mm(ground.road, s.x_mm, s.y_mm) for s in ground.spots if s.where == "frame"]
    if not steps:
        return []
    low, high, source = band_of(case.rules, case.words())
    worst = max(steps, key=lambda step: max(step - high, low - step))
    if all(low <= step <= high for step in steps):
        return [
            Finding(
                "LV-006",
                Severity.ADVICE,
                name,
                f"the frame already stands within tolerance ({min(steps):+.0f} to {max(steps):+.0f} mm); "
                "if the cover is low or rocks in it, re-bedding cures nothing",
                worst,
                "mm",
                f"{low:g} to {high:g} mm",
                source,
                "Diagnose cover-to-frame before digging.",
            )
        ]
    return [
        Finding(
            "LV-005",
            Severity.ADVICE,
            name,
            f"the frame stands {min(steps):+.0f} to {max(steps):+.0f} mm from the road now",
            worst,
            "mm",
            f"{low:g} to {high:g} mm",
            source,
        )
    ]


def verdict_findings(case: Case, ground: Ground, wanted_probability: float) -> list[Finding]:
    """Both level verdicts: failed, or passed with too little certainty.

    Valid       a setting of the same case
    Source      rule set band
    Proved by   tests/plan/test_cover_findings.py
    """
    found = []
    for code, verdict, what in (
        ("LV-003", ground.setting.clause, "the frame's mean level against the adjacent road's"),
        ("LV-002", ground.setting.rim_verdict, "the rim's worst point against the road there"),
    ):
        found += one_verdict(code, case.cover.cover, verdict, what, wanted_probability)
    return found


def one_verdict(code: str, name: str, verdict: Verdict, what: str, wanted_probability: float) -> list[Finding]:
    """A failed verdict breaks its limit; a passed one with less than the wanted probability is close to it.

    Valid       any verdict
    Source      rule set band
    Proved by   tests/plan/test_cover_findings.py
    """
    band = f"{verdict.band_low_mm:g} to {verdict.band_high_mm:g} mm"
    if not verdict.passes:
        mend = (
            "No rigid frame is flush here: feather the new surface to the rim, or have the road re-profiled."
            if verdict.name == "rim"
            else "Mend the chamber top so that the frame can come to its level."
        )
        return [Finding(code, Severity.BREAKS, name, what, verdict.value_mm, "mm", band, verdict.source, mend)]
    if verdict.probability is not None and verdict.probability < wanted_probability:
        return [
            Finding(
                "LV-004",
                Severity.CLOSE,
                name,
                f"{what}: inside by best estimate, truly inside with probability {verdict.probability:.2f} "
                f"(wanted {wanted_probability:g})",
                verdict.value_mm,
                "mm",
                band,
                verdict.source,
                "Take more readings, and read the set rim twice.",
            )
        ]
    return []


def edge_findings(case: Case, ground: Ground) -> list[Finding]:
    """The reinstatement's edge against the adjacent road, if its surface is laid as one plane.

    Valid       a ground of the same case
    Source      rule set values reinstatement_edge_low_mm, reinstatement_edge_high_mm
    Proved by   tests/plan/test_cover_findings.py
    """
    low = case.rules.find("reinstatement_edge_low_mm", *case.words())
    high = case.rules.find("reinstatement_edge_high_mm", *case.words())
    if low is None or high is None or isinstance(low.value, str) or isinstance(high.value, str):
        return []
    over = {ground.edge_low_mm: low.value - ground.edge_low_mm, ground.edge_high_mm: ground.edge_high_mm - high.value}
    worst = max(over, key=lambda value: over[value])
    if over[worst] <= 0.0:
        return []
    return [
        Finding(
            "LV-008",
            Severity.CLOSE,
            case.cover.cover,
            "laid as one plane the new surface would be off the road at the cut's edge",
            worst,
            "mm",
            f"{low.value:g} to {high.value:g} mm",
            low.cite(),
            "Strike the surface off the road's own edge on every side, never as one plane.",
        )
    ]


def bed_findings(case: Case, ground: Ground) -> list[Finding]:
    """How the chamber top is known and how sure the bed's limits are.

    Valid       a setting of the same case
    Source      the bed's sheet; rule set value chamber_top_sd_mm
    Proved by   tests/plan/test_cover_findings.py
    """
    name, setting, top = case.cover.cover, ground.setting, ground.top
    bed = case.sheet_for("bed")
    limit = f"{setting.bed_limit_least_mm:g} to {setting.bed_limit_most_mm:g} mm"
    sheet = f"{bed.file}, {bed.name}" if bed is not None else ""
    found = []
    if setting.bed_governs:
        found.append(
            Finding(
                "BD-005",
                Severity.CLOSE,
                name,
                f"the bed's limits, not the road, decide the frame's place: {setting.bed_least_mm:.0f} to "
                f"{setting.bed_most_mm:.0f} mm of bed",
                setting.greatest_departure_mm,
                "mm from target",
                limit,
                sheet,
                "Raise or lower the chamber top to sit truer.",
            )
        )
    if top.known == "estimate":
        found.append(estimate_finding(name, ground, limit, sheet, case.wanted_probability))
    elif top.off_estimate_mm is not None and abs(top.off_estimate_mm) > FAR_OFF_SD_RATIO * estimate_sd_mm(case):
        found.append(
            Finding(
                "BD-006",
                Severity.CLOSE,
                name,
                "the measured chamber top lies far from the estimate",
                top.off_estimate_mm,
                "mm",
                f"{FAR_OFF_SD_RATIO:g} x the estimate's error of {estimate_sd_mm(case):g} mm",
                "rule set value chamber_top_sd_mm",
                "Check the bench mark and the sign: levels are heights, not depths.",
            )
        )
    if top.known == "measured" and top.rough_mm > ROUGH_SHARE * setting.bed_limit_least_mm:
        found.append(
            Finding(
                "BD-003",
                Severity.ADVICE,
                name,
                f"the measured chamber top is rough about its plane; {top.worst}",
                top.rough_mm,
                "mm",
                source="house",
                mend="Dress the high spots before bedding.",
            )
        )
    return found


def estimate_sd_mm(case: Case) -> float:
    """The error of the chamber-top estimate by the rule set; without one, no measured top is called far off.

    Valid       any case
    Source      rule set value chamber_top_sd_mm
    Proved by   tests/plan/test_cover_findings.py
    """
    rule = case.rules.find("chamber_top_sd_mm", *case.words())
    return math.inf if rule is None or isinstance(rule.value, str) else rule.value


def estimate_finding(name: str, ground: Ground, limit: str, sheet: str, wanted_probability: float) -> Finding:
    """The estimate's own finding: chance that the bed still keeps its limits once the top is measured.

    Valid       an estimated chamber top
    Source      rule set value chamber_top_sd_mm
    Proved by   tests/plan/test_cover_findings.py
    """
    setting, sd = ground.setting, ground.top.sd_mm
    if sd is None:
        return Finding(
            "BD-004",
            Severity.ADVICE,
            name,
            "how far the estimate of the chamber top may be off is not known, so spare kits are not determined",
            mend="Give chamber_top_sd_mm in your rule set, from your own records.",
        )
    low = setting.bed_limit_least_mm - setting.bed_least_mm
    high = setting.bed_limit_most_mm - setting.bed_most_mm
    chance = normal_share_within(0.0, math.hypot(sd, ground.rim_sd_mm), low, high)
    return Finding(
        "BD-002",
        Severity.CLOSE if chance < wanted_probability else Severity.STATED,
        name,
        f"the chamber top is an estimate (±{1.645 * sd:.0f} mm, 90 %): with the frame at these levels the bed of "
        f"{setting.bed_least_mm:.0f} to {setting.bed_most_mm:.0f} mm stays within its limits with probability "
        f"{chance:.2f}",
        chance,
        "probability",
        limit,
        sheet,
        "Measure the chamber top at eight points or more after break-out and run the plan again.",
    )


def too_deep_at_once(name: str, pour: str, most_mm: float, sheet: Sheet) -> list[Finding]:
    """A pour of several roles that is deeper together than its sheet allows at once.

    Valid       greatest thicknesses of the roles, one above the other
    Source      the sheet's limits
    Proved by   tests/plan/test_cover_findings.py
    """
    limit = sheet.limits.thickness_most_mm
    if most_mm <= limit + 1e-6:
        return []
    return [
        Finding(
            "VL-002", Severity.BREAKS, f"{name}, pour {pour}",
            f"its roles together are deeper than {sheet.name} may be laid at once: {math.ceil(most_mm / limit)} "
            "lifts; the planned opening does not hold",
            most_mm, "mm", f"at most {limit:g} mm", f"{sheet.file}: limits",
            "Pour it in lifts; the programme holds one lift's time: add the others.",
        )
    ]  # fmt: skip


def layer_findings(case: Case, design: CoverDesign) -> list[Finding]:
    """Layers against their sheets' thickness limits; surfaces that cross.

    Valid       volumes of the same case
    Source      the sheets' limits
    Proved by   tests/plan/test_cover_findings.py
    """
    name = case.cover.cover
    found = []
    for pour in case.method.pours():
        parts = [v for v in design.volumes if v.pour == pour and v.role not in ("bed", "edge_seal")]
        if len(parts) > 1:
            found += too_deep_at_once(name, pour, sum(v.most_mm for v in parts), case.sheets[parts[0].sheet])
    for volume in design.volumes:
        sheet = case.sheets[volume.sheet]
        where = f"{name}, {volume.role.replace('_', ' ')}"
        alone = sum(1 for v in design.volumes if v.pour == volume.pour) == 1
        if volume.role == "bed":
            continue
        if volume.least_mm < -1e-6:
            found.append(
                Finding(
                    "VL-003", Severity.BREAKS, where, "surfaces cross: the layer runs out inside the cut-out",
                    volume.least_mm, "mm", "above 0 mm", "algebra", "Use a deeper frame or a thinner running surface.",
                )
            )  # fmt: skip
        elif alone and volume.least_mm < sheet.limits.thickness_least_mm - 1e-6:
            found.append(
                Finding(
                    "VL-001", Severity.BREAKS, where, f"thinner than {sheet.name} may be laid", volume.least_mm, "mm",
                    f"at least {sheet.limits.thickness_least_mm:g} mm", f"{sheet.file}: limits",
                    "Use a shallower flange cover, a thinner running surface, or another material.",
                )
            )  # fmt: skip
        if volume.most_mm > sheet.limits.thickness_most_mm + 1e-6:
            lifts = math.ceil(volume.most_mm / sheet.limits.thickness_most_mm)
            found.append(
                Finding(
                    "VL-002", Severity.BREAKS, where,
                    f"thicker than {sheet.name} may be laid at once: {lifts} lifts; the planned opening does not hold",
                    volume.most_mm, "mm", f"at most {sheet.limits.thickness_most_mm:g} mm", f"{sheet.file}: limits",
                    "Lay it in lifts; the programme holds one lift's time: add the others.",
                )
            )  # fmt: skip
    return found


def cover_findings(case: Case, ground: Ground, design: CoverDesign) -> tuple[Finding, ...]:
    """All findings of one cover.

    Valid       ground and design of the same case
    Source      as each finding names
    Proved by   tests/plan/test_cover_findings.py
    """
    return tuple(
        level_findings(case, ground)
        + verdict_findings(case, ground, case.wanted_probability)
        + edge_findings(case, ground)
        + bed_findings(case, ground)
        + layer_findings(case, design)
        + load_findings(case)
        + wheel_findings(case, ground.wheel, design.opening_strength_n_per_mm2)
        + cut_findings(case, design)
        + book_findings(case, ground)
        + margins_findings(case, ground)
        + ([] if design.aids is None else ride_findings(case, design.aids))
        + ([] if design.aids is None else forecast_findings(case, design.aids, case.wanted_probability))
        + cure_findings(case, design.clocks)
    )
