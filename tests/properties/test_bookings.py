"""Any booking of one cover: the reader never raises, and what it takes the levels room reduces or refuses in words."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from given.base_folder import TEXTS, base_folder
from truebed.errors import NotDesignedError
from truebed.given.folder import parse_works
from truebed.levels.booking import reduce_readings

KINDS = ("level", "staff", "straightedge gap", "string-line offset", "")
WHERES = ("road", "frame", "lid", "chamber", "kerb", "bench mark", "change point", "line end", "")
OWN = TEXTS["readings.csv"].splitlines(keepends=True)

_places = st.sampled_from([(x, y) for x in (-700, -560, 0, 560, 700) for y in (-650, 0, 650)])
_rows = st.tuples(
    st.sampled_from(["P1", "P2", "P3", "P4", "CP1", "CP2", "BM", "L1 left", "L1 right"]),
    _places,
    st.sampled_from(KINDS),
    st.sampled_from([-20, 0, 12, 1240, 1300]),
    st.sampled_from(WHERES),
    st.sampled_from(["", "A", "B", "L1", "L2"]),
)


@given(st.lists(_rows, max_size=9))
@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_rows_beside_a_right_booking_give_works_or_faults(
    rows: list[tuple[str, tuple[int, int], str, int, str, str]],
) -> None:
    more = "".join(f"F-1,{p},{x},{y},{kind},{value},{where},{up}\n" for p, (x, y), kind, value, where, up in rows)
    works, faults = parse_works(base_folder() | {"readings.csv": ("".join(OWN) + more).encode()})
    assert (works is None) == bool(faults)
    assert all(fault.row >= 1 and fault.mend for fault in faults)


@st.composite
def _runs(draw: st.DrawFn) -> tuple[str, bool]:
    """Stands of one cover joined by change points, right but perhaps for one thing that was spoilt."""
    stands = draw(st.integers(1, 3))
    spoil = draw(st.sampled_from(["", "mark", "change", "between", "order"]))
    rows: list[str] = []
    for number in range(stands):
        name = "ABC"[number]
        own = [f"G-2,P{number}{i},{x},{y},staff,{1300 + i},road,{name}" for i, (x, y) in enumerate(_SPOTS)]
        first = "BM,0,0,staff,1240,bench mark" if number == 0 else f"CP{number},0,0,staff,1400,change point"
        last = f"CP{number + 1},0,0,staff,1350,change point" if number + 1 < stands else "BM9,0,0,staff,1240,bench mark"
        rows += [f"G-2,{first},{name}", *own, f"G-2,{last},{name}"]
    if spoil == "mark":
        rows = [row for row in rows if not row.startswith("G-2,BM,")]
    elif spoil == "change":
        rows = [row for row in rows if not row.startswith("G-2,CP1,") or not row.endswith(",A")]
    elif spoil == "between":
        rows.insert(2, "G-2,BM5,0,0,staff,1241,bench mark,A")
    elif spoil == "order":
        rows = [*rows[:1], rows[len(_SPOTS) + 1], *rows[1 : len(_SPOTS) + 1], *rows[len(_SPOTS) + 2 :]]
    # without a mark of its own the one stand there is has a closing mark to hang on; nothing to change with one stand
    right = not spoil or (stands == 1 and spoil in {"mark", "change"})
    return "".join(row + "\n" for row in rows), right


_SPOTS = ((450, 380), (450, -450), (0, -450), (-450, -450), (-450, 380), (0, 380))


@given(_runs())
@settings(max_examples=60, deadline=None)
def test_a_run_of_stands_is_taken_if_it_hangs_together_and_what_is_taken_is_reduced(run: tuple[str, bool]) -> None:
    booking, right = run
    own = "".join(line for line in OWN if not line.startswith("G-2"))
    works, faults = parse_works(base_folder() | {"readings.csv": (own + booking).encode()})
    assert (works is not None) == right, [fault.sentence() for fault in faults]
    if works is None:
        return
    readings = tuple(r for r in works.readings if r.cover == "G-2")
    stands = {r.set_up for r in readings}
    if len(stands) > 1:
        # 1240 - 1350 + 1400 and so on: 50 mm a move, so the run closes that much out and is refused in words
        with pytest.raises(NotDesignedError, match="closes"):
            reduce_readings(readings)
    else:
        assert len(reduce_readings(readings)) == len(_SPOTS)
