"""Gap under a straightedge: hull against brute force over all pairs of rests, and by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.levels.straightedge import greatest_gap, upper_hull


def by_all_pairs(profile, length):
    """Every pair of rests no further apart than the straightedge, above all that lies between them."""
    best = 0.0
    for i, (a, za) in enumerate(profile):
        for b, zb in profile[i + 1 :]:
            if b - a > length + 1e-9 or b == a:
                continue
            inside = [(s, z) for s, z in profile if a <= s <= b]
            gaps = [za + (s - a) / (b - a) * (zb - za) - z for s, z in inside]
            if min(gaps) >= -1e-9:
                best = max(best, *gaps)
    return best


@given(
    heights=st.lists(st.floats(-10.0, 10.0), min_size=3, max_size=14),
    length=st.floats(150.0, 1500.0),
)
def test_the_hull_finds_what_trying_every_pair_of_rests_finds(heights, length):
    profile = tuple((100.0 * i, z) for i, z in enumerate(heights))
    assert greatest_gap(profile, length).gap_mm == pytest.approx(by_all_pairs(profile, length), abs=1e-9)


def test_a_dip_is_its_own_depth_and_its_place_is_told():
    profile = ((0.0, 0.0), (400.0, 0.0), (500.0, -5.0), (600.0, 0.0), (1000.0, 0.0))
    gap = greatest_gap(profile, 3000.0)
    assert (gap.gap_mm, gap.at_mm) == (5.0, 500.0)
    assert gap.from_mm <= 400.0
    assert gap.to_mm >= 600.0


def test_a_sunk_frame_between_two_edges_is_measured_at_its_step():
    profile = ((0.0, 0.0), (300.0, 0.0), (300.0, -4.0), (900.0, -4.0), (900.0, 0.0), (1200.0, 0.0))
    assert greatest_gap(profile, 3000.0).gap_mm == pytest.approx(4.0)
    # a straightedge shorter than the frame rests inside it
    assert greatest_gap(profile, 200.0).gap_mm == pytest.approx(4.0)
    assert greatest_gap(((0.0, -4.0), (300.0, -4.0)), 200.0).gap_mm == 0.0


def test_a_short_straightedge_sees_less_of_a_long_dish():
    dish = tuple((50.0 * i, 1e-5 * (50.0 * i - 1500.0) ** 2) for i in range(61))
    # a chord of length L over curvature k z'' = 2e-5: sag L2 / 8 x 2e-5
    assert greatest_gap(dish, 3000.0).gap_mm == pytest.approx(22.5)
    assert greatest_gap(dish, 1000.0).gap_mm == pytest.approx(2.5)


@given(
    heights=st.lists(st.floats(-10.0, 10.0), min_size=3, max_size=12),
    slope=st.floats(-0.1, 0.1),
)
def test_tilting_or_mirroring_the_profile_changes_no_gap(heights, slope):
    plain = tuple((100.0 * i, z) for i, z in enumerate(heights))
    tilted = tuple((s, z + slope * s + 7.0) for s, z in plain)
    mirrored = tuple((-s, z) for s, z in reversed(plain))
    gap = greatest_gap(plain, 500.0).gap_mm
    assert greatest_gap(tilted, 500.0).gap_mm == pytest.approx(gap, abs=1e-9)
    assert greatest_gap(mirrored, 500.0).gap_mm == pytest.approx(gap, abs=1e-9)


def test_the_hull_keeps_the_higher_of_two_points_at_one_place():
    assert upper_hull(((0.0, 0.0), (0.0, 3.0), (100.0, 3.0), (100.0, 0.0))) == ((0.0, 3.0), (100.0, 3.0))
