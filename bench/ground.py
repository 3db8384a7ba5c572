"""Measures of levels and volumes: against closed forms, booleans and plain draws, in one run."""

from __future__ import annotations

import math

import manifold3d as m3
import numpy as np

from bench.row import Row, row, seconds
from truebed.chamber.outlines import Outlines
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import outline_ring
from truebed.chamber.solids import Levels, role_solids
from truebed.levels.least_squares import without_gross
from truebed.levels.seat_program import seat_frame
from truebed.levels.seat_question import RoadSample, SeatQuestion, SeatSample
from truebed.levels.tolerance import probability_within

LOW, HIGH = -600.0, 600.0
ROLES = ("bed", "under_flange_fill", "surround_fill", "running_surface")


def random_cover(rng: np.random.Generator) -> tuple[Outlines, Levels]:
    """A random cover: square frame on a square or round chamber, tilted road, rim and chamber top."""
    turn = float(rng.uniform(-20, 20))
    chamber = str(rng.choice(["rectangle", "round"]))
    wall = float(rng.uniform(780, 1080))
    outlines = Outlines(
        outline_ring("rectangle", 600, 600, turn),
        outline_ring("rectangle", 660, 660, turn),
        outline_ring("rectangle", 830, 830, turn),
        outline_ring(chamber, wall, wall, turn),
        outline_ring(chamber, 620, 620, turn),
        outline_ring("rectangle", 1100, 1100, turn),
    )
    sx, sy, tx, ty = rng.normal(0, 0.02, 4)
    top = float(rng.uniform(-160, -110))
    levels = Levels(
        Plane(0, sx, sy),
        Plane(1, sx + 0.003, sy),
        Plane(top, tx, ty),
        Plane(top - 20, tx, ty),
        100.0,
        15.0,
        12.0,
        35.0,
        0.0,
        0.0,
    )
    return outlines, levels


def _prism(ring: tuple[tuple[float, float], ...]) -> m3.Manifold:
    section = m3.CrossSection([np.array(ring)], m3.FillRule.Positive)
    return m3.Manifold.extrude(section, HIGH - LOW).translate((0.0, 0.0, LOW))


def _trim(solid: m3.Manifold, plane: Plane, side: float) -> m3.Manifold:
    size = math.sqrt(1 + plane.slope_x_ratio**2 + plane.slope_y_ratio**2)
    normal = (side * plane.slope_x_ratio / size, side * plane.slope_y_ratio / size, -side / size)
    return solid.trim_by_plane(normal, -side * plane.level_mm / size)


def by_booleans(outlines: Outlines, levels: Levels) -> dict[str, float]:
    """The same four roles by solid booleans, litres."""

    def layer(region: m3.Manifold, top: Plane, bottom: Plane) -> float:
        return float(_trim(_trim(region, top, 1.0), bottom, -1.0).volume()) / 1e6

    opening, body, flange, wall, chamber, cut = (
        _prism(r)
        for r in (outlines.opening, outlines.body, outlines.flange, outlines.wall, outlines.chamber, outlines.cut)
    )
    under = levels.rim.raised(-levels.frame_depth_mm)
    flange_top = under.raised(levels.flange_thick_mm)
    fill_top = flange_top.raised(levels.over_flange_mm)
    trench, ring = cut - flange, cut - body
    surround = layer(ring, levels.road.raised(-levels.surface_depth_mm), fill_top)
    return {
        "bed": layer((flange ^ wall) - opening - chamber, under, levels.chamber_top),
        "under_flange_fill": layer(flange - wall, under, levels.floor)
        + layer(trench ^ wall, fill_top, levels.chamber_top)
        + layer(trench - wall, fill_top, levels.floor)
        + layer(flange - body, fill_top, flange_top),
        "surround_fill": surround,
        "running_surface": layer(ring, levels.road, fill_top) - surround,
    }


def volume_rows(count: int = 200, seed: int = 41) -> list[Row]:
    """Worst difference from the booleans, and speed beside them, in one run."""
    rng = np.random.default_rng(seed)
    covers = [random_cover(rng) for _ in range(count)]
    worst = max(
        abs(role_solids(*cover)[role].volume_l - litres)
        for cover in covers
        for role, litres in by_booleans(*cover).items()
    )
    ours, n = seconds(lambda: [role_solids(*c) for c in covers[:20]])
    theirs, _ = seconds(lambda: [by_booleans(*c) for c in covers[:20]])
    return [
        row(
            "volume_difference_from_booleans_l",
            worst,
            "l",
            "greatest over four roles of random covers; peer: booleans "
            "of a solid-modelling library on the same polygons",
            n=count,
            seed=seed,
            goal=2e-4,
        ),
        row(
            "volumes_per_s",
            20 / ours,
            "covers/s",
            "four roles of one cover; peer: by solid booleans, same run",
            n=n * 20,
            seed=seed,
            peer=20 / theirs,
            ratio=theirs / ours,
            goal=1.0,
            sense="least",
            on_ratio=True,
        ),
    ]


def twist_question(rng: np.random.Generator) -> tuple[SeatQuestion, float]:
    """Four corners with random levels: the closed form of the least greatest departure is |z1 - z2 + z3 - z4| / 4."""
    z = rng.normal(0, 8, 4)
    corners = ((-400.0, -300.0), (400.0, -300.0), (400.0, 300.0), (-400.0, 300.0))
    rim = tuple(RoadSample("", x, y, float(v)) for (x, y), v in zip(corners, z, strict=True))
    seat = tuple(SeatSample("", x, y, -130.0) for x, y in corners)
    return SeatQuestion(rim, seat, 0.0, 6.0, 100.0, -1e4, 1e4), abs(float(z[0] - z[1] + z[2] - z[3])) / 4.0


def setting_rows(count: int = 300, seed: int = 42) -> list[Row]:
    """The setting against its closed form, and its time."""
    rng = np.random.default_rng(seed)
    asked = [twist_question(rng) for _ in range(count)]
    worst = 0.0
    for question, expected in asked:
        answer = seat_frame(question)
        worst = max(worst, math.inf if answer is None else abs(answer.greatest_mm - expected))
    ours, n = seconds(lambda: seat_frame(asked[0][0]))
    return [
        row(
            "setting_difference_from_closed_form_mm",
            worst,
            "mm",
            "peer: |z1 - z2 + z3 - z4| / 4",
            n=count,
            seed=seed,
            goal=1e-6,
        ),
        row(
            "setting_one_frame_ms",
            1000 * ours,
            "ms",
            "three linear programmes by HiGHS through SciPy; no peer yet",
            n=n,
            seed=seed,
        ),
    ]


def gross_rows(trials: int = 4000, seed: int = 43) -> list[Row]:
    """How often a 10 mm slip among 12 readings is found and rightly named, and how often good readings are blamed."""
    rng = np.random.default_rng(seed)
    angle = 2 * np.pi * np.arange(12) / 12
    table = np.column_stack([np.ones(12), 650 * np.cos(angle), 650 * np.sin(angle)])
    named = alarms = 0
    for _ in range(trials):
        good = rng.normal(0, 2, 12)
        alarms += bool(without_gross(table, good, 2.0, 0.05, 1)[1])
        which = int(rng.integers(12))
        good[which] += 10.0 * rng.choice([-1.0, 1.0])
        removed = without_gross(table, good, 2.0, 0.05, 1)[1]
        named += bool(removed) and removed[0][0] == which
    return [
        row(
            "gross_reading_named_plane",
            named / trials,
            "share",
            "10 mm among 12 readings of sd 2 mm on a plane",
            n=trials,
            seed=seed,
            goal=0.90,
            sense="least",
        ),
        row(
            "false_alarms",
            alarms / trials,
            "share",
            "good readings called gross; asked for 0.05",
            n=trials,
            seed=seed,
            goal=0.06,
        ),
    ]


def tolerance_rows(seed: int = 44, draws: int = 2_000_000) -> list[Row]:
    """Probability of tolerance against plain draws."""
    rng = np.random.default_rng(seed)
    angle = np.linspace(0, 2 * np.pi, 48, endpoint=False)
    x, y = 400 * np.cos(angle), 400 * np.sin(angle)
    terms = np.column_stack([np.ones_like(x), x, y])
    covariance = np.diag([0.5, 2 * 4 / (8 * 600**2), 2 * 4 / (8 * 600**2)])
    nothing = np.diag([1e-12, 1e-18, 1e-18])
    departure = np.full(48, 0.8)
    ours = probability_within(departure, terms, covariance, terms, nothing, -3.0, 3.0)
    inside = 0
    for _ in range(draws // 50_000):
        drawn = rng.normal(0, np.sqrt(np.diag(covariance)), (50_000, 3)) @ terms.T
        inside += int(np.sum(np.all(np.abs(departure - drawn) <= 3.0, axis=1)))
    time, n = seconds(lambda: probability_within(departure, terms, covariance, terms, nothing, -3.0, 3.0))
    return [
        row(
            "p_tolerance_error",
            abs(ours - inside / draws),
            "probability",
            f"peer: {draws} plain draws",
            n=draws,
            seed=seed,
            peer=inside / draws,
            goal=0.003,
        ),
        row("p_tolerance_ms", 1000 * time, "ms", "8192 deterministic points, 48 rim points", n=n),
    ]
