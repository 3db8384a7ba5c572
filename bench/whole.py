"""Measures of the main job on the demo works: time, and the programme beside the hand way."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from bench.row import Row, row
from truebed.actions.demo import run_demo


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
