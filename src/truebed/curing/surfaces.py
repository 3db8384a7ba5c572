"""What weather and air are reckoned with (data/surfaces.toml): figures, films of wind, surfaces, materials."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any


@dataclass(frozen=True, slots=True)
class Figure:
    """One number with its source and how far that was read."""

    name: str
    value: float
    source: str
    read_as: str
    note: str

    def sentence(self) -> str:
        """The figure as one line for a person."""
        return f"{self.name} {self.value:g}: {self.note} ({self.source}, {self.read_as})"


@dataclass(frozen=True, slots=True)
class FilmPiece:
    """film = base + slope wind^power [W/m2K, m/s], up to a wind."""

    up_to_m_per_s: float
    base: float
    slope_ratio: float
    power_ratio: float


@dataclass(frozen=True, slots=True)
class Surface:
    """How a face takes sunlight and gives off warmth."""

    key: str
    absorptance_share: float
    emissivity_share: float
    source: str
    read_as: str


@dataclass(frozen=True, slots=True)
class Material:
    """What a layer of a material does with heat."""

    key: str
    conduct_w_per_m_k: float
    store_kj_per_l_k: float
    source: str
    read_as: str


@dataclass(frozen=True, slots=True)
class WeatherData:
    """All of data/surfaces.toml."""

    figures: Mapping[str, Figure]
    films: Mapping[str, tuple[FilmPiece, ...]]
    surfaces: Mapping[str, Surface]
    materials: Mapping[str, Material]

    def __getitem__(self, name: str) -> float:
        """A figure's value by its name."""
        return self.figures[name].value


def figure_of(row: Mapping[str, Any]) -> Figure:
    """A [[figure]] row as a figure.

    Source      house
    Raises      KeyError where the row lacks something
    Proved by   tests/curing/test_surfaces.py
    """
    return Figure(row["name"], float(row["value"]), row["source"], row["read_as"], row["note"])


@cache
def weather_data() -> WeatherData:
    """The packaged figures.

    Source      data/surfaces.toml, each with its own source; materials [en-iso-10456] table 3 (from memory)
    Proved by   tests/curing/test_surfaces.py
    """
    raw = tomllib.loads(resources.files("truebed").joinpath("data/surfaces.toml").read_text("utf-8"))
    return WeatherData(
        MappingProxyType({row["name"]: figure_of(row) for row in raw["figure"]}),
        MappingProxyType({row["key"]: tuple(_piece(piece) for piece in row["pieces"]) for row in raw["convection"]}),
        MappingProxyType({row["key"]: _surface(row) for row in raw["surface"]}),
        MappingProxyType({row["key"]: _material(row) for row in raw["material"]}),
    )


def _piece(row: Mapping[str, Any]) -> FilmPiece:
    return FilmPiece(float(row["up_to_m_per_s"]), float(row["base"]), float(row["slope"]), float(row["power"]))


def _surface(row: Mapping[str, Any]) -> Surface:
    return Surface(row["key"], float(row["absorptance"]), float(row["emissivity"]), row["source"], row["read_as"])


def _material(row: Mapping[str, Any]) -> Material:
    store_kj_per_l_k = float(row["density_kg_per_l"]) * float(row["heat_kj_per_kg_k"])
    source, read_as = row.get("source", "en-iso-10456"), row.get("read_as", "memory-high")
    return Material(row["key"], float(row["conduct_w_per_m_k"]), store_kj_per_l_k, source, read_as)
