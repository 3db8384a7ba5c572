"""Plan a works folder: load, plan, write the results whole."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from truebed.actions.load import load_works
from truebed.actions.results import result_files
from truebed.plan.build import build_plan
from truebed.plan.result import Plan
from truebed.store.output import refuse_in_the_way, write_whole

Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Made:
    """What planning made: the plan, where it lies, the files by name and size (nothing written on a dry run)."""

    plan: Plan
    out: Path
    files: tuple[tuple[str, int], ...]
    written: bool


def plan_works(works: Path, out: Path, tell: Progress, *, dry_run: bool = False) -> Made:
    """Plan a works folder into `out`. Raises FaultsError, OutputInTheWayError."""
    refuse_in_the_way(out)
    loaded = load_works(works)
    plan = build_plan(loaded.works, loaded.shelf, loaded.measured, loaded.sha256, tell, loaded.oddities)
    files = result_files(plan, tell)
    if not dry_run:
        write_whole(out, files)
    return Made(plan, out, tuple((name, len(files[name])) for name in sorted(files)), not dry_run)
