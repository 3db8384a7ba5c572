"""Stated probabilities against what is truly right, on made-up ironwork whose true state is known."""

import re
from pathlib import Path

import pytest

from diagnosis.calibration import BINS, calibration

PAGE = (Path(__file__).parents[2] / "docs" / "theory" / "diagnosis.md").read_text("utf-8")


def test_a_stated_probability_is_true_within_six_hundredths_in_every_bin():
    for count, claimed, right in calibration()[0]:
        assert count > 100
        assert right == pytest.approx(claimed, abs=0.06)


def test_what_is_called_nearly_certain_is_right_in_all_but_one_of_a_hundred():
    assert calibration()[0][-1][2] > 0.985


def test_ironwork_that_must_come_out_is_hardly_ever_surely_told_to_stay():
    _, missed, needless = calibration()
    assert missed < 0.01
    assert needless < 0.06


def test_the_docs_hold_the_calibration_within_a_hundredth():
    rows = re.findall(r"^\| \d\.\d\d to \d\.\d\d \| (\d+) \| ([\d.]+) \| ([\d.]+) \|$", PAGE, re.M)
    assert len(rows) == len(BINS)
    for (count, claimed, right), found in zip(rows, calibration()[0], strict=True):
        assert int(count) == pytest.approx(found[0], abs=10)
        assert float(claimed) == pytest.approx(found[1], abs=0.01)
        assert float(right) == pytest.approx(found[2], abs=0.01)
