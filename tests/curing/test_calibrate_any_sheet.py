"""Whatever points a sound sheet gives, the fit answers or refuses in a sentence: no traceback, no warning, no nan."""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st

from curing.sample_sheet import sheet, strengths, times
from truebed.curing.calibrate import fit_sheet, time_to
from truebed.curing.defaults import curing_defaults
from truebed.curing.time_line import fit_times, time_at
from truebed.errors import NotDeterminedError

TEMPS = st.sampled_from((-10.0, 0.0, 5.0, 20.0, 30.0, 45.0))
AGES = st.floats(1e-3, 1e6)
POINTS = st.lists(st.tuples(TEMPS, AGES, st.floats(1e-3, 1e5)), min_size=2, max_size=8)
SETS = st.lists(st.tuples(TEMPS, AGES), max_size=4, unique_by=lambda point: point[0])


@settings(max_examples=60)
@given(POINTS, SETS)
def test_any_points_give_finite_figures_or_a_sentence(
    points: list[tuple[float, float, float]], sets: list[tuple[float, float]]
) -> None:
    one = sheet(strength=strengths(*points), set_=times(*sets), temp_least_c=-20.0, temp_most_c=50.0)
    try:
        fitted = fit_sheet(one, curing_defaults())
        found = time_to(fitted, 0.5 * fitted.last_datum_n_per_mm2, 20.0)
    except NotDeterminedError:
        return
    for value in (found.early_min, found.minutes_min, found.late_min, *(r.fitted_n_per_mm2 for r in fitted.residuals)):
        assert math.isfinite(value)
    assert found.early_min <= found.minutes_min <= found.late_min
    assert len(fitted.draws(16)) == 16


@given(st.lists(st.tuples(TEMPS, AGES), min_size=1, max_size=5, unique_by=lambda point: point[0]))
def test_any_times_give_a_line(points: list[tuple[float, float]]) -> None:
    line = fit_times(times(*points), "resin", "life of x", sheet(temp_least_c=-20.0).limits, curing_defaults())
    found = time_at(line, 10.0)
    assert 0.0 < found.early_min < found.minutes_min < found.late_min < math.inf
