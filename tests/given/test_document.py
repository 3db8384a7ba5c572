"""The works as a document: valid under the published schema, and the schema refuses what the reader refuses."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from given.base_folder import base_folder
from truebed.given.document import works_document
from truebed.given.folder import parse_works
from truebed.given.schema import works_schema

STORED = json.loads((Path(__file__).resolve().parents[2] / "docs/schema/works.schema.json").read_text(encoding="utf-8"))


def _document() -> dict[str, Any]:
    works, faults = parse_works(base_folder())
    assert faults == ()
    assert works is not None
    return json.loads(json.dumps(works_document(works)))  # type: ignore[no-any-return]


def test_the_schema_is_a_schema_and_the_stored_one_is_it() -> None:
    jsonschema.Draft202012Validator.check_schema(STORED)
    assert json.loads(json.dumps(works_schema())) == STORED


def test_a_works_that_was_read_is_valid_under_the_published_schema() -> None:
    jsonschema.Draft202012Validator(STORED).validate(_document())


def test_the_document_says_the_files_own_words() -> None:
    document = _document()
    assert document["covers"][0]["flange_along_mm"] == 850.0
    assert document["covers"][0]["severity"] == 60
    assert document["covers"][1]["chamber_across_mm"] == 500.0
    assert document["closures"][0]["streets"] == ["Tallow Row", "Weir Cross"]
    assert document["closures"][0]["road_open_by"] == "2027-03-12T05:30:00+00:00"
    assert "remark" not in document["covers"][1]
    assert document["weather"][0]["rain_mm"] == 0.0


@pytest.mark.parametrize(
    ("where", "value"),
    [
        (("covers", 0, "flange_along_mm"), 0.85),
        (("covers", 0, "kind"), "lid"),
        (("covers", 0, "severity"), 1.5),
        (("covers", 0, "steet"), "Tallow Row"),
        (("works", "wanted_probability"), 95),
        (("closures", 0, "streets"), "Tallow Row"),
        (("tools",), []),
        (("photos",), []),
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(where: tuple[Any, ...], value: object) -> None:
    document = copy.deepcopy(_document())
    place: Any = document
    for step in where[:-1]:
        place = place[step]
    place[where[-1]] = value
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(STORED).validate(document)
