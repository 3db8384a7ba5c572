"""Things in the way: the ground they keep and the side that is drawn in."""

import pytest

from truebed.chamber.convex import ring_area_mm2
from truebed.chamber.obstacles import Box, keep_off, pulled_back
from truebed.errors import NotDesignedError

FLANGE = Box(400.0, 350.0, 400.0, 350.0)
WANTED = Box(550.0, 500.0, 550.0, 500.0)


def test_the_ground_kept_is_the_rectangle_and_its_clearance_all_round():
    kept = keep_off("a duct", 700.0, 100.0, 200.0, 60.0, 0.0, 50.0)
    assert ring_area_mm2(kept.ring) == pytest.approx(300.0 * 160.0)
    assert min(x for x, _ in kept.ring) == pytest.approx(550.0)


def test_a_thing_in_front_draws_the_front_in_and_says_from_where_to_where():
    box, said = pulled_back(
        WANTED, FLANGE, 60.0, "the fill", (keep_off("a duct", 600.0, 0.0, 100.0, 900.0, 0.0, 50.0),)
    )
    assert box == Box(500.0, 500.0, 550.0, 500.0)
    assert [(s.what, s.side, s.from_mm, s.to_mm) for s in said] == [("a duct", "front", 550.0, 500.0)]


def test_at_a_corner_the_side_that_costs_least_area_is_drawn_in():
    # 20 mm of the front or 60 mm of the left: the front
    box, said = pulled_back(
        WANTED, FLANGE, 60.0, "the fill", (keep_off("a post", 580.0, 490.0, 100.0, 100.0, 0.0, 0.0),)
    )
    assert said[0].side == "front"
    assert box.front_mm == pytest.approx(530.0)


def test_a_turned_thing_counts_only_where_it_stands_beside_the_cut():
    # the corner of a square set on its point, half of it beyond the cut's left side
    far = keep_off("a post", 560.0, 560.0, 100.0, 100.0, 45.0, 0.0)
    box, _ = pulled_back(WANTED, FLANGE, 0.0, "", (far,))
    reach = 100.0 / 2.0**0.5
    assert 560.0 - reach < box.front_mm < 550.0 or 560.0 - reach < box.left_mm < 500.0
    assert box.area_mm2 > 0.97 * WANTED.area_mm2


def test_two_things_are_kept_off_in_the_way_that_leaves_most():
    left = keep_off("a duct", 0.0, 520.0, 2000.0, 20.0, 0.0, 60.0)
    corner = keep_off("a post", 540.0, 440.0, 40.0, 40.0, 0.0, 0.0)
    box, said = pulled_back(WANTED, FLANGE, 30.0, "", (left, corner))
    # the duct leaves 450 mm on the left; then 520 mm in front (1070 x 950) beats 420 mm on the left (1100 x 920)
    assert box == Box(520.0, 450.0, 550.0, 500.0)
    assert [(s.what, s.side) for s in said] == [("a duct", "left"), ("a post", "front")]


def test_too_little_room_is_refused_with_what_is_in_the_way_and_a_mend():
    near = keep_off("a duct", 500.0, 0.0, 100.0, 900.0, 0.0, 0.0)
    assert pulled_back(WANTED, FLANGE, 50.0, "the fill", (near,))[0].front_mm == pytest.approx(450.0)
    with pytest.raises(NotDesignedError, match=r"a duct: less than 60 mm .* the fill") as refused:
        pulled_back(WANTED, FLANGE, 60.0, "the fill", (near,))
    assert "clearance" in refused.value.mend
