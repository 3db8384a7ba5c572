"""What comes out of the hole.

By hand: cut 1100 x 1000, body 640 x 640, flange 800 x 700, wall 900 x 900 (chamber 620 x 620, opening 600 x 600),
bound 100, dig 200, chamber top 180, frame 150 deep, flange 15 thick.
Over the wall, beyond the body: 0.81 - 0.4096 = 0.4004 m2; beside: 1.1 - 0.81 = 0.29 m2; under the body: 0.4096 - 0.3844
= 0.0252 m2; flange beyond the body: 0.56 - 0.4096 = 0.1504 m2.
Bound (0.29 + 0.4004) x 100 = 69.04 l. All: 0.29 x 200 + 0.4004 x 180 + 0.0252 x 30 - 0.1504 x 15 = 128.572 l; unbound
59.532 l. Error 8 mm: 1.64485 x 8 x (0.29 + 0.4004 + 0.0252) = 9.4164 l.
"""

from dataclasses import replace

import numpy as np
import pytest

from truebed.chamber.outlines import Outlines
from truebed.chamber.shapes import circle_ring, rectangle_ring
from truebed.chamber.waste import WasteDepths, WasteRules, waste_areas, waste_of

SIZES = ((600.0, 600.0), (640.0, 640.0), (800.0, 700.0), (900.0, 900.0), (620.0, 620.0), (1100.0, 1000.0))
OUTLINES = Outlines(*(rectangle_ring(*size) for size in SIZES))
DEPTHS = WasteDepths(100.0, 200.0, 180.0, 150.0, 15.0, 8.0)
RULES = WasteRules(2.3, 2.0, 1.5, 100.0, 250.0)


def test_the_worked_example():
    areas = waste_areas(OUTLINES)
    assert (areas.beside_mm2, areas.over_wall_mm2) == pytest.approx((0.29e6, 0.4004e6))
    assert (areas.under_body_mm2, areas.flange_mm2) == pytest.approx((0.0252e6, 0.1504e6))
    waste = waste_of(areas, DEPTHS, RULES)
    assert [(w.layer, w.volume_l) for w in waste.layers] == [
        ("bound", pytest.approx(69.04)), ("unbound", pytest.approx(59.532)),
    ]  # fmt: skip
    assert (waste.volume_l, waste.plus_minus_l) == pytest.approx((128.572, 9.4164), abs=1e-3)
    assert waste.mass_t == pytest.approx((69.04 * 2.3 + 59.532 * 2.0) / 1000.0)
    assert waste.loose_l == pytest.approx(192.858)
    assert waste.load_count == 2  # 192.9 l in loads of 100 l, 278 kg in loads of 250 kg


def test_by_plain_draws_of_points_the_litres_are_the_same():
    rng = np.random.default_rng(11)
    x, y = rng.uniform(-550, 550, 400_000), rng.uniform(-500, 500, 400_000)

    def within(along, across):
        return (np.abs(x) <= along / 2) & (np.abs(y) <= across / 2)

    body, wall, flange, hollow = within(640, 640), within(900, 900), within(800, 700), within(620, 620)
    depth = np.where(~body, np.where(wall, 180.0, 200.0), 0.0) - np.where(flange & ~body, 15.0, 0.0)
    depth += np.where(body & wall & ~hollow, 30.0, 0.0)
    drawn = float(depth.mean()) * 1.1
    assert waste_of(waste_areas(OUTLINES), DEPTHS, RULES).volume_l == pytest.approx(drawn, rel=0.005)


def test_a_frame_shallower_than_the_bound_layers_leaves_its_iron_out_of_them():
    shallow = waste_of(waste_areas(OUTLINES), replace(DEPTHS, bound_mm=145.0), RULES)
    # 10 of the flange's 15 mm lie above 145 mm
    assert shallow.layers[0].volume_l == pytest.approx(0.6904 * 145.0 - 0.1504 * 10.0)


def test_a_dig_that_ends_in_the_bound_layers_has_no_unbound_waste_but_the_old_bed():
    waste = waste_of(waste_areas(OUTLINES), replace(DEPTHS, bound_mm=300.0), RULES)
    assert waste.layers[1].volume_l == pytest.approx(0.756)
    assert waste.volume_l == pytest.approx(128.572)
    assert waste.layers[0].plus_minus_l == pytest.approx(1.64485 * 8.0 * 0.6904, rel=1e-5)
    assert sum(w.plus_minus_l for w in waste.layers) == pytest.approx(waste.plus_minus_l)


def test_what_no_rule_gives_is_not_told():
    waste = waste_of(waste_areas(OUTLINES), DEPTHS, WasteRules())
    assert (waste.mass_t, waste.loose_l, waste.load_count) == (None, None, None)
    assert waste_of(waste_areas(OUTLINES), DEPTHS, WasteRules(bound_kg_per_l=2.3)).mass_t is None
    # a load of so many litres wants the bulking
    assert waste_of(waste_areas(OUTLINES), DEPTHS, WasteRules(2.3, 2.0, None, 100.0, 250.0)).load_count is None
    assert waste_of(waste_areas(OUTLINES), DEPTHS, WasteRules(2.3, 2.0, None, None, 100.0)).load_count == 3


def test_a_round_cut_counts_with_its_own_area_and_a_wall_that_reaches_past_the_cut_only_within_it():
    round_cut = replace(OUTLINES, cut=circle_ring(1300.0), wall=rectangle_ring(1600.0, 1600.0))
    areas = waste_areas(round_cut, np.pi * 650.0**2)
    assert areas.beside_mm2 == pytest.approx(0.0, abs=1.0)
    assert areas.over_wall_mm2 == pytest.approx(np.pi * 650.0**2 - 0.4096e6)
