"""The hand way: one cover after another, heaviest first, as a gang does it that never leaves a cover half done."""

from __future__ import annotations

from dataclasses import replace

from truebed.programme.alone import alone, earliest
from truebed.programme.hands import are_named
from truebed.programme.list_schedule import one_after_another
from truebed.programme.possible import sort_jobs
from truebed.programme.problem import Placed, Problem, Schedule


def hand_way(problem: Problem) -> tuple[Schedule, int]:
    """One cover after another, and the weight that this does: what the programme is compared with.

    Covers in order of weight, then name. The next one starts when the last step of the former is finished; same
    lengths, lags, crew, noise ban and deadline. A cover that does not fit is skipped and the next is tried. Within a
    cover each step comes as early as lags, people and tools allow (exact, on that cover).

    Where teams, walks or points are asked for, or lanes are shut one by one, each step comes at its first free hour
    instead, and every team does one cover after another.

    Valid       any problem; nothing fits: an empty schedule that opens at minute 0
    Source      common practice, no source
    Proved by   tests/programme/test_hand_way.py, tests/oracles/test_programme_brute.py
    """
    if are_named(problem) or problem.stock or problem.breaks or len({job.stage for job in problem.jobs}) > 1:
        by_rule = one_after_another(problem)
        return by_rule, sum(job.weight for job in problem.jobs if job.cover in by_rule.done)
    free_from_min, open_min, weight = problem.tm_set_min, 0, 0
    placed: list[Placed] = []
    done: list[str] = []
    possible = [net.job for net in sort_jobs(problem).nets]
    for job in sorted(possible, key=lambda job: (-job.weight, job.cover)):
        one = earliest(replace(alone(problem, job), tm_set_min=free_from_min), ("end", "open"))
        if one is None:
            continue
        done.append(job.cover)
        placed.extend(one.placed)
        weight += job.weight
        free_from_min = max(free_from_min, *(p.end_min for p in one.placed))
        open_min = max(open_min, one.open_min)
    in_order = tuple(job.cover for job in possible if job.cover in done)
    return Schedule(in_order, tuple(placed), open_min), weight
