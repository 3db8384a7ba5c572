"""The demo folder: the same bytes every time, sound files, and a truth that can be found again from its readings."""

from __future__ import annotations

import csv
import io
import tomllib
from collections import Counter
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from truebed.chamber.plane import Plane
from truebed.demo.build import build_demo, chamber_points, shapes
from truebed.demo.survey import rim_spots, road_spots
from truebed.demo.town import QUERNFORD, truth_of
from truebed.demo.truth import CoverTruth, CrownRoad, PlaneRoad, TwistRoad, road_level_mm
from truebed.demo.weather import SPELLS, day_share, hours_of
from truebed.given.folder import parse_works
from truebed.sheets.load import load_sheets
from truebed.sheets.load_method import load_methods

DEMO = build_demo()


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(DEMO[name].decode("utf-8"))))


def sights(mine: list[dict[str, str]]) -> dict[str, float]:
    """Each stand's line of sight over the bench mark, a change point carried on, half a closing miss to each of two."""
    staff = [row for row in mine if row["kind"] == "staff"]
    marks: dict[tuple[str, str], list[float]] = {}
    for row in staff:
        if row["where"] in ("bench mark", "change point"):
            marks.setdefault((row["set_up"], row["where"]), []).append(float(row["value_mm"]))
    if ("S2", "change point") not in marks:
        return {stand: values[0] for (stand, _), values in marks.items()}
    first = marks["S1", "bench mark"][0]
    second = first - marks["S1", "change point"][0] + marks["S2", "change point"][0]
    miss = second - marks["S2", "bench mark"][0]
    return {"S1": first - miss / 2.0, "S2": second - miss}


def road_levels(truth: CoverTruth) -> dict[str, tuple[float, float, float]]:
    """Road levels of one cover by point, staff readings reduced here by a second hand."""
    mine = [row for row in rows("readings.csv") if row["cover"] == truth.cover]
    sight = sights(mine)
    found = {}
    for row in mine:
        if row["where"] == "road":
            value = float(row["value_mm"])
            level = sight[row["set_up"]] - value if row["kind"] == "staff" else value
            found[row["point"]] = (float(row["x_mm"]), float(row["y_mm"]), level)
    return found


def test_building_twice_gives_the_same_bytes() -> None:
    assert build_demo() == DEMO


def test_every_file_parses_as_what_it_is() -> None:
    for name, data in DEMO.items():
        text = data.decode("utf-8")
        if name.endswith(".toml"):
            assert tomllib.loads(text), name
        elif name.endswith(".csv"):
            table = list(csv.reader(io.StringIO(text)))
            assert len(table) > 1, name
            assert {len(row) for row in table} == {len(table[0])}, name
        else:
            assert name == "README"
            assert "INVENTED" in text


def test_the_paths_are_relative_and_posix() -> None:
    for name in DEMO:
        assert not name.startswith("/")
        assert "\\" not in name
        assert ".." not in name


def test_the_town_has_fifteen_covers_or_more_in_three_closures() -> None:
    covers = rows("covers.csv")
    assert len(covers) >= 15
    streets = {street for row in rows("closures.csv") for street in row["streets"].split("|")}
    assert len(rows("closures.csv")) == 3
    assert {row["street"] for row in covers} == streets
    assert [truth.cover for truth in QUERNFORD] == [row["cover"] for row in covers]


def test_every_method_and_sheet_that_is_named_is_in_the_folder() -> None:
    for row in rows("covers.csv"):
        method = tomllib.loads(DEMO[f"methods/{row['method']}.toml"].decode())
        for role in method["role"]:
            assert f"sheets/{role['sheet']}.toml" in DEMO
    for row in rows("stock.csv"):
        assert f"sheets/{row['sheet']}.toml" in DEMO


def test_the_flange_bears_fifty_millimetres_or_more_on_the_wall_all_round() -> None:
    for row in rows("covers.csv"):
        for side in ("along", "across"):
            flange, chamber = float(row[f"flange_{side}_mm"]), float(row[f"chamber_{side}_mm"])
            assert (flange - chamber) / 2.0 >= 50.0, row["cover"]
            assert chamber + 2.0 * float(row["wall_mm"]) >= flange, row["cover"]
            opening = float(row[f"opening_{side}_mm"] or row["opening_along_mm"])
            assert opening <= chamber, row["cover"]
            assert opening < float(row[f"body_{side}_mm"]) < flange, row["cover"]


def test_road_spots_lie_outside_the_flange_and_short_of_the_kerb() -> None:
    by_cover = shapes(DEMO["covers.csv"])
    for truth in QUERNFORD:
        shape = by_cover[truth.cover]
        spots = road_spots(truth, shape)
        assert len(spots) >= 10, truth.cover
        assert len(set(spots)) == len(spots)
        for x, y in spots:
            out = max(abs(x) - shape.flange_along_mm / 2.0, abs(y) - shape.flange_across_mm / 2.0)
            if not shape.round_frame and shape.turn_deg == 0.0:
                in_channel = shape.kerb_mm is not None and y > 0 and out < 150.0
                assert 150.0 <= out <= 350.0 or (in_channel and out > 0.0), truth.cover
            assert shape.kerb_mm is None or y < shape.kerb_mm


def test_the_turned_frame_is_read_at_its_own_turned_corners() -> None:
    shape = shapes(DEMO["covers.csv"])["T04"]
    for x, y in rim_spots(shape):
        assert np.hypot(x, y) == pytest.approx(330.0 * np.sqrt(2.0), abs=5.0)
    assert rim_spots(shape)[0][1] > rim_spots(shape)[0][0] > 0  # anticlockwise: the front-left corner goes left


@pytest.mark.parametrize("truth", [t for t in QUERNFORD if isinstance(t.road, PlaneRoad)], ids=lambda t: t.cover)
def test_least_squares_finds_the_true_plane_within_what_the_reading_error_allows(truth: CoverTruth) -> None:
    levels = road_levels(truth)
    if truth.misreading is not None:
        levels.pop(truth.misreading.point)
    x, y, z = np.array(list(levels.values())).T
    terms = np.column_stack([np.ones_like(x), x, y])
    found = np.linalg.lstsq(terms, z, rcond=None)[0]
    road = truth.road
    assert isinstance(road, PlaneRoad)
    spread = np.sqrt(np.diag(np.linalg.inv(terms.T @ terms))) * np.hypot(truth.reading_sd_mm, 0.3)
    assert (np.abs(found - [road.level_mm, road.along_ratio, road.across_ratio]) < 3.5 * spread).all()


def test_least_squares_finds_the_true_twist_and_its_corner() -> None:
    truth = truth_of("W02")
    road = truth.road
    assert isinstance(road, TwistRoad)
    x, y, z = np.array(list(road_levels(truth).values())).T
    terms = np.column_stack([np.ones_like(x), x, y, x * y / 500.0**2])
    found = np.linalg.lstsq(terms, z, rcond=None)[0]
    assert found[3] == pytest.approx(road.twist_mm, abs=2.0)
    corner_mm = found[3] * (325.0 / 500.0) ** 2
    assert 2.5 < corner_mm < 4.5


def test_least_squares_finds_both_falls_of_the_crown() -> None:
    truth = truth_of("W01")
    road = truth.road
    assert isinstance(road, CrownRoad)
    x, y, z = np.array(list(road_levels(truth).values())).T
    assert len(x) == 20
    terms = np.column_stack(
        [np.ones_like(x), x, np.maximum(y - road.ridge_mm, 0.0), np.maximum(road.ridge_mm - y, 0.0)]
    )
    found = np.linalg.lstsq(terms, z, rcond=None)[0]
    assert found[2] == pytest.approx(-road.left_fall_ratio, abs=0.004)
    assert found[3] == pytest.approx(-road.right_fall_ratio, abs=0.004)
    plane = terms[:, :2], np.column_stack([np.ones_like(x), x, y])
    misfit = z - plane[1] @ np.linalg.lstsq(plane[1], z, rcond=None)[0]
    assert np.sqrt(np.mean(misfit**2)) > 2.0 * truth.reading_sd_mm  # a plane will not do


def test_the_misreadings_are_really_off_and_nothing_else_is() -> None:
    by_misreading = {truth.cover: truth.misreading for truth in QUERNFORD if truth.misreading is not None}
    assert set(by_misreading) == {"T03", "W05"}
    for truth in QUERNFORD:
        for point, (x, y, level) in road_levels(truth).items():
            off = level - road_level_mm(truth.road, x, y)
            slip = by_misreading.get(truth.cover)
            stated = slip.off_mm if slip is not None and slip.point == point else 0.0
            assert abs(off - stated) < 4.0 * truth.reading_sd_mm, (truth.cover, point)


def test_the_reading_error_is_the_stated_one() -> None:
    scaled = [
        (level - road_level_mm(truth.road, x, y)) / truth.reading_sd_mm
        for truth in QUERNFORD
        if truth.misreading is None
        for x, y, level in road_levels(truth).values()
    ]
    assert len(scaled) > 150
    assert abs(np.mean(scaled)) < 0.25
    assert 0.85 < np.std(scaled) < 1.15


def test_one_cover_was_booked_from_one_stand_and_one_from_two_with_a_change_point_that_close() -> None:
    marks = Counter(
        (row["cover"], row["where"], row["set_up"]) for row in rows("readings.csv")
        if row["where"] in ("bench mark", "change point")
    )  # fmt: skip
    assert marks == {
        ("T02", "bench mark", "S1"): 1,
        ("W06", "bench mark", "S1"): 1, ("W06", "change point", "S1"): 1,
        ("W06", "change point", "S2"): 1, ("W06", "bench mark", "S2"): 1,
    }  # fmt: skip
    staff = [row for row in rows("readings.csv") if row["kind"] == "staff"]
    assert {row["cover"] for row in staff} == {"T02", "W06"}
    assert all((row["kind"] == "staff") == (row["set_up"] != "") for row in rows("readings.csv"))


def test_every_cover_has_a_condition_a_place_and_a_bearing_and_a_margin_or_soundings() -> None:
    covers = rows("covers.csv")
    assert {row["cover"] for row in rows("condition.csv")} == {row["cover"] for row in covers}
    sounded = {row["cover"] for row in rows("soundings.csv")}
    for row in covers:
        assert row["x_m"], row["cover"]
        assert row["y_m"], row["cover"]
        assert row["bearing_deg"], row["cover"]
        assert (row["sound_margin_mm"] == "") == (row["cover"] in sounded), row["cover"]


def test_weather_covers_a_day_before_each_closure_until_the_road_is_open_without_a_gap() -> None:
    hours = {datetime.fromisoformat(row["at"]) for row in rows("weather.csv")}
    assert len(hours) == len(rows("weather.csv"))
    for closure in rows("closures.csv"):
        shut, opens = (datetime.fromisoformat(closure[key]) for key in ("road_shut_from", "road_open_by"))
        at = shut.replace(minute=0) - timedelta(hours=24)
        while at <= opens:
            assert at in hours, (closure["closure"], at)
            at += timedelta(hours=1)


def test_the_winter_night_falls_to_between_one_and_two_degrees() -> None:
    row = next(r for r in rows("closures.csv") if r["closure"] == "frost-night")
    shut, opens = (datetime.fromisoformat(row[key]) for key in ("road_shut_from", "road_open_by"))
    air = [
        float(hour["air_temp_c"]) for hour in rows("weather.csv") if shut <= datetime.fromisoformat(hour["at"]) <= opens
    ]
    assert 1.0 <= min(air) <= 2.0
    assert air == sorted(air, reverse=True)
    stamps = [datetime.fromisoformat(row[0]) for row in hours_of(SPELLS[2], shut, opens)]
    assert {at.minute for at in stamps} == {0}
    assert (stamps[0], stamps[-1]) == (shut - timedelta(hours=24, minutes=30), opens - timedelta(minutes=30))


def test_the_daily_wave_is_highest_at_three_and_lowest_at_five() -> None:
    day = [datetime.fromisoformat(f"2027-06-08T{hour:02d}:00+01:00") for hour in range(24)]
    shares = [day_share(at) for at in day]
    assert shares[15] == pytest.approx(1.0)
    assert shares[5] == pytest.approx(0.0)
    assert max(shares) == shares[15]
    assert min(shares) == shares[5]


def test_the_measured_chamber_top_gives_its_true_plane_back() -> None:
    for truth in QUERNFORD:
        points = chamber_points(truth.cover)
        assert len(set(points)) == 8
        x, y, z = np.array(points, dtype=float).T
        terms = np.column_stack([np.ones_like(x), x, y])
        found = np.linalg.lstsq(terms, z, rcond=None)[0]
        spread = np.sqrt(np.diag(np.linalg.inv(terms.T @ terms))) * np.hypot(truth.reading_sd_mm, 0.3)
        plane: Plane = truth.chamber_top
        true = [plane.level_mm, plane.slope_x_ratio, plane.slope_y_ratio]
        assert (np.abs(found - true) < 3.5 * spread).all(), truth.cover


def test_no_bed_fits_over_the_shallow_chamber_whatever_the_tolerance() -> None:
    row = next(r for r in rows("covers.csv") if r["cover"] == "F05")
    least = tomllib.loads(DEMO["sheets/rime-bed.toml"].decode())["limits"]["thickness_least_mm"]
    high_mm = 6.0  # data/rules/uk.toml, fixed_feature_high_mm
    assert float(row["chamber_depth_mm"]) - float(row["frame_depth_mm"]) + high_mm < least


def test_the_folder_reader_accepts_the_demo_without_a_fault() -> None:
    works, faults = parse_works(DEMO)
    assert faults == ()
    assert works is not None
    assert len(works.covers) == len(rows("covers.csv"))
    assert len(works.readings) == len(rows("readings.csv"))
    assert works.heading.demo is True
    assert works.echoes == ()


def test_the_sheets_methods_and_rules_load_without_a_fault() -> None:
    sheets, sheet_faults = load_sheets(DEMO)
    assert sheet_faults == ()
    methods, method_faults = load_methods(DEMO, sheets)
    assert method_faults == ()
    assert {row["method"] for row in rows("covers.csv")} == set(methods)


def test_the_demo_page_names_every_cover_and_what_should_come_out() -> None:
    page = Path(__file__).parents[2].joinpath("docs", "demo.md").read_text("utf-8")
    for truth in QUERNFORD:
        line = next((line for line in page.splitlines() if line.startswith(f"| {truth.cover} ")), "")
        assert truth.trick in line, truth.cover
        assert truth.outcome in line, truth.cover
