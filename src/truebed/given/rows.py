"""Sound rows -> the frozen types of what is given."""

from __future__ import annotations

from datetime import datetime
from typing import cast

from truebed.given.cover import CornerRule, Cover, CutShape, CutTurn, FrameShape, KerbSide, Kind, Plan2D, RoadPlace
from truebed.given.night import Closure, ClosureKind, Person, Protection, Tool, WeatherHour
from truebed.given.notes import Notes
from truebed.given.reading import Reading, ReadingKind, Where
from truebed.given.table import Row
from truebed.given.works import StockLine


def text_of(row: Row, column: str) -> str:
    """A text that may be left out: '' then.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_folder.py
    """
    return "" if (text := row.maybe(column, str)) is None else text


def _words(row: Row, column: str) -> tuple[str, ...]:
    return () if (words := row.maybe(column, tuple)) is None else words


def _plan(row: Row, what: str, shape: FrameShape, notes: Notes) -> Plan2D | None:
    """Both plan sizes of one outline; a circle's across may be empty, never different; a D holds its half circle."""
    along_mm = row.get(f"{what}_along_mm", float)
    across_mm = row.maybe(f"{what}_across_mm", float)
    if across_mm is None:
        if shape != "round":
            mend = f"Fill it, or write 'round' as the shape if {along_mm:g} mm is a diameter."
            kind = f"a {shape}"
            notes.fault(row.file, row.row, f"{what}_across_mm", "nothing", f"a size across, of {kind}", mend)
            return None
        across_mm = along_mm
    if shape == "round" and across_mm != along_mm:
        found = f"{along_mm:g} along and {across_mm:g} across"
        mend = "Leave it empty, or write 'rectangle' as the shape."
        notes.fault(row.file, row.row, f"{what}_across_mm", found, "one diameter, as the shape is round", mend)
        return None
    if shape == "D" and along_mm < across_mm / 2.0:
        found = f"a D {along_mm:g} mm along and {across_mm:g} mm across"
        expected = f"at least {across_mm / 2.0:g} mm along: the nose of a D is a half circle of its width"
        mend = "Measure both again; along is from the straight back to the nose, across the straight back itself."
        notes.fault(row.file, row.row, f"{what}_along_mm", found, expected, mend)
        return None
    return Plan2D(shape, along_mm, across_mm)


def _shape(row: Row, column: str) -> FrameShape:
    """An outline's own shape, else the row's."""
    own = row.maybe(column, str)
    return cast(FrameShape, row.get("shape", str) if own is None else own)


def cover_of(row: Row, notes: Notes) -> Cover | None:
    """The cover of a sound row of covers.csv; None and a fault where its shape and sizes disagree.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_folder.py
    """
    opening = _plan(row, "opening", _shape(row, "opening_shape"), notes)
    body = _plan(row, "body", _shape(row, "shape"), notes)
    flange = _plan(row, "flange", _shape(row, "flange_shape"), notes)
    chamber = _plan(row, "chamber", _shape(row, "chamber_shape"), notes)
    if opening is None or body is None or flange is None or chamber is None:
        return None
    parts_count = row.maybe("parts", int)
    turn_deg = row.maybe("turn_deg", float)
    kerb_side, cut_shape = row.maybe("kerb_side", str), row.maybe("cut_shape", str)
    corner_rule, cut_turn = row.maybe("corner_rule", str), row.maybe("cut_turn", str)
    return Cover(
        cover=row.get("cover", str),
        street=row.get("street", str),
        kind=cast(Kind, row.get("kind", str)),
        opening=opening,
        body=body,
        flange=flange,
        frame_depth_mm=row.get("frame_depth_mm", float),
        flange_thick_mm=row.get("flange_thick_mm", float),
        frame_mass_kg=row.get("frame_mass_kg", float),
        chamber=chamber,
        wall_mm=row.get("wall_mm", float),
        chamber_depth_mm=row.get("chamber_depth_mm", float),
        load_class=row.get("load_class", str),
        place=cast(RoadPlace, row.get("place", str)),
        method=row.get("method", str),
        sound_margin_mm=row.maybe("sound_margin_mm", float),
        bound_depth_mm=row.get("bound_depth_mm", float),
        severity_weight=row.get("severity", int),
        turn_deg=0.0 if turn_deg is None else turn_deg,
        x_m=row.maybe("x_m", float),
        y_m=row.maybe("y_m", float),
        kerb_side="none" if kerb_side is None else cast(KerbSide, kerb_side),
        kerb_mm=row.maybe("kerb_mm", float),
        lane_position=text_of(row, "lane_position"),
        homes_within_50_m=row.maybe("homes_within_50_m", int),
        parts_count=1 if parts_count is None else parts_count,
        cut_shape="square" if cut_shape is None else cast(CutShape, cut_shape),
        corner_rule="run on" if corner_rule is None else cast(CornerRule, corner_rule),
        cut_turn="frame" if cut_turn is None else cast(CutTurn, cut_turn),
        bearing_deg=row.maybe("bearing_deg", float),
        remark=text_of(row, "remark"),
        row=row.row,
    )


def reading_of(row: Row) -> Reading:
    """The reading of a sound row of readings.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_folder.py
    """
    return Reading(
        cover=row.get("cover", str),
        point=row.get("point", str),
        x_mm=row.get("x_mm", float),
        y_mm=row.get("y_mm", float),
        kind=cast(ReadingKind, row.get("kind", str)),
        value_mm=row.get("value_mm", float),
        where=cast(Where, row.get("where", str)),
        set_up=text_of(row, "set_up"),
        row=row.row,
    )


def closure_of(row: Row) -> Closure:
    """The closure of a sound row of closures.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_folder.py
    """
    return Closure(
        closure=row.get("closure", str),
        streets=_words(row, "streets"),
        kind=cast(ClosureKind, row.get("kind", str)),
        road_shut_from=row.get("road_shut_from", datetime),
        road_open_by=row.get("road_open_by", datetime),
        noisy_work_ends=row.get("noisy_work_ends", datetime),
        tm_set_min=row.get("tm_set_min", int),
        tm_clear_min=row.get("tm_clear_min", int),
        mix_temp_c=row.get("mix_temp_c", float),
        speed_mph=row.maybe("speed_mph", float),
        lanes=row.maybe("lanes", int),
        row=row.row,
        protection=cast(Protection, text_of(row, "protection") or "none"),
    )


def person_of(row: Row) -> Person:
    """The person of a sound row of people.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_folder.py
    """
    return Person(row.get("person", str), _words(row, "skills"), _words(row, "closures"), row.row)


def tool_of(row: Row) -> Tool:
    """The tool of a sound row of tools.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_folder.py
    """
    return Tool(
        tool=row.get("tool", str),
        kind=row.get("kind", str),
        count=row.get("count", int),
        capacity_l=row.maybe("capacity_l", float),
        blade_mm=row.maybe("blade_mm", float),
        vibration_m_per_s2=row.maybe("vibration_m_per_s2", float),
        vibration_source=text_of(row, "vibration_source"),
        row=row.row,
    )


def weather_of(row: Row) -> WeatherHour:
    """The hour of a sound row of weather.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_folder.py
    """
    return WeatherHour(
        at=row.get("at", datetime),
        air_temp_c=row.get("air_temp_c", float),
        road_temp_c=row.maybe("road_temp_c", float),
        humidity_pct=row.maybe("humidity_pct", float),
        wind_m_per_s=row.maybe("wind_m_per_s", float),
        cloud_share=row.maybe("cloud_share", float),
        rain_mm=row.maybe("rain_mm", float),
        row=row.row,
    )


def stock_of(row: Row) -> StockLine:
    """The lot of a sound row of stock.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_folder.py
    """
    return StockLine(row.get("sheet", str), row.get("lot", str), row.get("kits", int), text_of(row, "expires"), row.row)
