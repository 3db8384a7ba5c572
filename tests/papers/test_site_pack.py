"""The site pack as printed: its words, its pages, its bytes."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader

from drawings.tools import dark_share, greatest_tint, page_pixels, pages
from papers.sample_aids import full, in_parts
from papers.sample_plan import sample_plan
from truebed.papers.site_pack import in_order, pack_words, site_pack_pdf
from truebed.papers.typesetting import typeset
from truebed.programme.problem import Schedule

PLAN = sample_plan()
CLOSURE = PLAN.closures[0]


@pytest.fixture(scope="module")
def pdf() -> bytes:
    """The sample's pack."""
    return site_pack_pdf(PLAN, CLOSURE)


def flat(pdf: bytes, page: int | None = None) -> str:
    """All words of the paper, white space folded."""
    reader = PdfReader(io.BytesIO(pdf))
    chosen = reader.pages if page is None else [reader.pages[page]]
    return " ".join(" ".join(p.extract_text() for p in chosen).split())


def test_the_first_sheet_holds_the_key_numbers(pdf: bytes) -> None:
    text = flat(pdf, 0)
    for words in (
        "20:00",
        "03:01",
        "06:00",
        "179 min",
        "proven best",
        "before 02:49 is impossible",
        "DEMO: invented town",
    ):
        assert words in text
    for words in ("K13", "short by 18 min", "K14", "Read at least three levels"):
        assert words in text


def test_every_corner_s_level_kit_and_clock_is_printed(pdf: bytes) -> None:
    text = flat(pdf)
    for design in CLOSURE.designed:
        for corner in design.setting.corners:
            assert f"{corner.rim_mm:+.0f}".replace("-", "\u2212") in text
    for words in (
        "22:09",
        "22:31",
        "reaches 20 N/mm\u00b2",
        "NOT TONIGHT",
        "measure the chamber top at eight points",
        "38.6",
    ):
        assert words in text


def test_words_with_markup_characters_are_printed_as_they_stand(pdf: bytes) -> None:
    assert "Rocks towards the *kerb* side; #2 lid has a @broken ear & <chipped> seat, $ not priced" in flat(pdf)
    assert "Gable top <5 % grit>" in flat(pdf)


def test_every_page_says_who_decides_and_that_it_is_a_demo(pdf: bytes) -> None:
    count = len(PdfReader(io.BytesIO(pdf)).pages)
    for page in range(count):
        assert "Truebed advises; a competent person decides." in flat(pdf, page)
        assert "DEMO: invented town, invented materials" in flat(pdf, page)
        assert re.search(rf"page {page + 1} of {count}", flat(pdf, page))


def test_a_real_works_bears_no_demo_mark() -> None:
    assert "DEMO" not in flat(site_pack_pdf(replace(PLAN, demo=False), CLOSURE))


def test_covers_stand_in_the_order_of_the_night_and_those_left_out_follow() -> None:
    assert [d.cover for d in in_order(replace(CLOSURE, designed=CLOSURE.designed[::-1]))] == ["K11", "K12", "K13"]


def test_twice_gives_the_same_bytes_dated_by_the_closure(pdf: bytes) -> None:
    assert site_pack_pdf(PLAN, CLOSURE) == pdf
    made = PdfReader(io.BytesIO(pdf)).metadata
    assert made is not None
    assert made.creation_date == CLOSURE.shut


def test_no_path_of_this_machine_is_in_the_paper(pdf: bytes) -> None:
    assert b"/tmp" not in pdf
    assert str(Path.cwd()).encode() not in pdf


def test_a_closure_in_which_nothing_is_done_is_printed() -> None:
    empty = replace(CLOSURE, solution=replace(CLOSURE.solution, schedule=Schedule((), (), 0)), designed=())
    assert "No cover is done in this closure." in flat(site_pack_pdf(PLAN, empty))


def test_a_late_plan_says_by_how_much() -> None:
    late = replace(CLOSURE, open_by=CLOSURE.shut + timedelta(minutes=400))
    assert "TOO LATE BY" in flat(site_pack_pdf(PLAN, late), 0)
    assert pack_words(PLAN, late)["title"] == "Tenter ward ironwork, Tenter-1: site pack"


def test_a_template_that_does_not_compile_gives_a_sentence() -> None:
    with pytest.raises(ValueError, match="could not be set"):
        typeset("#nonsense(", {}, CLOSURE.shut)


def test_a_cover_has_five_pages_at_most_with_its_road_and_its_departure(pdf: bytes) -> None:
    heads = [flat(pdf, page).split()[0] for page in range(len(PdfReader(io.BytesIO(pdf)).pages))]
    assert {cover: heads.count(cover) for cover in ("K11", "K12", "K13")} == {"K11": 5, "K12": 5, "K13": 5}
    text = flat(pdf)
    assert text.count("The road as fitted") == 3
    assert text.count("Rim minus road and bed [mm], round the rim") == 3
    assert "known to" not in text
    sure = tuple(replace(d, road_sd_mm=0.84, rim_error_mm=(1.4,) * len(d.setting.rim_points)) for d in CLOSURE.designed)
    known = flat(site_pack_pdf(PLAN, replace(CLOSURE, designed=sure)))
    assert known.count("\u00b10.8 mm at worst") == 3
    assert known.count("Dotted: where the rim truly lies nine times in ten.") == 3


def told_in_full() -> bytes:
    """A pack whose covers tell all that the ground can tell, the second in two castings."""
    first, second, third = CLOSURE.designed
    return site_pack_pdf(PLAN, replace(CLOSURE, designed=(full(first), in_parts(second), third)))


def test_all_that_the_ground_tells_is_printed_with_its_numbers() -> None:
    text = flat(told_in_full())
    for words in (
        "staff S1 (mark 1500)", "1491", "35.4", "20 + 10 + 5, 0.4 short", "x \u2212600, y +325", "23.4",
        "Take again first P3 and P7", "nine times in ten 12 to 43 mm", "may lie 13 mm higher or 16 mm lower",
        "Road not read there, level the block: x \u2212245, y +458", "Greatest step at a joint: \u22121.3 mm",
        "left from 75 to 60 mm for lamp post", "73.9 l \u00b1 8.1, 0.16 t", "core", "lift the frame",
        "the kerb is in its way", "BREAKS: worst gap under the straightedge 4.6 mm", "57 % of the road read",
        "left x 0, y 560 mm",
    ):  # fmt: skip
        assert words in text, words


def test_nothing_known_leaves_no_empty_headings(pdf: bytes) -> None:
    text = flat(pdf)
    for words in (
        "Strings over",
        "staff S",
        "packer: ",
        "Take again",
        "before break-out",
        "past the corner",
        "waste",
        "ride:",
    ):
        assert words not in text, words


def test_a_pack_told_in_full_is_the_same_bytes_twice_and_no_cover_takes_more_than_its_pages() -> None:
    told = told_in_full()
    assert told_in_full() == told
    heads = [flat(told, page).split()[0] for page in range(len(PdfReader(io.BytesIO(told)).pages))]
    assert heads.count("K11") <= 5
    assert heads.count("K12") <= 6


def test_a_measured_chamber_top_asks_for_no_second_measuring(pdf: bytes) -> None:
    assert flat(pdf).count("Chamber top, measured at eight points or more") == 2


@pytest.mark.tools
def test_every_page_s_picture_is_neither_blank_nor_black_and_has_no_colour(pdf: bytes, tmp_path: Path) -> None:
    found = pages(pdf, tmp_path)
    assert len(found) == len(PdfReader(io.BytesIO(pdf)).pages)
    for page in found:
        image = page_pixels(page)
        assert 0.003 < dark_share(image) < 0.4, page.name
        assert greatest_tint(image) == 0, page.name
