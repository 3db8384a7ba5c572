"""The figures of one closure's programme with their whys."""

from __future__ import annotations

from truebed.curing.night_temps import NightTemps
from truebed.plan.closure_findings import clock_text
from truebed.plan.result import ClosurePlan
from truebed.programme.problem import OPEN
from truebed.why import Figure, Why


def temp_figures(plan: ClosurePlan, temps: NightTemps | None) -> list[tuple[str, Figure]]:
    """The temperatures that waits and lives are read at.

    Valid       a plan of one closure
    Source      weather.csv, closures.csv
    Proved by   tests/plan/test_closure_figures.py
    """
    if temps is None:
        return []
    return [
        (f"{plan.closure}.coldest", Figure(temps.coldest_c, "degC", temps.coldest_why)),
        (f"{plan.closure}.hottest", Figure(temps.hottest_c, "degC", temps.hottest_why)),
    ]


def open_whys(plan: ClosurePlan) -> tuple[Why, ...]:
    """What holds the opening back: the end of the last work and each wait to the opening.

    Valid       a schedule with at least one cover
    Source      the programme
    Proved by   tests/plan/test_closure_figures.py
    """
    schedule, problem = plan.solution.schedule, plan.problem
    last = max(p.end_min for p in schedule.placed)
    whys = [
        Why(
            f"last work ends {clock_text(plan, last)}, traffic management off",
            float(last + problem.tm_clear_min), "min", f"last end + {problem.tm_clear_min} min", "closures.csv",
        )
    ]  # fmt: skip
    for name in schedule.done:
        job = next(j for j in problem.jobs if j.cover == name)
        placed = {p.step: p for p in schedule.of(name)}
        for lag in job.lags:
            if lag.to_step == OPEN and lag.least_min is not None:
                edge = placed[lag.from_step]
                begins = edge.end_min if lag.from_edge == "end" else edge.start_min
                whys.append(
                    Why(
                        f"{name}: {lag.why}", float(begins + lag.least_min), "min",
                        f"{lag.from_step} {lag.from_edge} {clock_text(plan, begins)} + {lag.least_min} min", "method",
                    )
                )  # fmt: skip
    return tuple(sorted(whys, key=lambda w: (-float(w.value), w.what)))


def closure_figures(plan: ClosurePlan, temps: NightTemps | None) -> tuple[tuple[str, Figure], ...]:
    """Opening, covers done, both also the hand way, and the night's temperatures.

    Valid       a plan of one closure
    Source      as each figure says
    Proved by   tests/plan/test_closure_figures.py
    """
    name, schedule, solution = plan.closure, plan.solution.schedule, plan.solution
    found = temp_figures(plan, temps)
    if schedule.done:
        latest = open_whys(plan)
        why = Why(
            f"the road opens, {clock_text(plan, schedule.open_min)}", float(schedule.open_min), "min after shutting",
            "latest of the traffic management's end and every wait to the opening", "the programme", latest,
            latest[0].what, float(plan.problem.window_min - schedule.open_min),
        )  # fmt: skip
        found.append((f"{name}.open", Figure(float(schedule.open_min), "min after shutting", why)))
    proof = "proven best" if solution.weight_proven else f"best found, bound {solution.weight_bound}"
    covers = Why(
        "covers done", float(len(schedule.done)), "covers", f"greatest severity in the window; {proof}",
        "constraint programme, checked by programme/check",
        tuple(Why(c, "done", "", "in the programme", "plan") for c in schedule.done)
        + tuple(Why(o.cover, "not tonight", "", o.reason, "plan") for o in plan.left_out),
    )  # fmt: skip
    found.append((f"{name}.covers", Figure(float(len(schedule.done)), "covers", covers)))
    hand = Why(
        "covers done one after another", float(len(plan.hand.done)), "covers",
        "heaviest first, next cover when the former's last step is done; same durations and waits",
        "the programme", tuple(Why(c, "done", "", "by hand", "plan") for c in plan.hand.done),
    )  # fmt: skip
    found.append((f"{name}.hand-covers", Figure(float(len(plan.hand.done)), "covers", hand)))
    opening = Why(
        f"opening one after another, {clock_text(plan, plan.hand.open_min)}", float(plan.hand.open_min),
        "min after shutting", "as covers.hand", "the programme",
    )  # fmt: skip
    found.append((f"{name}.hand-open", Figure(float(plan.hand.open_min), "min after shutting", opening)))
    return tuple(found)
