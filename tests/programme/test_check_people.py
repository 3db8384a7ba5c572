"""People named on steps, one by one: every way to name them wrongly is found under its code."""

from dataclasses import replace

import pytest

from programme.sample import job, problem, task
from truebed.programme.check import check_schedule
from truebed.programme.problem import Placed, Schedule


def codes(given, *placed):
    done = tuple(dict.fromkeys(p.cover for p in placed))
    return [f.code for f in check_schedule(given, Schedule(done, placed, 90))]


def shaking(name, points=0.0, people=1, skill=""):
    return job(name, 1, [replace(task(name, "s", 5, people, (), skill), points=points)], [])


GIVEN = replace(
    problem(shaking("A", 20.0, 2), shaking("B", 20.0, 1), people=3), most_points=30.0, walk_min=(("B", "A", 4),)
)


def test_people_well_named_pass():
    assert codes(GIVEN, Placed("A", "s", 0, 5, (0, 1)), Placed("B", "s", 0, 5, (2,))) == []
    assert codes(GIVEN, Placed("A", "s", 0, 5, (0, 1)), Placed("B", "s", 9, 14, (0,))) == []


@pytest.mark.parametrize(("a", "b", "at", "code"), [
    ((0,), (2,), 0, "PR-023"),  # too few
    ((0, 0), (2,), 0, "PR-023"),  # one counted twice
    ((), (), 0, "PR-023"),  # nobody named where points matter
    ((0, 3), (2,), 0, "PR-023"),  # not in the crew
    ((0, 1), (1,), 3, "PR-023"),  # at two steps at once
    ((0, 1), (1,), 8, "PR-020"),  # three minutes for a walk of four
])  # fmt: skip
def test_people_wrongly_named_are_found(a, b, at, code):
    assert code in codes(GIVEN, Placed("A", "s", 0, 5, a), Placed("B", "s", at, at + 5, b))


def test_points_are_added_up_for_each_person():
    over = replace(GIVEN, most_points=29.9)
    # half of twenty and twenty are thirty
    assert codes(over, Placed("A", "s", 0, 5, (0, 1)), Placed("B", "s", 9, 14, (0,))) == ["PR-018"]
    assert codes(over, Placed("A", "s", 0, 5, (0, 1)), Placed("B", "s", 9, 14, (2,))) == []


def test_a_cover_belongs_to_one_team():
    given = replace(problem(shaking("A", 0.0, 2), people=4), teams=(2, 2))
    assert codes(given, Placed("A", "s", 0, 5, (1, 2))) == ["PR-023"]
    assert codes(given, Placed("A", "s", 0, 5, (2, 3))) == []


def test_one_of_a_steps_people_has_its_skill():
    given = replace(problem(shaking("A", 0.0, 1, "resin"), people=2, skills=(("resin", 1),)),
                    crew_skills=((), ("resin",)), most_points=9.0)  # fmt: skip
    assert codes(given, Placed("A", "s", 0, 5, (0,))) == ["PR-023"]
    assert codes(given, Placed("A", "s", 0, 5, (1,))) == []


def test_where_only_counts_matter_nobody_need_be_named_but_a_wrong_name_is_found():
    given = problem(shaking("A", 0.0, 1), people=2)
    assert codes(given, Placed("A", "s", 0, 5)) == []
    assert codes(given, Placed("A", "s", 0, 5, (5,))) == ["PR-023"]
