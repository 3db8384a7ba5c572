"""The SVG writer: numbers, words, dimensions and labels that keep apart."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from drawings.tools import picture, pixels
from truebed.drawings.levels_text import signed_mm, tenth_mm, whole_or_tenth_mm
from truebed.drawings.svg import dimension, document, escaped, inverse_words, number, polygon, spread, words

finite = st.floats(-1e5, 1e5)


@given(finite)
def test_a_coordinate_is_never_minus_zero_and_keeps_a_thousandth(value_mm: float) -> None:
    text = number(value_mm)
    assert text != "-0"
    assert abs(float(text) - value_mm) <= 0.00051


@pytest.mark.parametrize("value_mm", [math.nan, math.inf, -math.inf])
def test_a_coordinate_that_is_no_number_is_refused(value_mm: float) -> None:
    with pytest.raises(ValueError, match="cannot hold the coordinate"):
        number(value_mm)


@given(st.text(max_size=40))
def test_any_words_make_well_formed_xml_that_reads_back(text: str) -> None:
    svg = document(50, 20, text, [words((1, 1), text)])
    root = ElementTree.fromstring(svg)  # noqa: S314 - our own text
    read = [e.text or "" for e in root.iter() if e.tag.endswith("text")]
    assert len(read) == 1
    visible = [c for c in text if c.isprintable()]
    assert [c for c in read[0] if c.isprintable()] == [c for c in visible if c in escaped(c) or c in "<>&\"'"]


def test_dimension_words_read_from_below_or_from_the_right() -> None:
    assert "rotate(-90 " in dimension((0, 50), (0, 0), (-5, 0), "600")
    assert "rotate(-90 " in dimension((0, 0), (0, 50), (-5, 0), "600")
    assert "rotate" not in dimension((50, 0), (0, 0), (0, 5), "600")


@given(st.lists(finite, min_size=1, max_size=12).map(sorted), st.floats(0.5, 10))
def test_labels_keep_their_order_and_gap_and_stay_put_where_there_is_room(wanted: list[float], gap_mm: float) -> None:
    got = spread(wanted, gap_mm)
    assert all(b - a >= gap_mm * (1 - 1e-6) - 1e-6 for a, b in pairwise(got))
    if all(b - a >= gap_mm for a, b in pairwise(wanted)):
        assert got == pytest.approx(wanted)
    assert sum(got) == pytest.approx(sum(wanted), rel=1e-9, abs=1e-6)


def test_levels_carry_their_sign_and_zero_has_none() -> None:
    assert [signed_mm(v) for v in (3.24, -1.0, -0.04, 0.04)] == ["+3.2", "\u22121.0", "0.0", "0.0"]
    assert tenth_mm(-0.01) == "0.0"
    assert [whole_or_tenth_mm(v) for v in (950.0, 32.5, 949.99)] == ["950", "32.5", "950"]


@pytest.mark.tools
def test_on_a_dark_screen_ink_and_paper_change_places(tmp_path: Path) -> None:
    parts = [
        polygon([(0, 0), (100, 0), (100, 40), (0, 40)], 0.0, "ink"),
        inverse_words((50, 25), "night", 12.0),
        polygon([(110, 5), (190, 5), (190, 35), (110, 35)], 1.0, "cross"),
        words((150, 22), "words", 9.0),
    ]
    svg = document(200, 60, "dark", parts)
    light, dark = pixels(picture(svg, tmp_path)), pixels(picture(svg, tmp_path, dark=True))
    shown = (slice(0, 220), slice(0, 750))  # the drawing's own ground, 200 x 60 mm
    assert np.mean(np.abs(255 - light[shown].astype(int) - dark[shown].astype(int))) < 2.0
    assert light[4, 4].tolist() == [0, 0, 0]
    assert dark[4, 4].tolist() == [255, 255, 255]


def test_the_dark_screen_s_rules_are_for_screens_and_reach_only_the_drawing() -> None:
    svg = document(50, 20, "x", [])
    (rules,) = re.findall(r"<style>(.*)</style>", svg)
    assert "@media screen and (prefers-color-scheme:dark)" in rules
    outside = re.sub(r"@media screen( and \(prefers-color-scheme:dark\))?", "", rules)
    assert all(".drawing" in selector for selector in re.findall(r"([^{},]+)(?=[{,])", outside) if selector.strip())
    assert svg.index('class="drawing"') < svg.index("<style>")
