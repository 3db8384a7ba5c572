"""Which vehicles may cross: the table's own sources, growing strengths, and no answer once the road is open."""

import pytest

from truebed.chamber.shapes import polygon, rectangle_ring
from truebed.curing.contact import bed_of
from truebed.curing.crossing import crossings, may_cross, vehicles
from truebed.curing.tyre import Tyre, tyre_demand
from truebed.errors import NotDeterminedError
from truebed.sources import READ_AS, known_sources

IRON = rectangle_ring(700.0, 700.0)
BED = bed_of(polygon(rectangle_ring(830.0, 830.0)).difference(polygon(rectangle_ring(620.0, 620.0))))


def test_every_row_of_the_table_has_a_known_source_and_a_tag():
    rule, rows = vehicles()
    assert len({row.key for row in rows}) == len(rows) > 3
    for cited in (rule.source, *(row.tyre.source for row in rows)):
        key, tag = cited[1:].split("]")[0], cited.rsplit("(", 1)[1].rstrip(")")
        assert key in known_sources()
        assert tag in READ_AS


def test_the_strength_asked_is_pressure_rolling_times_the_reserve():
    rule, rows = vehicles()
    for one, row in zip(crossings(BED, IRON, 0.0), rows, strict=True):
        still = tyre_demand(BED, IRON, row.tyre).peak_n_per_mm2
        assert one.pressure_n_per_mm2 == pytest.approx(still * rule.dynamic_ratio, rel=1e-9)
        assert one.strength_n_per_mm2 == pytest.approx(still * rule.dynamic_ratio * rule.reserve_ratio, rel=1e-9)


def test_more_may_cross_as_the_bed_grows_and_all_at_the_opening_strength():
    found = crossings(BED, IRON, 0.0)
    wants = sorted(one.strength_n_per_mm2 for one in found)
    counts = [len(may_cross(found, strength, 20.0, controlled=True)) for strength in (0.0, *wants, 20.0)]
    assert counts == sorted(counts)
    assert (counts[0], counts[-1]) == (0, len(found))
    assert [one.vehicle.key for one in may_cross(found, wants[0], 20.0, controlled=True)] == ["person-and-barrow"]


def test_a_road_that_nobody_controls_has_no_answer_below_its_opening_strength():
    found = crossings(BED, IRON, 0.0)
    with pytest.raises(NotDeterminedError, match="open to all"):
        may_cross(found, 10.0, 20.0, controlled=False)
    with pytest.raises(NotDeterminedError, match="open to all"):
        may_cross(found, 10.0, None, controlled=False)
    assert len(may_cross(found, 20.0, 20.0, controlled=False)) == len(found)


def test_a_vehicle_that_tips_the_frame_never_crosses():
    found = crossings(bed_of(polygon(rectangle_ring(300.0, 830.0))), IRON, 60.0)
    tipping = [one for one in found if one.strength_n_per_mm2 is None]
    assert tipping
    assert not set(tipping) & set(may_cross(found, 100.0, 20.0, controlled=True))


def test_a_legal_axle_presses_less_than_the_load_model():
    axle = crossings(BED, IRON, 0.0)[-1]
    assert axle.pressure_n_per_mm2 < tyre_demand(BED, IRON, Tyre("lm2", 200.0, 400.0, 400.0)).peak_n_per_mm2
