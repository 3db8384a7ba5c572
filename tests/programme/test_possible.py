"""Covers ruled out before any hour is looked at, each with its reason."""

from dataclasses import replace

import pytest

from programme.sample import after, job, problem, task, to_open, wet_closure, wet_job
from truebed.programme.possible import sort_jobs, why_never
from truebed.programme.problem import OPEN, Lag


def reason(given):
    found = why_never(given, given.jobs[0])
    assert found is not None
    return found


def test_a_possible_cover_has_no_reason():
    given = wet_closure(1)
    assert why_never(given, given.jobs[0]) is None
    assert [net.job.cover for net in sort_jobs(given).nets] == ["C1"]


@pytest.mark.parametrize(("change", "words"), [
    ({"tools": (("mixer", 1),)}, "no saw among the tools"),
    ({"tools": (("mixer", 1), ("saw", 0))}, "no saw among the tools"),
    ({"skills": (("saw", 1),)}, "nobody in the crew has the skill 'resin'"),
    ({"people": 1}, "'saw it' needs 2 people, the crew is 1"),
    ({"crew_skills": (("saw",), (), ())}, "nobody in the crew has the skill 'resin'"),
])  # fmt: skip
def test_means_that_the_crew_lacks_are_named(change, words):
    assert reason(replace(wet_closure(1), **change)).reason == words


def test_two_of_a_tool_where_there_is_one_are_named():
    given = problem(job("C1", 1, [task("C1", "a", 5, 1, ("mixer", "mixer"))], []), tools=(("mixer", 1),))
    assert reason(given).reason == "'a it' needs 2 of 'mixer', the crew has 1"


def test_contradicting_clocks_are_both_named_with_the_minutes_between_them():
    tasks = [task("C1", "a", 5), task("C1", "b", 3)]
    lags = [after("a", "b", 12, None, "the bed sets"), after("a", "b", None, 9, "wet edge")]
    found = reason(problem(job("C1", 1, tasks, lags)))
    assert found.reason.startswith("least lag exceeds greatest lag: ")
    assert "at least 12 min from end of 'a it' to start of 'b it' (the bed sets)" in found.reason
    assert "at most 9 min from end of 'a it' to start of 'b it' (wet edge)" in found.reason
    assert found.short_by_min == 3


def test_a_life_too_short_names_the_steps_that_take_the_time():
    tasks = [task("C1", "mix", 6), task("C1", "lay", 8)]
    lags = [after("mix", "lay"), Lag("mix", "start", "lay", "end", None, 12, "working life")]
    found = reason(problem(job("C1", 1, tasks, lags)))
    assert found.short_by_min == 2
    assert "working life" in found.reason
    assert "'mix it' taking 6 min" in found.reason
    assert "'lay it' taking 8 min" in found.reason


@pytest.mark.parametrize(("bad", "words"), [
    (job("C1", 1, [], []), "it has no steps"),
    (job("C1", 0, [task("C1", "a", 5)], []), "it weighs nothing"),
    (job("C1", 1, [task("C1", "a", 5), task("C1", "a", 5)], []), "listed twice"),
    (job("C1", 1, [task("C1", "a", 5)], [after("a", "z")]), "joins steps it does not have: a to z"),
    (job("C1", 1, [task("C1", "a", 5)], [Lag(OPEN, "end", "a", "start", 1, None, "")]), "joins steps it does not have"),
    (job("C1", 1, [task("C1", "a", 5)], [replace(to_open("a", 1), greatest_min=5)]), "only a least lag"),
])  # fmt: skip
def test_data_that_do_not_hold_together_are_a_reason_and_no_exception(bad, words):
    assert words in reason(problem(bad)).reason


def test_a_cover_listed_twice_is_done_by_neither_listing():
    given = problem(wet_job("C1"), wet_job("C1"))
    assert sort_jobs(given).nets == ()
    assert [out.cover for out in sort_jobs(given).never] == ["C1", "C1"]


def test_a_cover_that_is_only_too_long_is_not_among_the_nets_and_not_among_the_never():
    given = replace(wet_closure(1), window_min=40)
    assert sort_jobs(given) == type(sort_jobs(given))((), ())


def shaking(points, people):
    return job("C1", 1, [replace(task("C1", "break", 5, people), points=points)], [])


@pytest.mark.parametrize(("given", "words"), [
    (replace(problem(shaking(0.0, 2), people=3), teams=(1, 1, 1)), "needs 2 people, the largest team is 1"),
    (replace(problem(shaking(90.0, 2)), most_points=40.0), "gives each of its people 45 vibration points"),
    (problem(shaking(9.0, 0)), "shakes its holder, but nobody is on it"),
    (replace(problem(replace(shaking(0.0, 1), kits=(("bed", 4),))), stock=(("bed", 3),)), "takes 4 kits of 'bed'"),
])  # fmt: skip
def test_teams_points_and_stock_that_rule_a_cover_out_are_named(given, words):
    assert words in reason(given).reason


def test_points_of_all_steps_are_held_against_the_largest_team():
    steps = [replace(task("C1", f"s{k}", 5, 1), points=30.0) for k in range(3)]
    given = replace(problem(job("C1", 1, steps, []), people=2), most_points=40.0)
    assert "90 vibration points, the budget of a whole team is 80" in reason(given).reason
