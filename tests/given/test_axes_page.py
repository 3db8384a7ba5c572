"""The examples of docs/axes-and-signs.md are taken by the reader and give the levels that the page says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from given.base_folder import TEXTS, base_folder
from truebed.given.folder import parse_works
from truebed.given.reading import Reading
from truebed.levels.booking import reduce_readings

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "axes-and-signs.md").read_text(encoding="utf-8")
EXAMPLES = dict(re.findall(r"\*\*([A-Z][a-z -]+)\.\*\*(?:(?!\*\*|```).)*```csv\n(.*?)```", PAGE, flags=re.DOTALL))


def _readings(name: str) -> tuple[Reading, ...]:
    """The rows of an example, read beside enough road points of the same cover."""
    own, base = EXAMPLES[name].splitlines(), TEXTS["readings.csv"].splitlines()
    more = [row.replace("F-1,", "F-1,x") for row in base[2:9] if ",560,0," not in row and ",0,560," not in row]
    more += ["F-1,x9,700,100,level,5,road,", "F-1,x10,80,700,level,-14,road,"]
    text = "\n".join([*own, *more, *base[13:]])
    works, faults = parse_works(base_folder() | {"readings.csv": text.encode()})
    assert [fault.sentence() for fault in faults] == []
    assert works is not None
    return tuple(reading for reading in works.readings if 2 <= reading.row <= len(own))


@pytest.mark.parametrize(
    ("name", "levels"),
    [
        ("One stand", {"R1": -12.0}),
        ("Two stands", {"R1": -12.0, "R2": 0.0}),
        ("A string line", {"R1": -10.0, "K1": 102.0}),
    ],
)
def test_an_example_of_the_page_gives_the_levels_the_page_says(name: str, levels: dict[str, float]) -> None:
    found = {spot.point: spot.level_mm for spot in reduce_readings(_readings(name))}
    assert found == pytest.approx(levels)
    for level in levels.values():
        assert f"{level:g} mm" in PAGE


def test_the_straightedge_of_the_page_is_taken_as_booked() -> None:
    assert [(r.kind, r.where, r.value_mm) for r in _readings("A straightedge")] == [
        ("straightedge gap", "road", 0.0),
        ("straightedge gap", "frame", 14.5),
        ("straightedge gap", "road", 0.0),
    ]


def test_every_example_of_the_page_is_one_of_these() -> None:
    assert set(EXAMPLES) == {"One stand", "Two stands", "A straightedge", "A string line"}
    assert PAGE.count("```csv") == len(EXAMPLES)
