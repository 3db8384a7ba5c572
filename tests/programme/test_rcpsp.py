"""The general project model: three projects with greatest lags worked by hand, rules, bounds and order of twins."""

from __future__ import annotations

import pytest

from truebed.programme.rcpsp import Activity, Project, StartLag, ends_at, too_much, ways
from truebed.programme.rcpsp_check import faults
from truebed.programme.rcpsp_heuristics import best_by_rules, by_rule, justified, longest_plan, tails
from truebed.programme.rcpsp_model import least_makespan, solve_project, twins


def _project(acts: list[tuple[int, int]], lags: list[tuple[int, ...]], capacity: int = 1) -> Project:
    return Project(tuple(Activity(t, (d,)) for t, d in acts), (capacity,), tuple(StartLag(*g) for g in lags))


#: One resource. 0 (3 long), then 1 (2 long) 3 to 5 later, and 2 (2 long) wherever there is room: 7 of work in all.
FEASIBLE = _project([(3, 1), (2, 1), (2, 1)], [(0, 1, 3, 5)])
#: 2 must lie between 0 and 1 (at least 3 after 0, and 1 at least 2 after 2), but 1 starts at most 4 after 0.
CONTRADICTORY = _project([(3, 1), (2, 1), (2, 1)], [(0, 2, 3), (2, 1, 2), (0, 1, 3, 4)])
#: No contradiction in the lags: 1 and 2 each start exactly 1 or 2 after 0, but both hold the one resource for 2.
NO_ROOM = _project([(0, 0), (2, 1), (2, 1)], [(0, 1, 1, 2), (0, 2, 1, 2)])
#: 1 starts exactly 4 after 0, 3 exactly 4 after 2, all 2 long on one resource: interlocked 0 2 1 3, end 8.
TIGHT = _project([(2, 1)] * 4, [(0, 1, 4, 4), (2, 3, 4, 4)])


def test_the_feasible_project_with_a_greatest_lag_ends_at_seven() -> None:
    found = solve_project(FEASIBLE)
    assert (found.standing, found.makespan, found.bound) == ("optimal", 7, 7)
    assert found.starts is not None
    assert faults(FEASIBLE, found.starts, said_end=7) == ()


def test_the_tight_project_is_interlocked_and_ends_at_eight() -> None:
    found = solve_project(TIGHT)
    assert (found.standing, found.makespan) == ("optimal", 8)
    assert found.starts is not None
    assert faults(TIGHT, found.starts, said_end=8) == ()


@pytest.mark.parametrize("project", [CONTRADICTORY, NO_ROOM])
def test_an_unsatisfiable_project_is_never_called_solved(project: Project) -> None:
    found = solve_project(project)
    assert (found.standing, found.starts, found.makespan) == ("infeasible", None, None)


def test_contradictory_lags_have_no_table_of_ways() -> None:
    assert ways(CONTRADICTORY) is None
    assert ways(NO_ROOM) is not None


def test_an_activity_that_asks_for_more_than_there_is_makes_the_project_infeasible() -> None:
    project = _project([(1, 2)], [])
    assert too_much(project) == (0,)
    assert solve_project(project).standing == "infeasible"


def test_unscheduling_finds_the_plan_that_plain_generation_misses() -> None:
    table = ways(TIGHT)
    assert table is not None
    found = by_rule(TIGHT, table, [0, 3, 1, 2], longest_plan(TIGHT))
    assert found is not None
    assert faults(TIGHT, found) == ()


def test_justification_closes_a_gap() -> None:
    project = _project([(2, 1), (2, 1)], [(0, 1, 2, 9)])
    table = ways(project)
    assert table is not None
    assert ends_at(project, justified(project, table, (0, 6))) == 4


def test_the_rules_prefer_the_longest_tail() -> None:
    project = _project([(1, 1), (1, 1), (9, 0)], [(1, 2, 1)])
    table = ways(project)
    assert table is not None
    assert tails(project, table).tolist() == [1, 10, 9]
    best = best_by_rules(project, table)
    assert best is not None
    assert ends_at(project, best) == 10


def test_the_least_makespan_counts_work_and_the_longest_way() -> None:
    by_work, by_way = _project([(2, 1)] * 3, []), _project([(2, 0)] * 2, [(0, 1, 5)])
    for project, least in ((by_work, 6), (by_way, 7)):
        table = ways(project)
        assert table is not None
        assert least_makespan(project, table) == least
        assert longest_plan(project) >= least


def test_twins_are_alike_in_all_their_lags() -> None:
    project = _project([(1, 0), (2, 1), (2, 1), (2, 1)], [(0, 1, 1), (0, 2, 1), (0, 3, 2)])
    assert twins(project) == ((1, 2),)


def test_two_runs_give_the_same_plan() -> None:
    project = _project([(k % 4 + 1, k % 3 + 1) for k in range(14)], [(k, k + 3, 2, 9) for k in range(11)], 4)
    assert solve_project(project, deterministic_limit_s=1.0) == solve_project(project, deterministic_limit_s=1.0)
