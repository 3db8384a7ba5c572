"""One stack in time: limits known in closed form, the study's coupled case, heat kept, layers that come later."""

import math
from dataclasses import replace

import numpy as np
import pytest

from curing.heat_samples import COLD, GUARD, MORTAR, night, slowest
from truebed.curing.arrhenius import GAS_J_PER_MOL_K, equivalent_age_min
from truebed.curing.binder import Binder, age_to_strength_min, strength_n_per_mm2
from truebed.curing.heat import Want, cure, kin_row, lay_columns, lay_row, pace_row, refuse_stack
from truebed.curing.heat_grid import FAST, FINE, cells_of
from truebed.curing.stack import Boundary, Layer, Stack, steady_boundary

FROSTY = steady_boundary(0.0, 12.0, -60.0)


@pytest.mark.parametrize(
    ("temp_c", "minutes"),
    [(-2, 161.690), (0, 145.021), (2, 130.277), (5, 111.244), (10, 86.137), (12, 77.955), (15, 67.291), (25, 42.100),
     (30, 33.688), (35, 27.153)],
)  # fmt: skip
def test_without_heat_or_cooling_the_time_is_the_isothermal_one(temp_c, minutes):
    stack = night(mix_c=temp_c, road_c=temp_c, binder=COLD)
    found = cure(stack, steady_boundary(temp_c, 12.0, 0.0), (slowest(COLD),), guard_n_per_mm2=GUARD)
    assert found.minutes_min[0] == pytest.approx(minutes, abs=0.001)


@pytest.mark.parametrize(
    ("start_c", "minutes", "end_c"), [(5, 64.7228068, 32.778), (12, 46.3275455, 39.778), (20, 32.2343612, 47.778)]
)
def test_a_layer_that_keeps_all_its_heat_meets_the_adiabatic_time(start_c, minutes, end_c):
    stack = Stack((Layer("mortar", 30.0, 1.2, 2.0, start_c, MORTAR),))
    shut = steady_boundary(0.0, 0.0, 0.0)
    fine = cure(stack, shut, (slowest(),), guard_n_per_mm2=GUARD, pace=FINE)
    assert fine.minutes_min[0] == pytest.approx(minutes, abs=5e-4)
    assert cure(stack, shut, (slowest(),), guard_n_per_mm2=GUARD).minutes_min[0] == pytest.approx(
        minutes, abs=2.0 / 60.0
    )
    at_end_c = np.interp(minutes, fine.trace.minutes_min, fine.trace.cell_c[:, 3])
    assert at_end_c == pytest.approx(end_c, abs=1e-3)


def test_a_thin_layer_held_at_one_temperature_after_another_ages_by_their_sum():
    stack = Stack((Layer("mortar", 1.0, 1.2, 2.0, 12.0, COLD),))
    times = np.array([0.0, 30.0, 30.001, 60.0, 60.001])
    ages = Boundary(times, np.array([12.0, 12.0, 8.0, 8.0, 5.0]), np.full(5, 1e6), np.zeros(5))
    want = Want("mortar", "slowest", 37.087233)
    found = cure(stack, ages, (want, slowest(COLD)), guard_n_per_mm2=GUARD, pace=FINE)
    assert found.minutes_min == pytest.approx((60.0, 93.418388), abs=0.02)
    energy_k = 33500.0 / GAS_J_PER_MOL_K
    assert equivalent_age_min([12.0, 8.0], [30.0, 30.0], 20.0, energy_k) == pytest.approx(37.087233, abs=1e-6)


def test_the_coupled_night_converges_to_the_studys_minutes_at_second_order():
    times = [
        cure(night(), FROSTY, (slowest(),), guard_n_per_mm2=GUARD, fineness=f, pace=FINE).minutes_min[0]
        for f in (1, 2, 4, 8)
    ]
    steps = np.diff(times)
    assert np.log2(steps[:-1] / steps[1:]) == pytest.approx([2.0, 2.0], abs=0.1)
    assert times[-1] + steps[-1] / 3.0 == pytest.approx(99.240, abs=0.001)
    assert times[-1] == pytest.approx(99.240, abs=0.01)


def test_the_fast_grid_is_within_a_quarter_of_a_minute_of_the_limit():
    assert cure(night(), FROSTY, (slowest(),), guard_n_per_mm2=GUARD).minutes_min[0] == pytest.approx(99.240, abs=0.25)


@pytest.mark.parametrize("steady", [True, False])
def test_heat_in_and_heat_made_is_the_heat_that_is_held(steady):
    hours = np.arange(5.0) * 60.0
    changing = Boundary(
        hours, np.array([9.0, 4, -1, -3, 0]), np.array([12.0, 20, 8, 9, 30]), np.array([99.0, 0, -60, -70, 0])
    )
    trace = cure(night(), FROSTY if steady else changing, (slowest(),), guard_n_per_mm2=GUARD).trace
    left_over = trace.heat_held - trace.heat_held[0] - trace.heat_in - trace.heat_made
    assert np.abs(left_over).max() < 1e-6 * trace.heat_made[-1]
    assert trace.heat_made[-1] > 1e6


def test_the_heat_made_is_what_the_reacted_share_says():
    trace = cure(night(), FROSTY, (slowest(),), guard_n_per_mm2=GUARD, pace=FINE).trace
    cells = cells_of((False, True, False))
    own = cells.layer_of == 1
    shares = np.exp(-((42.0 / trace.cell_age_min[-1][own]) ** 0.9))
    assert trace.heat_made[-1] == pytest.approx(125e6 * 0.03 * np.sum(cells.fractions[own] * shares), rel=1e-6)


def test_the_fastest_point_is_never_after_the_slowest():
    wants = (slowest(), replace(slowest(), point="fastest"))
    late, early = cure(night(), FROSTY, wants, guard_n_per_mm2=GUARD).minutes_min
    assert early < late - 5.0


def test_more_heat_of_reaction_is_never_later():
    times = [
        cure(
            night(binder=replace(MORTAR, heat_kj_per_l=heat)), FROSTY, (slowest(),), guard_n_per_mm2=GUARD
        ).minutes_min[0]
        for heat in (60.0, 90.0, 125.0, 160.0)
    ]
    assert times == sorted(times, reverse=True)


def test_a_layer_placed_later_starts_then_and_warms_what_lies_below():
    concrete = Binder("hyperbola", 40.0, 60.0, 1.0, 10.0, 33500.0, 110.0, 1.6, 2.3)
    later = Stack((Layer("fill", 60.0, 1.6, 2.3, 15.0, concrete, 40.0), *night().layers))
    want = (slowest(), Want("fill", "slowest", 30.0))
    found = cure(later, FROSTY, want, guard_n_per_mm2=GUARD)
    bare = cure(night(), FROSTY, want[:1], guard_n_per_mm2=GUARD)
    at_once = cure(
        Stack((replace(later.layers[0], placed_min=0.0), *night().layers)), FROSTY, want, guard_n_per_mm2=GUARD
    )
    assert at_once.minutes_min[0] < found.minutes_min[0] < bare.minutes_min[0]
    assert found.minutes_min[1] > 40.0 + 20.0
    before = found.trace.minutes_min < 39.999
    assert np.all(found.trace.cell_age_min[before][:, 0] == 0.0)
    held = found.trace.heat_held - found.trace.heat_in - found.trace.heat_made
    assert held == pytest.approx(held[0], rel=1e-9)


def test_an_air_hotter_than_the_mix_shortens_working_life_and_is_told_as_the_hottest_point():
    want = Want("mortar", "fastest", 15.0)
    hot = cure(night(mix_c=25.0, road_c=45.0), steady_boundary(30.0, 12.0, 400.0), (want,), guard_n_per_mm2=GUARD)
    assert hot.minutes_min[0] == pytest.approx(6.3, abs=0.4)
    assert hot.layers[0].hottest_c > 40.0


def test_frost_before_the_guards_strength_is_told():
    hard = cure(night(mix_c=5.0, road_c=-6.0), steady_boundary(-8.0, 20.0, -80.0), (slowest(),), guard_n_per_mm2=GUARD)
    assert hard.layers[0].frosted
    assert hard.layers[0].young_coldest_c < 0.0
    mild = cure(night(), FROSTY, (slowest(),), guard_n_per_mm2=GUARD)
    assert not mild.layers[0].frosted
    assert mild.layers[0].young_coldest_c > 0.0


def test_a_strength_that_is_never_reached_is_no_time():
    found = cure(night(), FROSTY, (slowest(strength=46.0),), guard_n_per_mm2=GUARD, end_min=200.0)
    assert found.minutes_min == (None,)


@pytest.mark.parametrize("form", ["exponential", "hyperbola"])
def test_the_age_of_a_strength_is_where_the_curve_has_it(form):
    binder = Binder(form, 45.0, 42.0, 0.9, 12.0, 33500.0, 125.0, 1.2, 2.0)
    assert strength_n_per_mm2(binder, age_to_strength_min(binder, 20.0)) == pytest.approx(20.0)
    assert age_to_strength_min(binder, 45.0) == math.inf


def test_rows_of_the_kernel_are_in_its_units():
    layer = night().layers[1]
    assert lay_row(layer) == pytest.approx((0.03, 1.2, 2e6, 12.0, 0.0))
    assert kin_row(MORTAR) == pytest.approx((1.0, 2520.0, 0.9, 0.0, 33500.0 / GAS_J_PER_MOL_K, 125e6))
    assert kin_row(None) == (0.0,) * 6
    assert pace_row(FAST, 10.0)[-1] == 600.0
    assert lay_columns(night()).shape == (1, 3, 10)


def test_what_cannot_be_computed_is_refused_with_a_sentence():
    good = night()
    with pytest.raises(ValueError, match="mortar: thickness"):
        refuse_stack(night(bed_mm=-30.0), FROSTY, ())
    with pytest.raises(ValueError, match="lowest layer"):
        refuse_stack(replace(good, layers=(*good.layers[:2], replace(good.layers[2], placed_min=5.0))), FROSTY, ())
    with pytest.raises(ValueError, match="must grow"):
        refuse_stack(good, Boundary(*(np.array([1.0, 0.0]),) * 4), ())
    with pytest.raises(ValueError, match="at each"):
        refuse_stack(good, Boundary(np.array([0.0]), np.array([math.nan]), np.array([1.0]), np.array([1.0])), ())
    with pytest.raises(ValueError, match="gravel is no layer"):
        refuse_stack(good, FROSTY, (Want("gravel", "slowest", 5.0),))
