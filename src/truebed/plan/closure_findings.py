"""What the checks of one closure's programme found: opening, hand way, covers left out, vibration of the night."""

from __future__ import annotations

from datetime import timedelta

from truebed.care.vibration import daily_exposure_m_per_s2, vibration_points
from truebed.findings import Finding, Severity
from truebed.given.works import Works
from truebed.plan.result import ClosurePlan
from truebed.programme.crew import Assignment, assign_people
from truebed.programme.problem import OPEN
from truebed.rules.ruleset import RuleSet

#: A margin to the deadline below this is called close.
CLOSE_MARGIN_MIN = 30
Crew = tuple[tuple[str, tuple[str, ...]], ...]


def clock_text(plan: ClosurePlan, minute: int) -> str:
    """A minute of the closure as a clock time of the works.

    Valid       minutes after the road shuts
    Source      algebra
    Proved by   tests/plan/test_closure_findings.py
    """
    return (plan.shut + timedelta(minutes=minute)).strftime("%H:%M")


def late_open_min(plan: ClosurePlan) -> int | None:
    """When the road could open if every wait to the opening ran to the late end of its range; None where none is done.

    Earlier waits of the chain are not stretched: the risk of the whole night is a later part's work.

    Valid       a plan of one closure
    Source      algebra
    Proved by   tests/plan/test_closure_findings.py
    """
    latest = plan.solution.schedule.open_min if plan.solution.schedule.done else None
    for name in plan.solution.schedule.done:
        job = next(j for j in plan.problem.jobs if j.cover == name)
        ratio = max(
            (c.late_min / c.minutes_min for c in plan.design(name).clocks if c.kind in ("strength", "ready")),
            default=1.0,
        )
        placed = {p.step: p for p in plan.solution.schedule.of(name)}
        for lag in job.lags:
            if lag.to_step == OPEN and lag.least_min is not None and latest is not None:
                edge = placed[lag.from_step]
                begins = edge.end_min if lag.from_edge == "end" else edge.start_min
                latest = max(latest, round(begins + lag.least_min * ratio))
    return latest


def opening_findings(plan: ClosurePlan) -> list[Finding]:
    """The opening against the deadline, by the plan and by the late end of the last waits.

    Valid       a plan of one closure
    Source      closures.csv, the programme
    Proved by   tests/plan/test_closure_findings.py
    """
    schedule, window = plan.solution.schedule, plan.problem.window_min
    if not schedule.done:
        return [
            Finding(
                "PR-101", Severity.CLOSE, plan.closure, "no cover can be done in this closure", 0.0, "covers",
                source="the programme", mend="See each cover's reason.",
            )
        ]  # fmt: skip
    found = []
    hand = window - schedule.open_min
    limit = f"road open by {clock_text(plan, window)}"
    if hand < CLOSE_MARGIN_MIN:
        found.append(
            Finding(
                "PR-102", Severity.CLOSE, plan.closure,
                f"the road opens at {clock_text(plan, schedule.open_min)}, {hand} minutes before it must", float(hand),
                "min", limit, "closures.csv", "Have the last cover ready to be left alone before break-out.",
            )
        )  # fmt: skip
    late = late_open_min(plan)
    if late is not None and late > window:
        found.append(
            Finding(
                "PR-103", Severity.CLOSE, plan.closure,
                f"if the last waits run to the late end of their range the road opens at {clock_text(plan, late)}",
                float(late - window), "min late", limit, "range of the clocks (90 %)",
                "Probe the last layers; do not open on the clock alone.",
            )
        )  # fmt: skip
    return found


def quality_findings(plan: ClosurePlan) -> list[Finding]:
    """How good the programme is known to be, and what the hand way does.

    Valid       a plan of one closure
    Source      the solver's own bounds
    Proved by   tests/plan/test_closure_findings.py
    """
    solution, hand = plan.solution, plan.hand
    proven = "proven best" if solution.weight_proven else f"best found; at most {solution.weight_bound} is possible"
    opening = "earliest proven" if solution.open_proven else f"not before minute {solution.open_bound_min} proven"
    found = [
        Finding(
            "PR-104", Severity.STATED, plan.closure,
            f"severity done {solution.weight} ({proven}); opening {opening}. One cover after another would do "
            f"{len(hand.done)} and open at {clock_text(plan, hand.open_min)}; this plan does "
            f"{len(solution.schedule.done)} and opens at {clock_text(plan, solution.schedule.open_min)}; durations are "
            "the methods' own, without risk",
            float(len(solution.schedule.done) - len(hand.done)), "covers more", source="the programme",
        )
    ]  # fmt: skip
    return found + [
        Finding(
            "PR-105", Severity.ADVICE, out.cover, f"not tonight ({plan.closure}): {out.reason}",
            None if out.short_by_min is None else float(out.short_by_min), "min short" if out.short_by_min else "",
            source="the programme",
        )
        for out in plan.left_out
    ]  # fmt: skip


def person_points(works: Works, plan: ClosurePlan, assigned: tuple[Assignment, ...]) -> dict[str, float]:
    """Vibration points of each person if the first named holds the tool for the whole of its step.

    An upper bound: trigger time is less than the step's time.

    Valid       tools with a vibration value
    Source      [hse-vibration]
    Proved by   tests/plan/test_closure_findings.py
    """
    value = {t.kind: t.vibration_m_per_s2 for t in works.tools if t.vibration_m_per_s2 is not None}
    tasks = {(t.cover, t.step): t for job in plan.problem.jobs for t in job.tasks}
    points: dict[str, float] = {}
    for one in assigned:
        task = tasks[(one.cover, one.step)]
        for kind in task.tools:
            if kind in value and one.people:
                shared = vibration_points(value[kind], float(task.minutes)) / len(one.people)
                for person in one.people:
                    points[person] = points.get(person, 0.0) + shared
    return points


def vibration_findings(works: Works, plan: ClosurePlan, crew: Crew, rules: RuleSet) -> list[Finding]:
    """People over the action or limit value, the step's people sharing the tool evenly.

    Valid       a checked schedule
    Source      rule set values vibration_action_points, vibration_limit_points
    Proved by   tests/plan/test_closure_findings.py
    """
    assigned, lacking = assign_people(plan.problem, plan.solution.schedule, crew)
    found = list(lacking)
    points = person_points(works, plan, assigned)
    for name, severity in (("vibration_limit_points", Severity.BREAKS), ("vibration_action_points", Severity.CLOSE)):
        rule = rules.find(name)
        if rule is None or isinstance(rule.value, str):
            continue
        for person, value in sorted(points.items()):
            if value > rule.value and not any(f.subject == f"{plan.closure}, {person}" for f in found):
                found.append(
                    Finding(
                        "CR-001", severity, f"{plan.closure}, {person}",
                        f"vibration of the night if the step's people share the tool evenly and hold it all the step: "
                        f"A(8) {daily_exposure_m_per_s2(value):.1f} m/s2 (upper bound)",
                        round(value, 1), "points", f"{rule.value:g} points", rule.cite(),
                        "Swap who holds the breaker and the saw, use a lower-vibration tool, log trigger minutes.",
                    )
                )  # fmt: skip
    return found


def closure_findings(works: Works, plan: ClosurePlan, crew: Crew, rules: RuleSet) -> tuple[Finding, ...]:
    """All findings of a closure's programme.

    Valid       a plan of one closure
    Source      as each finding names
    Proved by   tests/plan/test_closure_findings.py
    """
    refused = [
        Finding("CV-001", Severity.BREAKS, n.cover, f"not designed, because: {n.reason.removesuffix('.')}", mend=n.mend)
        for n in plan.not_designed
    ]
    return tuple(
        refused + opening_findings(plan) + quality_findings(plan) + vibration_findings(works, plan, crew, rules)
    )
