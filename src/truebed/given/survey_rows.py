"""Sound rows of the survey's files -> the frozen types of what was found."""

from __future__ import annotations

from typing import Literal, cast

from truebed.given.rows import text_of
from truebed.given.survey import Obstacle, Sounding, SoundingFound, SoundingKind, YardUnit
from truebed.given.table import Row
from truebed.given.works import Condition


def condition_of(row: Row) -> Condition:
    """What the survey found, of a sound row of condition.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_survey_files.py
    """
    return Condition(
        cover=row.get("cover", str),
        lid_step_mm=row.maybe("lid_step_mm", float),
        lid_step_front_left_mm=row.maybe("lid_step_front_left_mm", float),
        lid_step_front_right_mm=row.maybe("lid_step_front_right_mm", float),
        lid_step_back_left_mm=row.maybe("lid_step_back_left_mm", float),
        lid_step_back_right_mm=row.maybe("lid_step_back_right_mm", float),
        frame_step_front_left_mm=row.maybe("frame_step_front_left_mm", float),
        frame_step_front_right_mm=row.maybe("frame_step_front_right_mm", float),
        frame_step_back_left_mm=row.maybe("frame_step_back_left_mm", float),
        frame_step_back_right_mm=row.maybe("frame_step_back_right_mm", float),
        rock_mm=row.maybe("rock_mm", float),
        seat_wear_class=row.maybe("seat_wear_class", int),
        hollow_taps_pct=row.maybe("hollow_taps_pct", float),
        courses=text_of(row, "courses"),
        courses_class=row.maybe("courses_class", int),
        courses_soft_to_mm=row.maybe("courses_soft_to_mm", float),
        courses_count=row.maybe("courses_count", int),
        crack_mm=row.maybe("crack_mm", float),
        surround=text_of(row, "surround"),
        frame_state=text_of(row, "frame_state"),
        slab_state=text_of(row, "slab_state"),
        plan_below=text_of(row, "plan_below"),
        bed_state=text_of(row, "bed_state"),
        resurfacing=text_of(row, "resurfacing"),
        polish=text_of(row, "polish"),
        dig_anyway=text_of(row, "dig_anyway"),
        row=row.row,
    )


def obstacle_of(row: Row) -> Obstacle:
    """The obstacle of a sound row of obstacles.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_survey_files.py
    """
    turn_deg, clear_mm = row.maybe("turn_deg", float), row.maybe("clear_mm", float)
    return Obstacle(
        cover=row.get("cover", str),
        what=row.get("what", str),
        x_mm=row.get("x_mm", float),
        y_mm=row.get("y_mm", float),
        along_mm=row.get("along_mm", float),
        across_mm=row.get("across_mm", float),
        turn_deg=0.0 if turn_deg is None else turn_deg,
        clear_mm=0.0 if clear_mm is None else clear_mm,
        row=row.row,
    )


def sounding_of(row: Row) -> Sounding:
    """The sounding of a sound row of soundings.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_survey_files.py
    """
    return Sounding(
        cover=row.get("cover", str),
        point=row.get("point", str),
        kind=cast(SoundingKind, row.get("kind", str)),
        x_mm=row.get("x_mm", float),
        y_mm=row.get("y_mm", float),
        found=cast(SoundingFound, row.get("found", str)),
        to_x_mm=row.maybe("to_x_mm", float),
        to_y_mm=row.maybe("to_y_mm", float),
        width_mm=row.maybe("width_mm", float),
        row=row.row,
    )


def unit_of(row: Row) -> YardUnit:
    """The unit of a sound row of units.csv.

    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_survey_files.py
    """
    work_min = row.maybe("work_min", float)
    return YardUnit(
        unit=row.get("unit", str),
        kind=cast(Literal["course", "ring", "frame"], row.get("kind", str)),
        height_mm=row.get("height_mm", float),
        count=row.get("count", int),
        fits=text_of(row, "fits"),
        work_min=0.0 if work_min is None else work_min,
        row=row.row,
    )
