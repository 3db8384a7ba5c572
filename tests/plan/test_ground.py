"""Road, cut-out, setting, solids of one cover together."""

import math
from dataclasses import replace

import numpy as np
import pytest

from plan.sample import case, ring_readings, shelf
from plan.surveyed import line_readings, sounded, staff_book
from truebed.errors import NotDesignedError
from truebed.given.cover import Plan2D
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.cutting import fill_width
from truebed.plan.ground import (
    as_surface,
    ground_of,
    known_spots,
    levels_of,
    litre_errors,
    road_covariance,
    road_of,
    road_sd_at_mm,
    road_under,
)
from truebed.plan.seating import band_of
from truebed.rules.ruleset import RuleSet


def test_on_a_known_plane_everything_comes_out_as_algebra_says():
    ground = ground_of(case())
    assert ground.setting.greatest_departure_mm == pytest.approx(0.0, abs=1e-4)
    seat_area = 0.830**2 - 0.620**2
    assert ground.solids["bed"].volume_l == pytest.approx(30.0 * seat_area, rel=1e-6)
    assert ground.cut.dig_depth_mm == pytest.approx(130.0 + 20.0)
    assert ground.solids["running_surface"].most_mm == 32.0


def test_the_error_of_the_mean_road_is_that_of_twelve_readings():
    ground = ground_of(case())
    assert road_sd_at_mm(ground.road, 0.0, 0.0) == pytest.approx(2.0 / 12**0.5)
    at_corner = 4.0 / 12 * (1 + 2 * (330.0**2 + 330.0**2) / 750.0**2)
    assert road_sd_at_mm(ground.road, 330.0, 330.0) == pytest.approx(at_corner**0.5)
    assert ground.rim_sd_mm == pytest.approx(0.5)  # four corners set to given levels, 1 mm each


def test_the_sheets_least_width_counts_in_the_cut():
    width, whose = fill_width(case())
    assert width == 60.0
    assert whose == "Weir bedding concrete, flowable"
    assert ground_of(case(sound_margin_mm=10.0)).cut.margin_mm == 60.0


def test_a_gully_and_a_cover_have_their_own_bands():
    assert band_of(shelf().rules, ("cover", "carriageway", "D400"))[:2] == (-6.0, 6.0)
    assert band_of(shelf().rules, ("gully", "kerbside", "D400"))[:2] == (-6.0, 0.0)


def test_a_rule_set_without_a_band_is_refused_with_the_keys_to_add():
    with pytest.raises(NotDesignedError) as refused:
        band_of(RuleSet("bare", "bare", ()), ("cover",))
    assert "fixed_feature_low_mm" in refused.value.mend


def test_on_a_plane_road_the_new_surface_is_flush_at_its_edge_and_on_a_crown_it_is_not():
    flush = ground_of(case())
    assert (flush.edge_low_mm, flush.edge_high_mm) == pytest.approx((0.0, 0.0), abs=1e-9)
    crown = ground_of(case(road=lambda _x, y: -0.03 * abs(y)))
    at_corner = crown.road_plane.at(565.0, 565.0) + 0.03 * 565.0
    at_ridge = crown.road_plane.at(565.0, 0.0)
    assert crown.edge_high_mm == pytest.approx(at_corner, abs=0.4)
    assert crown.edge_low_mm == pytest.approx(at_ridge, abs=0.4)


def test_one_bad_reading_does_not_move_the_frame():
    good = ground_of(case())
    bad = ground_of(case(readings=ring_readings(lambda x, y: 0.01 * x - 0.02 * y, off={3: 100.0})))
    assert [g.point for g in bad.road.gross] == ["R4"]
    assert bad.setting.rim.level_mm == pytest.approx(good.setting.rim.level_mm, abs=1e-3)


def test_a_flange_without_a_seat_all_round_is_refused_not_designed_without_a_bed():
    with pytest.raises(NotDesignedError, match="no seat"):
        ground_of(case(opening=Plan2D("rectangle", 700.0, 700.0), body=Plan2D("rectangle", 720.0, 720.0),
                       chamber=Plan2D("rectangle", 600.0, 600.0), wall_mm=20.0))  # fmt: skip
    with pytest.raises(NotDesignedError, match="no seat"):
        ground_of(case(chamber=Plan2D("rectangle", 829.9, 829.9), place="footway"))
    with pytest.raises(NotDesignedError, match="no seat"):
        ground_of(case(opening=Plan2D("round", 600.0, 600.0), body=Plan2D("round", 660.0, 660.0),
                       flange=Plan2D("round", 860.0, 860.0), chamber=Plan2D("rectangle", 700.0, 700.0)))  # fmt: skip


def test_the_joint_follows_the_sawn_edge_not_the_kerb():
    whole, kerbed = ground_of(case()), ground_of(case(kerb_side="left", kerb_mm=490.0))
    # a strip 30 mm wide inside the edge, 25 mm deep; its corners counted once
    assert whole.solids["edge_seal"].volume_l == pytest.approx((1.130**2 - 1.070**2) * 25.0)
    along, across = kerbed.cut.along_mm / 1000.0, kerbed.cut.across_mm / 1000.0
    assert across < 1.130
    assert kerbed.solids["edge_seal"].volume_l == pytest.approx(
        (along * across - (along - 0.06) * (across - 0.03)) * 25.0
    )


def test_at_a_kerb_the_mend_of_an_open_side_can_be_done():
    readings = tuple(r for r in ring_readings(lambda _x, _y: 0.0, count=16) if r.y_mm < 400.0 or r.where != "road")
    with pytest.raises(NotDesignedError, match="surround") as refused:
        ground_of(case(readings=readings, kerb_side="left", kerb_mm=490.0))
    assert "in the channel close to the kerb" in refused.value.mend


def to_road_l(ground):
    """Litres from the fill's top to the road, outside the body."""
    return sum(ground.solids[r].volume_l for r in ("surround_fill", "running_surface", "edge_seal"))


def fill_top_mm(ground, x_mm, y_mm):
    levels = ground.levels
    return levels.rim.at(x_mm, y_mm) - levels.frame_depth_mm + levels.flange_thick_mm + levels.over_flange_mm


def by_squares_l(ground, road):
    """The same by squares of 5 mm, for a cut and a body of whole numbers of them."""
    ring = ground.cut.ring
    x0, x1, y0, y1 = (f(p[i] for p in ring) for i in (0, 1) for f in (min, max))
    x, y = np.meshgrid(np.arange(x0 + 2.5, x1, 5.0), np.arange(y0 + 2.5, y1, 5.0))
    outside = np.maximum(np.abs(x), np.abs(y)) > 330.0
    height = np.vectorize(road)(x, y) - fill_top_mm(ground, x, y)
    return float(height[outside].sum()) * 25.0 / 1e6


@pytest.mark.parametrize(
    ("model", "road"),
    [
        ("plane and twist", lambda x, y: 0.01 * x - 0.02 * y + 4e-5 * x * y),
        ("five terms", lambda x, y: 0.004 * x + 1.5e-5 * x * y + 4e-5 * (x * x - y * y)),
        ("two planes along", lambda x, y: 0.004 * x - 0.015 * abs(y)),
        ("two planes across", lambda x, y: 0.004 * y - 0.015 * abs(x)),
    ],
)
def test_litres_under_every_shape_of_road_are_those_of_counting_squares(model, road):
    # the cut is lopsided (485, 525, 475, 555 mm), so twist, saddle and fold do not cancel
    made = replace(sounded(), readings=ring_readings(road))
    ground = ground_of(made)
    assert ground.road.model == model
    surface = as_surface(ground.road, ground.outlines)
    for x, y in ((0.0, 0.0), (400.0, -250.0), (-300.0, 500.0)):
        assert surface.at(x, y) == pytest.approx(road(x, y), abs=1e-6)
    # the squares' middles miss a curve by less than 25 x 4e-5 / 12 of a mm
    assert to_road_l(ground) == pytest.approx(by_squares_l(ground, road), rel=1e-4)


def test_a_plane_road_is_no_surface_and_a_dome_keeps_its_litres():
    assert as_surface(ground_of(case()).road, ground_of(case()).outlines) is None

    def dome(x, y):
        return -4e-5 * (x * x + y * y)

    outer = tuple(
        replace(r, point=f"{r.point} out", row=r.row + 50)
        for r in ring_readings(dome, radius=1300.0)
        if r.where == "road"
    )
    ground = ground_of(case(readings=(*ring_readings(dome), *outer)))
    assert ground.road.model == "full quadratic"
    # integral of x² + y² over a square of half side a: 8 a^4 / 3
    mean = (565.0**4 - 330.0**4) * 8.0 / 3.0 / (1130.0**2 - 660.0**2)
    assert as_surface(ground.road, ground.outlines).level_mm == pytest.approx(-4e-5 * mean, rel=1e-6)
    flat_l = (1130.0**2 - 660.0**2) * (-4e-5 * mean - fill_top_mm(ground, 0.0, 0.0)) / 1e6
    assert to_road_l(ground) == pytest.approx(flat_l, rel=1e-6)


def test_the_roads_covariance_stands_at_its_own_parameters():
    twisted = ground_of(case(road=lambda x, y: 4e-5 * x * y))
    table = road_covariance(twisted.road, twisted.outlines)
    assert table.shape == (7, 7)
    # twelve readings of 2 mm on a ring of 750 mm: level 4 / 12, slopes 4 / (6 x 750²), twist 4 / sum of (x y)²
    assert table[0, 0] == pytest.approx(4.0 / 12.0)
    assert table[1, 1] == pytest.approx(4.0 / (6.0 * 750.0**2))
    assert table[3, 3] == pytest.approx(4.0 / (12.0 * 750.0**4 / 8.0))
    assert np.all(table[4:] == 0.0)
    fold = ground_of(case(road=lambda _x, y: -0.02 * abs(y)))
    folded = road_covariance(fold.road, fold.outlines)
    assert folded[5, 5] > 0.0
    assert folded[6, 6] > 0.0
    assert np.all(folded[3:5] == 0.0)


def test_the_error_of_the_beds_litres_is_that_of_rim_and_chamber_top():
    ground = ground_of(case())
    errors = litre_errors(case(), ground)
    area = 830.0**2 - 620.0**2
    # by algebra: the mean of four corners set to 1 mm each, and the estimate's 8 mm, over the seat
    wanted = area * (1.0 / 4.0 + 8.0**2) ** 0.5 / 1e6
    rates = errors.rates["bed"]
    assert float(np.sqrt(rates @ errors.covariance @ rates)) == pytest.approx(wanted, rel=1e-6)


def test_the_levels_give_the_joint_to_sawn_sides_alone_and_to_a_round_cut_all_round():
    kerbed = ground_of(case(kerb_side="left", kerb_mm=490.0))
    sides = kerbed.levels.joint_sides
    assert [kerbed.cut.sides[i].kind for i in sides] == ["sawn"] * 3
    circle = ground_of(case(cut_shape="round"))
    assert circle.levels.joint_sides is None
    radius = circle.cut.diameter_mm / 2.0
    assert circle.solids["edge_seal"].volume_l == pytest.approx(
        math.pi * (radius**2 - (radius - 30.0) ** 2) * 25.0 / 1e6, rel=1e-6
    )


def test_a_measured_top_gives_the_levels_its_points():
    points = tuple((x, y, -130.0) for x, y in ((400.0, 0.0), (0.0, 400.0), (-400.0, 0.0), (0.0, -400.0)))
    made = case(road=lambda _x, _y: 0.0, measured=MeasuredTop(points, "ganger", "2027-03-11T23:10+00:00", "e1"))
    ground = ground_of(made)
    assert ground.levels.top_points == points
    again = levels_of(made, ground.road, ground.road_plane, ground.top, ground.setting.rim, ground.cut, ground.outlines)
    assert again == ground.levels


def test_a_change_point_book_straightedge_gaps_and_string_lines_give_the_road_of_plain_levels():
    levels = ground_of(case()).road
    for readings in (staff_book(), line_readings()):
        made = case(readings=readings)
        survey, road = road_of(made)
        assert road.model == levels.model == "plane"
        assert road.coefficients == pytest.approx(levels.coefficients, abs=1e-9)
        assert road_under(made.cover, survey, made.rules) == road


def test_lines_without_levels_hang_on_the_road_that_they_helped_to_find():
    free = tuple(r for r in line_readings() if r.where != "line end")
    made = case(readings=free)
    survey, road = road_of(made)
    assert road.coefficients == pytest.approx((0.0, 0.01, -0.02), abs=1e-6)
    assert {s.point for s in known_spots(survey, road)} == {r.point for r in free if r.kind == "level"}


def test_a_square_hollow_in_a_round_flange_is_judged_by_the_width_at_its_corners():
    # the corner of a 500 mm square lies 353.6 mm out: a flange of 780 mm leaves 36.4 mm there, one of 750 mm 21.4 mm
    sizes = {"opening": Plan2D("round", 440.0, 440.0), "body": Plan2D("round", 500.0, 500.0),
             "chamber": Plan2D("rectangle", 500.0, 500.0)}  # fmt: skip
    assert ground_of(case(flange=Plan2D("round", 780.0, 780.0), place="footway", **sizes)).solids["bed"].volume_l > 0.0
    with pytest.raises(NotDesignedError, match="no seat of 25 mm"):
        ground_of(case(flange=Plan2D("round", 750.0, 750.0), place="footway", **sizes))
