"""What the checks of a cover's cut-out found. Codes: docs/findings.md."""

from __future__ import annotations

from truebed.chamber.outlines import CutOut
from truebed.findings import Finding, Severity
from truebed.plan.case import Case
from truebed.plan.result import CoverDesign


def narrow_findings(case: Case, design: CoverDesign) -> list[Finding]:
    """A kerb that leaves less width beside the flange than a material needs.

    Valid       a design of the same case
    Source      the sheets' least widths
    Proved by   tests/plan/test_cover_findings.py
    """
    beside = design.cut.least_beside_mm
    widest = max(
        (case.sheets[r.sheet].limits.least_width_mm for r in case.method.roles if r.role != "bed"), default=0.0
    )
    if beside is None or beside >= widest - 1e-6:
        return []
    return [
        Finding(
            "CT-003", Severity.BREAKS, case.cover.cover, "the kerb leaves too little width beside the flange",
            beside, "mm", f"at least {widest:g} mm", "the sheets' limits",
            "Have the kerb lifted and re-laid as part of the job, or choose a material that runs in less width.",
        )
    ]  # fmt: skip


def depth_findings(name: str, cut: CutOut) -> list[Finding]:
    """A saw that does not reach the depth wanted, or no saw at all.

    Valid       any cut-out
    Source      algebra (half the blade)
    Proved by   tests/plan/test_saw_findings.py
    """
    left_mm = cut.depth_mm if cut.saw is None or cut.blade_mm is None else cut.saw.left_mm
    if cut.blade_mm is not None and left_mm <= 1e-9:
        return []
    return [
        Finding(
            "CT-002", Severity.ADVICE, name, "no saw blade among the tools reaches the depth to saw; what is left is "
            "to be broken", left_mm, "mm", mend="Give blade_mm of a large enough saw in tools.csv.",
        )
    ]  # fmt: skip


def corner_findings(name: str, cut: CutOut) -> list[Finding]:
    """What the chosen rule does at the corners.

    Valid       any cut-out
    Source      algebra; common practice, no source (no over-cut)
    Proved by   tests/plan/test_saw_findings.py
    """
    work = cut.corners
    if work is None or work.way == "none":
        return []
    found = []
    run_on = [o for o in work.over_cuts if o.length_mm > 0.0]
    if work.way == "run on" and run_on:
        found.append(
            Finding(
                "CT-001", Severity.ADVICE, name,
                f"to reach full depth at a corner a {cut.blade_mm:g} mm blade runs on past it at the surface",
                max(o.length_mm for o in run_on), "mm a side", "0 mm past the square", "common practice, no source",
                "Do not over-cut: stop short and break the corners out, or core them (corner_rule in covers.csv).",
            )
        )  # fmt: skip
    if work.way == "core":
        drilled = [c for c in work.cores if not c.enters]
        if drilled:
            found.append(
                Finding(
                    "CT-004", Severity.STATED, name, f"{len(drilled)} corners are cored first, to the saw's depth",
                    max(c.diameter_mm for c in drilled), "mm diameter", source="algebra",
                )
            )  # fmt: skip
    if work.way == "stop short" and work.left_count:
        found.append(
            Finding(
                "CT-005", Severity.ADVICE, name,
                f"the blade stops short at {work.left_count} side ends and leaves {work.left_length_mm:.0f} mm of each "
                "to break out by hand", work.left_depth_mm, "mm deep at the corner", source="algebra",
                mend="Break it out from inside the square; keep the edge upright.",
            )
        )  # fmt: skip
    entered = {what for o in work.over_cuts for what in o.enters} | {what for c in work.cores for what in c.enters}
    for what in sorted(entered):
        found.append(
            Finding(
                "CT-006", Severity.BREAKS, name, f"at a corner the {'core' if work.way == 'core' else 'blade'} would "
                f"run into {what}", source="algebra", mend="Stop short there and break the corner out by hand.",
            )
        )  # fmt: skip
    return found


def beside_findings(case: Case, cut: CutOut) -> list[Finding]:
    """What stands beside the cut: sides drawn in, narrow strips, a snap to the kerb, neighbours joined.

    Valid       a cut-out of the same case
    Source      rule set value cut_strip_least_mm; obstacles.csv
    Proved by   tests/plan/test_saw_findings.py
    """
    name = case.cover.cover
    rule = case.rules.find("cut_strip_least_mm", *case.words())
    limit, source = ("", "") if rule is None else (f"at least {rule.value:g} mm", rule.cite())
    found = [
        Finding(
            "CT-007", Severity.CLOSE, f"{name}, {p.side}", f"the cut is drawn in to keep off {p.what}", p.to_mm,
            "mm from the frame's centre", f"wanted {p.from_mm:.0f} mm", "obstacles.csv",
            "See that the road left standing there is sound.",
        )
        for p in cut.pulled_back
    ]  # fmt: skip
    found += [
        Finding(
            "CT-008", Severity.CLOSE, name, f"the road left between the cut and {s.what} is narrow", s.width_mm, "mm",
            limit, source, "Take it out too, or agree that it stays.",
        )
        for s in cut.strips
    ]  # fmt: skip
    if cut.snapped_to_kerb:
        found.append(
            Finding(
                "CT-009", Severity.STATED, name, "the cut is carried out to the kerb: the strip left would be too "
                "narrow", limit=limit, source=source,
            )
        )  # fmt: skip
    if cut.joined is not None:
        others = [s.cover for s in cut.joined.shares if s.cover != name]
        found.append(
            Finding(
                "CT-010", Severity.STATED, name, f"one cut-out with {' and '.join(others)}; this cover's own share of "
                "the sawing", cut.saw_length_m, "m", f"{cut.joined.saw_length_m:.2f} m in all", source,
            )
        )  # fmt: skip
    found += [
        Finding("CT-011", Severity.ADVICE, name, f"hand work: {s}", source="algebra", mend="Plan the time for it.")
        for s in cut.hand_work
    ]
    return found


def cut_findings(case: Case, design: CoverDesign) -> list[Finding]:
    """Everything that was found of a cut-out.

    Valid       a design of the same case
    Source      as each finding names
    Proved by   tests/plan/test_cover_findings.py, tests/plan/test_saw_findings.py
    """
    name, cut = case.cover.cover, design.cut
    return (
        narrow_findings(case, design)
        + depth_findings(name, cut)
        + corner_findings(name, cut)
        + beside_findings(case, cut)
    )
