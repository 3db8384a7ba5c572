"""A tyre on the iron: the standard's contacts, the part that the frame bears, the worst place, the packaged wheels."""

import math

import pytest

from truebed.chamber.shapes import circle_ring, polygon, rectangle_ring
from truebed.curing.contact import bed_of, contact
from truebed.curing.tyre import (
    Tyre,
    TyreLoad,
    ground_pressure_n_per_mm2,
    load_on_iron,
    tyre_demand,
    tyre_why,
    tyres_of,
    with_own_weight,
    worst_tyre,
)
from truebed.errors import NotDeterminedError
from truebed.rules.load import load_rule_set
from truebed.rules.packaged import packaged_rules
from truebed.rules.ruleset import RuleSet, RuleValue

LM2 = Tyre("load model 2", 200.0, 350.0, 600.0)
IRON = rectangle_ring(700.0, 700.0)
RING = polygon(rectangle_ring(830.0, 830.0)).difference(polygon(rectangle_ring(620.0, 620.0)))


def packaged():
    rules, faults = load_rule_set("uk", {}, packaged_rules())
    assert rules is not None
    assert faults == ()
    return rules


def test_the_packaged_wheels_press_the_road_as_the_check_page_says():
    # check page, sections 4 and 11 #29: LM1 0.9375, LM2 0.9524, LM2 on 0.40 x 0.40 1.25 N/mm2
    wheels = {tyre.name: tyre for tyre in tyres_of(packaged(), "cover", "carriageway", "D400")}
    assert ground_pressure_n_per_mm2(wheels["load model 1"]) == pytest.approx(0.9375)
    assert ground_pressure_n_per_mm2(wheels["load model 2"]) == pytest.approx(0.9524, abs=5e-5)
    assert ground_pressure_n_per_mm2(wheels["load model 2, national contact"]) == pytest.approx(1.25)
    assert (wheels["load model 2"].along_mm, wheels["load model 2"].across_mm) == (350.0, 600.0)
    assert "memory-medium" in wheels["load model 2, national contact"].source


def test_a_footway_has_no_wheel_of_the_packaged_set():
    assert tyres_of(packaged(), "cover", "footway", "B125") == ()
    with pytest.raises(NotDeterminedError, match="no wheel"):
        worst_tyre([])


def test_a_wheel_with_half_a_contact_is_not_determined():
    values = [("wheel_load_kn", 200.0, "kn"), ("lm2_tyre_along_mm", 350.0, "mm")]
    rules = RuleSet("own", "own", tuple(RuleValue(n, v, u, (), "house", "c", "1", "assumption") for n, v, u in values))
    with pytest.raises(NotDeterminedError, match="lm2_tyre_across_mm"):
        tyres_of(rules, "cover")


def test_a_tyre_wholly_on_the_iron_gives_its_whole_load_at_its_middle():
    load = load_on_iron(IRON, LM2, 100.0, -40.0)
    assert (load.load_n, load.x_mm, load.y_mm) == pytest.approx((200000.0, 100.0, -40.0))


def test_a_tyre_half_beside_the_iron_gives_half_its_load_at_the_middle_of_that_half():
    load = load_on_iron(IRON, LM2, 350.0, 0.0)
    assert (load.load_n, load.x_mm, load.y_mm) == pytest.approx((100000.0, 350.0 - 175.0 / 2, 0.0))
    corner = load_on_iron(IRON, LM2, 350.0, 350.0)
    assert (corner.load_n, corner.x_mm, corner.y_mm) == pytest.approx((50000.0, 262.5, 200.0))


def test_a_tyre_over_a_small_cover_loads_it_by_the_covers_own_area():
    load = load_on_iron(circle_ring(200.0), LM2, 10.0, 20.0)
    assert load.load_n == pytest.approx(200000.0 * math.pi * 100.0**2 / 210000.0)
    assert (load.x_mm, load.y_mm) == pytest.approx((0.0, 0.0), abs=1e-9)


@pytest.mark.parametrize("at", [(525.0, 0.0), (600.0, 0.0), (0.0, 651.0)])
def test_a_tyre_beside_the_iron_gives_nothing(at):
    assert load_on_iron(IRON, LM2, *at).load_n == 0.0


def test_own_weight_pulls_the_resultant_to_the_middle():
    both = with_own_weight(TyreLoad(9806.65, 300.0, -100.0), 1000.0)
    assert (both.load_n, both.x_mm, both.y_mm) == pytest.approx((2 * 9806.65, 150.0, -50.0))
    assert with_own_weight(TyreLoad(0.0, 5.0, 5.0), 0.0).load_n == 0.0


def test_the_worst_place_of_a_tyre_on_a_solid_bed_is_the_closed_form_at_its_edge():
    # a bed of 1200 x 400, the iron a rail of 1 mm on its middle line: only the tyre's place along matters. At the end
    # e = 400 is beyond a third of the base; moving out by s leaves (1 - s/400) of the load s/2 nearer the edge: same
    bed = bed_of(polygon(rectangle_ring(1200.0, 400.0)))
    found = tyre_demand(bed, rectangle_ring(1200.0, 1.0), Tyre("t", 200.0, 400.0, 400.0))
    assert found.peak_n_per_mm2 == pytest.approx(2 * 500.0 / (3 * 400.0 * 200.0), rel=2e-3)


def test_the_demand_is_the_contact_at_its_own_place():
    bed = bed_of(RING)
    found = tyre_demand(bed, IRON, LM2)
    again = contact(bed, found.load.load_n, found.load.x_mm, found.load.y_mm)
    assert found.peak_n_per_mm2 == again.peak_n_per_mm2
    assert found.load == load_on_iron(IRON, LM2, found.at_x_mm, found.at_y_mm)
    assert found.peak_n_per_mm2 > 200000.0 / RING.area


def test_iron_beyond_its_seat_tips_unless_its_own_weight_holds_it():
    bed = bed_of(polygon(rectangle_ring(400.0, 700.0)))
    tipped = tyre_demand(bed, IRON, LM2)
    assert (tipped.verdict, tipped.peak_n_per_mm2) == ("tips", None)
    held = tyre_demand(bed, IRON, LM2, 20000.0)
    assert held.peak_n_per_mm2 is not None
    assert "tips" in tyre_why(tipped).value
    assert worst_tyre([held, tipped]) is tipped


def test_the_why_says_load_contact_part_and_place():
    why = tyre_why(tyre_demand(bed_of(RING), IRON, LM2))
    assert why.unit == "n_per_mm2"
    assert [w.what for w in why.inputs] == ["one wheel", "contact", "part on the iron"]
    assert "no second factor" in why.inputs[0].relation
