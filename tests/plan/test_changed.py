"""What measuring the chamber top changed, in words."""

from plan.sample import case
from truebed.plan.chamber_top import MeasuredTop
from truebed.plan.changed import what_changed
from truebed.plan.design import design_cover

RING = [(400, 0), (360, 360), (0, 400), (-360, 360), (-400, 0), (-360, -360), (0, -400), (360, -360)]


def measured(level):
    return MeasuredTop(tuple((float(x), float(y), level) for x, y in RING), "RK", "t", "e")


def test_a_lower_top_says_how_much_lower_and_what_it_does_to_bed_and_kits():
    said = " | ".join(what_changed(design_cover(case()), design_cover(case(measured=measured(-145.0)))))
    assert "15 mm lower" in said
    assert "mm becomes" in said
    assert "kits" in said


def test_the_same_top_moves_nothing():
    said = what_changed(design_cover(case()), design_cover(case(measured=measured(-130.0))))
    assert "levels to set do not move" in said
    assert any("bed" in s for s in said)


def test_a_cover_that_could_not_be_designed_before_is_said_so():
    assert "could not be designed" in what_changed(None, design_cover(case(measured=measured(-130.0))))[0]
