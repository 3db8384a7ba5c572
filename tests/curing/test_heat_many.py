"""Many stacks in one loop give what one after another gives."""

from dataclasses import replace

import numpy as np
import pytest

from curing.heat_samples import GUARD, MORTAR, night, slowest
from truebed.curing.heat import cure
from truebed.curing.heat_many import Outsides, cure_many, outsides_of, stacks_of
from truebed.curing.stack import Boundary, Edge, steady_boundary

EDGE = Edge("iron", 100.0, 12.0, 5.0, 6.0, 85.0, 15.0)
TIMES = np.arange(4.0) * 60.0
NIGHTS = tuple(
    Boundary(TIMES, np.array([5.0, 2, 0, -1]) + n, np.full(4, 10.0 + n), np.array([50.0, -30, -60, -60]))
    for n in range(4)
)


def asked(*wants):
    return np.array([[(1.0, float(w.point == "fastest"), w.age_min * 60.0) for w in wants]])


@pytest.mark.parametrize("edge", [None, EDGE])
def test_a_batch_gives_each_covers_own_answer(edge):
    stacks = tuple(night(20.0 + 8.0 * n, 5.0 + 4.0 * n, edge=edge) for n in range(4))
    wants = (slowest(), replace(slowest(), point="fastest"))
    found = cure_many(stacks_of(stacks, GUARD), outsides_of(NIGHTS), asked(*wants))
    for n, (stack, boundary) in enumerate(zip(stacks, NIGHTS, strict=True)):
        one = cure(stack, boundary, wants, guard_n_per_mm2=GUARD)
        assert tuple(found.minutes[n]) == one.minutes_min
        assert found.told[n, 1, 1:] == pytest.approx([one.layers[0].coldest_c, one.layers[0].hottest_c], abs=0)
    assert not found.frosted.any()


def test_draws_of_a_binder_share_one_cover_and_one_night():
    binders = [replace(MORTAR, activation_j_per_mol=e) for e in (30000.0, 40000.0, 50000.0)]
    many = stacks_of(tuple(night(binder=b) for b in binders), GUARD)
    one_lay = replace(many, lay=many.lay[:1], below=many.below[:1])
    boundary = steady_boundary(0.0, 12.0, -60.0)
    found = cure_many(one_lay, outsides_of((boundary,)), asked(slowest()))
    singles = [cure(night(binder=b), boundary, (slowest(),), guard_n_per_mm2=GUARD).minutes_min[0] for b in binders]
    assert list(found.minutes[:, 0]) == singles


def test_a_cover_that_is_never_ready_has_no_time():
    found = cure_many(
        stacks_of((night(),), GUARD), outsides_of((steady_boundary(0.0, 12.0, 0.0),)), asked(slowest()), end_min=20.0
    )
    assert np.isinf(found.minutes[0, 0])


def test_batches_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="same pattern"):
        stacks_of((night(), night(binder=None)), GUARD)
    with pytest.raises(ValueError, match="same points of time"):
        outsides_of((NIGHTS[0], steady_boundary(0.0, 1.0, 0.0)))
    stacks = stacks_of((night(),) * 3, GUARD)
    with pytest.raises(ValueError, match="first axes"):
        cure_many(stacks, Outsides(TIMES * 60.0, np.zeros((2, 3, 4))), asked(slowest()))
    thin = replace(stacks, lay=stacks.lay * np.where(np.arange(10) == 0, -1.0, 1.0))
    with pytest.raises(ValueError, match="above 0"):
        cure_many(thin, outsides_of(NIGHTS[:1]), asked(slowest()))
