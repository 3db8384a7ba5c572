"""Probability of tolerance against the closed forms of the methods study (P1, P2, P4, P5) and against plain draws."""

from functools import cache

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from levels.test_frame_setting import question
from truebed.levels.booking import Spot
from truebed.levels.frame_setting import set_frame
from truebed.levels.road_fit import fit_road
from truebed.levels.tolerance import normal_share_within, probability_within, setting_covariance

RECTANGLE = ((400.0, 300.0), (400.0, -300.0), (-400.0, -300.0), (-400.0, 300.0))
NONE = np.diag([1e-12, 1e-18, 1e-18])


def plane_ring_covariance(sd, count, radius):
    return np.diag([sd**2 / count, 2 * sd**2 / (count * radius**2), 2 * sd**2 / (count * radius**2)])


def terms(x, y):
    return np.column_stack([np.ones_like(x), x, y])


@pytest.mark.parametrize(("tolerance", "expected"), [(3.0, 0.988308), (2.0, 0.836970)])
def test_p1_p2_a_round_frame_on_a_flat_road(tolerance, expected):
    angle = np.linspace(0, 2 * np.pi, 240, endpoint=False)
    x, y = 400 * np.cos(angle), 400 * np.sin(angle)
    found = probability_within(
        np.zeros(240), terms(x, y), plane_ring_covariance(2.0, 8, 600.0), terms(x, y), NONE, -tolerance, tolerance
    )
    assert found == pytest.approx(expected, abs=0.003)


@pytest.mark.parametrize(
    ("sd", "count", "expected"),
    [(2.0, 8, 0.894908), (2.0, 12, 0.964448), (2.0, 16, 0.987563), (1.1547005, 12, 0.999919)],
)
def test_p4_p5_a_square_frame_on_a_twisted_road(sd, count, expected):
    x, y = np.array([-400.0, 400, 400, -400]), np.array([-400.0, -400, 400, 400])
    twist = np.array([4.0, -4.0, 4.0, -4.0])
    found = probability_within(
        twist, terms(x, y), plane_ring_covariance(sd, count, 750.0), terms(x, y), NONE, -6.0, 6.0
    )
    assert found == pytest.approx(expected, abs=0.003)


def test_road_and_setting_errors_together_agree_with_a_million_plain_draws():
    x, y = np.array([-400.0, 400, 400, -400]), np.array([-300.0, -300, 300, 300])
    departure = np.array([1.0, -2.0, 1.5, -0.5])
    road = plane_ring_covariance(2.0, 10, 700.0)
    rim = setting_covariance(RECTANGLE, 1.0)
    found = probability_within(departure, terms(x, y), road, terms(x, y), rim, -4.0, 4.0)
    rng = np.random.default_rng(7)
    drawn = multivariate_normal(np.zeros(3), road + rim, allow_singular=True).rvs(1_000_000, random_state=rng)
    value = departure - drawn @ terms(x, y).T
    assert found == pytest.approx(np.mean(np.all(np.abs(value) <= 4.0, axis=1)), abs=0.004)


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
