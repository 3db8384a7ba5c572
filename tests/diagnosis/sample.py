"""Covers, sheets and soundings for the tests of the diagnosis; all invented."""

from functools import cache

from truebed.diagnosis.limits import limits_of
from truebed.given.cover import Cover, Plan2D
from truebed.given.survey import Sounding
from truebed.given.works import Condition
from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules

CORNERS = ("front_left", "front_right", "back_left", "back_right")


@cache
def uk():
    rules, faults = load_rule_set("uk", {}, packaged_rules())
    assert faults == ()
    return rules


def limits(kind="cover"):
    return limits_of(uk(), kind, "carriageway", "D400")


def cover(name="C1", kind="cover", shape="rectangle", turn_deg=0.0, flange_mm=(860.0, 760.0), **more):
    flange = Plan2D(shape, *flange_mm)
    inner = Plan2D(shape, 600.0, 600.0)
    body = Plan2D(shape, 680.0, 680.0)
    given = {
        "frame_depth_mm": 100.0, "flange_thick_mm": 12.0, "frame_mass_kg": 90.0, "wall_mm": 215.0,
        "chamber_depth_mm": 130.0, "load_class": "D400", "place": "carriageway", "method": "brook",
        "sound_margin_mm": 150.0, "bound_depth_mm": 100.0, "severity_weight": 10, "turn_deg": turn_deg,
    } | more  # fmt: skip
    return Cover(name, "Tallow Row", kind, inner, body, flange, chamber=inner, **given)


def steps(what, *values):
    """Four corner steps (or one value for all): keyword arguments of a Condition."""
    four = values if len(values) == 4 else values * 4
    return {f"{what}_step_{corner}_mm": float(v) for corner, v in zip(CORNERS, four, strict=True)}


def sheet(**found):
    return Condition("C1", row=2, **found)


def tap(x, y, found="sound", row=2, kind="tap", to=None, name="C1"):
    far = (None, None) if to is None else to
    return Sounding(name, f"S{row}", kind, float(x), float(y), found, *far, row=row)


#: A cover at which nothing is wrong, every column looked at.
SOUND = {
    **steps("lid", 0.0), **steps("frame", -1.0), "rock_mm": 0.2, "seat_wear_class": 0, "hollow_taps_pct": 0.0,
    "courses_class": 0, "courses_soft_to_mm": 0.0, "crack_mm": 0.5, "surround": "sound", "frame_state": "sound",
    "slab_state": "sound", "plan_below": "as frame", "bed_state": "sound", "resurfacing": "no", "polish": "no",
}  # fmt: skip
