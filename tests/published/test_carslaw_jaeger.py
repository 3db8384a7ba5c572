"""H. S. Carslaw and J. C. Jaeger, Conduction of Heat in Solids, 2nd edition: contact of two bodies, slab, half space
cooled through a film, periodic surface (forms from memory; values here by their formulas)."""

import math

import numpy as np
import pytest

from curing.heat_samples import GUARD
from truebed.curing.binder import Binder
from truebed.curing.heat import cure
from truebed.curing.heat_grid import FINE, Pace
from truebed.curing.stack import Boundary, Layer, Stack, steady_boundary


def body(conduct, store):
    """Something that conducts, gives no heat, and has its cells graded towards both faces."""
    return Binder("exponential", 45.0, 42.0, 0.9, 0.0, 33500.0, 0.0, conduct, store)


def layer(name, thick, conduct, store, start):
    return Layer(name, thick, conduct, store, start, body(conduct, store))


@pytest.mark.parametrize(
    ("upper", "lower", "contact"),
    [((50.0, 3.312, 2.0), (1.2, 2.0, 20.0), 3.9341063), ((0.8, 1.445, 2.0), (1.2, 2.0, 20.0), 12.6255996),
     ((0.8, 1.445, 2.0), (1.2, 2.0, 12.0), 7.9031107)],
)  # fmt: skip
def test_two_bodies_that_meet_take_the_contact_temperature(upper, lower, contact):
    stack = Stack((layer("a", 2000.0, *upper), layer("b", 2000.0, *lower)))
    found = cure(stack, steady_boundary(0.0, 0.0, 0.0), (), guard_n_per_mm2=GUARD, end_min=60.0, fineness=8, pace=FINE)
    assert found.trace.face_c[0, 1] == pytest.approx(contact, abs=1e-6)
    assert found.trace.face_c[-1, 1] == pytest.approx(contact, abs=2e-3)


def test_a_stack_left_for_weeks_takes_the_temperatures_of_its_resistances():
    parts = (("asphalt", 40.0, 0.9, 1.932), ("concrete", 60.0, 1.6, 2.3), ("iron", 15.0, 50.0, 3.312),
             ("mortar", 30.0, 1.2, 2.0), ("brick", 500.0, 0.8, 1.445))  # fmt: skip
    stack = Stack(tuple(layer(*p, 20.0) for p in parts), below_c=8.0)
    pace = Pace(60.0, 1.5, 36000.0, 1e9, 1000000)
    found = cure(stack, steady_boundary(0.0, 12.0, 0.0), (), guard_n_per_mm2=GUARD, end_min=60000.0, pace=pace)
    resistance = 1 / 12 + sum(thick / 1000 / conduct for _, thick, conduct, _ in parts)
    assert resistance == pytest.approx(0.8155778, abs=1e-7)
    assert found.trace.face_c[-1, [0, 6, 7]] == pytest.approx([0.8174164, 1.6241520, 1.8693769], abs=1e-6)
    assert 12.0 * found.trace.face_c[-1, 0] == pytest.approx(9.808997, abs=1e-5)


@pytest.mark.parametrize(("minutes", "share"), [(10.0, 0.3073824919), (20.0, 0.0742081281)])
def test_the_middle_of_a_slab_between_held_faces_cools_as_the_series_says(minutes, share):
    stack = Stack((layer("slab", 50.0, 1.2, 2.0, 1.0),), below_c=0.0)
    found = cure(
        stack, steady_boundary(0.0, 1e9, 0.0), (), guard_n_per_mm2=GUARD, end_min=minutes, fineness=16, pace=FINE
    )
    middle = found.trace.cell_c.shape[1] // 2
    assert found.trace.cell_c[-1, middle - 1 : middle + 1].mean() == pytest.approx(share, abs=3e-4)


def test_a_half_space_cooled_through_a_film_follows_the_error_functions():
    stack = Stack((layer("ground", 3000.0, 1.0, 2.0, 1.0),))
    found = cure(
        stack, steady_boundary(0.0, 12.0, 0.0), (), guard_n_per_mm2=GUARD, end_min=60.0, fineness=16, pace=FINE
    )
    root, reach = 12.0 * math.sqrt(3600.0 / 2e6), 0.03 / 2.0 / math.sqrt(5e-7 * 3600.0)
    cooled = math.erfc(reach) - math.exp(12.0 * 0.03 + root**2) * math.erfc(reach + root)
    assert 1.0 - math.exp(root**2) * math.erfc(root) == pytest.approx(0.388954, abs=1e-6)
    assert cooled == pytest.approx(0.203860, abs=1e-6)
    assert 1.0 - found.trace.face_c[-1, 0] == pytest.approx(0.388954, abs=3e-4)
    assert 1.0 - np.interp(30.0, found.trace.depth_mm, found.trace.cell_c[-1]) == pytest.approx(cooled, abs=3e-4)


def test_the_days_wave_in_asphalt_falls_and_lags_as_the_formula_says():
    day_s = 86400.0
    minutes = np.arange(0.0, 12.0 * 1440.0, 10.0)
    wave = Boundary(minutes, np.sin(2 * np.pi * minutes / 1440.0), np.full(minutes.size, 1e9), np.zeros(minutes.size))
    stack = Stack((layer("asphalt", 1500.0, 0.9, 1.932, 0.0),))
    pace = Pace(2.0, 1.3, 300.0, 1e9, 4)
    trace = cure(stack, wave, (), guard_n_per_mm2=GUARD, end_min=11.9 * 1440.0, fineness=6, pace=pace).trace
    late = trace.minutes_min > 10.0 * 1440.0
    at_100 = np.array([np.interp(100.0, trace.depth_mm, row) for row in trace.cell_c[late]])
    angle = 2 * np.pi * trace.minutes_min[late] / 1440.0
    (a, b, _), *_ = np.linalg.lstsq(np.column_stack([np.sin(angle), np.cos(angle), np.ones_like(angle)]), at_100)
    depth = math.sqrt(2 * 0.9 / 1.932e6 / (2 * math.pi / day_s))
    assert depth == pytest.approx(0.1131878, abs=1e-7)
    assert math.hypot(a, b) == pytest.approx(0.4133389, abs=2e-3)
    assert math.atan2(-b, a) / (2 * math.pi) * 24.0 == pytest.approx(3.37467, abs=0.03)
