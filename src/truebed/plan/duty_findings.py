"""What a cover must bear and how its work is done: load class, strengths, corners of the cut, temperatures."""

from __future__ import annotations

from truebed.findings import Finding, Severity
from truebed.plan.case import Case


def class_number(load_class: str) -> int:
    """The test load in kN that a class carries in its name, for comparing classes.

    Valid       EN 124 classes
    Source      [en-124-place] (second-hand)
    Proved by   tests/plan/test_cover_findings.py
    """
    return int("".join(c for c in load_class if c.isdigit()))


def load_findings(case: Case) -> list[Finding]:
    """Load class by place, frame depth, opening strength.

    Valid       a cover that passed the works folder's checks
    Source      rule set values load_class_least, frame_depth_least_mm
    Proved by   tests/plan/test_cover_findings.py
    """
    cover, rules = case.cover, case.rules
    found = []
    least = rules.find("load_class_least", *case.words())
    if least is not None and class_number(cover.load_class) < class_number(str(least.value)):
        found.append(
            Finding(
                "LD-001", Severity.BREAKS, cover.cover, f"class {cover.load_class} is below what a {cover.place} asks",
                float(class_number(cover.load_class)), "kN", f"{least.value} or more", least.cite(),
                "Order a frame and cover of the right class; do not re-set this one.",
            )
        )  # fmt: skip
    depth = rules.find("frame_depth_least_mm", *case.words())
    if depth is not None and not isinstance(depth.value, str) and cover.frame_depth_mm < depth.value:
        found.append(
            Finding(
                "LD-002", Severity.CLOSE, cover.cover, f"the frame is shallow for class {cover.load_class}",
                cover.frame_depth_mm, "mm", f"at least {depth.value:g} mm", depth.cite(),
                "Check that the cover is locked, or order a deeper frame.",
            )
        )  # fmt: skip
    found += strength_findings(case)
    return found


def strength_findings(case: Case) -> list[Finding]:
    """Bearing materials whose own traffic strength is above the rule set's opening strength.

    Valid       a rule set with an opening strength
    Source      rule set value opening_strength_n_per_mm2; the sheets' traffic strengths
    Proved by   tests/plan/test_cover_findings.py
    """
    rule = case.rules.find("opening_strength_n_per_mm2", *case.words())
    if rule is None or isinstance(rule.value, str):
        return []
    found = []
    for key in dict.fromkeys(r.sheet for r in case.method.roles if r.bears):
        sheet = case.sheets[key]
        own = sheet.traffic_strength_n_per_mm2
        if own is not None and own > rule.value:
            found.append(
                Finding(
                    "LD-005", Severity.BREAKS, f"{case.cover.cover}, {sheet.name}",
                    "the rule set opens the road at less than the sheet's own traffic strength", rule.value, "N/mm2",
                    f"the sheet says {own:g} N/mm2", f"{sheet.file}: traffic",
                    "Ask the material's maker, or raise opening_strength_n_per_mm2 in your rule set.",
                )
            )  # fmt: skip
    return found
