"""The demo works folder as bytes: static files as they lie, readings and weather made from the stated truth."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from datetime import datetime
from importlib import resources
from importlib.resources.abc import Traversable

import numpy as np

from truebed.demo.survey import Shape, booked_readings, measured_chamber_top
from truebed.demo.town import QUERNFORD, truth_of
from truebed.demo.weather import SPELLS, hours_of

#: Seeds of the reading errors; a cover's own number is added, so that one cover can change alone.
READING_NOISE, CHAMBER_NOISE = 20270608, 20270609
READING_HEADER = ("cover", "point", "x_mm", "y_mm", "kind", "value_mm", "where", "set_up")
WEATHER_HEADER = ("at", "air_temp_c", "road_temp_c", "humidity_pct", "wind_m_per_s", "cloud_share", "rain_mm")


def build_demo() -> dict[str, bytes]:
    """The demo works: relative path -> bytes, the same every time.

    Valid       always
    Source      invented for the demo
    Proved by   tests/demo/test_build.py
    """
    files = dict(_static(resources.files("truebed.demo").joinpath("folder"), ""))
    files["readings.csv"] = _table(READING_HEADER, _reading_rows(files))
    files["weather.csv"] = _table(WEATHER_HEADER, _weather_rows(files))
    return dict(sorted(files.items()))


def chamber_points(cover: str) -> tuple[tuple[int, int, int], ...]:
    """x, y, level [mm] of the eight points that the crew measures on that cover's bared chamber top.

    Valid       the covers of the demo
    Source      invented for the demo
    Raises      KeyError for a cover that is not in the demo
    Proved by   tests/demo/test_build.py
    """
    truth = truth_of(cover)
    noise = np.random.default_rng([CHAMBER_NOISE, QUERNFORD.index(truth)])
    return measured_chamber_top(truth, shapes(_folder_bytes("covers.csv"))[cover], noise)


def shapes(covers_csv: bytes) -> dict[str, Shape]:
    """The shape of each cover in the demo's own covers.csv.

    Valid       the demo's covers.csv as it is written here
    Source      invented for the demo
    Proved by   tests/demo/test_build.py
    """
    return {
        row["cover"]: Shape(
            round_frame=row["shape"] == "round",
            body_along_mm=float(row["body_along_mm"]),
            body_across_mm=float(row["body_across_mm"]),
            flange_along_mm=float(row["flange_along_mm"]),
            flange_across_mm=float(row["flange_across_mm"]),
            turn_deg=float(row["turn_deg"]),
            kerb_mm=float(row["kerb_mm"]) if row["kerb_mm"] else None,
        )
        for row in _rows(covers_csv)
    }


def _folder_bytes(name: str) -> bytes:
    return resources.files("truebed.demo").joinpath("folder", name).read_bytes()


def _static(place: Traversable, prefix: str) -> Iterable[tuple[str, bytes]]:
    for entry in sorted(place.iterdir(), key=lambda e: e.name):
        if entry.is_dir():
            yield from _static(entry, f"{prefix}{entry.name}/")
        else:
            yield f"{prefix}{entry.name}", entry.read_bytes()


def _rows(data: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(data.decode("utf-8"))))


def _table(header: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue().encode("utf-8")


def _reading_rows(files: dict[str, bytes]) -> Iterable[tuple[str, ...]]:
    by_cover = shapes(files["covers.csv"])
    for number, truth in enumerate(QUERNFORD):
        noise = np.random.default_rng([READING_NOISE, number])
        for booked in booked_readings(truth, by_cover[truth.cover], noise):
            yield booked.cells()


def _weather_rows(files: dict[str, bytes]) -> Iterable[tuple[str, ...]]:
    closures = {row["closure"]: row for row in _rows(files["closures.csv"])}
    for spell in SPELLS:
        row = closures[spell.closure]
        shut, opens = (datetime.fromisoformat(row[key]) for key in ("road_shut_from", "road_open_by"))
        yield from hours_of(spell, shut, opens)
