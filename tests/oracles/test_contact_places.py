"""The search over a tyre's places against every place of a fine grid tried one by one, and by symmetry."""

import numpy as np
import pytest

from truebed.chamber.shapes import outline_ring, polygon
from truebed.curing.contact import bed_of, peak_n_per_mm2
from truebed.curing.tyre import Tyre, load_on_iron, tyre_demand

LM2, LM1 = Tyre("load model 2", 200.0, 350.0, 600.0), Tyre("load model 1", 150.0, 400.0, 400.0)
CASES = {
    "square": ("rectangle", (830, 830), (620, 620), (700, 700), 0.0),
    "box": ("rectangle", (1330, 560), (1200, 440), (1240, 500), 0.0),
    "turned": ("rectangle", (760, 560), (700, 500), (730, 530), 30.0),
    "round": ("round", (830, 830), (620, 620), (700, 700), 0.0),
    "small": ("rectangle", (450, 450), (300, 300), (400, 400), 0.0),
    "D": ("D", (800, 700), (600, 500), (680, 580), 12.0),
}


def made(name):
    shape, flange, opening, body, turn = CASES[name]
    rings = [outline_ring(shape, float(a), float(b), turn) for a, b in (flange, opening, body)]
    return bed_of(polygon(rings[0]).difference(polygon(rings[1]))), rings[2]


@pytest.mark.parametrize("tyre", [LM2, LM1], ids=lambda t: t.name)
@pytest.mark.parametrize("name", CASES)
def test_no_place_of_a_fine_grid_presses_more_than_the_search_found(name, tyre):
    bed, iron = made(name)
    found = tyre_demand(bed, iron, tyre)
    reach = np.abs(np.array(iron)).max(axis=0) + np.array([tyre.along_mm, tyre.across_mm]) / 2
    most = 0.0
    for x in np.linspace(-reach[0], reach[0], 81):
        for y in np.linspace(-reach[1], reach[1], 81):
            load = load_on_iron(iron, tyre, x, y)
            most = max(most, peak_n_per_mm2(bed, load.load_n, load.x_mm, load.y_mm))
    assert found.peak_n_per_mm2 >= most * (1 - 1e-4)
    assert found.peak_n_per_mm2 <= most * 1.02
    assert most <= found.ceiling_n_per_mm2 <= found.peak_n_per_mm2 * 1.0201


def test_mirror_places_press_alike():
    bed, iron = made("box")
    found = tyre_demand(bed, iron, LM2)
    for sx, sy in ((-1, 1), (1, -1), (-1, -1)):
        load = load_on_iron(iron, LM2, sx * found.at_x_mm, sy * found.at_y_mm)
        assert peak_n_per_mm2(bed, load.load_n, load.x_mm, load.y_mm) == pytest.approx(found.peak_n_per_mm2, rel=1e-9)
