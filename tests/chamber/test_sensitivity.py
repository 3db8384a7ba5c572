"""Litres per mm of level: against differences of the litres themselves, and against drawn errors."""

import math
from dataclasses import replace

import numpy as np
import pytest

from chamber.covers import random_cover, shaped
from chamber.test_roles import V10_LEVELS, V10_SIZES
from truebed.chamber.plane import Plane
from truebed.chamber.sensitivity import PARAMETERS, level_covariance, litre_rates, litre_sds, shared_sd_l
from truebed.chamber.solids import role_solids
from truebed.chamber.surface import Surface

FIELDS = {"rim": "rim", "top": "chamber_top", "floor": "floor"}
STEPS = (1e-3, 1e-6, 1e-6, 1e-9, 1e-9, 1e-6, 1e-3)
ROAD = Surface(1.0, 0.02, 0.01, 1e-5, -1e-5, -0.02, 30.0)


def moved(levels, index, by):
    """Levels with one parameter changed."""
    bound, _ = PARAMETERS[index]
    first = next(i for i, (b, _) in enumerate(PARAMETERS) if b == bound)
    if bound == "road":
        road = levels.road_surface
        name = Surface.__slots__[index - first]
        return replace(levels, road_surface=replace(road, **{name: getattr(road, name) + by}))
    plane = getattr(levels, FIELDS[bound])
    changed = [plane.level_mm, plane.slope_x_ratio, plane.slope_y_ratio]
    changed[index - first] += by
    return replace(levels, **{FIELDS[bound]: Plane(*changed)})


def test_two_millimetres_of_level_are_seven_per_cent_of_a_bed():
    rates = litre_rates(shaped(V10_SIZES), V10_LEVELS)
    assert rates["bed"][0] == pytest.approx(0.64 - 0.09 * math.pi)
    assert 2.0 * rates["bed"][0] == pytest.approx(0.71, abs=0.005)
    bed = role_solids(shaped(V10_SIZES), V10_LEVELS)["bed"]
    assert 2.0 * rates["bed"][0] / bed.volume_l == pytest.approx(0.067, abs=1e-3)


@pytest.mark.parametrize("seed", range(8))
def test_every_rate_is_the_difference_of_the_litres(seed):
    rng = np.random.default_rng(seed + 60)
    sizes, turn, levels = random_cover(rng)
    levels = replace(levels, road_surface=ROAD, surface_depth_mm=35.0, joint_width_mm=20.0)
    if seed % 2:
        angle = np.arange(8) * np.pi / 4
        top = levels.chamber_top
        points = tuple((float(x), float(y), top.at(x, y) + 3 * (-1) ** i) for i, (x, y) in
                       enumerate(zip(400 * np.cos(angle), 400 * np.sin(angle), strict=True)))  # fmt: skip
        levels = replace(levels, top_points=points)
    outlines = shaped(sizes, turn)
    rates = litre_rates(outlines, levels)
    for index, (bound, _) in enumerate(PARAMETERS):
        first = next(i for i, (b, _) in enumerate(PARAMETERS) if b == bound)
        if bound == "top" and levels.top_points:
            continue  # the points stand, the plane beyond them alone would move
        step = STEPS[index - first]
        up, down = (role_solids(outlines, moved(levels, index, s * step)) for s in (1.0, -1.0))
        for role, rate in rates.items():
            slope = (up[role].volume_l - down[role].volume_l) / (2.0 * step)
            assert rate[index] == pytest.approx(slope, rel=2e-5, abs=2e-6 * 1e-3 / step), (role, PARAMETERS[index])


def test_the_error_of_the_litres_is_that_of_drawn_levels():
    levels = replace(V10_LEVELS, road_surface=ROAD)
    outlines = shaped(V10_SIZES)
    rim, top = np.diag([1.0, 2e-6, 2e-6]), np.diag([16.0, 1e-5, 1e-5])
    road = np.diag([0.5, 2e-6, 2e-6, 1e-11, 1e-11, 1e-5, 25.0])
    covariance = level_covariance(rim, road, top, None)
    sds = litre_sds(litre_rates(outlines, levels), covariance)
    rng = np.random.default_rng(63)
    drawn = rng.multivariate_normal(np.zeros(len(PARAMETERS)), covariance, 1500, method="eigh")
    litres = []
    for draw in drawn:
        now = levels
        for index, by in enumerate(draw):
            now = moved(now, index, float(by))
        litres.append([role_solids(outlines, now)[r].volume_l for r in ("bed", "under_flange_fill", "surround_fill")])
    found = np.std(litres, axis=0)
    assert [sds["bed"], sds["under_flange_fill"], sds["surround_fill"]] == pytest.approx(list(found), rel=0.08)
    assert sds["running_surface"] == pytest.approx(0.0, abs=1e-12)


def test_a_floor_dug_from_the_top_shares_its_error_and_one_struck_by_itself_does_not():
    rates = litre_rates(shaped({**V10_SIZES, "wall": ("rectangle", 900.0, 900.0)}), V10_LEVELS)
    rim, road, top = np.zeros((3, 3)), np.zeros((3, 3)), np.diag([16.0, 0.0, 0.0])
    together = litre_sds(rates, level_covariance(rim, road, top, None))["under_flange_fill"]
    apart = litre_sds(rates, level_covariance(rim, road, top, top))["under_flange_fill"]
    assert together == pytest.approx(4.0 * 0.36)
    assert apart == pytest.approx(4.0 * math.hypot(0.81 - 0.64, 1.0 - 0.81))


def test_a_rim_set_low_takes_from_the_bed_what_it_gives_to_the_surround():
    rates = litre_rates(shaped(V10_SIZES), V10_LEVELS)
    rim, nothing = np.diag([4.0, 0.0, 0.0]), np.zeros((3, 3))
    covariance = level_covariance(rim, nothing, nothing, None)
    both = shared_sd_l(rates, covariance, ("under_flange_fill", "surround_fill"))
    assert both == pytest.approx(2.0 * (0.5644 - 0.36))
    alone = litre_sds(rates, covariance)
    assert both < alone["under_flange_fill"] + alone["surround_fill"]
