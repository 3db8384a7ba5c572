"""Whatever small closure is drawn: the programme holds, is no worse than the hand way, and names every cover once."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from programme.drawn_rich import drawn_rich
from programme.sample import job, problem, task, to_open
from truebed.programme.check import check_schedule
from truebed.programme.crew import assign_people
from truebed.programme.hand_way import hand_way
from truebed.programme.left_out import left_out
from truebed.programme.list_schedule import list_schedules, nothing_floats
from truebed.programme.problem import Lag
from truebed.programme.solve import solve

SELDOM = st.sampled_from((True, *(False,) * 9))
EDGES = st.sampled_from(("start", "end"))


@st.composite
def jobs(draw, name):
    steps = [f"s{k}" for k in range(draw(st.integers(1, 4)))]
    tasks = [
        task(
            name, step, draw(st.integers(0, 6)), draw(st.sampled_from((0, 1, 1, 1, 2, 3))),
            draw(st.sampled_from(((), (), ("mixer",), ("saw",), ("mixer", "saw")))),
            draw(st.sampled_from(("", "", "", "resin", "saw"))), noisy=draw(SELDOM),
        )
        for step in steps
    ]  # fmt: skip
    lags = []
    for _ in range(draw(st.integers(0, 4))):
        a, b = sorted((draw(st.sampled_from(steps)), draw(st.sampled_from(steps))))
        least = draw(st.none() | st.integers(-1, 6))
        greatest = draw(st.none() | st.integers(4, 15))
        lags.append(Lag(a, draw(EDGES), b, draw(EDGES), least, greatest, f"{a} {b}"))
    if draw(st.booleans()):
        lags.append(to_open(draw(st.sampled_from(steps)), draw(st.integers(0, 15))))
    return job(name, draw(st.integers(0 if draw(SELDOM) else 1, 5)), tasks, lags)


@st.composite
def closures(draw):
    count = draw(st.integers(0 if draw(SELDOM) else 2, 4))
    crew = draw(st.lists(st.sampled_from(((), ("resin",), ("saw",), ("resin", "saw"))), min_size=1, max_size=4))
    skills = tuple((s, sum(s in person for person in crew)) for s in ("resin", "saw"))
    return problem(
        *(draw(jobs(f"C{k}")) for k in range(count)),
        window=draw(st.integers(0 if draw(SELDOM) else 15, 40)),
        tm_set=draw(st.integers(0, 5)),
        tm_clear=draw(st.integers(0, 5)),
        noise=draw(st.integers(0 if draw(SELDOM) else 12, 45)),
        people=len(crew),
        skills=skills,
        tools=(("mixer", draw(st.integers(0 if draw(SELDOM) else 1, 2))), ("saw", 1)),
        crew_skills=tuple(crew) if draw(st.booleans()) else (),
    )


SOME = settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])


def test_the_drawn_closures_are_not_all_trivial():
    counts = []

    @settings(SOME, database=None)
    @given(closures())
    def look(closure):
        done = solve(closure, deterministic_limit_s=1.0).schedule.done
        counts.append((len(done), len(closure.jobs)))

    look()
    assert sum(done >= 2 for done, _ in counts) >= len(counts) // 4
    assert sum(0 < done < offered for done, offered in counts) >= len(counts) // 6


def held(closure):
    """A closure's solution: it holds, its bounds are bounds, it is never worse than the hand way, which holds too."""
    solution = solve(closure, deterministic_limit_s=1.0)
    assert check_schedule(closure, solution.schedule) == ()
    assert solution.weight == sum(j.weight for j in closure.jobs if j.cover in solution.schedule.done)
    assert solution.weight <= solution.weight_bound
    assert solution.open_bound_min <= solution.schedule.open_min
    by_hand, weight_by_hand = hand_way(closure)
    assert check_schedule(closure, by_hand) == ()
    assert (-solution.weight, solution.schedule.open_min) <= (-weight_by_hand, by_hand.open_min)
    return solution


@SOME
@given(closures())
def test_the_programme_always_holds_and_is_never_worse_than_simpler_ways(closure):
    solution = held(closure)
    for other in list_schedules(closure):
        assert check_schedule(closure, other) == ()
        weight = sum(j.weight for j in closure.jobs if j.cover in other.done)
        assert (-solution.weight, solution.schedule.open_min) <= (-weight, other.open_min)


@SOME
@given(closures())
def test_every_cover_is_done_or_has_its_reason(closure):
    solution = solve(closure, deterministic_limit_s=1.0)
    reasons = left_out(closure, solution)
    assert sorted([*solution.schedule.done, *(out.cover for out in reasons)]) == sorted(j.cover for j in closure.jobs)
    assert all(out.reason for out in reasons)
    assert all(out.short_by_min is None or out.short_by_min >= 0 for out in reasons)
    if solution.weight_proven:
        assert all(out.short_by_min != 0 for out in reasons)


@SOME
@given(closures())
def test_nothing_floats_and_a_second_run_is_the_same(closure):
    solution = solve(closure, deterministic_limit_s=1.0)
    assert nothing_floats(closure, solution.schedule) == solution.schedule
    assert solve(closure, deterministic_limit_s=1.0) == solution


@SOME
@given(closures())
def test_people_named_are_free_and_enough_or_it_is_said(closure):
    schedule = solve(closure, deterministic_limit_s=1.0).schedule
    crew = tuple((f"P{k}", skills) for k, skills in enumerate(closure.crew_skills))
    assigned, lacking = assign_people(closure, schedule, crew)
    needs = {(j.cover, t.step): t.people for j in closure.jobs for t in j.tasks}
    short = [one for one in assigned if len(one.people) < needs[one.cover, one.step]]
    assert len(lacking) >= len(short)
    for minute in range(closure.window_min):
        now = [
            name
            for placed, one in zip(schedule.placed, assigned, strict=True)
            if placed.start_min <= minute < placed.end_min
            for name in one.people
        ]
        assert len(now) == len(set(now))


@settings(SOME, max_examples=40)
@given(st.integers(1000, 2000).map(drawn_rich))
def test_with_waits_by_the_hour_teams_walks_points_rests_lanes_and_kits_the_programme_holds(closure):
    solution = held(closure)
    assert nothing_floats(closure, solution.schedule) == solution.schedule
    assert solve(closure, deterministic_limit_s=1.0) == solution
    reasons = left_out(closure, solution)
    assert sorted([*solution.schedule.done, *(out.cover for out in reasons)]) == sorted(j.cover for j in closure.jobs)
