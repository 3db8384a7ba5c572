"""Random covers for tests of volumes: as outlines and levels, and as rows of an array."""

from __future__ import annotations

import math

import numpy as np

from truebed.chamber.many import Covers
from truebed.chamber.outline_shapes import OutlineShape, OutlineShapes
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring
from truebed.chamber.solids import Levels

NAMES = ("opening", "body", "flange", "wall", "chamber", "cut")


def shaped(sizes, turn=0.0):
    """Outlines from {name: (kind, along, across)}, with rings and shapes."""
    shapes = {n: OutlineShape(k, a, c, turn) for n, (k, a, c) in sizes.items()}
    rings = {n: outline_ring(k, a, c, turn) for n, (k, a, c) in sizes.items()}
    return Outlines(**rings, shapes=OutlineShapes(**shapes))


def random_cover(rng):
    """A cover with any mix of rectangles and rounds that a frame on a chamber allows; its sizes, turn and levels."""
    turn = float(rng.uniform(-40, 40))
    frame, chamber, cut = rng.choice(["rectangle", "round"], 3)
    across = 1.0 if frame == "round" else float(rng.uniform(0.8, 1.0))
    hole = 560.0 if frame == "rectangle" and chamber == "round" else 600.0
    sizes = {
        "opening": (frame, hole, hole * across), "body": (frame, 660.0, 660.0 * across),
        "flange": (frame, 840.0, 840.0 * across),
    }  # fmt: skip
    wide = float(rng.uniform(860, 1150)) if chamber == "round" else float(rng.uniform(700, 1100))
    inner = 620.0 * across if frame == "rectangle" or chamber == "rectangle" else 640.0
    if chamber == "rectangle" and frame == "round":
        inner = 540.0
        wide = max(wide, 680.0)
    sizes["chamber"] = (chamber, inner, inner)
    sizes["wall"] = (chamber, wide, wide)
    margin = float(rng.uniform(80, 200))
    if cut == "round":
        reach = 840.0 if frame == "round" else math.hypot(840.0, 840.0 * across)
        sizes["cut"] = ("round", reach + margin, reach + margin)
    else:
        sizes["cut"] = ("rectangle", 840.0 + 2 * margin, 840.0 * across + 2 * margin)
    slopes = rng.normal(0, 0.02, 8)
    top = float(rng.uniform(-160, -100))
    levels = Levels(
        Plane(0.0, slopes[0], slopes[1]), Plane(rng.normal(0, 3), slopes[0] + 0.3 * slopes[2], slopes[1]),
        Plane(top, slopes[4], slopes[5]), Plane(top - rng.uniform(0, 40), slopes[4], slopes[5]), 100.0,
        float(rng.uniform(10, 20)), float(rng.uniform(0, 20)), float(rng.choice([0.0, 35.0, 60.0])),
        float(rng.choice([0.0, 20.0])), 25.0,
    )  # fmt: skip
    return sizes, turn, levels


def as_rows(covers):
    """Covers from random_cover as one array of covers."""
    outlines, planes, depths, turns = [], [], [], []
    for sizes, turn, levels in covers:
        rows = []
        for name in NAMES:
            kind, along, across = sizes[name]
            rows.append((math.inf, math.inf, along / 2) if kind == "round" else (along / 2, across / 2, math.inf))
        outlines.append(rows)
        planes.append([
            (p.level_mm, p.slope_x_ratio, p.slope_y_ratio)
            for p in (levels.rim, levels.road, levels.chamber_top, levels.floor)
        ])  # fmt: skip
        depths.append((
            levels.frame_depth_mm, levels.flange_thick_mm, levels.over_flange_mm, levels.surface_depth_mm,
            levels.joint_width_mm, levels.joint_depth_mm,
        ))  # fmt: skip
        turns.append(turn)
    return Covers(np.array(outlines), np.array(planes), np.array(depths), np.array(turns))
