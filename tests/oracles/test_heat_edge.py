"""The stack's edge loss against the section in two directions (coarse here; converged in docs/theory/heat.md)."""

import pytest

from curing.heat_samples import GUARD, MORTAR, slowest
from truebed.curing.binder import Binder
from truebed.curing.edge_loss import columns_of
from truebed.curing.flange_section import Flange, flange_stack, flange_times
from truebed.curing.heat import Want, cure
from truebed.curing.section_2d import Around
from truebed.curing.stack import steady_boundary

FILL = Binder("exponential", 40.0, 60.0, 0.9, 0.0, 33500.0, 90.0, 1.6, 2.3)
NIGHT = Around(-2.0, 12.0, -60.0, 6.0, 5.0)


@pytest.mark.parametrize("fill", [None, FILL], ids=["open", "filled"])
@pytest.mark.parametrize("bed_mm", [20.0, 50.0])
@pytest.mark.parametrize("mix_c", [5.0, 20.0])
def test_the_edge_column_is_within_five_minutes_of_the_section(fill, bed_mm, mix_c):
    flange = Flange(bed_mm, mix_c, 2.0, MORTAR, 0.8, 1.445, fill)
    section = flange_times(flange, NIGHT, slowest().age_min, first_mm=1.0)
    want = Want("bed", "slowest", slowest().age_min)
    found = cure(flange_stack(flange, NIGHT), steady_boundary(-2.0, 12.0, -60.0), (want,), guard_n_per_mm2=GUARD)
    assert found.minutes_min[0] == pytest.approx(section.slowest_min, abs=5.0)


WEATHER = {
    "hot": (Around(28.0, 12.0, 400.0, 18.0, 5.0), 45.0, 25.0),
    "windy": (Around(2.0, 30.0, -40.0, 8.0, 5.0), 6.0, 10.0),
}


@pytest.mark.parametrize("fill", [None, FILL], ids=["open", "filled"])
@pytest.mark.parametrize("weather", WEATHER)
def test_in_other_weather_too_and_working_life_with_it(fill, weather):
    around, road_c, mix_c = WEATHER[weather]
    flange = Flange(30.0, mix_c, road_c, MORTAR, 0.8, 1.445, fill)
    wants = (Want("bed", "slowest", slowest().age_min), Want("bed", "fastest", 15.0))
    air = steady_boundary(around.outer_c, around.outer_film_w_per_m2_k, around.flux_w_per_m2)
    found = cure(flange_stack(flange, around), air, wants, guard_n_per_mm2=GUARD)
    assert found.minutes_min[0] == pytest.approx(
        flange_times(flange, around, wants[0].age_min, first_mm=1.0).slowest_min, abs=5.0
    )
    assert found.minutes_min[1] == pytest.approx(
        flange_times(flange, around, wants[1].age_min, first_mm=1.0).fastest_min, abs=0.5
    )


def test_without_an_edge_there_is_one_column_and_with_one_there_are_three():
    flange = Flange(30.0, 12.0, 2.0, MORTAR, 0.8, 1.445)
    stack = flange_stack(flange, NIGHT)
    middle, outer, inner = columns_of(stack)
    assert len(columns_of(type(stack)(stack.layers))) == 1
    assert middle[1][1] == (0.0, 0.0, 0.0, 0.0, 0.0)
    assert outer[1][1][3] == pytest.approx(12.0 / (1.2 * 2e6) ** 0.5)
    assert inner[1][1][3] == pytest.approx(5.0 / (1.2 * 2e6) ** 0.5)
    assert inner[1][1][4] == 6.0
