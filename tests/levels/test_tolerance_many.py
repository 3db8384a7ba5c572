"""The closed forms over many covers are those of each cover."""

import numpy as np
import pytest

from truebed.levels.tolerance_closed import round_flat_share, square_twist_share
from truebed.levels.tolerance_many import round_flat_shares, square_twist_shares


def test_many_covers_have_the_share_of_each_by_itself():
    rng = np.random.default_rng(3)
    twist, off, level, edge = rng.uniform(-5, 5, 50), rng.uniform(-2, 2, 50), *rng.uniform(0.2, 2, (2, 50))
    square, flat = square_twist_shares(twist, off, 6.0, level, edge), round_flat_shares(off, 6.0, level, edge)
    for i in range(50):
        assert square[i] == square_twist_share(twist[i], off[i], 6.0, level[i], edge[i])
        assert flat[i] == round_flat_share(off[i], 6.0, level[i], edge[i])
    assert 0.0 < square.min() < square.max() < 1.0


def test_an_error_of_nought_or_a_number_that_is_none_is_refused():
    with pytest.raises(ValueError, match="above nought"):
        round_flat_shares(0.0, 6.0, 0.0, 1.0)
    with pytest.raises(ValueError, match="above nought"):
        square_twist_shares(0.0, 0.0, 6.0, 1.0, 0.0)
    with pytest.raises(ValueError, match="finite"):
        round_flat_shares(np.nan, 6.0, 1.0, 1.0)
