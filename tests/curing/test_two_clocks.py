"""Two clocks of one layer: edges, the isothermal answers beside them, frost, and the same by other ways."""

import math
from dataclasses import replace

import numpy as np
import pytest

from curing.rime_bed import NIGHT, asked
from truebed.curing.arrhenius import GAS_J_PER_MOL_K, rate_ratio
from truebed.curing.binder import age_to_strength_min
from truebed.curing.calibrate import time_to
from truebed.curing.heat import Want, cure
from truebed.curing.layer_night import outside_of, stack_of
from truebed.curing.time_line import time_at
from truebed.curing.two_clocks import band_of, central_cure, isothermal_ready_min, ready_run, two_clocks
from truebed.errors import NotDeterminedError

RIME = asked()
MILD = replace(NIGHT, base_c=12.0, air_c=12.0)


def central_min(night, key=20.0):
    return two_clocks(replace(night, target_n_per_mm2=key), RIME).ready.central_min


def test_the_edges_hold_the_middle_and_the_answer_is_the_same_at_every_run():
    first, again = two_clocks(NIGHT, RIME), two_clocks(NIGHT, RIME)
    assert first == again
    assert first.ready.early_min < first.ready.central_min < first.ready.late_min
    assert first.life.early_min < first.life.central_min < first.life.late_min
    assert first.life.late_min < first.ready.early_min


def test_the_middle_is_what_the_single_march_of_the_most_probable_curve_gives():
    found = two_clocks(NIGHT, RIME)
    binder = RIME.fitted.binder
    want = Want("layer", "slowest", age_to_strength_min(binder, 20.0))
    stack, outside = stack_of(NIGHT, binder, 0.0, RIME.data), outside_of(NIGHT, RIME.data)
    alone = cure(stack, outside, (want,), guard_n_per_mm2=5.0)
    assert found.ready.central_min == pytest.approx(alone.minutes_min[0], abs=1e-9)
    assert central_cure(NIGHT, RIME, 20.0).minutes_min[0] == pytest.approx(alone.minutes_min[0], abs=1e-9)


def test_the_late_edge_is_that_of_the_draws_marched_one_by_one():
    times = []
    for binder in RIME.fitted.draws(RIME.draws_count):
        want = Want("layer", "slowest", age_to_strength_min(binder, 20.0))
        stack, outside = stack_of(NIGHT, binder, 0.0, RIME.data), outside_of(NIGHT, RIME.data)
        times.append(cure(stack, outside, (want,), guard_n_per_mm2=5.0).minutes_min[0])
    times.sort()
    found = two_clocks(NIGHT, RIME)
    # 5 and 95 % of 64 draws: rank 65 x 0.05, rounded outwards: the third from below and the third from above
    assert found.ready.early_min == pytest.approx(times[2], abs=1e-6)
    assert found.ready.late_min == pytest.approx(times[-3], abs=1e-6)


def test_the_working_life_is_the_lifes_own_law_over_the_fastest_points_temperatures():
    found = two_clocks(NIGHT, RIME)
    binder, line = RIME.fitted.binder, RIME.life
    stack, outside = stack_of(NIGHT, binder, 2.0, RIME.data), outside_of(NIGHT, RIME.data)
    trace = cure(stack, outside, (Want("layer", "slowest", 60.0),), guard_n_per_mm2=5.0).trace
    inside = (trace.depth_mm > 15.0) & (trace.depth_mm < 45.0)
    temps = trace.cell_c[:, inside]
    energy_k = line.activation_j_per_mol / GAS_J_PER_MOL_K
    rates = np.vectorize(lambda temp_c: rate_ratio(temp_c, 20.0, energy_k))(temps)
    steps = np.diff(trace.minutes_min)[:, None]
    used = np.vstack([np.zeros(temps.shape[1]), np.cumsum(steps * (rates[1:] + rates[:-1]) / 2.0, axis=0)])
    ends = [float(np.interp(line.at20_min, used[:, i], trace.minutes_min)) for i in range(temps.shape[1])]
    assert found.life.central_min == pytest.approx(min(ends), abs=0.5)


def test_with_no_difference_of_temperature_and_no_heat_both_clocks_are_the_isothermal_ones():
    binder = replace(RIME.fitted.binder, heat_kj_per_l=1e-9)
    still = replace(RIME, fitted=replace(RIME.fitted, binder=binder))
    # a clouded sky still takes a little heat; a gale holds the iron at the air's temperature all the same
    even = replace(NIGHT, base_c=10.0, air_c=10.0, mix_c=10.0, cloud_share=1.0, wind_m_per_s=60.0)
    found = two_clocks(even, still)
    for one in found.isothermal:
        assert one.ready_min == pytest.approx(time_to(RIME.fitted, 20.0, 10.0).minutes_min)
        assert one.life_min == pytest.approx(time_at(RIME.life, 10.0).minutes_min)
        assert abs(one.ready_off_min) < 2.0
        assert abs(one.life_off_min) < 0.5


def test_isothermal_answers_stand_beside_with_their_differences():
    found = two_clocks(NIGHT, RIME)
    assert [(one.where, one.temp_c) for one in found.isothermal] == [("air", 0.0), ("base", 2.0), ("mix", 12.0)]
    for one in found.isothermal:
        assert one.ready_min == pytest.approx(isothermal_ready_min(RIME.fitted, 20.0, one.temp_c))
        assert one.ready_off_min == pytest.approx(one.ready_min - found.ready.central_min)
        assert one.life_off_min == pytest.approx(one.life_min - found.life.central_min)
    air, _, mix = found.isothermal
    assert air.ready_off_min > 20.0
    assert mix.ready_off_min < -30.0


def test_colder_thinner_windier_and_open_sided_is_later():
    base = central_min(MILD)
    assert central_min(replace(MILD, base_c=8.0)) > base
    assert central_min(replace(MILD, mix_c=8.0)) > base
    assert central_min(replace(MILD, thick_mm=20.0)) > base
    assert central_min(replace(MILD, wind_m_per_s=8.0)) > base
    assert central_min(replace(MILD, cloud_share=1.0)) < base
    assert central_min(replace(NIGHT, strip_mm=100.0)) > central_min(NIGHT) + 10.0
    assert central_min(MILD, 25.0) > base


def test_what_governs_is_named():
    assert two_clocks(NIGHT, RIME).governed == "its top face, under the iron"
    assert two_clocks(replace(MILD, iron_mm=None), RIME).governed == "its top face, open to the air"
    assert two_clocks(replace(MILD, base_c=1.0, air_c=18.0), RIME).governed == "its lower face, on the brick"
    assert "outer edge of the flange" in two_clocks(replace(MILD, strip_mm=100.0), RIME).governed


def test_a_layer_that_freezes_while_weak_is_never_ready():
    found = two_clocks(replace(NIGHT, thick_mm=20.0, base_c=0.0, mix_c=5.0), RIME)
    assert found.frosted_share == 1.0
    assert found.coldest_young_c < 0.0
    assert (found.ready.early_min, found.ready.central_min, found.ready.late_min) == (None, None, None)
    assert found.governed == ""
    assert all(one.ready_off_min is None for one in found.isothermal)
    assert any(note.startswith("frost: in 100%") for note in found.notes)


def test_frost_counts_also_where_the_target_lies_under_the_guards_strength():
    cold = replace(NIGHT, thick_mm=20.0, base_c=0.0, mix_c=5.0, target_n_per_mm2=0.2)
    assert two_clocks(cold, RIME).ready.central_min is None


def test_a_strength_that_few_curves_reach_has_no_latest_time():
    found = two_clocks(replace(MILD, target_n_per_mm2=35.0), RIME)
    assert found.frosted_share == 0.0
    assert found.ready.late_min is None
    assert any("latest ready time not determined" in note for note in found.notes)


def test_fewer_draws_and_what_the_sheet_lacks_are_said():
    few = two_clocks(MILD, replace(RIME, draws_count=16, life=None))
    assert any(note.startswith("16 curves instead of 64") for note in few.notes)
    assert "working life not determined: the sheet gives none" in few.notes
    assert few.life is None
    assert all(one.life_min is None for one in few.isothermal)
    weak = two_clocks(replace(MILD, target_n_per_mm2=2.0), RIME)
    assert any("below the sheet's first datum" in note for note in weak.notes)


def test_the_sheets_limits_are_kept():
    with pytest.raises(NotDeterminedError, match="not allowed by the sheet"):
        two_clocks(replace(NIGHT, air_c=-2.0), RIME)


def test_a_band_takes_the_draw_of_rank_five_in_a_hundred_outwards_and_gives_no_edge_about_no_middle():
    draws = np.arange(1.0, 65.0)
    band = band_of(np.concatenate([[30.0], draws]))
    assert (band.early_min, band.central_min, band.late_min) == (3.0, 30.0, 62.0)
    draws[-3:] = math.inf
    assert band_of(np.concatenate([[30.0], draws])).late_min is None
    assert band_of(np.concatenate([[math.inf], np.ones(64)])).early_min is None


def test_a_batch_of_strengths_never_falls():
    minutes = ready_run(MILD, RIME, (5.0, 10.0, 20.0, 30.0)).minutes
    assert bool(np.all(np.diff(minutes, axis=1) > 0.0))
