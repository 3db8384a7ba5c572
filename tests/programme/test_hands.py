"""Who is free for a step: teams, walks, points in even turns."""

from dataclasses import replace
from fractions import Fraction

from programme.sample import job, problem, task
from truebed.programme.hands import Hands, are_named, has_skill, share_of, team_of, team_spans, walks_of
from truebed.programme.problem import Placed

TWO = problem(job("A", 1, [task("A", "s", 5)], []), job("B", 1, [task("B", "s", 5)], []), people=3)


def test_people_are_named_only_where_it_matters_who_is_where():
    assert not are_named(TWO)
    assert are_named(replace(TWO, teams=(1, 2)))
    assert are_named(replace(TWO, most_points=0.0))
    assert are_named(replace(TWO, walk_min=(("A", "B", 2),)))


def test_teams_lie_one_behind_the_other_in_the_crew():
    assert [list(span) for span in team_spans(replace(TWO, teams=(1, 2)))] == [[0], [1, 2]]
    assert [list(span) for span in team_spans(TWO)] == [[0, 1, 2]]
    placed = (Placed("A", "s", 0, 5, (2,)), Placed("B", "s", 0, 5, (0,)))
    assert team_of(replace(TWO, teams=(1, 2)), placed) == {"A": 1, "B": 0}


def test_a_walk_holds_both_ways():
    assert walks_of(replace(TWO, walk_min=(("A", "B", 2),))) == {("A", "B"): 2, ("B", "A"): 2}


def test_two_on_a_step_have_half_of_its_points_each():
    assert share_of(replace(task("A", "s", 5, 2), points=25.5)) == Fraction(51, 4)


def test_a_skill_only_counted_is_had_by_everybody():
    assert has_skill(TWO, 2, "resin")
    assert not has_skill(replace(TWO, crew_skills=((), (), ("resin",))), 0, "resin")


def test_the_holder_rotates_and_nobody_passes_the_budget():
    given = replace(TWO, most_points=30.0)
    hands = Hands(given, {})
    shaking = replace(task("A", "s", 5), points=20.0)
    held = []
    for start in (0, 10, 20, 30):
        who = hands.who(shaking, start, range(3))
        if who is not None:
            hands.take(shaking, start, who)
        held.append(who)
    assert held == [(0,), (1,), (2,), None]


def test_nobody_is_at_two_covers_without_the_minutes_of_the_walk():
    given = replace(TWO, walk_min=(("A", "B", 3),), people=1)
    hands = Hands(given, walks_of(given))
    hands.take(task("A", "s", 5), 10, (0,))
    there = task("B", "s", 5)
    assert [hands.who(there, start, range(1)) for start in (2, 3, 17, 18)] == [(0,), None, None, (0,)]
    assert hands.who(task("A", "t", 5), 15, range(1)) == (0,)
