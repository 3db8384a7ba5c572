"""The cut in words: size, passes, margins by side, corners, hand work, neighbours, waste, former and board."""

from __future__ import annotations

from dataclasses import replace

from papers.sample_aids import WASTE, cored, full
from papers.sample_plan import sample_closure
from truebed.chamber.cut_parts import CornerWork
from truebed.chamber.outline_shapes import OutlineShape, OutlineShapes
from truebed.papers.cut_words import (
    close_off_words,
    corners_words,
    cut_rows,
    hand_words,
    joined_words,
    margins_words,
    waste_words,
)
from truebed.plan.result import CoverDesign

K11, K12, K13 = sample_closure().designed
FULL = full(K11)


def rows(design: CoverDesign) -> dict[str, str]:
    """The rows by name."""
    return {r["name"]: r["text"] for r in cut_rows(design)}


def test_everything_the_saw_and_the_digger_need_is_told_with_its_number() -> None:
    told = rows(FULL)
    assert told["saw"] == (
        "950.0 x 950.0 mm; 3.80 m, 90.0 mm deep in 2 passes, 7.6 m of pass; 10.0 mm below is to be broken"
    )
    assert told["margins"] == "front 75, left 60, back 75, right 75 mm (sound margin)"
    assert told["corners"] == (
        "run on 180 mm past the corner at 1 end; stop at the corner at 1 end, break 180 mm long, 90 deep"
    )
    assert told["drawn in"] == "left from 75 to 60 mm for lamp post"
    assert told["narrow"] == "only 88.0 mm of road left to K12"
    assert told["one cut with"] == "K12: 6.40 m in all; 3.10 m of it here; the shared line is not sawn"
    assert "keep off" not in told
    assert rows(replace(K11, keep_off=FULL.keep_off))["keep off"] == "lamp post"
    assert told["dig"] == "to 202.0 mm below the road at the frame's centre, 102.0 mm of it below the bound layers"
    assert told["waste"] == "73.9 l \u00b1 8.1, 0.16 t, 103 l loose, 2 loads (bound 34.6 l, unbound 39.3 l)"
    assert told["close off"] == "former 2480 mm long, 43 mm high where highest; board against debris 0.38 m\u00b2"


def test_a_plain_cut_has_no_empty_rows() -> None:
    assert set(rows(K11)) == {"saw", "margins", "dig"}
    assert rows(K11)["margins"] == "75 mm all round (sound margin)"
    assert (waste_words(K11), close_off_words(K11), joined_words(None, "K11")) == ("", "", "")


def test_a_round_cut_is_told_by_its_diameter_and_a_turned_one_by_its_angle() -> None:
    disc = replace(K12, cut=replace(K12.cut, form="round", diameter_mm=980.0))
    assert rows(disc)["saw"].startswith("\u00d8980.0 mm; 3.84 m")
    assert rows(K12)["saw"].startswith("960.0 x 960.0 mm, turned 15\u00b0 to the traffic; 3.84 m")
    assert ", stopped by the kerb;" in rows(K13)["saw"]


def test_corners_are_cored_or_left_and_a_round_cut_has_none() -> None:
    assert corners_words(cored()) == "core 2 holes of 153 mm first, then saw"
    stop = CornerWork("stop short", 60.0, left_depth_mm=60.0, left_length_mm=153.0, left_count=8)
    assert corners_words(stop) == "stop at the corner at 8 ends, break 153 mm long, 60 deep"
    assert corners_words(CornerWork("none", 60.0)) == ""


def test_equal_margins_are_told_once() -> None:
    assert margins_words(replace(K11.cut, margins_mm=(95.0,) * 4)) == "95 mm all round (sound margin)"


def test_hand_work_with_one_reason_is_told_once_with_all_its_places() -> None:
    assert hand_words(FULL.cut.hand_work) == (
        "corner at 475, 475 and corner at -475, 475: the blade would run into the kerb; break; the pit's lid is lifted"
    )


def test_waste_whose_density_or_load_is_not_given_tells_neither_tonnes_nor_loads() -> None:
    bare = replace(WASTE, mass_t=None, loose_l=None, load_count=None, plus_minus_l=0.0)
    assert waste_words(replace(K11, waste=bare)) == "73.9 l (bound 34.6 l, unbound 39.3 l)"


def test_the_board_has_its_size_where_the_chamber_s_shape_is_known() -> None:
    for shape, said in (("round", "\u00d8620 mm"), ("rectangle", "620 x 450 mm"), ("D", "0.38 m\u00b2")):
        known = OutlineShapes(chamber=OutlineShape(shape, 620.0, 620.0 if shape == "round" else 450.0))  # type: ignore[arg-type]
        design = replace(FULL, outlines=replace(FULL.outlines, shapes=known))
        assert close_off_words(design).endswith(f"board against debris {said}")
