"""The likely cause of a gross reading."""

import pytest

from truebed.levels.booking import Spot
from truebed.levels.gross import likely_cause, on_the_kerb


def spot(level, x=0.0, y=0.0, where="road"):
    return Spot("P1", x, y, level, where, 2)


@pytest.mark.parametrize(
    ("level", "off", "says"),
    [
        (12.0, 98.0, "decimetre"), (12.0, -103.0, "decimetre"), (3.0, -1003.0, "metre misread"),
        (3.0, 9.0, "centimetre"), (3.0, -12.0, "centimetre"), (23.0, 46.0, "sign"),
        (-23.0, -46.0, "sign"), (3.0, 55.0, "another place"),
    ],
)  # fmt: skip
def test_the_size_of_a_slip_tells_its_cause(level, off, says):
    assert says in likely_cause(spot(level), off, 2.0)


def test_points_swapped_are_said_to_be():
    assert likely_cause(spot(12.0), 30.0, 2.0, "P7") == "booked in place of P7 (points swapped)"


def test_a_reading_at_the_kerbs_level_is_said_to_be_on_the_kerb():
    kerbs = (spot(126.0, 0.0, 500.0, "kerb"), spot(60.0, 900.0, 500.0, "kerb"))
    assert "kerb" in likely_cause(spot(123.0, 0.0, 450.0), 70.0, 2.0, "", kerbs)
    assert "kerb" not in likely_cause(spot(123.0, 900.0, 450.0), 70.0, 2.0, "", kerbs)


def test_a_low_kerb_or_a_low_reading_tells_nothing_of_a_kerb():
    kerbs = (spot(3.0, 0.0, 500.0, "kerb"),)
    assert not on_the_kerb(spot(3.0), 10.0, 2.0, kerbs)
    assert not on_the_kerb(spot(3.0), -70.0, 2.0, kerbs)
    assert not on_the_kerb(spot(3.0), 70.0, 2.0, ())
