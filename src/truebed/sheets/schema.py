"""The published JSON Schemas of the files that a user writes: data sheets, methods, rule sets."""

from __future__ import annotations

import json

from truebed.rules.schema import RulesFile
from truebed.rules.shape import Table
from truebed.sheets.method_shape import MethodFile
from truebed.sheets.sheet_shape import SheetFile


def published() -> dict[str, str]:
    """File name -> text of each schema, the same at every run.

    Source      house (JSON Schema, draft 2020-12)
    Proved by   tests/sheets/test_published_schemas.py
    """
    return {
        "sheet.schema.json": _text(SheetFile, "Data sheet"),
        "method.schema.json": _text(MethodFile, "Method"),
        "rules.schema.json": _text(RulesFile, "Rule set"),
    }


def _text(model: type[Table], title: str) -> str:
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **model.model_json_schema(by_alias=True)}
    schema["title"] = title
    return json.dumps(schema, indent=2, ensure_ascii=False, sort_keys=True) + "\n"
