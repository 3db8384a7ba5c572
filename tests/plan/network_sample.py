"""Random plain covers for the tests of a sweep: frames of every taken shape, kerbs, turned frames, odd roads."""

from dataclasses import replace

import numpy as np

from plan.sample import case
from truebed.given.cover import Plan2D
from truebed.given.reading import Reading

FRAMES = (
    ("rectangle", 600.0, 660.0, 830.0),
    ("rectangle", 450.0, 490.0, 590.0),
    ("rectangle", 300.0, 330.0, 410.0),
    ("round", 600.0, 660.0, 830.0),
)


def sized(shape, along, across):
    return Plan2D(shape, along, along if shape == "round" else across)


def readings_of(rng, name, reach_mm, count=12):
    a, b, c = rng.normal(0.0, 1.0, 3) * (40.0, 0.02, 0.02)
    twist, saddle = rng.normal(0.0, 1.0, 2) * rng.choice([0.0, 2e-5]) * (1.0, 0.7)
    rows = []
    for i in range(count):
        angle = 2.0 * np.pi * (i + rng.uniform(-0.2, 0.2)) / count
        x, y = reach_mm * np.cos(angle), reach_mm * np.sin(angle)
        level = a + b * x + c * y + twist * x * y + saddle * (x * x - y * y) + rng.normal(0.0, 1.5)
        rows.append(Reading(name, f"R{i + 1}", float(x), float(y), "level", float(level), "road", "", i + 2))
    if rng.random() < 0.2:
        rows[3] = replace(rows[3], value_mm=rows[3].value_mm + 100.0)
    return tuple(rows)


def random_case(rng, name):
    shape, opening, body, flange = FRAMES[int(rng.integers(len(FRAMES)))]
    longer = float(rng.choice([0.0, 60.0, 137.0])) if shape == "rectangle" else 0.0
    kerbed = rng.random() < 0.25
    depth = float(rng.choice([100.0, 125.0]))
    chamber_shape = "round" if shape == "rectangle" and longer == 0.0 and rng.random() < 0.2 else shape
    changes = {
        "cover": name,
        "opening": sized(shape, opening + longer, opening),
        "body": sized(shape, body + longer, body),
        "flange": sized(shape, flange + longer, flange),
        "chamber": sized(chamber_shape, opening + longer + 10.0, opening + 10.0),
        "wall_mm": 450.0 if chamber_shape == "round" else 215.0,
        "frame_depth_mm": depth,
        "chamber_depth_mm": depth + float(rng.uniform(5.0, 55.0)),
        "turn_deg": 0.0 if kerbed else float(rng.choice([0.0, 9.0, -31.0])),
        "kerb_side": str(rng.choice(["left", "right"])) if kerbed else "none",
        "kerb_mm": flange / 2.0 + float(rng.uniform(10.0, 200.0)) if kerbed else None,
        "sound_margin_mm": float(rng.uniform(60.0, 180.0)),
        "cut_shape": "round" if not kerbed and rng.random() < 0.2 else "square",
        "kind": "gully" if kerbed else "cover",
        "place": "kerbside" if kerbed else "carriageway",
    }
    return case(readings=readings_of(rng, name, 0.75 * (flange + longer) + 60.0), **changes)


def random_cases(count, seed):
    rng = np.random.default_rng(seed)
    return tuple(random_case(rng, f"N{i}") for i in range(count))
