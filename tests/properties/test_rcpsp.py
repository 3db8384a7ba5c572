"""Whatever the project: rules and model give only sound plans, no bound passes a makespan, proofs agree."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from truebed.programme.rcpsp import Activity, Project, StartLag, ends_at, ways
from truebed.programme.rcpsp_check import faults
from truebed.programme.rcpsp_heuristics import by_rule, justified, longest_plan
from truebed.programme.rcpsp_model import least_makespan, solve_project


@st.composite
def projects(draw: st.DrawFn) -> Project:
    count = draw(st.integers(1, 7))
    activity = st.builds(Activity, st.integers(0, 5), st.tuples(st.integers(0, 3), st.integers(0, 2)))
    acts = tuple(draw(activity) for _ in range(count))
    lags = []
    for _ in range(draw(st.integers(0, 6)) if count > 1 else 0):
        before, after = draw(st.permutations(range(count)))[:2]
        least = draw(st.integers(-4, 6))
        slack = draw(st.none() | st.integers(0, 4))
        lags.append(StartLag(before, after, least, None if slack is None else least + slack))
    return Project(acts, (3, 2), tuple(lags))


@given(project=projects())
@settings(max_examples=60, deadline=None)
def test_rules_and_justification_give_only_sound_plans(project: Project) -> None:
    table = ways(project)
    if table is None:
        return
    found = by_rule(project, table, list(range(len(project.activities))), longest_plan(project))
    if found is not None:
        assert faults(project, found) == ()
        better = justified(project, table, found)
        assert faults(project, better) == ()
        assert least_makespan(project, table) <= ends_at(project, better) <= ends_at(project, found)


@given(project=projects())
@settings(max_examples=25, deadline=None)
def test_a_plan_of_the_model_is_sound_and_never_under_its_bound(project: Project) -> None:
    found = solve_project(project, deterministic_limit_s=0.5)
    if found.starts is None:
        assert found.standing in ("infeasible", "unknown")
        return
    assert faults(project, found.starts, said_end=found.makespan) == ()
    assert found.makespan is not None
    assert found.bound <= found.makespan
    assert (found.standing == "optimal") == (found.bound == found.makespan)
