"""The published schemas are what the reader enforces, and a JSON Schema validator agrees with the reader."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import jsonschema
import pytest

from truebed.sheets.schema import published

ROOT = Path(__file__).parents[2]
FOLDERS = {"sheet.schema.json": "sheets", "method.schema.json": "methods", "rules.schema.json": "rules"}


@pytest.mark.parametrize("name", sorted(FOLDERS))
def test_the_published_file_is_the_one_the_code_gives(name: str) -> None:
    assert (ROOT / "docs" / "schema" / name).read_text("utf-8") == published()[name]


@pytest.mark.parametrize("name", sorted(FOLDERS))
def test_every_file_of_the_demo_fits_its_schema(name: str) -> None:
    validator = jsonschema.Draft202012Validator(json.loads(published()[name]))
    files = sorted((ROOT / "src/truebed/demo/folder" / FOLDERS[name]).glob("*.toml"))
    assert files
    for file in files:
        assert [error.message for error in validator.iter_errors(tomllib.loads(file.read_text("utf-8")))] == []


def test_the_schema_refuses_what_the_reader_refuses() -> None:
    validator = jsonschema.Draft202012Validator(json.loads(published()["sheet.schema.json"]))
    bed = tomllib.loads((ROOT / "src/truebed/demo/folder/sheets/harrow-bed.toml").read_text("utf-8"))
    del bed["kit"]["place"]
    bed["kit"]["solids_kg"] = -1.0
    bed["kidney"] = 1
    assert {tuple(error.absolute_path) for error in validator.iter_errors(bed)} == {(), ("kit",), ("kit", "solids_kg")}
