"""Which reading matters most: against refits of the readings themselves, and algebra on a plane road."""

import math
from dataclasses import replace

import numpy as np
import pytest

from truebed.chamber.plane import Plane
from truebed.chamber.shapes import rectangle_ring
from truebed.levels.booking import Spot
from truebed.levels.frame_setting import SettingQuestion, set_frame
from truebed.levels.rims import set_points
from truebed.levels.road_fit import fit_road
from truebed.levels.road_terms import term_table
from truebed.levels.seat_question import SeatSample
from truebed.levels.sensitivity import coefficient_gain, left_out, pulls, sensitivity, shifted
from truebed.levels.surface import RoadPoint, RoadSurface

COUNT, RADIUS, HALF = 12, 700.0, 330.0


def fitted(levels, model="plane", ridge=0.0, unused=()):
    """Readings on a ring and their least-squares fit, written here by numpy alone."""
    angle = 2.0 * np.pi * np.arange(COUNT) / COUNT
    x, y = RADIUS * np.cos(angle), RADIUS * np.sin(angle)
    table = term_table(model, x, y, ridge)
    used = np.array([i not in unused for i in range(COUNT)])
    answer = np.linalg.lstsq(table[used], np.asarray(levels)[used], rcond=None)[0]
    residual = np.asarray(levels) - table @ answer
    points = tuple(
        RoadPoint(f"P{i}", float(x[i]), float(y[i]), float(levels[i]), float(residual[i]), bool(used[i]), i + 2)
        for i in range(COUNT)
    )
    covariance = tuple(tuple(float(v) for v in row) for row in 4.0 * np.linalg.inv(table[used].T @ table[used]))
    return RoadSurface(model, tuple(float(a) for a in answer), covariance, ridge, 2.0, points, (), 1.0, 1.0)


def question(road, top=-130.0):
    seat = tuple(SeatSample(f"seat {i}", x, y, top) for i, (x, y) in enumerate(rectangle_ring(820.0, 820.0)))
    return SettingQuestion(
        road, rectangle_ring(2 * HALF, 2 * HALF), set_points("rectangle", 2 * HALF, 2 * HALF, 0.0), ((500.0, 0.0),),
        seat, Plane(top, 0.0, 0.0), "estimate", 100.0, 12.0, 55.0, -6.0, 6.0, "[sroh-4] S2.3.1 (seen)", 1.0,
    )  # fmt: skip


def noisy(seed=3):
    return np.random.default_rng(seed).normal(0.0, 2.0, COUNT)


def test_on_a_plane_road_the_pull_is_that_of_algebra():
    # plane through n readings on a ring R: 1 mm at angle a moves (x, y) by 1/n + 2 (x cos a + y sin a) / (n R)
    for j, pull in enumerate(pulls(question(fitted(noisy())))):
        a = 2.0 * math.pi * j / COUNT
        for name, ratio in pull.corners:
            x, y = dict(set_points("rectangle", 2 * HALF, 2 * HALF, 0.0))[name]
            by_hand = 1.0 / COUNT + 2.0 * (x * math.cos(a) + y * math.sin(a)) / (COUNT * RADIUS)
            assert ratio == pytest.approx(by_hand, abs=2e-4)
        assert pull.greatest_ratio == pytest.approx(0.0, abs=2e-4)


@pytest.mark.parametrize("model", ["plane and twist", "five terms"])
def test_a_pull_foretells_the_setting_after_the_reading_is_changed_and_refitted(model):
    angle = 2.0 * np.pi * np.arange(COUNT) / COUNT
    levels = 2.0e-5 * RADIUS**2 * np.cos(angle) * np.sin(angle) + noisy()
    each = pulls(question(fitted(levels, model)))
    for j in (0, 3, 7):
        changed = []
        for by in (-0.5, 0.5):
            moved = levels.copy()
            moved[j] += by
            changed.append(set_frame(question(fitted(moved, model))))
        for k, (name, ratio) in enumerate(each[j].corners):
            assert changed[1].corners[k].name == name
            assert ratio == pytest.approx(changed[1].corners[k].rim_mm - changed[0].corners[k].rim_mm, abs=1e-5)
        grown = changed[1].greatest_departure_mm - changed[0].greatest_departure_mm
        assert each[j].greatest_ratio == pytest.approx(grown, abs=1e-5)


def test_a_reading_left_out_changes_the_setting_as_a_refit_without_it_does():
    levels = noisy(5)
    levels[4] += 7.0
    whole = set_frame(question(fitted(levels, "plane and twist")))
    for j, one in enumerate(left_out(question(fitted(levels, "plane and twist")))):
        without = set_frame(question(fitted(levels, "plane and twist", unused=(j,))))
        assert one.carried
        assert one.sits
        assert one.greatest_mm == pytest.approx(without.greatest_departure_mm, abs=1e-5)
        moved = [b.rim_mm - a.rim_mm for a, b in zip(whole.corners, without.corners, strict=True)]
        assert [c for _, c in one.corners] == pytest.approx(moved, abs=1e-5)
        assert abs(one.most_mm) == pytest.approx(max(abs(m) for m in moved), abs=1e-5)


def test_a_gain_of_the_roads_own_is_used_where_it_has_one():
    road = fitted(noisy())
    assert coefficient_gain(road)[0] == pytest.approx(np.full(COUNT, 1.0 / COUNT))
    own = replace(road, gain=tuple(tuple(0.25 if i == 0 else 0.0 for _ in range(COUNT)) for i in range(3)))
    assert all(p.most_ratio == pytest.approx(0.25, abs=1e-4) for p in pulls(question(own)))


def test_an_unused_reading_pulls_nothing_and_is_not_left_out_again():
    found = sensitivity(question(fitted(noisy(), unused=(2,))))
    assert "P2" not in {p.point for p in found.pulls} | {p.point for p in found.left_out}
    assert len(found.pulls) == COUNT - 1


def test_the_reading_that_matters_most_is_the_one_nearest_a_corner_that_has_no_neighbour():
    # without P1 and P2 (30 and 60 degrees) the corner at 45 degrees hangs on P0 and P3
    found = sensitivity(question(fitted(noisy(), "plane and twist", unused=(1, 2))))
    strongest = max(found.pulls, key=lambda p: abs(p.most_ratio))
    assert found.most == strongest.point
    assert strongest.most_ratio**2 == max(r**2 for p in found.pulls for _, r in p.corners)


def test_a_reading_that_alone_holds_a_term_cannot_be_left_out():
    road = fitted([0.0] * COUNT, "two planes along", ridge=690.0)
    # only P3, at y = 700, lies beyond the fold
    one = next(entry for entry in left_out(question(road)) if entry.point == "P3")
    assert not one.carried
    assert one.greatest_mm is None


def test_a_fold_moves_with_the_gain_of_its_place():
    road = fitted([0.0] * COUNT, "two planes along")
    assert shifted(road, np.array([0.0, 0.0, 0.0, 0.0, 5.0])).ridge_mm == 5.0
    assert shifted(road, np.array([1.0, 0.0, 0.0, 0.0])).coefficients[0] == pytest.approx(road.coefficients[0] + 1.0)
    assert shifted(road, np.array([1.0, 0.0, 0.0, 0.0])).ridge_mm == 0.0


def test_leaving_a_reading_out_of_a_weighted_fit_is_a_weighted_refit():
    levels, weight = noisy(9), np.array([1.0, 4.0] * 6)
    road = fitted(levels)
    x, y = np.array([p.x_mm for p in road.points]), np.array([p.y_mm for p in road.points])
    table = term_table("plane", x, y, 0.0)

    def weighted(chosen):
        t, w = table[chosen], weight[chosen]
        gain = np.linalg.solve((t.T * w) @ t, t.T * w)
        return gain, gain @ levels[chosen]

    gain, answer = weighted(np.arange(COUNT))
    points = tuple(replace(p, residual_mm=float(r)) for p, r in zip(road.points, levels - table @ answer, strict=True))
    own = replace(
        road, coefficients=tuple(float(a) for a in answer), gain=tuple(tuple(float(g) for g in row) for row in gain),
        points=points,
    )  # fmt: skip
    before = set_frame(question(own)).corners
    for j, one in enumerate(left_out(question(own))):
        _, without = weighted(np.array([i for i in range(COUNT) if i != j]))
        for (name, moved), corner in zip(one.corners, before, strict=True):
            refit = without[0] + without[1] * corner.x_mm + without[2] * corner.y_mm
            assert moved == pytest.approx(refit - corner.rim_mm, abs=1e-5), name


def test_on_the_tools_own_fit_a_pull_foretells_the_next_fit():
    angle = 2.0 * np.pi * np.arange(COUNT) / COUNT
    levels = 0.3 * np.sin(3.0 * angle) + 0.01 * RADIUS * np.cos(angle)

    def fit_of(values):
        return fit_road(
            tuple(
                Spot(f"P{i}", RADIUS * math.cos(a), RADIUS * math.sin(a), float(v), "road", i + 2)
                for i, (a, v) in enumerate(zip(angle, values, strict=True))
            ),
            2.0,
            0.05,
        )

    each = pulls(question(fit_of(levels)))
    moved = levels.copy()
    moved[2] += 1.0
    before, after = (set_frame(question(fit_of(v))) for v in (levels, moved))
    for k, (_, ratio) in enumerate(each[2].corners):
        assert ratio == pytest.approx(after.corners[k].rim_mm - before.corners[k].rim_mm, abs=2e-3)
