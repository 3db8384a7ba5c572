"""Release table: the two clocks' ready time at every base temperature that the sheet allows."""

from dataclasses import replace

import pytest

from curing.rime_bed import NIGHT, asked
from truebed.curing.release_table import release_table
from truebed.curing.two_clocks import two_clocks

RIME = asked()


def test_each_row_is_the_two_clocks_answer_and_colder_is_later():
    rows = release_table(NIGHT, RIME, 5.0)
    assert [row.base_c for row in rows] == [0.0, 5.0, 10.0, 15.0, 20.0]
    assert rows[1].ready == two_clocks(replace(NIGHT, base_c=5.0), RIME).ready
    late = [row.ready.late_min for row in rows]
    assert late == sorted(late, reverse=True)
    assert all(row.warning == "" for row in rows)


def test_the_warmest_allowed_is_a_row_even_where_the_step_misses_it():
    assert [row.base_c for row in release_table(NIGHT, RIME, 8.0)] == [0.0, 8.0, 16.0, 20.0]


def test_a_row_that_freezes_says_so():
    first = release_table(replace(NIGHT, thick_mm=20.0, mix_c=5.0), RIME, 20.0)[0]
    assert first.warning == "freezes before it is strong enough"
    assert first.ready.late_min is None


def test_a_step_of_nought_is_refused():
    with pytest.raises(ValueError, match="leads nowhere"):
        release_table(NIGHT, RIME, 0.0)
