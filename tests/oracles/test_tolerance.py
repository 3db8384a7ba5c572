"""Probability of tolerance against the closed forms of the methods study (P1, P2, P4, P5) and against plain draws."""

from functools import cache

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from levels.test_frame_setting import question
from truebed.chamber.plane import Plane
from truebed.chamber.shapes import circle_ring, d_ring, rectangle_ring, turned
from truebed.levels.booking import Spot
from truebed.levels.frame_setting import set_frame
from truebed.levels.road_average import allowed_roads, fold_reach_mm, rim_share_within
from truebed.levels.road_fit import fit_road
from truebed.levels.road_terms import FOLDED, error_terms, term_table
from truebed.levels.seat_question import edge_points
from truebed.levels.surface import RoadPoint, RoadSurface
from truebed.levels.tolerance import normal_share_within, points_alone, probability_within, setting_covariance
from truebed.levels.tolerance_closed import round_flat_share, square_twist_share

RECTANGLE = ((400.0, 300.0), (400.0, -300.0), (-400.0, -300.0), (-400.0, 300.0))
NONE = np.diag([1e-12, 1e-18, 1e-18])


def plane_ring_covariance(sd, count, radius):
    return np.diag([sd**2 / count, 2 * sd**2 / (count * radius**2), 2 * sd**2 / (count * radius**2)])


def terms(x, y):
    return np.column_stack([np.ones_like(x), x, y])


CASES_ROUND = [(3.0, 0.988308), (2.0, 0.836970)]
CASES_TWIST = [(2.0, 8, 0.894908), (2.0, 12, 0.964448), (2.0, 16, 0.987563), (1.1547005, 12, 0.999919)]


@pytest.mark.parametrize(("tolerance", "expected"), CASES_ROUND)
def test_p1_p2_a_round_frame_on_a_flat_road(tolerance, expected):
    angle = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    x, y = 400 * np.cos(angle), 400 * np.sin(angle)
    covariance = plane_ring_covariance(2.0, 8, 600.0)
    found = probability_within(
        np.zeros(240), terms(x, y), covariance, NONE, points_alone(240), -tolerance, tolerance
    )  # fmt: skip
    assert found == pytest.approx(expected, abs=0.001)
    closed = round_flat_share(0.0, tolerance, 2.0 / 8**0.5, 400 * covariance[1, 1] ** 0.5)
    assert closed == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(("sd", "count", "expected"), CASES_TWIST)
def test_p4_p5_a_square_frame_on_a_twisted_road(sd, count, expected):
    x, y = np.array([-400.0, 400, 400, -400]), np.array([-400.0, -400, 400, 400])
    twist = np.array([4.0, -4.0, 4.0, -4.0])
    covariance = plane_ring_covariance(sd, count, 750.0)
    found = probability_within(twist, terms(x, y), covariance, NONE, points_alone(4), -6.0, 6.0)
    assert found == pytest.approx(expected, abs=0.001)
    closed = square_twist_share(4.0, 0.0, 6.0, sd / count**0.5, 400 * covariance[1, 1] ** 0.5)
    assert closed == pytest.approx(expected, abs=1e-6)


def test_road_and_setting_errors_together_agree_with_a_million_plain_draws():
    x, y = np.array([-400.0, 400, 400, -400]), np.array([-300.0, -300, 300, 300])
    departure = np.array([1.0, -2.0, 1.5, -0.5])
    road = plane_ring_covariance(2.0, 10, 700.0)
    rim = setting_covariance(RECTANGLE, 1.0)
    found = probability_within(departure, terms(x, y), road, rim, points_alone(4), -4.0, 4.0)
    rng = np.random.default_rng(7)
    drawn = multivariate_normal(np.zeros(3), road + rim, allow_singular=True).rvs(1_000_000, random_state=rng)
    value = departure - drawn @ terms(x, y).T
    assert found == pytest.approx(np.mean(np.all(np.abs(value) <= 4.0, axis=1)), abs=0.002)


RIMS = {
    "square": rectangle_ring(660.0, 660.0),
    "turned rectangle": turned(rectangle_ring(900.0, 450.0), 23.0),
    "triangle": ((-400.0, -300.0), (400.0, -300.0), (400.0, 300.0)),
    "round": circle_ring(700.0),
    "D": d_ring(700.0, 600.0),
}
SHAPES = {
    "plane": (3.5, 0.001, -0.001),
    "plane and twist": (2.5, 0.0, 0.001, 2e-5),
    "five terms": (-0.5, 0.001, 0.0, 1e-5, -2e-5),
    "two planes along": (0.5, 0.0, 0.001, -0.008),
    "two planes across": (0.0, 0.001, 0.0, -0.012),
}


def ring_road(model, count=12, sd=2.0):
    """A road of that shape as a ring of readings would know it."""
    turn = 2 * np.pi * np.arange(count) / count
    x, y = 750 * np.cos(turn), 700 * np.sin(turn)
    table = error_terms(model, x, y, 40.0, SHAPES[model])
    size = np.linalg.norm(table, axis=0)
    covariance = sd**2 * np.linalg.inv((table / size).T @ (table / size)) / np.outer(size, size)
    points = tuple(RoadPoint(f"P{i}", a, b, 0.0, 0.0, True, i) for i, (a, b) in enumerate(zip(x, y, strict=True)))
    rows = tuple(map(tuple, covariance.tolist()))
    return RoadSurface(model, SHAPES[model], rows, 40.0, sd, points, (), 1.0, 1.0)


def drawn_share(road, ring, rim, rim_covariance, low, high, draws, seed=1):
    """Plain draws of every coefficient, the rim looked at every 20 mm or less and on the drawn fold."""
    rng = np.random.default_rng(seed)
    edge = np.array(edge_points(ring, 20.0))
    x, y, inside, block = edge[:, 0], edge[:, 1], 0, 20_000
    scale = np.sqrt(np.diag(np.array(road.covariance)))
    root = np.linalg.cholesky(np.array(road.covariance) / np.outer(scale, scale)) * scale[:, None]
    size = np.sqrt(np.diag(rim_covariance))
    rim_root = np.linalg.cholesky(rim_covariance / np.outer(size, size)) * size[:, None]
    for _ in range(draws // block):
        own = rng.normal(0, 1, (block, len(scale))) @ root.T
        plane = (
            np.array([rim.level_mm, rim.slope_x_ratio, rim.slope_y_ratio]) + rng.normal(0, 1, (block, 3)) @ rim_root.T
        )
        if road.model in FOLDED:
            drawn = np.array(road.coefficients) + own[:, :-1]
            ridge = np.clip(road.ridge_mm + own[:, -1:], *fold_reach_mm(road, allowed_roads(road)[0]))
            place = y if road.model == "two planes along" else x
            level = drawn[:, :3] @ terms(x, y).T + drawn[:, 3:] * np.abs(place - ridge)
        else:
            level = (np.array(road.coefficients) + own) @ term_table(road.model, x, y, 0.0).T
        off = plane @ terms(x, y).T - level
        inside += int(np.sum((off.min(axis=1) >= low) & (off.max(axis=1) <= high)))
    return inside / draws


@pytest.mark.parametrize("shape", sorted(SHAPES))
@pytest.mark.parametrize("ring", sorted(RIMS))
def test_any_rim_on_any_road_agrees_with_plain_draws(ring, shape):
    road, rim, setting = ring_road(shape), Plane(0.0, 0.0, 0.0), setting_covariance(RECTANGLE, 1.0)
    found = rim_share_within(road, RIMS[ring], RIMS[ring], rim, setting, -5.0, 6.0)
    drawn = drawn_share(road, RIMS[ring], rim, setting, -5.0, 6.0, 200_000)
    assert 0.05 < drawn < 0.995
    # a thousandth, and three standard errors of the draws
    assert found == pytest.approx(drawn, abs=0.001 + 3 * (drawn * (1 - drawn) / 200_000) ** 0.5)


def test_corner_errors_of_1_mm_give_each_corner_an_error_of_root_three_quarters_mm():
    covariance = setting_covariance(RECTANGLE, 1.0)
    corner = np.array([1.0, 400.0, 300.0])
    assert corner @ covariance @ corner == pytest.approx(0.75)


def test_a_single_value_has_the_normal_law():
    assert normal_share_within(0.0, 1.0, -1.959964, 1.959964) == pytest.approx(0.95, abs=1e-6)
    assert normal_share_within(3.0, 1.0, -1e9, 3.0) == pytest.approx(0.5)


def test_the_four_set_points_of_a_rectangle_and_of_a_round_frame_give_their_closed_forms():
    expected = np.diag([4.0 / 4, 4.0 / (4 * 400.0**2), 4.0 / (4 * 300.0**2)])
    assert setting_covariance(RECTANGLE, 2.0) == pytest.approx(expected, rel=1e-9, abs=1e-15)
    quarters = ((330.0, 0.0), (0.0, -330.0), (-330.0, 0.0), (0.0, 330.0))
    expected = np.diag([4.0 / 4, 4.0 / (2 * 330.0**2), 4.0 / (2 * 330.0**2)])
    assert setting_covariance(quarters, 2.0) == pytest.approx(expected, rel=1e-9, abs=1e-15)


@pytest.mark.parametrize("turn", [10.0, 45.0, 73.0])
def test_the_error_of_a_point_of_the_rim_turns_with_the_frame(turn):
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    turned = tuple((c * x - s * y, s * x + c * y) for x, y in RECTANGLE)
    for (x, y), (tx, ty) in zip(((400.0, 300.0), (400.0, 0.0), (100.0, -300.0)),
                                ((c * 400 - s * 300, s * 400 + c * 300), (c * 400, s * 400),
                                 (c * 100 + s * 300, s * 100 - c * 300)), strict=True):  # fmt: skip
        straight, after = np.array([1.0, x, y]), np.array([1.0, tx, ty])
        assert after @ setting_covariance(turned, 1.0) @ after == pytest.approx(
            straight @ setting_covariance(RECTANGLE, 1.0) @ straight
        )


ROADS = {
    "plane": lambda x, y: 0.01 * x - 0.02 * y,
    "twist": lambda x, y: 0.01 * x + 2e-5 * x * y,
    "crown 1.25 %": lambda _x, y: -0.0125 * abs(y),
    "crown 2 %": lambda _x, y: -0.02 * abs(y),
    "crown 2 % off the centre": lambda _x, y: -0.02 * abs(y - 100.0),
}
TRIALS, SETTINGS = {12: 150, 8: 60}, 60


def set_in_truth(setting, road, rng):
    """How often the frame, set with 1 mm of error at each corner, truly lies within 6 mm of the true road."""
    edge = [(p.x_mm, p.y_mm) for p in setting.rim_points] + [(s * 330.0, y) for s in (1, -1) for y in (0.0, 100.0)]
    x, y = np.array(edge).T
    ideal = np.array([setting.rim.at(*p) for p in edge]) - np.array([road(*p) for p in edge])
    error = rng.normal(0, 1, (SETTINGS, 4))
    corners = np.array([(c.x_mm, c.y_mm) for c in setting.corners])
    planes = np.linalg.lstsq(np.column_stack([np.ones(4), corners]), error.T, rcond=None)[0].T
    return float(np.mean(np.all(np.abs(ideal + planes @ np.array([np.ones_like(x), x, y])) <= 6.0, axis=1)))


@cache
def claimed_and_true(name, count):
    road, claimed, true = ROADS[name], [], []
    for seed in range(TRIALS[count]):
        rng = np.random.default_rng(seed)
        angle = 2 * np.pi * np.arange(count) / count
        ring = zip(750.0 * np.cos(angle), 750.0 * np.sin(angle), strict=True)
        spots = tuple(
            Spot(f"P{i}", x, y, road(x, y) + rng.normal(0, 2), "road", i + 2) for i, (x, y) in enumerate(ring)
        )
        setting = set_frame(question(fit_road(spots, 2.0, 0.05)))
        claimed.append(setting.rim_verdict.probability)
        true.append(set_in_truth(setting, road, rng))
    return float(np.mean(claimed)), float(np.mean(true))


@pytest.mark.parametrize("count", [12, 8])
@pytest.mark.parametrize("name", ["plane", "twist"])
def test_on_a_plane_or_twisted_road_the_claimed_probability_is_the_true_rate(name, count):
    claimed, true = claimed_and_true(name, count)
    assert claimed == pytest.approx(true, abs=0.06)


@pytest.mark.parametrize("count", [12, 8])
@pytest.mark.parametrize("name", ["crown 1.25 %", "crown 2 %", "crown 2 % off the centre"])
def test_on_a_crown_the_claimed_probability_is_little_above_the_true_rate_and_not_far_below(name, count):
    claimed, true = claimed_and_true(name, count)
    assert claimed <= true + 0.12
    assert claimed >= true - 0.20
