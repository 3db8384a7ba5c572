"""The sound margin: half way between the last unsound and the first sound sounding, on each side, never a constant."""

import math

import pytest

from diagnosis.sample import cover, tap
from truebed.diagnosis.margin import SIDES, sound_margin
from truebed.diagnosis.survey import on_flange

#: The sample's flange reaches 430 mm along and 380 mm across.
RING = (tap(730, 0, row=2), tap(0, 680, row=3), tap(-730, 0, row=4), tap(0, -680, row=5))


def margin(*soundings, on=None, step_mm=150.0, gap_mm=150.0):
    return sound_margin(cover() if on is None else on, soundings, step_mm, gap_mm)


def test_unsound_at_100_and_sound_at_300_out_is_200_with_its_interval_and_row():
    front = margin(*RING, tap(530, 40, "hollow", row=9)).side("front")
    assert (front.margin_mm, front.from_mm, front.to_mm) == (200.0, 100.0, 300.0)
    assert (front.row, front.governed_by) == (9, "tap S9 (hollow)")


def test_with_only_sound_taps_the_flanges_own_edge_is_the_near_end():
    found = margin(*RING)
    assert [one.margin_mm for one in found.sides] == [150.0] * 4
    assert found.square_mm == 150.0


def test_without_soundings_nothing_is_known_and_the_middle_of_each_side_is_to_be_tapped():
    found = margin()
    assert [one.margin_mm for one in found.sides] == [None] * 4
    assert found.square_mm is None
    assert [(t.side, t.x_mm, t.y_mm) for t in found.test_next] == [
        ("front", 580.0, 0.0), ("left", 0.0, 530.0), ("back", -580.0, 0.0), ("right", 0.0, -530.0),
    ]  # fmt: skip


def test_a_side_whose_last_tap_is_hollow_gives_no_number_and_asks_beyond_that_tap():
    found = margin(*RING[1:], tap(530, 120, "hollow", row=9))
    assert found.side("front").margin_mm is None
    assert found.square_mm is None
    tapped = found.test_next[0]
    assert (tapped.side, tapped.x_mm, tapped.y_mm) == ("front", 680.0, 120.0)


def test_a_sound_tap_inside_a_hollow_one_does_not_end_the_search_and_is_named():
    found = margin(*RING, tap(480, 0, row=8), tap(630, 0, "hollow", row=9))
    assert found.side("front").margin_mm == pytest.approx(250.0)
    assert "row 8" in found.inside_out[0]
    assert "S9" in found.inside_out[0]


def test_a_crack_counts_by_its_far_end_and_on_every_side_it_runs_out_from():
    crack = tap(440, 0, "cracked", row=9, kind="crack", to=(560.0, 500.0))
    found = margin(*RING, crack)
    assert found.side("front").from_mm == 130.0
    assert found.side("left").from_mm == 120.0
    assert found.side("back").from_mm == 0.0


def test_a_crack_that_somebody_called_sound_is_no_evidence_of_sound_road():
    crack = tap(530, 0, "sound", row=9, kind="crack", to=(540.0, 0.0))
    assert margin(*RING, crack).side("front").from_mm == 110.0
    assert margin(*RING[1:], crack).side("front").margin_mm is None


def test_a_hollow_tap_out_at_a_corner_holds_both_its_sides():
    found = margin(*RING, tap(530, 500, "loose", row=9, kind="probe"))
    assert (found.side("front").from_mm, found.side("left").from_mm) == (100.0, 120.0)


def test_a_sound_tap_speaks_only_for_the_side_it_lies_beyond_most():
    beside = tap(450, 900, row=9)
    assert margin(*RING[1:], beside).side("front").margin_mm is None
    assert margin(RING[0], RING[2], RING[3], beside).side("left").to_mm == 520.0


def test_taps_on_the_flange_and_other_covers_taps_are_left_out():
    inside, other = tap(400, 0, "hollow", row=9), tap(700, 0, "hollow", row=10, name="C2")
    assert margin(*RING, inside, other) == margin(*RING)


def test_a_wide_gap_is_to_be_tapped_in_its_middle_widest_first():
    found = margin(*RING, tap(530, 40, "hollow", row=9), gap_mm=250.0)
    assert [t.side for t in found.test_next] == ["left", "back", "right"]
    wide = margin(*RING[1:], tap(1130, 0, row=2), tap(530, 40, "hollow", row=9), gap_mm=350.0)
    assert [(t.side, t.x_mm, t.y_mm) for t in wide.test_next] == [("front", 830.0, 40.0)]


def test_the_square_margin_is_the_greatest_and_a_round_cut_holds_the_corner_as_well():
    found = margin(*RING, tap(630, 580, "hollow", row=9))
    assert found.square_mm == 250.0
    assert found.round_mm == pytest.approx(max(250.0, math.hypot(630, 580) - math.hypot(430, 380)))
    far = margin(*(tap(1430, 0, row=2), tap(0, 1380, row=3)), *RING[2:], tap(900, 860, "hollow", row=9))
    assert far.round_mm >= far.square_mm


def test_up_to_the_kerb_there_is_no_road_to_tap():
    kerb = cover(kerb_side="left", kerb_mm=500.0)
    found = margin(*(RING[0], RING[2], RING[3]), on=kerb)
    left = found.side("left")
    assert (left.margin_mm, left.at_kerb) == (120.0, True)
    assert found.square_mm == 150.0
    assert margin(RING[0], RING[2], tap(0, 420, row=3), on=kerb).side("left").margin_mm == 20.0


def test_a_cut_square_to_the_traffic_has_margins_from_the_turned_flanges_reach():
    turned = cover(turn_deg=30.0)
    reach = 430 * math.cos(math.radians(30)) + 380 * math.sin(math.radians(30))
    some = (tap(reach + 100, 0, "hollow", row=2), tap(reach + 300, 50, row=3))
    front = sound_margin(turned, some, 150.0, 150.0, 0.0).side("front")
    assert (front.from_mm, front.to_mm) == (pytest.approx(100.0, abs=1e-5), pytest.approx(300.0, abs=1e-5))
    assert sound_margin(turned, some, 150.0, 150.0) != sound_margin(turned, some, 150.0, 150.0, 0.0)


def test_turning_the_frame_by_a_right_angle_moves_the_kerb_to_another_side():
    found = margin(on=cover(kerb_side="left", kerb_mm=600.0, turn_deg=90.0))
    assert [one.side for one in found.sides if one.at_kerb] == ["front"]


def test_a_hollow_tap_beside_a_round_flange_but_inside_its_square_asks_for_no_wider_square():
    circle = cover(shape="round", flange_mm=(800.0, 800.0))
    ring = tuple(tap(600 * x, 600 * y, row=i) for i, (x, y) in enumerate([(1, 0), (0, 1), (-1, 0), (0, -1)], 2))
    corner = tap(350, 350, "hollow", row=9)
    assert not on_flange(circle, 350, 350)
    found = sound_margin(circle, (*ring, corner), 150.0, 500.0)
    assert [one.margin_mm for one in found.sides] == [100.0] * 4
    assert found.round_mm == pytest.approx(max(100.0, math.hypot(350, 350) - 400.0))


def test_the_assumption_is_stated_and_the_sides_stand_in_their_order():
    found = margin(*RING)
    assert "monotone" in found.assumed
    assert tuple(one.side for one in found.sides) == SIDES
