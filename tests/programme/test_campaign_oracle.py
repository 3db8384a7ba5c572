"""What one crew can do in a night, against the general solver and by hand; failing parts are remembered."""

from dataclasses import replace
from itertools import combinations_with_replacement, pairwise

from programme.campaign_sample import campaign
from truebed.programme.campaign_calendar import Hours
from truebed.programme.campaign_oracle import Oracle
from truebed.programme.check import check_schedule
from truebed.programme.problem import Placed, Problem, Schedule, Task
from truebed.programme.solve import solve

HOURS = Hours(140, 70, 10, 10)


def oracle():
    return Oracle({work.work: work for work in campaign().works})


def problem_of(asked, mixture):
    jobs = []
    for k, name in enumerate(work for group in mixture for work in group):
        job = asked.works[name].job
        tasks = tuple(Task(f"C{k}", *(getattr(t, f) for f in Task.__slots__[1:])) for t in job.tasks)
        jobs.append(replace(job, cover=f"C{k}", tasks=tasks))
    return Problem("night", 140, 10, 10, 70, 1, (), (), tuple(jobs))


def test_three_short_ones_fit_and_four_do_not():
    asked = oracle()
    assert asked.fits(HOURS, (("short",) * 3,), 0)
    assert not asked.fits(HOURS, (("short",) * 4,), 0)


def test_every_mixture_of_up_to_three_is_answered_as_the_general_solver_does():
    asked = oracle()
    for size in (1, 2, 3):
        for works in combinations_with_replacement(("short", "long", "too long"), size):
            solution = solve(problem_of(asked, (works,)), deterministic_limit_s=0.5)
            assert solution.weight_proven
            assert asked.fits(HOURS, (works,), 0) == (solution.weight == size), works


def test_the_starts_hold_for_the_checker_of_schedules_and_keep_the_order_asked_for():
    asked = oracle()
    mixture = (("short", "long"),)
    starts = asked.starts(HOURS, mixture, 0)
    problem = problem_of(asked, mixture)
    placed = tuple(
        Placed(job.cover, task.step, at, at + task.minutes)
        for job, of in zip(problem.jobs, starts[0], strict=True)
        for task, at in zip(job.tasks, of, strict=True)
    )
    assert check_schedule(problem, Schedule(("C0", "C1"), placed, 140)) == ()


def test_a_move_between_streets_takes_its_minutes_between_any_two_steps():
    asked = oracle()
    assert asked.fits(HOURS, (("short", "short"), ("short",)), 0)
    assert not asked.fits(HOURS, (("short", "short"), ("short",)), 1)
    starts = asked.starts(HOURS, (("short",), ("short",)), 7)
    steps = sorted([(at, 20, g) for g, group in enumerate(starts) for of in group for at in of])
    for (a, length, g), (b, _l, h) in pairwise(steps):
        assert b - a - length >= (7 if g != h else 0)


def test_what_holds_a_failing_mixture_fails_without_being_asked():
    asked = oracle()
    assert not asked.fits(HOURS, (("long", "long", "short"),), 0)
    calls = asked.calls
    assert not asked.fits(HOURS, (("long", "long", "short", "short"),), 0)
    assert not asked.fits(HOURS, (("short", "long"), ("long",)), 3)
    assert asked.calls == calls
    assert asked.least_failing[HOURS, 0] == [(("long", "long", "short"),)]


def test_a_work_too_long_for_the_night_never_fits():
    assert not oracle().fits(HOURS, (("too long",),), 0)
