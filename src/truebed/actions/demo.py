"""The main job on the demo works: write the invented works folder, then plan it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from truebed.actions.plan import Made, plan_works
from truebed.demo.build import build_demo
from truebed.store.output import write_whole

Progress = Callable[[str], None]


def run_demo(out: Path, tell: Progress) -> Made:
    """Write OUT/works and plan it into OUT/plan. Raises OutputInTheWayError."""
    tell("writing the demo works (invented town, invented materials)")
    write_whole(out / "works", build_demo(), mark="works.toml")
    return plan_works(out / "works", out / "plan", tell)
