"""Rates and equivalent ages: what holds for any activation energy."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.arrhenius import (
    GAS_J_PER_MOL_K,
    activation_of_times_k,
    equivalent_age_min,
    inverse_per_k,
    rate_ratio,
)

temps = st.floats(-20.0, 60.0)
energies = st.floats(1000.0, 9000.0)


@given(temps, energies)
def test_the_rate_is_one_at_the_reference(temp_c: float, energy_k: float) -> None:
    assert rate_ratio(temp_c, temp_c, energy_k) == 1.0


@given(temps, temps, temps, energies)
def test_rates_chain_through_any_third_temperature(a_c: float, b_c: float, c_c: float, energy_k: float) -> None:
    through_ratio = rate_ratio(a_c, b_c, energy_k) * rate_ratio(b_c, c_c, energy_k)
    assert through_ratio == pytest.approx(rate_ratio(a_c, c_c, energy_k), rel=1e-12)


@given(temps, st.floats(0.01, 30.0), energies)
def test_warmer_is_faster(temp_c: float, warmer_c: float, energy_k: float) -> None:
    assert rate_ratio(temp_c + warmer_c, 20.0, energy_k) > rate_ratio(temp_c, 20.0, energy_k)


@given(temps, st.floats(1.0, 30.0), st.floats(1.0, 1000.0), energies)
def test_the_energy_is_found_again_from_two_times(
    temp_c: float, gap_c: float, warm_min: float, energy_k: float
) -> None:
    cold_min = warm_min * rate_ratio(temp_c + gap_c, temp_c, energy_k)
    found_k = activation_of_times_k(temp_c, cold_min, temp_c + gap_c, warm_min)
    assert found_k == pytest.approx(energy_k, rel=1e-9)


def test_a_staged_night_is_the_sum_of_its_stages() -> None:
    # 30 min at 12 °C, 30 min at 8 °C, then 5 °C until 53.012557 min at 20 °C are reached: 33.5 kJ/mol, arithmetic
    energy_k = 33_500.0 / GAS_J_PER_MOL_K
    age_60_min = equivalent_age_min([12.0, 8.0], [30.0, 30.0], 20.0, energy_k)
    assert age_60_min == pytest.approx(37.087233, abs=1e-6)
    total_min = 60.0 + (53.012557 - age_60_min) / rate_ratio(5.0, 20.0, energy_k)
    assert total_min == pytest.approx(93.418388, abs=1e-6)


def test_two_times_an_hour_apart_in_a_resin_give_its_energy() -> None:
    # 60 min at 10 °C and 30 min at 20 °C: E = R ln 2 / (1/283.15 - 1/293.15) = 47.8372395 kJ/mol, by hand
    energy_k = activation_of_times_k(10.0, 60.0, 20.0, 30.0)
    assert energy_k * GAS_J_PER_MOL_K == pytest.approx(47_837.2395, abs=1e-3)


def test_ages_of_lists_that_do_not_match_are_refused() -> None:
    with pytest.raises(ValueError, match="zip"):
        equivalent_age_min([20.0, 20.0], [1.0], 20.0, 4000.0)


def test_a_negative_span_is_refused() -> None:
    with pytest.raises(ValueError, match="cannot be negative"):
        equivalent_age_min([20.0], [-1.0], 20.0, 4000.0)


def test_nothing_is_colder_than_absolute_zero() -> None:
    with pytest.raises(ValueError, match="absolute zero"):
        inverse_per_k(-273.15)
