"""The stated truth of the demo: its surfaces by hand, and that it agrees with the client's estimates."""

from __future__ import annotations

import csv
import io

import pytest

from truebed.demo.build import build_demo
from truebed.demo.town import QUERNFORD, truth_of
from truebed.demo.truth import CrownRoad, PlaneRoad, TwistRoad, chamber_depth_mm, road_level_mm


def test_a_plane_road_is_read_off_its_slopes() -> None:
    assert road_level_mm(PlaneRoad(100.0, 0.01, -0.02), 300.0, 200.0) == pytest.approx(100.0 + 3.0 - 4.0)


def test_a_twist_adds_its_own_figure_at_its_reach_and_the_opposite_on_the_other_diagonal() -> None:
    road = TwistRoad(0.0, 0.0, 0.0, 8.0)
    assert road_level_mm(road, 500.0, 500.0) == pytest.approx(8.0)
    assert road_level_mm(road, -500.0, 500.0) == pytest.approx(-8.0)
    assert road_level_mm(road, 250.0, -250.0) == pytest.approx(-2.0)


def test_a_crown_falls_away_from_its_ridge_on_both_sides() -> None:
    road = CrownRoad(240.0, 0.0, 0.022, 0.020, 40.0)
    assert road_level_mm(road, 0.0, 40.0) == pytest.approx(240.0)
    assert road_level_mm(road, 0.0, 140.0) == pytest.approx(240.0 - 2.2)
    assert road_level_mm(road, 0.0, -60.0) == pytest.approx(240.0 - 2.0)


def test_the_true_chamber_depth_is_within_the_estimates_own_error() -> None:
    rows = csv.DictReader(io.StringIO(build_demo()["covers.csv"].decode()))
    stated_sd_mm = 8.0  # rules/quernford.toml, chamber_top_sd_mm
    misses = {row["cover"]: float(row["chamber_depth_mm"]) - chamber_depth_mm(truth_of(row["cover"])) for row in rows}
    assert max(abs(miss) for miss in misses.values()) < 2.0 * stated_sd_mm
    assert any(miss > 0 for miss in misses.values())
    assert any(miss < 0 for miss in misses.values())


def test_every_failed_frame_lies_ten_to_twenty_five_millimetres_low() -> None:
    for truth in QUERNFORD:
        sunk = road_level_mm(truth.road, 0.0, 0.0) - truth.old_frame.at(0.0, 0.0)
        if truth.cover == "T05":
            assert sunk == 0.0  # its lid is low, not its frame
            continue
        assert 10.0 <= sunk <= 25.0, truth.cover


def test_an_unknown_cover_has_no_truth() -> None:
    with pytest.raises(KeyError):
        truth_of("Z99")
