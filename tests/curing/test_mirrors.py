"""In which mirrors a bed and its iron are alike, and that trying one side only finds what trying both found."""

import numpy as np
import pytest

from truebed.chamber.shapes import outline_ring, polygon
from truebed.curing import tyre as search
from truebed.curing.contact import bed_of
from truebed.curing.mirrors import Mirrors, mirrors_of
from truebed.curing.tyre import Tyre, tyre_demand

LM2 = Tyre("load model 2", 200.0, 350.0, 600.0)


def made(shape, turn_deg=0.0, shift_mm=(0.0, 0.0)):
    flange, opening, iron = (
        outline_ring(shape, along, across, turn_deg)
        for along, across in (((830.0, 830.0), (620.0, 620.0), (700.0, 700.0)) if shape == "round" else
                              ((830.0, 700.0), (620.0, 500.0), (700.0, 580.0)))
    )  # fmt: skip
    hole = [(x + shift_mm[0], y + shift_mm[1]) for x, y in opening]
    return bed_of(polygon(flange).difference(polygon(tuple(hole)))), np.array(iron)


@pytest.mark.parametrize(
    ("bed_and_iron", "alike"),
    [
        (made("rectangle"), (True, True, True)),
        (made("round"), (True, True, True)),
        (made("D"), (False, True, False)),
        (made("rectangle", 20.0), (False, False, True)),
        (made("rectangle", shift_mm=(20.0, 0.0)), (False, True, False)),
        (made("rectangle", shift_mm=(20.0, 5.0)), (False, False, False)),
    ],
    ids=["straight", "round", "D", "turned", "shifted along", "shifted both ways"],
)
def test_a_bed_and_its_iron_are_alike_in_the_mirrors_that_their_shapes_have(bed_and_iron, alike):
    assert mirrors_of(*bed_and_iron) == Mirrors(*alike)


def test_iron_that_is_not_alike_takes_the_mirror_away():
    bed, iron = made("rectangle")
    assert mirrors_of(bed, iron + np.array([3.0, 0.0])) == Mirrors(False, True, False)


@pytest.mark.parametrize("bed_and_iron", [made("rectangle"), made("D"), made("rectangle", 20.0), made("round")])
def test_one_side_tried_finds_what_both_sides_tried_find(bed_and_iron, monkeypatch):
    bed, iron = bed_and_iron
    ring = tuple(map(tuple, iron.tolist()))
    one_side = tyre_demand(bed, ring, LM2, 80.0)
    monkeypatch.setattr(search, "mirrors_of", lambda *_: Mirrors(False, False, False))
    both = tyre_demand(bed, ring, LM2, 80.0)
    assert one_side.peak_n_per_mm2 == pytest.approx(both.peak_n_per_mm2, rel=1e-3)
    assert one_side.places_count < both.places_count
