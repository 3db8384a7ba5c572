"""A generic dew-point chart for coatings (read, undated), and the two printed outputs of a worked evaporation (a
concrete journal's questions and answers: 0.24 lb/ft2/h and 1.15 kg/m2/h; the inputs are from memory
and give both outputs).

The chart is in whole degrees Fahrenheit; it is held to 1.5 degF, the width of its rounding and of its own formula.
"""

import pytest

from truebed.curing.dew import dew_check, dew_point_c
from truebed.curing.evaporation import evaporation_kg_per_m2_h
from truebed.curing.surfaces import weather_data

DATA = weather_data()
CHART = [(50, 65, 38), (60, 80, 54), (70, 65, 57), (80, 50, 59), (90, 90, 87), (100, 40, 71), (110, 75, 100)]


def c_of(temp_f):
    return (temp_f - 32.0) / 1.8


@pytest.mark.parametrize(("air_f", "humidity_pct", "dew_f"), CHART)
def test_the_dew_point_is_the_charts(air_f, humidity_pct, dew_f):
    assert dew_point_c(c_of(air_f), humidity_pct, DATA) * 1.8 + 32.0 == pytest.approx(dew_f, abs=1.5)


def test_the_charts_example_of_the_least_face():
    check = dew_check(c_of(64.0), c_of(70.0), 65.0, DATA)
    assert check.least_face_c * 1.8 + 32.0 == pytest.approx(62.0, abs=1.5)
    assert check.allowed


def test_twenty_degrees_at_half_humidity_wants_a_face_of_twelve():
    check = dew_check(12.3, 20.0, 50.0, DATA)
    assert check.dew_point_c == pytest.approx(9.26, abs=0.01)
    assert check.least_face_c == pytest.approx(12.26, abs=0.01)
    assert (check.allowed, check.advice) == (True, "dew-clear")
    assert dew_check(12.2, 20.0, 50.0, DATA).advice == "dew-warm-the-face"
    assert dew_check(9.2, 20.0, 50.0, DATA).advice == "dew-lies-on-it"


def test_the_worked_evaporation_in_both_sets_of_units():
    assert evaporation_kg_per_m2_h(31.0, 27.0, 50.0, 19.0 / 3.6) == pytest.approx(1.152, abs=0.001)
    foot_pounds = (87.0**2.5 - 0.5 * 80.0**2.5) * (1.0 + 0.4 * 12.0) * 1e-6
    assert foot_pounds == pytest.approx(0.2435, abs=0.0001)
    ours = evaporation_kg_per_m2_h(c_of(87.0), c_of(80.0), 50.0, 12.0 * 0.44704) * 0.204816
    assert ours == pytest.approx(foot_pounds, rel=0.05)
