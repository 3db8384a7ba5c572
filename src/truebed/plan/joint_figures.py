"""Findings and figures of the movement joint, from the same value that the papers tell."""

from __future__ import annotations

from truebed.curing.joint import joint_data
from truebed.findings import Finding, Severity, short_number
from truebed.plan.base_hours import reasons_text, spans_text
from truebed.plan.case import Case
from truebed.plan.joint import JointPlan, air_rules
from truebed.why import Figure, Why

CLASSES = "[iso-11600] (memory-high)"
PIECE = "[en-1991-1-5] (memory-medium)"
HALF = "common practice, no source"
LATER = (
    "Leave the strips in, cover the joint, and seal in a later visit inside the range; or choose a wider joint or a "
    "sealant of a higher class."
)


def joint_findings(case: Case, joint: JointPlan | None) -> tuple[Finding, ...]:
    """What is found of the movement joint; a joint that cannot be sealed tonight is a finding, never a refusal.

    Valid       a joint of the same case
    Source      [iso-11600] classes (from memory); depth: common practice; the sheet's limits
    Proved by   tests/plan/test_joint.py
    """
    if joint is None:
        return ()
    subject = f"{case.cover.cover}, joint"
    found = [*_width(subject, joint), *_depth(subject, joint), *_when(subject, joint)]
    found += [
        Finding("JT-003", Severity.ADVICE, subject, said.rstrip("."), source="house", mend=_mend(said))
        for said in joint.unknown
        if not said.startswith("No weather")
    ]
    return tuple(found)


def _mend(said: str) -> str:
    if "shade_air" in said or "range of a year" in said:
        return "Add both to your rule set from the map of the place."
    return 'Add [movement] class = "..." to the sheet, as the sealant\'s maker states it.'


def best_width_mm(joint: JointPlan) -> float | None:
    """The least width of all: sealed at the temperature at which opening and closing come out alike.

    Valid       any joint; None where not determined
    Source      algebra from [iso-11600] classes (from memory)
    Proved by   tests/plan/test_joint.py
    """
    if joint.whole_mm is None or joint.moves is None or not joint.sealant_class:
        return None
    share = joint_data().movement_share[joint.sealant_class]
    return max(max(joint.moves.shrinkage_mm, joint.whole_mm / 2.0) / share, joint.sheet_width_mm)


def _width(subject: str, joint: JointPlan) -> list[Finding]:
    if joint.width_mm < joint.sheet_width_mm:
        return [
            Finding(
                "JT-001", Severity.BREAKS, subject, "the method's joint is narrower than the sealant may fill",
                joint.width_mm, "mm", f"at least {joint.sheet_width_mm:g} mm", joint.limits_place,
                "Make joint_width_mm of the method wider.",
            )
        ]  # fmt: skip
    best_mm = best_width_mm(joint)
    if best_mm is None or joint.moves is None:
        return []
    if joint.window is None:
        return [
            Finding(
                "JT-001", Severity.BREAKS, subject, "the method's joint is too narrow for its sealant, sealed at any "
                "temperature", joint.width_mm, "mm", f"at least {short_number(best_mm)} mm", CLASSES,
                "Make joint_width_mm of the method wider, or choose a sealant of a higher class.",
            )
        ]  # fmt: skip
    window = f"{short_number(joint.window.coldest_c)} to {short_number(joint.window.hottest_c)} degC"
    least_mm = joint.least_width_mm
    if least_mm is not None and joint.width_mm < least_mm:
        return [
            Finding(
                "JT-001", Severity.CLOSE, subject, f"the method's joint is wide enough only if sealed at {window} of "
                "the road; the worst hour of the closure asks more", joint.width_mm, "mm",
                f"{short_number(least_mm)} mm for that hour", CLASSES,
                "Seal inside the range, or make the joint wider.",
            )
        ]  # fmt: skip
    if least_mm is None:
        text, worst = f"the method's joint is wide enough if sealed at {window} of the road; at best it asks", best_mm
    else:
        text, worst = "the method's joint is wide enough at every hour of the closure; the worst asks", least_mm
    return [
        Finding(
            "JT-001", Severity.STATED, subject, f"{text} {short_number(worst)} mm; left over", joint.width_mm - worst,
            "mm", f"{short_number(joint.width_mm)} mm wide", CLASSES,
        )
    ]  # fmt: skip


def _depth(subject: str, joint: JointPlan) -> list[Finding]:
    depth = joint.depth_mm
    if not joint.shallowest_mm <= depth <= joint.deepest_mm:
        return [
            Finding(
                "JT-002", Severity.BREAKS, subject, "the method's depth of sealant is outside the sheet's", depth, "mm",
                f"{joint.shallowest_mm:g} to {joint.deepest_mm:g} mm", joint.limits_place,
                f"Make joint_depth_mm of the method {short_number(joint.wanted_depth_mm)} mm.",
            )
        ]  # fmt: skip
    if depth > joint.width_mm:
        return [
            Finding(
                "JT-002", Severity.BREAKS, subject, "the sealant is deeper than wide: it cannot stretch", depth, "mm",
                f"at most the {joint.width_mm:g} mm of its width", HALF,
                f"Make joint_depth_mm of the method {short_number(joint.wanted_depth_mm)} mm.",
            )
        ]  # fmt: skip
    if depth > joint.wanted_depth_mm:
        return [
            Finding(
                "JT-002", Severity.ADVICE, subject, "the sealant is deeper than about half its width: it stretches "
                "less and takes more", depth, "mm", f"about {short_number(joint.wanted_depth_mm)} mm", HALF,
                "Bring it up with a backer, or make joint_depth_mm of the method smaller.",
            )
        ]  # fmt: skip
    return []


def _when(subject: str, joint: JointPlan) -> list[Finding]:
    if not joint.hours:
        return []
    barred = tuple(h for h in joint.hours if h.may_seal is False)
    if not barred:
        return []
    reasons = [] if all(h.in_window is not False for h in barred) else ["the joint's range of temperature"]
    told = reasons_text(tuple(key for h in barred if h.allowed is False for key in h.advice))
    why = ", ".join([*reasons, *([told] if told else [])])
    window = "" if joint.window is None else f"{joint.window.coldest_c:.1f} to {joint.window.hottest_c:.1f} degC"
    if len(barred) == len(joint.hours):
        text = f"the joint may be sealed at no hour of the closure ({why})"
        return [Finding("JT-004", Severity.CLOSE, subject, text, limit=window, source=CLASSES, mend=LATER)]
    free = spans_text(tuple(h.at for h in joint.hours if h.may_seal is not False))
    text = f"the joint may be sealed from {free} only; not in the other hours ({why})"
    mend = "Seal in those hours; measure the piece and the air before you do."
    return [Finding("JT-005", Severity.ADVICE, subject, text, limit=window, source=CLASSES, mend=mend)]


def joint_figures(case: Case, joint: JointPlan | None) -> tuple[tuple[str, Figure], ...]:
    """The joint's figures with their whys: '<cover>.joint.width' and so on; none without a joint.

    Valid       a joint of the same case
    Source      as truebed.curing.joint
    Proved by   tests/plan/test_joint.py
    """
    if joint is None:
        return ()
    name = f"{case.cover.cover}.joint"
    movement, lacking = movement_why(case, joint), "; ".join(joint.unknown)
    class_why = Why(
        "class of movement", joint.sealant_class or "not given", "", f"as on the sheet: {joint.class_place}", joint.file
    )
    own = Why("width of the method's joint", joint.width_mm, "mm", "joint_width_mm", f"method {case.method.key}")
    return (
        (f"{name}.movement", Figure(joint.whole_mm, "mm", movement)),
        *_asked_figures(name, joint, (movement, class_why), lacking),
        (f"{name}.depth", Figure(joint.wanted_depth_mm, "mm", _depth_why(joint, own))),
        (f"{name}.backer", Figure(joint.backer_mm, "mm", _backer_why(joint, own))),
        *_window_figures(name, joint, (movement, class_why, own), lacking),
    )


def movement_why(case: Case, joint: JointPlan) -> Why:
    """Where the whole movement of the joint comes from: length, expansion, range of temperature, shrinkage.

    Valid       a joint of the same case
    Source      algebra; [en-1991-1-5] (from memory)
    Proved by   tests/plan/test_joint.py
    """
    moving, moves = joint.moving, joint.moves
    extent = Why("piece across that side", moving.extent_mm, "mm", "outline of the cut-out", "algebra")
    length = Why("length that moves towards the joint", moving.length_mm, "mm", moving.said, "algebra", (extent,))
    if moves is None:
        return Why("movement of the joint", "not determined", "", "; ".join(joint.unknown), "rule set", (length,))
    figures = joint_data().figures
    ends = []
    for what, value, rule, more in (
        ("coldest", moves.coldest_c, air_rules(case)[0], figures["coldest_above_air_k"]),
        ("hottest", moves.hottest_c, air_rules(case)[1], figures["hottest_above_air_k"]),
    ):
        air = Why(f"{what} air in the shade", "" if rule is None else rule.value, "degC", "as the rule set gives it",
                  "" if rule is None else rule.cite())  # fmt: skip
        added = Why("above that air", more.value, "K", more.note, f"[{more.source}] ({more.read_as})")
        ends.append(Why(f"{what} that the piece gets", value, "degC", "shade air + what a piece stands above it", PIECE,
                        (air, added)))  # fmt: skip
    expansion = Why(
        "expansion of concrete", moves.expansion_per_k * 1e6, "millionths a kelvin", "data/joint.toml",
        "[en-1991-1-5] (memory-high)",
    )  # fmt: skip
    shrinkage = Why(
        "shrinkage still to come", moves.shrinkage_mm, "mm",
        f"{joint.shrinkage_mm_per_m:g} mm in a metre of that length", joint.shrinkage_from,
    )  # fmt: skip
    return Why(
        "movement of the joint from the coldest to the hottest, shrinkage included",
        "not determined" if joint.whole_mm is None else joint.whole_mm, "mm", "expansion x length x range + shrinkage",
        "algebra", (length, expansion, *ends, shrinkage),
    )  # fmt: skip


def _asked_figures(
    name: str, joint: JointPlan, inputs: tuple[Why, ...], lacking: str
) -> tuple[tuple[str, Figure], ...]:
    asked = joint.asked
    if asked is None or joint.least_width_mm is None or joint.asked_c is None:
        none = Why("least width of the joint", "not determined", "", lacking, "house", inputs)
        return ((f"{name}.width", Figure(None, "mm", none)),)
    at = Why(
        "temperature of the piece at sealing", joint.asked_c, "degC", f"worst hour, {joint.asked_at}", "weather.csv"
    )
    governed = asked.governed_by
    if joint.least_width_mm > asked.least_width_mm:
        governed = f"least width of the sheet ({joint.limits_place})"
    width = Why(
        "least width of the joint", joint.least_width_mm, "mm", "greater of opening and closing over the class's share",
        CLASSES, (*inputs, at), governed, joint.width_mm - joint.least_width_mm,
    )  # fmt: skip
    found = [(f"{name}.width", Figure(joint.least_width_mm, "mm", width))]
    for key, value, what, relation in (
        ("opens", asked.opens_mm, "opening after sealing", "to the coldest, and shrinkage"),
        ("closes", asked.closes_mm, "closing after sealing", "to the hottest"),
    ):
        found.append((f"{name}.{key}", Figure(value, "mm", Why(what, value, "mm", relation, "algebra", (*inputs, at)))))
    return tuple(found)


def _depth_why(joint: JointPlan, own: Why) -> Why:
    least = Why("least depth", joint.shallowest_mm, "mm", "thinnest layer of the sheet", joint.limits_place)
    return Why(
        "depth of sealant for the method's width", joint.wanted_depth_mm, "mm", "half the width, not below the least",
        HALF, (own, least), "least depth" if joint.wanted_depth_mm == joint.shallowest_mm else "half the width",
        joint.depth_mm - joint.wanted_depth_mm,
    )  # fmt: skip


def _backer_why(joint: JointPlan, own: Why) -> Why:
    value = "no usual size is wide enough" if joint.backer_mm is None else joint.backer_mm
    return Why(
        "rod behind the sealant", value, "mm", "next usual size a quarter wider than the joint", HALF, (own,)
    )  # fmt: skip


def _window_figures(
    name: str, joint: JointPlan, inputs: tuple[Why, ...], lacking: str
) -> tuple[tuple[str, Figure], ...]:
    found = []
    for key, what in (("seal-coldest", "coldest piece to seal at"), ("seal-hottest", "hottest piece to seal at")):
        if joint.window is None:
            why = Why(what, "none", "", lacking or "the joint is too narrow at any temperature", CLASSES, inputs)
            found.append((f"{name}.{key}", Figure(None, "degC", why)))
            continue
        value = joint.window.coldest_c if key == "seal-coldest" else joint.window.hottest_c
        relation = "temperature at which the year's far end takes all that the class allows, inside the year's range"
        found.append((f"{name}.{key}", Figure(value, "degC", Why(what, value, "degC", relation, CLASSES, inputs))))
    return tuple(found)
