"""Why covers cannot all be done: the smallest set of reasons, known by hand."""

from dataclasses import replace

from programme.sample import after, job, problem, task
from truebed.programme.why_not import why_not


def keys(given, covers):
    found = why_not(given, covers)
    assert found.smallest
    return {reason.key for reason in found.reasons}


def cover(name, minutes=10, people=1, tools=(), noisy=False, **more):
    first = replace(task(name, "a", minutes, people, tools, "", noisy), **more)
    return job(name, 1, [first, task(name, "b", 10, people)], [after("a", "b")])


def test_a_chain_longer_than_the_closure_is_the_deadlines_fault_alone():
    assert keys(problem(cover("A"), window=19), ["A"]) == {"deadline"}


def test_too_few_people_and_the_deadline_are_both_needed():
    assert keys(problem(cover("A"), cover("B"), window=30, people=1), ["A", "B"]) == {"deadline", "people"}


def test_one_saw_and_the_noise_ban_are_both_needed():
    given = problem(
        *(cover(n, 10, 1, ("saw",), True) for n in "AB"), window=90, noise=19, people=9, tools=(("saw", 1),)
    )
    assert keys(given, ["A", "B"]) == {"noise", "tool saw"}


def test_the_noise_ban_alone_where_even_one_saw_each_does_not_help():
    given = problem(cover("A", 10, 1, ("saw",), True), window=90, noise=9, people=9, tools=(("saw", 1),))
    assert keys(given, ["A"]) == {"noise"}


def test_rain_and_a_wet_edge_together():
    tasks = [task("A", "a", 10), replace(task("A", "b", 10), not_during=((0, 40),))]
    given = problem(job("A", 1, tasks, [after("a", "b", 0, 5)]), window=49)
    assert keys(given, ["A"]) == {"deadline", "forbidden hours"}
    late = replace(
        given, noise_ends_min=30, jobs=(replace(given.jobs[0], tasks=(replace(tasks[0], noisy=True), tasks[1])),)
    )
    assert keys(replace(late, window_min=90), ["A"]) == {"noise", "forbidden hours", "greatest waits"}


def test_points_with_the_people_to_hold_them_and_kits_alone():
    shaking = [cover(n, points=20.0) for n in "ABC"]
    assert keys(replace(problem(*shaking, people=1), most_points=50.0), ["A", "B", "C"]) == {"people", "points"}
    kits = [replace(cover(n), kits=(("bed", 2),)) for n in "AB"]
    assert keys(replace(problem(*kits), stock=(("bed", 3),)), ["A", "B"]) == {"stock"}


def test_a_cover_that_never_can_be_done_is_its_own_reason_and_covers_that_fit_have_none():
    found = why_not(problem(cover("A", people=9)), ["A"])
    assert (found.reasons[0].key, found.smallest) == ("never", True)
    assert "9 people" in found.reasons[0].words
    assert why_not(problem(cover("A")), ["A"]).reasons == ()
