"""The columns of closures.csv, people.csv, tools.csv, weather.csv and stock.csv. Ranges are plausible (house)."""

from __future__ import annotations

from truebed.given.column import Column, FileColumns

CLOSURES = FileColumns(
    "closures.csv",
    "One row a closure: when the road is ours and when it must be open again.",
    (
        Column("closure", "name", "its name in these works", "N-1"),
        Column(
            "streets", "list", "streets it shuts, separated by |; each in one closure only", "Tallow Row|Weir Cross"
        ),
        Column("kind", "choice", "how the road is shut", "full", choices=("lane", "stop-go", "full")),
        Column("road_shut_from", "time", "from when traffic management may shut it", "2027-03-11T20:00+00:00"),
        Column("road_open_by", "time", "by when it must be open, signs and cones away", "2027-03-12T05:30+00:00"),
        Column("noisy_work_ends", "time", "when sawing and breaking must stop", "2027-03-11T23:00+00:00"),
        Column("tm_set_min", "whole", "minutes to set out traffic management", "25", unit="min", between=(0, 600)),
        Column("tm_clear_min", "whole", "minutes to clear it away", "20", unit="min", between=(0, 600)),
        Column(
            "mix_temp_c",
            "number",
            "temperature of kits and water when mixed",
            "12",
            unit="c",
            between=(-10.0, 45.0),
        ),
        Column("speed_mph", "number", "speed limit past the works", "30", False, "mph", (1.0, 100.0)),
        Column("lanes", "whole", "lanes of the road", "2", required=False, between=(1, 12)),
        Column(
            "protection",
            "choice",
            "what is laid over fresh layers as soon as they are placed and stays till they are ready: sheet = plastic "
            "against rain, wind and drying; blanket = insulating blanket; empty = none",
            "blanket",
            required=False,
            choices=("none", "sheet", "blanket"),
        ),
    ),
)

PEOPLE = FileColumns(
    "people.csv",
    "One row a person of the gang: a role or initials, never a full name.",
    (
        Column("person", "text", "role or initials", "ganger"),
        Column("skills", "list", "what they may do, separated by |", "saw|lift", unless="they have no special skill"),
        Column("closures", "list", "closures they work, separated by |; empty = all", "N-1", required=False),
    ),
)

TOOLS = FileColumns(
    "tools.csv",
    "One row a tool or a set of like tools.",
    (
        Column("tool", "text", "its name or number", "saw 450"),
        Column("kind", "text", "what it is; the methods' steps ask for kinds", "saw"),
        Column("count", "whole", "how many of it", "1", between=(1, 100)),
        Column("capacity_l", "number", "mixer: its greatest batch", "40", False, "l", (1.0, 2000.0)),
        Column("blade_mm", "number", "saw: diameter of the blade", "450", False, "mm", (100.0, 2000.0)),
        Column(
            "vibration_m_per_s2",
            "number",
            "hand-arm vibration in use",
            "5.5",
            required=False,
            unit="m_per_s2",
            between=(0.1, 60.0),
        ),
        Column(
            "vibration_source", "text", "where that value was read; wanted with it", "measured 2026-11", required=False
        ),
    ),
)

WEATHER = FileColumns(
    "weather.csv",
    "One row an hour, in order of time.",
    (
        Column("at", "time", "when the hour begins", "2027-03-11T20:00+00:00"),
        Column("air_temp_c", "number", "air temperature", "7.5", unit="c", between=(-50.0, 55.0)),
        Column("road_temp_c", "number", "temperature of the road's surface", "6", False, "c", (-50.0, 80.0)),
        Column("humidity_pct", "number", "relative humidity", "82", False, "pct", (0.0, 100.0)),
        Column("wind_m_per_s", "number", "wind at 10 m", "3.2", False, "m_per_s", (0.0, 75.0)),
        Column("cloud_share", "number", "share of the sky that is clouded, 0 to 1", "0.6", False, "share", (0.0, 1.0)),
        Column("rain_mm", "number", "rain in the hour", "0", False, "mm", (0.0, 300.0)),
    ),
    needed=False,
)

STOCK = FileColumns(
    "stock.csv",
    "One row a lot in the store.",
    (
        Column("sheet", "name", "key of the material's data sheet: a file of sheets/", "harrow-bed"),
        Column("lot", "text", "lot number on the bags", "L-0417"),
        Column("kits", "whole", "whole kits there", "12", between=(0, 100000)),
        Column("expires", "date", "last day of use on the bags", "2027-09-30", required=False),
    ),
    needed=False,
)
