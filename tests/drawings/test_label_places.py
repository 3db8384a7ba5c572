"""Labels: on the sheet, off what stands there, the same place each time."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from truebed.drawings.label_places import Area, about, baseline, least_covering, round_about

SHEET = Area(2.0, 3.0, 122.0, 93.0)
PLACES = st.tuples(st.floats(-50, 200), st.floats(-50, 200))


def test_the_first_free_place_is_taken() -> None:
    at = (60.0, 50.0)
    first = round_about(at, "R1 +1.0", 3.3, 1.5)[0]
    assert least_covering(round_about(at, "R1 +1.0", 3.3, 1.5), [], SHEET) == (first, 0.0)
    assert first.left_mm > at[0]
    second, cost = least_covering(round_about(at, "R1 +1.0", 3.3, 1.5), [first], SHEET)
    assert (second != first, cost) == (True, 0.0)


def test_a_label_goes_outward_first() -> None:
    for outward, side in (((-1.0, 0.0), "left"), ((0.0, -1.0), "above"), ((0.0, 1.0), "below")):
        area = round_about((60.0, 50.0), "R1", 3.3, 1.5, outward)[0]
        found = {"left": area.right_mm < 60.0, "above": area.foot_mm < 50.0, "below": area.top_mm > 50.0}
        assert found[side]


@given(PLACES, st.text("0123456789.R+- ", min_size=1, max_size=30))
def test_a_label_stays_on_the_sheet_wherever_its_point_lies(at: tuple[float, float], text: str) -> None:
    area, _ = least_covering(round_about(at, text, 3.3, 1.5), [], SHEET)
    assert SHEET.left_mm - 1e-9 <= area.left_mm
    assert area.right_mm <= SHEET.right_mm + 1e-9
    assert SHEET.top_mm - 1e-9 <= area.top_mm
    assert area.foot_mm <= SHEET.foot_mm + 1e-9
    x, y = baseline(area, 3.3)
    assert area.left_mm < x < area.right_mm
    assert area.top_mm < y < area.foot_mm


@given(st.lists(PLACES, min_size=1, max_size=8))
def test_the_chosen_place_covers_no_more_than_any_other(points: list[tuple[float, float]]) -> None:
    taken = [about(p, "R12 +1.0", 3.3) for p in points]
    places = round_about(points[0], "R1 +1.0", 3.3, 1.5)
    best, cost = least_covering(places, taken, SHEET)
    assert cost == sum(best.covers_mm2(t) for t in taken)
    assert all(sum(p.within(SHEET).covers_mm2(t) for t in taken) >= cost - 1e-3 for p in places)
