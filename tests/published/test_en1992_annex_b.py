"""EN 1992-1-1:2004, Annex B, expression (B.10): temperature-adjusted age, tT = sum exp(13.65 - 4000/(273 + T)) dt.

The expression is a published one; its factors below are worked out from it to four figures, not printed in it. It takes
0 °C for 273 K, and its factor is 1 not at 20 °C but where 13.65 = 4000/(273 + T), that is at 20.04 °C.
Second table: the same form with 41.5 kJ/mol (ASTM C1074's equivalent age, from memory), referred to 20 °C and to 23 °C.
"""

from __future__ import annotations

import pytest

from truebed.curing.arrhenius import GAS_J_PER_MOL_K, equivalent_age_min, rate_ratio

ANNEX_K = 4000.0
#: The annex's kelvin is 0.15 short; the same shift on both temperatures makes the two scales one.
SHIFT_C = 273.0 - 273.15
REFERENCE_C = ANNEX_K / 13.65 - 273.0

FACTORS = [
    (0.0, 0.3671),
    (5.0, 0.4778),
    (10.0, 0.6161),
    (15.0, 0.7875),
    (20.0, 0.9981),
    (25.0, 1.2551),
    (30.0, 1.5662),
    (35.0, 1.9406),
    (40.0, 2.3880),
]


@pytest.mark.parametrize(("temp_c", "factor"), FACTORS)
def test_the_annexs_factors_come_out_to_their_last_figure(temp_c: float, factor: float) -> None:
    assert rate_ratio(temp_c + SHIFT_C, REFERENCE_C + SHIFT_C, ANNEX_K) == pytest.approx(factor, abs=5.1e-5)


@pytest.mark.parametrize(("temp_c", "factor"), FACTORS)
def test_the_short_kelvin_moves_a_factor_by_less_than_a_quarter_per_cent(temp_c: float, factor: float) -> None:
    assert rate_ratio(temp_c, REFERENCE_C, ANNEX_K) == pytest.approx(factor, rel=0.0025)


def test_a_history_of_three_temperatures_adds_up_to_its_adjusted_age() -> None:
    day_min = 24.0 * 60.0
    temps_c = [temp_c + SHIFT_C for temp_c in (10.0, 15.0, 5.0)]
    age_min = equivalent_age_min(temps_c, [1.0 * day_min, 2.0 * day_min, 4.0 * day_min], REFERENCE_C + SHIFT_C, ANNEX_K)
    assert age_min / day_min == pytest.approx(4.102, abs=5e-4)


@pytest.mark.parametrize(
    ("temp_c", "reference_c", "factor"),
    [
        (0.0, 20.0, 0.2874),
        (5.0, 20.0, 0.3992),
        (10.0, 20.0, 0.5481),
        (15.0, 20.0, 0.7442),
        (25.0, 20.0, 1.3305),
        (30.0, 20.0, 1.7536),
        (40.0, 20.0, 2.9668),
        (5.0, 23.0, 0.3360),
        (10.0, 23.0, 0.4612),
        (20.0, 23.0, 0.8416),
        (30.0, 23.0, 1.4758),
    ],
)
def test_equivalent_age_with_41_5_kj_per_mol(temp_c: float, reference_c: float, factor: float) -> None:
    # the table was worked out with R = 8.314 J/(mol K): its last figure may differ by two
    assert rate_ratio(temp_c, reference_c, 41_500.0 / GAS_J_PER_MOL_K) == pytest.approx(factor, abs=2.1e-4)
