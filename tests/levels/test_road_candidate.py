"""One shape on the readings: leave-one-out error, gain, findable size, and geometry that cannot carry it."""

import numpy as np
import pytest

from truebed.levels.booking import Errors, Spot
from truebed.levels.least_squares import critical_ratio
from truebed.levels.road_candidate import Candidate, candidate, cannot_carry, has_second_ring
from truebed.levels.road_fit import fit_road, readings_of
from truebed.levels.road_rules import RoadRules
from truebed.levels.road_terms import MODELS, error_terms, road_level_mm, term_table

RULES = RoadRules()


def spots(road, radii=(650.0,), count=12, sd=2.0, seed=0):
    rng = np.random.default_rng(seed)
    made = []
    for r, radius in enumerate(radii):
        for i in range(count):
            angle = 2 * np.pi * (i + 0.5 * r) / count
            x, y = radius * np.cos(angle), radius * np.sin(angle)
            made.append(Spot(f"P{r}-{i}", x, y, road(x, y) + rng.normal(0, sd), "road", len(made) + 2))
    return tuple(made)


def plane(x, y):
    return 0.02 * x + 0.01 * y


def dome(x, y):
    return 0.01 * x - 2.5e-5 * (x * x + y * y)


def crown(_x, y):
    return -0.03 * abs(y - 40.0)


@pytest.mark.parametrize("model", MODELS[:5])
def test_the_leave_one_out_error_is_that_of_leaving_each_out_in_turn(model):
    made = spots(crown if model.startswith("two planes") else plane, seed=1, sd=1.2)
    readings = readings_of(made, 2.0, 0.05, None, RULES)
    one = candidate(model, readings)
    assert one.removed == ()
    table = term_table(model, readings.x_mm, readings.y_mm, one.ridge_mm)
    left_out = []
    for i in range(12):
        keep = np.arange(12) != i
        scale = np.linalg.norm(table[keep], axis=0)
        found = np.linalg.lstsq(table[keep] / scale, readings.level_mm[keep], rcond=None)[0] / scale
        left_out.append(readings.level_mm[i] - table[i] @ found)
    expected = np.sqrt(np.mean(np.square(left_out)))
    if model.startswith("two planes"):
        assert one.loo_mm > expected
    else:
        assert one.loo_mm == pytest.approx(expected)


@pytest.mark.parametrize(("model", "road"), [("plane", plane), ("five terms", plane), ("two planes along", crown)])
def test_the_gain_times_the_readings_covariance_is_the_roads_covariance(model, road):
    made = spots(road, seed=5)
    groups = np.repeat(np.arange(4), 3)
    shared = np.diag(np.linspace(2, 5, 12)) + 1.5 * (groups[:, None] == groups[None, :])
    errors = Errors(tuple(map(tuple, shared.tolist())), ("",) * 12)
    found = fit_road(made, 2.0, 0.05, errors=errors, models=(model,))
    gain = np.array(found.gain)
    assert gain.shape == (len(found.covariance), 12)
    reach = np.array([1.0, 500.0, 500.0, 2.5e5, 2.5e5])[: len(gain)] if model == "five terms" else 1.0
    assert (gain @ shared @ gain.T) * np.outer(reach, reach) == pytest.approx(
        np.array(found.covariance) * np.outer(reach, reach), rel=1e-6, abs=1e-9
    )
    terms = error_terms(found.model, np.array([p.x_mm for p in found.points]), np.array([p.y_mm for p in found.points]),
                        found.ridge_mm, found.coefficients)  # fmt: skip
    assert gain @ terms == pytest.approx(np.eye(len(gain)), abs=1e-6)


def test_the_gain_foretells_what_two_millimetres_more_in_a_reading_do_at_the_rim():
    made = spots(plane, seed=6, sd=0.5)
    before = fit_road(made, 2.0, 0.05, models=("plane and twist",))
    terms = np.array([1.0, 330.0, 330.0, 330.0 * 330.0])
    for i in range(12):
        moved = list(made)
        s = made[i]
        moved[i] = Spot(s.point, s.x_mm, s.y_mm, s.level_mm + 2.0, s.where, s.row)
        after = fit_road(tuple(moved), 2.0, 0.05, models=("plane and twist",))
        change = road_level_mm(after, 330.0, 330.0) - road_level_mm(before, 330.0, 330.0)
        assert change == pytest.approx(2.0 * float(terms @ np.array(before.gain)[:, i]), abs=1e-9)


def test_a_removed_reading_has_no_gain():
    made = list(spots(plane, seed=7))
    s = made[4]
    made[4] = Spot(s.point, s.x_mm, s.y_mm, s.level_mm - 100.0, s.where, s.row)
    found = fit_road(tuple(made), 2.0, 0.05)
    assert [g.point for g in found.gross] == ["P0-4"]
    assert not np.array(found.gain)[:, 4].any()


def test_a_slip_of_the_findable_size_is_found_about_four_times_in_five():
    made = spots(plane)
    size = fit_road(made, 2.0, 0.05, models=("plane",)).findable_mm
    assert size == pytest.approx((critical_ratio(12, 0.05) + 0.8416) * 2 / 0.75**0.5, rel=1e-3)
    found = 0
    for seed in range(600):
        slipped = list(spots(plane, seed=seed))
        s = slipped[seed % 12]
        slipped[seed % 12] = Spot(s.point, s.x_mm, s.y_mm, s.level_mm + size, s.where, s.row)
        road = fit_road(tuple(slipped), 2.0, 0.05, models=("plane",))
        found += any(g.row == s.row for g in road.gross)
    assert found / 600 == pytest.approx(0.80, abs=0.05)


def test_eight_readings_let_a_far_larger_slip_pass_on_five_terms_than_twelve_do():
    eight = fit_road(spots(plane, count=8), 2.0, 0.05, models=("five terms",)).findable_mm
    twelve = fit_road(spots(plane, count=12), 2.0, 0.05, models=("five terms",)).findable_mm
    assert eight > 1.2 * twelve


@pytest.mark.parametrize(
    ("radii", "count", "second"),
    [((650.0,), 12, False), ((450.0, 800.0), 8, True), ((600.0, 800.0), 8, False), ((450.0, 800.0), 3, False)],
)
def test_two_rings_are_seen_where_each_surrounds_and_one_is_half_as_wide_again(radii, count, second):
    made = spots(plane, radii, count)
    x, y = np.array([s.x_mm for s in made]), np.array([s.y_mm for s in made])
    assert has_second_ring(x, y, RULES) is second


def test_a_square_ring_of_corners_and_mid_sides_is_one_ring():
    x = np.array([600.0, 600, 0, -600, -600, -600, 0, 600])
    y = np.array([0.0, 600, 600, 600, 0, -600, -600, -600])
    assert not has_second_ring(x, y, RULES)


def test_one_ring_steps_down_from_the_full_quadratic_and_says_so():
    road = fit_road(spots(dome), 2.0, 0.05)
    assert road.model != "full quadratic"
    (tried,) = [t for t in road.tried if t.model == "full quadratic"]
    assert not tried.taken
    assert "geometry cannot carry it" in tried.why
    assert "second ring" in tried.why
    assert tried.loo_mm is None


def test_two_rings_carry_the_full_quadratic_and_see_the_dome_that_one_ring_is_blind_to():
    road = fit_road(spots(dome, (400.0, 800.0), 8, sd=1.0), 2.0, 0.05)
    assert road.model == "full quadratic"
    assert road_level_mm(road, 0.0, 0.0) == pytest.approx(0.0, abs=3.0)
    assert abs(road_level_mm(fit_road(spots(dome, sd=1.0), 2.0, 0.05), 0.0, 0.0)) > 8.0


def test_a_plane_under_two_rings_stays_a_plane_most_of_the_time():
    models = [fit_road(spots(plane, (400.0, 800.0), 8, seed=s), 2.0, 0.05).model for s in range(40)]
    assert models.count("plane") >= 36


def test_readings_at_four_places_carry_no_twist_and_six_too_few_for_five_terms_and_say_so():
    four = tuple(
        Spot(f"P{i}", x, y, plane(x, y), "road", i + 2)
        for i, a in enumerate(np.radians([0.0, 1.0, 90.0, 91.0, 180.0, 181.0, 270.0, 271.0]))
        for x, y in [(650 * float(np.cos(a)), 650 * float(np.sin(a)))]
    )
    why = {t.model: t.why for t in fit_road(four, 2.0, 0.05).tried}
    assert "geometry cannot carry it" in why["plane and twist"]
    six = fit_road(spots(plane, count=6), 2.0, 0.05)
    assert "leave too few to check" in {t.model: t.why for t in six.tried}["five terms"]


def test_what_cannot_be_carried_is_a_sentence_and_what_can_is_none():
    readings = readings_of(spots(plane), 2.0, 0.05, None, RULES)
    table = term_table("five terms", readings.x_mm, readings.y_mm, 0.0)
    assert cannot_carry("five terms", readings, table) == ""
    assert isinstance(candidate("five terms", readings), Candidate)
    assert isinstance(candidate("full quadratic", readings), str)
