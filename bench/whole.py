"""Measures of the main job on the demo works: time, and the programme beside the hand way."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from bench.row import Row, row
from truebed.actions.demo import run_demo


def programme_rows(count: int = 3, covers: int = 5) -> list[Row]:
    """Made closures: covers done beside the best simple rule, and the proved gap of the opening; one run each."""
    from bench.instances_programme import closure
    from truebed.programme.hand_way import hand_way
    from truebed.programme.list_schedule import list_schedules
    from truebed.programme.solve import solve

    done = hand = simple = 0
    gaps, times = [], []
    for seed in range(1, count + 1):
        problem = closure(seed, covers)
        begun = perf_counter()
        solution = solve(problem)
        times.append(perf_counter() - begun)
        done += len(solution.schedule.done)
        hand += len(hand_way(problem)[0].done)
        simple += len(list_schedules(problem)[0].done)
        gaps.append((solution.schedule.open_min - solution.open_bound_min) / max(1, solution.schedule.open_min))
    what = f"{count} made closures of {covers} covers offered, crew of four, noise ban"
    return [
        row(
            "made_closures_covers_done",
            done,
            "covers",
            f"{what}; peer: the best simple rule ({simple}), and one after another does {hand}",
            n=count,
            peer=simple,
            ratio=done / max(1, simple),
            goal=1.0,
            sense="least",
            on_ratio=True,
        ),
        row("made_closures_opening_gap", max(gaps), "share", f"{what}; (opening - proved bound) / opening", n=count),
        row("made_closures_solve_s", sum(times) / count, "s", f"{what}; wall clock of one solve, mean", n=count),
    ]


def _silent(_: str) -> None:
    return None


def whole_rows() -> list[Row]:
    """The demo once: seconds, covers done beside one after another, openings, open gaps."""
    with TemporaryDirectory() as place:
        begun = perf_counter()
        made = run_demo(Path(place) / "demo", _silent)
        taken = perf_counter() - begun
    closures = made.plan.closures
    done = sum(len(c.solution.schedule.done) for c in closures)
    hand = sum(len(c.hand.done) for c in closures)
    offered = sum(len(c.designed) for c in closures)
    proven = sum(c.solution.weight_proven for c in closures)
    gap = max(
        (c.solution.schedule.open_min - c.solution.open_bound_min) / max(1, c.solution.schedule.open_min)
        for c in closures
    )
    return [
        row(
            "main_job_demo_s",
            taken,
            "s",
            "demo works written, planned, drawn and printed; wall clock of one run",
            n=1,
            goal=90.0,
        ),
        row(
            "covers_done_demo",
            float(done),
            "covers",
            f"three nights, {offered} designed; peer: one cover after another, same durations",
            n=3,
            peer=float(hand),
            ratio=done / max(1, hand),
            goal=1.0,
            sense="least",
            on_ratio=True,
        ),
        row(
            "closures_weight_proven",
            float(proven),
            "closures",
            "of 3, severity done proven greatest",
            n=3,
            goal=3.0,
            sense="least",
        ),
        row("opening_gap_greatest", gap, "share", "(opening - its proven bound) / opening, greatest of 3 nights", n=3),
    ]
