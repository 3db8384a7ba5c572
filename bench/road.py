"""Measures of the road's surface: gross readings named, good ones blamed, one cover's time, a network's."""

from __future__ import annotations

import numpy as np

from bench.row import Row, row, seconds
from truebed.errors import NotDesignedError
from truebed.levels.booking import Spot
from truebed.levels.road_fit import fit_road
from truebed.levels.road_network import NETWORK_MODELS, fit_roads
from truebed.levels.road_rules import RoadRules
from truebed.levels.road_terms import MODELS
from truebed.levels.surface import Model

READINGS, RADIUS_MM, SD_MM, GROSS_MM, FALSE_ALARM = 12, 650.0, 2.0, 10.0, 0.05
ANGLE = 2.0 * np.pi * np.arange(READINGS) / READINGS
X, Y = RADIUS_MM * np.cos(ANGLE), RADIUS_MM * np.sin(ANGLE)
PLANE = 0.02 * X + 0.01 * Y
FIVE = PLANE + 3e-5 * X * Y + 2e-5 * (X * X - Y * Y)


def spots_of(level: np.ndarray) -> tuple[Spot, ...]:
    """Twelve readings on a ring as spots; the row of each is its number."""
    rows = zip(X.tolist(), Y.tolist(), level.tolist(), strict=True)
    return tuple(Spot(f"P{i}", x, y, z, "road", i) for i, (x, y, z) in enumerate(rows))


def named(level: np.ndarray, models: tuple[Model, ...]) -> set[int]:
    """The readings that the production fit names as gross; none where it refuses the cover."""
    try:
        return {g.row for g in fit_road(spots_of(level), SD_MM, FALSE_ALARM, models=models).gross}
    except NotDesignedError:
        return set()


def shares(truth: np.ndarray, models: tuple[Model, ...], trials: int, seed: int) -> tuple[float, float]:
    """How often just the slipped reading is named, and how often any is where all are good."""
    rng = np.random.default_rng(seed)
    right = alarms = 0
    for _ in range(trials):
        level = truth + rng.normal(0.0, SD_MM, READINGS)
        alarms += bool(named(level, models))
        which = int(rng.integers(READINGS))
        level[which] += GROSS_MM * rng.choice([-1.0, 1.0])
        right += named(level, models) == {which}
    return right / trials, alarms / trials


def gross_rows(trials: int = 20_000, whole_trials: int = 4_000, seed: int = 43) -> list[Row]:
    """A 10 mm slip among 12 readings named, and good readings blamed: shape given, and shape chosen as well."""
    plane, plane_alarms = shares(PLANE, ("plane",), trials, seed)
    five, five_alarms = shares(FIVE, ("five terms",), trials, seed + 1)
    chosen, chosen_alarms = shares(PLANE, MODELS, whole_trials, seed + 2)
    only = "just that reading named by fit_road, sd 2 mm known, shape given"
    also = "the same with the shape chosen among six: where a fold or twist explains a slip, no reading is blamed"
    return [
        row("gross_reading_named_plane", plane, "share", only, n=trials, seed=seed, goal=0.90, sense="least"),
        row("gross_reading_named_five_terms", five, "share", only, n=trials, seed=seed + 1, goal=0.75, sense="least"),
        row(
            "false_alarms",
            max(plane_alarms, five_alarms, chosen_alarms),
            "share",
            "covers of good readings in which one is blamed, the worst of three: plane given, five terms given, chosen",
            n=2 * trials + whole_trials,
            seed=seed,
            goal=FALSE_ALARM,
        ),
        row("gross_reading_named_shape_chosen", chosen, "share", also, n=whole_trials, seed=seed + 2),
    ]


def time_rows(covers: int = 50_000, seed: int = 46) -> list[Row]:
    """One cover's fit, and a network's beside the same fit of one cover at a time, answers compared."""
    rng = np.random.default_rng(seed)
    level = PLANE + rng.normal(0.0, SD_MM, (covers, READINGS))
    level[::3, 4] += 25.0
    x, y = np.broadcast_to(X, level.shape), np.broadcast_to(Y, level.shape)
    one, rules = spots_of(level[1]), RoadRules(most_removed_count=1)
    alone, n = seconds(lambda: fit_road(one, SD_MM, FALSE_ALARM))
    whole, _ = seconds(lambda: fit_roads(x, y, level, SD_MM, FALSE_ALARM, rules), least_s=0.2)
    singly, _ = seconds(lambda: fit_road(one, SD_MM, FALSE_ALARM, rules=rules, models=NETWORK_MODELS), least_s=0.2)
    roads = fit_roads(x[:300], y[:300], level[:300], SD_MM, FALSE_ALARM, rules)
    worst = 0.0
    for c in range(300):
        road = fit_road(spots_of(level[c]), SD_MM, FALSE_ALARM, rules=rules, models=NETWORK_MODELS)
        reach = np.array([1.0, RADIUS_MM, RADIUS_MM, RADIUS_MM**2, RADIUS_MM**2])[: len(road.coefficients)]
        off = np.abs(roads.coefficients[c, : len(reach)] - np.array(road.coefficients)) * reach
        worst = max(worst, float(np.max(off)), 0.0 if NETWORK_MODELS[roads.model[c]] == road.model else np.inf)
    return [
        row("road_one_cover_ms", 1000.0 * alone, "ms", "fit_road, 12 readings, six shapes", n=n, goal=1.5),
        row(
            "roads_network_us",
            1e6 * whole / covers,
            "us/cover",
            "fit_roads, three shapes, one gross reading; peer: fit_road with the same shapes",
            n=covers,
            seed=seed,
            peer=1e6 * singly,
            ratio=singly * covers / whole,
        ),
        row("roads_network_difference_mm", worst, "mm", "greatest over 300 covers, at the ring", n=300, goal=1e-9),
    ]


def rows() -> list[Row]:
    """All measures of the road's surface."""
    return [*gross_rows(), *time_rows()]
