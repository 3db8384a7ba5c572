"""A works folder on disk that uses every file of the ground: lines, change points, mixed shapes, parts, neighbours."""

import csv
import io
from dataclasses import replace

from plan.sample import ring_readings
from plan.surveyed import LOW_LID, four_sides, full_sheet, line_readings, staff_book, tilted
from truebed.demo.build import build_demo
from whole_job.small_folder import rows_of

COMMON = {
    "street": "Tallow Row", "kind": "cover", "shape": "rectangle", "frame_depth_mm": 100, "flange_thick_mm": 15,
    "frame_mass_kg": 90, "chamber_shape": "rectangle", "chamber_along_mm": 620, "chamber_across_mm": 620,
    "wall_mm": 215, "chamber_depth_mm": 130, "load_class": "D400", "place": "carriageway", "method": "five-layer",
    "sound_margin_mm": 100, "bound_depth_mm": 100, "severity": 50, "opening_along_mm": 600, "opening_across_mm": 600,
    "cut_shape": "", "body_along_mm": 660, "body_across_mm": 660, "flange_along_mm": 830, "flange_across_mm": 830,
}  # fmt: skip
#: What each cover has of its own.
COVERS = {
    "LINES": {"parts": 2, "corner_rule": "stop short"},
    "MIXED": {"opening_shape": "round", "flange_shape": "rectangle", "corner_rule": "core", "severity": 70},
    "DEE": {"shape": "D", "chamber_along_mm": 360, "chamber_across_mm": 360, "wall_mm": 300, "turn_deg": 90,
            "cut_turn": "traffic", "x_m": 101.13, "y_m": 50, "bearing_deg": 90, "severity": 60},
    "WEST": {"x_m": 100, "y_m": 50, "bearing_deg": 90, "sound_margin_mm": "", "severity": 40},
    "LOWLID": {"shape": "triangular pair"},
}  # fmt: skip
UNITS = (
    ("ring 35", "ring", 35, 4, "600 square", 12), ("brick", "course", 75, 24, "", 25),
    ("deep", "frame", 150, 1, "", 10),
    ("packer 10", "packer", 10, 60, "", 0), ("packer 3", "packer", 3, 60, "", 0),
)  # fmt: skip


def table(header, rows):
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows([header, *rows])
    return out.getvalue().encode()


def covers_csv():
    header = sorted({"cover", *COMMON, *(key for own in COVERS.values() for key in own)})
    rows = []
    for name, own in COVERS.items():
        row = {"cover": name, **COMMON, **own}
        rows.append([row.get(key, "") for key in header])
    return table(header, rows)


def on_a_d():
    """Frame readings at both ends of the straight back and at the nose of a D turned by 90 degrees."""
    ring = ring_readings(tilted)
    backs = [r for r in ring if r.where == "road" or r.y_mm < 0.0]
    nose = next(r for r in ring if r.point == "F1")
    return (*backs, replace(nose, x_mm=0.0, y_mm=330.0, value_mm=tilted(0.0, 330.0) - 15.0))


def readings_csv():
    flush = ring_readings(tilted, frame_step=0.0)
    of_cover = {
        "LINES": line_readings(), "MIXED": staff_book(miss_mm=4.0), "DEE": on_a_d(),
        "WEST": ring_readings(tilted), "LOWLID": flush,
    }  # fmt: skip
    header = ("cover", "point", "x_mm", "y_mm", "kind", "value_mm", "where", "set_up")
    rows = [
        (name, r.point, round(r.x_mm, 3), round(r.y_mm, 3), r.kind, round(r.value_mm, 3), r.where, r.set_up)
        for name, readings in of_cover.items()
        for r in readings
    ]
    return table(header, rows)


def condition_csv():
    sheets = (
        replace(full_sheet(**LOW_LID), cover="LOWLID"),
        replace(full_sheet(bed_state="crumbled", hollow_taps_pct=80.0), cover="DEE"),
    )
    names = [f for f in sheets[0].__dataclass_fields__ if f != "row"]
    return table(names, [["" if getattr(s, n) is None else getattr(s, n) for n in names] for s in sheets])


def soundings_csv():
    header = ("cover", "point", "kind", "x_mm", "y_mm", "found", "to_x_mm", "to_y_mm", "width_mm")
    rows = [("WEST", s.point, s.kind, s.x_mm, s.y_mm, s.found, "", "", "") for s in four_sides()]
    return table(header, [*rows, ("WEST", "C1", "crack", 330, 430, "cracked", 330, 470, 3)])


def ground_files():
    files = {n: b for n, b in build_demo().items() if n.split("/")[0] in ("methods", "sheets", "rules")}
    demo = build_demo()
    for name in ("works.toml", "tools.csv", "weather.csv"):
        files[name] = demo[name]
    files["closures.csv"] = rows_of(demo["closures.csv"], lambda r: r["closure"] == "tallow-night")
    files["people.csv"] = rows_of(demo["people.csv"], lambda r: not r["closures"])
    files["covers.csv"] = covers_csv()
    files["readings.csv"] = readings_csv()
    files["condition.csv"] = condition_csv()
    files["soundings.csv"] = soundings_csv()
    files["units.csv"] = table(("unit", "kind", "height_mm", "count", "fits", "work_min"), UNITS)
    files["obstacles.csv"] = table(
        ("cover", "what", "x_mm", "y_mm", "along_mm", "across_mm", "turn_deg", "clear_mm"),
        [("LINES", "valve box", 580, 0, 100, 100, "", 50), ("DEE", "kerb stone", 0, 900, 400, 120, 5, "")],
    )
    return files


def write_ground_folder(place):
    for name, data in ground_files().items():
        target = place / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(data)
    return place
