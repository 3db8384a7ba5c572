"""A small works folder on disk: the demo's first night with two of its covers."""

import csv
import io

from truebed.demo.build import build_demo

COVERS = ("T01", "G01")


def rows_of(data, keep):
    rows = list(csv.reader(io.StringIO(data.decode())))
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(
        [rows[0], *(r for r in rows[1:] if keep(dict(zip(rows[0], r, strict=True))))]
    )
    return out.getvalue().encode()


def small_files():
    files = dict(build_demo())
    for name in ("covers.csv", "readings.csv", "condition.csv", "obstacles.csv", "soundings.csv"):
        if name in files:
            files[name] = rows_of(files[name], lambda r: r["cover"] in COVERS)
    files["closures.csv"] = rows_of(files["closures.csv"], lambda r: r["closure"] == "tallow-night")
    files["people.csv"] = rows_of(files["people.csv"], lambda r: not r["closures"])
    return files


def write_small_folder(place):
    for name, data in small_files().items():
        target = place / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
    return place
