"""NIST Statistical Reference Datasets, linear regression: Norris, Pontius, NoInt1 and Wampler1, certified values.

Norris as listed in the project's check page (b0, b1 and the residual sum of squares there were confirmed by a re-fit).
Pontius (quadratic, 40 points), NoInt1 (no constant term, 11 points) and Wampler1 (fifth degree, 21 points) as printed
alike in several public test suites of numerical libraries. [nist-strd]
"""

import numpy as np
import pytest

from truebed.levels.least_squares import equal_weights, fit

NORRIS_Y = """
.1 338.8 118.1 888 9.2 228.1 668.5 998.5 449.1 778.9 559.2 .3 .1 778.1 668.8 339.3 448.9 10.8 557.7 228.3 998
888.8 119.6 .3 .6 557.6 339.3 888 998.5 778.9 10.2 117.6 228.9 668.4 449.2 .2
"""
NORRIS_X = """
.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777 558.2 .4 .6 775.5 666.9 338 447.5 11.6 556 228.1 995.8
887.6 120.2 .3 .3 556.8 339.1 887.2 999 779 11.1 118.3 229.2 669.1 448.9 .5
"""
PONTIUS_Y = """
.11019 .21956 .32949 .43899 .54803 .65694 .76562 .87487 .98292 1.09146 1.20001 1.30822 1.41599 1.52399 1.63194
1.73947 1.84646 1.95392 2.06128 2.16844 .11052 .22018 .32939 .43886 .54798 .65739 .76596 .87474 .98300 1.09150
1.20004 1.30818 1.41613 1.52408 1.63159 1.73965 1.84696 1.95445 2.06177 2.16829
"""
WAMPLER_Y = """
1 6 63 364 1365 3906 9331 19608 37449 66430 111111 177156 271453 402234 579195 813616 1118481 1508598 2000719
2613660 3368421
"""


def numbers(text):
    return np.array(text.split(), float)


def powers(x, degree):
    return np.column_stack([x**k for k in range(degree + 1)])


#: table, y, coefficients, their standard errors, residual sum of squares, digits asked of coefficients and errors
SETS = {
    "Norris": (
        powers(numbers(NORRIS_X), 1), numbers(NORRIS_Y), (-0.262323073774029, 1.00211681802045),
        (0.232818234301152, 4.29796848199937e-4), 26.6173985294224, 1e-10, 1e-10,
    ),
    "Pontius": (
        powers(np.tile(np.arange(150000.0, 3000001.0, 150000.0), 2), 2), numbers(PONTIUS_Y),
        (0.673565789473684e-3, 0.732059160401003e-6, -0.316081871345029e-14),
        (0.107938612033077e-3, 0.157817399981659e-9, 0.486652849992036e-16), 0.155761768796992e-5, 1e-9, 1e-9,
    ),
    "NoInt1": (
        np.arange(60.0, 71.0)[:, None], np.arange(130.0, 141.0), (2.07438016528926,), (0.165289256198347e-1,),
        127.272727272727, 1e-13, 1e-11,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", list(SETS))
def test_coefficients_errors_and_residuals_are_the_certified_ones(name):
    table, y, coefficients, errors, squares, rel, error_rel = SETS[name]
    freedom = len(y) - table.shape[1]
    found = fit(table, y, equal_weights(len(y), np.sqrt(squares / freedom)), np.ones(len(y), dtype=bool))
    assert found.coefficients == pytest.approx(coefficients, rel=rel)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx(errors, rel=error_rel)
    assert np.sum(found.residual_mm**2) == pytest.approx(squares, rel=1e-8)
    assert found.chi_square_ratio == pytest.approx(freedom, rel=1e-8)


def test_the_fifth_degree_of_wampler1_comes_out_with_all_coefficients_one():
    y = numbers(WAMPLER_Y)
    found = fit(powers(np.arange(21.0), 5), y, equal_weights(21, 1.0), np.ones(21, dtype=bool))
    assert found.coefficients == pytest.approx(np.ones(6), rel=1e-8)
    assert np.max(np.abs(found.residual_mm)) < 1e-7
