"""Road, cut-out, setting, solids of one cover together."""

import pytest

from plan.sample import case, ring_readings, shelf
from truebed.errors import NotDesignedError
from truebed.given.cover import Plan2D
from truebed.plan.cutting import fill_width
from truebed.plan.ground import ground_of, road_sd_at_mm, wheel_of
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


def test_no_wheel_is_asked_of_a_footway():
    assert wheel_of(case(place="footway")) is None
    assert wheel_of(case()).centred_n_per_mm2 == pytest.approx(200000 / (830.0**2 - 620.0**2))


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
