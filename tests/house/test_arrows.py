"""Arrows point one way, and the pure rooms touch no world."""

import ast

import pytest

from house.tree import PURE, RANKS, parsed, room_of, sources

WORLD = {
    "click", "typst", "xlsxwriter", "ezdxf", "icalendar", "random", "secrets", "socket", "subprocess", "tempfile",
    "shutil", "time", "os", "pathlib", "io", "fcntl",
}  # fmt: skip
CLOCKS = {"now", "today", "utcnow"}
#: openpyxl-like readers of bytes are pure; io.BytesIO is how bytes are handed to them.
PURE_EXCEPTIONS = {("given", "io")}


def imports_of(path):
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            pure_paths = node.module == "pathlib" and {a.name for a in node.names} == {"PurePosixPath"}
            yield "" if pure_paths else node.module
        elif isinstance(node, ast.Import):
            yield from (a.name for a in node.names)


@pytest.mark.parametrize("path", sources(), ids=lambda p: f"{room_of(p)}/{p.name}")
def test_a_room_imports_only_from_lower_rooms(path):
    room = room_of(path)
    if room in ("__init__", "__main__"):
        return
    for module in imports_of(path):
        if module.startswith("truebed."):
            other = module.split(".")[1]
            assert other == room or RANKS[other] < RANKS[room], f"{room} imports {module}"


@pytest.mark.parametrize("path", [p for p in sources() if room_of(p) in PURE], ids=lambda p: f"{room_of(p)}/{p.name}")
def test_a_pure_room_has_no_world_and_no_clock(path):
    room = room_of(path)
    for module in imports_of(path):
        top = module.split(".")[0]
        assert top not in WORLD or (room, top) in PURE_EXCEPTIONS, f"{path.name} imports {module}"
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            assert node.func.attr not in CLOCKS, f"{path.name} reads a clock"


def test_every_room_is_ranked():
    rooms = {room_of(p) for p in sources()} - {"__init__", "__main__"}
    assert rooms == set(RANKS)
