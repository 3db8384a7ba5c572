"""A works swept: every cover in the order of covers.csv with its status, and a refusal says by how much."""

from dataclasses import replace

import pytest

from plan.sample import case, demo_works, shelf
from truebed.errors import NotDesignedError
from truebed.plan.ground import set_ground
from truebed.plan.network import ground_of_many
from truebed.plan.network_sweep import OUT_BY_SHAPE, PARTLY, REFUSED, WORKED, status_of, sweep_works
from truebed.plan.network_works import sorted_out


def of(**changes):
    (batch,), _ = sorted_out((case(**changes),))
    return ground_of_many(batch.covers, batch.limits)


def test_the_demo_is_swept_in_its_own_order_with_every_cover_accounted_for():
    works, told = demo_works(), []
    swept = sweep_works(works, shelf(), {}, told.append)
    assert [c.case.cover.cover for c in swept.covers] == [c.cover for c in works.covers]
    assert sum(swept.count(status) for status in {c.status for c in swept.covers}) == len(works.covers)
    assert swept.count(WORKED) >= 10
    assert all(c.why for c in swept.covers if c.status != WORKED)
    assert any("batch 1 of" in sentence for sentence in told)


def test_covers_worked_out_are_designed_by_the_one_cover_path_as_well():
    for cover in sweep_works(demo_works(), shelf(), {}).covers:
        if cover.status == WORKED:
            assert set_ground(cover.case).setting.bed_least_mm == pytest.approx(
                cover.answer.bed_least[cover.row], abs=1e-6
            )
        if cover.status == REFUSED:
            with pytest.raises(NotDesignedError):
                set_ground(cover.case)


def test_a_chamber_too_high_is_refused_by_how_much_and_what_to_take_off():
    status, why = status_of(of(chamber_depth_mm=70.0), 0)
    assert status == REFUSED
    assert "out of tolerance by " in why
    assert "lower the chamber top by " in why
    assert "beyond its limits" in why


def test_a_chamber_too_low_is_told_what_to_raise():
    assert "raise the chamber top by " in status_of(of(chamber_depth_mm=330.0), 0)[1]


def test_no_place_at_all_has_no_amount_out_of_tolerance():
    # a road so steep that no plane keeps the bed would still need a plane; narrow limits do it
    (batch,), _ = sorted_out((case(),))
    answer = ground_of_many(batch.covers, replace(batch.limits, bed_least_mm=60.0, bed_most_mm=20.0))
    status, why = status_of(answer, 0)
    assert status == REFUSED
    assert why.startswith("no level or tilt")
    assert "out of tolerance by" not in why


def test_layers_that_cross_leave_all_but_the_litres():
    assert status_of(of(frame_depth_mm=55.0, chamber_depth_mm=85.0), 0)[0] == PARTLY


def test_a_frame_that_the_roads_shape_holds_out_is_worked_out_and_said_so():
    answer = of(road=lambda x, y: 1.2e-4 * x * y, chamber_depth_mm=140.0)
    assert answer.out[0] > 0.0
    assert status_of(answer, 0) == (WORKED, OUT_BY_SHAPE)
