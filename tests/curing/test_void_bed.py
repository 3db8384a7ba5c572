"""A void under one side: what is left, what it is asked, how the frame moves, when it tips."""

import math

import pytest
from shapely.geometry import box

from truebed.chamber.shapes import circle_ring, polygon, rectangle_ring
from truebed.curing.contact import bed_of
from truebed.curing.tyre import Tyre
from truebed.curing.void_bed import clock_wedge, rock_as_wheel_passes, rock_under, void_demand, without_voids

RING = polygon(rectangle_ring(830.0, 830.0)).difference(polygon(rectangle_ring(620.0, 620.0)))
IRON = rectangle_ring(700.0, 700.0)
CORNERS = ((-415.0, -415.0), (415.0, -415.0), (415.0, 415.0), (-415.0, 415.0))
LM2 = Tyre("load model 2", 200.0, 350.0, 600.0)
BED = {"modulus_n_per_mm2": 15000.0, "bed_mm": 30.0}


def test_clock_positions_run_clockwise_from_the_traffics_way():
    assert clock_wedge(11.0, 1.0).contains(polygon(rectangle_ring(10.0, 10.0)).centroid.buffer(1).convex_hull) is False
    for hour, point in ((12.0, (100, 0)), (3.0, (0, -100)), (6.0, (-100, 0)), (9.0, (0, 100))):
        wedge = clock_wedge((hour - 1.0) % 12.0, (hour + 1.0) % 12.0)
        assert wedge.covers(box(point[0] - 1, point[1] - 1, point[0] + 1, point[1] + 1)), hour
    with pytest.raises(ValueError, match="no extent"):
        clock_wedge(3.0, 3.0)


def test_a_hollow_quarter_of_a_round_seat_takes_a_quarter_of_it_and_a_wide_one_its_own_part():
    seat = polygon(circle_ring(800.0)).difference(polygon(circle_ring(600.0)))
    assert without_voids(seat, sides=("left",)).area == pytest.approx(0.75 * seat.area, rel=1e-9)
    assert without_voids(seat, hours=((2.0, 10.0),)).area == pytest.approx(seat.area / 3, rel=1e-9)
    assert without_voids(seat, sides=("left", "right")).area == pytest.approx(0.5 * seat.area, rel=1e-9)


def test_an_outline_and_a_side_may_be_hollow_together_and_all_of_it_may_not():
    left = without_voids(RING, sides=("front",), voids=(((-500, -500), (-300, -500), (-300, 500), (-500, 500)),))
    assert left.area < 0.75 * RING.area - 90.0 * 800
    with pytest.raises(ValueError, match="no bed"):
        without_voids(RING, voids=(rectangle_ring(2000.0, 2000.0),))


def test_a_void_presses_the_rest_more():
    found = void_demand(RING, without_voids(RING, hours=((11.5, 12.5),)), IRON, LM2, 80.0)
    assert found.stands()
    assert 0.0 < found.void_share < 0.1
    assert found.loss_ratio > 1.0


def test_a_frame_without_bed_in_front_of_its_opening_tips_under_a_wheel_in_front():
    half = RING.difference(box(-200.0, -1e4, 1e4, 1e4))
    found = void_demand(RING, half, IRON, LM2, 80.0)
    assert not found.stands()
    assert (found.voided.verdict, found.loss_ratio) == ("tips", None)


def test_a_centred_wheel_sets_a_whole_bed_down_by_pressure_over_stiffness():
    rock = rock_under(bed_of(RING), CORNERS, 200000.0, 0.0, 0.0, **BED)
    assert rock.verdict == "stands whole"
    down = 200000.0 / RING.area / (15000.0 / 30.0)
    assert [c.up_mm for c in rock.corners] == pytest.approx([-down] * 4)
    assert (rock.most_up_mm, rock.most_down_mm) == pytest.approx((0.0, down))


def test_the_corner_opposite_the_wheel_lifts():
    rock = rock_under(bed_of(RING), CORNERS, 200000.0, 280.0, 280.0, **BED)
    assert rock.verdict == "lifts at one side"
    moved = {(c.x_mm > 0, c.y_mm > 0): c.up_mm for c in rock.corners}
    assert moved[False, False] == rock.most_up_mm > 0.0
    assert moved[True, True] == -rock.most_down_mm < 0.0
    assert rock.most_down_mm == pytest.approx(rock.contact.peak_n_per_mm2 * 30.0 / 15000.0)


def test_a_tipping_frame_turns_about_the_edge_of_its_support_until_the_void_is_shut():
    half = bed_of(RING.difference(box(-200.0, -1e4, 1e4, 1e4)))
    rock = rock_under(half, CORNERS, 200000.0, 100.0, 0.0, void_gap_mm=6.0, **BED)
    assert rock.verdict == "tips"
    assert [p[0] for p in rock.pivot] == pytest.approx([-200.0, -200.0])
    assert rock.most_down_mm == pytest.approx(6.0)
    assert rock.most_up_mm == pytest.approx(6.0 * 215.0 / 615.0)
    assert rock_under(half, CORNERS, 200000.0, 100.0, 0.0, **BED).corners == ()


def test_a_passing_wheel_moves_a_sound_bed_by_less_than_a_tenth_and_a_tipping_one_by_its_gap_and_more():
    sound = rock_as_wheel_passes(bed_of(RING), IRON, CORNERS, LM2, 80.0, **BED)
    assert 0.0 < max(sound) < 0.1
    half = bed_of(RING.difference(box(-200.0, -1e4, 1e4, 1e4)))
    rocking = rock_as_wheel_passes(half, IRON, CORNERS, LM2, 80.0, void_gap_mm=6.0, **BED)
    assert max(rocking) >= 6.0
    assert rock_as_wheel_passes(half, IRON, CORNERS, LM2, 80.0, **BED) == (None,) * 4


def test_symmetric_voids_ask_alike():
    hours = {side: without_voids(RING, hours=(span,)) for side, span in (("left", (8.0, 10.0)), ("right", (2.0, 4.0)))}
    found = [void_demand(RING, seat, IRON, LM2, 80.0).voided.peak_n_per_mm2 for seat in hours.values()]
    assert found[0] == pytest.approx(found[1], rel=1e-4)
    assert math.isfinite(found[0])
