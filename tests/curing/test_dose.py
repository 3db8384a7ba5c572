"""Hardener by the sheet's table."""

import math

import pytest

from truebed.curing.dose import dose_range, hardener_g, require_dose
from truebed.errors import NotDeterminedError
from truebed.sheets.sheet import DoseAt

ROWS = (DoseAt(5.0, 3.0, 5.0, "table 3 row 1"), DoseAt(25.0, 1.0, 2.0, "table 3 row 2"))


def test_the_range_is_the_sheets_own_at_its_rows_and_straight_between():
    assert (dose_range(ROWS, 5.0, "r").least_pct, dose_range(ROWS, 5.0, "r").most_pct) == (3.0, 5.0)
    middle = dose_range(ROWS, 15.0, "r")
    assert (middle.least_pct, middle.most_pct) == (pytest.approx(2.0), pytest.approx(3.5))
    assert middle.place == "table 3 row 1; table 3 row 2"


def test_grams_for_a_batch():
    assert hardener_g(ROWS, 5.0, 4.0, 12.5, "r") == pytest.approx(500.0)


@pytest.mark.parametrize("dose_pct", [1.9, 3.6, -1.0, math.nan])
def test_a_dose_outside_the_table_is_refused_with_both_limits(dose_pct):
    with pytest.raises(NotDeterminedError, match=r"dose outside the table.*2 to 3.5 %"):
        require_dose(ROWS, 15.0, dose_pct, "r")
    with pytest.raises(NotDeterminedError, match="dose outside the table"):
        hardener_g(ROWS, 15.0, dose_pct, 1.0, "r")


def test_a_temperature_or_batch_outside_is_refused():
    with pytest.raises(NotDeterminedError, match="30 °C is outside"):
        dose_range(ROWS, 30.0, "r")
    with pytest.raises(NotDeterminedError, match="batch of 0 kg"):
        hardener_g(ROWS, 5.0, 4.0, 0.0, "r")
    with pytest.raises(NotDeterminedError, match="no dose"):
        dose_range((), 5.0, "r")
