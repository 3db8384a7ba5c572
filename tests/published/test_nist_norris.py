"""NIST Statistical Reference Datasets, linear regression, dataset Norris (36 points, certified values).

Data and certified values as listed in the project's check page: b0, b1 and the residual sum of squares there were
confirmed by an independent re-fit. [nist-strd]
"""

import numpy as np
import pytest

from truebed.levels.least_squares import fit

Y = """.1 338.8 118.1 888 9.2 228.1 668.5 998.5 449.1 778.9 559.2 .3 .1 778.1 668.8 339.3 448.9 10.8 557.7 228.3 998
888.8 119.6 .3 .6 557.6 339.3 888 998.5 778.9 10.2 117.6 228.9 668.4 449.2 .2"""
X = """.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777 558.2 .4 .6 775.5 666.9 338 447.5 11.6 556 228.1 995.8
887.6 120.2 .3 .3 556.8 339.1 887.2 999 779 11.1 118.3 229.2 669.1 448.9 .5"""
B0, B0_SE = -0.262323073774029, 0.232818234301152
B1, B1_SE = 1.00211681802045, 4.29796848199937e-4
RESIDUAL_SUM = 26.6173985294224


@pytest.fixture
def norris():
    y, x = np.array(Y.split(), float), np.array(X.split(), float)
    table = np.column_stack([np.ones_like(x), x])
    sd = np.sqrt(RESIDUAL_SUM / 34)
    return fit(table, y, sd, np.ones(36, dtype=bool))


def test_the_coefficients_are_the_certified_ones(norris):
    assert norris.coefficients[0] == pytest.approx(B0, rel=1e-10)
    assert norris.coefficients[1] == pytest.approx(B1, rel=1e-12)


def test_the_residual_sum_of_squares_is_the_certified_one(norris):
    assert np.sum(norris.residual_mm**2) == pytest.approx(RESIDUAL_SUM, rel=1e-11)


def test_the_standard_errors_are_the_certified_ones(norris):
    errors = np.sqrt(np.diag(norris.covariance))
    assert errors[0] == pytest.approx(B0_SE, rel=1e-10)
    assert errors[1] == pytest.approx(B1_SE, rel=1e-10)
