"""Closures with everything at once, solved a second way: every cover alone, every start, every naming of people; then
every set of covers of which each keeps its own rules. The judge is the checker, which shares nothing with the solver.

The weight and the opening must be those of the programme wherever it calls them proved, and never better anywhere.
"""

from dataclasses import replace
from itertools import combinations, product

import pytest

from programme.drawn_rich import drawn_rich
from truebed.programme.check import check_schedule
from truebed.programme.problem import Placed, Schedule
from truebed.programme.solve import solve

SEEDS = range(200, 240)


def small(seed):
    return drawn_rich(seed, covers=2, steps=2, window=11, longest=3)


def alone_ways(given, job):
    """Every placing of the cover's steps with people that keeps all rules without the others: [(open, placed)]."""
    only = replace(given, jobs=(job,))
    named = bool(given.teams or given.walk_min) or given.most_points is not None
    spans = [range(given.tm_set_min, given.window_min - t.minutes + 1) for t in job.tasks]
    crews = [tuple(combinations(range(given.people), t.people)) if named else ((),) for t in job.tasks]
    ways = []
    for starts in product(*spans):
        placed = [Placed(job.cover, t.step, s, s + t.minutes) for t, s in zip(job.tasks, starts, strict=True)]
        if set(codes(only, placed, given.window_min)) - {"PR-018", "PR-020", "PR-023", "PR-021"}:
            continue
        for crew in product(*crews):
            manned = tuple(replace(p, people=who) for p, who in zip(placed, crew, strict=True))
            opening = least_open(only, manned)
            if opening is not None:
                ways.append((opening, manned))
    return sorted(ways, key=lambda way: way[0])


def codes(given, placed, opening):
    done = tuple(j.cover for j in given.jobs if any(p.cover == j.cover for p in placed))
    return [f.code for f in check_schedule(given, Schedule(done, tuple(placed), opening))]


def least_open(given, placed):
    if codes(given, placed, given.window_min):
        return None
    opening = given.window_min
    while opening and not codes(given, placed, opening - 1):
        opening -= 1
    return opening


def best_of(given):
    """(weight, opening) by trying everything."""
    best = (0, 0)
    ways = {job.cover: alone_ways(given, job) for job in given.jobs}
    for job in given.jobs:
        if ways[job.cover]:
            best = min(best, (-job.weight, ways[job.cover][0][0]))
    first, second = given.jobs
    weight = -(first.weight + second.weight)
    for opening in range(given.window_min + 1):
        mine = [placed for least, placed in ways[first.cover] if least <= opening]
        theirs = [placed for least, placed in ways[second.cover] if least <= opening]
        fresh = {id(placed) for least, placed in (*ways[first.cover], *ways[second.cover]) if least == opening}
        for a, b in product(mine, theirs):
            if (id(a) in fresh or id(b) in fresh) and not codes(given, (*a, *b), opening):
                return -weight, opening
    return -best[0], best[1]


@pytest.mark.parametrize("seed", SEEDS)
def test_trying_everything_gives_the_same_weight_and_opening(seed):
    given = small(seed)
    solution = solve(given, deterministic_limit_s=2.0)
    assert check_schedule(given, solution.schedule) == ()
    weight, opening = best_of(given)
    assert solution.weight <= weight <= solution.weight_bound
    if solution.weight == weight:
        assert solution.open_bound_min <= opening <= solution.schedule.open_min
    if solution.weight_proven:
        assert solution.weight == weight
    if solution.open_proven and solution.weight == weight:
        assert solution.schedule.open_min == opening
    if not given.walk_min:  # only walks, which come in a second stage, may cost a little and then it says so
        assert (solution.weight, solution.schedule.open_min) == (weight, opening)


def test_the_closures_ask_for_everything_and_are_not_all_easy():
    closures = [small(seed) for seed in SEEDS]
    assert sum(bool(c.teams) for c in closures) >= 10
    assert sum(bool(c.walk_min) for c in closures) >= 10
    assert sum(any(lag.profile for j in c.jobs for lag in j.lags) for c in closures) >= 10
    done = [len(solve(c, deterministic_limit_s=2.0).schedule.done) for c in closures]
    assert sum(bool(c.walk_min) for c in closures) <= 30
    assert min(done.count(1), done.count(2)) >= 5
