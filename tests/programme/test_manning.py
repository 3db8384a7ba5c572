"""Names for the steps of a schedule whose times stand: exact, or none."""

from dataclasses import replace

from programme.sample import job, problem, task
from truebed.programme.check import check_schedule
from truebed.programme.manning import manned
from truebed.programme.problem import Placed, Schedule


def shaking(name, points, people=1):
    return job(name, 1, [replace(task(name, "s", 5, people), points=points)], [])


def at(*starts):
    names = "ABCD"[: len(starts)]
    placed = tuple(Placed(n, "s", s, s + 5) for n, s in zip(names, starts, strict=True))
    return Schedule(tuple(names), placed, 60)


def test_budgets_are_packed_person_by_person():
    given = replace(problem(*(shaking(n, p) for n, p in zip("ABCD", (20, 10, 15, 15), strict=True))), most_points=30.0)
    found = manned(given, at(0, 10, 20, 30), dict.fromkeys("ABCD", 0))
    assert found is not None
    assert check_schedule(given, found) == ()
    who = {p.cover: p.people for p in found.placed}
    assert who["A"] == who["B"] != who["C"] == who["D"]
    assert manned(replace(given, most_points=29.0), at(0, 10, 20, 30), dict.fromkeys("ABCD", 0)) is None


def test_a_walk_that_no_person_can_make_leaves_the_step_without_people():
    given = replace(problem(shaking("A", 0), shaking("B", 0), people=1), walk_min=(("A", "B", 6),))
    team = dict.fromkeys("AB", 0)
    assert manned(given, at(0, 11), team) is not None
    assert manned(given, at(0, 10), team) is None
    without = manned(given, at(0, 10), team, walks=False)
    assert without is not None
    assert {p.people for p in without.placed} == {(0,)}


def test_people_stay_at_their_covers_where_walks_are_still_to_be_timed():
    given = replace(
        problem(*(job(n, 1, [task(n, "s", 5), task(n, "t", 5)], []) for n in "AB")), walk_min=(("A", "B", 1),)
    )
    placed = tuple(Placed(n, s, at_, at_ + 5) for n in "AB" for s, at_ in (("s", 0), ("t", 20)))
    found = manned(given, Schedule(("A", "B"), placed, 60), dict.fromkeys("AB", 0), walks=False)
    assert found is not None
    assert len({(p.cover, p.people) for p in found.placed}) == 2
