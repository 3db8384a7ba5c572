"""Published instances of project scheduling, read with a general parser; where they are, and what is best known."""

from __future__ import annotations

import csv
import os
from pathlib import Path
from typing import Any

from truebed.programme.rcpsp import Activity, Project, StartLag

#: Best-known values: best_known.csv beside the instances, of September 2024; every J30 value is a proven optimum.
SOURCE = "PSPLIB (Kolisch and Sprecher 1996), best known in September 2024 (best_known.csv; J30 all optimal)"
ABSENT = "no published instances: set TRUEBED_RCPSP to their folder or put them in ../shared/data/rcpsp"


def folder() -> Path | None:
    """The folder of instances: TRUEBED_RCPSP, else beside the repository; None where there is none."""
    named = os.environ.get("TRUEBED_RCPSP")
    beside = Path(__file__).resolve().parents[2] / "shared" / "data" / "rcpsp"
    place = beside if named is None else Path(named)
    return place if (place / "best_known.csv").is_file() else None


def best_known(place: Path, kind: str) -> list[tuple[str, int]]:
    """(instance, best-known makespan) of one set ('J30', 'J60', 'J120'), in the file's order."""
    with (place / "best_known.csv").open(encoding="utf-8", newline="") as lines:
        return [
            (r["instance"], int(r["best_known"])) for r in csv.DictReader(lines) if r["instance"].startswith(kind + "_")
        ]


def read(path: Path, form: str = "patterson") -> Project:
    """One instance. form: 'patterson' (a successor starts when its predecessor ends) or 'rcpsp_max' (delays)."""
    import psplib

    return project_of(psplib.parse(path, form))


def project_of(instance: Any) -> Project:
    """The parser's instance as a project: a delay below zero stays a lag below zero, which is a greatest lag back."""
    activities, lags = [], []
    for i, told in enumerate(instance.activities):
        mode = told.modes[0]
        activities.append(Activity(mode.duration, tuple(mode.demands)))
        delays = [mode.duration] * len(told.successors) if told.delays is None else told.delays
        lags += [StartLag(i, j, d) for j, d in zip(told.successors, delays, strict=True)]
    return Project(tuple(activities), tuple(r.capacity for r in instance.resources), tuple(lags))
