"""Random level books: both reductions agree, the checks hold, and a closing error put in is found and spread."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from truebed.errors import NotDesignedError
from truebed.given.reading import Reading
from truebed.levels.booking import reduce_survey
from truebed.levels.levelling import Stand, book, checks, spread_mm
from truebed.levels.road_rules import SurveyRules
from truebed.levels.runs import runs_of

STAFF = st.integers(0, 5000).map(float)
STANDS = st.lists(st.lists(STAFF, min_size=2, max_size=9).map(tuple), min_size=1, max_size=8)


@given(STANDS, st.floats(-1e5, 1e5))
def test_both_reductions_agree_and_all_checks_hold(staffs, first):
    run = book(first, tuple(Stand(str(i), s) for i, s in enumerate(staffs)))
    assert all(c.holds for c in checks(run))
    for by_sight, by_fall in zip(run.levels_mm, run.fall_levels_mm, strict=True):
        assert by_sight == pytest.approx(by_fall, abs=1e-6)


def loop(heights, staff_on_carriers, error):
    """Rows of a closed run over points of known heights, the last reading wrong by `error`."""
    rows, carried, before = [], 0.0, "BM"
    for k, points in enumerate(heights):
        last = k == len(heights) - 1
        sight = carried + staff_on_carriers[k]
        where = "bench mark" if before == "BM" else "change point"
        rows.append(Reading("C", before, 0.0, 0.0, "staff", staff_on_carriers[k], where, str(k), len(rows) + 2))
        for i, height in enumerate(points[:-1]):
            rows.append(Reading("C", f"P{k}-{i}", 0.0, 0.0, "staff", sight - height, "road", str(k), len(rows) + 2))
        carried, before = (0.0, "BM") if last else (points[-1], f"CP{k}")
        value = sight - carried + (error if last else 0.0)
        where = "bench mark" if last else "change point"
        rows.append(Reading("C", before, 0.0, 0.0, "staff", value, where, str(k), len(rows) + 2))
    return tuple(rows)


@st.composite
def loops(draw):
    count = draw(st.integers(1, 7))
    heights = draw(st.lists(st.lists(st.floats(-2000, 2000), min_size=1, max_size=5), min_size=count, max_size=count))
    carriers = draw(st.lists(STAFF, min_size=count, max_size=count))
    return heights, carriers, draw(st.floats(-40, 40))


@given(loops())
def test_a_closing_error_put_in_is_found_judged_and_spread(case):
    heights, carriers, error = case
    rows, count = loop(heights, carriers, error), len(heights)
    if abs(error) > 5.0 * count**0.5 + 1e-6:
        with pytest.raises(NotDesignedError, match="is allowed over"):
            runs_of(rows, 5.0)
        return
    if abs(error) > 5.0 * count**0.5 - 1e-6:
        return
    (run,) = runs_of(rows, 5.0)
    assert run.misclosure_mm == pytest.approx(-error, abs=1e-6)
    assert run.corrections_mm == pytest.approx(spread_mm(-error, count), abs=1e-6)
    assert run.booked.last_mm + run.corrections_mm[-1] == pytest.approx(0.0, abs=1e-6)
    spots = {s.point: s.level_mm for s in reduce_survey(rows, SurveyRules()).spots}
    for k, points in enumerate(heights):
        for i, height in enumerate(points[:-1]):
            assert spots[f"P{k}-{i}"] == pytest.approx(height + error * (k + 1) / count, abs=1e-6)
