"""Names for the steps: nobody twice at once, the skill there, the same people on a cover."""

from itertools import combinations

from programme.sample import job, problem, task, wet_closure
from truebed.programme.crew import assign_people
from truebed.programme.problem import Placed, Schedule
from truebed.programme.solve import solve

CREW = (("ganger", ("saw", "resin")), ("mate", ()), ("second mate", ()))


def jobs_of(*rows):
    return [job(c, 1, [task(c, "do", 5, people, (), skill)], []) for c, people, skill in rows]


def at(*starts):
    placed = tuple(Placed(c, "do", s, s + 5) for c, s in starts)
    return Schedule(tuple(c for c, _ in starts), placed, 100)


def test_everybody_is_in_one_place_and_each_step_has_its_number_and_skill():
    given = wet_closure(3)
    crew = (("A", ("saw",)), ("B", ("resin",)), ("C", ()))
    schedule = solve(given).schedule
    assigned, lacking = assign_people(given, schedule, crew)
    assert lacking == ()
    tasks = {(t.cover, t.step): t for j in given.jobs for t in j.tasks}
    skills = dict(crew)
    for one in assigned:
        need = tasks[one.cover, one.step]
        assert len(set(one.people)) == need.people
        assert not need.skill or any(need.skill in skills[name] for name in one.people)
    for (p, a), (q, b) in combinations(zip(schedule.placed, assigned, strict=True), 2):
        if p.start_min < q.end_min and q.start_min < p.end_min:
            assert not set(a.people) & set(b.people)


def test_a_rare_skill_is_kept_free_for_the_step_that_wants_it_soon():
    # the first step could take the ganger, but the second wants the skill while it runs
    given = problem(*jobs_of(("A", 1, ""), ("B", 1, "resin")))
    assigned, lacking = assign_people(given, at(("A", 0), ("B", 2)), CREW)
    assert lacking == ()
    assert assigned[0].people == ("mate",)
    assert assigned[1].people == ("ganger",)


def test_a_cover_keeps_its_people():
    steps = [task("A", s, 5, 1) for s in ("one", "two", "three")]
    given = problem(job("A", 1, steps, []))
    schedule = Schedule(("A",), tuple(Placed("A", s.step, 5 * k, 5 * k + 5) for k, s in enumerate(steps)), 20)
    assigned, _ = assign_people(given, schedule, CREW[1:])
    assert {one.people for one in assigned} == {("mate",)}


def test_where_taking_one_after_another_fails_the_exact_search_mans_the_night():
    # three rare skills, chained in time so that looking at steps running at the same time misleads
    crew = (("P", ("x", "y")), ("Q", ("x",)), ("R", ("y", "z")))
    rows = (("A", 1, "x"), ("B", 1, "y"), ("C", 1, "z"))
    given = problem(*jobs_of(*rows), people=3)
    schedule = at(("A", 0), ("B", 0), ("C", 0))
    assigned, lacking = assign_people(given, schedule, crew)
    assert lacking == ()
    assert [one.people for one in assigned] == [("Q",), ("P",), ("R",)]


def test_skills_that_cannot_be_met_are_a_finding_and_no_exception():
    given = problem(*jobs_of(("A", 1, "saw"), ("B", 1, "resin")))
    assigned, lacking = assign_people(given, at(("A", 0), ("B", 2)), CREW)
    assert len(assigned) == 2
    assert lacking
    assert {finding.code for finding in lacking} == {"PR-017"}
    assert "nobody with the skill" in " ".join(finding.what for finding in lacking)


def test_too_few_people_are_a_finding():
    given = problem(*jobs_of(("A", 2, ""), ("B", 2, "")))
    _, lacking = assign_people(given, at(("A", 0), ("B", 2)), CREW)
    assert [finding.what[:21] for finding in lacking] == ["only 1 of its 2 people"[:21]]


def test_nobody_and_nothing_are_no_fault():
    assert assign_people(problem(), Schedule((), (), 0), ()) == ((), ())
    _, lacking = assign_people(problem(*jobs_of(("A", 1, ""))), at(("A", 0)), ())
    assert len(lacking) == 1


def test_people_who_are_named_in_the_programme_stay_as_they_are():
    given = problem(*jobs_of(("A", 2, ""), ("B", 1, "")), people=3)
    placed = (Placed("A", "do", 0, 5, (0, 2)), Placed("B", "do", 0, 5, (1,)))
    assigned, lacking = assign_people(given, Schedule(("A", "B"), placed, 50), CREW)
    assert lacking == ()
    assert [one.people for one in assigned] == [("ganger", "second mate"), ("mate",)]
