"""A works folder becomes the value its files state: every column of every file, at least once, by name."""

from __future__ import annotations

from datetime import UTC, datetime

from given.base_folder import base_folder
from truebed.demo.build import build_demo
from truebed.given.cover import Cover, Plan2D
from truebed.given.folder import parse_works
from truebed.given.night import Closure, Person, Tool, WeatherHour
from truebed.given.reading import Reading
from truebed.given.works import Condition, Heading, StockLine, Works


def _works() -> Works:
    works, faults = parse_works(base_folder())
    assert faults == ()
    assert works is not None
    return works


def _at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, 3, day, hour, minute, tzinfo=UTC)


def test_the_heading_is_what_works_toml_says() -> None:
    assert _works().heading == Heading(
        name="Quernford ironwork, spring",
        reference="QF-27-03",
        rule_set="uk",
        time_zone="Europe/London",
        latitude_deg=52.6,
        longitude_deg=-1.4,
        coordinate_system="local",
        holiday_calendar="none",
        currency="GBP",
        language="en-GB",
        wanted_probability=0.95,
        demo=False,
    )


def test_a_cover_is_what_its_row_says() -> None:
    assert _works().covers[1] == Cover(
        cover="G-2",
        street="Weir Cross",
        kind="gully",
        opening=Plan2D("rectangle", 450.0, 430.0),
        body=Plan2D("rectangle", 510.0, 490.0),
        flange=Plan2D("rectangle", 610.0, 590.0),
        frame_depth_mm=100.0,
        flange_thick_mm=12.5,
        frame_mass_kg=62.0,
        chamber=Plan2D("round", 500.0, 500.0),
        wall_mm=150.0,
        chamber_depth_mm=140.0,
        load_class="D400",
        place="kerbside",
        method="five-layer",
        sound_margin_mm=120.0,
        bound_depth_mm=160.0,
        severity_weight=35,
        turn_deg=0.0,
        x_m=None,
        y_m=None,
        kerb_side="left",
        kerb_mm=420.0,
        lane_position="by the kerb",
        homes_within_50_m=3,
        remark="",
        row=3,
    )
    first = _works().covers[0]
    assert (first.x_m, first.y_m, first.remark, first.kerb_side) == (4120.5, 987.2, "rocks under buses", "none")


def test_the_other_rows_are_what_they_say() -> None:
    works = _works()
    assert works.readings[12] == Reading("G-2", "BM", 0.0, 0.0, "staff", 1240.0, "bench mark", "A", 14)
    assert works.readings[4] == Reading("F-1", "R5", -560.0, -560.0, "level", 8.0, "road", "", 6)
    assert works.closures == (
        Closure(
            closure="N-1",
            streets=("Tallow Row", "Weir Cross"),
            kind="full",
            road_shut_from=_at(11, 20),
            road_open_by=_at(12, 5, 30),
            noisy_work_ends=_at(11, 23),
            tm_set_min=25,
            tm_clear_min=20,
            mix_temp_c=12.5,
            speed_mph=30.0,
            lanes=2,
            row=2,
        ),
    )
    assert works.people[0] == Person("ganger", ("saw", "lift"), ("N-1",), 2)
    assert works.tools[0] == Tool("saw 450", "saw", 1, None, 450.0, 5.5, "measured in the yard", 2)
    assert works.tools[2] == Tool("paddle mixer", "mixer", 2, 40.0, row=4)
    assert works.weather[1] == WeatherHour(_at(11, 21), 7.0, 5.5, 84.0, 3.0, 0.7, 0.2, 3)
    assert works.stock == (
        StockLine("harrow-bed", "L-0417", 12, "2027-09-30", 2),
        StockLine("harrow-bed", "L-0502", 4, "", 3),
    )
    assert works.condition == (
        Condition(
            cover="F-1",
            lid_step_mm=4.0,
            rock_mm=2.5,
            seat_wear_class=1,
            hollow_taps_pct=40.0,
            courses="two, sound",
            crack_mm=6.0,
            polish="smooth",
            row=2,
        ),
    )


def test_the_same_bytes_give_the_same_works_whatever_order_the_files_come_in() -> None:
    files = base_folder()
    assert parse_works(dict(reversed(files.items()))) == parse_works(files)


def test_the_demo_works_have_no_fault() -> None:
    works, faults = parse_works(build_demo())
    assert [fault.sentence() for fault in faults] == []
    assert works is not None
    assert works.heading.demo
