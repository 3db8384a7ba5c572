"""What the checks of one closure's programme found: opening, hand way, covers left out, vibration of the night."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from truebed.care.vibration import daily_exposure_m_per_s2, vibration_points
from truebed.findings import Finding, Severity
from truebed.given.works import Works
from truebed.plan.result import ClosurePlan
from truebed.programme.crew import Assignment, assign_people
from truebed.programme.problem import OPEN, Job, Placed
from truebed.rules.ruleset import RuleSet

#: A margin to the deadline below this is called close.
CLOSE_MARGIN_MIN = 30
#: Kinds of tools that shake the hands that hold them. Common practice, no source.
SHAKING_KINDS = ("saw", "breaker")
Crew = tuple[tuple[str, tuple[str, ...]], ...]


def clock_text(plan: ClosurePlan, minute: int) -> str:
    """A minute of the closure as a clock time of the works.

    Valid       minutes after the road shuts
    Source      algebra
    Proved by   tests/plan/test_closure_findings.py
    """
    return clock_at(plan.shut, minute, plan.time_zone)


def clock_at(shut: datetime, minute: int, time_zone: str) -> str:
    """A minute after the shutting as the clock on the wall shows it; without a zone in the shutting's own offset.

    Valid       minutes after the road shuts; also over a change of the clocks
    Source      algebra
    Proved by   tests/plan/test_closure_findings.py
    """
    moment = shut + timedelta(minutes=minute)
    return (moment.astimezone(ZoneInfo(time_zone)) if time_zone else moment).strftime("%H:%M")


def late_ends_min(job: Job, placed: dict[str, Placed]) -> tuple[dict[str, int], int]:
    """Ends of a cover's steps and its last wait to the opening, if every wait runs to the late end of its range.

    A step starts no earlier than planned; people and tools are taken to be free when it is put off.

    Valid       a cover that is done
    Source      algebra (longest path)
    Proved by   tests/plan/test_closure_findings.py
    """
    length = {t.step: t.minutes for t in job.tasks}
    start = {step: p.start_min for step, p in placed.items()}

    def edge(step: str, which: str) -> int:
        return start[step] + (length[step] if which == "end" else 0)

    waits = [lag for lag in job.lags if lag.late_min is not None]
    for _ in job.tasks:
        for lag in waits:
            if lag.to_step != OPEN and lag.late_min is not None:
                at_least = edge(lag.from_step, lag.from_edge) + lag.late_min
                start[lag.to_step] += max(0, at_least - edge(lag.to_step, lag.to_edge))
    opens = [
        edge(lag.from_step, lag.from_edge) + lag.late_min
        for lag in waits
        if lag.to_step == OPEN and lag.late_min is not None
    ]
    return {step: start[step] + length[step] for step in start}, max(opens, default=0)


def late_open_min(plan: ClosurePlan) -> int | None:
    """When the road could open if every wait of every cover ran to the late end of its range; None where none is done.

    People and tools are not shared out anew: the true hour may be later still.

    Valid       a plan of one closure
    Source      algebra
    Proved by   tests/plan/test_closure_findings.py
    """
    schedule = plan.solution.schedule
    if not schedule.done:
        return None
    latest = schedule.open_min
    for name in schedule.done:
        job = next(j for j in plan.problem.jobs if j.cover == name)
        ends, opens = late_ends_min(job, {p.step: p for p in schedule.of(name)})
        latest = max(latest, opens, max(ends.values()) + plan.problem.tm_clear_min)
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
                f"if every wait runs to the late end of its range the road opens at {clock_text(plan, late)} or later",
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


def person_points(
    works: Works, plan: ClosurePlan, assigned: tuple[Assignment, ...], *, in_turns: bool = False
) -> dict[str, float]:
    """Vibration points of each person if that person holds the tool for the whole of every step they are put to.

    An upper bound for each, since trigger time is less than the step's time. in_turns: the people of a step share it
    evenly instead.

    Valid       tools with a vibration value
    Source      [hse-vibration]
    Proved by   tests/plan/test_closure_findings.py
    """
    value: dict[str, float] = {}
    for tool in works.tools:  # of several tools of a kind the worst counts
        if tool.vibration_m_per_s2 is not None:
            value[tool.kind] = max(value.get(tool.kind, 0.0), tool.vibration_m_per_s2)
    tasks = {(t.cover, t.step): t for job in plan.problem.jobs for t in job.tasks}
    points: dict[str, float] = {}
    for one in assigned:
        task = tasks[(one.cover, one.step)]
        for kind in task.tools:
            if kind in value and one.people:
                share = len(one.people) if in_turns else 1
                for person in one.people:
                    step = vibration_points(value[kind], float(task.minutes)) / share
                    points[person] = points.get(person, 0.0) + step
    return points


def vibration_findings(works: Works, plan: ClosurePlan, crew: Crew, rules: RuleSet) -> list[Finding]:
    """People who could come over the action or limit value, and vibrating tools whose value is not known.

    Valid       a checked schedule
    Source      rule set values vibration_action_points, vibration_limit_points
    Proved by   tests/plan/test_closure_findings.py
    """
    assigned, lacking = assign_people(plan.problem, plan.solution.schedule, crew)
    found = list(lacking)
    known = {t.kind for t in works.tools if t.vibration_m_per_s2 is not None}
    for tool in works.tools:
        if tool.kind in SHAKING_KINDS and tool.kind not in known:
            found.append(
                Finding(
                    "CR-002", Severity.ADVICE, f"{plan.closure}, {tool.tool}",
                    "no vibration value is given, so nobody's exposure to it is counted", source="tools.csv",
                    mend="Give vibration_m_per_s2 and where it was read; doubling a declared value may be safer.",
                )
            )  # fmt: skip
    points = person_points(works, plan, assigned)
    shared = person_points(works, plan, assigned, in_turns=True)
    for name in ("vibration_limit_points", "vibration_action_points"):
        rule = rules.find(name)
        if rule is None or isinstance(rule.value, str):
            continue
        for person, value in sorted(points.items()):
            if value > rule.value and not any(f.subject == f"{plan.closure}, {person}" for f in found):
                limit = name == "vibration_limit_points" and shared[person] > rule.value
                severity = Severity.BREAKS if limit else Severity.CLOSE
                found.append(
                    Finding(
                        "CR-001", severity, f"{plan.closure}, {person}",
                        f"vibration of the night if this person holds the tool through every step they are put to: "
                        f"A(8) {daily_exposure_m_per_s2(value):.1f} m/s2 (upper bound); taking even turns "
                        f"{shared[person]:.0f} points",
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
