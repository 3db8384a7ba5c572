"""Cells of a stack fill their layers, are small at the faces of what reacts, and nest as they are made finer."""

import numpy as np
import pytest

from truebed.curing.heat_grid import cells_of, graded


def test_shares_grow_and_fill_the_layer():
    shares = graded(5, 1.4)
    assert shares.sum() == pytest.approx(1.0)
    assert shares[1:] / shares[:-1] == pytest.approx(1.4)


@pytest.mark.parametrize("reacts", [(False, True, False), (True,), (True, False, True, False), (False, False, True)])
@pytest.mark.parametrize("fineness", [1, 3])
def test_cells_fill_every_layer(reacts, fineness):
    cells = cells_of(reacts, fineness)
    for layer in range(len(reacts)):
        own = cells.fractions[cells.first_of[layer] : cells.first_of[layer + 1]]
        assert own.sum() == pytest.approx(1.0)
        assert np.all(cells.layer_of[cells.first_of[layer] : cells.first_of[layer + 1]] == layer)


def test_the_smallest_cells_lie_at_the_faces_of_what_reacts():
    cells = cells_of((False, True, False))
    above, own, below = (cells.fractions[cells.layer_of == layer] for layer in range(3))
    assert own.argmin() in {0, own.size - 1}
    assert own == pytest.approx(own[::-1])
    assert above.argmin() == above.size - 1
    assert below.argmin() == 0


def test_a_finer_grid_has_the_coarse_ones_faces():
    coarse, fine = (np.cumsum(cells_of((False, True, False), f).fractions) for f in (1, 2))
    assert fine[1::2] == pytest.approx(coarse)
