"""The published JSON Schema of plan.json, made from the types themselves."""

from __future__ import annotations

import json

from truebed.papers.plan_json import plan_adapter

DIALECT = "https://json-schema.org/draft/2020-12/schema"


def plan_schema() -> dict[str, object]:
    """The schema as a value; descriptions are the types' own first sentences.

    Valid       always
    Source      house (file format)
    Proved by   tests/papers/test_plan_json.py
    """
    made = plan_adapter().json_schema(mode="serialization", by_alias=False)
    body = {key: value for key, value in made.items() if key not in ("$defs", "title", "description")}
    definitions = {name: _tidy(made["$defs"][name]) for name in sorted(made.get("$defs", {}))}
    body["properties"] = body["properties"] | {"whys": {"type": "array", "items": {"$ref": "#/$defs/Why"}}}
    body["required"] = [*body["required"], "whys"]
    for name, field in (("Figure", "why"), ("Why", "inputs")):
        _named_by_place(definitions[name], field)
    head: dict[str, object] = {"$schema": DIALECT, "title": "Truebed plan", "description": "Everything a plan found."}
    return head | {k: _tidy(v) if isinstance(v, dict) else v for k, v in body.items()} | {"$defs": definitions}


def _named_by_place(definition: object, field: str) -> None:
    """Say that a field holds the place of a why in the plan's list `whys`, as the file does."""
    place = {"type": "integer", "minimum": 0, "description": "place in the plan's list `whys`"}
    if isinstance(definition, dict):
        definition["properties"][field] = {"type": "array", "items": place} if field == "inputs" else place


def plan_schema_text() -> str:
    """The schema as the text of docs/schema/plan.schema.json.

    Valid       always
    Source      house (file format)
    Proved by   tests/papers/test_plan_json.py
    """
    return json.dumps(plan_schema(), indent=1, ensure_ascii=False) + "\n"


def _tidy(node: object, of_names: bool = False) -> object:
    """Without the titles that only repeat the names; of a description the first paragraph, on one line.

    of_names: the mapping's keys are the plan's own field names, not words of the schema.
    """
    if isinstance(node, list):
        return [_tidy(item) for item in node]
    if not isinstance(node, dict):
        return node
    out: dict[str, object] = {}
    for key, value in node.items():
        if not of_names and key == "title" and isinstance(value, str):
            continue
        if not of_names and key == "description" and isinstance(value, str):
            out[key] = " ".join(value.split("\n\n")[0].split())
        else:
            out[key] = _tidy(value, of_names=key == "properties" and not of_names)
    return out
