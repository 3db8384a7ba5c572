"""A level net adjusted by least squares in an open survey text: eight lines, four bench marks, two unknown points.

Unweighted (chapter D) and weighted by the number of set-ups (chapter E); printed: elevations, their standard
deviations, that of unit weight, adjusted lines with their errors. The bench marks' elevations stand in a figure that
was not read; they follow from the printed adjusted lines, A, C and D alike from both points. Feet in the text; the
numbers are taken as they are. The text's last digits are not all its own: the unit-weight deviation is printed 0.028,
and the printed lines themselves give 0.029; the weighted elevations differ from ours by 0.0012 and 0.0009. [survey-
text-open]
"""

import numpy as np
import pytest

from truebed.levels.least_squares import equal_weights, fit, shared_weights

MARKS = {"A": 806.520, "B": 818.320, "C": 820.120, "D": 824.040}
#: from, to, rise, set-ups
LINES = (
    ("A", "Q", 8.91, 3), ("B", "Q", -2.92, 2), ("C", "Q", -4.67, 1), ("D", "Q", -8.66, 3),
    ("A", "R", -3.56, 3), ("C", "R", -17.12, 4), ("D", "R", -21.10, 2), ("Q", "R", -12.47, 3),
)  # fmt: skip
PRINTED = {"A-Q": 8.898, "B-Q": -2.902, "C-Q": -4.702, "D-Q": -8.622, "A-R": -3.558, "C-R": -17.158, "D-R": -21.078,
           "Q-R": -12.456}  # fmt: skip


def system():
    table, level = np.zeros((8, 2)), np.zeros(8)
    for i, (start, end, rise, _) in enumerate(LINES):
        table[i, "QR".index(end)] += 1.0
        level[i] = rise + MARKS.get(start, 0.0)
        if start in "QR":
            table[i, "QR".index(start)] -= 1.0
    return table, level


def test_the_bench_marks_that_the_printed_lines_give_agree_from_both_points():
    for mark in "ACD":
        assert 815.418 - PRINTED[f"{mark}-Q"] == pytest.approx(802.962 - PRINTED[f"{mark}-R"], abs=1e-9)
        assert 815.418 - PRINTED[f"{mark}-Q"] == pytest.approx(MARKS[mark], abs=1e-9)


def test_the_unweighted_net_gives_the_printed_elevations_errors_and_lines():
    table, level = system()
    found = fit(table, level, equal_weights(8, 1.0), np.ones(8, dtype=bool))
    assert found.coefficients == pytest.approx([815.418, 802.962], abs=6e-4)
    unit = np.sqrt(found.chi_square_ratio / 6)
    printed = [PRINTED[f"{a}-{b}"] - rise for a, b, rise, _ in LINES]
    assert unit == pytest.approx((np.sum(np.square(printed)) / 6) ** 0.5, rel=1e-3)
    assert unit == pytest.approx(0.028, abs=1.1e-3)
    assert unit * np.sqrt(np.diag(found.covariance)) == pytest.approx([0.013, 0.014], abs=1e-3)
    adjusted = table @ found.coefficients
    for i, (start, end, _, _) in enumerate(LINES):
        assert adjusted[i] - MARKS.get(start, 0.0) == pytest.approx(PRINTED[f"{start}-{end}"], abs=1.1e-3)
    line_errors = unit * np.sqrt(np.einsum("ij,jk,ik->i", table, found.covariance, table))
    assert line_errors == pytest.approx([0.013] * 4 + [0.014] * 3 + [0.017], abs=1e-3)


def test_the_net_weighted_by_set_ups_gives_the_printed_elevations_and_errors():
    table, level = system()
    weights = shared_weights(np.diag([n / 12.0 for _, _, _, n in LINES]))
    found = fit(table, level, weights, np.ones(8, dtype=bool))
    assert found.coefficients == pytest.approx([815.424, 802.958], abs=1.3e-3)
    unit = np.sqrt(found.chi_square_ratio / 6)
    assert unit == pytest.approx(0.067, abs=6e-4)
    assert unit * np.sqrt(np.diag(found.covariance)) == pytest.approx([0.012, 0.016], abs=6e-4)
