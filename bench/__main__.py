"""`python -m bench --out out/bench.json`: every measure, one after another, in one process."""

from __future__ import annotations

import argparse
import importlib
import json
import pkgutil
from collections.abc import Callable
from pathlib import Path

import bench
from bench import (
    calibration,
    campaign,
    cure,
    cut,
    probe,
    programme_closure,
    replan,
    risk,
    road,
    setting,
    sweep,
    volumes,
)
from bench.row import Row
from bench.whole import programme_rows, whole_rows


def _long_measures() -> tuple[Callable[[], list[Row]], ...]:
    """rows_long() of every module of the bench that has it, by name."""
    names = sorted(m.name for m in pkgutil.iter_modules(bench.__path__) if not m.name.startswith("__"))
    modules = [importlib.import_module(f"bench.{name}") for name in names]
    return tuple(module.rows_long for module in modules if hasattr(module, "rows_long"))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=Path("out/bench.json"))
    parser.add_argument("--long", action="store_true", help="only the rows_long() of the parts that have them")
    told = parser.parse_args()
    out: Path = told.out
    rows: list[Row] = []
    parts = (volumes, setting, road, cut, sweep, cure, calibration, probe, programme_closure, risk, replan, campaign)
    usual = (*(part.rows for part in parts), programme_rows, whole_rows)
    for measure in _long_measures() if told.long else usual:
        print(f"  .. {measure.__module__}", flush=True)
        rows += measure()
    out.parent.mkdir(parents=True, exist_ok=True)
    out.write_text(json.dumps([r.as_dict() for r in rows], indent=1) + "\n", "utf-8")
    for r in rows:
        peer = "" if r.peer is None else f"  peer {r.peer:.4g}"
        ratio = "" if r.ratio is None else f"  ratio {r.ratio:.3g}"
        met = {True: "met", False: "NOT met", None: ""}[r.met]
        print(f"{r.name:42} {r.ours:.4g} {r.unit}{peer}{ratio}  {met}")
    print(f"written: {out}")


main()
