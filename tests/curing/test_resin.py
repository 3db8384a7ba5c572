"""Gel and cure by temperature and hardener; heat of a lift against a fine slab."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.resin import dose_order, lift_heat, resin_time
from truebed.errors import NotDeterminedError
from truebed.sheets.sheet import DoseAt, DosedTimeAt

DOSES = (DoseAt(0.0, 1.0, 5.0, "t3"), DoseAt(30.0, 1.0, 5.0, "t3"))


def row(temp_c, dose_pct, after_min):
    return DosedTimeAt(temp_c, dose_pct, after_min, "t4")


def law(temp_c, dose_pct, order):
    return 30.0 * math.exp(5000.0 * (1 / (273.15 + temp_c) - 1 / 293.15)) * (dose_pct / 2.0) ** -order


def table(order):
    return tuple(row(t, d, law(t, d, order)) for t in (5.0, 25.0) for d in (2.0, 4.0))


@given(st.floats(0.3, 1.2), st.floats(5, 25), st.floats(1, 5))
def test_a_table_of_one_law_gives_the_law_anywhere_inside(order, temp_c, dose_pct):
    found = resin_time(table(order), DOSES, temp_c, dose_pct, "resin")
    assert found.minutes_min == pytest.approx(law(temp_c, dose_pct, order), rel=1e-9)
    fitted = dose_order(table(order))
    assert fitted.order_ratio == pytest.approx(order)
    assert fitted.residual_sd == pytest.approx(0.0, abs=1e-7)


@given(st.floats(5, 24), st.floats(1, 4))
def test_warmer_or_more_hardener_is_never_slower(temp_c, dose_pct):
    here = resin_time(table(0.7), DOSES, temp_c, dose_pct, "r").minutes_min
    assert resin_time(table(0.7), DOSES, temp_c + 1.0, dose_pct, "r").minutes_min < here
    assert resin_time(table(0.7), DOSES, temp_c, dose_pct + 1.0, "r").minutes_min < here


def test_one_dose_gives_times_at_that_dose_and_no_other():
    single = (row(5.0, 2.0, 60.0), row(25.0, 2.0, 20.0))
    assert dose_order(single) is None
    assert resin_time(single, DOSES, 5.0, 2.0, "r").minutes_min == 60.0
    with pytest.raises(NotDeterminedError, match="3 % is not among them"):
        resin_time(single, DOSES, 15.0, 3.0, "r")


def test_outside_the_doses_or_temperatures_nothing_is_told():
    with pytest.raises(NotDeterminedError, match="dose outside the table"):
        resin_time(table(0.7), DOSES, 15.0, 6.0, "r")
    with pytest.raises(NotDeterminedError, match="2 °C is outside"):
        resin_time(table(0.7), DOSES, 2.0, 2.0, "r")


def test_times_that_grow_with_hardener_are_refused():
    with pytest.raises(NotDeterminedError, match="grow with more hardener"):
        dose_order((row(5.0, 2.0, 20.0), row(5.0, 4.0, 30.0)))


def slab_peak_share(thick_mm, spread_mm2_per_min, reaction_min):
    """Fine finite volumes, base held, top insulated, heat coming as exp(-t/reaction): greatest rise over adiabatic."""
    cells = 60
    step = thick_mm / cells
    matrix = np.zeros((cells, cells))
    for n in range(cells):
        if n > 0:
            matrix[n, n - 1] += 1.0
            matrix[n, n] -= 1.0
        if n < cells - 1:
            matrix[n, n + 1] += 1.0
            matrix[n, n] -= 1.0
    matrix[0, 0] -= 2.0
    matrix *= spread_mm2_per_min / step**2
    span = reaction_min / 200.0
    left = np.linalg.inv(np.eye(cells) - span / 2.0 * matrix)
    right = np.eye(cells) + span / 2.0 * matrix
    rise, peak = np.zeros(cells), 0.0
    for n in range(1600):
        heat = math.exp(-n * span / reaction_min) - math.exp(-(n + 1) * span / reaction_min)
        rise = left @ (right @ rise + heat)
        peak = max(peak, float(rise.max()))
    return peak


@pytest.mark.parametrize("thick_mm", [10.0, 25.0, 60.0])
def test_the_estimate_bounds_the_peak_of_a_fine_slab_and_is_near_it(thick_mm):
    found = lift_heat(thick_mm, 20.0, 200.0, 150.0, 1.8, 0.6, 15.0)
    ours = (found.peak_c - 20.0) / (found.adiabatic_c - 20.0)
    fine = slab_peak_share(thick_mm, 0.6 / 1.8 * 60.0, 15.0)
    assert fine <= ours + 2e-3
    assert ours <= 1.3 * fine


def test_lifts_are_the_fewest_that_stay_below_the_limit():
    found = lift_heat(60.0, 20.0, 60.0, 150.0, 1.8, 0.6, 15.0)
    assert found.lifts_count > 1
    assert lift_heat(found.lift_mm, 20.0, 60.0, 150.0, 1.8, 0.6, 15.0).peak_c <= 60.0
    one_less = 60.0 / (found.lifts_count - 1)
    assert lift_heat(one_less, 20.0, 60.0, 150.0, 1.8, 0.6, 15.0).peak_c > 60.0


def test_heat_of_what_cannot_be_is_refused():
    with pytest.raises(NotDeterminedError, match="above 0"):
        lift_heat(-5.0, 20.0, 60.0, 150.0, 1.8, 0.6, 15.0)
    with pytest.raises(NotDeterminedError, match="let it cool"):
        lift_heat(10.0, 60.0, 60.0, 150.0, 1.8, 0.6, 15.0)
