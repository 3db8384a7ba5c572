"""Points that are not on the road, read under a line without levels: levelled by the road under the same line."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from truebed.errors import NotDesignedError
from truebed.levels.booking import Spot, Survey
from truebed.levels.road_terms import road_levels_mm
from truebed.levels.surface import RoadSurface


def hanging_levels(survey: Survey, road: RoadSurface) -> tuple[Spot, ...]:
    """The survey's hanging spots with their levels, from where the fitted road puts their lines.

    A line's height and tilt are the straight line of least squares through road + gap at its road readings in use.

    Valid       the road fitted to this survey's road spots
    Source      algebra
    Raises      NotDesignedError where a line has fewer than two road readings in use
    Proved by   tests/levels/test_hanging.py
    """
    spots, errors = survey.on("road")
    used = {(p.point, p.row) for p in road.points if p.used}
    found = []
    for spot, line in zip(survey.hanging, survey.hanging_lines, strict=True):
        on = [s for s, name in zip(spots, errors.lines, strict=True) if name == line and (s.point, s.row) in used]
        if len(on) < 2:
            raise NotDesignedError(
                f"'{spot.point}' (row {spot.row}) was read under line '{line}', which has {len(on)} road readings"
                " in use.",
                "Read two or more road points under the same line, one on each side, or give the level of its ends.",
            )
        x, y = np.array([s.x_mm for s in on]), np.array([s.y_mm for s in on])
        reach = np.array([x[-1] - x[0], y[-1] - y[0]])
        along = reach / np.hypot(*reach)
        line_mm = road_levels_mm(road, x, y) - np.array([s.level_mm for s in on])
        table = np.column_stack([np.ones(len(on)), np.column_stack([x - x[0], y - y[0]]) @ along])
        height, tilt = np.linalg.lstsq(table, line_mm, rcond=None)[0]
        at = float(np.array([spot.x_mm - x[0], spot.y_mm - y[0]]) @ along)
        found.append(replace(spot, level_mm=float(height + tilt * at) + spot.level_mm))
    return tuple(found)
