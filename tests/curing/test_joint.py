"""The movement joint: closed form against walking through the year."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.curing.joint import JointMoves, effective_range_c, joint_data, joint_of, opening_mm, seal_window
from truebed.errors import NotDeterminedError
from truebed.sources import known_sources

DATA = joint_data()
MOVES = JointMoves(2000.0, 1e-5, -10.0, 40.0, 0.1)


def test_a_joint_by_hand():
    # 2 m, 1e-5, sealed at 10: opens 0.4 + 0.1, closes 0.6 mm; class 25 wants 2.4 mm, but no joint is deeper than wide
    small = joint_of(MOVES, 10.0, "25", DATA)
    assert (small.opens_mm, small.closes_mm) == (pytest.approx(0.5), pytest.approx(0.6))
    assert (small.least_width_mm, small.depth_mm) == (10.0, 10.0)
    wide = joint_of(replace(MOVES, length_mm=20000.0), 10.0, "25", DATA)
    assert wide.least_width_mm == pytest.approx(6.0 / 0.25)
    assert wide.depth_mm == pytest.approx(12.0)
    assert wide.backer_mm == 30.0
    assert wide.governed_by == "closing in the heat"


def test_a_weaker_class_wants_a_wider_joint():
    long = replace(MOVES, length_mm=20000.0)
    widths = [joint_of(long, 10.0, name, DATA).least_width_mm for name in ("7.5", "12.5", "20", "25")]
    assert widths == sorted(widths, reverse=True)
    assert widths[0] / widths[-1] == pytest.approx(25.0 / 7.5)


MANY = st.builds(
    JointMoves, st.floats(8000, 60000), st.floats(8e-6, 3e-5), st.floats(-25, 5), st.floats(20, 60), st.floats(0, 5)
)


@given(MANY, st.floats(0, 1), st.sampled_from(["7.5", "12.5", "20", "25"]))
def test_walking_through_the_year_the_sealant_never_takes_more_and_once_takes_all(moves, part, name):
    sealed = moves.coldest_c + part * (moves.hottest_c - moves.coldest_c)
    joint = joint_of(moves, sealed, name, DATA)
    year = np.linspace(moves.coldest_c, moves.hottest_c, 501)
    walked = [opening_mm(moves, sealed, float(now)) + shrunk for now in year for shrunk in (0.0, moves.shrinkage_mm)]
    strain = max(abs(value) for value in walked) / joint.least_width_mm
    assert strain <= DATA.movement_share[name] + 1e-9
    if joint.governed_by[:5] != "least":
        assert strain == pytest.approx(DATA.movement_share[name])


@given(MANY, st.floats(5, 120), st.floats(0, 1))
def test_the_window_holds_just_the_temperatures_at_which_the_width_will_do(moves, width_mm, part):
    window = seal_window(moves, width_mm, "20", DATA)
    sealed = moves.coldest_c + part * (moves.hottest_c - moves.coldest_c)
    opens = opening_mm(moves, sealed, moves.coldest_c) + moves.shrinkage_mm
    closes = -opening_mm(moves, sealed, moves.hottest_c)
    spare_mm = 0.2 * width_mm - max(opens, closes)
    if window is None:
        assert spare_mm < 1e-9
    elif window.coldest_c + 1e-6 < sealed < window.hottest_c - 1e-6:
        assert spare_mm > -1e-9
    elif not window.coldest_c - 1e-6 < sealed < window.hottest_c + 1e-6:
        assert spare_mm < 1e-9


def test_the_range_of_a_piece_is_milder_in_the_cold():
    assert effective_range_c(-15.0, 33.0, DATA) == (-7.0, 35.0)
    with pytest.raises(NotDeterminedError, match="range of a year"):
        effective_range_c(40.0, 10.0, DATA)


def test_what_cannot_be_is_refused():
    with pytest.raises(NotDeterminedError, match=r"7.5, 12.5, 20, 25"):
        joint_of(MOVES, 10.0, "50", DATA)
    with pytest.raises(NotDeterminedError, match="outside the range"):
        joint_of(MOVES, 50.0, "25", DATA)
    with pytest.raises(NotDeterminedError, match="length"):
        seal_window(replace(MOVES, length_mm=-1.0), 20.0, "25", DATA)


def test_every_figure_has_its_source():
    assert {f.source for f in DATA.figures.values()} <= set(known_sources())
