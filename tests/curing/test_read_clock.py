"""One clock at the night's temperatures: its time, its range, its refusals and its why."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from curing.sample_sheet import sheet, strengths, times
from truebed.curing.between_points import time_between, time_to_strength
from truebed.curing.clocks import ClockReading
from truebed.curing.night_temps import NightTemps
from truebed.curing.read_clock import Which, read_clock
from truebed.errors import NotDeterminedError
from truebed.sheets.method import ClockKind
from truebed.sheets.sheet import Sheet
from truebed.why import Why

BED = sheet()


def night(coldest_c: float, hottest_c: float) -> NightTemps:
    whys = [Why("x", value, "c", "as given", "weather.csv") for value in (coldest_c, hottest_c)]
    return NightTemps(coldest_c, "road at 04:00", hottest_c, "mix", coldest_c < 0.0, *whys)


def read(
    kind: ClockKind,
    which: Which,
    *,
    own: Sheet = BED,
    target: float | None = None,
    coldest_c: float = 8.0,
    hottest_c: float = 18.0,
    temp_band_c: float = 2.0,
    time_band_share: float = 0.15,
) -> tuple[ClockReading, Why]:
    return read_clock(own, "bed", kind, target, night(coldest_c, hottest_c), temp_band_c, time_band_share, which)


@pytest.mark.parametrize(("which", "temp_c", "from_what"), [("wait", 8.0, "road at 04:00"), ("life", 18.0, "mix")])
def test_a_wait_takes_the_coldest_and_a_life_the_hottest(which: Which, temp_c: float, from_what: str) -> None:
    reading, why = read("set", which)
    assert (reading.temp_c, reading.from_what) == (temp_c, from_what)
    assert reading.minutes_min == time_between(BED.set_, temp_c, "set").minutes_min
    assert why.governed_by == from_what


def test_a_strength_is_read_to_its_target() -> None:
    reading, _ = read("strength", "wait", target=12.0)
    assert reading.minutes_min == time_to_strength(BED.strength, 12.0, 8.0, "strength")[0].minutes_min
    assert reading.target_n_per_mm2 == 12.0


def test_readiness_is_the_sheets_own_time_where_it_gives_one() -> None:
    own = sheet(ready=times((5.0, 200.0), (20.0, 100.0)))
    assert read("ready", "wait", own=own, coldest_c=5.0)[0].minutes_min == 200.0


def test_readiness_without_times_is_the_time_to_the_sheets_traffic_strength() -> None:
    reading, why = read("ready", "wait")
    assert reading.minutes_min == read("strength", "wait", target=13.0)[0].minutes_min
    assert reading.target_n_per_mm2 is None
    assert "traffic strength 13 N/mm²" in why.what


@pytest.mark.parametrize(
    ("own", "kind", "which", "words"),
    [
        (sheet(traffic_strength_n_per_mm2=None), "ready", "wait", "neither times nor a traffic strength"),
        (sheet(strength=()), "ready", "wait", "the sheet gives no strengths"),
        (sheet(life=()), "life", "life", "working life of sample: the sheet gives none"),
        (BED, "strength", "wait", "no strength is known to wait for"),
        (BED, "ready", "life", "it is never read at the hottest"),
    ],
)
def test_what_the_sheet_does_not_give_is_not_determined(own: Sheet, kind: ClockKind, which: Which, words: str) -> None:
    with pytest.raises(NotDeterminedError, match=words):
        read(kind, which, own=own)


def test_a_night_colder_than_the_sheet_allows_is_told_so() -> None:
    with pytest.raises(NotDeterminedError, match=r"4 °C \(road at 04:00\) is not allowed by the sheet.*5 to 30 °C"):
        read("set", "wait", coldest_c=4.0)


def test_a_night_that_is_allowed_but_has_no_points_is_told_apart() -> None:
    own = sheet(temp_least_c=0.0)
    with pytest.raises(NotDeterminedError, match="the sheet gives times from 5 to 30 °C; 4 °C is outside"):
        read("set", "wait", own=own, coldest_c=4.0)


def test_the_range_is_the_quadrature_of_temperature_and_sheet() -> None:
    reading, _ = read("set", "wait", coldest_c=10.0)
    middle_min, cold_min, warm_min = (time_between(BED.set_, t, "set").minutes_min for t in (10.0, 8.0, 12.0))
    late = math.sqrt(math.log(cold_min / middle_min) ** 2 + math.log(1.15) ** 2)
    early = math.sqrt(math.log(warm_min / middle_min) ** 2 + math.log(1.15) ** 2)
    assert reading.late_min == pytest.approx(middle_min * math.exp(late), rel=1e-12)
    assert reading.early_min == pytest.approx(middle_min * math.exp(-early), rel=1e-12)


def test_without_bands_the_range_is_the_time_itself() -> None:
    reading, _ = read("set", "wait", temp_band_c=0.0, time_band_share=0.0)
    assert reading.early_min == reading.minutes_min == reading.late_min


def test_a_band_that_leaves_the_sheets_range_is_held_inside_it_and_says_so() -> None:
    reading, why = read("set", "wait", coldest_c=6.0)
    assert reading.late_min > time_between(BED.set_, 5.0, "set").minutes_min
    assert "held inside the sheet's own 5 to 30 °C" in " ".join(node.relation for _, node in why.walk())
    _, inside = read("set", "wait", coldest_c=10.0)
    assert "held inside" not in " ".join(node.relation for _, node in inside.walk())


@given(st.floats(5.0, 30.0), st.floats(0.0, 5.0), st.floats(0.0, 0.5), st.sampled_from(["life", "set", "strength"]))
def test_early_is_never_after_the_time_and_late_never_before_it(
    temp_c: float, temp_band_c: float, time_band_share: float, kind: ClockKind
) -> None:
    target = 12.0 if kind == "strength" else None
    reading, _ = read(
        kind, "wait", target=target, coldest_c=temp_c, temp_band_c=temp_band_c, time_band_share=time_band_share
    )
    assert 0.0 < reading.early_min <= reading.minutes_min <= reading.late_min


def test_where_warmth_weakens_the_range_still_holds_both_sides() -> None:
    # at 20 N/mm² this made-up mortar is later when warmer: late must look at the warm side too
    odd = sheet(strength=strengths((5.0, 60.0, 10.0), (5.0, 120.0, 20.0), (20.0, 60.0, 12.0), (20.0, 240.0, 20.0)))
    reading, _ = read("strength", "wait", own=odd, target=20.0, coldest_c=10.0, time_band_share=0.0)
    warmer_min = time_to_strength(odd.strength, 20.0, 12.0, "x")[0].minutes_min
    assert reading.late_min == pytest.approx(warmer_min, rel=1e-12)


def test_the_why_stands_on_the_sheets_points_with_their_places() -> None:
    _, why = read("set", "wait")
    sources = [node.source for _, node in why.walk()]
    assert "sheets/sample.toml: at 5" in sources
    assert "sheets/sample.toml: at 20" in sources
    assert "activation energy" in why.relation
    assert "kJ/mol" in why.relation


def test_the_why_of_a_strength_shows_its_data_and_says_where_the_first_datum_stands_in() -> None:
    _, why = read("strength", "wait", target=5.0)
    relations = {node.what: node.relation for _, node in why.walk()}
    assert relations["age to 5 N/mm² at 5 °C"] == "strength straight in ln(age) between two data"
    assert relations["age to 5 N/mm² at 20 °C"].startswith("no shorter than the first datum's age")


def test_at_a_sheets_temperature_the_why_says_it_is_the_sheets_own_value() -> None:
    reading, why = read("set", "wait", coldest_c=20.0)
    assert reading.minutes_min == 34.0
    assert why.relation == "the sheet's own value at 20 °C"
