"""The network's road fit gives what the fit of one cover gives."""

import numpy as np
import pytest

from truebed.compiled import plain
from truebed.errors import NotDesignedError
from truebed.levels import road_kernel
from truebed.levels.booking import Spot
from truebed.levels.road_fit import fit_road
from truebed.levels.road_network import NETWORK_MODELS, REFUSALS, fit_roads
from truebed.levels.road_rules import RoadRules

ONE = RoadRules(most_removed_count=1)


def covers(count, readings=12, seed=1):
    """Random roads of all three shapes on shaken rings, one in three with a gross reading, some uneven, some open."""
    rng = np.random.default_rng(seed)
    angle = 2 * np.pi * np.arange(readings) / readings + rng.normal(0, 0.15, (count, readings))
    radius = rng.uniform(550, 900, (count, 1)) * rng.uniform(0.9, 1.1, (count, readings))
    x, y = radius * np.cos(angle), radius * np.sin(angle)
    kind = rng.integers(0, 3, (count, 1))
    a, b, c, d = rng.normal(0, 1, (4, count, 1))
    z = 20 * a + 0.02 * b * x - 0.02 * c * y + (kind > 0) * 3e-5 * d * x * y + (kind > 1) * 3e-5 * a * (x * x - y * y)
    z += rng.normal(0, 2, (count, readings))
    rows = np.arange(0, count, 3)
    z[rows, rng.integers(0, readings, len(rows))] += rng.choice([-1, 1], len(rows)) * rng.uniform(8, 60, len(rows))
    z[5::40] += rng.normal(0, 9, (len(z[5::40]), readings))
    y[7::40] = np.abs(y[7::40])
    return x, y, z


REASONS = {"surround": 1, "hold": 2, "no surface": 3}


def alone(x, y, z, rim=()):
    """The road of one cover, or the code of why it is refused."""
    spots = tuple(Spot(f"P{i}", float(x[i]), float(y[i]), float(z[i]), "road", i) for i in range(len(x)))
    try:
        return fit_road(spots, 2.0, 0.05, rim, rules=ONE, models=NETWORK_MODELS)
    except NotDesignedError as refused:
        return next(code for word, code in REASONS.items() if word in refused.reason)


@pytest.mark.parametrize(
    ("readings", "rim"), [(12, ()), (12, ((330.0, 330.0), (-330.0, 330.0), (330.0, -330.0))), (8, ())]
)
def test_every_cover_comes_out_as_it_does_alone(readings, rim):
    x, y, z = covers(240, readings)
    places = (np.array([[p[0] for p in rim]]), np.array([[p[1] for p in rim]])) if rim else None
    roads = fit_roads(x, y, z, 2.0, 0.05, ONE, places)
    for c in range(240):
        road = alone(x[c], y[c], z[c], rim)
        if isinstance(road, int):
            assert (roads.model[c], roads.refused[c]) == (-1, road)
            continue
        terms = len(road.coefficients)
        assert NETWORK_MODELS[roads.model[c]] == road.model
        assert (roads.refused[c], REFUSALS[roads.refused[c]]) == (0, "")
        reach = np.array([1.0, 1e3, 1e3, 1e6, 1e6])
        assert roads.coefficients[c] * reach == pytest.approx(
            np.append(road.coefficients, [0, 0])[:5] * reach, abs=1e-9
        )
        scaled = roads.covariance[c][:terms, :terms] * np.outer(reach[:terms], reach[:terms])
        assert scaled == pytest.approx(np.array(road.covariance) * np.outer(reach[:terms], reach[:terms]), abs=1e-9)
        assert (roads.loo_mm[c], roads.misfit_ratio[c]) == pytest.approx((road.loo_mm, road.misfit_ratio), abs=1e-9)
        assert {roads.removed[c]} - {-1} == {g.row for g in road.gross}
        for gross in road.gross:
            assert roads.off_mm[c] == pytest.approx(gross.off_mm, abs=1e-9)
    assert set(roads.refused) >= {0, 1, 3}
    assert set(roads.model) == {-1, 0, 1, 2} if readings == 12 else {-1, 0} < set(roads.model)


def test_slices_give_the_same_bytes_as_the_whole():
    x, y, z = covers(60)
    whole = fit_roads(x, y, z, 2.0, 0.05)
    halves = [fit_roads(x[s], y[s], z[s], 2.0, 0.05) for s in (slice(0, 17), slice(17, 60))]
    for name in ("model", "coefficients", "covariance", "removed", "loo_mm"):
        joined = np.concatenate([getattr(h, name) for h in halves])
        assert joined.tobytes() == getattr(whole, name).tobytes()


def test_a_rim_a_cover_is_taken_row_by_row():
    x, y, z = covers(4)
    far = np.array([[300.0, -300.0]] * 2 + [[9000.0, -9000.0]] * 2)
    roads = fit_roads(x, y, z, 2.0, 0.05, None, (far, far))
    assert list(roads.refused[2:]) == [2, 2]
    assert 2 not in list(roads.refused[:2])


def test_points_that_do_not_tell_the_terms_apart_step_down_without_a_determinant_bound():
    angle = np.repeat(np.radians([0.5, 90.2, 180.1, 269.9]), 3) + np.tile([0.0, 0.0005, -0.0005], 4)
    x, y = 700 * np.cos(angle)[None], 700 * np.sin(angle)[None]
    roads = fit_roads(x, y, 3e-5 * x * y + 0.01 * x, 2.0, 0.05)
    assert roads.model[0] == 0


def test_the_kernel_gives_the_same_without_compiling():
    for name in ("_score", "_suspect"):
        kernel = getattr(road_kernel, name)
        left, free = np.array([1.0, -9.0, 0.5]), np.array([0.8, 0.5, 1e-6])
        arguments = (left, free, 2.0) if name == "_suspect" else (left, free, 1, 2.0, 2.8)
        assert kernel(*arguments) == pytest.approx(plain(kernel)(*arguments))


def test_tables_that_do_not_match_and_numbers_that_are_none_are_refused():
    x, y, z = covers(3)
    with pytest.raises(ValueError, match="one shape"):
        fit_roads(x, y, z[:2], 2.0, 0.05)
    with pytest.raises(ValueError, match="at least 6"):
        fit_roads(x[:, :5], y[:, :5], z[:, :5], 2.0, 0.05)
    z[1, 1] = np.nan
    with pytest.raises(ValueError, match="no number"):
        fit_roads(x, y, z, 2.0, 0.05)
