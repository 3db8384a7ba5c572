"""From a works to batches: every cover in one batch or apart with its reason; limits from the data."""

from dataclasses import replace

import numpy as np
import pytest

from plan.sample import case, demo_works, shelf
from truebed.given.cover import Plan2D
from truebed.given.survey import Obstacle
from truebed.plan.closure import case_of
from truebed.plan.network_works import NO_NIGHT, cases_of, close_pairs, limits_of, sorted_out, why_apart


def test_the_cases_of_a_works_are_those_of_a_plan_without_the_night():
    works = demo_works()
    for found, cover in zip(cases_of(works, shelf(), {}), works.covers, strict=True):
        alone = case_of(works, shelf(), cover, NO_NIGHT, None)
        assert found == replace(alone, condition=None)


def test_every_cover_of_the_demo_is_in_one_batch_or_apart_with_a_reason():
    cases = cases_of(demo_works(), shelf(), {})
    batches, apart = sorted_out(cases)
    places = sorted([*(p for b in batches for p in b.rows), *(a.row for a in apart)])
    assert places == list(range(len(cases)))
    assert all(a.why and a.status in ("refused", "not taken") for a in apart)
    assert any("share errors" in a.why for a in apart)
    for batch in batches:
        assert {limits_of(cases[p]) for p in batch.rows} == {batch.limits}
        assert [cases[p].cover.chamber_depth_mm for p in batch.rows] == batch.covers.chamber_depth.tolist()


def test_limits_are_those_of_sheet_method_and_rule_set():
    one = case()
    limits, words = limits_of(one), one.words()
    bed = one.sheet_for("bed")
    assert (limits.bed_least_mm, limits.bed_most_mm) == (bed.limits.thickness_least_mm, bed.limits.thickness_most_mm)
    assert limits.floor_below_mm == one.method.layers.floor_below_mm
    assert limits.band_high_mm == one.rules.number("fixed_feature_high_mm", *words)
    assert limits.blade_mm == 450.0
    assert limits.fall_least_ratio is None


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"flange": Plan2D("D", 830.0, 700.0)}, "a D"),
        ({"body": Plan2D("triangular pair", 660.0, 660.0)}, "three-point lids"),
        ({"parts_count": 2}, "2 castings"),
        ({}, ""),
    ],
)
def test_what_a_batch_cannot_take_is_said(changes, words):
    assert words in why_apart(case(**changes))
    assert bool(words) == bool(why_apart(case(**changes)))


def test_obstacles_and_measured_tops_stand_apart():
    beside = replace(case(), obstacles=(Obstacle("X1", "valve box", 700.0, 0.0, 150.0, 150.0, 0.0, 50.0, 2),))
    assert "valve box" in why_apart(beside)


def test_neighbours_are_found_within_reach_and_not_beyond():
    far = [(0, 0.0, 0.0, 700.0), (1, 1.6, 0.0, 700.0), (2, 30.0, 30.0, 700.0), (3, 30.0, 31.7, 700.0)]
    assert close_pairs(far, 250.0) == {0, 1}
    assert close_pairs(far, 310.0) == {0, 1, 2, 3}
    rng = np.random.default_rng(4)
    many = [(i, float(x), float(y), 700.0) for i, (x, y) in enumerate(rng.uniform(-15.0, 15.0, (120, 2)))]
    near = {
        i for i, x, y, _ in many for j, u, v, _ in many if i != j and np.hypot(x - u, y - v) * 1000.0 < 1400.0 + 250.0
    }
    assert close_pairs(many, 250.0) == near


def test_a_cover_near_another_stands_apart():
    there = [replace(case().cover, cover=f"X{i}", x_m=1.2 * i, y_m=0.0, bearing_deg=90.0) for i in range(2)]
    cases = tuple(replace(case(), cover=c) for c in there)
    batches, apart = sorted_out(cases)
    assert batches == ()
    assert {a.why for a in apart} == {"another cover stands so near that the cuts may meet"}
