"""Rewrites what is published from the code: pages and JSON Schemas. `make schema` runs it; a house test compares."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from truebed.given.page import works_folder_page
from truebed.given.schema import works_schema
from truebed.papers.plan_schema import plan_schema_text
from truebed.sheets.schema import published as sheet_schemas

ROOT = Path(__file__).resolve().parent.parent


def published() -> dict[str, str]:
    """Every published file and its text."""
    return {
        "docs/works-folder.md": works_folder_page(),
        "docs/schema/works.schema.json": json.dumps(works_schema(), indent=2, ensure_ascii=False) + "\n",
        "docs/schema/plan.schema.json": plan_schema_text(),
        **{f"docs/schema/{name}": text for name, text in sheet_schemas().items()},
    }


def main() -> int:
    """Writes those that changed and says which."""
    for name, text in published().items():
        path = ROOT / name
        if path.exists() and path.read_text(encoding="utf-8") == text:
            continue
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
        print(f"wrote {name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
