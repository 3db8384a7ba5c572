"""What curing takes for granted stands in one file, each value with spread, source and how far it was read."""

from __future__ import annotations

import pytest

from truebed.curing.defaults import curing_defaults, read_defaults
from truebed.sources import READ_AS

ONE = """[[value]]
name = "x"
value = 1.0
spread = 0.5
spread_of = "log"
source = "house"
read_as = "assumption"
note = "n"
"""


def test_every_value_has_a_spread_a_source_and_a_tag() -> None:
    defaults = curing_defaults()
    assert defaults
    for one in defaults.values():
        assert one.spread_sd > 0.0
        assert one.source
        assert one.note
        assert one.read_as in READ_AS


def test_the_one_default_energy_of_mortars_is_40_with_a_band_of_8_kj_per_mol() -> None:
    energy = curing_defaults()["activation_cement_j_per_mol"]
    assert (energy.value, energy.spread_sd, energy.spread_of) == (40000.0, 8000.0, "value")
    assert "± 8000" in energy.sentence()


@pytest.mark.parametrize(
    "text",
    [
        ONE + ONE,
        ONE.replace("spread = 0.5", "spread = 0.0"),
        ONE.replace('"log"', '"both"'),
        ONE.replace('source = "house"\n', ""),
    ],
)
def test_a_value_that_lacks_something_is_refused(text: str) -> None:
    assert read_defaults(ONE)["x"].value == 1.0
    with pytest.raises(ValueError, match="'x'"):
        read_defaults(text)
