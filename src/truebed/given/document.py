"""The works as one JSON document in the files' own columns: what the published schema describes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from datetime import datetime

from truebed.given.column import FileColumns
from truebed.given.columns import FILES, HEADING
from truebed.given.cover import Cover
from truebed.given.night import Closure, Person, Tool, WeatherHour
from truebed.given.reading import Reading
from truebed.given.survey import Obstacle, Sounding, YardUnit
from truebed.given.works import Condition, StockLine, Works

Given = Cover | Reading | Closure | Person | Tool | WeatherHour | StockLine | Condition | Obstacle | Sounding | YardUnit
Json = str | float | int | bool | list[str]

_PLANS = ("opening", "body", "flange", "chamber")


def works_document(works: Works) -> dict[str, dict[str, Json] | list[dict[str, Json]]]:
    """The works as a JSON document: 'works' for works.toml, and a list of rows for every CSV.

    What is empty is left out; a circle's across is written as its diameter.

    Valid       any works that the reader gave
    Source      house (docs/schema/works.schema.json)
    Proved by   tests/given/test_document.py
    """
    heading: dict[str, Json] = {column.name: _json(getattr(works.heading, column.name)) for column in HEADING}
    document: dict[str, dict[str, Json] | list[dict[str, Json]]] = {"works": heading}
    for columns in FILES:
        rows: Iterable[Given] = getattr(works, columns.stem)
        document[columns.stem] = [_row(given, columns) for given in rows]
    return document


def _row(given: Given, columns: FileColumns) -> dict[str, Json]:
    values = _cover_values(given) if isinstance(given, Cover) else _values(given)
    filled = {column.name: values[column.name] for column in columns.columns}
    return {name: _json(value) for name, value in filled.items() if value is not None and value not in ("", ())}


def _values(given: Given) -> dict[str, object]:
    return {field.name: getattr(given, field.name) for field in fields(given)}


def _cover_values(cover: Cover) -> dict[str, object]:
    """covers.csv keeps four outlines flat, a second shape only where it differs, and says 'severity' and 'parts'."""
    values = _values(cover)
    for what in _PLANS:
        plan = values.pop(what)
        values[f"{what}_along_mm"] = getattr(plan, "along_mm")  # noqa: B009 - typed as object here
        values[f"{what}_across_mm"] = getattr(plan, "across_mm")  # noqa: B009
    return values | {
        "shape": cover.body.shape,
        "opening_shape": cover.opening.shape if cover.opening.shape != cover.body.shape else None,
        "flange_shape": cover.flange.shape if cover.flange.shape != cover.body.shape else None,
        "chamber_shape": cover.chamber.shape,
        "severity": cover.severity_weight,
        "parts": cover.parts_count,
    }


def _json(value: object) -> Json:
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, tuple):
        return [str(item) for item in value]
    if isinstance(value, str | float | int):
        return value
    raise TypeError(f"no JSON form for {type(value).__name__}")
