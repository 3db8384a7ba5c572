"""Two-point calibration of a free-radical resin, E = R ln(t10/t20) / (1/T10 - 1/T20):
60 and 30 minutes give 47.837 kJ/mol.

Form of Arrhenius (textbook); figures worked by hand from the form, not printed anywhere.
"""

import pytest

from truebed.curing.resin import resin_time
from truebed.sheets.sheet import DoseAt, DosedTimeAt

DOSES = (DoseAt(-10.0, 1.0, 6.0, "table 3"), DoseAt(40.0, 1.0, 6.0, "table 3"))


def at(temp_c, after_min):
    return DosedTimeAt(temp_c, 2.0, after_min, "table 4")


def test_the_energy_of_two_points():
    found = resin_time((at(10.0, 60.0), at(20.0, 30.0)), DOSES, 15.0, 2.0, "resin")
    assert found.activation_j_per_mol == pytest.approx(47837.2395, abs=0.01)


@pytest.mark.parametrize(("temp_c", "expected_min"), [(-5.0, 186.98), (0.0, 126.25), (5.0, 86.45), (30.0, 15.70)])
def test_its_times_at_other_temperatures_lie_on_one_line(temp_c, expected_min):
    """With the hand-worked time as an outer point, the enclosed point comes back from the line."""
    inner_c, inner_min = (10.0, 60.0) if temp_c < 10.0 else (20.0, 30.0)
    outer = at(20.0, 30.0) if temp_c < 10.0 else at(10.0, 60.0)
    found = resin_time((at(temp_c, expected_min), outer), DOSES, inner_c, 2.0, "resin")
    assert found.minutes_min == pytest.approx(inner_min, rel=2e-4)
