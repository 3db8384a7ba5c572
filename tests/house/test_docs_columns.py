"""What is published about the files is what the reader obeys: regenerated text and stored text are the same."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import pytest

from truebed.given.columns import FILES, HEADING

ROOT = Path(__file__).resolve().parents[2]


def _published() -> dict[str, str]:
    spec = importlib.util.spec_from_file_location("write_published", ROOT / "scripts" / "write_published.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    texts: dict[str, str] = module.published()
    return texts


@pytest.mark.parametrize("name", sorted(_published()))
def test_a_published_file_is_as_the_code_would_write_it_now(name: str) -> None:
    assert (ROOT / name).read_text(encoding="utf-8") == _published()[name], "run `make schema`"


def test_every_column_and_every_key_stands_on_the_page() -> None:
    page = (ROOT / "docs" / "works-folder.md").read_text(encoding="utf-8")
    columns = [(columns.name, column) for columns in FILES for column in columns.columns]
    for file, column in [*columns, *(("works.toml", key) for key in HEADING)]:
        section = page.split(f"\n## {file}\n", 1)[1].split("\n## ", 1)[0]
        rows = [line for line in section.splitlines() if line.startswith(f"| `{column.name}` |")]
        assert len(rows) == 1, (file, column.name)
        assert column.example.replace("|", "\\|") in rows[0]
