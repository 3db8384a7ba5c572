"""Lines of level: they lie on the fit, bend at the fold, close round a dome's shoulder, and are never too many."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from papers.sample_plan import road
from truebed.drawings.contours import LINES_MOST, SPACINGS_MM, Contour, Field, road_contours, spacing_mm
from truebed.levels.road_terms import road_level_mm
from truebed.levels.surface import Model, RoadSurface

FIELD = Field(-500.0, -450.0, 520.0, 480.0)
ROADS: dict[Model, tuple[float, ...]] = {
    "plane": (3.0, 0.011, -0.025),
    "plane and twist": (3.0, 0.004, -0.003, 4e-5),
    "five terms": (3.0, 0.002, -0.001, 3e-5, 4e-5),
    "full quadratic": (3.0, 0.002, -0.001, 3e-5, 4e-5, -3e-5),
    "two planes along": (3.0, 0.004, 0.001, -0.022),
    "two planes across": (3.0, 0.004, 0.001, 0.018),
}


def of(model: Model, ridge_mm: float = 37.0) -> RoadSurface:
    """A road of that model."""
    return replace(road(gross=False), model=model, coefficients=ROADS[model], ridge_mm=ridge_mm)


def worst_off_mm(found: RoadSurface, lines: tuple[Contour, ...]) -> float:
    """How far the road at any point of its lines, and between them, is from the line's level."""
    off = 0.0
    for contour in lines:
        for (xa, ya), (xb, yb) in zip(contour.points, contour.points[1:], strict=False):
            for share in (0.0, 0.5):
                level = road_level_mm(found, xa + share * (xb - xa), ya + share * (yb - ya))
                off = max(off, abs(level - contour.level_mm))
    return off


@pytest.mark.parametrize("model", list(ROADS))
def test_every_line_lies_on_the_fit_within_a_hundredth_of_a_millimetre(model: Model) -> None:
    step_mm, lines = road_contours(of(model), FIELD)
    assert lines
    assert all((contour.level_mm / step_mm).is_integer() for contour in lines)
    assert worst_off_mm(of(model), lines) < 0.01


@pytest.mark.parametrize("model", ["plane", "two planes along", "two planes across"])
def test_on_planes_and_folded_planes_the_lines_are_exact(model: Model) -> None:
    assert worst_off_mm(of(model), road_contours(of(model), FIELD)[1]) < 1e-9


@pytest.mark.parametrize("model", list(ROADS))
def test_all_levels_between_the_lowest_and_the_highest_have_a_line(model: Model) -> None:
    found = of(model)
    step_mm, lines = road_contours(found, FIELD)
    x, y = np.meshgrid(np.linspace(-500, 520, 201), np.linspace(-450, 480, 201))
    levels = [road_level_mm(found, float(a), float(b)) for a, b in zip(x.ravel()[::7], y.ravel()[::7], strict=True)]
    inside = {i * step_mm for i in range(-40, 40) if min(levels) + 0.2 < i * step_mm < max(levels) - 0.2}
    assert inside <= {contour.level_mm for contour in lines}


def test_a_saddle_s_lines_end_only_at_the_field_s_edge_and_never_cross() -> None:
    saddle = replace(of("plane and twist"), coefficients=(0.0, 0.0, 0.0, 8e-5))
    _, lines = road_contours(saddle, Field(-500.0, -500.0, 500.0, 500.0))
    assert all(any(abs(abs(v) - 500.0) < 1e-6 for v in end) for c in lines for end in (c.points[0], c.points[-1]))
    for contour in lines:  # a hyperbola's branch stays in its own quarter
        signs = {(x > 0.0, y > 0.0) for x, y in contour.points if abs(x) > 20.0 and abs(y) > 20.0}
        assert len(signs) == 1 or contour.level_mm == 0.0


def test_a_dome_s_lines_close_and_are_circles() -> None:
    dome = replace(of("full quadratic"), coefficients=(3.0, 0.0, 0.0, 0.0, 0.0, -6e-5))
    _, lines = road_contours(dome, Field(-500.0, -500.0, 500.0, 500.0))
    closed = [c for c in lines if c.points[0] == c.points[-1]]
    assert len({c.level_mm for c in closed}) == len(closed) >= 6
    for contour in closed:
        wanted = math.sqrt((3.0 - contour.level_mm) / 6e-5)
        if wanted > 60.0:
            assert [math.hypot(x, y) for x, y in contour.points] == pytest.approx(
                [wanted] * len(contour.points), rel=5e-3
            )


def test_a_level_road_has_no_lines() -> None:
    assert road_contours(replace(of("plane"), coefficients=(3.0, 0.0, 0.0)), FIELD)[1] == ()


@pytest.mark.parametrize("span_mm", [0.3, 4.0, 7.9, 24.0, 81.0, 900.0])
def test_the_spacing_is_the_finest_that_keeps_the_lines_few(span_mm: float) -> None:
    step_mm = spacing_mm(-3.0, -3.0 + span_mm)
    assert span_mm / step_mm <= LINES_MOST
    finer = [s for s in SPACINGS_MM if s < step_mm]
    assert all(span_mm / s > LINES_MOST for s in finer)
