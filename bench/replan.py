"""Random disruptions of planned nights: how each is answered, how soon, and how close to a long search."""

from __future__ import annotations

from collections import Counter
from time import perf_counter

from bench.instances_night import even, night
from bench.instances_programme import Draw
from bench.row import Row, row
from truebed.programme.list_schedule import list_schedules
from truebed.programme.problem import Problem, Schedule
from truebed.programme.recovery import usual_policy
from truebed.programme.replan import replan
from truebed.programme.replan_check import check_replanned
from truebed.programme.replan_types import Happened, NightState

SEED = 1


def disrupted(seed: int) -> tuple[Problem, Schedule, NightState]:
    """One night of 6 to 12 covers, its plan, and what has happened by a drawn minute: late steps, tools, rain."""
    draw = Draw(seed)
    problem = night(seed % 20 + 1, draw.whole(6, 12), even(20.0), weights=True, points=None)
    old = list_schedules(problem)[0]
    now, delay, kind = draw.whole(60, 480), draw.whole(5, 60), draw.whole(0, 3)
    begun = [p for p in old.placed if p.start_min < now]
    runs = [p for p in begun if p.end_min > now]
    facts = tuple(
        Happened(p.cover, p.step, p.start_min, p.end_min + (delay if p is runs[0] else 0) if p in runs else p.end_min,
                 running=p in runs)
        for p in begun
    )  # fmt: skip
    ahead = [p for p in old.placed if p.start_min >= now]
    longer = ((ahead[0].cover, ahead[0].step, delay),) if ahead and (kind == 1 or not runs) else ()
    busy = {tool for p in runs for j in problem.jobs if j.cover == p.cover for t in j.tasks if t.step == p.step
            for tool in t.tools}  # fmt: skip
    lost = (("mixer", 1),) if kind == 2 and "mixer" not in busy else ()
    rain = (now + 20, now + 20 + delay + 30)
    barred = tuple((j.cover, "resin", *rain) for j in problem.jobs) if kind == 3 else ()
    return problem, old, NightState(now, facts, lost, longer, barred)


def rows() -> list[Row]:
    """Sixty disruptions."""
    return measured(60)


def rows_long() -> list[Row]:
    """All five hundred."""
    return measured(500)


def measured(count: int) -> list[Row]:
    """Every row, over so many disruptions, cost beside the search's own proven bound."""
    kinds: Counter[str] = Counter()
    answered, wrong, firsts, finals, retimed, over = 0, 0, [0.0], [0.0], [0], [0.0]
    for seed in range(SEED, SEED + count):
        problem, old, state = disrupted(seed)
        policy, at_s = usual_policy(problem), perf_counter()
        first: list[float] = []
        found = replan(problem, old, state, policy, on_first=lambda _f, a=at_s, f=first: f.append(perf_counter() - a))
        finals.append(perf_counter() - at_s)
        firsts.append(first[0])
        faults = check_replanned(problem, state, policy, found)
        wrong += len(faults)
        answered += not faults and all(a.kind != "held" for a in found.answers)
        kinds.update(a.kind for a in found.answers)
        retimed.append(len(found.retimed))
        if found.bound is not None and found.bound > 0:
            over.append(100.0 * (found.cost - found.bound) / found.bound)
    told = ", ".join(f"{n} {kind}" for kind, n in sorted(kinds.items()))
    note = f"covers: {told}; {wrong} violations by replan_check; no walking, no points"
    share = 500.0 * answered / count
    return [
        row("replan_answered_of_500", share, "of 500", f"{answered} of {count} in three ways; {note}", n=count,
            seed=SEED, goal=500.0, sense="least"),
        row("replan_first_s", max(firsts), "s", "longest", n=count, seed=SEED, goal=0.5),
        row("replan_final_s", max(finals), "s", f"longest; cost at most {max(over):.2f} % over a valid bound", n=count,
            seed=SEED, goal=5.0),
        row("replan_retimed", float(max(retimed)), "covers", "most; counted as docs/theory/replan.md", n=count,
            seed=SEED, goal=3.0),
    ]  # fmt: skip
