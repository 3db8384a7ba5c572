"""The JSON Schema of a works folder, drawn from the same columns that the reader obeys."""

from __future__ import annotations

from truebed.given.column import LONGEST_NAME_COUNT, LONGEST_TEXT_COUNT, Column
from truebed.given.columns import FILES, HEADING

Schema = dict[str, object]


def works_schema() -> Schema:
    """JSON Schema (draft 2020-12) of `works_document`: works.toml as an object, every CSV as a list of rows.

    Valid       always
    Source      house (docs/works-folder.md)
    Proved by   tests/given/test_document.py, tests/house/test_docs_columns.py
    """
    definitions: Schema = {"works": _object("works.toml", HEADING)}
    properties: Schema = {"works": {"$ref": "#/$defs/works"}}
    for columns in FILES:
        definitions[f"{columns.stem}_row"] = _object(f"{columns.name}: {columns.what}", columns.columns)
        rows: Schema = {"type": "array", "items": {"$ref": f"#/$defs/{columns.stem}_row"}}
        properties[columns.stem] = rows | ({"minItems": 1} if columns.needed else {})
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "works.schema.json",
        "title": "Truebed works folder",
        "description": "A works folder as one document: works.toml and the rows of every CSV, units as inside Truebed.",
        "type": "object",
        "properties": properties,
        "required": ["works", *(columns.stem for columns in FILES if columns.needed)],
        "additionalProperties": False,
        "$defs": definitions,
    }


def _object(what: str, columns: tuple[Column, ...]) -> Schema:
    return {
        "type": "object",
        "description": what,
        "properties": {column.name: _property(column) for column in columns},
        "required": [column.name for column in columns if column.required and not column.unless],
        "additionalProperties": False,
    }


def _property(column: Column) -> Schema:
    unit = f" [{column.unit}]" if column.unit else ""
    schema: Schema = {**_type(column), "description": f"{column.meaning}{unit}"}
    if column.between is not None:
        least, most = column.between
        schema |= {"minimum": least, "maximum": most}
    return schema


def _type(column: Column) -> Schema:
    if column.choices:
        return {"type": "string", "enum": list(column.choices)}
    types: dict[str, Schema] = {
        "number": {"type": "number"},
        "whole": {"type": "integer"},
        "time": {"type": "string", "format": "date-time"},
        "date": {"type": "string", "format": "date"},
        "list": {"type": "array", "items": {"type": "string", "minLength": 1}, "uniqueItems": True},
        "yes or no": {"type": "boolean"},
        "name": {"type": "string", "minLength": 1, "maxLength": LONGEST_NAME_COUNT},
        "text": {"type": "string", "minLength": 1, "maxLength": LONGEST_TEXT_COUNT},
    }
    return types[column.holds]
