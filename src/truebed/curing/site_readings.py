"""How far site readings may be off (data/site_readings.toml): strength tests, a probe's place, a layer's drift."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources


@dataclass(frozen=True, slots=True)
class TestKind:
    """error_sd: of ln strength, common to one occasion; spread_sd: of one single reading."""

    key: str
    name: str
    error_sd: float
    spread_sd: float
    source: str


@dataclass(frozen=True, slots=True)
class ProbePlace:
    """How much colder than the probe the slowest spot is, with one standard deviation."""

    key: str
    slower_c: float
    slower_sd: float
    source: str


@dataclass(frozen=True, slots=True)
class Drift:
    """The layer's temperature less what was expected: reading error, first offset, its rate [K/min], its fading."""

    reading_sd: float
    offset_sd: float
    rate_sd: float
    rate_fades_min: float
    source: str


@dataclass(frozen=True, slots=True)
class SiteReadings:
    """The whole table."""

    tests: dict[str, TestKind]
    places: dict[str, ProbePlace]
    drift: Drift


@cache
def site_readings() -> SiteReadings:
    """The table of data/site_readings.toml.

    Source      data/site_readings.toml, a tag on each row
    Proved by   tests/curing/test_site_test.py
    """
    raw = tomllib.loads(resources.files("truebed").joinpath("data/site_readings.toml").read_text("utf-8"))
    tests = {r["key"]: TestKind(r["key"], r["name"], r["error_sd"], r["spread_sd"], _cite(r)) for r in raw["test"]}
    places = {r["key"]: ProbePlace(r["key"], r["slower_c"], r["slower_sd"], _cite(r)) for r in raw["place"]}
    d = raw["drift"]
    drift = Drift(d["reading_sd"], d["offset_sd"], d["rate_sd"], d["rate_fades_min"], _cite(d))
    return SiteReadings(tests, places, drift)


def _cite(row: dict[str, str]) -> str:
    return f"[{row['source']}] ({row['read_as']})"
