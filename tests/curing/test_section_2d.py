"""The two-directional section: without sides it is the one-directional answer, and finer grids go to one limit."""

import numpy as np
import pytest

from curing.heat_samples import GUARD, MORTAR, night, slowest
from truebed.curing.flange_section import Flange, flange_blocks, flange_lines, flange_times
from truebed.curing.heat import cure
from truebed.curing.section_2d import Around, Block, lines, section_times
from truebed.curing.stack import steady_boundary

NIGHT = Around(-2.0, 12.0, -60.0, 6.0, 5.0)
OPEN = Flange(30.0, 12.0, 2.0, MORTAR, 0.8, 1.445)


def test_lines_pass_through_all_breaks_and_are_fine_where_asked():
    found = lines([0.0, 15.0, 100.0, 300.0], (0.0, 100.0), 1.0, 1.3)
    assert {0.0, 15.0, 100.0, 300.0} <= set(found)
    assert np.all(np.diff(found) > 0.0)
    assert np.diff(found)[0] <= 1.0
    assert np.diff(found)[-1] > 10.0


def test_a_section_without_sides_gives_the_stacks_minutes():
    blocks = (
        Block("iron", 0.0, 0.0, 100.0, 15.0, 50.0, 3.312, 2.0),
        Block("bed", 0.0, 15.0, 100.0, 45.0, 1.2, 2.0, 12.0, MORTAR),
        Block("brick", 0.0, 45.0, 100.0, 545.0, 0.8, 1.445, 2.0),
    )
    ys = lines([0.0, 15.0, 45.0, 545.0], (0.0, 45.0), 0.25, 1.1)
    shut = Around(0.0, 12.0, -60.0, 0.0, 0.0)
    found = section_times(blocks, shut, "bed", slowest().age_min, np.array([0.0, 50.0, 100.0]), ys)
    fine = cure(night(), steady_boundary(0.0, 12.0, -60.0), (slowest(),), guard_n_per_mm2=GUARD, fineness=4)
    assert found.slowest_min == pytest.approx(fine.minutes_min[0], abs=0.3)


def test_blocks_fill_the_section_without_overlap():
    for flange in (OPEN, Flange(30.0, 12.0, 2.0, MORTAR, 0.8, 1.445, fill=MORTAR)):
        blocks = flange_blocks(flange)
        area = sum((b.right_mm - b.left_mm) * (b.bottom_mm - b.top_mm) for b in blocks)
        wanted = 15 * 85 + 100 * 15 + 100 * 30 + 300 * 400 + (0 if flange.fill is None else 85 * 60 + 200 * (60 + 45))
        assert area == wanted
        xs, ys = flange_lines(flange, 2.0)
        assert {b.left_mm for b in blocks} <= set(xs)
        assert {b.top_mm for b in blocks} <= set(ys)


def test_the_slowest_point_of_an_open_flange_is_its_outer_lower_corner():
    coarse, fine = (flange_times(OPEN, NIGHT, slowest().age_min, first_mm=first) for first in (2.0, 1.0))
    assert fine.slowest_x_mm > 99.0
    assert fine.slowest_y_mm > 129.0
    assert fine.cell_count > 2.5 * coarse.cell_count
    assert fine.slowest_min == pytest.approx(coarse.slowest_min, abs=2.0)
    assert fine.fastest_min < fine.slowest_min


def test_an_age_that_is_not_reached_is_refused():
    with pytest.raises(ValueError, match="not reached"):
        section_times(flange_blocks(OPEN), NIGHT, "bed", 500.0, *flange_lines(OPEN, 4.0), end_min=10.0)
