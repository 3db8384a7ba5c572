"""Cases for the plan's tests: the demo's shelf, and covers with exactly known roads."""

from dataclasses import replace
from functools import cache

import numpy as np

from truebed.curing.night_temps import night_temps
from truebed.demo.build import build_demo
from truebed.given.cover import Cover, Plan2D
from truebed.given.folder import parse_works
from truebed.given.reading import Reading
from truebed.plan.case import Case
from truebed.plan.shelf import Shelf
from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules
from truebed.sheets.load import load_sheets
from truebed.sheets.load_method import load_methods


@cache
def demo_works():
    works, faults = parse_works(build_demo())
    assert faults == ()
    return works


@cache
def shelf():
    files = build_demo()
    sheets, _ = load_sheets(files)
    methods, _ = load_methods(files, sheets)
    own = {n: b for n, b in files.items() if n.startswith("rules/")}
    rules, faults = load_rule_set("quernford", own, packaged_rules())
    assert faults == ()
    return Shelf(sheets, methods, rules)


@cache
def mild_night():
    works = demo_works()
    return night_temps(works.closures[0], works.weather)


PLAIN_COVER = Cover(
    cover="X1", street="Tallow Row", kind="cover", opening=Plan2D("rectangle", 600.0, 600.0),
    body=Plan2D("rectangle", 660.0, 660.0), flange=Plan2D("rectangle", 830.0, 830.0), frame_depth_mm=100.0,
    flange_thick_mm=15.0, frame_mass_kg=90.0, chamber=Plan2D("rectangle", 620.0, 620.0), wall_mm=215.0,
    chamber_depth_mm=130.0, load_class="D400", place="carriageway", method="five-layer", sound_margin_mm=150.0,
    bound_depth_mm=100.0, severity_weight=50, row=2,
)  # fmt: skip


def ring_readings(road, off=None, count=12, radius=750.0, frame_step=-15.0):
    rows = []
    for i in range(count):
        angle = 2 * np.pi * i / count
        x, y = radius * np.cos(angle), radius * np.sin(angle)
        level = road(x, y) + (off or {}).get(i, 0.0)
        rows.append(Reading("X1", f"R{i + 1}", x, y, "level", level, "road", "", i + 2))
    for i, (x, y) in enumerate(((330, 330), (330, -330), (-330, -330), (-330, 330))):
        rows.append(Reading("X1", f"F{i + 1}", x, y, "level", road(x, y) + frame_step, "frame", "", 20 + i))
    return tuple(rows)


def case(road=lambda x, y: 0.01 * x - 0.02 * y, measured=None, readings=None, rules=None, temps=None, mixer_l=60.0,
         blade_mm=450.0, **changes):  # fmt: skip
    cover = replace(PLAIN_COVER, **changes)
    return Case(
        cover=cover,
        readings=readings if readings is not None else ring_readings(road),
        method=shelf().methods[cover.method],
        sheets=shelf().sheets,
        rules=rules if rules is not None else shelf().rules,
        temps=temps if temps is not None else mild_night(),
        mixer_l=mixer_l,
        blade_mm=blade_mm,
        measured=measured,
        wanted_probability=0.9,
    )
