"""What the demo's plan holds is what its sheets print, on four pages a cover; a frame in parts may take five."""

import io
import re

import openpyxl
import pytest
from pypdf import PdfReader

from truebed.papers.cut_words import cut_rows
from truebed.papers.setting_words import again_words, corner_rows, forecast_words, stand_heads, string_rows
from whole_job.demo_run import demo_plan, demo_run


def pages_by_cover():
    place, _ = demo_run()
    found = {}
    for plan in demo_plan().closures:
        for page in PdfReader(place / "plan" / f"{plan.closure}-site-pack.pdf").pages:
            text = " ".join(page.extract_text().split())
            found.setdefault(text.split(" ")[0], []).append(text)
    return found


@pytest.fixture(scope="module")
def printed():
    return pages_by_cover()


def designs():
    return [design for plan in demo_plan().closures for design in plan.designed]


def test_no_cover_takes_more_than_its_pages(printed):
    """Five, one more in parts; two more to watch its layers by where it is done tonight."""
    over = {}
    for plan in demo_plan().closures:
        for design in plan.designed:
            most = 5 + (design.parts is not None) + 2 * (design.cover in plan.solution.schedule.done)
            if len(printed[design.cover]) > most:
                over[design.cover] = len(printed[design.cover])
    assert over == {}


def test_every_set_point_has_its_level_staff_reading_and_packer_in_one_row(printed):
    stands = 0
    for design in designs():
        text = " ".join(printed[design.cover])
        for row, corner in zip(corner_rows(design), design.setting.corners, strict=True):
            staff = [next(t.staff_mm for t in s.targets if t.name == corner.name) for s in design.aids.staff]
            stack = next(s for s in design.aids.packers if s.place.name == corner.name)
            told = [row["name"], row["rim"], *(f"{mm:.0f}" for mm in staff), f"{stack.place.height_mm:.1f}"]
            told += [" + ".join(f"{p:g}" for p in stack.pieces_mm)] if stack.pieces_mm else []
            assert " ".join(told) in text, (design.cover, told)
            stands += len(staff)
        for head in stand_heads(design):
            assert head in text
    assert stands > 0


def test_strings_cut_rows_forecast_and_readings_to_take_again_stand_on_the_sheets(printed):
    for design in designs():
        text = " ".join(printed[design.cover])
        for line in string_rows(design):
            for mark in line["marks"]:
                assert f"{mark['along']} {mark['name']}: {mark['down']}" in text, design.cover
        for row in cut_rows(design):
            assert f"{row['name']} {row['text']}" in text, (design.cover, row)
        assert forecast_words(design) in text
        assert again_words(design) in text


def test_the_office_reads_the_repair_of_every_cover_and_what_would_change_it(printed):
    place, _ = demo_run()
    for plan in demo_plan().closures:
        pages = PdfReader(place / "plan" / f"{plan.closure}-site-pack.pdf").pages
        text = " ".join(" ".join(p.extract_text() for p in pages).split())
        office = text[text.index("For the office") :]
        for design in plan.designed:
            if design.diagnosis:
                assert " ".join(design.diagnosis[0].split()) in office, design.cover
        assert len(re.findall("would change the answer", office)) >= 1


def test_the_load_list_holds_every_packer_of_the_frames_done():
    place, _ = demo_run()
    book = openpyxl.load_workbook(io.BytesIO((place / "plan" / "load-list.xlsx").read_bytes()))
    for plan in demo_plan().closures:
        rows = list(book[plan.closure].iter_rows(min_row=4, values_only=True))
        listed = {row[1]: row[3] for row in rows if row[1].startswith("Packer ")}
        pieces = [
            mm
            for d in plan.designed
            if d.cover in plan.solution.schedule.done
            for stack in d.aids.packers
            for mm in stack.pieces_mm
        ]
        assert {k: v for k, v in listed.items() if k != "Packer made to height"} == {
            f"Packer {mm:g} mm": pieces.count(mm) for mm in pieces
        }
