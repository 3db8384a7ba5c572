"""The frame in its road: castings in parts, uneven tops, mends from the yard that work when they are done."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import Polygon

from plan.sample import case, shelf
from plan.surveyed import YARD, flat, full_sheet
from truebed.errors import NotDesignedError
from truebed.given.cover import Plan2D
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.ground import ground_of
from truebed.plan.seating import area_moments, courses_of, feather_of, units_for


def wall_points(height):
    """Sixteen points on the middle of the wall's top, 310 + 215 / 2 mm out."""
    ring = []
    for i in range(16):
        angle = 2 * math.pi * i / 16
        share = 417.5 / max(abs(math.cos(angle)), abs(math.sin(angle)))
        x, y = share * math.cos(angle), share * math.sin(angle)
        inward = 0.85  # under the flange
        ring.append((inward * x, inward * y, height(x, y)))
    return tuple(ring)


def measured(height):
    return MeasuredTop(wall_points(height), "ganger", "2027-03-11T23:10+00:00", "e1")


def mended(made, words):
    """The first mend of a refusal done to the inputs: courses off, units added, another frame."""
    first = words.split(" (2) ")[0].split(":")[0]
    depth, frame = made.cover.chamber_depth_mm, made.cover.frame_depth_mm
    if off := re.search(r"take (\d+) courses? off", first):
        depth += 75.0 * int(off[1])
    for count, unit in re.findall(r"add (\d+) x ([a-z]+(?: \d+)?)", first):
        depth -= int(count) * next(u.height_mm for u in YARD if u.unit == unit)
    if other := re.search(r"\((\d+) mm deep\)", first):
        frame = float(other[1])
    return replace(made, cover=replace(made.cover, chamber_depth_mm=depth, frame_depth_mm=frame))


def test_the_moments_of_a_rectangle_with_a_hole_are_those_of_algebra():
    region = Polygon(((0, 0), (6, 0), (6, 2), (0, 2)), [((1, 0.5), (2, 0.5), (2, 1.5), (1, 1.5))])
    area, x, y = 12.0 - 1.0, 12.0 * 3.0 - 1.5, 12.0 * 1.0 - 1.0
    xx, yy = 2.0 * 6.0**3 / 3.0 - (8.0 - 1.0) / 3.0, 6.0 * 2.0**3 / 3.0 - (1.5**3 - 0.5**3) / 3.0
    xy = 6.0**2 / 2.0 * 2.0**2 / 2.0 - 1.5 * 1.0
    assert area_moments(region) == pytest.approx(np.array([[area, x, y], [x, xx, xy], [y, xy, yy]]))


def test_a_frame_in_two_parts_over_a_crown_follows_it_with_no_step_at_the_joint():
    ground = ground_of(case(road=lambda x, _y: -0.012 * abs(x), parts_count=2))
    parts = ground.seat.parts
    assert [p.rim.slope_x_ratio for p in parts.parts] == pytest.approx([0.012, -0.012], abs=1e-6)
    assert all(-3.0 <= s.step_mm <= 3.0 for s in parts.steps)
    assert parts.greatest_departure_mm == pytest.approx(0.0, abs=1e-4)
    # one casting cannot: half of 0.012 x 330 mm each way
    whole = ground_of(case(road=lambda x, _y: -0.012 * abs(x)))
    assert whole.setting.greatest_departure_mm == pytest.approx(0.012 * 330.0 / 2.0, abs=1e-4)


def test_the_bed_of_a_frame_in_parts_has_its_own_litres():
    ground = ground_of(case(road=lambda x, _y: -0.012 * abs(x), parts_count=2))
    # mean of |x| over the seat between squares of 620 and 830 mm
    area = 830.0**2 - 620.0**2
    mean = (830.0**2 * 830.0 / 4.0 - 620.0**2 * 620.0 / 4.0) / area
    assert ground.solids["bed"].volume_l == pytest.approx((30.0 - 0.012 * mean) * area / 1e6, rel=1e-6)


def test_steps_between_parts_stay_within_the_rule_on_a_twisted_road():
    ground = ground_of(case(road=lambda x, y: 5e-5 * x * y, parts_count=3))
    parts = ground.seat.parts
    assert len(parts.parts) == 3
    assert max(abs(s.step_mm) for s in parts.steps) <= 3.0 + 1e-6
    assert len(ground.setting.corners) == 12
    assert ground.setting.bed_least_mm == min(p.bed_least_mm for p in parts.parts)
    assert ground.setting.rim_verdict.passes == all(p.rim_verdict.passes for p in parts.parts)
    assert ground.setting.rim_verdict.probability == parts.least_probability


def test_parts_without_a_rule_for_their_step_are_refused_with_the_key():
    bare = replace(shelf().rules, values=tuple(v for v in shelf().rules.values if v.name != "part_step_most_mm"))
    with pytest.raises(NotDesignedError) as refused:
        ground_of(case(rules=bare, parts_count=2))
    assert "part_step_most_mm" in refused.value.mend


def test_two_lids_in_a_frame_over_a_crown_are_judged_along_their_joint_too():
    lids = {k: Plan2D("triangular pair", v, v) for k, v in (("opening", 600.0), ("body", 660.0), ("flange", 860.0))}
    road = {"road": lambda x, y: -0.006 * abs(x - y)}
    pair = ground_of(case(**lids, road=road["road"]))
    joint = [p for p in pair.setting.rim_points if p.name.startswith("lids' joint")]
    # along the diagonal from back-right to front-left the rim is asked inside its outline as well
    assert joint
    assert all(p.x_mm == pytest.approx(p.y_mm) or p.x_mm == pytest.approx(-p.y_mm) for p in joint)
    inner = [p for p in joint if max(abs(p.x_mm), abs(p.y_mm)) < 329.0]
    assert inner
    assert max(abs(p.departure_mm) for p in joint) <= pair.setting.greatest_departure_mm + 1e-6


def test_a_crown_over_the_lids_joint_costs_a_pair_more_than_a_plain_frame():
    def ridge(x, y):
        return -0.012 * abs(y)

    pair = ground_of(
        case(road=ridge, opening=Plan2D("triangular pair", 600.0, 600.0), body=Plan2D("triangular pair", 660.0, 660.0),
             flange=Plan2D("triangular pair", 830.0, 830.0))
    )  # fmt: skip
    plain = ground_of(case(road=ridge))
    assert pair.setting.greatest_departure_mm >= plain.setting.greatest_departure_mm - 1e-6
    centre = min(pair.setting.rim_points, key=lambda p: math.hypot(p.x_mm, p.y_mm))
    assert math.hypot(centre.x_mm, centre.y_mm) < 40.0  # the ridge is seen under the joint's middle


def test_over_a_measured_uneven_top_the_bed_holds_its_limits_at_every_measured_point():
    made = case(flat, measured=measured(lambda x, y: -135.0 + 9.0 * math.sin(3.0 * math.atan2(y, x))))
    ground = ground_of(made)
    at = ground.setting.rim
    beds = [at.at(x, y) - 100.0 - z for x, y, z in made.measured.points if max(abs(x), abs(y)) < 415.0]
    assert len(beds) == 16
    assert min(beds) >= 12.0 - 1e-6
    assert max(beds) <= 55.0 + 1e-6
    assert ground.setting.bed_least_mm <= min(beds) + 1e-6
    assert ground.setting.bed_most_mm >= max(beds) - 1e-6


def test_a_high_spot_that_leaves_too_thin_a_bed_is_refused_where_a_plane_through_the_points_would_pass():
    def bump(x, y):
        return -130.0 + (25.0 if x > 400.0 and abs(y) < 50.0 else 0.0)

    with pytest.raises(NotDesignedError) as refused:
        ground_of(case(flat, measured=measured(bump)))
    assert "too thin" in refused.value.reason
    assert ground_of(case(flat, measured=measured(lambda _x, _y: -130.0 + 25.0 / 16.0))).setting.bed_least_mm > 12.0


def test_the_beds_litres_follow_the_triangles_between_measured_points():
    from scipy.interpolate import LinearNDInterpolator

    made = case(flat, measured=measured(lambda x, y: -140.0 + 16.0 * (abs(x) > 400.0) * (abs(y) < 60.0) + 0.01 * y),
                chamber=Plan2D("rectangle", 620.0, 620.0), flange=Plan2D("rectangle", 690.0, 690.0),
                opening=Plan2D("rectangle", 500.0, 500.0), body=Plan2D("rectangle", 560.0, 560.0))  # fmt: skip
    ground = ground_of(made)
    points = np.array(made.measured.points)
    top = LinearNDInterpolator(points[:, :2], points[:, 2])
    at = -345.0 + np.arange(690) + 0.5  # squares of 1 mm that fit both edges
    x, y = np.meshgrid(at, at)
    seat = np.maximum(np.abs(x), np.abs(y)) > 310.0
    rim = ground.setting.rim
    bed = rim.level_mm + rim.slope_x_ratio * x + rim.slope_y_ratio * y - 100.0 - top(x, y)
    assert ground.solids["bed"].volume_l == pytest.approx(float(bed[seat].sum()) / 1e6, rel=1e-5)
    plane = ground.top.plane
    flat_bed = (rim.level_mm - 100.0 - plane.level_mm) * (690.0**2 - 620.0**2) / 1e6
    assert abs(ground.solids["bed"].volume_l - flat_bed) > 0.005 * flat_bed  # a plane would not have given it


@pytest.mark.parametrize("depth_mm", [104.0, 105.9, 161.1, 172.0, 180.0, 195.0, 225.0, 260.0, 300.0])
def test_the_first_mend_of_a_refusal_works_when_it_is_done(depth_mm):
    # beds of 12 to 55 mm and a band of 6 mm each way: depths from 106 to 161 mm need no mend
    made = replace(case(flat, chamber_depth_mm=depth_mm), units=YARD, condition=full_sheet())
    with pytest.raises(NotDesignedError) as refused:
        ground_of(made)
    mend = refused.value.mend
    assert mend.startswith("(1) ")
    assert "fits this chamber" in mend
    after = ground_of(mended(made, mend)).setting
    told = re.search(r"frame then (\d+\.\d) mm off at most, bed (\d+\.\d) to (\d+\.\d) mm", mend)
    assert after.rim_verdict.passes
    assert (after.greatest_departure_mm, after.bed_least_mm, after.bed_most_mm) == pytest.approx(
        tuple(float(v) for v in told.groups()), abs=0.06
    )


@pytest.mark.parametrize("depth_mm", [106.1, 130.0, 160.9])
def test_within_bed_and_band_no_mend_is_asked(depth_mm):
    made = replace(case(flat, chamber_depth_mm=depth_mm), units=YARD, condition=full_sheet())
    assert ground_of(made).setting.rim_verdict.passes


def test_no_mend_takes_a_frame_shallower_than_the_rule_set_asks():
    made = replace(case(flat, chamber_depth_mm=260.0), units=YARD)
    assert [u.unit for u in units_for(made)] == ["ring 35", "brick", "deep"]
    with pytest.raises(NotDesignedError) as refused:
        ground_of(replace(made, cover=replace(made.cover, chamber_depth_mm=104.0)))
    assert "shallow" not in refused.value.mend
    footway = replace(made, cover=replace(made.cover, place="footway", load_class="B125"))
    least = shelf().rules.find("frame_depth_least_mm", "cover", "footway", "B125")
    assert ("shallow" in [u.unit for u in units_for(footway)]) == (least is None or least.value <= 75.0)


def test_courses_come_off_only_where_they_were_counted_and_the_yard_says_how_high_one_is():
    made = case(flat)
    assert courses_of(replace(made, units=YARD)) is None
    assert courses_of(replace(made, condition=full_sheet())) is None
    found = courses_of(replace(made, units=YARD, condition=full_sheet()))
    assert (found.count, found.height_mm, found.off_work_min) == (2, 75.0, 30.0)


def test_feathering_is_offered_only_where_the_rule_set_gives_a_ramp():
    assert feather_of(case(flat)) is None
    values = shelf().rules.values
    ramp = replace(values[0], name="feather_most_ratio", value=0.02, applies=())
    made = case(flat, rules=replace(shelf().rules, values=(*values, ramp)))
    assert feather_of(made).most_ratio == 0.02


def test_a_round_opening_in_a_square_flange_has_a_bed_out_to_the_square():
    ground = ground_of(
        case(flat, opening=Plan2D("round", 600.0, 600.0), body=Plan2D("round", 660.0, 660.0),
             flange=Plan2D("rectangle", 830.0, 830.0), chamber=Plan2D("round", 620.0, 620.0))
    )  # fmt: skip
    # the square's corners stand 415 sqrt 2 = 587 mm out, beyond the round wall's 310 + 215 = 525 mm
    half, wall = 415.0, 525.0
    lens = half**2 * 4.0 - 4.0 * corner_beyond(half, wall)
    assert ground.solids["bed"].volume_l == pytest.approx(30.0 * (lens - math.pi * 310.0**2) / 1e6, rel=1e-6)
    disc = math.pi * 330.0**2
    total = ground.solids["surround_fill"].volume_l + ground.solids["running_surface"].volume_l
    total += ground.solids["edge_seal"].volume_l
    # down to the fill, which lies 14 mm over a flange of 15 mm
    above = 100.0 - 15.0 - shelf().methods["five-layer"].layers.over_flange_mm
    assert total == pytest.approx((1130.0**2 - disc) * above / 1e6, rel=1e-6)


def corner_beyond(half, radius):
    """Area of a square's corner that lies outside a circle about its centre."""
    start = math.sqrt(radius**2 - half**2)
    x = np.linspace(start, half, 200001)
    gap = half - np.sqrt(radius**2 - x**2)
    return float(np.sum((gap[1:] + gap[:-1]) / 2.0 * np.diff(x)))


def test_a_d_frame_is_marked_at_its_corners_and_nose_and_its_bed_is_that_of_algebra():
    ground = ground_of(
        case(flat, opening=Plan2D("D", 600.0, 600.0), body=Plan2D("D", 660.0, 660.0), flange=Plan2D("D", 860.0, 860.0),
             chamber=Plan2D("rectangle", 360.0, 360.0), wall_mm=300.0)
    )  # fmt: skip
    marks = {c.name: (c.x_mm, c.y_mm) for c in ground.setting.corners}
    assert marks["nose"] == (330.0, 0.0)
    assert (marks["back-left"], marks["back-right"]) == ((-330.0, 330.0), (-330.0, -330.0))

    def d_area(along, across):
        return (along - across / 2.0) * across + math.pi * across**2 / 8.0

    # the flange lies within the wall's square of 960 mm; the opening's D holds the chamber's square of 360 mm
    seat = d_area(860.0, 860.0) - d_area(600.0, 600.0)
    assert ground.solids["bed"].volume_l == pytest.approx(30.0 * seat / 1e6, rel=1e-6)
