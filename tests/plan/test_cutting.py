"""What the saw is asked: margins by side, things in the way, covers joined, waste."""

from dataclasses import replace

import pytest

from plan.sample import case, demo_works, mild_night, shelf
from plan.surveyed import MARGINS, beside_each_other, flat, four_sides, sounded
from truebed.errors import NotDesignedError
from truebed.given.survey import Obstacle
from truebed.plan.closure import placed_covers
from truebed.plan.cutting import (
    cut_question,
    margins_of,
    neighbours_within,
    number_or,
    obstacles_of,
    placed_of,
    waste_for,
)
from truebed.plan.ground import ground_of


def test_a_value_that_the_rule_set_does_not_have_is_none_and_never_nought():
    assert number_or(shelf().rules, "cut_strip_least_mm", ()) == 250.0
    assert number_or(shelf().rules, "no_such_value_mm", ()) is None


def test_a_margin_given_counts_on_every_side_where_nothing_was_sounded():
    found = margins_of(case(sound_margin_mm=120.0))
    assert (found.sides_mm, found.found) == ((120.0,) * 4, None)


def test_neither_margin_nor_soundings_is_refused_with_what_to_do():
    with pytest.raises(NotDesignedError, match="neither a sound margin") as refused:
        margins_of(case(sound_margin_mm=None))
    assert "soundings.csv" in refused.value.mend


def test_margins_by_side_lie_half_way_between_hollow_and_sound():
    assert margins_of(sounded()).sides_mm == MARGINS
    # the flange 415 mm out all round, the fill's least width 60 mm: the back's 40 mm is not enough for it
    ring = ground_of(sounded()).cut.ring
    assert (max(x for x, _ in ring), max(y for _, y in ring)) == pytest.approx((485.0, 525.0))
    assert (min(x for x, _ in ring), min(y for _, y in ring)) == pytest.approx((-475.0, -555.0))


def test_a_turned_frame_has_its_margins_in_its_own_axes_and_a_cut_square_to_the_traffic_in_the_roads():
    front, left, back, right = MARGINS
    assert margins_of(sounded(turn_deg=90.0)).sides_mm == (left, back, right, front)
    square = sounded(turn_deg=90.0, cut_turn="traffic")
    assert margins_of(square).sides_mm == MARGINS
    ring = ground_of(square).cut.ring
    assert sorted({round(x, 6) for x, _ in ring}) == [-475.0, 485.0]
    assert sorted({round(y, 6) for _, y in ring}) == [-555.0, 525.0]


def test_the_margin_given_is_a_floor_under_what_soundings_say():
    assert margins_of(sounded(sound_margin_mm=90.0)).sides_mm == (90.0, 110.0, 90.0, 140.0)


def test_a_side_without_a_sound_tap_is_refused_with_where_to_tap_unless_a_margin_is_given():
    rows = tuple(s for s in four_sides() if s.point != "right sound")
    with pytest.raises(NotDesignedError, match="at the right of the frame") as refused:
        margins_of(sounded(rows))
    assert "x 0, y -645" in refused.value.mend  # one step of 150 mm beyond the hollow tap at -495
    assert margins_of(sounded(rows, sound_margin_mm=100.0)).sides_mm == (100.0, 110.0, 100.0, 100.0)


def test_a_round_cut_takes_one_margin_that_holds_every_side():
    made = sounded(cut_shape="round")
    sides = margins_of(made).sides_mm
    assert len(set(sides)) == 1
    # beyond the circle about the flange (radius 415 sqrt 2), no less than the square's greatest margin
    assert sides[0] == pytest.approx(140.0)


def test_a_thing_in_the_way_draws_one_side_in_and_leaves_the_others():
    box = Obstacle("X1", "valve box", 600.0, 0.0, 100.0, 100.0, 0.0, 50.0, 2)
    made = replace(case(flat), obstacles=(box,))
    assert [k.what for k in obstacles_of(made)] == ["valve box"]
    cut = ground_of(made).cut
    assert [(p.side, p.from_mm, p.to_mm) for p in cut.pulled_back] == [("front", 565.0, 500.0)]
    assert sorted({round(x) for x, _ in cut.ring}) == [-565, 500]
    assert sorted({round(y) for _, y in cut.ring}) == [-565, 565]


def test_the_question_carries_the_rules_strip_and_pass_and_the_margins_by_side():
    made = sounded()
    asked = cut_question(made, margins_of(made), 150.0, 40.0)
    assert (asked.margins_mm, asked.strip_least_mm, asked.pass_depth_mm) == (MARGINS, 250.0, 50.0)
    assert (asked.saw_depth_mm, asked.dig_depth_mm, asked.surround_depth_mm) == (100.0, 150.0, 40.0)


def test_two_covers_300_mm_apart_get_one_cut_whose_shares_add_up():
    grounds = [ground_of(c) for c in beside_each_other()]
    for ground in grounds:
        joined = ground.cut.joined
        # flanges end at 415 and 415 + 300; each has 100 mm beyond, the strip between is taken out
        assert joined.area_mm2 == pytest.approx((4 * 415.0 + 300.0 + 200.0) * 1030.0)
        assert sum(s.area_mm2 for s in joined.shares) == pytest.approx(joined.area_mm2)
        assert sum(s.saw_length_m for s in joined.shares) == pytest.approx(joined.saw_length_m)
        assert joined.saw_length_m == pytest.approx(2 * (2160.0 + 1030.0) / 1000.0)
    assert sum(g.cut.saw_length_m for g in grounds) == pytest.approx(6.38)


def test_the_seal_of_a_joined_cut_runs_along_its_sawn_sides_alone():
    for ground in (ground_of(c) for c in beside_each_other()):
        assert sorted(s.kind for s in ground.cut.sides) == ["sawn", "sawn", "sawn", "shared"]
        # own share 1080 x 1030; a strip 30 mm wide and 25 mm deep on three of its sides
        assert ground.solids["edge_seal"].volume_l == pytest.approx(
            (1.080 * 1.030 - (1.080 - 0.030) * (1.030 - 0.060)) * 25.0
        )


def test_covers_that_leave_the_rules_strip_are_not_joined():
    first, other = beside_each_other(apart_mm=200.0 + 251.0)
    assert ground_of(first).cut.joined is None
    assert ground_of(other).cut.joined is None


def test_a_frame_that_stays_is_kept_off_not_joined():
    first, _ = beside_each_other(apart_mm=180.0, lifted=(True, False))
    cut = ground_of(first).cut
    assert cut.joined is None
    assert max(x for x, _ in cut.ring) <= 415.0 + 180.0 + 1e-6


def test_a_cover_without_a_place_has_no_neighbours():
    assert placed_of(case(flat), lifted=True) is None
    assert neighbours_within(case(flat).cover, {}, 250.0) == ()


def test_only_covers_of_the_closure_are_placed_with_a_cut_of_their_own():
    works = demo_works()
    closure = works.closures[0]
    covers = tuple(replace(c, bearing_deg=90.0) for c in works.covers)
    placed = placed_covers(replace(works, covers=covers), shelf(), closure, mild_night())
    tonight = {c.cover for c in covers if c.street in closure.streets}
    with_place = {c.cover for c in covers if c.x_m is not None}
    assert set(placed) == with_place
    assert all(not placed[c].cut for c in with_place - tonight)
    assert any(placed[c].cut for c in tonight)


def test_waste_is_the_bound_layer_and_the_dig_under_it_less_frame_and_hollow():
    made = case(flat)
    ground = ground_of(made)
    waste = waste_for(made, ground.cut, ground.outlines, 130.0, 8.0)
    bound, unbound = waste.layers
    # 100 mm of bound road over the cut but for the body, down to the flange; its weight by the rule's 2.3 kg a litre
    assert bound.volume_l == pytest.approx((1.130**2 - 0.660**2) * 100.0 - (0.830**2 - 0.660**2) * 15.0)
    assert bound.mass_t == pytest.approx(bound.volume_l * 2.3 / 1000.0)
    assert waste.volume_l == pytest.approx(bound.volume_l + unbound.volume_l)
