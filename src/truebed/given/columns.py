"""Every file of the works folder that the reader knows, and every column of it, in one place."""

from __future__ import annotations

from truebed.given.column import Column, FileColumns
from truebed.given.cover_columns import COVERS, READINGS
from truebed.given.night_columns import CLOSURES, PEOPLE, STOCK, TOOLS, WEATHER
from truebed.given.survey_columns import CONDITION, OBSTACLES, SOUNDINGS, UNITS

FILES: tuple[FileColumns, ...] = (
    *(COVERS, READINGS, CLOSURES, PEOPLE, TOOLS),
    *(WEATHER, STOCK, CONDITION, OBSTACLES, SOUNDINGS, UNITS),
)

#: keys of works.toml
HEADING: tuple[Column, ...] = (
    Column("name", "text", "name of the works, as it stands on the papers", "Quernford ironwork, spring"),
    Column("reference", "text", "the client's reference", "QF-27-03"),
    Column("rule_set", "name", "key of the rule set: one that comes with Truebed, or a file of rules/", "uk"),
    Column("time_zone", "text", "IANA time zone of the place", "Europe/London"),
    Column("latitude_deg", "number", "of the works, north positive", "52.6", unit="deg", between=(-90.0, 90.0)),
    Column("longitude_deg", "number", "of the works, east positive", "-1.4", unit="deg", between=(-180.0, 180.0)),
    Column("coordinate_system", "text", "what x_m and y_m of covers.csv are measured in, or 'local'", "local"),
    Column("holiday_calendar", "text", "calendar of days without work, or 'none'", "none"),
    Column("currency", "text", "ISO 4217 code of the prices", "GBP"),
    Column("language", "text", "language of the papers, as a language tag", "en-GB"),
    Column("wanted_probability", "number", "how sure the road must be open in time", "0.95", between=(0.5, 0.999)),
    Column("demo", "yes or no", "true marks every paper as a demonstration; left out = false", "false", required=False),
)


def file_columns(name: str) -> FileColumns:
    """The columns of the CSV of that name.

    Source      house (look-up)
    Raises      KeyError for a file the reader does not know
    Proved by   tests/given/test_columns.py
    """
    for known in FILES:
        if known.name == name:
            return known
    raise KeyError(name)
