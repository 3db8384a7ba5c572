"""The tables of docs/theory/cold-night.md, computed again from the demo's winter mortar: both ways wrong."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from curing.rime_bed import NIGHT, asked
from truebed.curing.two_clocks import isothermal_ready_min, two_clocks

PAGE = Path(__file__).parents[2] / "docs" / "theory" / "cold-night.md"
RIME = asked()
FROST = "frost"


def page_rows(heading):
    lines = PAGE.read_text("utf-8").split(heading)[1].split("\n\n")
    table = next(block for block in lines if block.startswith("| road"))
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines()[2:]]


def clocks_of(row):
    road, air, bed, mix = map(float, row[:4])
    strip_mm = None if row[4] == "endless" else float(row[4])
    night = replace(NIGHT, base_c=road, air_c=air, thick_mm=bed, mix_c=mix, strip_mm=strip_mm)
    return two_clocks(night, RIME)


def as_said(value, off=False):
    """As the page writes minutes: whole ones, a sign on a difference."""
    return "-" if value is None else f"{value:+.0f}" if off else f"{value:.0f}"


def wait_cells(clocks):
    if clocks.ready.central_min is None:
        return [FROST] * 5
    offs = [as_said(one.ready_off_min, off=True) for one in clocks.isothermal]
    late = FROST if clocks.frosted_share > 0.0 else as_said(clocks.ready.late_min)
    return [as_said(clocks.ready.central_min), late, *offs]


def life_cells(clocks):
    return [
        as_said(clocks.life.early_min),
        as_said(clocks.life.central_min),
        *(as_said(one.life_off_min, off=True) for one in clocks.isothermal),
    ]


def near(said, found):
    """A word is itself; minutes may differ by one where they stand near a half."""
    if FROST in (said, found):
        return said == found
    return abs(float(said) - float(found)) <= 1.0


@pytest.mark.parametrize(("heading", "cells"), [("## Ready", wait_cells), ("## Working life", life_cells)])
def test_the_pages_table_is_what_is_computed(heading, cells):
    rows = page_rows(heading)
    assert len(rows) >= 8
    for row in rows:
        found = cells(clocks_of(row))
        assert len(row) == 10
        assert all(near(said, now) for said, now in zip(row[5:], found, strict=True)), (row, found)


@pytest.mark.parametrize("column", [7, 8, 9], ids=["air", "road", "mix"])
def test_no_temperature_alone_is_safe_for_the_wait(column):
    offs = [float(row[column]) for row in page_rows("## Ready") if row[5] != FROST]
    assert min(offs) < -10.0
    assert max(offs) > 10.0


@pytest.mark.parametrize("column", [7, 8, 9], ids=["air", "road", "mix"])
def test_no_temperature_alone_is_safe_for_the_working_life(column):
    offs = [float(row[column]) for row in page_rows("## Working life")]
    assert max(offs) >= 2.0
    assert min(offs) <= -2.0


@pytest.mark.parametrize("temp_c", [0.0, 2.0, 5.0, 10.0, 12.0, 20.0])
def test_the_isothermal_answers_of_the_text_are_the_fits_own(temp_c):
    minutes = isothermal_ready_min(RIME.fitted, 20.0, temp_c)
    assert f"{minutes:.0f} min at {temp_c:g} °C" in " ".join(PAGE.read_text("utf-8").split())


def test_what_the_text_says_of_the_tables_is_in_them():
    ready = {tuple(row[:5]): row for row in page_rows("## Ready")}
    sides = [
        float(row[5]) - float(ready[(*key[:4], "endless")][5])
        for key, row in ready.items()
        if key[4] != "endless" and FROST not in (row[5], ready[(*key[:4], "endless")][5])
    ]
    cold, even = [side for side in sides if side > 5.0], [side for side in sides if side <= 5.0]
    said = re.search(r"sides cost (\d+) to (\d+) minutes", " ".join(PAGE.read_text("utf-8").split()))
    least, most = (float(word) for word in said.groups())
    assert (min(cold), max(cold)) == (least, most)
    assert max(even) <= 2.0
    assert ready[("2", "0", "30", "5", "endless")][5] == FROST
    wait = {name: [float(row[7 + n]) for row in ready.values() if row[5] != FROST] for n, name in enumerate("arm")}
    text = " ".join(PAGE.read_text("utf-8").split())
    assert f"up to {-min(wait['m']):.0f} minutes before it is strong enough" in text
    assert f"up to {-min(wait['r']):.0f} minutes *unsafe*" in text
    assert f"wastes up to {max(wait['a']):.0f} minutes; after a frost" in text
    assert f"it too is *unsafe*, by {-min(wait['a']):.0f}." in text
