"""The second stage: people stand, walks take their minutes, the road opens as early as that allows."""

from dataclasses import replace
from itertools import pairwise, permutations

from programme.sample import job, problem, task
from truebed.programme.check import check_schedule
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Placed, Schedule
from truebed.programme.retime import retimed

WALKS = {("A", "B"): 2, ("A", "C"): 9, ("B", "C"): 4, ("A", "D"): 6, ("B", "D"): 7, ("C", "D"): 3}


def given(window=100):
    jobs = [job(n, 1, [task(n, "s", 5)], []) for n in "ABCD"]
    return replace(problem(*jobs, people=1, window=window), walk_min=tuple((a, b, w) for (a, b), w in WALKS.items()))


def hopping():
    placed = tuple(Placed(n, "s", 5 * k, 5 * k + 5, (0,)) for k, n in enumerate("ACBD"))
    return Schedule(("A", "B", "C", "D"), placed, 20)


def test_one_person_takes_the_shortest_way_round_all_covers():
    closure = given()
    found = retimed(closure, {net.job.cover: net for net in sort_jobs(closure).nets}, hopping(), 2.0)
    assert found is not None
    assert check_schedule(closure, found) == ()
    both = WALKS | {(b, a): w for (a, b), w in WALKS.items()}
    shortest = min(sum(both[x, y] for x, y in pairwise(way)) for way in permutations("ABCD"))
    assert found.open_min == 20 + shortest == 29


def test_where_no_time_is_left_for_the_walks_there_is_no_schedule():
    closure = given(window=28)
    assert retimed(closure, {net.job.cover: net for net in sort_jobs(closure).nets}, hopping(), 2.0) is None


def test_each_team_has_its_own_rest():
    closure = replace(given(), people=2, teams=(1, 1), breaks=((0, 5, 6),), walk_min=())
    placed = tuple(Placed(n, "s", 5 * k, 5 * k + 5, (k % 2,)) for k, n in enumerate("ABCD"))
    schedule = Schedule(("A", "B", "C", "D"), placed, 20)
    found = retimed(closure, {net.job.cover: net for net in sort_jobs(closure).nets}, schedule, 2.0)
    assert found is not None
    assert check_schedule(closure, found) == ()
    assert found.open_min == 16
