"""Surveys for the plan's tests: soundings of four sides, two covers beside each other, a yard, a full sheet."""

from dataclasses import replace

import numpy as np

from plan.sample import case
from truebed.given.reading import Reading
from truebed.given.survey import Sounding, YardUnit
from truebed.given.works import Condition
from truebed.plan.cutting import neighbours_within, placed_of

YARD = (
    YardUnit("ring 35", "ring", 35.0, 4, work_min=20.0),
    YardUnit("brick", "course", 75.0, 20, work_min=30.0),
    YardUnit("deep", "frame", 150.0, 1, work_min=10.0),
    YardUnit("shallow", "frame", 75.0, 1, work_min=1.0),
)
WAYS = {"front": (1, 0), "left": (0, 1), "back": (-1, 0), "right": (0, -1)}
#: Out from the flange's edge: outermost hollow, innermost sound. The margin is half way between.
HEARD = {"front": (40.0, 100.0), "left": (60.0, 160.0), "back": (20.0, 60.0), "right": (80.0, 200.0)}
MARGINS = (70.0, 110.0, 40.0, 140.0)


def flat(_x, _y):
    return 0.0


def four_sides(heard=HEARD, edge_mm=415.0):
    rows = []
    for side, outs in heard.items():
        for out, found in zip(outs, ("hollow", "sound"), strict=True):
            x, y = (way * (edge_mm + out) for way in WAYS[side])
            rows.append(Sounding("X1", f"{side} {found}", "tap", x, y, found, row=2 + len(rows)))
    return tuple(rows)


def sounded(soundings=None, **changes):
    made = case(flat, **{"sound_margin_mm": None, **changes})
    return replace(made, soundings=four_sides() if soundings is None else soundings)


def beside_each_other(apart_mm=300.0, margin_mm=100.0, lifted=(True, True)):
    """Two like covers in a row along the traffic, their flanges `apart_mm` from each other."""
    first = case(flat, sound_margin_mm=margin_mm, x_m=0.0, y_m=0.0, bearing_deg=90.0)
    other = replace(first, cover=replace(first.cover, cover="X2", x_m=(830.0 + apart_mm) / 1000.0))
    both = (first, other)
    placed = {c.cover.cover: placed_of(c, lifted=is_lifted) for c, is_lifted in zip(both, lifted, strict=True)}
    return tuple(replace(c, neighbours=neighbours_within(c.cover, placed, 250.0)) for c in both)


def full_sheet(**changes):
    """Everything looked at and sound, but for what is changed."""
    corners = ("front_left", "front_right", "back_left", "back_right")
    sound = {
        "lid_step_mm": 0.0, **{f"{what}_step_{c}_mm": 0.0 for what in ("lid", "frame") for c in corners},
        "rock_mm": 0.2,
        "seat_wear_class": 0, "hollow_taps_pct": 5.0, "courses": "two, sound", "courses_class": 0,
        "courses_count": 2, "crack_mm": 0.5, "surround": "sound", "frame_state": "sound", "slab_state": "sound",
        "plan_below": "as frame", "bed_state": "sound", "resurfacing": "no", "polish": "no",
    }  # fmt: skip
    return Condition("X1", **{**sound, **changes})


LOW_LID = {f"lid_step_{c}mm": -8.0 for c in ("", "front_left_", "front_right_", "back_left_", "back_right_")}


def tilted(x, y):
    return 0.01 * x - 0.02 * y


def staff_book(miss_mm=0.0, road=tilted):
    """Two stands joined by a change point, closed on the bench mark `miss_mm` too high. Collimation 1200, then 700."""
    rows = []

    def read(point, x, y, staff_mm, where, set_up):
        rows.append(Reading("X1", point, x, y, "staff", staff_mm, where, set_up, len(rows) + 2))

    ring = [(750.0 * np.cos(a), 750.0 * np.sin(a)) for a in 2.0 * np.pi * np.arange(12) / 12.0]
    read("BM", 0.0, 0.0, 1200.0, "bench mark", "A")
    for i, (x, y) in enumerate(ring[:6]):
        read(f"R{i + 1}", x, y, 1200.0 - road(x, y), "road", "A")
    read("CP", 2000.0, 0.0, 1500.0, "change point", "A")
    read("CP", 2000.0, 0.0, 1000.0, "change point", "B")
    for i, (x, y) in enumerate(ring[6:]):
        read(f"R{i + 7}", x, y, 700.0 - road(x, y), "road", "B")
    for i, (x, y) in enumerate(((330.0, 330.0), (330.0, -330.0), (-330.0, -330.0), (-330.0, 330.0))):
        read(f"F{i + 1}", x, y, 700.0 - road(x, y) + 15.0, "frame", "B")
    read("BM", 0.0, 0.0, 700.0 - miss_mm, "bench mark", "B")
    return tuple(rows)


def line_readings(road=tilted):
    """The same road by straightedge gaps along one side, string-line offsets along the other, levels between."""
    rows = []

    def read(point, x, y, kind, value_mm, where, line=""):
        rows.append(Reading("X1", point, x, y, kind, value_mm, where, line, len(rows) + 2))

    for line, kind, y in (("S1", "straightedge gap", -700.0), ("S2", "string-line offset", 700.0)):
        ends = (road(-900.0, y) + 20.0, road(900.0, y) + 30.0)
        read(f"{line} back", -900.0, y, "level", ends[0], "line end", line)
        read(f"{line} front", 900.0, y, "level", ends[1], "line end", line)
        for x in (-700.0, -350.0, 0.0, 350.0, 700.0):
            edge_mm = ends[0] + (ends[1] - ends[0]) * (x + 900.0) / 1800.0
            read(f"{line} {x:.0f}", x, y, kind, edge_mm - road(x, y), "road", line)
    for x in (-750.0, 750.0):
        for y in (-300.0, 0.0, 300.0):
            read(f"L {x:.0f} {y:.0f}", x, y, "level", road(x, y), "road")
    return tuple(rows)
