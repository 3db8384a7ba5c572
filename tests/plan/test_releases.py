"""Release tables: later on a colder base, the plan's own minutes within them, frost told."""

from dataclasses import replace

import pytest

from plan.night_case import case_with, clock, clocks, parts, plain_clocks
from truebed.plan.design import opening_clocks
from truebed.plan.releases import releases_of


def tables(case=None, known=None):
    made = case_with() if case is None else case
    return releases_of(made, plain_clocks() if known is None else known, opening_clocks(made, parts()[1]), parts()[0])


def test_every_clock_that_opens_the_road_has_a_table_and_no_other():
    assert {(t.pour, t.kind) for t in tables()} == {
        ("bed", "strength"), ("fill", "strength"), ("backfill", "ready"), ("surface", "ready"), ("seal", "ready"),
    }  # fmt: skip


def test_a_colder_base_is_later_all_the_way_down_each_table_and_never_outside_the_sheet():
    for table in tables():
        bases = [line.base_c for line in table.lines]
        late = [line.ready.late_min for line in table.lines]
        assert bases == sorted(bases)
        assert len(bases) > 5
        assert bases[0] >= 5.0
        assert bases[-1] <= 30.0
        assert late == sorted(late, reverse=True)
        assert all(x.ready.early_min < x.ready.central_min < x.ready.late_min for x in table.lines)


def test_the_governing_hours_own_minutes_lie_within_the_table():
    bed = next(t for t in tables() if t.pour == "bed")
    reading = clock(plain_clocks(), "bed", "strength").reading
    assert bed.target_n_per_mm2 == reading.target_n_per_mm2 == 14.0
    assert bed.lines[-1].ready.late_min < reading.late_min < bed.lines[0].ready.late_min


def test_what_was_read_off_a_sheets_points_has_no_table():
    bare = tuple(replace(k, reading=replace(k.reading, hours=())) for k in plain_clocks())
    assert tables(known=bare) == ()


def test_a_base_on_which_the_layer_would_freeze_is_told_as_never_with_its_share():
    case = case_with(air_c=3.0, road_c=3.0, mix_c=8.0, method="winter")
    rime = replace(case.sheets["rime-bed"], limits=replace(case.sheets["rime-bed"].limits, temp_least_c=-8.0))
    case = replace(case, sheets={**case.sheets, "rime-bed": rime})
    volumes, targets, _ = parts("winter")
    made = releases_of(case, clocks(case), opening_clocks(case, targets), volumes)
    bed = next(t for t in made if t.pour == "bed")
    coldest = bed.lines[0]
    assert coldest.base_c < 0.0
    assert coldest.frost_share > 0.5
    assert coldest.ready.late_min is None
    assert bed.lines[-1].frost_share == pytest.approx(0.0)
    assert bed.lines[-1].ready.late_min is not None
