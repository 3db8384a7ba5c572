"""What the checks of a closure's programme find."""

from dataclasses import replace
from datetime import datetime

import pytest

from plan.sample import demo_works, shelf
from plan.small_night import small_night, small_works
from truebed.findings import Severity
from truebed.plan.closure import crew_of
from truebed.plan.closure_findings import (
    clock_at,
    clock_text,
    closure_findings,
    late_ends_min,
    late_open_min,
    opening_findings,
    person_points,
    quality_findings,
    vibration_findings,
)
from truebed.plan.result import NotDesigned
from truebed.programme.crew import assign_people
from truebed.programme.problem import Schedule

PLAN = small_night().plan
CREW = crew_of(small_works(), small_works().closures[0])


def test_minutes_are_told_as_clock_times_of_the_works():
    assert clock_text(PLAN, 0) == "20:00"
    assert clock_text(PLAN, 300) == "01:00"


def test_on_a_night_when_the_clocks_change_the_wall_clock_is_told():
    shut = datetime.fromisoformat("2027-10-30T20:00+01:00")
    assert clock_at(shut, 240, "Europe/London") == "00:00"
    assert clock_at(shut, 600, "Europe/London") == "05:00"
    assert clock_at(shut, 600, "") == "06:00"


def test_a_schedule_that_was_checked_brings_no_finding_of_the_checker():
    assert not [f for f in small_night().findings if f.code.startswith("PR-0")]


def test_the_late_opening_is_never_before_the_planned_one():
    assert late_open_min(PLAN) >= PLAN.solution.schedule.open_min
    nothing = replace(PLAN, solution=replace(PLAN.solution, schedule=Schedule((), (), 0)))
    assert late_open_min(nothing) is None


def test_little_time_in_hand_and_late_waits_are_called_close():
    tight = replace(PLAN, problem=replace(PLAN.problem, window_min=PLAN.solution.schedule.open_min + 5))
    codes = {f.code: f for f in opening_findings(tight)}
    assert codes["PR-102"].value == 5.0
    assert codes["PR-102"].severity is Severity.CLOSE
    assert codes["PR-103"].value > 0.0
    assert opening_findings(replace(PLAN, problem=replace(PLAN.problem, window_min=2000))) == []


def test_a_closure_with_nothing_done_says_so():
    nothing = replace(PLAN, solution=replace(PLAN.solution, schedule=Schedule((), (), 0)))
    assert [f.code for f in opening_findings(nothing)] == ["PR-101"]


def test_quality_is_stated_beside_the_hand_way():
    finding = quality_findings(PLAN)[0]
    assert finding.code == "PR-104"
    assert "One cover after another" in finding.what
    assert "without risk" in finding.what
    assert finding.value == len(PLAN.solution.schedule.done) - len(PLAN.hand.done)


def test_vibration_points_are_an_upper_bound_for_each_person():
    assigned, lacking = assign_people(PLAN.problem, PLAN.solution.schedule, CREW)
    assert lacking == ()
    points = person_points(small_works(), PLAN, assigned)
    tools = {t.kind: t.vibration_m_per_s2 for t in small_works().tools if t.vibration_m_per_s2 is not None}
    tasks = {(t.cover, t.step): t for j in PLAN.problem.jobs for t in j.tasks}
    for person, value in points.items():
        own = [tasks[(a.cover, a.step)] for a in assigned if person in a.people]
        assert value == pytest.approx(
            sum(2 * tools[k] ** 2 * t.minutes / 60 for t in own for k in t.tools if k in tools)
        )


def test_of_two_tools_of_a_kind_the_worst_counts_and_one_without_a_value_is_said():
    tools = small_works().tools
    breaker = next(t for t in tools if t.kind == "breaker")
    assigned, _ = assign_people(PLAN.problem, PLAN.solution.schedule, CREW)
    softer = replace(small_works(), tools=(*tools, replace(breaker, tool="soft", vibration_m_per_s2=2.0)))
    assert person_points(softer, PLAN, assigned) == person_points(small_works(), PLAN, assigned)
    unknown = replace(small_works(), tools=tuple(replace(t, vibration_m_per_s2=None) for t in tools))
    assert {f.code for f in vibration_findings(unknown, PLAN, CREW, shelf().rules)} == {"CR-002"}


def test_a_stronger_tool_takes_people_over_action_and_limit_values():
    loud = replace(
        small_works(),
        tools=tuple(replace(t, vibration_m_per_s2=60.0) if t.kind == "breaker" else t for t in small_works().tools),
    )
    found = vibration_findings(loud, PLAN, CREW, shelf().rules)
    assert {f.severity for f in found} == {Severity.BREAKS}
    assert all("upper bound" in f.what for f in found)


def test_a_cover_that_was_not_designed_is_a_finding_that_breaks():
    plan = replace(PLAN, not_designed=(NotDesigned("Z1", "Tallow Row", "cover", "no bed fits.", "Take a course off."),))
    finding = closure_findings(demo_works(), plan, CREW, shelf().rules)[0]
    assert (finding.code, finding.severity, finding.mend) == ("CV-001", Severity.BREAKS, "Take a course off.")


def test_late_waits_push_the_whole_chain_not_only_the_last_wait():
    name = PLAN.solution.schedule.done[0]
    job = next(j for j in PLAN.problem.jobs if j.cover == name)
    placed = {p.step: p for p in PLAN.solution.schedule.of(name)}
    ends, opens = late_ends_min(job, placed)
    assert all(ends[step] >= p.end_min for step, p in placed.items())
    for lag in job.lags:
        if lag.late_min is not None and lag.to_step in placed:
            edges = {"end": 0, "start": 1}
            task = {t.step: t.minutes for t in job.tasks}
            begins = ends[lag.from_step] - task[lag.from_step] * edges[lag.from_edge]
            reached = ends[lag.to_step] - task[lag.to_step] * edges[lag.to_edge]
            assert reached >= begins + lag.late_min
    last_only = max(
        placed[x.from_step].end_min + x.late_min for x in job.lags if x.to_step == "open" and x.late_min is not None
    )
    assert opens > last_only
