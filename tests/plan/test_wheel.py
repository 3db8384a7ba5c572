"""What wheels ask of a bed in the plan: the tyres against places tried by hand, voids, crossings, what is refused."""

from dataclasses import replace

import numpy as np
import pytest
from shapely.geometry import box

from plan.sample import case, shelf
from truebed.curing.contact import bed_of, contact
from truebed.curing.tyre import tyre_demand
from truebed.curing.void_bed import SIDE_HOURS
from truebed.errors import NotDesignedError
from truebed.given.cover import Plan2D
from truebed.plan.ground import ground_of, set_ground
from truebed.plan.wheel import bed_bears_n_per_mm2, bed_wheel, castings_of, place_words, point_wheels, void_under

OBLONG = {
    "opening": Plan2D("rectangle", 1200.0, 600.0),
    "body": Plan2D("rectangle", 1300.0, 660.0),
    "flange": Plan2D("rectangle", 1500.0, 830.0),
    "chamber": Plan2D("rectangle", 1220.0, 620.0),
}
#: Flange 830 over a chamber of 620; iron 660; 90 kg.
SEAT = box(-415, -415, 415, 415).difference(box(-310, -310, 310, 310))
OWN_N = 90.0 * 9.80665


def rules_without(*names, **changed):
    kept = [v for v in shelf().rules.values if v.name not in names]
    return replace(shelf().rules, values=tuple(replace(v, value=changed.get(v.name, v.value)) for v in kept))


def overlap(middle, length, half_iron):
    """Length of a tyre's side on the iron and the middle of that, by hand."""
    low, high = max(middle - length / 2, -half_iron), min(middle + length / 2, half_iron)
    return max(high - low, 0.0), (low + high) / 2


def pressed_by_hand(seat, kn, along, across, x, y, half_iron=330.0):
    on_x, at_x = overlap(x, along, half_iron)
    on_y, at_y = overlap(y, across, half_iron)
    load = kn * 1000.0 * on_x * on_y / (along * across)
    total = load + OWN_N
    return contact(bed_of(seat), total, load * at_x / total, load * at_y / total)


def test_the_plans_pressure_is_the_greatest_of_all_wheels_over_a_grid_of_places_tried_by_hand():
    found = bed_wheel(case(), 30.0)
    most = 0.0
    for kn, along, across in ((200.0, 350.0, 600.0), (200.0, 400.0, 400.0), (150.0, 400.0, 400.0)):
        for x in np.arange(0.0, 531.0, 10.0):  # a quarter: the seat by hand is alike in both mirrors
            for y in np.arange(-630.0, 1.0, 10.0):
                most = max(most, pressed_by_hand(SEAT, kn, along, across, x, y).peak_n_per_mm2)
    assert most * (1 - 1e-4) <= found.peak_n_per_mm2 <= most * 1.01
    assert found.governed_by == "load model 2, national contact"
    assert found.area_mm2 == pytest.approx(SEAT.area)
    assert found.ceiling_n_per_mm2 <= found.peak_n_per_mm2 * 1.0201
    assert found.peak_n_per_mm2 == max(d.peak_n_per_mm2 for d in found.tried)
    assert len(found.tried) == 3


def test_the_ground_holds_the_wheel_and_the_network_does_not_pay_for_it():
    ground = ground_of(case())
    assert ground.wheel.peak_n_per_mm2 == bed_wheel(case(), 30.0).peak_n_per_mm2
    assert ground.wheel.bed_mm == ground.setting.bed_most_mm
    assert set_ground(case()).wheel is None


def test_no_wheel_is_asked_of_a_footway():
    assert bed_wheel(case(place="footway"), 30.0) is None


def test_the_turn_of_a_frame_counts_and_that_of_a_round_one_does_not():
    assert bed_wheel(case(turn_deg=30.0), 30.0).peak_n_per_mm2 != bed_wheel(case(), 30.0).peak_n_per_mm2
    sizes = {k: Plan2D("round", v, v) for k, v in
             {"opening": 600.0, "body": 660.0, "flange": 830.0, "chamber": 620.0}.items()}  # fmt: skip
    assert castings_of(case(turn_deg=13.0, **sizes)) == castings_of(case(**sizes))


def test_a_quarter_turn_of_an_oblong_frame_is_the_frame_with_its_sizes_swapped():
    along = {k: Plan2D("rectangle", v.across_mm, v.along_mm) for k, v in OBLONG.items()}
    turned, swapped = bed_wheel(case(turn_deg=90.0, **OBLONG), 30.0), bed_wheel(case(**along), 30.0)
    assert turned.peak_n_per_mm2 == pytest.approx(swapped.peak_n_per_mm2, rel=1e-3)
    for one, other in zip(turned.voids, swapped.voids, strict=True):
        assert one.outcome == other.outcome
        assert one.peak_n_per_mm2 == (
            None if other.peak_n_per_mm2 is None else pytest.approx(other.peak_n_per_mm2, rel=5e-3)
        )
    assert {v.outcome for v in turned.voids} == {"tips", "stands"}


def test_iron_that_reaches_beyond_its_seat_tips_and_the_cover_is_not_designed():
    with pytest.raises(NotDesignedError, match=r"tip under a wheel \(load model") as refused:
        bed_wheel(case(opening=Plan2D("rectangle", 400.0, 400.0), chamber=Plan2D("rectangle", 420.0, 420.0),
                       wall_mm=10.0), 30.0)  # fmt: skip
    assert "wider flange" in refused.value.mend


# Voids.


def test_on_a_symmetric_cover_air_under_the_left_does_what_air_under_the_right_does():
    one = case()
    casting = castings_of(one)[0]
    found = bed_wheel(one, 30.0)
    worst = next(d for d in found.tried if d.tyre.name == found.governed_by)
    each = {side: void_under(one, casting, worst, side, 30.0) for side in SIDE_HOURS}
    for one_side, other in (("left", "right"), ("front", "back"), ("front", "left")):
        assert each[one_side].peak_n_per_mm2 == pytest.approx(each[other].peak_n_per_mm2, rel=1e-3)
    for one_side, other in (("left", "right"), ("front", "back")):  # a tyre rolls along x, so front and left differ
        assert each[one_side].rock_mm == pytest.approx(each[other].rock_mm, rel=0.01)
    # what the plan took over from the side across is what that side gives by itself
    for void in found.voids:
        assert void.peak_n_per_mm2 == pytest.approx(each[void.side].peak_n_per_mm2, rel=1e-3)
    assert found.sides_like(found.worst_void()) == ("front", "right", "back", "left")


def test_a_voids_pressure_is_that_of_the_seat_without_it_over_a_grid_of_places_tried_by_hand():
    found = {v.side: v for v in bed_wheel(case(), 30.0).voids}["front"]
    left = SEAT.difference(box(0, -1000, 1000, 1000).intersection(_wedge_ahead()))
    assert found.lost_share == pytest.approx(0.25)
    grid = [pressed_by_hand(left, 200.0, 400.0, 400.0, x, y) for x in np.arange(0.0, 531.0, 10.0)
            for y in np.arange(-200.0, 201.0, 10.0)]  # fmt: skip
    most = max(c.peak_n_per_mm2 for c in grid)
    assert most * (1 - 1e-4) <= found.peak_n_per_mm2 <= most * 1.02
    whole = bed_wheel(case(), 30.0).peak_n_per_mm2
    assert found.times_ratio == pytest.approx(found.peak_n_per_mm2 / whole)


def _wedge_ahead():
    from shapely.geometry import Polygon

    return Polygon([(0, 0), (1000, -1000), (1000, 1000)])


def test_the_rock_is_the_most_a_corner_moves_by_pressure_and_stiffness_as_the_tyre_stands_by_hand():
    found = {v.side: v for v in bed_wheel(case(), 30.0).voids}["front"]
    left = SEAT.difference(_wedge_ahead())
    give = 30.0 / 15000.0
    ranges = {corner: [0.0, 0.0] for corner in ((330, 330), (330, -330), (-330, 330), (-330, -330))}
    for y in (-330.0, 0.0, 330.0):
        for x in np.linspace(-530, 530, 107):
            one = pressed_by_hand(left, 200.0, 400.0, 400.0, x, y)
            for corner, seen in ranges.items():
                down = give * (
                    one.level_n_per_mm2 + one.slopes_per_mm[0] * corner[0] + one.slopes_per_mm[1] * corner[1]
                )
                seen[0], seen[1] = min(seen[0], -down), max(seen[1], -down)
    assert found.rock_mm == pytest.approx(max(high - low for low, high in ranges.values()), rel=0.02)
    thick = {v.side: v for v in bed_wheel(case(), 60.0).voids}["front"]
    assert thick.rock_mm == pytest.approx(2.0 * found.rock_mm)


def test_a_void_that_asks_more_than_the_bed_ever_bears_crushes_it_and_no_rock_is_told():
    assert bed_bears_n_per_mm2(case()) == 37.0
    narrow = case(opening=Plan2D("rectangle", 500.0, 350.0), body=Plan2D("rectangle", 540.0, 390.0),
                  flange=Plan2D("rectangle", 640.0, 490.0), chamber=Plan2D("rectangle", 500.0, 350.0))  # fmt: skip
    found = {v.side: v for v in bed_wheel(narrow, 30.0).voids}
    assert (found["front"].outcome, found["front"].rock_mm) == ("crushes", None)
    assert found["front"].peak_n_per_mm2 > 37.0
    assert found["right"].outcome == "stands"
    assert bed_wheel(narrow, 30.0).worst_void().side == "front"


def test_a_void_under_a_corner_of_a_turned_frame_tips_it_and_nothing_is_told_of_pressure():
    found = bed_wheel(case(turn_deg=45.0), 30.0)
    assert {v.outcome for v in found.voids} == {"tips"}
    worst = found.worst_void()
    assert (worst.peak_n_per_mm2, worst.times_ratio, worst.rock_mm) == (None, None, None)


def test_without_a_stiffness_in_the_rule_set_the_rock_is_not_known():
    found = bed_wheel(case(rules=rules_without("bed_modulus_n_per_mm2")), 30.0)
    assert {v.rock_mm for v in found.voids} == {None}
    assert all(v.times_ratio > 1.0 for v in found.voids)


# Vehicles.


def test_each_vehicle_wants_its_own_rolling_pressure_and_a_reserve():
    found = bed_wheel(case(), 30.0)
    rows = dict(found.crossing_rows())
    assert len(rows) == 5
    assert list(rows.values()) == sorted(rows.values())
    # the wheel of 6 kN on 150 x 180, rolling 1.4, reserve 1.5, at places tried by hand
    most = max(pressed_by_hand(SEAT, 8.4, 150.0, 180.0, x, y).peak_n_per_mm2
               for x in np.arange(200.0, 401.0, 5.0) for y in np.arange(0.0, 401.0, 5.0))  # fmt: skip
    assert rows["a car, wheel of 6 kN"] == pytest.approx(1.5 * most, rel=0.01)
    assert max(rows.values()) < 1.5 * found.peak_n_per_mm2


# Frames in several castings.


def test_of_two_castings_each_bears_what_stands_on_it_with_its_own_seat():
    pieces = castings_of(case(parts_count=2, **OBLONG))
    assert [p.part for p in pieces] == [1, 2]
    assert [p.x_mm for p in pieces] == [-325.0, 325.0]
    assert sum(p.seat.area for p in pieces) == pytest.approx(1500 * 830 - 1220 * 620)
    assert {p.iron_kg for p in pieces} == {45.0}
    assert sorted(pieces[0].iron) == [(-325.0, -330.0), (-325.0, 330.0), (325.0, -330.0), (325.0, 330.0)]
    two, one = bed_wheel(case(parts_count=2, **OBLONG), 30.0), bed_wheel(case(**OBLONG), 30.0)
    assert two.peak_n_per_mm2 > one.peak_n_per_mm2
    assert (two.part, one.part) == (1, 0)
    national = next(d.tyre for d in two.tried if d.tyre.name == two.governed_by)
    back = tyre_demand(bed_of(pieces[0].seat), pieces[0].iron, national, 45.0)
    assert two.peak_n_per_mm2 == pytest.approx(back.peak_n_per_mm2)


# Rule sets that say less.

CONTACTS = ("lm2_tyre_along_mm", "lm2_tyre_across_mm", "national_tyre_along_mm", "national_tyre_across_mm",
            "lm1_tyre_along_mm", "lm1_tyre_across_mm")  # fmt: skip


def test_a_wheel_without_a_contact_stands_at_a_point_and_asks_more():
    bare = bed_wheel(case(rules=rules_without(*CONTACTS)), 30.0)
    assert [p.name for p in bare.points] == ["load model 2", "load model 1"]
    assert bare.peak_at == "at a point of the opening's corner"
    # 830 over 620, 200 kN at the corner of an opening of 600: 5.7 N/mm2 by a separate solve (test_wheel of curing)
    assert bare.peak_n_per_mm2 == pytest.approx(5.7, rel=0.02)
    assert (bare.tried, bare.voids, bare.pressed_share) == ((), (), None)
    assert bare.worst_void() is None
    assert len(bare.crossing_rows()) == 5


def test_a_heavy_wheel_without_a_contact_is_not_forgotten_beside_one_that_has_it():
    found = bed_wheel(case(rules=rules_without(*CONTACTS[:4])), 30.0)
    assert [d.tyre.name for d in found.tried] == ["load model 1"]
    assert [p.name for p in found.points] == ["load model 2"]
    assert (found.governed_by, found.pressed_share) == ("load model 2", None)
    assert len(found.voids) == 4
    light = bed_wheel(case(rules=rules_without(*CONTACTS[:4], wheel_load_kn=10.0)), 30.0)
    assert light.governed_by == "load model 1"


def test_half_a_contact_is_refused_with_its_mend():
    with pytest.raises(NotDesignedError, match="lm2_tyre_across_mm") as refused:
        bed_wheel(case(rules=rules_without("lm2_tyre_across_mm")), 30.0)
    assert "both sides of its contact" in refused.value.mend


@pytest.mark.parametrize(
    ("at", "said"),
    [
        ((0.2, -0.4), "at the frame's centre"),
        ((120.4, 0.0), "120 mm ahead of the frame's centre"),
        ((-5.0, 9.6), "5 mm behind and 10 mm left of the frame's centre"),
        ((0.0, -44.0), "44 mm right of the frame's centre"),
    ],
)
def test_a_place_is_told_from_the_centre_as_the_traffic_runs(at, said):
    assert place_words(*at) == said


def test_a_wheel_at_the_middle_point_presses_its_load_over_the_whole_seat():
    found = point_wheels(case(), frozenset())
    assert {point.wheel_kn for point in found} >= {200.0}
    for point in found:
        assert point.demand.centred_n_per_mm2 == pytest.approx(point.wheel_kn * 1000.0 / (830.0**2 - 620.0**2))
