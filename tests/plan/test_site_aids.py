"""What helps to set the frame on site: staff readings, packers, strings, the ride over it, water round a grating."""

from dataclasses import replace

import pytest

from plan.sample import case, ring_readings, shelf
from plan.surveyed import flat, staff_book, tilted
from truebed.given.reading import Reading
from truebed.given.survey import YardUnit
from truebed.plan.ground import ground_of
from truebed.plan.site_aids import packers_of, part_ring, ride_of, site_aids, staff_of

PACKERS = (YardUnit("packer 10", "packer", 10.0, 40), YardUnit("packer 3", "packer", 3.0, 40))


def aids_of(made, top_sd_mm=8.0):
    ground = ground_of(made)
    return ground, site_aids(made, ground.survey, ground.road, ground.seat, ground.outlines, top_sd_mm)


def test_staff_readings_are_those_of_each_stand_that_read_the_bench_mark():
    ground, aids = aids_of(case(readings=staff_book()))
    assert [s.set_up for s in aids.staff] == ["A", "B"]
    for stand, collimation in zip(aids.staff, (1200.0, 700.0), strict=True):
        for corner, target in zip(ground.setting.corners, stand.targets, strict=True):
            assert target.staff_mm == pytest.approx(collimation - tilted(corner.x_mm, corner.y_mm), abs=1e-3)


def test_staff_readings_hang_with_the_road_where_a_misclosure_was_spread():
    ground = ground_of(case(readings=staff_book(miss_mm=4.0)))
    # 4 mm over two stands: the first is corrected by 2 mm, the second by 4
    for stand, collimation in zip(staff_of(ground.survey, ground.seat), (1198.0, 696.0), strict=True):
        for corner, target in zip(ground.setting.corners, stand.targets, strict=True):
            assert target.staff_mm == pytest.approx(collimation - corner.rim_mm)


def test_levels_need_no_staff():
    assert aids_of(case(flat))[1].staff == ()


def test_bare_packers_are_the_bed_under_the_set_points_and_stocked_ones_come_as_near_as_their_sizes_let():
    made = case(tilted)
    ground = ground_of(made)
    bare = packers_of(made, ground.seat, ground.outlines)
    assert all(s.pieces_mm == () for s in bare)
    for stack in bare:
        # the rim follows the road, the chamber top is level 130 mm under it, the frame 100 mm deep
        assert stack.place.height_mm == pytest.approx(30.0 + tilted(stack.place.x_mm, stack.place.y_mm), abs=1e-3)
    stocked = replace(made, units=PACKERS)
    for stack in packers_of(stocked, ground.seat, ground.outlines):
        assert set(stack.pieces_mm) <= {10.0, 3.0}
        assert sum(stack.pieces_mm) + stack.residual_mm == pytest.approx(stack.place.height_mm)
        assert -1.5 - 1e-9 <= stack.residual_mm <= 1.5 + 1e-9  # tens and threes reach every millimetre near 30


def test_strings_are_read_down_to_the_rim():
    ground, aids = aids_of(case(tilted))
    assert aids.strings
    for line in aids.strings:
        for mark in line.marks:
            share = mark.along_mm / line.length_mm
            ends = (line.first.road_mm + line.block_mm, line.second.road_mm + line.block_mm)
            string_mm = ends[0] + share * (ends[1] - ends[0])
            x = line.first.x_mm + share * (line.second.x_mm - line.first.x_mm)
            y = line.first.y_mm + share * (line.second.y_mm - line.first.y_mm)
            assert mark.down_mm == pytest.approx(string_mm - ground.setting.rim.at(x, y), abs=1e-6)


def test_the_ride_over_a_crown_is_the_step_of_the_frames_departure():
    ground = ground_of(case(road=lambda _x, y: -0.02 * abs(y)))
    # the frame splits the crown's 0.02 x 330 mm: half of it low at the ridge
    ride = ride_of(case(road=lambda _x, y: -0.02 * abs(y)), ground.road, ground.seat)
    assert (ride.worst.proud_mm, ride.steps_pass) == (pytest.approx(-3.3, abs=1e-3), True)
    assert ride.steps == (ride.worst,)
    assert ride.gaps == (ride.worst_gap,)


def test_the_ride_over_a_frame_in_parts_meets_each_castings_own_rim():
    made = case(road=lambda x, _y: -0.012 * abs(x), parts_count=2)
    ground = ground_of(made)
    assert ride_of(made, ground.road, ground.seat).worst.step_mm == pytest.approx(0.0, abs=1e-3)
    as_one = replace(ground.seat, parts=None)
    assert abs(ride_of(made, ground.road, as_one).worst.step_mm) > 0.5


def test_the_parts_outlines_fill_the_frame_side_by_side():
    ground = ground_of(case(flat, turn_deg=30.0, parts_count=2))
    from shapely.geometry import Polygon

    pieces = [Polygon(part_ring(ground.seat, i)) for i in range(2)]
    whole = Polygon(ground.outlines.body)
    assert pieces[0].union(pieces[1]).symmetric_difference(whole).area == pytest.approx(0.0, abs=1e-3)
    assert pieces[0].intersection(pieces[1]).area == pytest.approx(0.0, abs=1e-3)
    plain = ground_of(case(flat))
    assert part_ring(plain.seat, 0) == plain.outlines.body


def test_the_forecast_is_of_an_estimate_only():
    assert aids_of(case(flat))[1].forecast.top_sd_mm == 8.0
    assert aids_of(case(flat), None)[1].forecast is None


def test_the_pull_of_the_readings_on_a_corner_adds_up_to_moving_the_whole_road():
    _, aids = aids_of(case(tilted))
    assert len(aids.pulls) == 12
    for corner in ("front-left", "back-right"):
        assert sum(dict(p.corners)[corner] for p in aids.pulls) == pytest.approx(1.0, abs=1e-6)
    assert [abs(p.most_ratio) for p in aids.pulls] == sorted((abs(p.most_ratio) for p in aids.pulls), reverse=True)


def test_a_gully_at_the_kerb_is_asked_for_water_and_its_kerb_for_its_upstand():
    def road(x, y):
        return 0.02 * abs(x - 500.0) - 0.02 * y

    ring = tuple(
        replace(r, y_mm=min(r.y_mm, 660.0), value_mm=road(r.x_mm, min(r.y_mm, 660.0)))
        for r in ring_readings(road, count=24, radius=950.0)
        if r.where == "road"
    )
    kerb = Reading("X1", "K1", 0.0, 720.0, "level", 100.0, "kerb", "", 60)
    made = case(readings=(*ring, kerb), kind="gully", kerb_side="left", kerb_mm=700.0)
    ground, aids = aids_of(made)
    assert ground.cut.snapped_to_kerb
    # the valley at x = 500 is dammed by the kerb: it does not run to the grating
    assert aids.ponding.depth_mm > aids.ponding.film_mm
    assert aids.ponding.at == (pytest.approx(500.0, abs=60.0), pytest.approx(690.0, abs=20.0))
    assert aids.kerbs[0].over_rim_mm == pytest.approx(
        100.0 - min(ground.setting.rim_points, key=lambda p: p.x_mm**2 + (p.y_mm - 720.0) ** 2).rim_mm
    )
    assert aids_of(case(flat))[1].ponding is None


def test_the_rule_sets_band_is_the_rides():
    made = case(flat)
    ride = ride_of(made, ground_of(made).road, ground_of(made).seat)
    assert ride.band_source == shelf().rules.find("fixed_feature_low_mm", *made.words()).cite()
