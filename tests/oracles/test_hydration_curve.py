"""A three-parameter hydration curve with one activation energy writes a sheet; the sheet's reader must find the curve.

The curve: S = Su exp(-(tau/te)^b), te the equivalent age at 20 °C; Su 45 N/mm², tau 42 min, b 0.9, 33.5 kJ/mol (assumed
values, from memory). Its isothermal times to 20 N/mm² were worked out apart from this code, in closed form. Between two
points of one activation energy the reader's law is exact, so the table must come out to its last figure.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.between_points import time_to_strength
from truebed.sheets.sheet import StrengthAt

SU, TAU_MIN, B = 45.0, 42.0, 0.9
ENERGY_K = 33_500.0 / 8.314462618


def age_20_min(strength: float) -> float:
    """Equivalent age at 20 °C to a strength, in closed form."""
    return TAU_MIN / math.log(SU / strength) ** (1.0 / B)


def curve_min(strength: float, temp_c: float) -> float:
    """The curve's own isothermal time."""
    return age_20_min(strength) * math.exp(ENERGY_K * (1.0 / (273.15 + temp_c) - 1.0 / 293.15))


def sheet_points(*temps_c: float, levels: tuple[float, ...]) -> tuple[StrengthAt, ...]:
    """What a sheet made from the curve would print."""
    return tuple(StrengthAt(t, curve_min(s, t), s, "curve") for t in temps_c for s in levels)


@pytest.mark.parametrize(
    ("temp_c", "minutes_min"),
    [(0.0, 145.021), (2.0, 130.277), (5.0, 111.244), (10.0, 86.137), (12.0, 77.955), (15.0, 67.291), (20.0, 53.012557)],
)
def test_the_table_of_isothermal_times_comes_out_of_two_temperatures(temp_c: float, minutes_min: float) -> None:
    points = sheet_points(0.0, 20.0, levels=(5.0, 12.0, 20.0, 30.0))
    found = time_to_strength(points, 20.0, temp_c, "strength")[0]
    assert found.minutes_min == pytest.approx(minutes_min, abs=6e-4)


def test_the_energy_of_the_stretch_is_the_curves_own() -> None:
    points = sheet_points(0.0, 20.0, levels=(5.0, 20.0))
    found = time_to_strength(points, 20.0, 12.0, "strength")[0]
    assert found.activation_j_per_mol == pytest.approx(33_500.0, rel=1e-9)


@given(st.floats(0.0, 20.0), st.floats(5.0, 30.0))
def test_between_data_the_reader_stays_near_the_curve_and_shifts_in_time_like_it(temp_c: float, target: float) -> None:
    points = sheet_points(0.0, 20.0, levels=(5.0, 8.0, 12.0, 16.0, 20.0, 25.0, 30.0))
    found_min = time_to_strength(points, target, temp_c, "strength")[0].minutes_min
    assert found_min == pytest.approx(curve_min(target, temp_c), rel=0.02)
    at_20_min = time_to_strength(points, target, 20.0, "strength")[0].minutes_min
    shift_ratio = curve_min(12.0, temp_c) / curve_min(12.0, 20.0)
    assert found_min / at_20_min == pytest.approx(shift_ratio, rel=1e-9)
