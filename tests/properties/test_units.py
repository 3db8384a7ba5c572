"""Units at the door: exact factors, there and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.units import ACCEPTED, to_inside


@pytest.mark.parametrize(("value", "unit", "inside"), [
    (24.0, "in", 609.6), (2.0, "ft", 609.6), (60.0, "cm", 600.0), (32.0, "f", 0.0), (212.0, "f", 100.0),
    (-40.0, "f", -40.0), (1.5, "h", 90.0), (100.0, "lb", 45.359237), (60.0, "mph", 26.8224), (36.0, "kmh", 10.0),
])  # fmt: skip
def test_known_pairs_come_out_exactly(value, unit, inside):
    assert to_inside(value, unit) == pytest.approx(inside, rel=1e-12, abs=1e-9)


@given(st.sampled_from(sorted(ACCEPTED)), st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_conversion_keeps_order_and_can_be_undone(unit, a, b):
    rule = ACCEPTED[unit]
    assert (to_inside(a, unit) - rule.shift) / rule.scale == pytest.approx(a, rel=1e-9, abs=1e-6)
    if a < b:
        assert to_inside(a, unit) <= to_inside(b, unit)


def test_an_unknown_unit_is_refused():
    with pytest.raises(KeyError):
        to_inside(1.0, "furlong")
