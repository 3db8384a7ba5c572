"""Many frames at once: as one at a time, as the general solver, proved by multipliers, compiled as plain."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from oracles.test_chebyshev import question
from truebed.compiled import plain
from truebed.levels import least_kernel, seat_batch_kernel, seat_kernel
from truebed.levels.seat_many import IN_TOLERANCE, NO_PLACE, OUT_OF_TOLERANCE, least_many, set_many
from truebed.levels.seat_program import mend, seat_frame
from truebed.levels.seat_question import RoadSample, SeatSample

N_RIM, N_SEAT = 16, 6


def ring(count, along, across):
    turn = 2 * np.pi * np.arange(count) / count
    return np.column_stack([along * np.cos(turn), across * np.sin(turn)])


def covers(count, seed, twist=False):
    """Worn roads over tilted chambers, each tenth one broken; each third with a fall."""
    rng = np.random.default_rng(seed)
    rim_xy = np.broadcast_to(ring(N_RIM, 400, 300), (count, N_RIM, 2))
    seat_xy = np.broadcast_to(ring(N_SEAT, 420, 320), (count, N_SEAT, 2))
    slope = rng.normal(0, 0.015, (count, 2))
    x, y = rim_xy[..., 0], rim_xy[..., 1]
    road = slope[:, :1] * x + slope[:, 1:] * y + rng.normal(0, 2e-5, (count, 1)) * x * y
    road += 0.0 if twist else rng.normal(0, 1.5, (count, N_RIM))
    tilt = rng.normal(0, 0.015, (count, 2))
    top = tilt[:, :1] * seat_xy[..., 0] + tilt[:, 1:] * seat_xy[..., 1] + rng.normal(-128, 12, (count, 1))
    top[::10] += rng.normal(0, 25, (len(top[::10]), N_SEAT))
    fall = np.tile([0.0, 0.0, -1.0], (count, 1))
    fall[::3] = [0.0, -1.0, 0.01]
    return rim_xy, road, seat_xy, top + 100.0, fall


def asked_of(data, i, fall=True):
    rim_xy, road, seat_xy, ground, slope = data
    rims = tuple(RoadSample(f"r{k}", *rim_xy[i, k], road[i, k]) for k in range(rim_xy.shape[1]))
    seats = tuple(SeatSample(f"s{k}", *seat_xy[i, k], ground[i, k] - 100.0) for k in range(seat_xy.shape[1]))
    least = None if slope[i, 2] < 0.0 else float(slope[i, 2])
    return replace(
        question(rims, seats, bed=(10.0, 45.0)), fall_least_ratio=least, fall_towards=tuple(slope[i, :2].tolist())
    )


def both(data):
    return set_many(*data[:4], 10.0, 45.0, 6.0, fall=data[4])


@pytest.mark.parametrize("twist", [False, True])
def test_many_frames_are_set_as_each_one_by_itself(twist):
    data = covers(240, 5, twist)
    many = both(data)
    assert {IN_TOLERANCE, OUT_OF_TOLERANCE, NO_PLACE} == set(many.status.tolist())
    for i in range(240):
        asked = asked_of(data, i)
        one = seat_frame(asked)
        assert (one is None) == (many.status[i] == NO_PLACE)
        if one is not None:
            assert many.greatest[i] == pytest.approx(one.greatest_mm, abs=1e-9)
            assert many.free[i] == pytest.approx(one.free_mm, abs=1e-9)
            beds = [one.rim.at(s.x_mm, s.y_mm) - 100.0 - s.chamber_top_mm for s in asked.seat]
            assert many.bed_most[i] - many.bed_least[i] == pytest.approx(max(beds) - min(beds), abs=1e-6)
        if many.status[i] != IN_TOLERANCE:
            found = mend(asked)
            given_mends = [many.relax[i], many.raise_least[i], many.raise_most[i]]
            single = [found.relax_mm, found.raise_least_mm, found.raise_most_mm]
            for own, other in zip(given_mends, single, strict=True):
                assert (other is None) == bool(np.isnan(own))
                assert other is None or own == pytest.approx(other, abs=1e-8)


def test_the_least_departures_are_the_general_solvers_and_proved_by_their_multipliers():
    data = covers(400, 6)
    greatest, rows, weights = least_many(*data[:4], 10.0, 45.0, fall=data[4])
    for i in range(400):
        cost, table, limits = general_rows(data, i)
        other = linprog(cost, A_ub=table, b_ub=limits, bounds=[(None, None)] * 4, method="highs")
        assert (other.status == 2) == bool(np.isinf(greatest[i]))
        if other.status == 0:
            assert greatest[i] == pytest.approx(other.fun, abs=1e-8)
            assert np.all(weights[i] >= -1e-12)
            assert cost + weights[i] @ table[rows[i]] == pytest.approx(np.zeros(4), abs=1e-9)
            assert -weights[i] @ limits[rows[i]] == pytest.approx(greatest[i], abs=1e-9)


def general_rows(data, i):
    """The programme written out, rows in the order of ManySeats.rows, plan in metres."""
    rim_xy, road, seat_xy, ground, fall = data
    rim = np.column_stack([np.ones(rim_xy.shape[1]), rim_xy[i] / 1000])
    seat = np.column_stack([np.ones(seat_xy.shape[1]), seat_xy[i] / 1000])
    one, none = np.ones((len(rim), 1)), np.zeros((len(seat), 1))
    table = np.vstack(
        [
            np.hstack([rim, -one]),
            np.hstack([-rim, -one]),
            np.hstack([seat, none]),
            np.hstack([-seat, none]),
            [[0.0, fall[i, 0], fall[i, 1], 0.0]],
        ]
    )
    limits = np.concatenate([road[i], -road[i], ground[i] + 45.0, -(ground[i] + 10.0), [-1000 * fall[i, 2]]])
    return np.array([0.0, 0.0, 0.0, 1.0]), table, limits


@given(st.integers(0, 2**32 - 1))
def test_an_exact_twist_or_a_touching_bed_comes_to_an_end(seed):
    rng = np.random.default_rng(seed)
    rim_xy = np.array([[-400.0, -300], [0, -300], [400, -300], [400, 0], [400, 300], [0, 300], [-400, 300], [-400, 0]])
    level = float(rng.integers(-3, 4))
    road = (rng.integers(-8, 9) * rim_xy[:, 0] * rim_xy[:, 1] / 120000.0)[None, :]
    seat = rim_xy[::2]
    ground = np.full((1, 4), level - 10.0)
    many = set_many(rim_xy, road, seat, ground, 10.0, 10.0, 6.0)
    assert many.greatest[0] == pytest.approx(np.max(np.abs(road)) + abs(level), abs=1e-9)


def test_a_rim_of_three_points_and_one_listed_out_of_order_are_set_too():
    three = set_many(
        ring(3, 300, 300), np.array([[1.0, 2.0, 4.0]]), ring(4, 300, 300), np.full((1, 4), -25.0), 10, 45, 6
    )
    assert three.greatest[0] == pytest.approx(0.0, abs=1e-9)
    line = np.array([[0.0, 0], [100, 0], [200, 0], [300, 0], [0, 200]])
    bent = set_many(line, np.array([[0.0, 4.0, 4.0, 0.0, 0.0]]), ring(4, 300, 300), np.full((1, 4), -25.0), 10, 45, 6)
    assert bent.greatest[0] == pytest.approx(2.0, abs=1e-9)


def test_what_cannot_be_is_refused():
    good = covers(2, 1)[:4]
    with pytest.raises(ValueError, match="finite"):
        set_many(good[0], good[1] * np.nan, good[2], good[3], 10.0, 45.0, 6.0)
    with pytest.raises(ValueError, match="one row a cover"):
        set_many(good[0], good[1][0], good[2], good[3], 10.0, 45.0, 6.0)


def test_blocks_do_not_change_the_answer(monkeypatch):
    data = covers(50, 8)
    whole = both(data)
    monkeypatch.setattr("truebed.levels.seat_many.BLOCK_COUNT", 7)
    parts = both(data)
    for field in whole.__slots__:
        assert np.array_equal(getattr(whole, field), getattr(parts, field), equal_nan=True), field


def test_compiled_and_plain_give_the_same_bits(monkeypatch):
    data = covers(40, 9)
    quick = both(data)
    for module in (least_kernel, seat_kernel, seat_batch_kernel):
        for name in dir(module):
            if hasattr(getattr(module, name), "py_func"):
                monkeypatch.setattr(module, name, plain(getattr(module, name)))
    slow = both(data)
    for field in quick.__slots__:
        assert np.array_equal(getattr(quick, field), getattr(slow, field), equal_nan=True), field
