"""The load list reads back as a spreadsheet, and holds no formula."""

from __future__ import annotations

import io
from dataclasses import replace

import openpyxl

from papers.sample_aids import aids_of
from papers.sample_plan import load, sample_plan
from truebed.papers.load_list import HEAD, load_list_xlsx, packer_lines, sheet_names, totals
from truebed.plan.result import LoadLine

PLAN = sample_plan()


def test_the_sheets_hold_every_line_with_its_numbers_and_a_tick() -> None:
    book = openpyxl.load_workbook(io.BytesIO(load_list_xlsx(PLAN)))
    assert book.sheetnames == ["Tenter-1", "all closures"]
    sheet = book["Tenter-1"]
    assert tuple(c.value for c in sheet[3]) == HEAD
    rows = [[c.value for c in row] for row in sheet.iter_rows(min_row=4)]
    assert rows[0] == ["\u2610", "Quoin bed", "quoin-bed", 2, 2, "kit", "K11, K12", ""]
    assert rows[2][4] == "not determined"
    assert [r[3] for r in rows] == [2, 6, 4, 4]
    assert "DEMO" in sheet["A1"].value


def test_words_that_look_like_formulas_stay_words() -> None:
    book = openpyxl.load_workbook(io.BytesIO(load_list_xlsx(PLAN)))
    cells = [c for row in book["Tenter-1"].iter_rows(min_row=4) for c in row if isinstance(c.value, str)]
    risky = [c for c in cells if c.value.startswith(("=", "+"))]
    assert sorted(c.value for c in risky) == ["+Gable top", "=1+1 is not a sum"]
    assert all(c.data_type == "s" or c.quotePrefix for c in risky)
    assert all(c.quotePrefix for c in risky)


def test_the_page_is_a4_across_with_its_head_repeated() -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(load_list_xlsx(PLAN)))["Tenter-1"]
    assert (sheet.page_setup.paperSize, sheet.page_setup.orientation) == (9, "landscape")
    assert sheet.print_title_rows == "$3:$3"
    assert sheet.column_dimensions["B"].width > 30


def test_twice_gives_the_same_bytes() -> None:
    assert load_list_xlsx(PLAN) == load_list_xlsx(PLAN)


def test_totals_add_quantities_and_never_invent_a_spare() -> None:
    more = tuple(replace(line, closure="Bobbin-2", for_covers=("K20",)) for line in load())
    summed = totals((*load(), *more))
    assert [(t.what, t.quantity, t.spare) for t in summed][:3] == [
        ("Quoin bed", 4, 4),
        ("Marl flow", 12, 0),
        ("Tithe backfill", 8, None),
    ]
    assert summed[0].for_covers == ("K11", "K12", "K20")
    assert (
        totals((LoadLine("", "a", "s", 1, 2, "kit", (), ""), LoadLine("", "a", "s", 1, None, "kit", (), "")))[0].spare
        is None
    )


def test_sheet_names_obey_the_spreadsheet() -> None:
    names = sheet_names(("a/b", "a:b", "A-B", "x" * 40, "x" * 40, "history", "", "all closures"))
    assert len({n.lower() for n in names}) == 8
    assert all(0 < len(n) <= 31 and not set(n) & set("[]:*?/\\'") for n in names)
    assert "history" not in {n.lower() for n in names}
    assert "all closures" not in names


def test_tools_go_from_night_to_night_and_are_not_added_up() -> None:
    saw = LoadLine("N1", "saw", "", 1, None, "pieces", (), "saw")
    former = LoadLine("N1", "former", "", 1, None, "pieces", ("A",), "")
    again = replace(former, closure="N2", quantity=2, for_covers=("B",))
    found = totals((saw, replace(saw, closure="N2", quantity=2), former, again))
    assert {line.what: line.quantity for line in found} == {"saw": 2, "former": 3}


def test_what_has_no_spare_by_nature_has_an_empty_cell_not_an_open_question() -> None:
    plan = replace(PLAN, load=(LoadLine(PLAN.closures[0].closure, "saw", "", 1, None, "pieces", (), ""),))
    sheet = openpyxl.load_workbook(io.BytesIO(load_list_xlsx(plan))).worksheets[0]
    assert sheet.cell(4, 5).value in (None, "")


def test_packers_of_the_frames_done_tonight_are_counted_by_size() -> None:
    closure = PLAN.closures[0]
    first, second, third = closure.designed
    stacked = replace(first, aids=aids_of(first, (20.0, 10.0, 5.0)))
    tall = replace(second, aids=aids_of(second, (30.0, 5.0)))
    left_out = replace(third, aids=aids_of(third, (7.0,)))
    lines = packer_lines(replace(closure, designed=(stacked, tall, left_out)))
    assert [(line.what, line.quantity, line.for_covers) for line in lines] == [
        ("Packer 30 mm", 4, ("K12",)),
        ("Packer 20 mm", 4, ("K11",)),
        ("Packer 10 mm", 4, ("K11",)),
        ("Packer 5 mm", 8, ("K11", "K12")),
    ]


def test_packers_that_the_yard_does_not_hold_are_wanted_by_height_and_printed() -> None:
    closure = PLAN.closures[0]
    first, *others = closure.designed
    bare = replace(closure, designed=(replace(first, aids=aids_of(first, ())), *others))
    (line,) = packer_lines(bare)
    assert (line.what, line.quantity) == ("Packer made to height", 4)
    assert line.note.startswith("35.4 to 35.4 mm high")
    book = openpyxl.load_workbook(io.BytesIO(load_list_xlsx(replace(PLAN, closures=(bare,)))))
    for sheet in book.worksheets:
        assert "Packer made to height" in [row[1].value for row in sheet.iter_rows(min_row=4)]


def test_without_packers_there_is_no_line_of_them() -> None:
    assert packer_lines(PLAN.closures[0]) == ()
