"""The road's model is chosen, gross readings are named, and readings that cannot say are refused."""

from collections import Counter

import numpy as np
import pytest

from truebed.errors import NotDesignedError
from truebed.levels.booking import Spot
from truebed.levels.gross import likely_cause
from truebed.levels.road_candidate import widest_gap_deg
from truebed.levels.road_choice import misfit_limit_ratio
from truebed.levels.road_fit import fit_road, inner_ring
from truebed.levels.road_folds import best_ridge_mm
from truebed.levels.road_terms import error_terms, road_level_mm, road_levels_mm, term_table


def ring(road, count=12, radius=650.0, sd=2.0, seed=0, off=None):
    rng = np.random.default_rng(seed)
    spots = []
    for i in range(count):
        angle = 2 * np.pi * i / count
        x, y = radius * np.cos(angle), radius * np.sin(angle)
        level = road(x, y) + rng.normal(0, sd) + (off or {}).get(i, 0.0)
        spots.append(Spot(f"P{i + 1}", x, y, round(level), "road", i + 2))
    return tuple(spots)


def test_an_exact_plane_is_found_exactly():
    spots = tuple(
        Spot(f"P{i}", x, y, 3.0 + 0.025 * x - 0.01 * y, "road", i)
        for i, (x, y) in enumerate([(600, 0), (300, 500), (-300, 500), (-600, 0), (-300, -500), (300, -500), (0, 700)])
    )
    road = fit_road(spots, 2.0, 0.05)
    assert road.model == "plane"
    assert road.coefficients == pytest.approx((3.0, 0.025, -0.01))
    ring_road = fit_road(ring(lambda x, y: 0.01 * x - 0.02 * y, sd=0.0, radius=750.0), 2.0, 0.05)
    assert ring_road.model == "plane"
    assert road_level_mm(road, 100.0, 100.0) == pytest.approx(4.5)


SHAPES = {
    "plane": lambda x, y: 0.02 * x + 0.01 * y,
    "plane and twist": lambda x, y: 0.01 * x + 4e-5 * x * y,
    "two planes along": lambda _x, y: -0.04 * abs(y - 60.0),
    "two planes across": lambda x, _y: -0.04 * abs(x + 60.0),
}


@pytest.mark.parametrize("model", list(SHAPES))
def test_the_true_shape_is_chosen_most_of_the_time(model):
    found = Counter(fit_road(ring(SHAPES[model], seed=seed), 2.0, 0.05).model for seed in range(40))
    assert found[model] >= 30, found


def test_a_decimetre_slip_is_named_with_its_point_row_and_cause():
    road = fit_road(ring(SHAPES["plane"], off={4: -100.0}, seed=2), 2.0, 0.05)
    assert road.model == "plane"
    (gross,) = road.gross
    assert (gross.point, gross.row) == ("P5", 6)
    assert gross.off_mm == pytest.approx(-100.0, abs=8.0)
    assert "decimetre" in gross.likely_cause
    assert [p.used for p in road.points] == [i != 4 for i in range(12)]


@pytest.mark.parametrize("which", range(12))
def test_no_model_swallows_a_gross_reading_wherever_it_stands(which):
    road = fit_road(ring(SHAPES["plane"], off={which: 60.0}, seed=which), 2.0, 0.05)
    assert road.gross
    assert road.gross[0].point == f"P{which + 1}"


def test_a_sign_left_out_is_guessed_as_such():
    assert "sign" in likely_cause(Spot("P1", 0.0, 0.0, 23.0, "road", 2), 46.0, 2.0)
    assert "metre misread" in likely_cause(Spot("P1", 0.0, 0.0, 3.0, "road", 2), -1003.0, 2.0)
    assert "centimetre" in likely_cause(Spot("P1", 0.0, 0.0, 3.0, "road", 2), 11.0, 2.0)


def test_too_few_readings_are_refused_with_the_mend():
    with pytest.raises(NotDesignedError, match="Only 5 road readings") as refused:
        fit_road(ring(SHAPES["plane"], count=5), 2.0, 0.05)
    assert "10 to 12" in refused.value.mend


def test_readings_on_one_side_only_are_refused():
    spots = tuple(s for s in ring(SHAPES["plane"], count=16) if s.y_mm > -1.0)
    with pytest.raises(NotDesignedError, match="do not surround"):
        fit_road(spots, 2.0, 0.05)
    assert widest_gap_deg(np.array([1.0, -1.0]), np.array([0.0, 0.0])) == pytest.approx(180.0)


def test_a_road_that_no_surface_fits_is_refused_not_smoothed():
    rng = np.random.default_rng(4)
    rough = {i: float(v) for i, v in enumerate(rng.choice([-14.0, 14.0], 12))}
    with pytest.raises(NotDesignedError, match="fit no surface"):
        fit_road(ring(SHAPES["plane"], off=rough), 2.0, 0.05)


def test_the_fold_is_found_where_it_is():
    spots = ring(lambda _x, y: -0.05 * abs(y - 80.0), sd=0.0)
    x, y, z = (np.array([getattr(s, k) for s in spots], float) for k in ("x_mm", "y_mm", "level_mm"))
    assert best_ridge_mm("two planes along", x, y, z) == pytest.approx(80.0, abs=2.0)
    assert best_ridge_mm("plane", x, y, z) == 0.0


def test_f7_harmonic_terms_are_blind_to_a_dome_by_the_closed_form():
    angle = 2 * np.pi * np.arange(12) / 12
    x, y = 700 * np.cos(angle), 700 * np.sin(angle)
    z = -6.8e-6 * x**2
    table = term_table("five terms", x, y, 0.0)
    found = np.linalg.lstsq(table, z, rcond=None)[0]
    at = term_table("five terms", np.array([400.0]), np.array([0.0]), 0.0) @ found
    assert -6.8e-6 * 400.0**2 - at[0] == pytest.approx(6.8e-6 * (700**2 - 400**2) / 2, rel=1e-9)
    assert pytest.approx(1.122, abs=5e-4) == 6.8e-6 * (700**2 - 400**2) / 2


def test_the_misfit_limit_lets_good_readings_through():
    limit = misfit_limit_ratio(9)
    rng = np.random.default_rng(6)
    good = np.sqrt(rng.chisquare(9, 20000) / 9)
    assert np.mean(good > limit) == pytest.approx(0.001, abs=0.0008)


def named_share(road, off=None, trials=200, radius=650.0):
    named = 0
    for seed in range(trials):
        slip = {} if off is None else {seed % 12: off}
        gross = fit_road(ring(road, seed=seed, radius=radius, off=slip), 2.0, 0.05).gross
        named += bool(gross) if off is None else any(g.row == seed % 12 + 2 for g in gross)
    return named / trials


@pytest.mark.parametrize("radius", [650.0, 750.0])
@pytest.mark.parametrize("fall", [0.0125, 0.02])
def test_on_a_crown_good_readings_are_blamed_in_about_one_cover_of_twenty_at_most(fall, radius):
    assert named_share(lambda _x, y: -fall * abs(y), radius=radius) <= 0.05


@pytest.mark.parametrize("off", [15.0, -15.0])
def test_a_slip_of_15_mm_on_a_plane_is_named_nine_times_in_ten(off):
    assert named_share(SHAPES["plane"], off) >= 0.9


def test_a_slip_of_a_decimetre_on_a_plane_is_always_named():
    assert named_share(SHAPES["plane"], 100.0) == 1.0


def test_a_folds_place_pulls_the_road_as_a_small_move_of_it_does():
    x, y = np.array([10.0, -200.0, 300.0]), np.array([300.0, -150.0, 90.0])
    for model, at in (("two planes along", 40.0), ("two planes across", -30.0)):
        own = (1.0, 0.01, -0.02, -0.03)
        moved = (term_table(model, x, y, at + 0.5) - term_table(model, x, y, at - 0.5)) @ np.array(own)
        assert error_terms(model, x, y, at, own)[:, -1] == pytest.approx(moved)
    assert error_terms("plane", x, y, 0.0, (1.0, 0.0, 0.0)).shape == (3, 3)


def test_a_fold_models_covariance_counts_its_place_and_is_wider_for_it():
    road = fit_road(ring(SHAPES["two planes along"], seed=1), 2.0, 0.05)
    assert road.model == "two planes along"
    covariance = np.array(road.covariance)
    assert covariance.shape == (5, 5)
    x, y = np.array([p.x_mm for p in road.points]), np.array([p.y_mm for p in road.points])
    plain = term_table(road.model, x, y, road.ridge_mm)
    held = 4.0 * np.linalg.inv(plain.T @ plain)
    assert np.all(np.diag(covariance)[:4] >= np.diag(held) * (1 - 1e-6))


def test_a_folds_place_scatters_over_many_surveys_by_no_more_than_half_again_what_is_claimed():
    roads = [fit_road(ring(SHAPES["two planes along"], seed=seed), 2.0, 0.05) for seed in range(120)]
    found = [r for r in roads if r.model == "two planes along"]
    claimed = np.median([r.covariance[4][4] ** 0.5 for r in found])
    assert 0.8 <= np.std([r.ridge_mm for r in found]) / claimed <= 1.5


def test_weights_of_all_roads_add_up_and_a_plane_has_none_on_a_clear_crown():
    road = fit_road(ring(SHAPES["two planes along"], seed=1), 2.0, 0.05)
    assert road.weight_share + sum(o.weight_share for o in road.others) == pytest.approx(1.0)
    assert road.model not in {o.model for o in road.others}
    assert "plane" not in {o.model for o in road.others}


def at_four_places(places_deg, seed):
    rng = np.random.default_rng(seed)
    angles = np.repeat(np.radians(places_deg), 2)
    spots = [(750 * np.cos(a), 750 * np.sin(a)) for a in angles]
    return tuple(
        Spot(f"P{i}", x, y, 0.01 * x - 0.02 * y + rng.normal(0, 2), "road", i + 2) for i, (x, y) in enumerate(spots)
    )


@pytest.mark.parametrize("rim", [(), ((330.0, 330.0), (330.0, -330.0), (-330.0, -330.0), (-330.0, 330.0))])
def test_readings_at_four_places_never_let_a_shape_run_away_at_the_rims_corners(rim):
    corners = np.array([330.0, 330.0, -330.0, -330.0]), np.array([330.0, -330.0, -330.0, 330.0])
    truth = 0.01 * corners[0] - 0.02 * corners[1]
    rng = np.random.default_rng(5)
    for seed in range(100):
        places = rng.choice([0.0, 1.0, 3.0]) + np.array([0.0, 90.0, 180.0, 270.0]) + rng.normal(0, 0.5, 4)
        road = fit_road(at_four_places(places, seed), 2.0, 0.05, rim)
        assert np.max(np.abs(road_levels_mm(road, *corners) - truth)) < 8.0


def test_readings_that_do_not_hold_the_rim_are_refused_with_the_mend():
    far = ((4000.0, 4000.0), (-4000.0, -4000.0))
    with pytest.raises(NotDesignedError, match="do not hold the road round the rim") as refused:
        fit_road(ring(SHAPES["plane"]), 2.0, 0.05, far)
    assert "ring round the frame" in refused.value.mend


def test_the_same_readings_give_the_same_bits():
    spots = ring(SHAPES["plane"], seed=3, off={5: 40.0})
    assert repr(fit_road(spots, 2.0, 0.05)) == repr(fit_road(tuple(spots), 2.0, 0.05))


def test_readings_in_one_line_are_refused_as_such():
    spots = tuple(Spot(f"P{i}", 100.0 * i - 450.0, 50.0 * i - 225.0, 0.0, "road", i) for i in range(10))
    with pytest.raises(NotDesignedError, match="they stand in one line"):
        fit_road(spots, 2.0, 0.05)


def test_a_level_that_is_no_number_is_refused_with_its_row():
    spots = (*ring(SHAPES["plane"]), Spot("P13", 0.0, 700.0, float("nan"), "road", 14))
    with pytest.raises(NotDesignedError, match=r"'P13' \(row 14\)"):
        fit_road(spots, 2.0, 0.05)


def test_points_swapped_are_named_with_their_rows_and_each_other():
    spots = list(ring(lambda x, _y: 0.05 * x, seed=2))
    a, b = spots[0], spots[5]
    spots[0] = Spot(a.point, a.x_mm, a.y_mm, b.level_mm, "road", a.row)
    spots[5] = Spot(b.point, b.x_mm, b.y_mm, a.level_mm, "road", b.row)
    road = fit_road(tuple(spots), 2.0, 0.05)
    assert {(g.point, g.row, g.swapped_with) for g in road.gross} == {("P1", 2, "P6"), ("P6", 7, "P1")}
    assert all("points swapped" in g.likely_cause for g in road.gross)


def test_a_reading_on_the_kerbs_top_is_said_to_be_there():
    kerbs = (Spot("K1", 0.0, 700.0, 110.0 + 0.01 * 700, "kerb", 40),)
    spots = ring(SHAPES["plane"], off={3: 55.0}, seed=3)
    wrong = spots[3].level_mm
    road = fit_road(spots, 2.0, 0.05, kerbs=(Spot("K1", 0.0, 700.0, wrong + 2.0, "kerb", 40),))
    assert ["kerb" in g.likely_cause for g in road.gross] == [True]
    assert "kerb" not in fit_road(spots, 2.0, 0.05, kerbs=kerbs).gross[0].likely_cause


def named_within(models, shape, trials=300):
    """How often just the reading that slipped by 10 mm is named, the shape given."""
    right = 0
    for seed in range(trials):
        gross = fit_road(ring(shape, seed=seed, off={seed % 12: 10.0}), 2.0, 0.05, models=models).gross
        right += [g.row for g in gross] == [seed % 12 + 2]
    return right / trials


def test_ten_millimetres_among_twelve_are_named_as_often_as_the_bench_asks():
    assert named_within(("plane",), SHAPES["plane"]) >= 0.87
    assert named_within(("five terms",), lambda x, y: 3e-5 * x * y + 2e-5 * (x * x - y * y)) >= 0.70


def test_without_a_rim_a_ring_well_inside_the_readings_stands_for_it():
    points = inner_ring(np.array([800.0, 0.0, -800.0, 0.0]), np.array([0.0, 800.0, 0.0, -800.0]))
    assert [np.hypot(x, y) for x, y in points] == pytest.approx([560.0] * 24)
