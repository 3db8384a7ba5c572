"""A cover lets through what its resistance leaves, and never more than the open air gives."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.boundary import Place, boundary_of
from truebed.curing.protection import passed_w_per_m2_k, protected, protection_note
from truebed.curing.stack import steady_boundary
from truebed.curing.surfaces import weather_data
from truebed.given.night import WeatherHour

DATA = weather_data()


def into(boundary, face_c):
    return boundary.film_w_per_m2_k * (boundary.air_c - face_c) + boundary.flux_w_per_m2


def test_nothing_laid_changes_nothing():
    boundary = steady_boundary(2.0, 20.0, -80.0)
    assert protected(boundary, "none", DATA) is boundary


def test_a_blanket_of_25_mm_of_foam_leaves_what_its_figures_say():
    """25 mm at 0.04 W/mK is 0.625 m2K/W, of which 0.7 is counted on: 0.4375; with a film of 20: 1/(0.05 + 0.4375)."""
    made = protected(steady_boundary(2.0, 20.0, -80.0), "blanket", DATA)
    assert made.film_w_per_m2_k[0] == pytest.approx(1.0 / 0.4875, rel=1e-12)
    assert made.flux_w_per_m2[0] == pytest.approx(-80.0 / 20.0 / 0.4875, rel=1e-12)
    assert made.air_c[0] == 2.0


def test_a_sheet_of_half_a_millimetre_of_air_keeps_two_hundredths_of_resistance():
    assert passed_w_per_m2_k("sheet", DATA) == pytest.approx(50.0, rel=1e-12)
    made = protected(steady_boundary(2.0, 20.0, -80.0), "sheet", DATA)
    assert made.film_w_per_m2_k[0] == pytest.approx(1.0 / 0.07, rel=1e-12)


def test_still_air_without_wind_keeps_its_sky_under_a_cover():
    """With a film of nought the outer face floats: all the flux comes through."""
    made = protected(steady_boundary(2.0, 0.0, -30.0), "blanket", DATA)
    assert (made.film_w_per_m2_k[0], made.flux_w_per_m2[0]) == (0.0, -30.0)


def test_the_face_that_neither_takes_nor_gives_is_the_same_under_a_cover():
    """A cover without heat of its own slows; it does not move where the face would come to rest."""
    open_air = steady_boundary(2.0, 20.0, -80.0)
    rest_c = 2.0 - 80.0 / 20.0
    for kind in ("sheet", "blanket"):
        assert into(protected(open_air, kind, DATA), rest_c)[0] == pytest.approx(0.0, abs=1e-12)


@given(st.floats(0.0, 200.0), st.floats(-150.0, 900.0), st.floats(-20.0, 40.0), st.floats(-20.0, 60.0))
def test_a_cover_gives_heat_the_same_way_and_never_more_of_it(film, flux, air_c, face_c):
    open_air = steady_boundary(air_c, film, flux)
    bare, sheet, blanket = (into(protected(open_air, kind, DATA), face_c)[0] for kind in ("none", "sheet", "blanket"))
    assert sheet * bare >= 0.0
    assert abs(blanket) <= abs(sheet) + 1e-9 <= abs(bare) + 2e-9


def test_rain_on_a_clear_night_takes_less_from_a_covered_face():
    start = datetime(2026, 1, 10, 22, tzinfo=UTC)
    hours = [WeatherHour(start + timedelta(hours=n), 3.0, 2.0, 80.0, 4.0, 1.0, 2.0) for n in range(4)]
    place = Place(53.0, -1.5, 1.0, "iso-6946")
    wet = boundary_of(hours, start, 200.0, place, DATA.surfaces["mortar"], DATA, "weather.csv").boundary
    bare, sheet, blanket = (into(protected(wet, kind, DATA), 12.0) for kind in ("none", "sheet", "blanket"))
    assert np.all(bare < 2.0 * blanket)
    assert np.all(bare < sheet)
    assert np.all(sheet < 2.0 * blanket)
    assert np.all(blanket < 0.0)


def test_a_cover_nobody_knows_is_refused():
    with pytest.raises(ValueError, match="protection 'straw' is not known; known: none, sheet, blanket"):
        protected(steady_boundary(2.0, 20.0, 0.0), "straw", DATA)


def test_what_is_counted_on_is_said_with_its_figures():
    assert protection_note("none", DATA) == ""
    assert "plastic sheet (passes 50 W/m²K)" in protection_note("sheet", DATA)
    note = protection_note("blanket", DATA)
    assert "25 mm at 0.04 W/mK, 70% of it (passes 2.3 W/m²K)" in note
    assert "Without it they do not hold" in note
