"""`python -m bench --out out/bench.json`: every measure, one after another, in one process."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from bench import calibration, cure, cut, probe, road, setting, sweep, volumes
from bench.row import Row
from bench.whole import programme_rows, whole_rows


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, default=Path("out/bench.json"))
    out: Path = parser.parse_args().out
    rows: list[Row] = []
    parts = (volumes, setting, road, cut, sweep, cure, calibration, probe)
    for measure in (*(part.rows for part in parts), programme_rows, whole_rows):
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
