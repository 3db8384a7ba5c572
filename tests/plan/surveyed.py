"""Surveys for the plan's tests: soundings of four sides, two covers beside each other, a yard, a full sheet."""

from dataclasses import replace

from plan.sample import case
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
        "lid_step_mm": 0.0, **{f"lid_step_{c}_mm": 0.0 for c in corners}, **{f"frame_step_{c}_mm": 0.0 for c in corners},
        "rock_mm": 0.2, "seat_wear_class": 0, "hollow_taps_pct": 5.0, "courses": "two, sound", "courses_class": 0,
        "courses_count": 2, "crack_mm": 0.5, "surround": "sound", "frame_state": "sound", "slab_state": "sound",
        "plan_below": "as frame", "bed_state": "sound", "resurfacing": "no", "polish": "no",
    }  # fmt: skip
    return Condition("X1", **{**sound, **changes})


LOW_LID = {f"lid_step_{c}mm": -8.0 for c in ("", "front_left_", "front_right_", "back_left_", "back_right_")}
