"""Readings on the frame against the road, taps on the flange, corners in the frame's own turn, height for the bed."""

from dataclasses import replace

import numpy as np
import pytest

from diagnosis.sample import cover, limits, tap, uk
from truebed.diagnosis.diagnose import survey_of
from truebed.diagnosis.survey import bed_height, flange_taps, frame_departures, nearest_corner, on_flange
from truebed.levels.booking import Spot
from truebed.levels.road_fit import fit_road
from truebed.rules.ruleset import RuleSet
from truebed.sheets.sheet import Limits, Sheet


def falling_road(x, y):
    return 0.02 * x - 0.01 * y + 5.0


def spots(frame_low_mm=8.0):
    ring = [(750 * np.cos(a), 750 * np.sin(a)) for a in np.linspace(0, 2 * np.pi, 12, endpoint=False)]
    road = [Spot(f"r{i}", x, y, falling_road(x, y), "road", i + 2) for i, (x, y) in enumerate(ring)]
    corners = [(300.0, 300.0), (300.0, -300.0), (-300.0, 300.0), (-300.0, -300.0)]
    on = [Spot(f"f{i}", x, y, falling_road(x, y) - frame_low_mm, "frame", i + 20) for i, (x, y) in enumerate(corners)]
    return tuple(road + on)


def test_a_frame_8_mm_low_on_a_falling_road_is_8_mm_low_at_each_reading():
    given = spots()
    road = fit_road(tuple(s for s in given if s.where == "road"), 2.0, 0.05)
    found = frame_departures(given, road, 2.0)
    assert [d.off_mm for d in found] == pytest.approx([-8.0] * 4, abs=1e-6)
    assert [d.row for d in found] == [20, 21, 22, 23]
    # error of the reading 2 mm and of a plane through 12 points at 424 mm of 750 mm: 2 sqrt(1 + (1 + 2 r2/R2) / 12)
    expected = 2.0 * np.sqrt(1.0 + (1.0 + 2.0 * (300.0**2 * 2) / 750.0**2) / 12.0)
    assert [d.error_mm for d in found] == pytest.approx([expected] * 4, rel=1e-6)


def test_without_a_road_there_are_no_departures():
    assert frame_departures(spots(), None, 2.0) == ()


def test_taps_on_the_flange_tell_of_the_bed_and_those_outside_do_not():
    taps = (tap(420, 0, "hollow"), tap(440, 0, "hollow"), tap(0, 370), tap(0, 390, "loose"), tap(-420, -370, "hollow"))
    assert flange_taps(cover(), taps) == (3, 2)


def test_a_round_flange_is_judged_by_its_circle():
    circle = cover(shape="round", flange_mm=(800.0, 800.0))
    assert on_flange(circle, 390.0, 0.0)
    assert not on_flange(circle, 300.0, 300.0)
    assert on_flange(cover(flange_mm=(800.0, 800.0)), 300.0, 300.0)


def test_a_d_flange_has_no_corners_in_front():
    d_shape = cover(shape="D", flange_mm=(860.0, 760.0))
    assert on_flange(d_shape, -420.0, 370.0)
    assert on_flange(d_shape, 425.0, 0.0)
    assert not on_flange(d_shape, 420.0, 370.0)


@pytest.mark.parametrize(
    ("turn_deg", "point", "corner"),
    [
        (0.0, (1, 1), "front_left"),
        (0.0, (-1, -1), "back_right"),
        (90.0, (-1, 1), "front_left"),
        (90.0, (1, 1), "front_right"),
    ],
)
def test_corners_turn_with_the_frame(turn_deg, point, corner):
    assert nearest_corner(cover(turn_deg=turn_deg), *point) == corner


def test_a_cover_without_a_sheet_is_an_empty_sheet_and_other_covers_soundings_are_left_out():
    taps = (tap(0, 0, "hollow", name="C2"), tap(0, 0))
    found = survey_of(cover(), None, taps, (), None, limits())
    assert found.condition.cover == "C1"
    assert found.condition.rock_mm is None
    assert (found.taps_count, found.taps_hollow_count) == (1, 0)


def test_the_bed_that_is_left_is_the_depth_to_the_chamber_top_less_the_frame():
    empty = dict.fromkeys(Sheet.__dataclass_fields__)
    sheet = Sheet(**(empty | {"key": "b", "name": "a bed", "limits": Limits(10.0, 60.0, 5.0, 30.0)}))
    found = bed_height(cover(chamber_depth_mm=150.0), sheet, uk())
    assert (found.left_mm, found.error_mm, found.least_mm, found.most_mm) == (50.0, None, 10.0, 60.0)
    value = replace(uk().values[0], name="chamber_top_sd_mm", value=8.0, applies=())
    assert bed_height(cover(), sheet, RuleSet("own", "own", (*uk().values, value))).error_mm == 8.0
