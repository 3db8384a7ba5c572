"""The table of a sweep: a row a cover, numbers that can be read back, no cell that a spreadsheet would run."""

import csv
import io
from dataclasses import replace

from plan.sample import case, demo_works, shelf
from truebed.papers.sweep_csv import HEAD, sweep_csv
from truebed.plan.network_sweep import sweep_works


def rows_of(data):
    assert data.startswith(b"\xef\xbb\xbf")
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


def test_each_cover_has_a_row_with_its_figures_as_the_answer_has_them():
    swept = sweep_works(demo_works(), shelf(), {})
    rows = rows_of(sweep_csv(swept))
    assert [r["cover"] for r in rows] == [c.cover for c in demo_works().covers]
    assert tuple(rows[0]) == HEAD
    for row, cover in zip(rows, swept.covers, strict=True):
        if cover.status != "worked out":
            assert row["bed_l"] == ""
            continue
        assert abs(float(row["corner_3_mm"]) - cover.answer.corners[cover.row, 2]) <= 5e-7
        assert abs(float(row["bed_l"]) - cover.answer.litres[cover.row, 0]) <= 5e-7
        assert abs(float(row["saw_m"]) - cover.answer.saw_m[cover.row]) <= 5e-7


def test_a_gross_reading_is_named_by_its_point():
    rows = rows_of(sweep_csv(sweep_works(demo_works(), shelf(), {})))
    named = {r["cover"]: (r["gross_reading"], r["gross_off_mm"]) for r in rows if r["gross_reading"]}
    assert named["T03"][0] == "R5"
    assert 95.0 < float(named["T03"][1]) < 105.0


def test_a_name_that_reads_as_a_formula_gets_an_apostrophe():
    works = demo_works()
    odd = replace(works, covers=(replace(case().cover, cover="=1+1", street="@home"),), readings=())
    (row,) = rows_of(sweep_csv(sweep_works(odd, shelf(), {})))
    assert (row["cover"], row["street"]) == ("'=1+1", "'@home")
    assert (row["status"], row["why"]) == ("refused", "only 0 road readings; at least 6")


def test_two_sweeps_give_the_same_bytes():
    assert sweep_csv(sweep_works(demo_works(), shelf(), {})) == sweep_csv(sweep_works(demo_works(), shelf(), {}))
