"""What the checks of survey, diagnosis and ride found. Codes: docs/findings.md."""

from __future__ import annotations

from dataclasses import replace

from truebed.diagnosis.diagnose import Diagnosis
from truebed.diagnosis.found import diagnosis_findings, margin_findings
from truebed.findings import Finding, Severity
from truebed.plan.case import Case
from truebed.plan.ground import Ground
from truebed.plan.site_aids import SiteAids


def book_findings(case: Case, ground: Ground) -> list[Finding]:
    """Misclosures of the level book that were within tolerance and spread, and what the readings cannot carry.

    Valid       a ground of the same case
    Source      rule set value misclosure_per_root_mm; truebed.levels.road_fit
    Proved by   tests/plan/test_survey_findings.py
    """
    name, found = case.cover.cover, []
    for run in ground.survey.runs:
        if run.misclosure_mm is not None and abs(run.misclosure_mm) > 1e-9:
            rule = case.rules.find("misclosure_per_root_mm", *case.words())
            found.append(
                Finding(
                    "LV-009", Severity.STATED, f"{name}, {len(run.readings)} stands of the level",
                    "the run misses its bench mark within tolerance; the miss is spread over the stands",
                    run.misclosure_mm, "mm", f"at most {run.allowed_mm:.1f} mm", "" if rule is None else rule.cite(),
                )
            )  # fmt: skip
    barred = [t for t in ground.road.tried if not t.taken and t.why.startswith("geometry")]
    for one in barred:
        found.append(
            Finding("LV-011", Severity.STATED, name, f"'{one.model}' was not tried: {one.why}", source="house")
        )
    sd_mm = ground.road.reading_sd_mm
    if ground.road.findable_mm > 6.0 * sd_mm:
        found.append(
            Finding(
                "LV-010", Severity.ADVICE, name, "so few readings find a wrong one only if it is off by as much as",
                ground.road.findable_mm, "mm", source="[baarda-1968] (from memory)", mend="Read 12 points or more.",
            )
        )  # fmt: skip
    return found


def margins_findings(case: Case, ground: Ground) -> list[Finding]:
    """How the margin given stands to what the soundings say; the cut takes the wider of the two.

    Valid       a ground of the same case
    Source      truebed.diagnosis.margin
    Proved by   tests/plan/test_survey_findings.py
    """
    if ground.margins.found is None:
        return []
    said = margin_findings(case.cover, ground.margins.found)
    wider = "The cut goes out to the computed margin; correct sound_margin_mm in covers.csv."
    return [replace(f, severity=Severity.CLOSE, mend=wider) if f.code == "DG-007" else f for f in said]


def diagnosed_findings(diagnosis: Diagnosis) -> list[Finding]:
    """What the diagnosis says of a cover that is planned all the same.

    Valid       a diagnosis of the same cover
    Source      data/diagnosis
    Proved by   tests/plan/test_survey_findings.py
    """
    return list(diagnosis_findings(diagnosis))


def ride_findings(case: Case, aids: SiteAids) -> list[Finding]:
    """Step under a wheel, gap under the straightedge, water round a grating, kerb upstand, steps between castings.

    Valid       aids of the same case
    Source      rule set values named in each
    Proved by   tests/plan/test_survey_findings.py
    """
    name, ride, found = case.cover.cover, aids.ride, []
    if not ride.steps_pass:
        found.append(
            Finding(
                "RD-001", Severity.CLOSE, f"{name}, wheel line y {ride.worst.line_y_mm:.0f} mm",
                f"the step that a wheel meets {ride.worst.place}", ride.worst.step_mm, "mm", "within the level band",
                ride.band_source, "See the rim verdict; feather the surface if the rule set lets you.",
            )
        )  # fmt: skip
    gap, limit = ride.worst_gap, ride.gap_limit
    if gap is not None and limit is not None and ride.gap_passes is False:
        found.append(
            Finding(
                "RD-002", Severity.CLOSE, f"{name}, straightedge {gap.way} at {gap.at_mm:.0f} mm",
                "gap under the straightedge over road and frame"
                + ("" if gap.known else f", as far as the readings reach ({gap.length_mm:.0f} mm)"),
                gap.gap.gap_mm, "mm", f"at most {limit.value:g} mm", limit.source,
                "The road's own shape may hold it open: see the departure diagram.",
            )
        )  # fmt: skip
    return found + water_findings(case, aids)


def water_findings(case: Case, aids: SiteAids) -> list[Finding]:
    """Water that would stand round a grating, and a kerb that stands too low over its frame.

    Valid       aids of the same case
    Source      rule set values pond_depth_most_mm, kerb_upstand_least_mm
    Proved by   tests/plan/test_survey_findings.py
    """
    name, pond, found = case.cover.cover, aids.ponding, []
    if pond is not None and pond.depth_mm > pond.film_mm:
        rule = case.rules.find("pond_depth_most_mm", *case.words())
        over = rule is not None and not isinstance(rule.value, str) and pond.depth_mm > rule.value
        found.append(
            Finding(
                "RD-003", Severity.BREAKS if over else Severity.ADVICE, name,
                f"water stands by the grating at x {pond.at[0]:.0f}, y {pond.at[1]:.0f}: {pond.area_m2:.2f} m2, "
                f"{pond.volume_l:.1f} l; {100.0 * pond.to_grating_share:.0f} % of the road read drains to it",
                pond.depth_mm, "mm", "" if rule is None else f"at most {rule.value:g} mm",
                "" if rule is None else rule.cite(), "Shape the surround so that it falls to the grating.",
            )
        )  # fmt: skip
    least = case.rules.find("kerb_upstand_least_mm", *case.words())
    if least is not None and not isinstance(least.value, str):
        for kerb in aids.kerbs:
            if kerb.over_rim_mm < least.value:
                found.append(
                    Finding(
                        "RD-004", Severity.CLOSE, f"{name}, kerb at {kerb.point} (readings.csv row {kerb.row})",
                        "the kerb stands low over the set rim", kerb.over_rim_mm, "mm",
                        f"at least {least.value:g} mm", least.cite(), "Lift the kerb, or set lower within the band.",
                    )
                )  # fmt: skip
    return found


def forecast_findings(case: Case, aids: SiteAids, wanted_probability: float) -> list[Finding]:
    """How likely the frame finds a place once the chamber top is measured.

    Valid       aids of the same case
    Source      rule set value chamber_top_sd_mm
    Proved by   tests/plan/test_survey_findings.py
    """
    forecast = aids.forecast
    if forecast is None or forecast.reset_probability >= wanted_probability:
        return []
    high, low = forecast.higher_most_mm, forecast.lower_most_mm
    room = (
        "no even change of the top helps"
        if high is None or low is None
        else f"the top may lie {high:.0f} mm higher to {low:.0f} mm lower than estimated"
    )
    return [
        Finding(
            "BD-007", Severity.CLOSE, case.cover.cover,
            f"once the chamber top is measured the frame may find no place with its bed in limits: {room}",
            forecast.reset_probability, "probability", f"wanted {wanted_probability:g}",
            "rule set value chamber_top_sd_mm", "Measure the chamber top's depth better now, or carry raising units.",
        )
    ]  # fmt: skip
