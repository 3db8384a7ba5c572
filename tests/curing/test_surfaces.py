"""Figures of weather: every one has its source, and the rows say what the tables say."""

import pytest

from truebed.curing.surfaces import figure_of, weather_data
from truebed.sources import READ_AS, known_sources


def test_every_figure_surface_and_material_says_where_it_is_from():
    data = weather_data()
    rows = [*data.figures.values(), *data.surfaces.values(), *data.materials.values()]
    assert all(row.source and row.read_as in READ_AS for row in rows)
    keys = {row.source for row in rows if " " not in row.source and row.source != "house"}
    assert keys <= set(known_sources())


def test_rows_of_the_design_values():
    stored = weather_data().materials
    assert (stored["cast-iron"].conduct_w_per_m_k, stored["cast-iron"].store_kj_per_l_k) == (50.0, pytest.approx(3.375))
    assert (stored["asphalt"].conduct_w_per_m_k, stored["asphalt"].store_kj_per_l_k) == (0.7, pytest.approx(2.1))
    assert stored["concrete-high"].store_kj_per_l_k == pytest.approx(2.4)


def test_a_figure_is_told_with_its_source_and_a_row_without_one_is_refused():
    assert "common-practice" in weather_data().figures["frost_safe_n_per_mm2"].sentence()
    with pytest.raises(KeyError, match="source"):
        figure_of({"name": "a", "value": 1})
