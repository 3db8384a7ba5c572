"""Frame setting against closed forms: cases F1 to F5 of the methods study, and algebra of four corners."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.levels.seat_program import least_greatest_mm, mend, seat_frame
from truebed.levels.seat_question import RoadSample, SeatQuestion, SeatSample, edge_points

FAR = 1e4


def rim(half_x, half_y, road, spacing=None):
    ring = ((-half_x, -half_y), (half_x, -half_y), (half_x, half_y), (-half_x, half_y))
    points = ring if spacing is None else edge_points(ring, spacing)
    return tuple(RoadSample(f"p{i}", x, y, road(x, y)) for i, (x, y) in enumerate(points))


def seat(half_x, half_y, top):
    corners = ((-half_x, -half_y), (half_x, -half_y), (half_x, half_y), (-half_x, half_y))
    return tuple(SeatSample(f"s{i}", x, y, top(x, y)) for i, (x, y) in enumerate(corners))


def question(rim_samples, seats=None, bed=(-FAR, FAR), half_band=6.0, depth=100.0):
    seats = seats if seats is not None else seat(400, 400, lambda _x, _y: -130.0)
    return SeatQuestion(rim_samples, seats, 0.0, half_band, depth, bed[0], bed[1])


def test_f1_a_symmetric_twist_of_4_mm_leaves_4_mm_and_a_level_frame():
    answer = seat_frame(question(rim(400, 300, lambda x, y: 4.0 * x * y / (400 * 300))))
    assert answer.greatest_mm == pytest.approx(4.0, abs=1e-6)
    assert answer.rim.level_mm == pytest.approx(0.0, abs=1e-6)
    assert 1000 * answer.rim.slope_x_ratio == pytest.approx(0.0, abs=1e-6)


@given(st.lists(st.integers(-40, 40), min_size=4, max_size=4))
def test_four_corners_leave_a_quarter_of_their_twist(levels):
    corners = ((-400.0, -300.0), (400.0, -300.0), (400.0, 300.0), (-400.0, 300.0))
    samples = tuple(RoadSample("", x, y, float(z)) for (x, y), z in zip(corners, levels, strict=True))
    a, b, c, d = levels
    assert seat_frame(question(samples)).greatest_mm == pytest.approx(abs(a - b + c - d) / 4.0, abs=1e-6)


def test_f2_a_crown_across_a_square_frame_leaves_5_mm_where_corners_alone_would_say_none():
    crown = rim(400, 400, lambda x, _y: -0.025 * abs(x), spacing=400.0)
    answer = seat_frame(question(crown))
    assert answer.greatest_mm == pytest.approx(5.0, abs=1e-6)
    assert answer.rim.level_mm == pytest.approx(-5.0, abs=1e-6)
    corners_only = seat_frame(question(rim(400, 400, lambda x, _y: -0.025 * abs(x))))
    assert corners_only.greatest_mm == pytest.approx(0.0, abs=1e-6)


def test_f3_a_tilted_road_over_a_level_chamber_is_19_mm_out_with_the_bed_held():
    asked = question(
        rim(400, 400, lambda x, y: 0.025 * x + 0.06 * y), seat(400, 400, lambda _x, _y: -125.0), bed=(10.0, 40.0)
    )
    assert seat_frame(asked).greatest_mm == pytest.approx(19.0, abs=1e-6)
    found = mend(asked)
    assert found.relax_mm == pytest.approx(13.0, abs=1e-6)
    assert found.raise_least_mm is None


def test_f3b_a_chamber_at_the_underside_is_10_mm_out_and_must_come_down_4_to_34_mm():
    asked = question(rim(400, 400, lambda _x, _y: 0.0), seat(400, 400, lambda _x, _y: -100.0), bed=(10.0, 40.0))
    assert seat_frame(asked).greatest_mm == pytest.approx(10.0, abs=1e-6)
    found = mend(asked)
    assert found.relax_mm == pytest.approx(4.0, abs=1e-6)
    assert (found.raise_least_mm, found.raise_most_mm) == pytest.approx((-46.0, -4.0), abs=1e-6)


@given(st.integers(0, 2**32 - 1))
def test_no_nearby_plane_does_better_and_the_greatest_departure_is_reached(seed):
    rng = np.random.default_rng(seed)
    samples = tuple(
        RoadSample(s.name, s.x_mm, s.y_mm, float(rng.normal(0, 5))) for s in rim(400, 300, lambda _x, _y: 0.0, 200.0)
    )
    answer = seat_frame(question(samples))

    def greatest(level, slope_x, slope_y):
        return max(abs(level + slope_x * s.x_mm + slope_y * s.y_mm - s.road_mm) for s in samples)

    plane = answer.rim
    own = greatest(plane.level_mm, plane.slope_x_ratio, plane.slope_y_ratio)
    assert own == pytest.approx(answer.greatest_mm, abs=1e-5)
    for _ in range(50):
        step = rng.normal(0, 1, 3) * np.array([1.0, 2e-3, 2e-3])
        other = greatest(plane.level_mm + step[0], plane.slope_x_ratio + step[1], plane.slope_y_ratio + step[2])
        assert other >= answer.greatest_mm - 1e-5


@given(st.integers(0, 2**32 - 1), st.floats(-30, 30))
def test_raising_the_chamber_as_the_mend_says_lets_the_frame_sit(seed, off):
    rng = np.random.default_rng(seed)
    slope = rng.normal(0, 0.01, 2)
    samples = rim(400, 300, lambda x, y: slope[0] * x + slope[1] * y, 200.0)
    asked = question(samples, seat(380, 280, lambda _x, _y: -125.0 + off), bed=(10.0, 40.0))
    found = mend(asked)
    if found.raise_least_mm is None:
        return
    for raised in (found.raise_least_mm, (found.raise_least_mm + found.raise_most_mm) / 2, found.raise_most_mm):
        again = question(samples, seat(380, 280, lambda _x, _y, r=raised: -125.0 + off + r), bed=(10.0, 40.0))
        out = least_greatest_mm(again, with_bed=True)
        assert out is not None
        assert out[1] <= 6.0 + 1e-5


def test_a_bed_that_governs_leaves_5_mm_and_says_what_the_road_alone_would_leave():
    samples = (
        RoadSample("a", -400, 0, 0.0), RoadSample("b", 400, 0, 0.0), RoadSample("c", 0, 300, 0.0),
        RoadSample("d", 0, -300, 0.0),
    )  # fmt: skip
    asked = SeatQuestion(samples, seat(10, 10, lambda _x, _y: -130.0), 0.0, 6.0, 100.0, 35.0, 60.0)
    answer = seat_frame(asked)
    assert answer.greatest_mm == pytest.approx(5.0, abs=1e-5)
    assert answer.free_mm == pytest.approx(0.0, abs=1e-6)
